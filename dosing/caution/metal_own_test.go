package caution

import (
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// An animal's own figure goes before a criterion for all life of a fresh water: carp from embryo to larva were unharmed by 0.9 mg/L Al of
// polyaluminium chloride (Neuroendocrinology Letters 30 suppl. 1, 2009). At pH 7.2, hardness 120 and DOC 2 the chronic criterion lies below
// 0.8 and the acute above 0.95. Trout beside them, or water that aluminium harms more in, have no such figure.
func TestWhatCarpBearOfAluminium(t *testing.T) {
	review := func(al float64, ph quantity.PH, species ...string) Findings {
		w := with(basin(22, 7.2, 120, 120, 0, 0.1), aluminium(al))
		w.JarPH = known(ph)
		return Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "pacl-10", 30, quantity.AsProduct)}, Stock: stock(t, species...)})
	}
	f := review(0.8, 7.2, "common carp")
	if r := f.Residuals[0]; r.CareAt.V >= 0.8 || r.StopAt.V <= 0.95 || r.Level != note.Info || !r.Above() {
		t.Errorf("care at %v, stop at %v, %v", r.CareAt.V, r.StopAt.V, r.Level)
	}
	level(t, f, "al-chronic-borne", note.Info)
	says(t, f, "al-chronic-borne", "0.9 mg/L did carp, embryo to larva no harm (polyaluminium chloride, ")
	noNote(t, f, "al-chronic")
	for what, f := range map[string]Findings{"more": review(0.95, 7.2, "common carp"), "trout": review(0.8, 7.2, "common carp", "rainbow trout"), "pH 6.4": review(0.85, 6.4, "common carp")} {
		if f.Residuals[0].Level < note.Caution {
			t.Errorf("%s: %v", what, f.Notes)
		}
		noNote(t, f, "al-chronic-borne")
	}
}

// Iron in salt water has no guideline here, and no fish was tested in it: the lowest lethal figure of fish, 28 mg/L Fe of brown trout, is borrowed
// and named, and a tenth, 2.8, calls for care. It stops nothing. Shrimp have their own, fresh water has its guideline.
func TestIronInTheSeaIsBorrowed(t *testing.T) {
	review := func(species string, salt float64, measured quantity.Known[quantity.Concentration]) Findings {
		w := with(basin(24, 8.1, 130, 0, salt, 0.1), func(w *Water) { w.ResidualFe = measured })
		return Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "ferric-chloride", 60, quantity.AsFeCl3)}, Stock: stock(t, species)})
	}
	var unknown quantity.Known[quantity.Concentration]
	f := review("sea bream", 30, unknown) // 60 mg/L of FeCl3 hold 20.7 of iron
	level(t, f, "metal-borrowed", note.Caution)
	says(t, f, "metal-borrowed", "20.7 mg/L Fe (the whole dose). No data for sea bream: borrowed from brown trout, a tenth of what kills half of them (28 mg/L) is 2.8")
	says(t, f, "no-data-metal", "no limit of residual iron in the sea is known either, so a figure of ")
	if r := f.Residuals[0]; !r.Limit.OK || f.Stopped {
		t.Errorf("%+v, stopped %v", r, f.Stopped)
	}
	noNote(t, review("sea bream", 30, known(quantity.Concentration(2.7))), "metal-borrowed")
	level(t, review("sea bream", 30, known(quantity.Concentration(2.9))), "metal-borrowed", note.Caution)
	for species, salt := range map[string]float64{"whiteleg shrimp": 30, "common carp": 0} {
		noNote(t, review(species, salt, unknown), "metal-borrowed")
	}
}

// What harmed larvae of mussels (0.25 mg/L Al, Golding et al. 2015) is told of animals that were not tested in salt water themselves. Of the kin of
// school prawns none died at pH 8 (Russell et al. 2019): past their youngest stages, at the pH of the sea, their own test goes before.
func TestMusselsSpeakForNoneThatWereTested(t *testing.T) {
	for _, x := range []struct {
		species string
		stage   animal.Stage
		ph      quantity.PH
		harms   bool
	}{
		{"whiteleg shrimp", "adult", 8, false}, {"whiteleg shrimp", "juvenile", 8, false}, {"whiteleg shrimp", "larva", 8, true}, {"whiteleg shrimp", "", 8, true},
		{"whiteleg shrimp", "adult", 7.2, true}, {"barramundi", "juvenile", 8, false}, {"mud crab", "adult", 8, true}, {"sea bream", "adult", 8, true},
	} {
		w := with(basin(28, 8.1, 140, 0, 30, 0.1), aluminium(0.3))
		w.JarPH = known(x.ph)
		f := Review(Situation{Purpose: Animals, Water: w, Doses: pacl(t, 20), Stock: of(t, x.species, x.stage)})
		_, harms := codes(f.Notes)["al-marine-harms"]
		if _, told := codes(f.Notes)["al-marine-stock"]; harms != x.harms || told == harms {
			t.Errorf("%s %s at pH %v: mussels' figure %v, told %v", x.species, x.stage, x.ph, harms, told)
		}
		if x.species == "whiteleg shrimp" && !x.harms {
			says(t, f, "al-marine-stock", "school prawn (Metapenaeus macleayi): no deaths at pH 8")
		}
	}
}

// Between fresh water and the sea nothing was tested: what a test in the sea lets pass is held against the chronic criterion of fresh water
// too, so that no salinity between is milder than the milder end. At pH 8, hardness 400 and DOC 2 that criterion lies between 0.8 and 3 mg/L.
func TestBrackishIsNoMilderThanEitherEnd(t *testing.T) {
	at := func(al, salt float64) Findings {
		w := with(basin(28, 8, 140, 400, salt, 0.1), aluminium(al))
		w.DOC, w.JarPH = known(quantity.Concentration(2)), known(quantity.PH(8))
		return Review(Situation{Purpose: Animals, Water: w, Doses: pacl(t, 200), Stock: of(t, "barramundi", "juvenile")})
	}
	fresh := at(3, 0).Residuals[0]
	if fresh.CareAt.V < 0.8 || fresh.CareAt.V >= 3 {
		t.Fatalf("care at %v is no test of it", fresh.CareAt.V)
	}
	for _, salt := range []float64{10, 12, 18, 25, 29.9} {
		f := at(3, salt)
		level(t, f, "al-brackish", note.Caution)
		says(t, f, "al-brackish", "barramundi, juvenile: no harm at the most tested")
		if r := f.Residuals[0]; r.Level < note.Caution || r.Limit.V != fresh.CareAt.V {
			t.Errorf("%v g/kg: %v of %v, fresh water has %v", salt, r.Level, r.Limit.V, fresh.CareAt.V)
		}
		level(t, at(0.5, salt), "al-marine-stock", note.Info)
	}
	for _, salt := range []float64{1, 5, 9.9} { // both ends speak by themselves
		if f := at(3, salt); f.Residuals[0].Level < fresh.Level {
			t.Errorf("%v g/kg: %v, fresh water %v", salt, f.Residuals[0].Level, fresh.Level)
		}
	}
	level(t, at(3, 30), "al-marine-stock", note.Info)
}
