package caution

import (
	"math"
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/residual"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Option is a way to give back the alkalinity or pH that doses take, or to bring the pH
// down to where it is to be, and what it does to the water.
type Option struct {
	Alkali water.Alkali // or an acid
	Goal   note.Phrase  // "alkalinity 50 mg/L CaCO3" or "pH 7.2"
	Pure   quantity.Concentration
	// Product is the pure dose over the purity of what is usually sold.
	Product quantity.Concentration
	Purity  quantity.Fraction
	PerDay  quantity.Known[quantity.MassRate]
	// Closed and Open are the water with it, where the pH is known.
	HasPH        bool
	Closed, Open water.State
	NH3          quantity.Known[quantity.Concentration] // the more of both
	// Level is the gravest that this alkali would earn, and Why.
	Level note.Level
	Why   note.Phrase
	// Holds is the alkalinity that it holds a loop at; zero for what no loop is given.
	Holds quantity.Alkalinity
	// Cannot is true where it does not reach the goal at any dose.
	Cannot bool
}

// alkalis lists the ways to hold what the site asks for, or what the checks ask
// for where the site asks for nothing.
func (v *reviewer) alkalis() {
	c := v.out.Water
	if c == nil || !v.asked(c) {
		return
	}
	want := v.wantedFloor()
	if l, ok := v.alkalinityLoop(); ok {
		v.loopAlkalis(l, want)
		return
	}
	if hold := v.s.Water.Hold; hold.OK && c.HasPH && math.Abs(float64(c.Closed.PH-hold.V)) > missedPH {
		v.say("hold-not-dosed", Words{"hold": ph(hold.V), "ph": ph(c.Closed.PH)}, "", note.Place{})
	}
	if v.s.Water.Hold.OK && c.HasPH && c.Closed.PH > v.s.Water.Hold.V {
		v.acids(c.Closed)
	}
	needsFloor := c.AlkalinityLeft < want.floor-alkalinityTells
	needsPH := v.s.Water.Hold.OK && c.HasPH && c.Closed.PH < v.s.Water.Hold.V
	if asks := v.s.Water.Floor; asks.OK && !want.asked && v.byHand() && c.AlkalinityLeft < asks.V-alkalinityTells {
		for _, a := range water.Alkalis() { // the site's own, which is less than the animals should have
			v.option(c.Closed, a, note.Say("alkalinity %s mg/L CaCO3 that the site asks for", amount(float64(asks.V))), a.Raising(asks.V-c.AlkalinityLeft))
		}
	}
	if needsFloor {
		for _, a := range water.Alkalis() {
			v.option(c.Closed, a, want.goal(), a.Raising(want.floor-c.AlkalinityLeft))
		}
	}
	if needsPH {
		for _, a := range water.Alkalis() {
			v.toHold(c.Closed, a)
		}
	}
}

// alkalinityTells is what a field kit tells apart: less than it is wanting of no alkalinity (common practice, no source).
const alkalinityTells quantity.Alkalinity = 2

// asked reports that the doses take alkalinity, or in water that is dosed where it stands any of them does, that too little is left, or that the site says what it wants to keep.
func (v *reviewer) asked(c *Chemistry) bool {
	low := c.Takes && float64(c.AlkalinityLeft) < v.rule("alkalinity-gone").Limit
	return c.AlkalinityUsed > 0 || low || v.byHand() && c.Takes || v.s.Water.Hold.OK || v.s.Water.Floor.OK
}

// toHold works out what brings the water to the pH to hold.
func (v *reviewer) toHold(s water.State, a water.Alkali) (Option, bool) {
	goal := note.Say("pH %s", amount(float64(v.s.Water.Hold.V)))
	pure, err := water.HoldPH(s, v.s.Water.Hold.V, a)
	if err != nil {
		v.out.Alkalis = append(v.out.Alkalis, Option{Alkali: a, Goal: goal, Cannot: true})
		return Option{}, false
	}
	return v.option(s, a, goal, pure), true
}

// acids lists what brings the water down to the pH to hold, for the metal to coagulate at,
// and then the alkalis that give back, once the floc is out, what a mineral acid took.
func (v *reviewer) acids(s water.State) {
	var after quantity.Known[water.State]
	for _, a := range water.Acids() {
		if o, ok := v.toHold(s, a); ok && a.PerMg < 0 && !after.OK { // both take the same
			after = quantity.Some(o.Closed)
		}
	}
	if !after.OK {
		return
	}
	caught := after.V
	caught.Aluminium = quantity.Molarity(float64(caught.DissolvedAluminium()) / quantity.AtomicMass["Al"])
	caught.Iron = quantity.Molarity(float64(caught.DissolvedIron()) / quantity.AtomicMass["Fe"])
	if want := v.wantedFloor(); caught.Alkalinity >= want.floor-alkalinityTells && float64(caught.PH) >= v.phBounds().care.low {
		return // it may stay so
	}
	for _, a := range water.Alkalis() {
		v.option(caught, a, note.Say("alkalinity %s mg/L CaCO3 again after the acid", amount(float64(s.Alkalinity))), a.Raising(s.Alkalinity-caught.Alkalinity))
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
	for _, g := range goals {
		if _, below := v.sinks(l, g.level); !below {
			continue
		}
		for _, a := range water.Alkalis() {
			v.option(v.out.Water.Closed, a, g.says, a.Raising(v.lacking(l, g.level)))
			v.out.Alkalis[len(v.out.Alkalis)-1].Holds = g.level
		}
	}
}

// option works out one alkali or acid at one dose in a water. Above the pH at which it
// dissolves it cannot do what is asked.
func (v *reviewer) option(s water.State, a water.Alkali, goal note.Phrase, pure quantity.Concentration) Option {
	c := v.out.Water
	sold := soldAt(a.Basis)
	o := Option{Alkali: a, Goal: goal, Pure: pure, Product: pure / quantity.Concentration(sold), Purity: sold}
	if v.s.Flow.OK {
		o.PerDay = quantity.Some(v.perDay(o.Product))
	}
	if c.HasPH {
		o.HasPH = true
		o.Closed, o.Open = water.Dose(s, a.Gives(pure))
		o.Cannot = a.Highest > 0 && o.Closed.PH > a.Highest
		v.optionLevel(&o)
		if v.byHand() && a.PerMg > 0 && a.Highest == 0 && !o.Cannot { // limestones end by themselves below what harms
			v.alone(&o)
		}
	}
	v.out.Alkalis = append(v.out.Alkalis, o)
	return o
}

// byHand reports water that is dosed where it stands.
func (v *reviewer) byHand() bool { return v.s.Pond && !v.s.Piped }

// alone judges an alkali as a plan by hand does, which has it in the water by itself for a night before what takes it. Its goes
// are as many as the step needs, so that is not judged.
func (v *reviewer) alone(o *Option) {
	first := Option{Alkali: o.Alkali}
	first.Closed, first.Open = water.Dose(v.out.Water.Before, o.Alkali.Gives(o.Pure))
	one := &reviewer{s: v.s}
	one.s.Step = quantity.Some(quantity.PH(0))
	one.out.Water = v.out.Water
	one.optionLevel(&first)
	if first.Level > o.Level {
		o.Level, o.Why = first.Level, note.Say("alone: ").And("%s", first.Why)
	}
}

// soldAt is the strength of the goods by which a substance is usually dosed; a gas is pure.
func soldAt(b quantity.Basis) quantity.Fraction {
	p, err := product.Default().GuessFor(b)
	if err != nil {
		return 1
	}
	return p.Strength.V
}

// reasons say in a few words what a plan that doses a row of advice would caution of, by the beginning of
// the rule's name; a figure in it is that of the row.
var reasons = []struct {
	rule string
	says func(Option) note.Phrase
}{
	{"nh3-", func(Option) note.Phrase { return note.Say("free ammonia") }},
	{"co2-", func(o Option) note.Phrase { return note.Say("carbon dioxide %s mg/L", mgL(o.Closed.CO2)) }},
	{"al-acute", func(o Option) note.Phrase { return note.Say("residual aluminium, acute at pH %s", ph(o.Closed.PH)) }},
	{"al-chronic", func(o Option) note.Phrase { return note.Say("residual aluminium, chronic at pH %s", ph(o.Closed.PH)) }},
	{"ph-step", func(Option) note.Phrase { return note.Say("a step of pH that shocks") }},
	{"ph-outside-range", func(o Option) note.Phrase { return note.Say("pH %s is not for these animals", ph(o.Closed.PH)) }},
}

// reasoned adds what the checks said to a row, all of the gravest level.
func (o *Option) reasoned(said []Said) {
	for _, x := range reasons {
		for _, s := range said {
			if !strings.HasPrefix(s.Code, x.rule) || s.Level < max(o.Level, note.Caution) {
				continue
			}
			if s.Level > o.Level {
				o.Level, o.Why = s.Level, note.Phrase{}
			}
			o.Why = o.Why.If(o.Why.Format != "", ", ").And("%s", x.says(*o))
			break
		}
	}
}

// acid is what an acid lacks to a limit; an alkali lacks nothing that it does not give.
func acid(a water.Alkali, lacks float64) float64 {
	if a.PerMg > 0 {
		return 0
	}
	return lacks
}

// optionLevel runs the checks of pH, carbon dioxide, ammonia and measured aluminium on the water with
// the alkali, by the same limits and the same doubt as a plan that doses it. What the plan says
// without it is not said again.
func (v *reviewer) optionLevel(o *Option) {
	trial := &reviewer{s: v.s}
	trial.s.Water.JarPH = quantity.Known[quantity.PH]{}
	before := *v.out.Water
	with := Chemistry{HasPH: true, Before: before.Before, Closed: o.Closed, Open: o.Open,
		Spread: water.Spread{Aged: o.Closed, Salts: before.Salts},
		Takes:  before.Takes, AmmoniaAdded: before.AmmoniaAdded, AlkalinityBefore: before.AlkalinityBefore, AlkalinityUsed: before.AlkalinityBefore - o.Closed.Alkalinity}
	b, doubt, pH := v.phBounds(), float64(before.Above(before.Closed)), float64(o.Closed.PH)
	for _, x := range []struct {
		id     string
		limit  float64
		beyond float64
		stops  bool
		says   string
	}{
		{"ph-too-high", b.high, pH - b.high - doubt, b.stopsHigh, "pH above %s"},
		{"ph-too-low", b.low, acid(o.Alkali, b.low-pH-doubt), b.stopsLow, "pH below %s"},
		{"ph-beyond", b.care.high, pH - b.care.high - b.care.within, !v.forAnimals(), "pH above %s"},
		{"ph-beyond", b.care.low, acid(o.Alkali, b.care.low-pH-missedPH), !v.forAnimals(), "pH below %s"},
		{"alkalinity-gone", v.goneAt(), acid(o.Alkali, v.goneAt()-float64(o.Closed.Alkalinity)), true,
			"alkalinity below %s until it is given back"},
	} {
		if r := v.rule(x.id); x.stops && x.beyond > 0 && r.Level > o.Level {
			o.Level, o.Why = r.Level, note.Say(x.says, amount(x.limit))
		}
	}
	trial.ammonia(&with)
	if with.HasNH3 {
		o.NH3 = quantity.Some(max(with.NH3Closed, with.NH3Open))
	}
	trial.out.Water = &with
	trial.carbonDioxide(&with)
	trial.phRanges(&with)
	trial.metals()
	o.reasoned(slices.DeleteFunc(trial.said, func(s Said) bool { return !OfAmmonia(s.Note) && v.has(s.Code) }))
}
