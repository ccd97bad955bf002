package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"math"
	"slices"
)

// position is where the knobs stand, in words.
func (a PumpAnswer) position(o *figure.Object) any {
	if a.Pump.Calibration.NamesStroke() {
		return figure.Say("stroke %s, speed %s", o.Fig("stroke"), standing(o.Fig("setting"), o.Fig("on_scale")))
	}
	return knobShows(o)
}

// besideKnob is what stands beside the number that a speed knob is set to: what its own marks show, and the stroke of a pump with two knobs.
func besideKnob(o *figure.Object) figure.Phrase {
	return figure.Say("").If(o.Has("on_scale"), "(%s)", o.Fig("on_scale")).If(o.Has("on_scale") && o.Has("stroke"), ", ").
		If(o.Has("stroke"), "at stroke %s", o.Fig("stroke"))
}

// knobShows is the setting, with what the knob's own marks show where it has them.
func knobShows(o *figure.Object) any {
	if o.Has("on_scale") {
		return standing(o.Fig("setting"), o.Fig("on_scale"))
	}
	return o.Fig("setting")
}

// byHand are the feeds that no pump serves.
func (p Plan) byHand() (out []dosing.Feed) {
	for _, f := range p.Feeds {
		if f.Pump == nil && f.AsProduct.Concentration > 0 {
			out = append(out, f)
		}
	}
	return out
}

// hand is what has to be given by hand at the average flow.
func (r PumpReport) hand() []*figure.Object {
	return objects(Plan{Plan: r.Day}.byHand(), func(f dosing.Feed) *figure.Object {
		o := figure.New().Set("chemical", f.Name).Put(water("flow", f.Flow))
		return handData(o, f, dosing.Use(f.AsProduct.Concentration, f.Flow, 24), f.Rate)
	})
}

// choice is a setting with what comes of it.
func (a PumpAnswer) choice(c pump.Choice) *figure.Object {
	within := c.Reach == pump.Within
	if math.Abs(float64(c.Error)) < 1e-9 {
		c.Error = 0 // only the arithmetic made it
	}
	return figure.New(
		rate("rate", c.Wanted, 3).In(figure.Full),
		knob("setting", c.Position.Setting, 3).If(within), onScale(a.Pump, c.Position.Setting).If(within),
		knob("stroke", c.Position.Stroke, 3).If(within && a.Pump.Calibration.NamesStroke()),
		knob("setting_exact", c.Exact.Setting, 4),
		rate("gives", c.Gives, 3).In(figure.Full).If(within),
		share("dose_off", c.Error).If(within),
		rate("low", c.Low, 3).In(figure.Full).If(c.HasBand),
		rate("high", c.High, 3).In(figure.Full).If(c.HasBand),
		figure.Of("accuracy", c.Accuracy, "%", 2).If(c.Accuracy > 0),
		figure.Of("stopwatch_volume", marked{a.column(c.Gives)}, "mL", 3).If(within),
		figure.Of("stopwatch_time", pump.TimeFor(a.column(c.Gives), c.Gives), "s", 3).In(figure.Watch).If(within && c.Gives > 0),
	).Set("in_range", within).Set("tested", c.Tested)
}

// reading is a drawdown beside the line.
func (a PumpAnswer) reading(r pump.Reading, line quantity.FeedRate) *figure.Object {
	off := r.Rate - line
	if abs := max(off, -off); abs < 1e-9*line {
		off = 0 // only the arithmetic made it
	}
	o := figure.New(
		knob("setting", r.Setting, 3), onScale(a.Pump, r.Setting),
		knob("stroke", r.Stroke, 3).If(r.HasStroke),
		rate("rate", r.Rate, 4).In(figure.Full),
		rate("line", line, 4).In(figure.Full),
		rate("off", off, 2).In(figure.Sign),
		share("off_share", quantity.Fraction(off/line)).If(line > 0),
	)
	return o.Word("file", r.At.File).Word("sheet", r.At.Sheet).Word("cell", r.At.Cell)
}

// data is one pump as its object.
func (a PumpAnswer) data() *figure.Object {
	c := a.Pump.Calibration
	o := figure.New().Word("name", a.Pump.Name).Word("tube_in_the_pump", a.Pump.Tube).Word("chemical", a.Chemical).Set("curve", shapeWord(c.Shape))
	if intercept, slope, ok := c.Line(); ok {
		o.Part("line", figure.New(rate("intercept", intercept, 4).In(figure.Full), figure.Of("slope", figure.Plain{V: float64(slope), U: "mL/min per %"}, "", 4).In(figure.Full)))
	}
	o.Put(
		rate("residual_sd", c.SD, 2).In(figure.Full).If(c.HasSD),
		knob("tested_from", c.Low.Setting, 3).If(len(c.Readings) > 0),
		knob("tested_to", c.High.Setting, 3).If(len(c.Readings) > 0),
		rate("capacity", a.Pump.Capacity(), 3),
		rate("smallest", a.Pump.Smallest(), 3),
	)
	var readings []*figure.Object
	for i, r := range c.Readings {
		readings = append(readings, a.reading(r, r.Rate-c.Residuals[i]))
	}
	settings := objects(a.Settings, func(s PumpSetting) *figure.Object {
		o := a.choice(s.Choice).Set("for", s.For)
		if s.NotSet {
			o.Set("never_set", true)
		}
		return o
	})
	pace := objects(a.Pace, func(r pump.PaceRow) *figure.Object {
		return a.choice(r.Choice).Put(figure.Of("flow", r.Flow, "m3/h", 3).In(figure.Full),
			figure.Of("pump_signal", r.Drive, "mA", 3).In(figure.Full).If(r.Reach == pump.Within && a.Signals),
			figure.Of("meter_signal", r.Meter, "mA", 3).In(figure.Full).If(r.HasMeter && a.Signals))
	})
	checks := objects(a.Checks, func(k PumpCheck) *figure.Object { return a.reading(k.Reading, k.Line).Put(share("off_share", k.Off)) })
	o.List("readings", readings).List("settings", settings).Put(knob("pace_stroke", a.Stroke, 3).If(len(pace) > 0 && c.TwoKnobs()))
	o.Some("pace", pace).Some("checks", checks)
	if a.Past != nil && !a.Stopped {
		o.Set("past_tests", byRawData(*a.Past, a.ByRaw, a.Basis, a.Pump))
	}
	return o.Put(figure.Of("tube", a.Tube, "mL", 2).If(a.Tube > 0))
}

// JSON implements [Report].
func (r PumpReport) JSON() any {
	all := append(note.List(nil), r.Notes...)
	for _, a := range r.Pumps {
		all.Add(a.Notes...)
	}
	return figure.New().Set("schema", "jarwright.pump/1").Word("place", r.Place).List("pumps",
		objects(r.Pumps, PumpAnswer.data)).Some("by_hand", r.hand()).Some("accepted", objects(r.Taken, acceptedObject)).Set("notes", Notes(all))
}

// Table implements [Report]: the settings, then the flow-paced table, then what is fed by hand.
func (r PumpReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("pump", "chemical", "for", "flow = m3/h", "feed rate mL/min", "setting = %", "stroke = %",
		"gives = mL/min", "dose_off = %", "in_range", "tested", "pump_signal = mA", "meter meter_signal mA",
		"product_rate = g/h", "knob_shows on_scale", "knob_unit")}
	if slices.ContainsFunc(r.Pumps, func(a PumpAnswer) bool { return len(a.ByRaw) > 0 }) {
		t.Cols = append(t.Cols, figure.Columns("raw_from = NTU", "raw_to = NTU")...)
	}
	for _, a := range r.Pumps {
		d := a.data()
		rows := append(d.Objects("settings"), d.Objects("pace")...)
		for _, c := range d.Sub("past_tests").Objects("by_raw_water") {
			for _, s := range c.Objects("settings") {
				rows = append(rows, s.Set("for", "raw water").Put(c.Fig("from").As("raw_from"), c.Fig("to").As("raw_to")))
			}
		}
		for _, s := range rows {
			if !s.Has("for") {
				s.Set("for", "flow")
			}
			if s.Has("never_set") {
				s.Set("for", s.Said("for")+", never set")
			}
			if s.Has("on_scale") {
				s.Set("knob_unit", a.Pump.Scale.Unit)
			}
			t.Rows = append(t.Rows, s.Set("pump", a.Pump.Name).Set("chemical", a.Chemical))
		}
	}
	for _, h := range r.hand() {
		if h.Set("for", "by hand"); h.Has("stock_rate") {
			h.Put(h.Fig("stock_rate").As("rate"))
		}
		t.Rows = append(t.Rows, h)
	}
	return t
}
