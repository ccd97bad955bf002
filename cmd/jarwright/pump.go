package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// pumpFlags describe one pump on the command line.
type pumpFlags struct {
	drawdown, check, rate, flow     []string
	dose, stock, largest, turndown  string
	step, strokeStep, accuracy      string
	meter, tube, column, calibrated string
	every, name                     string
}

func newPump(e *env) *cobra.Command {
	var f pumpFlags
	c := &cobra.Command{
		Use:   "pump [SITE]",
		Short: "Drawdown calibration, pump curve, setting for a feed rate",
		Long: `Shows the curve of each pump from its drawdown readings, how far the readings lie
off it, and where to set the knob for a feed rate; with flows, a table to pin
beside the pump. Without SITE it reads site.xlsx in this folder, or works from
--drawdown or --pump-max alone.`,
		Example: `  jarwright pump site.xlsx
  jarwright pump --drawdown "20 %=8.1 mL/min" --drawdown "50 %=22.6 mL/min" --drawdown "80 %=36.8 mL/min" --rate "12 mL/min"
  jarwright pump --drawdown "20 %=11.2 mL in 2 min" --drawdown "80 %=47.3 mL in 2 min" --dose "12.5 mg/L" --stock "150 g/L" --flow "2.2 m3/h" --flow "5.4 m3/h"
  jarwright pump --drawdown "40 % x 50 %=19 mL/min" --drawdown "80 % x 50 %=39 mL/min" --drawdown "80 % x 100 %=78 mL/min" --rate "30 mL/min"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(f.drawdown) == 0 && f.largest == "" {
				return e.pumpSite(args, f)
			}
			if len(args) > 0 {
				return badUsage("a site workbook and --drawdown or --pump-max do not go together: leave one out")
			}
			return e.pumpQuick(f)
		},
	}
	p := c.Flags()
	p.StringArrayVar(&f.drawdown, "drawdown", nil, `a drawdown `+"`READING`"+`: "20 %=8.1 mL/min", "20 %=81 mL in 10 min", or stroke x speed: "40 % x 50 %=19 mL/min" (repeat)`)
	p.StringArrayVar(&f.rate, "rate", nil, `feed `+"`RATE`"+` wanted, "12 mL/min" or "0.7 L/h" (repeat)`)
	p.StringArrayVar(&f.flow, "flow", nil, `water `+"`FLOW`"+` for the table, with --dose and --stock; two give an even table between them (repeat)`)
	p.StringVar(&f.dose, "dose", "", `dose, "12.5 mg/L", on the basis of --stock`)
	p.StringVar(&f.stock, "stock", "", `strength of what the pump delivers, "150 g/L", on the basis of --dose`)
	p.StringVar(&f.largest, "pump-max", "", `largest `+"`RATE`"+` on the nameplate, for a pump without drawdown readings`)
	p.StringVar(&f.turndown, "turndown", "", "largest over smallest steady rate (10 a knob when absent)")
	p.StringVar(&f.step, "knob-step", "", `step of the knob, "1 %" when absent`)
	p.StringVar(&f.strokeStep, "stroke-step", "", `step of the stroke knob, "1 %" when absent`)
	p.StringVar(&f.accuracy, "accuracy", "", `maker's accuracy, as a share of full scale: "1 %"`)
	p.StringVar(&f.meter, "meter", "", `flow that the meter's 4 and 20 mA stand for: "0 m3/h to 20 m3/h"`)
	p.StringVar(&f.tube, "tube", "", `tube to the dosing point, length x bore: "12 m x 6 mm"`)
	p.StringVar(&f.column, "column", "", `volume drawn from the measuring column at a check: "100 mL"`)
	p.StringArrayVar(&f.check, "check", nil, `a check drawdown against the line: "50 %=21 mL/min" (repeat)`)
	p.StringVar(&f.calibrated, "calibrated", "", "`DAY` of the drawdown readings (YYYY-MM-DD); with --date tells whether they are too old")
	p.StringVar(&f.every, "every", "", `time between calibrations, "30 d" when absent`)
	p.StringVar(&f.name, "pump", "", "`NAME` of the pump (in a site: show only this one)")
	return c
}

// parseDrawdown reads "20 %=8.1 mL/min", "20 %=81 mL in 10 min" or "40 % x 50 %=…".
func parseDrawdown(s string) (pump.Reading, error) {
	var r pump.Reading
	at, what, ok := strings.Cut(s, "=")
	if !ok {
		return r, badUsage(`a drawdown %q has no "=": write it like "20 %%=8.1 mL/min" or "20 %%=81 mL in 10 min"`, s)
	}
	var err error
	if stroke, speed, two := strings.Cut(strings.ToLower(strings.ReplaceAll(at, "×", "x")), "x"); two {
		if r.Stroke, err = quantity.ParseSetting(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(stroke), "stroke"))); err != nil {
			return r, err
		}
		r.HasStroke, at = true, speed
	}
	if r.Setting, err = quantity.ParseSetting(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(at), "speed"))); err != nil {
		return r, err
	}
	if volume, span, timed := strings.Cut(what, " in "); timed {
		v, err := quantity.ParseVolume(volume)
		if err != nil {
			return r, err
		}
		t, err := quantity.ParseTime(span)
		if err != nil {
			return r, err
		}
		if t <= 0 {
			return r, note.Fault("bad-time", "the drawdown %q takes no time", s).Do("give how long it took, such as \"2 min\"")
		}
		r.Rate = pump.Drawdown(v, t)
		return r, nil
	}
	r.Rate, err = quantity.ParseFeedRate(what)
	return r, err
}

// halves reads "A to B" or "A x B".
func halves(s, between string) (string, string, bool) {
	a, b, ok := strings.Cut(s, between)
	return strings.TrimSpace(a), strings.TrimSpace(b), ok && strings.TrimSpace(b) != ""
}

// pumpExtras are what the command line adds to any pump.
type pumpExtras struct {
	care       pump.Care
	calibrated time.Time
	meter      *pump.Signal[quantity.Flow]
	tube       quantity.Volume
	column     quantity.Volume
	checks     []pump.Reading
	rates      []quantity.FeedRate
	flows      []quantity.Flow
	today      time.Time
}

func (f pumpFlags) extras(o templates.Options) (pumpExtras, error) {
	x := pumpExtras{today: o.Date}
	var err error
	if f.every != "" {
		if x.care.Every, err = quantity.ParseTime(f.every); err != nil {
			return x, err
		}
	}
	if f.calibrated != "" {
		if x.calibrated, err = time.Parse("2006-01-02", f.calibrated); err != nil {
			return x, badUsage("--calibrated %q is not a day: write YYYY-MM-DD", f.calibrated)
		}
	}
	if f.meter != "" {
		low, high, ok := halves(f.meter, " to ")
		if !ok {
			low, high = "0 m3/h", f.meter
		}
		var s pump.Signal[quantity.Flow]
		if s.Low, err = quantity.ParseFlow(low); err != nil {
			return x, err
		}
		if s.High, err = quantity.ParseFlow(high); err != nil {
			return x, err
		}
		if s.High <= s.Low {
			return x, badUsage("--meter %q: 20 mA must stand for more than 4 mA", f.meter)
		}
		x.meter = &s
	}
	if f.tube != "" {
		long, bore, ok := halves(strings.ReplaceAll(f.tube, "×", "x"), "x")
		if !ok {
			return x, badUsage(`--tube %q: write length x bore, like "12 m x 6 mm"`, f.tube)
		}
		l, err := quantity.ParseLength(long)
		if err != nil {
			return x, err
		}
		d, err := quantity.ParseLength(bore)
		if err != nil {
			return x, err
		}
		x.tube = pump.LineVolume(l, d)
	}
	if f.column != "" {
		if x.column, err = quantity.ParseVolume(f.column); err != nil {
			return x, err
		}
		if x.column <= 0 {
			return x, badUsage("--column %q is not above zero", f.column)
		}
	}
	for _, s := range f.check {
		r, err := parseDrawdown(s)
		if err != nil {
			return x, err
		}
		x.checks = append(x.checks, r)
	}
	for _, s := range f.rate {
		r, err := quantity.ParseFeedRate(s)
		if err != nil {
			return x, err
		}
		if r <= 0 {
			return x, note.Fault("bad-rate", "feed rate %q is not above zero", s)
		}
		x.rates = append(x.rates, r)
	}
	for _, s := range f.flow {
		q, err := quantity.ParseFlow(s)
		if err != nil {
			return x, err
		}
		if q <= 0 {
			return x, note.Fault("bad-flow", "flow %q is not above zero", s)
		}
		x.flows = append(x.flows, q)
	}
	if len(x.flows) == 2 {
		x.flows = pump.EvenFlows(min(x.flows[0], x.flows[1]), max(x.flows[0], x.flows[1]), 7)
	}
	return x, nil
}

// knobs gives what the command line says of the pump itself.
func (f pumpFlags) knobs(p *pump.Pump) error {
	var err error
	if f.turndown != "" {
		v, rest, e := quantity.Split(strings.TrimSuffix(f.turndown, ":1"))
		if e != nil || rest != "" || v < 1 {
			return badUsage(`--turndown %q is not a number of 1 or more, such as "10"`, f.turndown)
		}
		p.Turndown = v
	}
	for _, k := range []struct {
		text string
		to   *quantity.Setting
	}{{f.step, &p.Setting.Step}, {f.strokeStep, &p.Stroke.Step}} {
		if k.text == "" {
			continue
		}
		if *k.to, err = quantity.ParseSetting(k.text); err != nil {
			return err
		}
		if *k.to <= 0 {
			return badUsage("a knob step of %q is not above zero", k.text)
		}
	}
	if f.accuracy != "" {
		if p.OfScale, err = quantity.ParseFraction(f.accuracy); err != nil {
			return err
		}
	}
	return nil
}

// pumpQuick serves one pump that the command line describes.
func (e *env) pumpQuick(f pumpFlags) error {
	o, err := e.options()
	if err != nil {
		return err
	}
	q, err := f.quick(o)
	if err != nil {
		return usageError{err}
	}
	if len(q.readings) > 0 {
		if q.pump.Calibration, err = pump.Fit(q.readings); err != nil {
			return err
		}
	} else {
		q.pump.Calibration = pump.FromNameplate(q.largest)
	}
	a := answerPump(q.pump, q.extras, q.perFlow, q.extras.flows, q.stock)
	if len(a.Settings) == 0 && len(a.Pace) == 0 {
		a.Notes.Add(note.New(note.Info, "no-rate", "no feed rate is given: add --rate, or --flow with --dose and --stock, to get a setting"))
	}
	return e.showPumps(templates.PumpReport{Pumps: []templates.PumpAnswer{a}})
}

// quickPump is what the flags say of one pump.
type quickPump struct {
	pump     pump.Pump
	readings []pump.Reading
	largest  quantity.FeedRate
	perFlow  quantity.FeedRate
	stock    quantity.Concentration
	extras   pumpExtras
}

// quick reads the flags of a pump without a site.
func (f pumpFlags) quick(o templates.Options) (quickPump, error) {
	q := quickPump{pump: pump.Pump{Name: f.name}}
	var err error
	if q.extras, err = f.extras(o); err != nil {
		return q, err
	}
	if err := f.knobs(&q.pump); err != nil {
		return q, err
	}
	for _, s := range f.drawdown {
		r, err := parseDrawdown(s)
		if err != nil {
			return q, err
		}
		q.readings = append(q.readings, r)
	}
	if f.largest != "" {
		if q.largest, err = quantity.ParseFeedRate(f.largest); err != nil {
			return q, err
		}
		if q.largest <= 0 {
			return q, badUsage("--pump-max %q is not above zero", f.largest)
		}
	}
	switch {
	case f.dose != "" && f.stock != "":
		d, err := quantity.ParseDose(f.dose)
		if err != nil {
			return q, err
		}
		if q.stock, err = quantity.ParseConcentration(f.stock); err != nil {
			return q, err
		}
		if d.Concentration <= 0 || q.stock <= 0 {
			return q, badUsage("--dose and --stock must be above zero")
		}
		q.perFlow = pump.PerFlow(d.Concentration, q.stock)
	case f.dose != "" || f.stock != "":
		return q, badUsage("--dose and --stock belong together: the feed is flow x dose / stock")
	case len(q.extras.flows) > 0:
		return q, badUsage(`--flow needs --dose and --stock, such as --dose "12.5 mg/L" --stock "150 g/L"`)
	}
	return q, nil
}

// showPumps emits the report; a feed that no setting gives ends with exit code 3.
func (e *env) showPumps(r templates.PumpReport, inputs ...string) error {
	asked, reached := 0, 0
	for _, a := range r.Pumps {
		for _, s := range a.Settings {
			asked++
			if s.Reach == pump.Within {
				reached++
			}
		}
	}
	if asked > 0 && reached == 0 {
		e.noAnswer()
	}
	return e.emit(r, inputs...)
}

// answerPump works out everything that is asked of one pump.
func answerPump(p pump.Pump, x pumpExtras, perFlow quantity.FeedRate, flows []quantity.Flow, stock quantity.Concentration) templates.PumpAnswer {
	a := templates.PumpAnswer{Pump: p, Column: x.column, Tube: x.tube}
	a.Notes = append(a.Notes, p.Calibration.Notes...)
	least, peak := quantity.FeedRate(0), quantity.FeedRate(0)
	want := func(r quantity.FeedRate) {
		peak = max(peak, r)
		if least == 0 || r < least {
			least = r
		}
	}
	for _, r := range x.rates {
		want(r)
		a.Settings = append(a.Settings, templates.PumpSetting{For: "rate asked for", Choice: p.For(r)})
	}
	if perFlow > 0 && len(flows) > 0 {
		for _, q := range flows {
			want(perFlow * quantity.FeedRate(q))
		}
		var notes note.List
		if len(flows) > 1 {
			a.Pace, a.Stroke, notes = p.Pace(pump.Pacing{PerFlow: perFlow, Flows: flows, Meter: x.meter})
			a.Notes = append(a.Notes, notes...)
		} else {
			a.Settings = append(a.Settings, templates.PumpSetting{For: quantity.Flow(flows[0]).String(), Choice: p.For(perFlow * quantity.FeedRate(flows[0]))})
		}
	}
	for _, s := range a.Settings {
		for _, n := range s.Notes {
			if s.Reach == pump.Within {
				a.Notes.Add(n)
			}
		}
	}
	if peak > 0 {
		a.Notes = append(a.Notes, p.Fit(pump.Need{Least: least, Peak: peak, Stock: stock}).Notes...)
	}
	for _, c := range x.checks {
		off, n := x.care.Check(p.Calibration, c)
		a.Checks = append(a.Checks, templates.PumpCheck{Reading: c, Line: p.Calibration.Rate(c.Position), Off: off})
		a.Notes.Add(n)
	}
	a.Notes = append(a.Notes, x.care.Advice(p.Calibration, x.calibrated, x.today)...)
	return a
}
