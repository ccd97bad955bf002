package caution

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func of(t *testing.T, species string, stage animal.Stage) []Animal {
	t.Helper()
	a := stock(t, species)
	a[0].Stage = stage
	return a
}

// basin is water that is given whole.
func basin(temperature, ph, alkalinity, hardness, salinity, asN float64) Water {
	w := Water{Temperature: quantity.Some(quantity.Temperature(temperature)), PH: quantity.Some(quantity.PH(ph)), Alkalinity: quantity.Some(quantity.Alkalinity(alkalinity)),
		Salinity: quantity.Some(quantity.Salinity(salinity)), DOC: quantity.Some(quantity.Concentration(4)), Ammonia: quantity.Some(quantity.Concentration(asN)),
		Turbidity: quantity.Some(60.0), ResidualAl: quantity.Some(quantity.Concentration(0.01))}
	if hardness > 0 {
		w.Hardness = quantity.Some(quantity.Concentration(hardness))
	}
	return w
}

func pacl(t *testing.T, mgL float64) []Dose {
	return []Dose{dose(t, "pacl-10", mgL, quantity.AsProduct)}
}

func noNote(t *testing.T, f Findings, code string) {
	t.Helper()
	if level, ok := codes(f.All())[code]; ok {
		t.Errorf("%s was said as %s: %v", code, level, f.Notes)
	}
}

func level(t *testing.T, f Findings, code string, want note.Level) {
	t.Helper()
	if got, ok := codes(f.All())[code]; !ok || got != want {
		t.Errorf("%s: said %v as %s, want %s; %v", code, ok, got, want, codes(f.All()))
	}
}

// 4 mg/L as N at 10 C: at pH 8.2 2.86 % are free, 4 x 0.0286 x 1.216 = 0.139 mg NH3/L, which a dose brings down; in balance with the
// air the same water is near pH 8.5, 5.5 % (Emerson et al. 1975), 0.27: trout die from 0.16 (Thurston and Russo 1983), dose or no dose.
func TestAmmoniaThatAirMakesDeadlyIsSaid(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: basin(10, 8.2, 130, 120, 0, 4), Doses: pacl(t, 10), Stock: of(t, "rainbow trout", "fry")})
	level(t, f, "nh3-aerated-lethal", note.Caution)
	noNote(t, f, "nh3-stands")
	for _, c := range f.Checks {
		if strings.HasPrefix(c.Rule, "nh3-") && !c.Fired && c.Rule != "nh3-lethal" && c.Rule != "nh3-deadly" {
			t.Errorf("%s: %s against %s passes", c.Rule, c.Found, c.Limit)
		}
	}
	// 2 mg/L are half of that: too much for trout as they stand, and what air makes of them is told in the same breath.
	f = Review(Situation{Purpose: Animals, Water: basin(10, 8.2, 130, 120, 0, 2), Doses: pacl(t, 10), Stock: of(t, "rainbow trout", "fry")})
	says(t, f, "nh3-stands", "as the water loses its carbon dioxide")
	noNote(t, f, "nh3-aerated-lethal")
}

// The level follows what is in the water, not what is dosed: the more there is, never the lower.
func TestMoreAmmoniaIsNeverTheLowerLevel(t *testing.T) {
	for _, a := range [][]Animal{of(t, "whiteleg shrimp", "larva"), of(t, "whiteleg shrimp", "juvenile"), of(t, "barramundi", "juvenile")} {
		for _, d := range [][]Dose{pacl(t, 10), {dose(t, "npam-dry", 0.2, quantity.AsProduct)}} {
			worst := note.Info
			for asN := 0.25; asN <= 12; asN *= 1.25 {
				f := Review(Situation{Purpose: Animals, Water: basin(28, 8.2, 130, 0, 30, asN), Doses: d, Stock: a})
				l := note.Info
				for code, level := range codes(f.Notes) {
					if strings.HasPrefix(code, "nh3-") {
						l = max(l, level)
					}
				}
				if l < worst {
					t.Errorf("%s with %s: %g mg/L is but a %s", a[0].Name, d[0].Product.ID, asN, l)
				}
				worst = l
			}
			if worst < note.Caution {
				t.Errorf("%s with %s: never a caution", a[0].Name, d[0].Product.ID)
			}
		}
	}
	// Zoea should have 0.06 as N or less, 0.073 mg NH3/L; 2 mg/L as N at pH 8.2 stay at nearly three times that where polymer alone is dosed.
	f := Review(Situation{Purpose: Animals, Water: basin(28, 8.2, 130, 0, 30, 2), Doses: []Dose{dose(t, "npam-dry", 0.2, quantity.AsProduct)}, Stock: of(t, "whiteleg shrimp", "larva")})
	level(t, f, "nh3-still", note.Caution)
}

// Sea-bream juveniles grow as well in 0.3 mg/L as N, 0.365 mg NH3/L (Wajsbrot et al. 1993); 0.24 killed larvae of twelve days (Parra and Yufera 1999).
func TestLethalFigureOfAnotherStageGivesWay(t *testing.T) {
	s := Situation{Purpose: Animals, Water: basin(20, 8.1, 130, 0, 35, 6), Doses: pacl(t, 10), Stock: of(t, "gilthead sea bream", "juvenile")}
	f := Review(s)
	if before := f.Water.NH3Before; before < 0.24 || before > 0.36 {
		t.Fatalf("%v is no test of it", before)
	}
	noNote(t, f, "nh3-deadly")
	s.Stock = of(t, "gilthead sea bream", "larva")
	level(t, Review(s), "nh3-deadly", note.Caution)
	s.Stock = of(t, "gilthead sea bream", "")
	says(t, Review(s), "nh3-deadly", "(figure for larva, the least of all stages)")
}

// Monomer counts in the product as sold: 40 CFR 141.111 lets in 0.01 % epichlorohydrin at 20 mg/L and 0.05 % acrylamide at 1 mg/L of it.
// 39 mg/L at 0.01 % are 3.9 ug/L, over the 2 that this makes, though half of the product is water.
func TestMonomerCountsInTheProduct(t *testing.T) {
	for _, x := range []struct {
		id            string
		mgL, monomer  float64
		basis         quantity.Basis
		code, says    string
		limit, active float64 // mg/L of active polymer that the table holds it to
	}{
		{"polyamine", 39, 0.0001, quantity.AsProduct, "dw-epichlorohydrin", "39 mg/L of product at 0.01 % epichlorohydrin brings 3.9 ug/L, above 2 ug/L (US)", 10, 19.5},
		{"cpam-emulsion", 2.8, 0.0005, quantity.AsProduct, "dw-acrylamide", "2.8 mg/L of product at 0.05 % acrylamide brings 1.4 ug/L, above 0.5 ug/L (US)", 0.35, 0.98},
		{"cpam-emulsion", 0.5, 0.0005, quantity.AsActive, "dw-acrylamide", "1.43 mg/L of product", 0.35, 0.5},
		{"polyamine", 19.9, 0.0001, quantity.AsProduct, "", "", 10, 9.95},
	} {
		d := dose(t, x.id, x.mgL, x.basis)
		d.Monomer = quantity.Some(quantity.Fraction(x.monomer))
		f := Review(Situation{Purpose: Drinking, Rules: "US", Doses: []Dose{d}})
		if f.Stopped != (x.code != "") {
			t.Errorf("%s %g mg/L: stopped %v", x.id, x.mgL, f.Stopped)
		}
		if x.code != "" {
			says(t, f, x.code, x.says)
		}
		if r := f.Residuals[0]; math.Abs(float64(r.Limit.V)/x.limit-1) > 1e-9 || math.Abs(float64(r.Worst)/x.active-1) > 1e-9 {
			t.Errorf("%s: %v held to %v, want %g and %g", x.id, r.Worst, r.Limit, x.active, x.limit)
		}
	}
}

// 10 mg/L of heptahydrate hold 2.0 mg/L of iron(II), of which 0.5 killed a third of salmon (Teien et al.): at pH 6.8 and 15 C half of it turns in 43
// minutes. No figure of other animals is known: what is borrowed stops nothing and is named. In sea water it turns some thirty times more slowly
// (Millero, Sotolongo and Izaguirre 1987, from memory: 10^(3.29 sqrt I - 1.52 I), I 0.40 at salinity 20).
func TestFerrousOfOtherAnimals(t *testing.T) {
	d := []Dose{dose(t, "ferrous-sulfate", 10, quantity.AsProduct)}
	for _, species := range []string{"common carp", "tilapia"} {
		f := Review(Situation{Purpose: Animals, Water: basin(15, 6.8, 100, 100, 0, 0.1), Doses: d, Stock: stock(t, species)})
		level(t, f, "ferrous-slow", note.Caution)
		says(t, f, "ferrous-slow", "killed a third of Atlantic salmon, borrowed for "+species)
		noNote(t, f, "ferrous-harms")
	}
	f := Review(Situation{Purpose: Animals, Water: basin(28, 8.0, 140, 0, 20, 0.1), Doses: d, Stock: stock(t, "whiteleg shrimp")})
	level(t, f, "ferrous-turns", note.Info)
	if got := ironTurns(8, 28, 20) / ironTurns(8, 28, 0); math.Abs(float64(got)-30) > 2 {
		t.Errorf("at salinity 20 it takes %v times as long", got)
	}
	level(t, Review(Situation{Purpose: Animals, Water: basin(20, 7.4, 140, 0, 30, 0.1), Doses: d, Stock: stock(t, "whiteleg shrimp")}), "ferrous-slow", note.Caution)
}

// A lethal figure is told with the substance and the animal that it was found with, in every form.
func TestLethalFiguresHaveTheirSubstanceAndAnimal(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "pdadmac", 3, quantity.AsActive)}, Stock: stock(t, "rainbow trout")})
	says(t, f, "cationic-lethal", "3 mg/L may stay in the water (the whole dose: what the floc takes is not given), 11 times what killed half of rainbow trout (0.271 mg/L of polyamines and quaternary amine copolymers), for rainbow trout; half of it stops a plan")
	// cationic polyacrylamide by its own figure, 2.08 mg/L, half of it 1.04
	for dosed, want := range map[float64]string{1.05: "cationic-lethal", 1.03: "cationic-near"} {
		f = Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "cpam-dry", dosed, quantity.AsActive)}, Stock: stock(t, "rainbow trout")})
		says(t, f, want, "what killed half of lake trout fry (2.08 mg/L of cationic polyacrylamide), for rainbow trout; ")
	}
	f = Review(Situation{Purpose: Animals, Water: basin(28, 7.5, 100, 120, 0, 0.3), Doses: []Dose{dose(t, "cpam-dry", 1, quantity.AsActive)}, Stock: stock(t, "tilapia")})
	says(t, f, "cationic-borrowed", "Borrowed from lake trout fry, not tilapia: that is 48 % of what killed half of lake trout fry (2.08 mg/L of cationic polyacrylamide); a three-hundredth of it calls for care")
	f = Review(Situation{Purpose: Animals, Water: basin(28, 8, 140, 0, 20, 0.1), Doses: []Dose{dose(t, "apam-dry", 0.3, quantity.AsProduct)}, Stock: stock(t, "whiteleg shrimp")})
	if name := f.Residuals[0].LimitName.String(); name != "the discharge limit of English water works" {
		t.Errorf("borrowed from %q", name)
	}
	// Bullock et al. 2000 saw trout die of 0.038 mg/L in six days: that is no LC50.
	f = Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "chitosan", 1, quantity.AsActive)}, Stock: stock(t, "common carp")})
	says(t, f, "cationic-borrowed-stop", "26 times what rainbow trout died of in 6 d (0.038 mg/L of chitosan in acetic acid); half of it stops a plan")
}

// 250 mg/L of alkalinity and more kill post-larvae as hardness rises (Gonzalez-Vera and Brown): at the limit itself too.
func TestAlkalinityThatKillsPrawns(t *testing.T) {
	s := Situation{Purpose: Animals, Water: basin(29, 8.0, 260, 300, 0, 0.2), Doses: []Dose{dose(t, "alum-dry", 15, quantity.AsAlum14)}, Stock: of(t, "giant freshwater prawn", "post-larva")}
	f := Review(s) // 15 x 0.505 of 260 leaves 252.4
	level(t, f, "alkalinity-harms", note.Caution)
	says(t, f, "alkalinity-harms", "kills post-larvae as hardness rises")
	says(t, f, "alkalinity-harms", "hardness here is 300 mg/L CaCO3")
	s.Water = basin(29, 8.0, 256, 300, 0, 0.2)
	noNote(t, Review(s), "alkalinity-harms")
}

// One certificate of 40 % ferric chloride has 0.07 to 0.3 % manganese: 40 mg/L as FeCl3 are 100 of product, 0.07 to 0.30 mg/L; 15 are 37.5, 0.026 to 0.11.
func TestManganeseOfFerricChloride(t *testing.T) {
	works := func(mgL float64, purpose Purpose) Findings {
		return Review(Situation{Purpose: purpose, Rules: "US", Water: water15(7.4, 110), Doses: []Dose{dose(t, "ferric-chloride", mgL, quantity.AsFeCl3)}})
	}
	f := works(40, Drinking)
	level(t, f, "dw-manganese", note.Caution)
	says(t, f, "dw-manganese", "0.07 to 0.3 mg/L of manganese")
	f = works(15, Drinking)
	level(t, f, "dw-manganese-some", note.Info)
	noNote(t, f, "dw-manganese")
	noNote(t, works(5, Drinking), "dw-manganese-some") // 12.5 of product, 0.0375 at most
	noNote(t, works(40, Other), "dw-manganese")
}

// The marine guideline is no limit for stock: with aluminium measured and animals named it is told, and nobody is called.
func TestMarineAluminiumBeforeStockIsToldOnly(t *testing.T) {
	w := with(basin(28, 8, 140, 0, 20, 0.2), aluminium(0.1))
	f := Review(Situation{Purpose: Animals, Water: w, Doses: pacl(t, 20), Stock: of(t, "whiteleg shrimp", "juvenile")})
	level(t, f, "al-marine-stock", note.Info)
	noNote(t, f, "al-marine")
	if r := f.Residuals[0]; r.Level != note.Info || r.Limit.V != 0.024 {
		t.Errorf("the table says %v of %v", r.Level, r.Limit)
	}
	f = Review(Situation{Purpose: Other, Water: w, Doses: pacl(t, 20)})
	level(t, f, "al-marine", note.Caution)
}

// 15 mg/L of alum hold 1.36 mg/L Al: that is above the criterion and kills some crayfish, which is one danger.
func TestAluminiumAndCrayfishAreOneCaution(t *testing.T) {
	w := with(basin(27, 7.4, 90, 90, 0, 0.1), func(w *Water) { w.ResidualAl = quantity.Known[quantity.Concentration]{} })
	f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-dry", 15, quantity.AsAlum14)}, Stock: of(t, "red-claw", "juvenile")})
	level(t, f, "metal-harms", note.Caution)
	noNote(t, f, "al-whole-dose")
	says(t, f, "metal-harms", "is above the chronic criterion")
}

// A computed pH is good to 0.1, carbon dioxide from it to 26 %: salmon should have 15 mg/L or less, and up to half of that above
// it (10^0.05, 16.8) is a note.
func TestCarbonDioxideWithinItsErrorIsTold(t *testing.T) {
	salmon := func(ph float64) Findings {
		w := with(basin(13, ph, 80, 90, 0, 0.5), func(w *Water) { w.ResidualFe = quantity.Some(quantity.Concentration(0.05)) })
		return Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "ferric-chloride", 5, quantity.AsFeCl3)}, Stock: of(t, "Atlantic salmon", "juvenile")})
	}
	f := salmon(7.2)
	if got := f.Water.Closed.CO2; got < 15.2 || got > 16.8 {
		t.Fatalf("%v is no test of it", got)
	}
	level(t, f, "co2-about", note.Info)
	noNote(t, f, "co2-high")
	level(t, salmon(7.0), "co2-high", note.Caution)
	noNote(t, salmon(7.35), "co2-about") // 11
}

// What lies as little below a limit is told as what lies above it: carbon dioxide of 13.4 to 16.8 with trout, whose limit is 15, and with crabs,
// of which none is known. Of carbon dioxide that was measured nothing is as near.
func TestCarbonDioxideIsAsNearFromBelow(t *testing.T) {
	at := func(co2 quantity.Concentration, species string, measured bool) Findings {
		w := with(basin(24, 7, 130, 400, 0, 0.1), func(w *Water) { w.ResidualFe, w.PH.OK = quantity.Some(quantity.Concentration(0.05)), measured })
		used, err := dose(t, "ferric-chloride", 1, quantity.AsFeCl3).Product.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: quantity.AsFeCl3})
		if err != nil {
			t.Fatal(err)
		}
		raw, err := water.FromAlkalinityCO2(w.Conditions(), 130, co2-quantity.Concentration(water.FreedCO2(used)))
		if err != nil {
			t.Fatal(err)
		}
		w.PH, w.CO2 = quantity.Some(raw.PH), quantity.Known[quantity.Concentration]{V: raw.CO2, OK: measured}
		if measured {
			w.PH.OK = false
		}
		return Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "ferric-chloride", 1, quantity.AsFeCl3)}, Stock: of(t, species, "juvenile")})
	}
	for _, x := range []struct {
		co2      quantity.Concentration
		species  string
		measured bool
		says     string
	}{
		{13, "trout", false, ""}, {13.8, "trout", false, "co2-about"}, {15, "trout", false, "co2-about"}, {16.5, "trout", false, "co2-about"}, {17.2, "trout", false, "co2-high"},
		{13, "mud crab", false, ""}, {13.8, "mud crab", false, "co2-some"}, {15, "mud crab", false, "co2-some"}, {17.2, "mud crab", false, "co2-some"},
		{14.8, "trout", true, ""}, {15.4, "trout", true, "co2-high"}, {14.8, "mud crab", true, ""}, {15.4, "mud crab", true, "co2-some"},
	} {
		f := at(x.co2, x.species, x.measured)
		if got := f.Water.Closed.CO2; math.Abs(float64(got/x.co2-1)) > 0.01 {
			t.Errorf("%v mg/L of carbon dioxide instead of %v", got, x.co2)
		}
		for _, code := range []string{"co2-about", "co2-some", "co2-high", "co2-far"} {
			if v := slices.ContainsFunc(f.Said, func(s Said) bool { return s.Code == code }); v != (code == x.says) {
				t.Errorf("%v mg/L, %s, measured %v: %s said %v", x.co2, x.species, x.measured, code, v)
			}
		}
	}
	says(t, at(14.9, "mud crab", false), "co2-some", "should have 15 or less, and a pH good to 0.1 tells no nearer")
}

// Without total ammonia an alkali that ends at pH 7.0 is no danger: of 3 mg/L as N 0.27 % are free at 15 C (Emerson et al. 1975), 0.01 mg NH3/L.
func TestAlkalisAlikeWithoutAmmonia(t *testing.T) {
	w := with(basin(15, 6.6, 30, 40, 0, 0), func(w *Water) {
		w.Ammonia, w.Floor = quantity.Known[quantity.Concentration]{}, quantity.Some(quantity.Alkalinity(50))
	})
	f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-dry", 10, quantity.AsAlum14)}, Stock: stock(t, "trout"), Flow: quantity.Some(quantity.Flow(10))})
	seen := 0
	for _, o := range f.Alkalis {
		if strings.Contains("caoh2 na2co3 nahco3 caco3", o.Alkali.ID) && o.Closed.PH < 7.1 {
			seen++
			if o.Level != note.Info {
				t.Errorf("%s at pH %s: %s", o.Alkali.Name, o.Closed.PH, o.Why)
			}
		}
	}
	if seen < 3 {
		t.Errorf("only %d alkalis looked at", seen)
	}
}

// Animals that nobody keeps figures of are known by name: what lives in the sea is asked for its salinity, and an oyster is no fish.
func TestSeaAnimalsByName(t *testing.T) {
	w := beck()
	for species, general := range map[string]string{"Pacific oyster": "", "blue mussel": "", "sea cucumber": "", "European lobster": "", "turbot": "fish", "Atlantic cod": "fish", "halibut": "fish"} {
		a := stock(t, species)
		if !a[0].Profile.Salt() {
			t.Errorf("%s is not of the sea", species)
		}
		f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: a})
		level(t, f, "salinity-unknown", note.Caution)
		level(t, f, "animal-unknown", note.Caution)
		if general == "" {
			says(t, f, "animal-unknown", "though it is none")
		}
		f = Review(Situation{Purpose: Animals, Water: with(w, func(w *Water) { w.Salinity = quantity.Some(quantity.Salinity(32)) }), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: a})
		says(t, f, "animal-unknown", "sea fish")
	}
}

// 30 mg/L of alum take 15.2 of 12 mg/L: this dose leaves nothing, no other.
func TestDoseThatLeavesNothing(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: basin(8, 6.6, 12, 15, 0, 0.1), Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14)}, Stock: stock(t, "trout")})
	// 30 x 6 x 50.0435 / 594.35 x 0.99 = 15.0 of 12 leaves 3.0 of acid;
	// with 0.01 of aluminium read on the jar all of it is free: 3.16/50043.5 = 6.3e-5 mol/L, pH 4.20.
	says(t, f, "alkalinity-gone", "alkalinity falls from 12 to none, below 20")
	says(t, f, "alkalinity-gone", "this dose leaves nothing to hold the pH, and 3")
	says(t, f, "alkalinity-gone", "of acid over, which takes it to about 4.20")
	if used := f.Water.AlkalinityBefore - f.Water.AlkalinityLeft; math.Abs(float64(used)-30*6*50.0435/594.35*0.99) > 0.2 {
		t.Errorf("takes %g", float64(used))
	}
	f = Review(Situation{Purpose: Animals, Water: basin(8, 6.6, 15, 15, 0, 0.1), Doses: []Dose{dose(t, "alum-liquid", 16, quantity.AsAlum14)}, Stock: stock(t, "trout")})
	says(t, f, "alkalinity-gone", "a dose twice as large leaves nothing")
}

// 1 mg/L of chitosan in twice its half of acetic acid: 0.5 mg at 0.833 mg CaCO3 a mg (50.04/60.05) takes 0.416.
func TestAcidOfChitosan(t *testing.T) {
	used, err := chemical(t, "chitosan").AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: quantity.AsActive})
	if err != nil || math.Abs(float64(used)-0.4166) > 0.001 {
		t.Errorf("takes %v (%v)", used, err)
	}
	used, err = chemical(t, "chitosan").AlkalinityUsed(quantity.Dose{Concentration: 100, Basis: quantity.AsProduct}) // 2 % of it
	if err != nil || math.Abs(float64(used)-0.833) > 0.002 {
		t.Errorf("100 mg/L of product take %v (%v)", used, err)
	}
}

// What stands in the shed: hypo is hypochlorite to a water works; dust masks, acids and quicklime have their own words.
func TestGoodsInTheShed(t *testing.T) {
	for _, name := range []string{"hypo", "Hypo 12 %", "Javel water", "chlorine 65 %"} {
		f := Review(Situation{OnSite: []product.Product{chemical(t, "alum-liquid")}, Also: []string{name}})
		if _, ok := codes(f.Handling)["mix-chlorine"]; !ok {
			t.Errorf("%s: no chlorine gas; not checked %v", name, f.NotChecked)
		}
	}
	handling := func(id string) string {
		var all []string
		for _, n := range Review(Situation{OnSite: []product.Product{chemical(t, id)}}).Handling {
			all = append(all, n.Message+". "+n.Remedy)
		}
		return strings.Join(all, "\n")
	}
	for _, x := range []struct{ id, has, lacks string }{
		{"polyferric", "irritates skin, serious eye damage. Wear goggles and face shield, long gloves, apron, boots", "as ferric sulfate"},
		{"alcl3-liquid", "burns skin and eyes. Wear face shield, gauntlets, apron, boots", ""},
		{"bentonite", "fine dust harms lungs when breathed, and may hold quartz. Wear glasses, dust mask", ""},
		{"gypsum", "keep the dust out of eyes and lungs", ""},
		{"sulfuric-acid", "no water on it", "rinse with much water"},
		{"quicklime", "brush it off the skin dry", ""},
		{"alum-liquid", "rinse with much water", "brush it off"},
	} {
		if text := handling(x.id); !strings.Contains(text, x.has) || x.lacks != "" && strings.Contains(text, x.lacks) {
			t.Errorf("%s: %s", x.id, text)
		}
	}
}

// More coagulant brings no pH of sea water down, and there would be too much aluminium already.
func TestNoMoreAluminiumForTheSea(t *testing.T) {
	w := with(basin(28, 8.2, 130, 0, 30, 0.2), func(w *Water) { w.ResidualAl = quantity.Known[quantity.Concentration]{} })
	f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: of(t, "whiteleg shrimp", "juvenile")})
	for _, n := range f.Notes {
		if n.Code == "al-dissolved" && strings.Contains(n.Remedy, "dose more") {
			t.Error(n.Remedy)
		}
	}
	level(t, f, "al-dissolved", note.Caution)
}

// A name that several products bear is one of them where they differ in strength alone, or where the
// basis of the dose is that of one; iron(II) and iron(III), and polymers of other charge, are not guessed.
func TestNamesOfSeveral(t *testing.T) {
	for name, want := range map[[2]string]string{
		{"alum", "as Al"}: "alum-liquid", {"iron sulfate", "as Fe2(SO4)3"}: "ferric-sulfate", {"iron sulfate", "as FeSO4 heptahydrate"}: "ferrous-sulfate",
		{"iron sulfate", "as Fe"}: "", {"iron sulfate", "as product"}: "", {"PAM", "as active polymer"}: "", {"hypo", "as Na2S2O3"}: "thiosulfate",
	} {
		basis, err := quantity.ParseBasis(name[1])
		if err != nil {
			t.Fatal(err)
		}
		if p, err := ProductFor(jartest.Chemical{Name: name[0], Basis: basis}, product.Default()); p.ID != want || (err == nil) != (want != "") {
			t.Errorf("%v: %q, %v; want %q", name, p.ID, err, want)
		}
	}
}

// What a doubtful name in the shed may mean must not meet what any of it must not: polymers of either charge.
func TestDoubtfulNameInTheShed(t *testing.T) {
	for _, own := range []string{"cpam-dry", "apam-dry"} {
		f := Review(Situation{OnSite: []product.Product{chemical(t, own)}, Also: []string{"polyacrylamide"}})
		if !slices.ContainsFunc(f.Handling, func(n note.Note) bool {
			return strings.HasPrefix(n.Code, "mix-") && strings.Contains(n.Message, "cationic") && strings.Contains(n.Message, "anionic")
		}) {
			t.Errorf("beside %s: %v", own, f.Handling)
		}
	}
}
