// Package settler holds a settler or a settling pond to what the trade holds it to, and turns
// readings of a jar at several settling times into what a settler does at a surface loading.
//
// A speed at which flocs fall and a surface loading are the same thing: what falls slower than the
// water of an ideal settler rises, or slower than its depth in the time that the water stays, is carried
// out (Hazen 1904 and Camp 1946, both from memory).
package settler

import (
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Unit describes a settler. What is not known is left out of the answer, never guessed.
type Unit struct {
	Area  quantity.Known[quantity.Area]
	Depth quantity.Known[quantity.Length]
	Weir  quantity.Known[quantity.Length] // length of the outlet weir
	// Tubes marks a settler with tubes or plates, which takes more on the same surface.
	Tubes bool
	// Pond marks one that is loaded so lightly that it is a pond, whatever it is called: what holds for built
	// basins then says nothing of it.
	Pond bool
}

// lightly is the share of a basin's usual loading below which a settler is a pond (own bound).
const lightly = 0.1

// Kept gives the unit with what it is at the flow that it has to take.
func (u Unit) Kept(peak quantity.Flow) Unit {
	s := u.At(peak)
	u.Pond = s.Loading.OK && s.Loading.V < lightly*u.loadingBound()
	return u
}

// basin reports a settler that is held to what is usual of built ones.
func (u Unit) basin() bool { return u.Area.OK && !u.Pond }

// stays reports one in which the time of the water is held to what is usual.
func (u Unit) stays() bool { return u.basin() && u.Depth.OK && !u.Tubes }

// Told reports that anything of the unit is known that a guide could be held to.
func (u Unit) Told() bool { return u.Area.OK || u.Weir.OK }

// State is a settler at one flow. A part that cannot be worked out is not OK.
type State struct {
	Flow    quantity.Flow
	Loading quantity.Known[quantity.Loading]
	Stay    quantity.Known[quantity.Time]
	Weir    quantity.Known[quantity.WeirLoading]
}

// At works out the settler at a flow.
func (u Unit) At(q quantity.Flow) State {
	s := State{Flow: q}
	if q <= 0 {
		return s
	}
	if u.Area.OK {
		s.Loading = quantity.Some(quantity.Loading(float64(q) / float64(u.Area.V)))
		if u.Depth.OK {
			s.Stay = quantity.Some(quantity.Time(float64(u.Area.V) * float64(u.Depth.V) / float64(q)))
		}
	}
	if u.Weir.OK {
		s.Weir = quantity.Some(quantity.WeirLoading(float64(q) / float64(u.Weir.V)))
	}
	return s
}

// guide is what the trade holds a figure of a settler to. Every one ends the flows it is good for above.
type guide struct {
	code, name, side, harm, other, source string
	is                                    func(State) (quantity.Quantity, bool)
	bound                                 func(Unit) (quantity.Quantity, bool)
	// most is the flow at which the bound is met.
	most func(Unit) (quantity.Flow, bool)
}

// The bounds of settlers behind coagulation and flocculation. None was read in its source.
const (
	mostLoading     quantity.Loading     = 2.5
	mostTubeLoading quantity.Loading     = 7.5
	leastStay       quantity.Time        = 1.5
	mostWeirLoading quantity.WeirLoading = 250.0 / 24
	loadingFrom                          = "20 to 60 m3/m2/d for alum floc, twice to three times that over tubes: handbooks " +
		"of water treatment, from memory, not checked in their source"
	stayFrom = "1.5 to 4 h behind flocculation: handbooks of water treatment, from memory, not checked in their source"
	weirFrom = "250 m3/d a metre (20,000 gpd a foot): Recommended Standards for Water Works, " +
		"from memory, not checked in its source"
)

func (u Unit) loadingBound() quantity.Loading {
	if u.Tubes {
		return mostTubeLoading
	}
	return mostLoading
}

var guides = [...]guide{
	{"settler-loading", "surface loading", "at most", "floc is carried over", "more surface", loadingFrom,
		func(s State) (quantity.Quantity, bool) { return s.Loading.V, s.Loading.OK },
		func(u Unit) (quantity.Quantity, bool) { return u.loadingBound(), u.basin() },
		func(u Unit) (quantity.Flow, bool) { return flowOver(u.Area.V, u.loadingBound()), u.basin() }},
	{"settler-stay", "time in the settler", "at least", "floc leaves before it has settled", "a deeper or larger settler", stayFrom,
		func(s State) (quantity.Quantity, bool) { return s.Stay.V, s.Stay.OK },
		func(u Unit) (quantity.Quantity, bool) { return leastStay, u.stays() },
		func(u Unit) (quantity.Flow, bool) {
			return quantity.Flow(float64(u.Area.V) * float64(u.Depth.V) / float64(leastStay)), u.stays()
		}},
	{"settler-weir", "weir loading", "at most", "the pull of the weir lifts floc", "a longer weir", weirFrom,
		func(s State) (quantity.Quantity, bool) { return s.Weir.V, s.Weir.OK },
		func(Unit) (quantity.Quantity, bool) { return mostWeirLoading, true },
		func(u Unit) (quantity.Flow, bool) {
			return quantity.Flow(float64(mostWeirLoading) * float64(u.Weir.V)), u.Weir.OK
		}},
}

// flowOver is the flow that loads a surface so.
func flowOver(a quantity.Area, l quantity.Loading) quantity.Flow {
	return quantity.Flow(float64(l) * float64(a))
}

// Guide is one figure of a settler and what it is held to, with the flow at which it meets that.
type Guide struct {
	Name, Side, Source string
	Bound              quantity.Quantity
	Most               quantity.Flow
}

// Guides are those that the unit can be held to, in the order of the figures.
func (u Unit) Guides() []Guide {
	var out []Guide
	for _, g := range guides {
		bound, _ := g.bound(u)
		if most, ok := g.most(u); ok {
			out = append(out, Guide{g.name, g.side, g.source, bound, most})
		}
	}
	return out
}

// Most is the flow up to which every guide holds, and the one that ends it; false where none can be held to.
func (u Unit) Most() (most quantity.Flow, by string, ok bool) {
	for _, g := range u.Guides() {
		if !ok || g.Most < most {
			most, by, ok = g.Most, g.Name, true
		}
	}
	return most, by, ok
}

// Unjudged names the figures that cannot be worked out, each with what is wanting. A pond's time is held to nothing.
func (u Unit) Unjudged() (out [][2]string) {
	for _, x := range [...]struct {
		known      bool
		what, want string
	}{
		{u.Area.OK, "surface loading", "surface"}, {u.Depth.OK || u.Pond, "time in the settler", "water depth"},
		{u.Weir.OK, "weir loading", "weir length"},
	} {
		if !x.known {
			out = append(out, [2]string{x.what, x.want})
		}
	}
	return out
}

// Faults tell of each guide that is missed at the peak flow. Figures of handbooks are not exact: less than a
// fifth beyond one is a note, more a caution (own bounds).
func (u Unit) Faults(peak quantity.Flow) note.List {
	var out note.List
	s := u.At(peak)
	for _, g := range guides {
		most, ok := g.most(u)
		is, told := g.is(s)
		if !ok || !told || peak <= most {
			continue
		}
		level := note.Caution
		if float64(peak) <= 1.2*float64(most) {
			level = note.Info
		}
		bound, _ := g.bound(u)
		n := note.New(level, g.code, "%s is %s at the peak flow of %s; %s %s is usual: %s", g.name, quantity.To(is, 3),
			quantity.To(peak, 3), g.side, quantity.To(bound, 3), g.harm).
			Do("hold the flow to %s at most, or see to %s", quantity.To(most, 3), g.other).From(g.source)
		i := slices.IndexFunc(out, func(m note.Note) bool { return m.Code == "settler-loading" })
		if i >= 0 && g.code == "settler-stay" { // the same danger
			worst := max(out[i].Level, n.Level)
			out[i] = out[i].With(n)
			out[i].Level = worst
			continue
		}
		out.Add(n)
	}
	return out
}
