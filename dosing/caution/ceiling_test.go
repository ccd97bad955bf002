package caution

import (
	"testing"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestPolymerCeilingIsWhereReviewStops holds the ceiling to what the review of a
// plan does with a dose just above it and just below.
func TestPolymerCeilingIsWhereReviewStops(t *testing.T) {
	polymer := func(charge product.Charge) product.Product {
		p := product.Product{Name: "polymer", Group: product.Polymer, Charge: charge, Basis: quantity.AsActive}
		p.Strength = product.Given(quantity.Fraction(0.4), "made up")
		return p
	}
	stock := func(species string) []Animal {
		a, err := animal.Find(species)
		if err != nil {
			t.Fatal(err)
		}
		return []Animal{{Name: species, Profile: a}}
	}
	trout := stock("rainbow trout")
	for name, s := range map[string]Situation{
		"once":    {Stock: trout},
		"two":     {Stock: append(stock("atlantic salmon"), trout...)},
		"loop":    {Stock: trout, Loop: &Loop{Volume: 40000}, Flow: quantity.Some(quantity.Flow(10)), Hours: 16},
		"all day": {Stock: trout, Loop: &Loop{Volume: 40000}, Flow: quantity.Some(quantity.Flow(10))},
	} {
		for _, charge := range []product.Charge{product.Cationic, product.Anionic} {
			for _, basis := range []quantity.Basis{quantity.AsActive, quantity.AsProduct} {
				for _, capture := range []quantity.Known[quantity.Fraction]{{}, quantity.Some(quantity.Fraction(0.8))} {
					d := Dose{Product: polymer(charge), Dose: quantity.Dose{Basis: basis}, Capture: capture}
					most, why, ok := s.PolymerCeiling(d)
					if !ok || why == "" || most <= 0 {
						t.Errorf("%s, %s: no ceiling", name, charge)
						continue
					}
					stopped := func(share quantity.Concentration) bool {
						d.Dose.Concentration = most * share
						x := s
						x.Doses = []Dose{d}
						return Review(x).Stopped
					}
					if stopped(0.99) || !stopped(1.01) {
						t.Errorf("%s, %s %s, capture %v: the review does not turn at %v", name, charge, basis, capture, most)
					}
				}
			}
		}
	}

	// Half of 0.271 mg/L of a cationic polymer (the least figure for rainbow trout in the toxicity table) is what may be dosed before them, in water of
	// any turbidity and of none told; a tenth in a tank of theirs.
	for most, s := range map[quantity.Concentration]Situation{0.1355: {Stock: trout}, 0.13550001: {Stock: trout, Water: Water{Turbidity: quantity.Some(70.0)}}, 0.0271: {Stock: trout, Tank: 1000}} {
		if got, _, _ := s.PolymerCeiling(Dose{Product: polymer(product.Cationic), Dose: quantity.Dose{Basis: quantity.AsActive}}); got < most*0.9999 || got > most*1.0001 {
			t.Errorf("ceiling for trout %v, want %v", got, most)
		}
	}
	accepted := Situation{Stock: trout, Accepted: []Acceptance{{Code: "cationic-lethal", By: "site manager", Why: "bioassay"}}}
	if _, _, ok := accepted.PolymerCeiling(Dose{Product: polymer(product.Cationic), Dose: quantity.Dose{Basis: quantity.AsActive}}); ok {
		t.Error("a risk that somebody has taken still limits the dose")
	}
	alum, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, ok := (Situation{Stock: trout}).PolymerCeiling(Dose{Product: alum}); ok {
		t.Error("alum is no polymer")
	}
	if _, _, ok := (Situation{}).PolymerCeiling(Dose{Product: polymer(product.Cationic)}); ok {
		t.Error("a ceiling without animals")
	}
}
