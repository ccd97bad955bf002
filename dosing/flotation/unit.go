package flotation

import (
	"math"

	"jarwright/jartest/quantity"
)

// Unit describes a flotation unit. What is not known is left out of the answer, never guessed.
type Unit struct {
	Area quantity.Known[quantity.Area]
	// Depth is that of the water, Contact the part of the volume where floc and bubbles meet.
	Depth   quantity.Known[quantity.Length]
	Contact quantity.Known[quantity.Volume]
	// White is the white water, which its pump keeps at one rate whatever flows through the unit.
	White    quantity.Known[quantity.Flow]
	Pressure quantity.Known[quantity.Pressure] // of the saturator, gauge
	// Efficiency is the share of the saturation that is reached: 65–75 % with an eductor,
	// 90–95 % packed (Voutchkov 2017 p. 145).
	Efficiency quantity.Known[quantity.Fraction]
	// Source makes the bubbles; Drawn is the air that a source other than a saturator sucks in,
	// as it comes from outside, per hour.
	Source Source
	Drawn  quantity.Known[quantity.Flow]
	// HighRate marks a unit built for 20–40 m/h.
	HighRate bool
	// Weir is the length of the outlet weir, Reach how far the level may move, either way, before
	// the skimmer misses the float or drowns; Set the flow at which the skimmer was set.
	Weir, Reach quantity.Known[quantity.Length]
	Set         quantity.Flow
	Water       Water
	// Height is that of the place above the sea.
	Height quantity.Length
}

// AirLacks names what is not known of a unit and is needed to tell its air.
func (u Unit) AirLacks() (out []string) {
	for _, x := range [...]struct {
		name        string
		known, used bool
	}{
		{"white water", u.White.OK, u.Source == Saturator}, {"saturator pressure", u.Pressure.OK, u.Source == Saturator},
		{"saturator efficiency", u.Efficiency.OK, u.Source == Saturator}, {"air drawn", u.Drawn.OK, u.Source != Saturator},
	} {
		if x.used && !x.known {
			out = append(out, x.name)
		}
	}
	return out
}

// Told reports that anything of the unit is known that a guide could be held to.
func (u Unit) Told() bool {
	return u.Area.OK || u.Contact.OK || u.Weir.OK || len(u.AirLacks()) == 0
}

// Unjudged is a figure of the unit that no guide is held to, for want of what is not known; of air
// whose bubbles are too large nothing is wanting.
type Unjudged struct {
	Name  string
	Lacks []string
}

// Unjudged are the figures that a unit is held to and this one is not. How the level moves is among
// them only where the site begins to tell of it.
func (u Unit) Unjudged() (out []Unjudged) {
	type need struct {
		known bool
		name  string
	}
	of := func(figure string, needs ...need) {
		x := Unjudged{Name: figure}
		for _, n := range needs {
			if !n.known {
				x.Lacks = append(x.Lacks, n.name)
			}
		}
		if len(x.Lacks) > 0 {
			out = append(out, x)
		}
	}
	surface := need{u.Area.OK, "surface"}
	of("surface loading", surface)
	of("time in the unit", surface, need{u.Depth.OK, "water depth"})
	of("time in the contact zone", need{u.Contact.OK, "contact zone"})
	if air := u.AirLacks(); len(air) > 0 || u.Coarse() {
		out = append(out, Unjudged{"air set free", air})
	}
	if u.Weir.OK || u.Reach.OK {
		of("rise of the level", need{u.Weir.OK, "weir length"}, need{u.Reach.OK, "level may move"})
	}
	return out
}

// Source is what makes the bubbles.
type Source int

const (
	Saturator Source = iota
	AirPump          // a pump that sucks air and mixes it with water under pressure
	Venturi
	Stirred
)

// sources name them, with the size of their bubbles in µm.
var sources = [...]struct {
	name, size, from string
	coarse           bool
}{
	Saturator: {"saturator", "10 to 100, mean 40", "Environmental Engineers' Handbook", false},
	AirPump:   {"air-sucking pump", "mean 75", "Azevedo, Etchepare and Rubio 2017, Water Sci Technol (abstract)", false},
	Venturi:   {"venturi", "100 to 600", "Processes 2020 8(11):1498, introduction", true},
	Stirred:   {"stirrer", "700 to 1500", "Rubio et al. 2002, by way of a review", true},
}

func (s Source) String() string { return sources[s].name }

// Binds reports that the solids, not the water, ask for the air: only then does air to solids mean something.
func (s State) Binds() bool { return s.Needed > LeastAir }

// SourceNamed finds a source by its name.
func SourceNamed(name string) (Source, bool) {
	for i, s := range sources {
		if s.name == name {
			return Source(i), true
		}
	}
	return 0, false
}

// State is a unit at one flow. A part that cannot be worked out is not OK.
type State struct {
	Flow quantity.Flow
	// Loading is (Q + R)/A, the speed at which water goes down in the unit; Raw is Q/A, without the white water.
	Loading, Raw quantity.Known[quantity.Loading]
	Solids       quantity.Known[quantity.SolidsLoading]
	// Contact is the time in the contact zone, Stay that in the whole unit, white water counted.
	Contact, Stay quantity.Known[quantity.Time]
	// Recycle is R/Q. It can exceed one, so it is not a Fraction.
	Recycle quantity.Known[quantity.Number]
	// Dissolved is the air that the white water brings above what open water holds, all of which
	// becomes bubbles where none is taken up again; Free what becomes bubbles after the water of
	// the unit took its share, to [TakesUpTo] at most; FreeAtLeast the same to the whole depth.
	// Needed is what the solids ask for.
	Dissolved, Free, FreeAtLeast quantity.Known[quantity.Concentration]
	Needed                       quantity.Concentration
	// Drawn is the air that a source other than a saturator sucks in. Where its bubbles are too large
	// to stay on floc none of it counts as Free.
	Drawn quantity.Known[quantity.Concentration]
	// AirToSolids is mass of free air on mass of dry solids; it means something where it, not the air per water, is what binds.
	AirToSolids quantity.Known[quantity.Number]
	// Head is how high the water stands over the weir, Lift how much higher than at the flow the skimmer was set at.
	Head, Lift quantity.Known[quantity.Length]
}

// LeastAir is what a cubic metre of clear water needs, so that bubbles meet every floc: an
// editable figure between the 4.8 and 6.9 g/m3 of Hendricks 2011, p. 176 (the latter after
// Edzwald 1995). LeastRatio is what solids need, mass on mass (Hendricks 2011, p. 181, after Matsui 1998).
const (
	LeastAir   quantity.Concentration = 6
	LeastRatio quantity.Number        = 0.01
)

// Needed is the air that water with so much dry solids asks for: below 600 mg/L the water
// binds, above it the solids.
func Needed(solids quantity.Concentration) quantity.Concentration {
	return max(LeastAir, quantity.Concentration(LeastRatio)*solids)
}

// At works out the unit at a flow with so much dry solids in the water that reaches it.
func (u Unit) At(q quantity.Flow, solids quantity.Concentration) State {
	s := State{Flow: q, Needed: Needed(solids)}
	if q <= 0 {
		return s
	}
	all := q + u.White.V
	if u.Area.OK {
		s.Raw = quantity.Some(quantity.Loading(float64(q) / float64(u.Area.V)))
		s.Loading = quantity.Some(quantity.Loading(float64(all) / float64(u.Area.V)))
		s.Solids = quantity.Some(quantity.SolidsLoading(float64(q) * solids.In("kg/m3") / float64(u.Area.V)))
		if u.Depth.OK {
			s.Stay = quantity.Some(quantity.Time(float64(u.Area.V) * float64(u.Depth.V) / float64(all)))
		}
	}
	if u.Contact.OK {
		s.Contact = quantity.Some(quantity.Time(u.Contact.V.In("m3") / float64(all)))
	}
	if u.White.OK {
		s.Recycle = quantity.Some(quantity.Number(u.White.V / q))
	}
	if u.Weir.OK && u.Weir.V > 0 {
		s.Head = quantity.Some(u.head(q))
		s.Lift = quantity.Some(s.Head.V - u.head(u.Set))
	}
	u.air(&s, solids)
	return s
}

// head is that over a sharp weir, Q = 1.84·L·h^1.5 in metres and seconds (Francis's formula,
// from memory). The white water goes round before the weir.
func (u Unit) head(q quantity.Flow) quantity.Length {
	return quantity.Length(math.Pow(q.In("m3/s")/(1.84*float64(u.Weir.V)), 2.0/3))
}

// freed is the air that becomes bubbles, by the balance r·(full − deep) = freed + (deep − open):
// the white water comes with full, what leaves the unit may hold deep, and the inflow brings open
// (Hendricks 2011, ch. 8, table p. 177; the equation pieced together from its column heads and
// proved by its figures in the tests).
func freed(r quantity.Number, full, deep, open quantity.Concentration) quantity.Concentration {
	return max(0, quantity.Concentration(r)*(full-deep)-(deep-open))
}

// TakesUpTo is the depth to which the water of a unit is counted as taking air up again. Bubbles
// are set free in the contact zone and rise from there, so the water of a deep unit leaves with less
// than its depth could hold: the balance of Hendricks 2011, table p. 177, which gives the air that
// works of 2 to 3 m ask for, holds 26.4 g/m3 against the 24.0 of open water, as 1 m of water does at 20 C.
const TakesUpTo quantity.Length = 1

// air works out what the unit's source of bubbles brings. The inflow is taken to be in balance with the air outside.
func (u Unit) air(s *State, solids quantity.Concentration) {
	outside := Barometer(u.Height)
	open := u.Water.Holds(outside)
	at := func(depth quantity.Length) quantity.Concentration {
		return u.Water.Holds(outside + perMetre*float64(depth))
	}
	switch {
	case len(u.AirLacks()) > 0:
		return
	case u.Source != Saturator:
		// drawn air is counted whole; at 20 C and one atmosphere a litre weighs 1.204 g
		s.Drawn = quantity.Some(quantity.Concentration(1.204 * float64(u.Drawn.V) * 1000 / float64(s.Flow) * outside / quantity.Atmosphere))
		if !u.Coarse() {
			s.Free = s.Drawn
		}
	default:
		full := quantity.Concentration(u.Efficiency.V) * u.Water.Holds(outside+float64(u.Pressure.V))
		s.Dissolved = quantity.Some(max(0, quantity.Concentration(s.Recycle.V)*(full-open)))
		s.Free = quantity.Some(freed(s.Recycle.V, full, at(min(u.Depth.V, TakesUpTo)), open))
		s.FreeAtLeast = quantity.Some(freed(s.Recycle.V, full, at(u.Depth.V), open))
	}
	if solids > 0 && s.Free.OK {
		s.AirToSolids = quantity.Some(quantity.Number(s.Free.V / solids))
	}
}
