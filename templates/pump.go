package templates

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// PumpReport is the answer of "pump".
type PumpReport struct {
	Place string
	Pumps []PumpAnswer
	// Day is the day that is planned; its feeds without a pump are fed by hand. None where it is not known.
	Day dosing.Plan
	// Taken are the stops of the day that somebody takes the risk of.
	Taken []caution.Taken
	Notes note.List
}

// PumpAnswer is one pump: its curve, its settings, its table.
type PumpAnswer struct {
	Pump     pump.Pump
	Chemical string // what it feeds, where known
	Settings []PumpSetting
	// Pace is the flow-paced table; Stroke is where the stroke stays meanwhile.
	Pace   []pump.PaceRow
	Stroke quantity.Setting
	// Column is the volume that a check drawdown takes from the measuring column.
	Column quantity.Volume
	// Tube is what the tube holds from pump to dosing point; zero where not known.
	Tube quantity.Volume
	// Signals is true for a pump that follows one, so that the table has them.
	Signals bool
	// Follows is true for a pump that follows the flow meter through a day whose flow varies, so that nobody sets it.
	Follows bool
	// Checks are check drawdowns held against the line.
	Checks []PumpCheck
	// Past is the dose by raw water where past tests gave it, nil else, and ByRaw the card by raw water and flow.
	Past  *dosing.PastTests
	ByRaw []dosing.RawSetting
	// Basis is that of the doses of the card.
	Basis quantity.Basis
	// Untold says why past tests give no dose for it today.
	Untold quantity.Known[note.Note]
	// Stopped is true where a caution stops the plan, so that no setting is given.
	Stopped bool
	Notes   note.List
}

// PumpSetting is a setting and what it is for.
type PumpSetting struct {
	For string
	pump.Choice
	// NotSet is true of one that the day never uses.
	NotSet bool
}

// PumpCheck is a check drawdown and how far it is off.
type PumpCheck struct {
	Reading pump.Reading
	Line    quantity.FeedRate
	Off     quantity.Fraction
}

func (a PumpAnswer) name() string {
	return bracketed(upperFirst(cmp.Or(a.Pump.Name, "pump")), joined(", ", a.Chemical, either(a.Pump.Tube != "", "tube "+a.Pump.Tube, "")))
}

// Text implements [Report].
func (r PumpReport) Text(t *Text, o Options) {
	if len(r.Pumps)+len(r.hand()) > 0 {
		t.Answer(r.answer(o))
	}
	acceptedText(t, r.Taken)
	// Paper has the tables to pin beside the pumps together.
	parts := []func(PumpAnswer){func(a PumpAnswer) { a.set(t, a.data()); a.paces(t, a.data()); a.rest(t, o, a.data()) }}
	if t.paper() {
		parts = []func(PumpAnswer){func(a PumpAnswer) { a.set(t, a.data()) }, func(a PumpAnswer) { a.paces(t, a.data()) }, func(a PumpAnswer) { a.rest(t, o, a.data()) }}
	}
	for _, part := range parts {
		for _, a := range r.Pumps {
			part(a)
		}
	}
	if hand, p := r.hand(), (Plan{Plan: r.Day}); len(hand) > 0 {
		t.Head("Fed by hand")
		for i, f := range p.byHand() {
			t.Item("-", upperFirst(o.Show(p.feedWords(f, hand[i], f.StockName))))
		}
	}
	t.minded(r.Notes)
}

// set is where the pump is to be set.
func (a PumpAnswer) set(t *Text, d *figure.Object) {
	t.Head(a.name())
	if a.Stopped {
		t.Para("No setting is given: the plan is stopped (see below). The curve stays as it is.")
	}
	if len(a.Settings) > 0 {
		a.settings(t, d)
	}
}

// paces are the tables to pin beside the pump: by flow, and by raw water.
func (a PumpAnswer) paces(t *Text, d *figure.Object) {
	if len(a.Pace) > 0 {
		a.pace(t, d)
	}
	if len(a.ByRaw) > 0 {
		t.Head(a.name() + ": setting by raw water and flow")
		byRawText(t, d.Sub("past_tests"))
	}
}

// rest is the pump itself: its curve, checks and notes.
func (a PumpAnswer) rest(t *Text, o Options, d *figure.Object) {
	a.curve(t, o, d)
	if checks := d.Objects("checks"); len(checks) > 0 {
		t.Head(a.name() + ": check drawdown")
		t.each(cols("setting", ">read", ">line", ">off"), checks, func(_ int, c *figure.Object) []any {
			return []any{a.position(c), c.Fig("rate"), c.Fig("line"), c.Fig("off_share")}
		})
	}
	if o.Explain {
		a.working(t, d)
	}
	t.aside(a.Notes)
}

// settings is what the technician came for: where to turn the knob, and what a
// stopwatch must show.
func (a PumpAnswer) settings(t *Text, d *figure.Object) {
	t.each(cols("for", ">feed", "setting", ">gives", ">dose off", "stopwatch"), d.Objects("settings"), func(i int, c *figure.Object) []any {
		if !c.Has("setting") {
			return []any{a.Settings[i].For, c.Fig("rate"), "OUT OF REACH", "", "", ""}
		}
		return []any{a.Settings[i].For, c.Fig("rate"), figure.Say(either(a.Settings[i].NotSet, "not used (%s)", either(a.Follows, "%s", "SET %s")), a.position(c)), c.Fig("gives"), c.Fig("dose_off"),
			figure.Say("%s for %s", c.Fig("stopwatch_time"), c.Fig("stopwatch_volume"))}
	})
	for i, c := range d.Objects("settings") {
		if !c.Has("setting") {
			continue
		}
		if gives := a.Settings[i].Gives; d.Has("tube") && gives > 0 {
			t.Say("The tube to the dosing point holds %s: after a change the new feed arrives after %s (at %s).",
				d.Fig("tube"), figure.Figure{Q: pump.TimeFor(a.Tube, gives), Form: figure.Watch}, c.Fig("gives").In(figure.Brief))
		}
		if c.Has("low") {
			t.Say("A drawdown at %s should show %s to %s, 19 times in 20; outside that, calibrate again.", a.position(c), c.Fig("low"), c.Fig("high"))
		}
		if c.Has("accuracy") { // how far the feed itself may be off, said once
			t.Say("The maker's %s of full scale is %s of the feed at %s.", figure.Figure{Q: a.Pump.OfScale, Digits: 2}, c.Fig("accuracy"), c.Fig("gives").In(figure.Brief))
		}
		return
	}
}

// marked is a volume as a measuring column has it, in metric units for all readers; those of US units have no litres on it.
type marked struct{ quantity.Volume }

// Show implements [quantity.Quantity].
func (m marked) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return m.In("mL"), "mL"
	}
	return m.Volume.Show(quantity.Metric)
}

// perHour is a feed as plates of pumps in US units have it.
func perHour(r quantity.FeedRate, digits int) figure.Figure {
	return figure.Of("", figure.Plain{V: r.In("gph"), U: "gph"}, "gph", digits)
}

// column is a volume that takes between half a minute and about five at a rate.
func (a PumpAnswer) column(r quantity.FeedRate) quantity.Volume {
	if a.Column > 0 {
		return a.Column
	}
	if r <= 0 {
		return 0.1
	}
	for _, mL := range [...]float64{5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if v := quantity.Volume(mL / 1000); pump.TimeFor(v, r).In("min") >= 1 {
			return v
		}
	}
	return 10
}

func (a PumpAnswer) pace(t *Text, d *figure.Object) {
	t.Half(a.name() + ": table to pin beside the pump")
	if a.Pump.Calibration.TwoKnobs() {
		t.Say("Leave the stroke at %s; the speed follows the flow.", d.Fig("pace_stroke"))
	}
	meter := d.Objects("pace")[0].Has("meter_signal")
	t.each(cols(">flow", either(meter, ">meter", absent), ">feed", ">setting", either(a.Signals, ">pump signal", absent), ">dose off", ""), d.Objects("pace"),
		func(i int, c *figure.Object) []any {
			remark := ""
			switch r := a.Pace[i]; {
			case r.Reach == pump.TooMuch:
				remark = "more than the pump gives"
			case r.Reach == pump.TooLittle:
				remark = "too little for the pump"
			case !r.Tested:
				remark = "not tested there"
			}
			return []any{c.Fig("flow"), c.Fig("meter_signal"), c.Fig("rate"), knobShows(c), c.Fig("pump_signal"), c.Fig("dose_off"), remark}
		})
	if d.Has("past_tests") {
		t.Say("For raw water of %s alone, by %s past tests: for other water the next table.", d.Fig("past_tests.raw_turbidity"), d.Fig("past_tests.tests"))
	}
	if meter {
		t.Para("Both signals have a live zero: 4 mA is nothing, 12 mA is half.")
	}
}

func (a PumpAnswer) curve(t *Text, o Options, d *figure.Object) {
	c := a.Pump.Calibration
	t.Behind(a.name() + ": drawdown")
	t.Para(o.Show(a.equation(d)))
	if len(c.Readings) > 0 {
		t.each(cols("setting", ">read", ">line", ">off by", ">share"), d.Objects("readings"), func(_ int, r *figure.Object) []any {
			return []any{a.position(r), r.Fig("rate"), r.Fig("line"), r.Fig("off"), r.Fig("off_share")}
		})
		tested := figure.Say("Tested from %s to %s; the pump gives up to about %s.", a.position(a.end(c.Low)), a.position(a.end(c.High)), d.Fig("capacity"))
		if c.HasSD {
			tested = figure.Say("Readings scatter about it by %s (residual standard deviation). %s", d.Fig("residual_sd"), tested)
		}
		t.Para(o.Show(tested))
		if p := a.panel(o); len(p.Layers) > 0 {
			t.Blank()
			t.Picture(draw.Drawing{Title: either(t.paper(), a.says(o, d), ""), Description: "Feed against the setting of the pump, with the drawdown readings.", Panels: []draw.Panel{p},
				DecimalComma: o.DecimalComma}, 72, 14)
		}
	}
	t.Blank()
	t.Para("Calibrate again after: " + strings.Join(pump.Occasions(), "; ") + ".")
}

// end is a position at an end of the tested range.
func (a PumpAnswer) end(p pump.Position) *figure.Object {
	return figure.New(knob("setting", p.Setting, 3), onScale(a.Pump, p.Setting), knob("stroke", p.Stroke, 3))
}

// equation writes the curve in words.
func (a PumpAnswer) equation(d *figure.Object) figure.Phrase {
	c := a.Pump.Calibration
	slope, intercept := unitless(d.Fig("line.slope")), unitless(d.Fig("line.intercept"))
	switch c.Shape {
	case pump.Straight:
		s := figure.Say("feed (mL/min) = %s x setting (%%)", slope)
		first, _, _ := c.Line()
		switch top := float64(c.Rate(pump.Position{Setting: 100})); {
		case math.Abs(float64(first)) < 1e-6*top:
			s = s.And(", through zero")
		case first < 0:
			intercept.Q = figure.Plain{V: -float64(first)}
			s = s.And(" - %s", intercept)
		default:
			s = s.And(" + %s", intercept)
		}
		s = s.If(c.HasStroke, ", with the stroke at %s", knob("", c.Stroke, 3))
		return s.And(".")
	case pump.Between:
		return figure.Say("The readings bend, so the feed is read off between neighbouring readings, not off a straight line.")
	case pump.Surface:
		return figure.Say("A surface is fitted in stroke and speed: feed = a + b x speed + c x stroke + d x speed x stroke.")
	case pump.ByStroke:
		return figure.Say("feed = speed x (a + b x stroke), fitted to the readings.")
	case pump.NominalByStroke:
		return figure.Say("Not calibrated: feed = the nameplate's %s x speed x stroke.", rate("", a.Pump.Capacity(), 3))
	default:
		s := figure.Say("Not calibrated: feed (mL/min) = %s x setting (%%), from the nameplate's %s", slope,
			rate("", c.Rate(pump.Position{Setting: 100})*quantity.FeedRate(100/cmp.Or(c.Stroke, 100)), 3))
		return s.If(c.HasStroke, " and the stroke at %s", knob("", c.Stroke, 3)).And(".")
	}
}

func (a PumpAnswer) working(t *Text, d *figure.Object) {
	t.Head(a.name() + ": working")
	c := a.Pump.Calibration
	var l facts
	if _, _, ok := c.Line(); ok && c.Shape == pump.Straight {
		l.add("line", figure.Say("least squares through %s readings; a line of a pump need not pass through zero (common practice, no source)",
			len(c.Readings)))
		for _, s := range d.Objects("settings") {
			l.add("setting for "+t.opt.Show(s.Fig("rate").In(figure.Brief)),
				figure.Say("(feed - intercept) / slope = %s, rounded to the knob's step: %s; error = %s / %s - 1",
					s.Fig("setting_exact"), s.Fig("setting"), s.Fig("gives"), s.Fig("rate")))
		}
		l.add("per step of 1 %", figure.Say("%s mL/min", unitless(d.Fig("line.slope")).To(3)))
	}
	l.when(len(c.Readings) > 0, "19 times in 20", figure.Say("feed ± t(%s) x s x sqrt(1 + leverage), the prediction interval of a new reading", quantity.Number(0.975)).
		If(c.FewToSpare(), "; s also counts four readings that scatter by %s, as is usual (common practice, no source)", pump.UsualScatter))
	l.add("smallest feed", figure.Say("largest %s / turndown = %s", d.Fig("capacity"), d.Fig("smallest")))
	l.add("largest feed to plan for", "85-90 % of capacity (common practice, no source)")
	l.when(len(a.Pace) > 0 && a.Signals, "signal", "mA = 4 + 16 x (value - low) / (high - low)")
	t.Facts(l)
}

// says is the answer as the title of the pump's picture.
func (a PumpAnswer) says(o Options, d *figure.Object) string {
	for _, s := range d.Objects("settings") {
		if s.Has("setting") {
			return o.Say("%s at %s feeds %s", a.name(), a.position(s), s.Fig("gives"))
		}
	}
	return o.Say("%s gives up to about %s", a.name(), d.Fig("capacity"))
}

// panel is readings, line and setting of one pump.
func (a PumpAnswer) panel(o Options) draw.Panel {
	c := a.Pump.Calibration
	p := draw.Panel{X: draw.Axis{Name: "setting", Unit: "%", Zero: true}, Y: draw.Axis{Name: "feed", Unit: "mL/min", Zero: true}}
	high := math.Max(float64(c.High.Setting), 1)
	var order []quantity.Setting
	for _, r := range c.Readings {
		if !slices.Contains(order, r.Stroke) {
			order = append(order, r.Stroke)
		}
	}
	if !c.TwoKnobs() {
		order = order[:min(1, len(order))]
	}
	for i, stroke := range order {
		l := draw.Line{Name: "line", Stroke: draw.Solid}
		pts := draw.Points{Name: "drawdown", Shape: draw.Shape(i)}
		if c.TwoKnobs() {
			l.Name, pts.Name = "", "stroke "+quantity.Setting(stroke).String()
		}
		for k := 0; k <= 40; k++ {
			s := high * float64(k) / 40
			l.At = append(l.At, draw.XY{X: s, Y: float64(c.Rate(pump.Position{Setting: quantity.Setting(s), Stroke: stroke}))})
		}
		for _, r := range c.Readings {
			if r.Stroke == stroke || !c.TwoKnobs() {
				pts.At = append(pts.At, draw.Point{XY: draw.XY{X: float64(r.Setting), Y: float64(r.Rate)}})
			}
		}
		p.Layers = append(p.Layers, l, pts)
	}
	for _, s := range a.Settings {
		if s.Reach == pump.Within && !c.TwoKnobs() && len(p.Layers) > 0 {
			p.Layers = append(p.Layers, draw.Marker{Label: o.Say("%s: %s", s.For, knob("", s.Position.Setting, 3)), Vertical: true,
				At: float64(s.Position.Setting), Stroke: draw.Dashed, Tone: draw.Limit})
			break
		}
	}
	return p
}

// Drawing implements [DrawReport]: the curve of each pump.
func (r PumpReport) Drawing(o Options) draw.Drawing {
	d := o.drawing("Pump curves", "Drawdown readings and the line through them.")
	for _, a := range r.Pumps {
		p := a.panel(o)
		if len(p.Layers) == 0 {
			continue
		}
		p.X.Name = a.name() + ": setting"
		d.Panels = append(d.Panels, p)
	}
	if len(d.Panels) == 1 {
		d.Title = r.Pumps[0].says(o, r.Pumps[0].data())
	}
	return d
}

func shapeWord(s pump.Shape) string {
	return [...]string{"line", "between readings", "stroke and speed", "by stroke", "nameplate", "nameplate"}[s]
}
