package caution

import (
	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Bears is what animals in water that is dosed in portions should not feel at a time: a larger change of pH, and more
// carbon dioxide, where a limit of one of them is known.
type Bears struct {
	Step quantity.PH
	CO2  quantity.Known[quantity.Concentration]
}

// Bears gives the limits of a situation's animals; false where none get the water.
func (s Situation) Bears() (b Bears, ok bool) {
	v := &reviewer{s: s, quiet: true}
	id := "ph-step"
	if !v.fresh() {
		id = "ph-step-sea"
	}
	b.Step = quantity.PH(v.rule(id).Limit)
	for _, a := range s.Stock {
		if limit, source := v.most(a, animal.CO2, "co2-far"); source != "" && (!b.CO2.OK || limit < float64(b.CO2.V)) {
			b.CO2 = quantity.Some(quantity.Concentration(limit))
		}
	}
	return b, len(s.Stock) > 0
}

// Watch is what to look at in animals whose water is dosed, with the lines at which to stop.
type Watch struct {
	// PHLow and PHHigh bound the pH that all of them are comfortable in; Oxygen is the least that they should have.
	PHLow, PHHigh quantity.PH
	Oxygen        quantity.Known[quantity.Concentration]
	// TAN is the total ammonia, as N, at which free ammonia comes to NH3, the animals' limit, at a pH and a temperature; not
	// known without them.
	TAN         quantity.Known[quantity.Concentration]
	NH3         quantity.Concentration
	PH          quantity.PH
	Temperature quantity.Temperature
	// PHOf, OxygenOf and NH3Of name the animal that is the most tender, with where its figure comes from.
	PHOf, OxygenOf, NH3Of string
	// OxygenOwn reports a line that is the animals' own, and none of waters in general.
	OxygenOwn bool
	// Stands are lines that the water is past before anything is dosed; PHLow, PHHigh and TAN are then what it has, so that only
	// what grows worse stops.
	Stands Stands
	// Moults is true where some of them moult.
	Moults bool
	// Untested says which of what is dosed nobody is known to have tested with them.
	Untested note.List
}

// Stands says which lines are passed before anything is dosed. Asked is the total ammonia that the animals should have no more of.
type Stands struct {
	PH, TAN bool
	Asked   quantity.Concentration
}

// oxygen is the line of a profile that no check takes: it is measured beside the pond.
const oxygen animal.Parameter = "oxygen"

// asksOxygen is the least oxygen that a profile asks for.
func asksOxygen(p animal.Profile) (r animal.Range, ok bool) {
	for _, x := range p.Ranges {
		if x.Parameter == oxygen && x.HasLow {
			return x, true
		}
	}
	return r, false
}

// WatchOf gives it; false where no animals get the water.
func WatchOf(s Situation) (w Watch, ok bool) {
	if len(s.Stock) == 0 {
		return w, false
	}
	v := &reviewer{s: s, quiet: true}
	w.PHHigh = 14
	for _, a := range s.Stock {
		r, from := v.phRange(a)
		if low := quantity.PH(r.Low); low > w.PHLow {
			w.PHLow, w.PHOf = low, ofWhom(a, from)
		}
		w.PHHigh = min(w.PHHigh, quantity.PH(r.High))
		o, own := asksOxygen(a.Profile)
		told := own
		if !own {
			o, told = asksOxygen(v.general())
		}
		if c := quantity.Concentration(o.Low); told && c > w.Oxygen.V {
			w.Oxygen, w.OxygenOf, w.OxygenOwn = quantity.Some(c), ofWhom(a, o.From()), own
		}
		limit, from := v.most(a, animal.NH3, "nh3-high")
		if c := quantity.Concentration(limit); w.NH3 == 0 || c < w.NH3 {
			w.NH3, w.NH3Of = c, ofWhom(a, from)
		}
		w.Moults = w.Moults || moults[a.Profile.Group]
	}
	w.Untested = Untested(s.Doses, s.Stock)
	if c := waterOf(s, false); c != nil && c.HasPH && s.Water.Temperature.OK {
		worst := c.Before // the more of it is free, the less may there be
		if c.Closed.PH > worst.PH {
			worst = c.Closed
		}
		w.TAN, w.PH, w.Temperature = quantity.Some(w.NH3/worst.NH3(1)), worst.PH, s.Water.Temperature.V
		if now := s.Water.Ammonia; now.OK && now.V > w.TAN.V {
			w.Stands.TAN, w.Stands.Asked, w.TAN = true, w.TAN.V, now
		}
	}
	if now := s.Water.PH; now.OK && (now.V < w.PHLow || now.V > w.PHHigh) {
		w.Stands.PH, w.PHLow, w.PHHigh = true, min(w.PHLow, now.V), max(w.PHHigh, now.V)
	}
	return w, true
}

// Passed are cautions of the lines that the water is past before anything is dosed.
func (w Watch) Passed() (out note.List) {
	if w.Stands.TAN {
		out.Add(note.New(note.Caution, "watch-passed-tan", "total ammonia stands at %s mg/L as N before anything is dosed, above the %s mg/L that the animals should have at pH %s",
			mgL(w.TAN.V), mgL(w.Stands.Asked), ph(w.PH)).Do("feed nothing, bring new water in first, and measure again; the card stops at more than stands there now"))
	}
	if w.Stands.PH {
		out.Add(note.New(note.Caution, "watch-passed-ph", "the pH before anything is dosed is outside what the animals should have").
			Do("measure it again at dawn; the card stops where it goes further"))
	}
	return out
}

// ofWhom names an animal with the source of its figure; a general figure has none of its own.
func ofWhom(a Animal, from string) string {
	if from == "" {
		from = "general limit"
	}
	return a.who() + ", " + from
}
