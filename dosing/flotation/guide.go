package flotation

import (
	"cmp"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A guide is what the trade holds a figure of a unit to, as one end: at most or at least a
// bound. Rises tells whether the figure grows with the flow, so that each guide ends the flows
// in which it holds on one side.
type guide struct {
	key, name string
	is        func(State) measure
	bound     func(Unit, State) measure
	atMost    bool
	rises     bool
	// harm is what comes of missing it; empty where the unit only has room to spare.
	harm, other string
	source      string
	// within is the share of the bound by which the figure itself may be off, nil for none: as near as
	// that is a note, farther a caution. The flows in which the guide holds end at the bound itself, so
	// that a flow that is named keeps what it is named for.
	within func(Unit) float64
	// with is the guide that tells of the same danger: where both are missed they are one caution.
	with string
}

// top reports that the guide fails above a flow, not below one.
func (g guide) top() bool { return g.rises == g.atMost }

// measure is a figure to compare, with the quantity it is shown as.
type measure struct {
	shown quantity.Quantity
	v     float64
	ok    bool
}

func known[Q interface {
	~float64
	quantity.Quantity
}](k quantity.Known[Q]) measure {
	return measure{k.V, float64(k.V), k.OK}
}

// fixed is a bound that does not depend on the unit.
func fixed[Q interface {
	~float64
	quantity.Quantity
}](q Q) func(Unit, State) measure {
	return func(Unit, State) measure { return known(quantity.Some(q)) }
}

// byRate is the bound of an ordinary unit, and that of one built for high rates.
func byRate(ordinary, high quantity.Loading) func(Unit, State) measure {
	return func(u Unit, _ State) measure {
		if u.HighRate {
			return known(quantity.Some(high))
		}
		return known(quantity.Some(ordinary))
	}
}

func loading(s State) measure { return known(s.Loading) }
func stay(s State) measure    { return known(s.Stay) }
func lift(s State) measure    { return known(s.Lift) }

func free(s State) measure { return known(s.Free) }

// muchAir is how many times the air that is needed counts as too much of drawn air: that too much
// "can destroy the fragile floc" is read, the factor is our own.
const muchAir = 10

const tears = "UFC 4-832-01N, p. 172, that too much air tears floc; ten times what is needed is a figure of our own"

// saturatorError is how far the air set free is known: an unpacked saturator reaches 65 to 75 % (Voutchkov
// 2017, p. 145), which moves the air of 10 % white water at 4 to 5 bar by 10 to 15 % either way.
const saturatorError = 0.15

// fewAir is the least of the air that clear water takes by the figures of Hendricks 2011, p. 176: 1.2e11 bubbles a
// m3, 4.8 g/m3, as 1.7e11 are 6.9. [LeastAir] stands between them, so that less of it is no fault before this.
const fewAir quantity.Concentration = 4.8

// ofAir is how far the air and what is needed of it are known: a saturator's efficiency, or the guide itself. What
// a pump draws is measured, and what solids need is a figure of its own.
func ofAir(u Unit) float64 {
	if u.Source == Saturator {
		return max(saturatorError, 1-float64(fewAir/LeastAir))
	}
	return 0
}

// minute as a time in hours.
const minute quantity.Time = 1.0 / 60

var guides = [...]guide{
	{key: "loading-high", name: "surface loading", is: loading, bound: byRate(15, 40), atMost: true, rises: true,
		harm: "flocs may be carried under", other: "more surface",
		source: "Hendricks 2011, table 8.4; high rate: Edzwald et al., Integrating high-rate DAF, Journal AWWA (abstract)"},
	{key: "loading-low", name: "surface loading", is: loading, bound: byRate(5, 20), rises: true, source: "Hendricks 2011, table 8.4"},
	{key: "solids-high", name: "solids loading", is: func(s State) measure { return known(s.Solids) }, bound: fixed(quantity.SolidsLoading(12)), atMost: true, rises: true,
		harm: "the float grows faster than it thickens", other: "more surface", source: "Hendricks 2011, p. 181, thickening with coagulant"},
	{key: "air-short", name: "air set free", is: free, bound: func(_ Unit, s State) measure { return known(quantity.Some(s.Needed)) },
		harm: "part of the floc may not rise", other: "more white water or a higher pressure", within: ofAir,
		source: "6 g/m3: between the figures of Hendricks 2011, p. 176; air to solids: the same, p. 181"},
	{key: "air-much", name: "air set free", is: free, bound: func(u Unit, s State) measure {
		return known(quantity.Known[quantity.Concentration]{V: muchAir * s.Needed, OK: u.Source != Saturator})
	}, atMost: true, harm: "so much air can tear floc apart", other: "less air drawn", source: tears},
	{key: "stay-short", name: "time in the unit", is: stay, bound: stayAtLeast,
		harm: "floc leaves before it has risen", other: "a deeper or larger unit", source: "Hendricks 2011, 5 to 15 min", with: "loading-high"},
	{key: "stay-long", name: "time in the unit", is: stay, bound: fixed(30 * minute), atMost: true, source: "UFC 4-832-01N, 10 to 30 min"},
	{key: "contact-short", name: "time in the contact zone", is: func(s State) measure { return known(s.Contact) }, bound: fixed(minute),
		harm: "floc and bubbles have little time to meet", other: "a larger contact zone", source: "1 to 2.5 min, from memory, not checked in its source"},
	{key: "level-high", name: "rise of the level", is: lift, bound: func(u Unit, _ State) measure { return known(u.Reach) }, atMost: true, rises: true,
		harm: "the skimmer drowns and carries water over", other: "a longer weir", source: "weir formula, from memory, not checked in its source"},
	{key: "level-low", name: "rise of the level", is: lift, bound: func(u Unit, _ State) measure {
		return known(quantity.Known[quantity.Length]{V: -u.Reach.V, OK: u.Reach.OK})
	}, rises: true, harm: "the skimmer misses the float", other: "a longer weir", source: "weir formula, from memory, not checked in its source"},
}

// stayAtLeast leaves out units built for high rates, which are passed faster.
func stayAtLeast(u Unit, _ State) measure {
	return known(quantity.Known[quantity.Time]{V: 5 * minute, OK: !u.HighRate})
}

// Line is a figure of a unit that changes with the flow, and what it is held to: for pictures.
type Line struct {
	Name, Limit string
	guide       guide
}

// Lines are the figures that end the flows a unit is good for above, the first to do so first.
func (u Unit) Lines(near quantity.Flow, solids quantity.Concentration) []Line {
	var out []Line
	ends := map[string]quantity.Flow{}
	for _, g := range guides {
		end, ok := g.end(u, near, solids)
		if _, _, _, judged := g.missed(u, u.At(near, solids), 0); !judged || !ok || !g.top() {
			continue
		}
		ends[g.name] = end
		out = append(out, Line{Name: g.name, Limit: g.side(), guide: g})
	}
	slices.SortStableFunc(out, func(a, b Line) int { return cmp.Compare(ends[a.Name], ends[b.Name]) })
	return out
}

// side is the way the bound is meant.
func (g guide) side() string {
	if g.atMost {
		return "at most"
	}
	return "at least"
}

// At gives the figure at a state of that unit, and what it is held to there.
func (l Line) At(u Unit, s State) (is, bound quantity.Quantity) {
	return l.guide.is(s).shown, l.guide.bound(u, s).shown
}

// off is the share of the bound by which the figure may be off.
func (g guide) off(u Unit) float64 {
	if g.within == nil {
		return 0
	}
	return g.within(u)
}

// missed compares the guide with a state: the figure and its bound, and whether that is broken by more
// than a share of the bound; not OK where one is not known.
func (g guide) missed(u Unit, s State, within float64) (is, bound measure, broken, ok bool) {
	is, bound = g.is(s), g.bound(u, s)
	if !is.ok || !bound.ok {
		return is, bound, false, false
	}
	if g.atMost {
		return is, bound, is.v > bound.v*(1+within), true
	}
	return is, bound, is.v < bound.v*(1-within), true
}

// Flows are those of a day.
type Flows struct{ Least, Average, Peak quantity.Flow }

// when names the flows of the day, each once.
func (f Flows) when() []struct {
	name string
	q    quantity.Flow
} {
	type at = struct {
		name string
		q    quantity.Flow
	}
	if f.Least == f.Peak {
		return []at{{"the flow", f.Peak}}
	}
	out := []at{{"the least flow", f.Least}, {"the average flow", f.Average}, {"the peak flow", f.Peak}}
	return slices.DeleteFunc(out, func(x at) bool { return x.name == "the average flow" && (x.q == f.Least || x.q == f.Peak) })
}

// Faults are the guides that harm the water at a flow of the day, each told once with every flow at
// which it does: as a note where none of them misses it by more than the figure may be off.
func (u Unit) Faults(day Flows, solids quantity.Concentration) note.List {
	var out note.List
	for _, g := range guides {
		if g.harm == "" {
			continue
		}
		worst, at := g.breaks(u, day, solids, g.off(u))
		var n note.Note
		if worst.Flow > 0 {
			n = g.fault(u, worst, at, solids)
		} else if worst, at = g.breaks(u, day, solids, 0); worst.Flow > 0 {
			n = g.near(u, worst, at)
		} else {
			continue
		}
		if i := slices.IndexFunc(out, func(m note.Note) bool { return m.Code == g.with }); i >= 0 {
			out[i] = out[i].With(n)
			continue
		}
		out.Add(n)
	}
	if u.Coarse() {
		out.Add(u.coarse(day.Least, solids))
	}
	return out
}

// breaks gives the flows of the day at which the guide is broken by more than a share of its
// bound, in words, and the unit at the one that breaks it most; no flow where none does.
func (g guide) breaks(u Unit, day Flows, solids quantity.Concentration, within float64) (worst State, at note.Phrase) {
	for _, x := range day.when() {
		s := u.At(x.q, solids)
		if is, _, broken, ok := g.missed(u, s, within); ok && broken {
			at = at.If(worst.Flow > 0, " and ").And("%s at %s of %s", quantity.To(is.shown, 3), x.name, quantity.To(s.Flow, 3))
			if worst.Flow == 0 || g.top() {
				worst = s
			}
		}
	}
	return worst, at
}

// near says of a guide that it is missed by no more than its figure may be off.
func (g guide) near(u Unit, s State, at note.Phrase) note.Note {
	return note.New(note.Info, g.key+"-about", "%s is about %s; %s %s is usual, and both figures are good to %s", g.name, at, g.side(),
		quantity.To(g.bound(u, s).shown, 3), quantity.Fraction(g.off(u))).Do("look at the float: where floc stays down, see to %s", g.other).From(g.source)
}

// Coarse reports that the bubbles are too large to stay on floc, so that the air is not judged.
func (u Unit) Coarse() bool { return sources[u.Source].coarse }

// coarse says so, and that so much air tears floc where it does.
func (u Unit) coarse(least quantity.Flow, solids quantity.Concentration) note.Note {
	x, s := sources[u.Source], u.At(least, solids)
	much := s.Drawn.OK && s.Drawn.V > muchAir*s.Needed
	from := x.from
	if much {
		from += "; " + tears
	}
	return note.New(note.Info, "bubbles-coarse", "bubbles of a %s are %s um across: few of them stay on floc, so its air is not judged%s",
		x.name, x.size,
		note.Phrase{}.If(much, ", and %s of it can tear floc apart", quantity.To(s.Drawn.V, 3))).
		Do("judge the unit by its outlet%s", note.Phrase{}.If(much, ", and let it draw less air where the float breaks up")).From(from)
}

// fault says at which flows the guide is broken, of which s is the one that breaks it most, and what mends it.
func (g guide) fault(u Unit, s State, at note.Phrase, solids quantity.Concentration) note.Note {
	is, bound := g.is(s), g.bound(u, s)
	n := note.New(note.Caution, g.key, "%s is %s; %s %s is usual: %s",
		g.name, at, g.side(), quantity.To(bound.shown, 3), g.harm).From(g.source)
	if g.key == "air-short" && is.v == 0 {
		n = note.New(note.Caution, "no-air", "at %s and %s efficiency the white water sets no air free in the unit", u.Pressure.V, u.Efficiency.V).
			Do("raise the pressure: %s to %s is usual", quantity.To(quantity.Pressure(350), 3).Bare(), quantity.To(quantity.Pressure(620), 3)).From("Hendricks 2011, table 8.4")
		return n
	}
	end, ok := g.end(u, s.Flow, solids)
	if u.Source != Saturator && g.key == "air-short" {
		return n.Do("let it draw more air")
	}
	switch {
	case ok && g.key == "air-short":
		return n.Do("hold the flow to %s at most with %s of white water as now, or see to %s", quantity.To(end, 3), quantity.To(u.White.V, 3), g.other)
	case ok && g.top():
		return n.Do("hold the flow to %s at most, or see to %s", quantity.To(end, 3), g.other)
	case ok:
		return n.Do("keep the flow at %s or more, or see to %s", quantity.To(end, 3), g.other)
	}
	return n.Do("see to %s: no flow mends it", g.other)
}
