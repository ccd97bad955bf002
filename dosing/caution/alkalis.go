package caution

import (
	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Option is a way to give back the alkalinity or pH that doses take, and what it
// does to the water.
type Option struct {
	Alkali water.Alkali
	Goal   note.Phrase // "alkalinity 50 mg/L CaCO3" or "pH 7.2"
	Pure   quantity.Concentration
	// Product is the pure dose over the purity of what is usually sold.
	Product quantity.Concentration
	PerDay  quantity.Known[quantity.MassRate]
	// Closed and Open are the water with it, where the pH is known.
	HasPH        bool
	Closed, Open water.State
	NH3          quantity.Known[quantity.Concentration] // the more of both
	// Level is the gravest that this alkali would earn by pH or ammonia, and Why.
	Level note.Level
	Why   note.Phrase
	// Cannot is true where it does not reach the goal at any dose.
	Cannot bool
}

// alkalis lists the ways to hold what the site asks for, or what the checks ask
// for where the site asks for nothing.
func (v *reviewer) alkalis() {
	c := v.out.Water
	low := c != nil && c.Takes && float64(c.AlkalinityLeft) < v.rule("alkalinity-gone").Limit
	if c == nil || c.AlkalinityUsed <= 0 && !low && !v.s.Water.Hold.OK && !v.s.Water.Floor.OK {
		return
	}
	want := v.wantedFloor()
	if l, ok := v.alkalinityLoop(); ok {
		v.loopAlkalis(l, want)
		return
	}
	needsFloor := c.AlkalinityLeft < want.floor
	needsPH := v.s.Water.Hold.OK && c.HasPH && c.Closed.PH < v.s.Water.Hold.V
	for _, a := range water.Alkalis() {
		if needsFloor {
			v.option(a, want.goal(), a.Raising(want.floor-c.AlkalinityLeft))
		}
		if needsPH {
			goal := note.Say("pH %s", amount(float64(v.s.Water.Hold.V)))
			pure, err := water.HoldPH(c.Closed, v.s.Water.Hold.V, a)
			if err != nil {
				v.out.Alkalis = append(v.out.Alkalis, Option{Alkali: a, Goal: goal, Cannot: true})
				continue
			}
			v.option(a, goal, pure)
		}
	}
}

// loopAlkalis lists what holds a loop by its balance over days: what is dosed at a pass comes
// round again. A pH is held by the alkalinity that goes with it at the carbon dioxide the
// water has now, which animals and air keep up.
func (v *reviewer) loopAlkalis(l residual.Daily, want wanted) {
	type goal struct {
		says  note.Phrase
		level quantity.Alkalinity
	}
	goals := []goal{{want.goal().And(" in the loop"), want.floor}}
	if c := v.out.Water; v.s.Water.Hold.OK && c.HasPH {
		at, err := water.FromPHCO2(c.Before.Conditions, v.s.Water.Hold.V, c.Before.CO2)
		if err != nil {
			v.skip("the pH to hold in the loop: " + err.Error())
		} else {
			goals = append(goals, goal{note.Say("pH %s in the loop", amount(float64(v.s.Water.Hold.V))), at.Alkalinity})
		}
	}
	level, _ := v.comes(l)
	for _, g := range goals {
		if float64(level) >= held*float64(g.level) {
			continue
		}
		for _, a := range water.Alkalis() {
			v.option(a, g.says, a.Raising(v.lacking(l, g.level)))
		}
	}
}

// option works out one alkali at one dose.
func (v *reviewer) option(a water.Alkali, goal note.Phrase, pure quantity.Concentration) {
	c := v.out.Water
	o := Option{Alkali: a, Goal: goal, Pure: pure, Product: pure / quantity.Concentration(a.Purity)}
	if v.s.Flow.OK {
		o.PerDay = quantity.Some(v.perDay(o.Product))
	}
	if c.HasPH {
		o.HasPH = true
		o.Closed, o.Open = water.Dose(c.Closed, a.Gives(pure))
		v.optionLevel(&o)
	}
	v.out.Alkalis = append(v.out.Alkalis, o)
}

// optionLevel runs the checks of pH and ammonia on the water with the alkali.
func (v *reviewer) optionLevel(o *Option) {
	trial := &reviewer{s: v.s}
	trial.s.Water.JarPH = quantity.Known[quantity.PH]{}
	before := *v.out.Water
	with := Chemistry{HasPH: true, Before: before.Before, Closed: o.Closed, Open: o.Open,
		AlkalinityBefore: before.AlkalinityBefore, AlkalinityUsed: before.AlkalinityBefore - o.Closed.Alkalinity}
	high := v.rule("ph-too-high")
	if float64(o.Closed.PH) > high.Limit {
		o.Level, o.Why = high.Level, note.Say("pH above %s", amount(high.Limit))
	}
	trial.ammonia(&with)
	if with.HasNH3 {
		o.NH3 = quantity.Some(max(with.NH3Closed, with.NH3Open))
	}
	for _, s := range trial.said {
		if s.Level > o.Level {
			o.Level, o.Why = s.Level, note.Say("free ammonia")
		}
	}
}
