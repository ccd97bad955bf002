package caution

import (
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Chloride before animals of fresh water: above 230 mg/L care, above 860 a stop (US EPA 1988, EPA 440/5-88-001: four days and an hour; from memory) for
// animals of which nobody knows what they bear of salt; tilapia live to 15 g/kg, and red claw to 2: 1.80655 x 0.95 g/L of chloride are 1.72 and 1.15 are 2.08. CaCl2 is 2 x 35.453/110.98 = 0.6389 chloride: 230 are in 360.0 mg/L of it, 860 in 1346. Gypsum brings none, and in salt water
// and before animals of it nothing is said.
func TestChlorideBeforeAnimalsOfFreshWater(t *testing.T) {
	of := 2 * 35.453 / 110.98
	for _, x := range []struct {
		chloride float64
		species  string
		salt     quantity.Known[quantity.Salinity]
		want     string
	}{
		{229, "common carp", quantity.Known[quantity.Salinity]{}, ""}, {231, "common carp", quantity.Known[quantity.Salinity]{}, "chloride-high"},
		{858, "tilapia", known(quantity.Salinity(0.2)), "chloride-high"}, {862, "common carp", known(quantity.Salinity(0.2)), "chloride-acute"}, {4000, "tilapia", known(quantity.Salinity(0.2)), "chloride-high"},
		{950, "red claw", quantity.Known[quantity.Salinity]{}, "chloride-high"}, {1150, "red claw", quantity.Known[quantity.Salinity]{}, "chloride-acute"}, {950, "red claw", known(quantity.Salinity(0.5)), "chloride-acute"},
		{862, "whiteleg shrimp", known(quantity.Salinity(20)), ""},
	} {
		s := Situation{Purpose: Animals, Pond: true, Water: beck(), Stock: stock(t, x.species), Doses: []Dose{dose(t, "calcium-chloride", x.chloride/of, quantity.AsCaCl2)}}
		s.Water.Salinity = x.salt
		f := Review(s)
		for _, code := range []string{"chloride-high", "chloride-acute"} {
			level, said := codes(f.Notes)[code]
			if said != (code == x.want) || said && (level == note.Stop) != (code == "chloride-acute") {
				t.Errorf("%g mg/L of chloride with %s: %s said %v, %s", x.chloride, x.species, code, said, level)
			}
		}
		for _, c := range f.Checks {
			if c.Rule == x.want && c.Found.String() != mgL(quantity.Concentration(x.chloride)).String()+" mg/L" {
				t.Errorf("%s: found %s", c.Rule, c.Found)
			}
		}
		if s.Accepted = []Acceptance{{Code: "chloride-acute", By: "A. Keeper", Why: "a bath of an hour"}}; x.want == "chloride-acute" && Review(s).Stopped {
			t.Error("accepted, and stopped")
		}
		if s.Stock = nil; len(x.want) > 0 && codes(Review(s).Notes)[x.want] != 0 {
			t.Errorf("%s said of animals that nobody names", x.want)
		}
	}
	// two chemicals together, 150 and 100 mg/L of chloride; FeCl3 is 3 x 35.453/162.2 of it
	s := Situation{Purpose: Animals, Pond: true, Water: with(beck(), func(w *Water) { w.Alkalinity = known(quantity.Alkalinity(300)) }), Stock: stock(t, "common carp"),
		Doses: []Dose{dose(t, "calcium-chloride", 150/of, quantity.AsCaCl2), dose(t, "ferric-chloride", 100*162.2/(3*35.453), quantity.AsFeCl3)}}
	says(t, Review(s), "chloride-high", "250 mg/L of chloride come into the water of common carp, on top of what it has: above 230 mg/L")
	// a loop of 20 m3 whose every pass brings 1 mg/L at 10 m3/h, with 0.5 m3/h of new water: 20 mg/L in the long run; of 12 mg/L 240
	for pass, high := range map[float64]bool{1: false, 12: true} {
		s := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "common carp"), Doses: []Dose{dose(t, "calcium-chloride", pass/of, quantity.AsCaCl2)},
			Flow: known(quantity.Flow(10)), Loop: &Loop{Volume: 20000, Exchange: known(quantity.Flow(0.5))}}
		if got := codes(Review(s).Notes)["chloride-high"] == note.Caution; got != high {
			t.Errorf("%g mg/L a pass: said %v", pass, got)
		}
	}
}

// Sulfate by the hardness that the water comes to (British Columbia: 128 mg/L to a hardness of 30, 218 to 75, 309 to 180, 429 beyond; from memory). Gypsum is
// 96.06/172.17 = 0.5579 sulfate and 100.09/172.17 = 0.5813 of hardness: 300 mg/L on 20 bring 167 on 194, 1000 bring 558.
func TestSulfateBeforeAnimalsOfFreshWater(t *testing.T) {
	for _, x := range []struct {
		gypsum, hard float64
		bears        float64
		said         bool
	}{{300, 20, 429, false}, {1000, 20, 429, true}, {100, 20, 309, false}, {10, 20, 128, false}, {230, 0, 128, true}, {220, 0, 128, false}, {60, 35, 218, false}} {
		s := Situation{Purpose: Animals, Pond: true, Water: beck(), Stock: stock(t, "common carp"), Doses: []Dose{dose(t, "gypsum", x.gypsum, quantity.AsGypsum)}}
		s.Water.Hardness = quantity.Known[quantity.Concentration]{V: quantity.Concentration(x.hard), OK: x.hard > 0}
		f := Review(s)
		if _, said := codes(f.Notes)["sulfate-high"]; said != x.said {
			t.Errorf("%g mg/L of gypsum on %g: said %v", x.gypsum, x.hard, said)
		}
		for _, c := range f.Checks {
			if c.Rule == "sulfate-high" && (c.Limit.String() != mgL(quantity.Concentration(x.bears)).String()+" mg/L" || c.Found.String() != mgL(quantity.Concentration(x.gypsum*96.06/172.17)).String()+" mg/L") {
				t.Errorf("%g mg/L of gypsum on %g: %s of %s", x.gypsum, x.hard, c.Found, c.Limit)
			}
		}
	}
	s := Situation{Purpose: Animals, Pond: true, Water: beck(), Stock: stock(t, "common carp"), Doses: []Dose{dose(t, "gypsum", 1000, quantity.AsGypsum)}}
	s.Water.Hardness.OK = false
	says(t, Review(s), "sulfate-high", "above 128 mg/L, the guideline for the life of fresh waters (hardness is not given: that of the softest water)")
	if r := RuleNamed("sulfate-high"); r.Status != "memory" || math.Abs(RuleNamed("chloride-acute").Limit-860) > 0 {
		t.Errorf("%+v", r)
	}
}
