package caution

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// The table of what stays doubts what a caution doubts: 0.01 mg/L do not go with pH 8.9 at 28 C, at which aged floc alone dissolves more.
func TestTableDoubtsWhatTheCautionDoubts(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: basin(28, 9.2, 120, 120, 0, 0), Doses: []Dose{dose(t, "alum-dry", 20, quantity.AsAlum14)}, Stock: stock(t, "carp")})
	level(t, f, "al-residual-doubt", note.Caution)
	if r := f.Residuals[0]; r.Level != note.Caution {
		t.Errorf("the table says %v", r.Level)
	}
	// and so it does of aluminium that stays dissolved, where no limit is known
	w := basin(28, 9.2, 120, 120, 0, 0)
	w.ResidualAl = quantity.Known[quantity.Concentration]{}
	f = Review(Situation{Purpose: Other, Water: w, Doses: []Dose{dose(t, "alum-dry", 20, quantity.AsAlum14)}})
	level(t, f, "al-dissolved", note.Caution)
	if r := f.Residuals[0]; r.Level != note.Caution {
		t.Errorf("the table says %v", r.Level)
	}
}

// Barramundi were unharmed at the most aluminium that they were tested with in sea water (Golding et al. 2015): what harmed larvae of
// mussels is no caution for them, and is for sea bass, which nobody tested.
func TestAnAnimalsOwnTestGoesBeforeMussels(t *testing.T) {
	for species, code := range map[string]string{"barramundi": "al-marine-stock", "sea bass": "al-marine-harms", "oyster": "al-marine-harms"} {
		w := basin(28, 8, 140, 0, 32, 0.1)
		w.ResidualAl = quantity.Some(quantity.Concentration(0.5))
		f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-dry", 20, quantity.AsAlum14)}, Stock: stock(t, species)})
		if _, ok := codes(f.Notes)[code]; !ok {
			t.Errorf("%s: %v", species, codes(f.Notes))
		}
	}
}

// The larvae of mussels and oysters were harmed from 0.25 mg/L on (Golding et al. 2015): stock of that kind goes by that, not by the
// diatom of the guideline, measured or not; as much as stays below it goes by the guideline.
func TestMolluscsGoByTheirOwnTest(t *testing.T) {
	for species, x := range map[string]struct {
		mg   float64
		code string
	}{"blue mussel": {10, "al-marine-harms"}, "oyster": {2.7, "al-marine"}, "sea bass": {10, "al-marine"}} { // 0.91 and 0.245 mg/L Al
		w := basin(12, 7.2, 140, 0, 32, 0.1)
		w.ResidualAl.OK = false
		f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-dry", x.mg, quantity.AsAlum14)}, Stock: stock(t, species)})
		if got := codes(f.Notes); got[x.code] != note.Caution {
			t.Errorf("%s: %v", species, got)
		}
		if n := codes(f.Notes)["animal-unknown"]; species != "sea bass" && n != note.Caution {
			t.Errorf("%s: %v", species, n)
		}
		if species != "sea bass" {
			says(t, f, "animal-unknown", "neither a pH range nor a test with a chemical but of its kind with aluminium: a bioassay is needed")
		}
	}
}

// Salt water has no guideline for iron: what is shown is a tenth of what kills half of the shrimp, 5.48 mg/L (Asare et al. 2025),
// whether it is passed or not.
func TestIronOfShrimpShowsItsLimit(t *testing.T) {
	for measured, level := range map[quantity.Concentration]note.Level{0.1: note.Info, 0.9: note.Caution} {
		w := basin(28, 8, 140, 0, 20, 0.1)
		w.ResidualFe = quantity.Some(measured)
		f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "ferric-chloride", 10, quantity.AsFeCl3)}, Stock: stock(t, "vannamei")})
		r := f.Residuals[0]
		if !r.Limit.OK || math.Abs(float64(r.Limit.V)-0.548) > 1e-9 || r.LimitName.String() != "a tenth of what killed half of whiteleg shrimp" || r.Level != level {
			t.Errorf("%v: %+v", measured, r)
		}
	}
}

// A site that asks for 50 mg/L and keeps 49.9 is given no table of alkalis: a field kit does not tell that apart. 20 mg/L of alum take
// 20 x 3 x 100.09/594.34 = 10.1.
func TestAlkaliThatNoKitTells(t *testing.T) {
	for raw, offered := range map[float64]bool{60: false, 58.2: false, 57.9: true} {
		s := Situation{Purpose: Animals, Water: basin(12, 7.5, raw, 80, 0, 0), Doses: []Dose{dose(t, "alum-dry", 20, quantity.AsAlum14)}, Stock: stock(t, "trout")}
		if got := Review(s).Alkalis; (len(got) > 0) != offered {
			t.Errorf("%v: %d ways to raise it", raw, len(got))
		}
	}
}

// What is known of pangasius and carbon dioxide is said, though it bounds nothing (Can Tho University 2018: 36 mg/L cut growth).
func TestWhatIsKnownWithoutABoundIsSaid(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: basin(29, 6.6, 80, 80, 0, 0), Doses: []Dose{dose(t, "alum-dry", 30, quantity.AsAlum14)}, Stock: stock(t, "pangasius")})
	says(t, f, "co2-far", "No limit of pangasius is known (36 mg/L: harm, no limit")
}

// In a pond that is treated whole the animals stand in the raw water and in what is dosed: what is too much before dosing is so for them,
// though the dose lowers it, and nothing can be stripped or kept from them before. Of 1 mg/L as N at pH 8.6 and 15 C 9.8 % are free
// (Emerson et al. 1975), 0.119 mg NH3/L, five times what fish should have and more.
func TestPondIsJudgedWithItsAnimalsInIt(t *testing.T) {
	s := Situation{Purpose: Animals, Water: basin(15, 8.6, 60, 80, 0, 1), Doses: []Dose{dose(t, "alum-dry", 30, quantity.AsAlum14)}, Stock: stock(t, "rainbow trout")}
	level(t, Review(s), "nh3-lowered", note.Info)
	s.Pond = true
	f := Review(s)
	level(t, f, "nh3-still", note.Caution)
	noNote(t, f, "nh3-lowered")
	for _, n := range f.Notes {
		for _, not := range []string{"before the animals", "between unit and animals", "first minute of pipe", "reaches them", "keep the animals out"} {
			if n.Code != "gas-high" && strings.Contains(n.Remedy, not) {
				t.Errorf("%s: %s", n.Code, n.Remedy)
			}
		}
	}
	for _, n := range f.Notes {
		if n.Code == "al-mixing-point" && !strings.Contains(n.Remedy, "spread it over the whole pond") {
			t.Errorf("%s", n.Remedy)
		}
	}
	s.Piped = true // dosed by a pump at a unit that the water goes round through: nobody spreads anything
	f = Review(s)
	level(t, f, "nh3-still", note.Caution) // they stand in it all the same
	for _, n := range f.Notes {
		if strings.Contains(n.Remedy, "spread") || strings.Contains(n.Remedy, "reaches them") {
			t.Errorf("%s: %s", n.Code, n.Remedy)
		}
	}
}

// Every rule that has a word for ponds, or for organic carbon, is a rule.
func TestPondsHaveRules(t *testing.T) {
	n := 0
	for _, r := range Rules() {
		for _, do := range []string{r.Pond, r.Round, r.Carbon} {
			if do != "" {
				n++
			}
		}
	}
	named := 0
	for line := range strings.Lines(rulesTable) {
		if f := strings.Split(line, "|"); slices.Contains([]string{"in a pond", "round a unit", "for organic carbon"}, strings.TrimSpace(f[0])) {
			named += len(strings.Split(f[1], ";"))
		}
	}
	if n != named || n == 0 {
		t.Errorf("rules have %d words for ponds and tanks, %d are named", n, named)
	}
}

// Lime brings hardness, by which the criterion of aluminium goes: 20 mg/L of hydrated lime 20 x 100.09/74.09 = 27 mg/L CaCO3; limestone
// none that dissolves in time.
func TestCriterionCountsTheHardnessOfLime(t *testing.T) {
	w := basin(15, 6.5, 60, 20, 0, 0)
	criterion := func(extra ...Dose) quantity.Concentration {
		f := Review(Situation{Purpose: Animals, Water: w, Doses: append([]Dose{dose(t, "alum-dry", 60, quantity.AsAlum14)}, extra...), Stock: stock(t, "trout")})
		return f.Water.Aluminium.V.Chronic
	}
	lime := dose(t, "hydrated-lime", 20, quantity.AsCaOH2)
	f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-dry", 60, quantity.AsAlum14), lime}, Stock: stock(t, "trout")})
	want := water.Aluminium(f.Water.PH(), 20+20*100.09/74.09, 4).Chronic
	if got := criterion(lime); math.Abs(float64(got/want)-1) > 2e-3 {
		t.Errorf("%v, want %v", got, want)
	}
	none, limestone := criterion(), criterion(dose(t, "limestone", 20, quantity.AsLimestone))
	if none != limestone {
		t.Errorf("%v with limestone, %v without", limestone, none)
	}
}

// What a caution speaks of is marked in the table: 4 mg/L as N at pH 8.2 and 10 C are deadly once air has taken the carbon dioxide, and not before.
func TestFiguresOfCautionsAreMarked(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: basin(10, 8.2, 130, 120, 0, 4), Doses: pacl(t, 10), Stock: of(t, "rainbow trout", "fry")})
	if m := f.Marked(); len(m) != 1 || m["nh3_aerated"] != note.Caution {
		t.Errorf("%v", m)
	}
	for figure, rules := range ofFigure {
		for _, id := range rules {
			if RuleNamed(id).Level < note.Caution {
				t.Errorf("%s of %s is no caution", id, figure)
			}
		}
	}
}

// noPond are the rules that speak of what a pond without a unit has not: a loop, a run, pumps and carriers, a consent, drinking water, bubbles.
var noPond = []string{"loop-", "residual-", "co2-run", "carrier-", "consent-", "dw-", "gas-", "metal-over-dose", "fed-in-slugs", "clean-nitrifiers", "moult-around"}

// What a pond without a unit is advised to do needs none: no unit to float in, no pipe between it and the animals, no floc to catch, no second
// pump; and animals that stand in it are kept from nothing.
func TestAdviceForPondsNeedsNoUnit(t *testing.T) {
	for _, r := range Rules() {
		if slices.ContainsFunc(noPond, func(start string) bool { return strings.HasPrefix(r.ID, start) }) {
			continue
		}
		do := cmp.Or(r.Pond, r.Do)
		for _, not := range []string{"unit", "pipe", "float longer", "captured", "catch more", "pump", "feed point", "keep the animals", "reaches them", "leaves"} {
			if strings.Contains(do, not) {
				t.Errorf("%s: %s", r.ID, do)
			}
		}
		if says := cmp.Or(r.PondSays, r.Says); strings.Contains(says, "pump") {
			t.Errorf("%s says %s", r.ID, says)
		}
	}
}
