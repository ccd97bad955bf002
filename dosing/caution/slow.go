package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Slow is the treated water once as much of an alkali as does so has dissolved, which takes days:
// until then the water has none of it. What may be too low is judged with none of it, what may be
// too high with all.
type Slow struct {
	Chemicals    string
	Closed, Open water.State
	// Ends is the pH above which it no longer dissolves.
	Ends                quantity.PH
	NH3Closed, NH3Open  quantity.Concentration // where that of the water is known
	added               water.Addition
	alkalinityIfNothing quantity.Alkalinity
}

// Alkalinity is that of the water with it; where no pH is known, all of it counts.
func (s Slow) Alkalinity() quantity.Alkalinity {
	if s.Closed.PH > 0 {
		return s.Closed.Alkalinity
	}
	return s.alkalinityIfNothing - s.added.Acid
}

// slow is what the doses bring that dissolves slowly, and the highest pH at which any of it does.
func (v *reviewer) slow() (sum water.Addition, names []string, ends quantity.PH) {
	for _, d := range v.s.Doses {
		e, is := water.Slowly(d.Product.Basis)
		if one, err := AdditionOf(d.Product, d.Dose); err == nil && is && d.Dose.Concentration > 0 {
			sum, names, ends = sum.Plus(one), append(names, d.name()), max(ends, e)
		}
	}
	return sum, names, ends
}

// dissolves works out the water once the alkali that is slow has dissolved, where some is dosed.
func (v *reviewer) dissolves(c *Chemistry, once water.Addition) {
	sum, names, ends := v.slow()
	if names == nil {
		return
	}
	c.Slow = &Slow{Chemicals: join(names), Ends: ends, added: sum, alkalinityIfNothing: c.AlkalinityLeft}
	if c.HasPH {
		c.Slow.Closed, c.Slow.Open = water.Dissolving(c.Before, once, sum, ends)
	}
}

// ofAmmonia are the findings about free ammonia of which an animal hears the gravest alone.
var ofAmmonia = []string{"nh3-lethal", "nh3-deadly", "nh3-aerated-lethal", "nh3-high", "nh3-still", "nh3-stands", "nh3-lowered",
	"nh3-aerated"}

// dissolvedLater judges what may be too high once the slow alkali has dissolved.
func (v *reviewer) dissolvedLater(c *Chemistry) {
	if c.Slow == nil {
		return
	}
	with := *c
	with.Closed, with.Open, with.Slow = c.Slow.Closed, c.Slow.Open, nil
	with.Spread = water.Spread{Aged: with.Closed, Salts: c.Salts}
	with.MeasuredPH = quantity.Known[quantity.PH]{}
	with.AlkalinityLeft = c.Slow.Alkalinity()
	with.AlkalinityUsed = c.AlkalinityBefore - with.AlkalinityLeft
	trial := v.tried(&with, note.Say(" once %s has dissolved as far as it does", c.Slow.Chemicals))
	c.Slow.NH3Closed, c.Slow.NH3Open = with.NH3Closed, with.NH3Open
	if v.quiet {
		return
	}
	v.say("alkali-slow", Words{"chemical": c.Slow.Chemicals, "ph": ph(c.PH()), "left": remaining(c.AlkalinityLeft),
		"allph": ph(with.Closed.PH), "all": remaining(with.AlkalinityLeft), "ends": amount(float64(c.Slow.Ends))}, "", note.Place{})
	v.tooHigh(trial)
}

// lessAcid judges what may be too high as if a metal salt of which nobody gave the basicity took nothing, where an alkali is
// dosed beside it and no jar tells the pH.
func (v *reviewer) lessAcid(c *Chemistry, add water.Addition) {
	var names []string
	for _, d := range v.s.Doses {
		if one, assumed, _ := mostOf(d); assumed {
			add.Acid, names = add.Acid-one.Acid, append(names, d.name())
		}
	}
	if names == nil || add.Acid >= 0 || c.MeasuredPH.OK {
		return
	}
	with := *c
	with.Closed, with.Open = water.Dose(c.Before, add)
	with.Slow, with.AlkalinityLeft, with.AlkalinityUsed = nil, c.AlkalinityBefore-add.Acid, add.Acid
	with.Spread = water.Spread{Aged: with.Closed, Salts: c.Salts}
	v.tooHigh(v.tried(&with, note.Say(" if %s takes nothing", join(names))))
}

// tried judges pH and ammonia of a water that may yet come about.
func (v *reviewer) tried(with *Chemistry, then note.Phrase) *reviewer {
	trial := &reviewer{s: v.s, quiet: v.quiet, brief: v.brief, then: then}
	trial.pH(with)
	trial.ammonia(with)
	return trial
}

// tooHigh takes from a trial what is too high, where nothing as grave of the same is said already.
func (v *reviewer) tooHigh(trial *reviewer) {
	for _, x := range trial.out.Checks {
		if strings.HasPrefix(x.Rule, "ph-too-high") || slices.Contains(ofAmmonia, x.Rule) {
			v.out.Checks = append(v.out.Checks, x)
		}
	}
	for _, s := range trial.said {
		ammonia := slices.Contains(ofAmmonia, s.Code)
		if !ammonia && s.Beyond <= 0 {
			continue // no step, for it takes days, and nothing that is too low
		}
		same := func(o Said) bool {
			return o.Place == s.Place && (ammonia && slices.Contains(ofAmmonia, o.Code) || !ammonia && o.Code == s.Code && o.Beyond > 0)
		}
		if !slices.ContainsFunc(v.said, func(o Said) bool { return same(o) && o.Level >= s.Level }) {
			v.said = append(slices.DeleteFunc(v.said, same), s)
		}
	}
}
