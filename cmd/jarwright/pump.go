package main

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// ownPump are the flags of a pump without a site; feedFlags, knobFlags and meterFlags
// count with a site too, in place of what it says.
var (
	ownPump = slices.Concat(siteFlags{
		{name: "pump", sheet: "Pumps", field: "name", usage: "`NAME` of the pump (in a site: show only this one)"},
		{name: "pump-max", sheet: "Pumps", field: "largest rate", usage: "largest `RATE` on the nameplate, for a pump without drawdown readings"},
		{name: "drawdown", repeat: true, put: drawdown,
			usage: "a drawdown `READING`" + `: "20 %=8.1 mL/min", "20 %=81 mL in 10 min", or stroke x speed: "40 % x 50 %=19 mL/min"`},
	}, feedFlags, knobFlags, meterFlags)
	feedFlags = siteFlags{
		{name: "dose", sheet: "Chemicals", field: "dose",
			usage: `dose, "12.5 mg/L", on the basis of --stock (with a site: as product, in place of its own)`},
		{name: "stock-density", sheet: "Stocks", field: "density"}, // first, as a strength by mass needs it
		{name: "stock", sheet: "Stocks", field: "product in stock", usage: `strength of what the pump delivers, "150 g/L", on the basis of --dose`},
	}
	knobFlags = siteFlags{
		{name: "turndown", sheet: "Pumps", field: "turndown", usage: "largest over smallest steady rate (10 a knob when absent)"},
		{name: "knob-step", sheet: "Pumps", field: "knob step", usage: `step of the knob, "1 %" when absent`},
		{name: "full-scale", sheet: "Pumps", field: "knob at full", usage: `what the knob shows at 100 %, "100 rpm", "50 Hz" or "10 marks"; settings are then in these too`},
		{name: "per-turn", sheet: "Pumps", field: "feed per turn", usage: `what the tube in a peristaltic pump gives at each revolution, "0.85 mL"`},
		{name: "stroke-step", sheet: "Pumps", field: "stroke step", usage: `step of the stroke knob, that of the knob when absent`},
		{name: "accuracy", sheet: "Pumps", field: "accuracy", usage: `maker's accuracy, as a share of full scale: "1 %"`},
		{name: "every", sheet: "Pumps", field: "calibrate every", usage: `time between calibrations, "30 d" when absent`},
		{name: "tube", usage: `tube to the dosing point, length x bore: "12 m x 6 mm"`, put: tube},
	}
	meterFlags = siteFlags{
		{name: "meter", usage: `flow that the meter's 4 and 20 mA stand for: "0 m3/h to 20 m3/h"`, put: meter},
	}
	checkFlags = siteFlags{
		{name: "check", repeat: true, usage: `a check drawdown against the line: "50 %=21 mL/min"`, put: drawdown},
	}
)

func newPump(e *env) *cobra.Command {
	var x pumpExtras
	c := &cobra.Command{
		Use:   "pump [SITE]",
		Short: "Drawdowns, the pump's line, the setting for a feed",
		Long: `Shows the curve of each pump from its drawdown readings, how far the readings lie
off it, and where to set the knob for a feed rate; with flows, a table to pin
beside the pump. Without SITE it reads site.xlsx in this folder, or works from
--drawdown or --pump-max alone.`,
		Example: `  jarwright pump site.xlsx
  jarwright pump --drawdown "20 %=8.1 mL/min" --drawdown "50 %=22.6 mL/min" --drawdown "80 %=36.8 mL/min" --rate "12 mL/min"
  jarwright pump --drawdown "20 %=11.2 mL in 2 min" --drawdown "80 %=47.3 mL in 2 min" --dose "12.5 mg/L" --stock "150 g/L" --flow "2.2 m3/h" --flow "5.4 m3/h"
  jarwright pump --drawdown "40 % x 50 %=19 mL/min" --drawdown "80 % x 50 %=39 mL/min" --drawdown "80 % x 100 %=78 mL/min" --rate "30 mL/min"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			x.today = e.shown.Date
			checks, err := checkFlags.site(cmd)
			if err == nil {
				x.checks, err = dosing.ReadingsOf(checks.Drawdown, knobScale(cmd))
			}
			switch {
			case err != nil:
				return usageError{err}
			case !cmd.Flags().Changed("drawdown") && !cmd.Flags().Changed("pump-max") && !cmd.Flags().Changed("per-turn"):
				return e.pumpSite(cmd, args, x)
			case len(args) > 0:
				return badUsage("a site workbook and --drawdown or --pump-max do not go together: leave one out")
			}
			if e.raw > 0 {
				return badUsage("--raw is today's water of a site, and there is none")
			}
			if e.bench != nil {
				return badUsage("--bench gives a site its dose, and there is none")
			}
			return e.pumpQuick(cmd, x)
		},
	}
	ownPump.add(c)
	e.addRaw(c)
	e.addBench(c)
	checkFlags.add(c)
	repeated(c, &x.rates, "rate", "RATE", `feed rate wanted, "12 mL/min" or "0.7 L/h" (repeat for more)`, aboveZero(quantity.Parse[quantity.FeedRate]))
	repeated(c, &x.flows, "flow", "FLOW", "water flow for the table, with --dose and --stock; two give an even table between them (repeat for more)",
		aboveZero(quantity.Parse[quantity.Flow]))
	parsed(c, &x.column, "column", "VOLUME", `volume drawn from the measuring column at a check: "100 mL"`, aboveZero(quantity.Parse[quantity.Volume]))
	const calibrated = "day of the drawdown readings (YYYY-MM-DD); with --date tells whether they are too old"
	parsed(c, &x.calibrated, "calibrated", "DAY", calibrated, func(s string) (time.Time, error) {
		day, err := time.Parse("2006-01-02", s)
		if err != nil {
			err = badUsage("this is not a day: write YYYY-MM-DD")
		}
		return day, err
	})
	return c
}

// knobScale is what the command line says that the knob shows at 100 %.
func knobScale(cmd *cobra.Command) quantity.Known[site.Knob] {
	s, err := ownPump.site(cmd)
	if err != nil || len(s.Pumps) == 0 {
		return quantity.Known[site.Knob]{}
	}
	return s.Pumps[0].Scale
}

// aboveZero parses what must be above zero.
func aboveZero[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	return func(s string) (T, error) {
		v, err := parse(s)
		if err == nil && v <= 0 {
			err = note.Fault("not-positive", "%q is not above zero", s).Do("give a value above zero")
		}
		return v, err
	}
}

// drawdown reads "20 %=8.1 mL/min", "20 %=81 mL in 10 min" or "40 % x 50 %=…".
func drawdown(b *flagSite, row int, text string, at note.Place) {
	at.Cell += " " + strconv.Quote(text)
	put := func(field, text string) { b.put("Drawdown", row, field, strings.TrimSpace(text), "", at) }
	speed, what, ok := strings.Cut(text, "=")
	if !ok {
		b.faults.Add(note.Fault("bad-drawdown", `a drawdown %q has no "="`, text).At(at).Do(`write it like "20 %%=8.1 mL/min" or "20 %%=81 mL in 10 min"`))
		return
	}
	if stroke, after, two := strings.Cut(strings.ToLower(strings.ReplaceAll(speed, "×", "x")), "x"); two {
		put("stroke", strings.TrimPrefix(strings.TrimSpace(stroke), "stroke"))
		speed = after
	}
	put("speed", strings.TrimPrefix(strings.TrimSpace(speed), "speed"))
	if volume, span, timed := strings.Cut(what, " in "); timed {
		put("volume", volume)
		put("time", span)
	} else {
		put("rate", what)
	}
}

// tube reads length x bore.
func tube(b *flagSite, row int, text string, at note.Place) {
	long, bore, ok := halves(strings.ReplaceAll(text, "×", "x"), "x")
	if !ok {
		b.faults.Add(note.Fault("bad-tube", "%q has no bore", text).At(at).Do(`write length x bore, like "12 m x 6 mm"`))
		return
	}
	b.put("Pumps", row, "tube length", long, "", at)
	b.put("Pumps", row, "tube bore", bore, "", at)
}

// meter reads what 4 and 20 mA stand for; one flow is that of 20 mA.
func meter(b *flagSite, _ int, text string, at note.Place) {
	low, high, ok := halves(text, " to ")
	if !ok {
		low, high = "0 m3/h", text
	}
	before := len(b.faults)
	b.put("Flow", 0, "flow at 4 mA", low, "", at)
	b.put("Flow", 0, "flow at 20 mA", high, "", at)
	if f := b.Flow; len(b.faults) == before && f.MeterSpan.V <= f.MeterZero.V {
		b.faults.Add(note.Fault("bad-meter", "%q: 20 mA must stand for more than 4 mA", text).At(at).Do("give the smaller flow first"))
	}
}

// halves reads "A to B" or "A x B".
func halves(s, between string) (string, string, bool) {
	a, b, ok := strings.Cut(s, between)
	return strings.TrimSpace(a), strings.TrimSpace(b), ok && strings.TrimSpace(b) != ""
}

// pumpExtras are what is known of a pump beside its curve, and what is asked of it.
type pumpExtras struct {
	care       pump.Care
	calibrated time.Time
	meter      *pump.Signal[quantity.Flow]
	tube       quantity.Volume
	column     quantity.Volume
	checks     []pump.Reading
	rates      []quantity.FeedRate
	flows      []quantity.Flow
	dose       quantity.Known[quantity.Concentration] // in place of a site's, as product
	stock      quantity.Known[quantity.Concentration]
	today      time.Time
	meterAsked bool // the command line gives the meter's signal
}

// asked names what of a feed the command line says in place of a site.
func (x pumpExtras) asked() (names []string) {
	for _, a := range []struct {
		name  string
		given bool
	}{{"--dose", x.dose.OK}, {"--stock", x.stock.OK}, {"--flow", len(x.flows) > 0}} {
		if a.given {
			names = append(names, a.name)
		}
	}
	return names
}

// of adds what a site says of a pump.
func (x pumpExtras) of(s site.Site, row site.Pump, readings []site.Drawdown) pumpExtras {
	x.care.Every = row.Every.V
	if s.Flow.MeterSpan.OK {
		x.meter = &pump.Signal[quantity.Flow]{Low: s.Flow.MeterZero.V, High: s.Flow.MeterSpan.V}
	}
	if row.TubeLength.OK && row.TubeBore.OK {
		x.tube = pump.LineVolume(row.TubeLength.V, row.TubeBore.V)
	}
	for _, d := range readings { // the oldest reading decides
		if d.Date.OK && (x.calibrated.IsZero() || d.Date.V.Before(x.calibrated)) {
			x.calibrated = d.Date.V
		}
	}
	return x
}

// pumpQuick serves one pump that the command line describes.
func (e *env) pumpQuick(cmd *cobra.Command, x pumpExtras) error {
	s, err := ownPump.site(cmd)
	if err != nil {
		return usageError{err}
	}
	dosed, stocked := len(s.Chemicals) > 0, len(s.Stocks) > 0
	var m dosing.Metering
	switch {
	case dosed != stocked:
		return badUsage("--dose and --stock belong together: the feed is flow x dose / stock")
	case dosed && s.Chemicals[0].Dose.V <= 0:
		return badUsage("--dose and --stock must be above zero")
	case dosed:
		m.Dose, m.Stock = s.Chemicals[0].Dose.V, s.Stocks[0].Product.V
	case len(x.flows) > 0:
		return badUsage(`--flow needs --dose and --stock, such as --dose "12.5 mg/L" --stock "150 g/L"`)
	}
	var row site.Pump
	if len(s.Pumps) > 0 {
		row = s.Pumps[0]
	}
	row.StrokeStep.OK = true // a step not given is 1 %, not that of the other knob
	if len(s.Drawdown) > 0 {
		row.Max.OK = false // a reading goes before the nameplate, even where it does not do
	}
	if m.Pump, err = dosing.PumpOf(row, s.Drawdown); err != nil {
		return err
	}
	a := answerPump(m, x.of(s, row, nil), between(x.flows))
	a.Signals = true
	if dosed && s.Chemicals[0].Basis.OK {
		as := s.Chemicals[0].Basis.V
		a.Notes.Add(note.New(note.Caution, "stock-counts", "--dose counts %s, so --stock %s is taken to count %s too", as, quantity.To(m.Stock, 4), as).
			At(note.Place{Cell: "--stock"}).Do("give both of the same thing: what a litre of stock holds of it, or both as product"))
	}
	if len(a.Settings) == 0 && len(a.Pace) == 0 {
		a.Notes.Add(note.New(note.Info, "no-rate", "no feed rate is given: add --rate, or --flow with --dose and --stock, to get a setting"))
	}
	return e.showPumps(templates.PumpReport{Pumps: []templates.PumpAnswer{a}})
}

// between makes an even table of two flows; others stay as they are.
func between(flows []quantity.Flow) []quantity.Flow {
	if len(flows) == 2 {
		return pump.EvenFlows(min(flows[0], flows[1]), max(flows[0], flows[1]), 7)
	}
	return flows
}

// showPumps emits the report; a feed that no setting gives ends with exit code 3.
func (e *env) showPumps(r templates.PumpReport, inputs ...string) error {
	var asked []templates.PumpSetting
	for _, a := range r.Pumps {
		asked = append(asked, a.Settings...)
	}
	if len(asked) > 0 && !slices.ContainsFunc(asked, func(s templates.PumpSetting) bool { return s.Reach == pump.Within }) {
		e.noAnswer()
	}
	return e.emit(r, inputs...)
}

// answerPump works out everything that is asked of one pump: the rates asked for,
// and what m has to feed at the flows.
func answerPump(m dosing.Metering, x pumpExtras, flows []quantity.Flow) templates.PumpAnswer {
	p := *m.Pump
	a := templates.PumpAnswer{Pump: p, Column: x.column, Tube: x.tube}
	a.Notes = append(a.Notes, p.Calibration.Notes...)
	rates := slices.Clone(x.rates)
	for _, r := range x.rates {
		a.Settings = append(a.Settings, templates.PumpSetting{For: "rate asked for", Choice: m.Feeding(r).Choice.V})
	}
	if m.Dose > 0 {
		for _, q := range flows {
			rates = append(rates, m.At(q).Rate)
		}
		if len(flows) > 1 {
			var notes note.List
			a.Pace, a.Stroke, notes = p.Pace(pump.Pacing{PerFlow: pump.PerFlow(m.Dose, m.Stock), Flows: flows, Meter: x.meter})
			a.Notes = append(a.Notes, notes...)
		} else if len(flows) == 1 {
			a.Settings = append(a.Settings, templates.PumpSetting{For: flows[0].String(), Choice: m.At(flows[0]).Choice.V})
		}
	}
	for _, s := range a.Settings {
		if s.Reach == pump.Within {
			a.Notes.Add(s.Notes...)
		}
	}
	rates = slices.DeleteFunc(rates, func(r quantity.FeedRate) bool { return r <= 0 })
	if len(rates) > 0 {
		a.Notes = append(a.Notes, p.Fit(pump.Need{Least: slices.Min(rates), Peak: slices.Max(rates), Stock: m.Stock, MadeUp: m.MadeUp}).Notes...)
	}
	for _, c := range x.checks {
		off, n := x.care.Check(p.Calibration, c)
		a.Checks = append(a.Checks, templates.PumpCheck{Reading: c, Line: p.Calibration.Rate(c.Position), Off: off})
		a.Notes.Add(n)
	}
	a.Notes = append(a.Notes, x.care.Advice(p.Calibration, x.calibrated, x.today)...)
	return a
}
