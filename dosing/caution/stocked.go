package caution

import (
	"jarwright/dosing/animal"
	"jarwright/dosing/product"
)

// stocked is what a polymer is held to where the water that is dosed is the animals' own, the first row that fits, in place of the stop that its
// figure has elsewhere: a pond over which it is spread, a tank whose water goes through a unit and comes back, a loop. What mud takes of a polymer there
// it takes beside their gills, or while it goes round past them, and what it leaves they have day and night, so the stop takes a smaller part of the same
// figure, its own or borrowed. A tenth is what an agency lays between the LC50 of a polyelectrolyte and its standard for hard water (Environment Agency
// (England); second-hand); anionic and non-ionic polymers were safe at a thirtieth and less (Tabata and Ishibashi 1984).
var stocked = []struct {
	kind animal.Chemical // empty for any
	rule string
}{
	{animal.AnionicPolymer, "anionic-stocked"},
	{"", "polymer-stocked"},
}

// stoodIn reports that the water that is dosed is the animals' own: it stands and is treated whole, by hand or through a unit, or comes round again.
func (s Situation) stoodIn() bool { return len(s.Stock) > 0 && (s.Pond || s.Loop != nil || s.Tank > 0) }

// inTheirWater is what is known of a polymer and an animal as it stops a plan where the animal stands in the water that is dosed.
// The lowest dose that killed keeps its own rule, that of a trial which told nothing else.
func (x toxic) inTheirWater(p product.Product) toxic {
	if RuleNamed(x.stop.rule).Unit == partsOfKilling {
		return x
	}
	for _, l := range stocked {
		if l.kind == "" || l.kind == kind(p) {
			x.stop.rule = l.rule
			return x
		}
	}
	return x
}

// known is what [toxicity] finds, as it is held to in a situation.
func (s Situation) known(name string, p product.Product, a Animal) (x toxic, ok bool) {
	if x, ok = toxicity(name, p, a); ok && s.stoodIn() {
		x = x.inTheirWater(p)
	}
	return x, ok
}

// figures are all that a product is held to for an animal in a situation, each figure alone: the nearest of its kind, and what killed in an own test.
func (s Situation) figures(name string, p product.Product, a Animal) (out []toxic) {
	if x, ok := s.known(name, p, a); ok {
		out = append(out, x)
	}
	if x, ok := killing(name, p, a); ok {
		out = append(out, x)
	}
	return out
}
