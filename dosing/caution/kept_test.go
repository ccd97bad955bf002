package caution

import (
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/quantity"
)

// Water that an animal is not kept in is asked about, whether a salinity of its own is known or only the kind of its water; a
// temperature that kills or stops it is said; and of what no range is known that is said to be not checked.
// Salinities of kinds, and the temperatures of African catfish, grouper and sea bream: common practice, no source. Mitten crab: all
// juveniles dead in a week at 30 C. Mud crab: crablets all dead overnight in fresh water (Ruscoe et al. 2004).
func TestWaterOfAnotherKind(t *testing.T) {
	for _, x := range []struct {
		species   string
		stage     animal.Stage
		c, s      float64
		code      string // empty for none of salinity and temperature
		text      string
		unchecked string
	}{
		{"common carp", "adult", 22, 30, "salinity-kind", "8 or less: they are kept in fresh water", ""},
		{"channel catfish", "adult", 26, 25, "salinity-kind", "fresh water", ""},
		{"African catfish", "adult", 27, 20, "salinity-kind", "fresh water", ""},
		{"gilthead sea bream", "adult", 20, 0, "salinity-kind", "3 to 45: they are kept in brackish and sea water", ""},
		{"sturgeon", "adult", 15, 30, "salinity-kind", "20 or less", ""},
		{"tiger shrimp", "juvenile", 28, 0, "salinity-kind", "brackish and sea water", ""},
		{"rainbow trout", "fry", 10, 35, "salinity-outside", "10 or less (up to the parr", ""},
		{"rainbow trout", "", 10, 35, "salinity-outside", "(figure for fry, the least of all stages)", ""},
		{"rainbow trout", "adult", 10, 35, "", "", ""},
		{"mud crab", "fry", 28, 0, "salinity-outside", "5 to 40 (crablets lived alike; all dead overnight in 0", ""},
		{"African catfish", "adult", 8, 0, "temperature-outside", "dies below about 10 C", ""},
		{"grouper", "juvenile", 10, 30, "temperature-outside", "18 C to 33 C", ""},
		{"gilthead sea bream", "adult", 3, 36, "temperature-outside", "10 C to 32 C", ""},
		{"Chinese mitten crab", "juvenile", 30, 0, "temperature-outside", "less than 30 C (all juveniles dead in a week)", ""},
		{"Chinese mitten crab", "juvenile", 29.5, 0, "", "", ""},
		{"common carp", "adult", 22, 2, "", "", ""},
		{"eel", "adult", 24, 0, "", "", "temperature of eel: what it bears is not known, only what is best"},
		{"oyster", "adult", 15, 30, "", "", "temperature of oyster: no range of it is known"},
	} {
		a := stock(t, x.species)
		a[0].Stage = x.stage
		f := Review(Situation{Purpose: Animals, Stock: a, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)},
			Water: with(beck(), func(w *Water) {
				w.Temperature, w.Salinity = quantity.Some(quantity.Temperature(x.c)), quantity.Some(quantity.Salinity(x.s))
			})})
		for _, code := range []string{"salinity-outside", "salinity-kind", "temperature-outside"} {
			if _, said := codes(f.Notes)[code]; said != (code == x.code) {
				t.Errorf("%s at %g C and %g g/kg: %s said %v", x.species, x.c, x.s, code, said)
			}
		}
		if x.code != "" {
			says(t, f, x.code, x.text)
		}
		if got := strings.Join(f.NotChecked, "\n"); strings.Contains(got, "known") != (x.unchecked != "") || !strings.Contains(got, x.unchecked) {
			t.Errorf("%s: not checked: %s", x.species, got)
		}
	}
	nobody := Review(Situation{Purpose: Animals, Stock: []Animal{{Name: "axolotl"}}, Water: with(beck(), salinity(5)), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}})
	if got := strings.Join(nobody.NotChecked, "\n"); !strings.Contains(got, "salinity of axolotl") {
		t.Errorf("not checked: %s", got)
	}
}

// A name that the water does not settle, and a stage that nobody understands, are asked about.
func TestNamesThatAreAskedAbout(t *testing.T) {
	a := stock(t, "shrimp")
	a[0].MayBe, a[0].Unread = []string{"giant freshwater prawn"}, "banana"
	f := Review(Situation{Purpose: Animals, Stock: a, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}})
	says(t, f, "animal-ambiguous", "shrimp may be whiteleg shrimp or giant freshwater prawn, and the salinity is not given: whiteleg shrimp is taken")
	says(t, f, "stage-unknown", `"banana" of shrimp is no stage of life that is known here: the least figure of all stages is taken`)
	if _, twice := codes(f.Notes)["salinity-unknown"]; twice {
		t.Error("the salinity is asked for twice")
	}
	a[0].MayBe, a[0].Unread = nil, ""
	f = Review(Situation{Purpose: Animals, Stock: a, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}})
	for _, code := range []string{"animal-ambiguous", "stage-unknown"} {
		if _, said := codes(f.Notes)[code]; said {
			t.Errorf("%s was said", code)
		}
	}
}

// Aluminium in salt water, measured, that goes to stock: 0.25 mg/L harmed a tenth of mussel and oyster larvae (Golding et al. 2015), so
// that more is a caution and the table has that figure; what is known of the animals themselves is said.
func TestAluminiumOfSaltWaterThatHarmedLarvae(t *testing.T) {
	for _, x := range []struct {
		species, code string
		left          quantity.Concentration
		limit         quantity.Concentration
		text          string
	}{
		{"whiteleg shrimp", "al-marine-harms", 1.5, 0.25, "1.5 mg/L Al (expected) is more than the 0.25 mg/L from which on a tenth of the larvae of mussels and oysters were harmed; " +
			"school prawn (Metapenaeus macleayi): no deaths at pH 8, deaths at pH 5"},
		{"grouper", "al-marine-harms", 0.26, 0.25, "no test of grouper with it in salt water is known"},
		{"barramundi", "al-marine-stock", 0.2, 0.024, "barramundi, juvenile: no harm at the most tested"},
		{"whiteleg shrimp", "al-marine-below", 0.02, 0.024, ""},
	} {
		f := Review(Situation{Purpose: Animals, Stock: grown(stock(t, x.species)), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)},
			Water: with(beck(), func(w *Water) {
				w.Salinity, w.ResidualAl = known(quantity.Salinity(20)), known(x.left)
				w.Temperature = known(quantity.Temperature(28))
			})})
		says(t, f, x.code, x.text)
		if r := f.Residuals[0]; r.Limit.V != x.limit {
			t.Errorf("%s, %v: the table has %v", x.species, x.left, r.Limit.V)
		}
	}
}

// Animals that are named and never get the water are judged by nothing, neither pH nor aluminium, and the contradiction is asked about.
func TestAnimalsThatNeverGetTheWater(t *testing.T) {
	for _, x := range []struct {
		purpose Purpose
		none    bool
		stop    bool
		asks    bool
	}{{Animals, true, false, true}, {Unsaid, true, false, false}, {Animals, false, true, false}, {Unsaid, false, true, false}} {
		f := Review(Situation{Purpose: x.purpose, NoneReached: x.none, Water: water15(6.7, 60, jar(5.2, 40)), Doses: []Dose{dose(t, "alum-liquid", 60, quantity.AsAlum14)}})
		got := codes(f.Notes)
		if _, stops := got["ph-too-low"]; stops != x.stop {
			t.Errorf("%q, none reached %v: %v", x.purpose, x.none, got)
		}
		if _, asks := got["animals-never"]; asks != x.asks {
			t.Errorf("%q, none reached %v: asked %v", x.purpose, x.none, asks)
		}
		if _, beyond := got["ph-beyond"]; beyond != x.none {
			t.Errorf("%q, none reached %v: %v", x.purpose, x.none, got)
		}
	}
}
