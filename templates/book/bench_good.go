package book

import (
	"slices"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// habit is one thing that makes a jar test good, and for which sheets it is said.
type habit struct {
	said string
	when func(Bench) bool
}

// habits are common practice (no source); the reading of a sheet misses the same things (see curve's lacks).
var habits = []habit{
	{"Keep the raw water as cold as it came, the beakers in a tub of it: in cold water flocs form and settle slowly.",
		func(x Bench) bool { return !x.likePlant() && !x.Flotation }},
	{"Keep the raw water as cold as it came, the beakers in a tub of it: in cold water flocs form slowly.",
		func(x Bench) bool { return !x.likePlant() && x.Flotation }},
	{"Stand the beakers in a tub of the raw water: on the bench they warm up while they stand.", Bench.likePlant},
	{"Give two jars the dose that you expect to choose: how much they differ tells how far to trust the rest.",
		func(x Bench) bool { return x.noRepeat() && !x.full() }},
	{"A second jar of the dose that you expect to choose tells by how much jars of one dose differ, and so how far to trust the rest.",
		func(x Bench) bool { return x.noRepeat() && x.full() && !x.Continued }},
	{"Put at least three doses from half to twice what you expect, each no more than half as much again as the one before.", Bench.undosed},
	{"Give one jar clearly more than you expect to need, so that the dose from which on the water clouds again shows.", Bench.undosed},
	{"Order: acid or alkali first, so that the pH stands before the coagulant comes; then the coagulant.",
		func(x Bench) bool { return x.coagulates() && !x.Ordered && !x.Alone }},
	{"A polymer goes in after the coagulant, not with it: when the first fine flocs show, after about a minute.",
		func(x Bench) bool { return x.aided() && !x.Ordered && !x.Alone }},
	{"Draw every sample at one depth, mid-water, through a side tap or a syringe, without stirring up what has settled.",
		func(x Bench) bool { return !x.Flotation && x.Depth <= 0 }},
	{"Draw every sample through a side tap or a syringe, without stirring up what has settled.",
		func(x Bench) bool { return !x.Flotation && x.Depth > 0 }},
	{"Draw every sample from the tap near the bottom, below the float, and let the first millilitres run off.", func(x Bench) bool { return x.Flotation }},
	{"Read pH in every jar, and alkalinity in the strongest: below pH 6, or with alkalinity used up, what clouds is the acid, not the dose.",
		Bench.coagulates},
}

// likePlant reports that a site tells how to stir and sample.
func (x Bench) likePlant() bool { return len(x.LikePlant) > 0 }

// good writes what makes the test good in this sheet's case.
func (x Bench) good(s *Sheet) {
	s.Row(Cell{Kind: Section, Value: "What makes the test good", Span: 2})
	for _, h := range habits {
		if h.when == nil || h.when(x) {
			s.Row(Cell{Kind: Label, Value: "–", Center: true}, T(Wrap, "%s", h.said))
		}
	}
	s.Skip(1)
}

// noControl and the like report that the doses, where they are filled in, do not have it by themselves.
func (x Bench) noControl() bool { return !slices.Contains(x.Doses, 0) }

func (x Bench) noRepeat() bool {
	seen := map[quantity.Concentration]bool{}
	for _, d := range x.Doses {
		if seen[d] {
			return false
		}
		seen[d] = true
	}
	return true
}

func (x Bench) undosed() bool { return len(x.Doses) == 0 }

// Polymer reports that what is tested is one, as far as its name and basis tell.
func (x Bench) Polymer() bool {
	return x.Basis == quantity.AsActive || slices.ContainsFunc(product.Default().Called(x.Chemical), product.Product.IsPolymer)
}

func (x Bench) coagulates() bool { return !x.Polymer() }

// aided reports that a polymer may be in the jars: it is what is tested, or nobody said what is.
func (x Bench) aided() bool { return x.Chemical == "" || x.Polymer() }
