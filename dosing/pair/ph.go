package pair

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// Setting is what brings a litre of dosed water to the pH that its jar was set to.
type Setting struct {
	// Needed is false where the water has that pH by itself, as near as a meter reads.
	Needed bool
	Down   bool   // it is an acid that is needed
	Of     Alkali // the acid or the alkali; unnamed where it is needed and none is known
	Dose   quantity.Concentration
}

// readsTo is the last digit of a pH meter.
const readsTo = 0.01

// SetPH works out the acid or the alkali, as product, that a jar with so much of one
// chemical and the rest as it is needed to come to a pH, before any gas passes. The
// error says what is not known for it; one that is asked for and not there has no name.
func SetPH(s jartest.Series, chemical int, dose quantity.Concentration, ph quantity.PH, alkali, acid Alkali,
	catalogue product.Catalogue) (Setting, error) {
	b, err := caution.Jars(s, catalogue)
	if err != nil {
		return Setting{}, err
	}
	return setPH(b, s, chemical, dose, ph, alkali, acid)
}

// setPH is [SetPH] of jars whose water was worked out before.
func setPH(b caution.BenchWater, s jartest.Series, chemical int, dose quantity.Concentration, ph quantity.PH, alkali, acid Alkali) (Setting, error) {
	doses := make([]quantity.Concentration, len(s.Chemicals))
	for k := range doses {
		doses[k] = mostOf(s, k)
	}
	doses[chemical] = dose
	state, err := b.At(s, doses)
	if err != nil {
		return Setting{}, err
	}
	if math.Abs(float64(state.PH-ph)) < readsTo {
		return Setting{}, nil
	}
	of, down := alkali, state.PH > ph
	if down {
		of = acid
	}
	if of.Name == "" {
		return Setting{Needed: true, Down: down}, nil
	}
	d, ok := toPH(state, ph, of)
	if !ok {
		return Setting{}, note.Fault("ph-not-reached", "%s cannot bring this water to pH %s", of.Name, ph).Do("name a stronger one")
	}
	return Setting{true, down, of, d}, nil
}

// adds is what a dose, as product, brings into the water.
func (a Alkali) adds(d quantity.Concentration) (water.Addition, error) {
	if a.Product.ID == gas {
		return water.Acids()[slices.IndexFunc(water.Acids(), isGas)].Gives(d), nil
	}
	return caution.AdditionOf(a.Product, quantity.Dose{Concentration: d, Basis: quantity.AsProduct})
}

// gas is the acid that comes from a bottle or a tank of carbon dioxide, pure: the catalogue holds what is dosed as a liquid or a powder.
const gas = "co2"

func isGas(a water.Alkali) bool { return a.ID == gas }

// Sold finds what gives or takes alkalinity by its name: a product of the catalogue, or carbon dioxide.
func Sold(name string, catalogue product.Catalogue) (product.Product, error) {
	for _, a := range water.Acids() {
		if called := strings.ReplaceAll(name, "-", " "); isGas(a) && (dosing.SameName(called, a.Name) || dosing.SameName(called, gas)) {
			return product.Product{ID: gas, Name: a.Name, Group: product.Acid}, nil
		}
	}
	return catalogue.Find(name)
}

// toPH finds the dose of a product, as product, that brings water to a pH; false where
// none that a plant would use does.
func toPH(s water.State, ph quantity.PH, by Alkali) (quantity.Concentration, bool) {
	const most = 5000 // mg/L: far beyond any feed
	rises, reaches := s.PH < ph, s.Reaches(ph)
	there := func(d float64) bool {
		add, err := by.adds(quantity.Concentration(d))
		if err != nil {
			return false
		}
		return reaches(add) == rises
	}
	low, high := 0.0, float64(most)
	if !there(high) {
		return 0, false
	}
	for range 60 {
		if mid := (low + high) / 2; there(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return quantity.Concentration(high), true
}

// unreached names the jars' pH that what sets it cannot bring this water to.
func unreached(s jartest.Series, order [2]int, sets func(surface.Pair) (Setting, bool)) (l note.List) {
	var at []string
	for _, j := range s.Jars {
		ph, ok := j.Settings["ph_target"]
		if !ok || order[0] >= len(j.Doses) || !j.Doses[order[0]].Known {
			continue
		}
		said := fmt.Sprintf("%g", ph)
		if _, can := sets(surface.Pair{First: j.Doses[order[0]].Concentration, PH: ph}); !can && !slices.Contains(at, said) {
			at = append(at, said)
		}
	}
	if len(at) > 0 {
		l.Add(note.New(note.Caution, "ph-not-reached", "what is to set the pH cannot bring this water to pH %s at the doses of the jars; pairs there are left out",
			strings.Join(at, ", ")).At(s.Place).Do("name a stronger one with --alkali or --acid"))
	}
	return l
}

// setters says what sets the pH of the jars, and at which price; nothing where none of that has one.
func (t Terms) setters(down, up bool) string {
	var out []string
	add := func(a Alkali, needs bool) {
		if a.Price.Currency != "" && needs {
			out = append(out, fmt.Sprintf("%s at %s", strings.ToLower(a.Name), a.Price))
		}
	}
	add(t.Alkali, up)
	add(t.Acid, down)
	if len(out) == 0 {
		return ""
	}
	return "what sets the pH of its jars (" + strings.Join(out, ", ") + ")"
}

// settersLack says which of the two has no price though a jar needs it, so that such pairs look cheaper than they are.
func (t Terms) settersLack(s jartest.Series, down, up bool) (l note.List) {
	lacks := func(name string, a Alkali, needs bool) {
		if a.Price.Currency == "" && needs {
			l.Add(note.New(note.Caution, "cost-leaves-out",
				"the cost of a pair holds no %s: its price is not known, so pairs that need it to come to their pH look cheaper than they are", name).
				At(s.Place).Do("give it with --%s, or in the site under Prices", name))
		}
	}
	lacks("acid", t.Acid, down)
	lacks("alkali", t.Alkali, up)
	return l
}

// needed tells whether a jar has to be brought down to its pH, and whether one has to be brought up.
func needed(s jartest.Series, order [2]int, sets func(surface.Pair) (Setting, bool)) (down, up bool) {
	for _, j := range s.Jars {
		ph, ok := j.Settings["ph_target"]
		if !ok || order[0] >= len(j.Doses) || !j.Doses[order[0]].Known {
			continue
		}
		x, can := sets(surface.Pair{First: j.Doses[order[0]].Concentration, PH: ph})
		down, up = down || can && x.Needed && x.Down, up || can && x.Needed && !x.Down
	}
	return down, up
}
