package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// One danger is one caution.
func TestOneDangerOneCaution(t *testing.T) {
	al := func(w *Water) { w.ResidualAl = quantity.Known[quantity.Concentration]{} }
	for _, x := range []struct {
		name      string
		s         Situation
		says, not []string
	}{
		{"what stays dissolved in the sea", Situation{Purpose: Animals, Stock: stock(t, "milkfish"), Doses: []Dose{dose(t, "alum-liquid", 5, quantity.AsAlum14)},
			Water: water15(8.1, 120, func(w *Water) { w.Salinity = quantity.Some(quantity.Salinity(30)) }, al)}, []string{"al-dissolved"}, []string{"al-marine"}},
		{"and in fresh water", Situation{Purpose: Animals, Stock: stock(t, "carp"), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)},
			Water: water15(9.2, 120, al)}, []string{"al-dissolved"}, []string{"al-whole-dose", "al-worst"}},
		{"what does not stay dissolved", Situation{Purpose: Animals, Stock: stock(t, "carp"), Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14)},
			Water: water15(7.2, 120, al)}, []string{"al-whole-dose"}, []string{"al-dissolved"}},
		{"a consent without animals", Situation{Purpose: Wastewater, Doses: []Dose{dose(t, "ferric-chloride", 150, quantity.AsProduct)},
			Consent: Consent{Fe: quantity.Some(quantity.Concentration(2))},
			Water:   water15(7.2, 200, func(w *Water) { w.ResidualFe = quantity.Some(quantity.Concentration(3)) })}, []string{"consent-metal"}, []string{"fe-general", "fe-guideline", "metal-unmeasured"}},
		{"the same, not measured", Situation{Purpose: Wastewater, Doses: []Dose{dose(t, "ferric-chloride", 150, quantity.AsProduct)},
			Consent: Consent{Fe: quantity.Some(quantity.Concentration(2))}, Water: water15(7.2, 200)}, []string{"metal-unmeasured"}, []string{"fe-general", "fe-not-measured"}},
		{"drinking water, not measured", Situation{Purpose: Drinking, Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14)}, Water: water15(7.2, 100, al)},
			[]string{"metal-unmeasured"}, []string{"al-not-measured"}},
	} {
		got := said(x.s)
		for _, code := range x.says {
			if got[code] != note.Caution {
				t.Errorf("%s: no %s in %v", x.name, code, got)
			}
		}
		for _, code := range x.not {
			if _, ok := got[code]; ok {
				t.Errorf("%s: %s was said beside it", x.name, code)
			}
		}
	}
	// 1.5 mg/L of alum hold 1.5 x 2 x 26.982/594.34 = 0.136 mg/L Al, less than the 0.2 of drinking water.
	s := Situation{Purpose: Drinking, Doses: []Dose{dose(t, "alum-liquid", 1.5, quantity.AsAlum14)}, Water: water15(7.2, 100, al)}
	if got := said(s); got["metal-unmeasured"] != 0 {
		t.Errorf("a dose that cannot pass the limit: %v", got)
	}
}

// What many passes free together is told where no single pass frees too much, and not twice where one does: of 1 mg/L of alum
// 14-hydrate 0.505 of alkalinity becomes 0.505 x 44.01/50.04 = 0.444 mg/L of carbon dioxide, of 40 passes 17.8. At pH 7.4 and
// alkalinity 85 there are about 9 already (44.01 x 85/50.04/10^0.93); trout should have 15 or less (animals.txt). Twice that is a
// caution, which 60 passes come to with 9 + 26.6.
func TestCarbonDioxideOfARun(t *testing.T) {
	run := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "trout"),
		Doses: []Dose{dose(t, "alum-liquid", 40, quantity.AsAlum14)}, Once: []Dose{dose(t, "alum-liquid", 1, quantity.AsAlum14)}}
	says(t, Review(run), "co2-run-some", "over the run if none escapes to the air; trout should have")
	run.Doses[0].Dose.Concentration = 60
	says(t, Review(run), "co2-run", "over the run if none escapes to the air; trout should have")
	run.Doses[0].Dose.Concentration = 40
	got := said(run)
	if _, high := got["co2-high"]; high || got["co2-run-some"] != note.Info {
		t.Errorf("no single pass frees too much: %v", got)
	}
	// Of crabs no limit is known: what the run comes to is told from what trout bear, 15 mg/L, though no single pass frees as much: 60
	// passes free 26.6, of which carbonate takes some up; 20 free 8.9.
	crab := Situation{Purpose: Animals, Water: basin(28, 7.9, 90, 80, 30, 0), Doses: []Dose{dose(t, "alum-liquid", 60, quantity.AsAlum14)}, Once: []Dose{dose(t, "alum-liquid", 1, quantity.AsAlum14)}, Stock: stock(t, "mud crab")}
	says(t, Review(crab), "co2-run-some", "no limit of mud crab is known, trout, which bear little, should have 15 or less")
	crab.Doses[0].Dose.Concentration = 20
	noNote(t, Review(crab), "co2-run-some")
	run.Once = nil
	got = said(run)
	if got["co2-high"] != note.Caution {
		t.Errorf("all at once: %v", got)
	}
	if _, told := got["co2-run-some"]; told {
		t.Error("of one pass as of many")
	}
}

// TestCarbonDioxideOfAGo: a pond has no passes. By hand, at 22 C and pH 7.5: 85 mg/L of alkalinity hold 5.2 of carbon dioxide (Millero et
// al. 2006), 30 mg/L of alum at a go free 13.3, two goes twice that; trout should have 15 or less.
func TestCarbonDioxideOfAGo(t *testing.T) {
	s := Situation{Purpose: Animals, Pond: true, Water: basin(22, 7.5, 85, 15, 0, 0), Stock: stock(t, "channel catfish"), Goes: 2,
		Doses: []Dose{dose(t, "alum-dry", 60, quantity.AsAlum14)}, Once: []Dose{dose(t, "alum-dry", 30, quantity.AsAlum14)}}
	says(t, Review(s), "co2-run-some", " to 31.7 mg/L over the run if none escapes to the air, and to 18.7 in one go; no limit of")
	s.Goes = 0
	says(t, Review(s), "co2-run-some", " and to 18.7 in one pass; no limit of")
}

// A consent for two metals is judged in the same order every time.
func TestConsentOfTwoMetalsInOneOrder(t *testing.T) {
	low := quantity.Some(quantity.Concentration(0.1))
	s := Situation{Purpose: Wastewater, Consent: Consent{Al: low, Fe: low},
		Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14), dose(t, "ferric-chloride", 30, quantity.AsProduct)},
		Water: water15(7.2, 200, aluminium(3), func(w *Water) { w.ResidualFe = quantity.Some(quantity.Concentration(3)) })}
	for range 20 { // by chance all would be right once in a million
		var found []string
		for _, n := range Review(s).Notes {
			if n.Code == "consent-metal" {
				found = append(found, n.Message)
			}
		}
		if len(found) != 2 || !strings.HasPrefix(found[0], "residual Al 3") || !strings.HasPrefix(found[1], "residual Fe 3") {
			t.Fatal(found)
		}
	}
}

// TestUnmeasuredMetalInTheTable: the table of residuals has the limit of the caution. 30 mg/L of alum hold 30 x 2 x 26.982/594.34 =
// 2.72 mg/L Al, above the 0.2 of drinking water, 1.5 mg/L 0.136; a consent of 3 holds 2.72.
func TestUnmeasuredMetalInTheTable(t *testing.T) {
	al := func(w *Water) { w.ResidualAl = quantity.Known[quantity.Concentration]{} }
	for _, x := range []struct {
		purpose Purpose
		dose    float64
		consent Consent
		limit   float64
		name    string
		level   note.Level
	}{
		{Drinking, 30, Consent{}, 0.2, "drinking water, EU", note.Caution},
		{Drinking, 1.5, Consent{}, 0.2, "drinking water, EU", note.Info},
		{Wastewater, 30, Consent{Al: quantity.Some(quantity.Concentration(2))}, 2, "discharge consent", note.Caution},
		{Wastewater, 30, Consent{Al: quantity.Some(quantity.Concentration(3))}, 3, "discharge consent", note.Info},
	} {
		s := Situation{Purpose: x.purpose, Consent: x.consent, Doses: []Dose{dose(t, "alum-liquid", x.dose, quantity.AsAlum14)}, Water: water15(7.2, 100, al)}
		r := Review(s).Residuals[0]
		if !r.Limit.OK || float64(r.Limit.V) != x.limit || r.LimitName.String() != x.name || r.Level > note.Info && x.level == note.Info || x.level > note.Info && r.Level != x.level {
			t.Errorf("%v, %v mg/L: %v of %q, level %v", x.purpose, x.dose, r.Limit, r.LimitName, r.Level)
		}
	}
}
