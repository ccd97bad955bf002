package templates

import (
	"math"
	"strings"

	"jarwright/dosing/clearing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// caught is a share that a pass takes out.
func caught(key string, f quantity.Fraction) figure.Figure { return figure.Of(key, f, "%", 2) }

// tankRead is a reading of a tank in the unit of its kind.
func tankRead(x clearing.Result, key string, v float64) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: v, U: x.Key.Info().Unit}}
}

// estimated makes the interval of an estimate, of which each figure is made by one function.
func estimated[T ~float64](e clearing.Estimate[T], sure quantity.Fraction, of func(T) figure.Figure) figure.Interval {
	i := figure.Interval{Figure: of(e.V), Confidence: float64(sure)}
	if e.Low.OK {
		i.Low = of(e.Low.V).Q
	}
	if e.High.OK {
		i.High = of(e.High.V).Q
	}
	return i
}

// points is a difference of two shares, in percentage points.
func points(key string, f quantity.Fraction) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: 100 * float64(f), U: "points"}, Digits: 2}
}

// runData is what a run tells.
func (r ClearingReport) runData(x clearing.Result) *figure.Object {
	o := figure.New().Word("name", x.Name).Word("date", x.Date).Put(water("flow", x.Flow.V).If(x.Flow.OK), figure.Of("volume", x.Volume.V, "m3", 4).If(x.Volume.OK),
		mgL("polymer", x.Polymer.V, 3).If(x.Polymer.OK), mgL("coagulant", x.Coagulant.V, 3).If(x.Coagulant.OK),
		figure.Of("skim_every", figure.Fixed{Q: x.Skim.V, Unit: "min"}, "min", 3).If(x.Skim.OK), figure.Of("temperature", x.Temperature.V, "C", 3).If(x.Temperature.OK))
	o.Set("outcome", string(x.Outcome)).Set("reads", string(x.Key))
	if x.Off {
		o.Set("unit_off", true)
	}
	known := x.Capture.V > 0
	switch {
	case x.Outcome.Tells():
		o.Set("capture", estimated(x.Capture, clearing.Sure, func(f quantity.Fraction) figure.Figure { return caught("capture", f) }))
	case known:
		o.Put(caught("capture_at_least", x.Capture.V))
	}
	o.Put(caught("if_unmixed", x.Plug).If(x.Plug > 0 && x.Outcome != clearing.NotMixed))
	if x.Constant.Bounded() {
		o.Set("time_constant", estimated(x.Constant, clearing.Sure, func(t quantity.Time) figure.Figure { return inHours("time_constant", t, 3) })).
			Put(inHours("half_time", x.Constant.V*quantity.Time(math.Ln2), 2))
	}
	if x.Cleared.Low.OK {
		o.Set("cleared", estimated(x.Cleared, clearing.Sure, func(q quantity.Flow) figure.Figure { return water("cleared", q) }))
	}
	o.Put(tankRead(x, "start", x.Start).If(x.Start > 0))
	if x.Floor.Low.OK {
		o.Set("floor", estimated(x.Floor, clearing.Sure, func(v float64) figure.Figure { return tankRead(x, "floor", v).To(2) }))
		if x.Start > 0 {
			o.Put(caught("floor_share", quantity.Fraction(x.Floor.V/x.Start)))
		}
	}
	if t := r.timeData(x); t != nil {
		o.Part("time_to", t)
	}
	o.Put(figure.Of("scatter", x.Scatter.V, "%", 2).If(x.Scatter.OK))
	if x.Off && x.Outcome == clearing.Blank {
		perHour := func(v float64) figure.Figure {
			return figure.Figure{Key: "rise", Q: figure.Plain{V: v, U: x.Key.Info().Unit + "/h"}, Digits: 2}
		}
		o.Set("settles", estimated(x.Settles, clearing.Sure, func(v float64) figure.Figure {
			return figure.Figure{Key: "settles", Q: figure.Plain{V: 100 * v, U: "%/h"}, Digits: 2}
		})).Set("rise", estimated(x.Rise, clearing.Sure, perHour))
	}
	o.Put(figure.Figure{Key: "settled", Q: figure.Plain{V: 100 * x.Settled.V.V, U: "%/h"}, Digits: 2}.If(x.Settled.V.V > 0))
	if s := x.Step; s.OK {
		o.Part("step", figure.New(inHours("at", s.V.At, 3), tankRead(x, "from", s.V.From), tankRead(x, "to", s.V.To)))
	}
	r.passData(o, x)
	if c := x.Closure; c.OK {
		o.Part("closure", figure.New(kilos("gone", c.V.Gone, 3), kilos("made", c.V.Made, 3).If(c.V.Made > 0), kilos("weighed", c.V.Weighed, 3), caught("share", c.V.Share)).
			Put(figure.Figure{Key: "solids_per_unit", Q: figure.Plain{V: c.V.PerUnit}, Digits: 3}, figure.Figure{Key: "fits", Q: figure.Plain{V: c.V.Fits}, Digits: 2}).Set("assumed", c.V.Assumed))
	}
	o.Some("remarks", objects(x.Remarks, func(m clearing.Remark) *figure.Object {
		return figure.New().Put(inHours("at", m.At.V, 4).If(m.At.OK)).Set("text", m.Text).Set("cell", m.Place.Cell)
	}))
	return o.List("readings", objects(x.Readings, func(y clearing.Reading) *figure.Object {
		return figure.New(inHours("at", y.At, 4)).Put(tankRead(x, "tank", y.Tank.V).To(5).If(y.Tank.OK), tankRead(x, "inlet", y.In.V).To(5).If(y.In.OK), tankRead(x, "outlet", y.Out.V).To(5).If(y.Out.OK),
			r.fittedAt(x, y.At))
	}))
}

// fittedAt is the course at the time of a reading.
func (r ClearingReport) fittedAt(x clearing.Result, at quantity.Time) figure.Figure {
	v, ok := x.Course(at)
	return tankRead(x, "fitted", v).If(ok)
}

// timeData is when the tank is at the reading asked for, as a quantity with its reading; nil where none was asked for.
func (r ClearingReport) timeData(x clearing.Result) *figure.Object {
	if !x.Goal.OK || !(x.Outcome == clearing.Found || x.Outcome == clearing.FloorUnknown || x.Outcome == clearing.NotMixed || x.Outcome == clearing.RateOnly) {
		return nil
	}
	o := figure.New(tankRead(x, "reading", x.Goal.V)).Set("reached", !x.Never)
	if !x.Never {
		o.Bare(inHours("value", x.ToGoal.V, 3))
	}
	return o.Bare(inHours("low", x.ToGoal.Low.V, 3).If(x.ToGoal.Low.OK), inHours("high", x.ToGoal.High.V, 3).If(x.ToGoal.High.OK && !x.Never)).
		Set("confidence", figure.Tidy(float64(clearing.Sure))).Set("unit", "h").Set("beyond_readings", x.Beyond)
}

// passData is what inlet and outlet tell, where a run has both beside the readings of the tank.
func (r ClearingReport) passData(o *figure.Object, x clearing.Result) {
	p := x.OfPairs
	if !p.OK {
		return
	}
	d := figure.New().Bare(figure.Count("pairs", p.V.N))
	if p.V.Capture.Bounded() {
		d.Set("capture", estimated(p.V.Capture, clearing.Sure, func(f quantity.Fraction) figure.Figure { return caught("capture", f) }))
	} else {
		d.Put(caught("capture", p.V.Capture.V))
	}
	o.Part("by_pairs", d)
}

// comparisonData is two runs beside each other.
func (r ClearingReport) comparisonData(c clearing.Comparison) *figure.Object {
	var differs []string
	for _, d := range c.Differs {
		differs = append(differs, string(d))
	}
	o := figure.New().Set("runs", []string{r.Results[c.A].Name, r.Results[c.B].Name}).Set("verdict", string(c.Verdict)).Set("differs", append([]string{}, differs...))
	if c.Verdict != clearing.CannotTell {
		o.Set("difference", estimated(c.Points, clearing.SureOfDifference, func(f quantity.Fraction) figure.Figure { return points("difference", f) }))
	}
	return o.Set("order_alone", c.Confounded).Phrase("says", r.compared(c))
}

// groupedData is two settings beside each other.
func (r ClearingReport) groupedData(g clearing.Grouped) *figure.Object {
	side := func(runs []int, of quantity.Fraction) *figure.Object {
		var names []string
		for _, i := range runs {
			names = append(names, r.Results[i].Name)
		}
		return figure.New(caught("capture", of)).Set("runs", names)
	}
	var differs []string
	for _, d := range g.Differs {
		differs = append(differs, string(d))
	}
	return figure.New().List("settings", []*figure.Object{side(g.A, g.OfA), side(g.B, g.OfB)}).Set("verdict", string(g.Verdict)).Set("differs", append([]string{}, differs...)).
		Set("difference", estimated(g.Points, clearing.SureOfDifference, func(f quantity.Fraction) figure.Figure { return points("difference", f) })).
		Set("order_alone", g.Confounded).Set("runs_differ", g.Apart).Phrase("says", r.grouped(g))
}

// enterData is what to put into the site.
func (r ClearingReport) enterData() *figure.Object {
	e := r.Entry
	x := r.Results[e.Run]
	o := figure.New(caught("capture", e.Capture), caught("capture_low", e.Low.V).If(e.Low.OK), caught("capture_high", e.High.V).If(e.High.OK), caught("bare", e.Bare.V).If(e.Bare.OK), tankRead(x, "floor", e.Floor.V).To(2).If(e.Floor.OK),
		figure.Figure{Key: "rise", Q: figure.Plain{V: e.Rise.V, U: x.Key.Info().Unit + "/h"}, Digits: 2}.If(e.Rise.OK)).
		Set("run", strings.Join(r.namesOf(e.Runs), ", ")).Word("trial", r.named()).Set("floor_holds_source", e.Together)
	return o.Some("others", objects(e.Others, func(s clearing.Setting) *figure.Object {
		least := r.Results[s.Runs[0]].Outcome == clearing.FloorUnknown
		return figure.New(caught("capture", s.Capture.V).If(!least), caught("capture_low", s.Capture.Low.V), caught("capture_high", s.Capture.High.V).If(s.Capture.High.OK)).Set("run", strings.Join(r.namesOf(s.Runs), ", "))
	}))
}

// sourceData is floor and source apart.
func (r ClearingReport) sourceData(s clearing.Source) *figure.Object {
	x := r.Results[s.Runs[0]]
	of := func(key, per string) func(float64) figure.Figure {
		return func(v float64) figure.Figure {
			return figure.Figure{Key: key, Q: figure.Plain{V: v, U: x.Key.Info().Unit + per}, Digits: 2}
		}
	}
	return figure.New().Set("floor", estimated(s.Bare, clearing.Sure, of("floor", ""))).Set("rise", estimated(s.Rise, clearing.Sure, of("rise", "/h"))).
		Set("shown", s.Shown()).Set("by_blank_run", s.Blank)
}

// data is the whole trial.
func (r ClearingReport) data() *figure.Object {
	o := figure.New().Set("schema", "jarwright.trial/1").Set("of", "unit").Word("name", r.named()).
		List("runs", objects(r.Results, r.runData)).List("comparisons", objects(r.Comparisons, r.comparisonData)).Some("groups", objects(r.Groups, r.groupedData))
	if r.Source.OK {
		o.Part("source", r.sourceData(r.Source.V))
	}
	if r.Entered {
		o.Part("enter", r.enterData())
	}
	return o.Set("notes", Notes(r.notes()))
}

// JSON gives the document jarwright.trial/1.
func (r ClearingReport) JSON() any { return r.data() }

// notes are those of the file and of all runs.
func (r ClearingReport) notes() (l note.List) {
	l.Add(r.Judged.Trial.Notes...)
	for _, x := range r.Results {
		l.Add(x.Notes...)
	}
	return l
}

// Table gives a row for each reading, with what its run tells.
func (r ClearingReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("run", "flow = m3/h", "volume = m3", "polymer = mg/L", "reads", "at = h", "tank", "inlet", "outlet", "fitted", "outcome",
		"capture = %", "capture_low = %", "capture_high = %", "floor", "floor_low", "floor_high", "time_constant = h", "goal", "time_to = h", "time_to_low = h", "time_to_high = h")}
	for _, x := range r.Results {
		d := r.runData(x)
		same := figure.New().Set("run", x.Name).Put(d.Fig("flow"), d.Fig("volume"), d.Fig("polymer")).Set("reads", x.Key.Info().Unit).Set("outcome", string(x.Outcome))
		for _, path := range [...]string{"capture", "floor"} {
			if i, ok := d.Get(path).(figure.Interval); ok {
				low, high := i.Ends()
				same.Put(i.Figure, low.As(path+"_low"), high.As(path+"_high"))
			}
		}
		same.Put(d.Fig("time_constant"), d.Fig("time_to.reading").As("goal"), d.Fig("time_to.value").As("time_to"), d.Fig("time_to.low").As("time_to_low"), d.Fig("time_to.high").As("time_to_high"))
		for _, y := range d.Objects("readings") {
			t.Rows = append(t.Rows, figure.New().Join(same).Join(y))
		}
	}
	return t
}
