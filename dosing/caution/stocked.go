package caution

import (
	"jarwright/dosing/animal"
	"jarwright/dosing/product"
)

// stocked is what a polymer is held to where animals stand in the very water into which it is spread, the first row that fits, in place of
// the stop that its figure has elsewhere. A pond has no settler before the animals: what mud takes of a polymer it takes beside their gills, and
// nobody measured how much, so the stop counts the whole dose, or what was measured to stay, and takes a smaller part of the same figure, its own or
// borrowed. A tenth is what an agency lays between the LC50 of a polyelectrolyte and its standard for hard water (Environment Agency
// (England); second-hand); anionic and non-ionic polymers were safe at a thirtieth and less (Tabata and Ishibashi 1984).
var stocked = []struct {
	kind animal.Chemical // empty for any
	rule string
}{
	{animal.AnionicPolymer, "anionic-stocked"},
	{"", "polymer-stocked"},
}

// stoodIn reports that a situation's animals stand in the very water that is dosed, by hand over the whole of it.
func (s Situation) stoodIn() bool { return s.Pond && !s.Piped && len(s.Stock) > 0 }

// inTheirWater is what is known of a polymer and an animal as it stops a plan where the animal stands in the water that is dosed.
// The lowest dose that killed keeps its own rule, that of a trial which told nothing else.
func (x toxic) inTheirWater(p product.Product) toxic {
	x.stop.whole = true
	if x.stop.rule != "" && RuleNamed(x.stop.rule).Unit == partsOfKilling {
		x.stop.rule = "polymer-killed-stop"
		return x
	}
	if x.stop.rule == "" { // of another kind of polymer: the same figure as calls for care
		x.stop.of, x.stop.lethal = x.warn.of, x.warn.of.Dose()
	}
	for _, l := range stocked {
		if l.kind == "" || l.kind == kind(p) {
			x.stop.rule = l.rule
			return x
		}
	}
	return x
}

// figures are those of [figuresOf] as they are held to in a situation.
func (s Situation) figures(name string, p product.Product, a Animal) []toxic {
	out := figuresOf(name, p, a)
	for i := range out {
		if s.stoodIn() {
			out[i] = out[i].inTheirWater(p)
		}
	}
	return out
}
