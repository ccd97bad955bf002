package caution

import (
	"math"
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
	at := func(c quantity.Temperature) Water {
		return with(beck(), func(w *Water) { w.Temperature = quantity.Some(c) })
	}
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
		{"giant freshwater prawn", "post-larva", hard, "alkalinity-harms: alkalinity 275 mg/L CaCO3 reaches giant freshwater prawn, who should have less than 250", ""}, // 280 less 5 of the dose
		{"giant freshwater prawn", "", beck(), "", "alkalinity-harms"},
		{"giant freshwater prawn", "", beck(), "", "alkalinity-low"}, // at most 100 is best for them: no least
		{"rainbow trout", "", hard, "", "hardness-outside"},
		{"red-claw", "", with(beck(), func(w *Water) { w.Hardness = quantity.Some(quantity.Concentration(30)) }), "hardness-outside: 50 or more", ""},
		{"mud crab", "", at(20), "temperature-outside: the water is at 20 C; mud crab should have 25 C to 35 C (94 to 98 of 100 lived", ""},
		{"red-claw", "", at(8), "temperature-outside: 9 C to 34 C", ""},
		{"red-claw", "", at(15), "", "temperature-outside"}, // no growth, but no harm
		{"rainbow trout", "", at(23), "temperature-outside: 21 C or less (feeding stops above, and they die a few degrees further) (limit from memory, not checked in its source)", ""},
		{"rainbow trout", "", at(3), "", "temperature-outside"},
		{"tilapia", "", at(14), "temperature-outside: 15 C or more", ""},
		{"whiteleg shrimp", "", at(28), "salinity-unknown: live in salt water of 0.5 to 45 g/kg", ""},
		{"kuruma prawn", "", at(28), "salinity-unknown: live in salt water", ""}, // by way of the animal that it borrows from
		{"tiger shrimp", "", at(28), "salinity-unknown: live in salt water", ""},
		{"gilthead sea bream", "", at(20), "salinity-unknown: live in salt water", ""},
		{"barramundi", "", at(28), "", "salinity-unknown"}, // at home in both
		{"whiteleg shrimp", "", salt(12), "", "salinity-unknown"},
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
	quiet := with(beck(), func(w *Water) { w.Ammonia = quantity.Known[quantity.Concentration]{} })
	f := Review(Situation{Purpose: Animals, Water: quiet, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: own})
	if _, said := codes(f.Notes)["animal-borrowed"]; said {
		t.Errorf("a figure was borrowed: %v", f.Notes)
	}
	// One end given: that end is the keeper's, the other, 9 (fish in general, animals.txt), is still borrowed.
	own[1].PHHigh = quantity.Known[quantity.PH]{}
	f = Review(Situation{Purpose: Animals, Water: quiet, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: own[1:]})
	says(t, f, "animal-borrowed", "pH judged by fresh-water fish in general")
	r, source := (&reviewer{s: Situation{Water: quiet}}).phRange(own[1])
	if r.Low != 6.8 || r.High != 9 || source != siteItself {
		t.Errorf("pH %g to %g by %q", r.Low, r.High, source)
	}
}

// Free ammonia of an animal that nothing is known of is held to the guideline of fresh waters,
// in the sea too, and that is said; shrimp have a figure of their own.
func TestWhoseLimitOfAmmonia(t *testing.T) {
	sea := Water{Temperature: quantity.Some(quantity.Temperature(28)), PH: quantity.Some(quantity.PH(8.3)), Alkalinity: quantity.Some(quantity.Alkalinity(120)),
		Salinity: quantity.Some(quantity.Salinity(30)), Ammonia: quantity.Some(quantity.Concentration(2))}
	f := Review(Situation{Purpose: Animals, Water: sea, Doses: []Dose{dose(t, "alum-liquid", 3, quantity.AsAlum14)}, Stock: stock(t, "milkfish")})
	says(t, f, "animal-borrowed", "free ammonia judged by fresh-water fish in general")
	says(t, f, "nh3-still", "0.019 or less, the guideline for fresh waters: none for the sea is held here")
	for _, n := range Review(Situation{Purpose: Animals, Water: sea, Doses: []Dose{dose(t, "alum-liquid", 3, quantity.AsAlum14)}, Stock: stock(t, "vannamei")}).Notes {
		if strings.Contains(n.Message, "guideline for fresh waters") {
			t.Errorf("whiteleg shrimp: %s", n)
		}
	}
}

// Most waters want 50 mg/L of alkalinity by habit alone, and the caution says so.
func TestGeneralAlkalinityIsFromMemory(t *testing.T) {
	w := with(beck(), func(w *Water) { w.Alkalinity = quantity.Some(quantity.Alkalinity(40)) })
	s := Situation{Water: w, Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14)}}
	says(t, Review(s), "alkalinity-low", "most waters should have 50 or more, which this water does not have by itself (limit from memory, not checked in its source)")
	// It is advice for fish ponds: a works without animals is told of less than 20 alone (Oregon DEQ, least alkalinity).
	for _, s.Purpose = range []Purpose{Drinking, Wastewater, Other} {
		noNote(t, Review(s), "alkalinity-low")
	}
	s.Water.Alkalinity, s.Doses = quantity.Some(quantity.Alkalinity(24)), []Dose{dose(t, "alum-liquid", 12, quantity.AsAlum14)}
	says(t, Review(s), "alkalinity-low", "treated water should have 20 or more")
}

// Iron(II) turns to iron(III) slowly in cold water too: half of it takes 8 minutes at pH 7
// and 20 C, 100 times as long a unit of pH lower and 10 times as long 15 C colder (Stumm and
// Lee 1961, from memory): 80 min at pH 7 and 5 C, 8 s at 7.9 and 20 C (8/63 min). 0.6 mg/L of
// iron is in 3 mg/L of the heptahydrate; half a mg/L killed salmon.
func TestFerrousByPHAndTemperature(t *testing.T) {
	for _, x := range []struct {
		ph, celsius float64
		want        string
	}{
		{7.05, 4, "ferrous-harms"}, {7.0, 20, "ferrous-slow"}, {7.3, 5, "ferrous-slow"}, {7.9, 20, "ferrous-turns"}, {6.5, 15, "ferrous-harms"},
	} {
		w := with(beck(), func(w *Water) {
			w.JarPH, w.Temperature = quantity.Some(quantity.PH(x.ph)), quantity.Some(quantity.Temperature(x.celsius))
		})
		got := said(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "ferrous-sulfate", 3, quantity.AsFeSO4x7)}, Stock: stock(t, "Atlantic salmon")})
		for _, code := range []string{"ferrous-harms", "ferrous-slow", "ferrous-turns"} {
			if _, ok := got[code]; ok != (code == x.want) {
				t.Errorf("pH %g, %g C: %s said %v, want %s", x.ph, x.celsius, code, ok, x.want)
			}
		}
	}
	for _, x := range []struct {
		ph, celsius, want float64 // minutes
	}{{7, 20, 8}, {7, 5, 80}, {6, 20, 800}, {8, 20, 0.08}} {
		if got := 60 * float64(ironTurns(quantity.PH(x.ph), quantity.Temperature(x.celsius), 0)); math.Abs(got/x.want-1) > 1e-6 {
			t.Errorf("pH %g, %g C: half of it takes %g min, want %g", x.ph, x.celsius, got, x.want)
		}
	}
	// Nobody measured the pH: the worst that is plausible, and no stop rests on it.
	got := said(Situation{Purpose: Animals, Doses: []Dose{dose(t, "ferrous-sulfate", 3, quantity.AsFeSO4x7)}, Stock: stock(t, "trout")})
	if _, ok := got["ferrous-slow"]; !ok {
		t.Errorf("no pH: %v", got)
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

// Gypsum gives hardness: 40 mg/L bring 40 x 100.086/172.17 = 23.3 mg/L as CaCO3, so that 30 come to the 50 that
// red-claw need; of calcium chloride, 100.086/110.98 a mg.
func TestHardnessThatDosesBring(t *testing.T) {
	s := Situation{Purpose: Animals, Water: with(beck(), func(w *Water) { w.Hardness = quantity.Some(quantity.Concentration(30)) }), Stock: stock(t, "red-claw")}
	for _, x := range []struct {
		id    string
		mgL   float64
		basis quantity.Basis
		short bool
	}{{"gypsum", 40, quantity.AsGypsum, false}, {"gypsum", 30, quantity.AsGypsum, true}, {"calcium-chloride", 22.5, quantity.AsCaCl2, false},
		{"calcium-chloride", 21, quantity.AsCaCl2, true}, {"alum-dry", 22, quantity.AsAlum14, true}} {
		s.Doses = []Dose{dose(t, x.id, x.mgL, x.basis)}
		if _, said := codes(Review(s).Notes)["hardness-outside"]; said != x.short {
			t.Errorf("%g mg/L of %s: short of hardness %v", x.mgL, x.id, said)
		}
	}
}

// 14 mg/L of thiosulfate 5-hydrate (248.17 g/mol) are 0.05641 mmol/L: with two to a chlorine of 70.90 mg they take
// 2.00 mg/L, and one to four 16.0.
func TestChlorineThatThiosulfateTakes(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "koi"), Doses: []Dose{dose(t, "thiosulfate", 14, quantity.AsThiosulfate)}})
	says(t, f, "chlorine-bound", "takes 2 mg/L of chlorine for sure, and as much as 16 where")
}

// What a dose leaves beside its anion, by formula masses: gypsum 172.17, calcium chloride 110.98, thiosulfate 248.17,
// dolomite 184.40, caustic soda 39.997 g/mol.
func TestIonsByFormula(t *testing.T) {
	for _, x := range []struct {
		id    string
		basis quantity.Basis
		want  map[string]float64 // of 10 mg/L
	}{
		{"gypsum", quantity.AsGypsum, map[string]float64{"sulfate": 10 * 96.056 / 172.17, "calcium": 10 * 40.078 / 172.17}},
		{"calcium-chloride", quantity.AsCaCl2, map[string]float64{"chloride": 10 * 70.90 / 110.98, "calcium": 10 * 40.078 / 110.98}},
		{"thiosulfate", quantity.AsThiosulfate, map[string]float64{"thiosulfate": 10 * 112.117 / 248.17, "sodium": 10 * 45.98 / 248.17}},
		{"dolomite", quantity.AsDolomite, map[string]float64{"calcium": 10 * 40.078 / 184.40, "magnesium": 10 * 24.305 / 184.40}},
		{"caustic-50", quantity.AsNaOH, map[string]float64{"sodium": 10 * 22.990 / 39.997}},
		{"hydrochloric-acid", quantity.AsHCl, map[string]float64{"chloride": 10 * 35.45 / 36.458}},
		{"bentonite", quantity.AsProduct, map[string]float64{}},
	} {
		got := ionsOf(dose(t, x.id, 10, x.basis))
		if len(got) != len(x.want) {
			t.Errorf("%s leaves %v", x.id, got)
		}
		for _, s := range got {
			if math.Abs(float64(s.PerPass)-x.want[s.Ion]) > 0.003 {
				t.Errorf("%s leaves %v of %s, want %g", x.id, s.PerPass, s.Ion, x.want[s.Ion])
			}
		}
	}
}
