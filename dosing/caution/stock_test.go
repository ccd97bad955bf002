package caution

import (
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/quantity"
)

// What the water is, whatever is dosed: figures of the papers named in animals.txt.
func TestWaterThatAnimalsCannotLiveIn(t *testing.T) {
	hard := with(beck(), func(w *Water) {
		w.Hardness, w.Alkalinity = quantity.Some(quantity.Concentration(360)), quantity.Some(quantity.Alkalinity(280))
	})
	salt := func(s quantity.Salinity) Water { return with(beck(), func(w *Water) { w.Salinity = quantity.Some(s) }) }
	for _, x := range []struct {
		species, stage string
		water          Water
		says, not      string // one code each, with what the message must hold
	}{
		{"mud crab", "crablet", salt(0), "salinity-outside: 5 to 40", ""}, // all dead overnight (Ruscoe et al. 2004)
		{"mud crab", "crablet", salt(18), "", "salinity-outside"},
		{"mud crab", "crablet", beck(), "salinity-unknown: 5 to 40", "salinity-outside"},
		{"pangasius", "", salt(18), "salinity-outside: 10 or less", ""}, // 13 killed most (Hassan et al. 2023)
		{"pangasius", "", salt(10.05), "", "salinity-outside"},          // missed by half a per cent
		{"whiteleg shrimp", "", salt(3), "", "salinity-outside"},
		{"giant freshwater prawn", "post-larva", hard, "hardness-outside: 150 or less", ""},
		{"giant freshwater prawn", "post-larva", hard, "alkalinity-harms: 250 or less", ""}, // 280 less 5 of the dose
		{"giant freshwater prawn", "", beck(), "", "alkalinity-harms"},
		{"giant freshwater prawn", "", beck(), "", "alkalinity-low"}, // at most 100 is best for them: no least
		{"rainbow trout", "", hard, "", "hardness-outside"},
		{"red-claw", "", with(beck(), func(w *Water) { w.Hardness = quantity.Some(quantity.Concentration(30)) }), "hardness-outside: 50 or more", ""},
	} {
		s := Situation{Purpose: Animals, Water: x.water, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: stock(t, x.species)}
		s.Stock[0].Stage = animal.StageIn(x.stage)
		f := Review(s)
		if code, text, ok := strings.Cut(x.says, ": "); ok {
			says(t, f, code, text)
		}
		if _, said := codes(f.Notes)[x.not]; said {
			t.Errorf("%s: %s was said", x.species, x.not)
		}
	}
}

// A figure of another animal is used only with a note that names it.
func TestAnotherAnimalsFigureIsNamed(t *testing.T) {
	for species, of := range map[string]string{"Siberian sturgeon": "Persian sturgeon (Acipenser persicus)", "European eel": "short-finned eel (Anguilla australis)",
		"noble crayfish": "red-claw crayfish", "milkfish": "fresh-water fish in general", "Chinese mitten crab": "fresh-water fish in general"} {
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: stock(t, species)})
		says(t, f, "animal-borrowed", of)
	}
	// An animal with figures of its own borrows nothing; nor does one whose keeper gave the range.
	own := stock(t, "rainbow trout", "milkfish")
	own[1].PHLow, own[1].PHHigh = quantity.Some(quantity.PH(6.8)), quantity.Some(quantity.PH(8.6))
	f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: own})
	if _, said := codes(f.Notes)["animal-borrowed"]; said {
		t.Errorf("a figure was borrowed: %v", f.Notes)
	}
}

// The stage of life decides: free ammonia of 0.03 mg NH3/L is too much for grouper fry of
// 4 cm (0.011) and nothing to those of 10 cm (0.21; Zheng 2012).
func TestStageDecides(t *testing.T) {
	for stage, high := range map[animal.Stage]bool{"fry": true, "juvenile": false, "": true} {
		a := stock(t, "grouper")[0]
		a.Stage = stage
		limit, _ := (&reviewer{}).most(a, animal.NH3, "nh3-high")
		if (limit < 0.03) != high {
			t.Errorf("%q: limit %g", stage, limit)
		}
	}
}
