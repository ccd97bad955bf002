package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limits of a cationic polymer by what is known. PolyDADMAC as sold is 40 % active
// (catalogue). Trout: LC50 0.271 mg/L (Goodrich et al. 1991); water fleas 0.09 by polyDADMAC itself (Brill et
// al. 2024), the only crustaceans that any figure is known of, of another class than shrimp:
// only what kills every animal tested stops, lake trout fry at 2.08 the hardiest (Chemosphere 2005).
func TestPolymerLimitsFollowWhatIsKnown(t *testing.T) {
	p := chemical(t, "pdadmac")
	for name, x := range map[string]struct {
		species string
		tests   []Bioassay
		stop    float64 // mg/L of active polymer
		warn    float64
	}{
		"published for the animal":      {"rainbow trout", nil, 0.271 / 10, 0.271 / 100},
		"borrowed by fish from fish":    {"tilapia", nil, 0.271, 0.271 / 300},
		"borrowed by shrimp from fleas": {"whiteleg shrimp", nil, 2.08, 0.09 / 300},
		"own test of 96 h":              {"tilapia", []Bioassay{{"floc", 10, 96}}, 4.0 / 10, 4.0 / 30},
		"own test, hours not said":      {"tilapia", []Bioassay{{"FLOC", 10, 0}}, 4.0 / 10, 4.0 / 30},
		"own test of a day":             {"tilapia", []Bioassay{{"floc", 10, 24}}, 1.0 / 10, 1.0 / 30},
		"own test of a fortnight":       {"tilapia", []Bioassay{{"floc", 10, 336}}, 4.0 / 10, 4.0 / 30},
		"own test that is worse":        {"rainbow trout", []Bioassay{{"floc", 0.3, 96}}, 0.12 / 10, 0.12 / 30},
		"a test of some other chemical": {"rainbow trout", []Bioassay{{"alum", 10, 96}}, 0.271 / 10, 0.271 / 100},
	} {
		a := stock(t, x.species)
		a[0].Tests = x.tests
		l, ok := PolymerLimits("floc", p, a)
		if !ok || math.Abs(float64(l.Stop)/x.stop-1) > 1e-6 || math.Abs(float64(l.Warn)/x.warn-1) > 1e-6 {
			t.Errorf("%s: stops at %v, warns at %v; want %g, %g", name, l.Stop, l.Warn, x.stop, x.warn)
		}
	}
}

// 0.5 mg/L as sold is 0.2 active, of which 3 % stay: 0.006 mg/L. Published figures warn of
// it for trout; an own test in which none died at 4 mg/L (1.6 active) says nothing.
func TestOwnBioassayReplacesTheBorrowed(t *testing.T) {
	d := dose(t, "pdadmac", 0.5, quantity.AsProduct)
	d.Name = "floc"
	review := func(species string, capture quantity.Fraction, tests ...Bioassay) Findings {
		d.Capture = quantity.Some(capture)
		a := stock(t, species)
		a[0].Tests = tests
		return Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a})
	}
	own := Bioassay{Chemical: "floc", LC50: 4, Hours: 96}
	for _, x := range []struct {
		f       Findings
		code    string
		level   note.Level
		stopped bool
	}{
		{review("rainbow trout", 0.97), "cationic-near", note.Caution, false},
		{review("rainbow trout", 0.97, own), "", 0, false},
		{review("rainbow trout", 0.6, own), "polymer-tested", note.Caution, false}, // 0.08 of 1.6/30 = 0.053
		{review("rainbow trout", 0, own), "polymer-tested-stop", note.Stop, true},  // 0.2 of 0.16
		{review("tilapia", 0), "cationic-borrowed", note.Caution, false},           // 0.2 of 0.271
		{review("tilapia", 0.97), "cationic-borrowed", note.Caution, false},        // 0.006 of 0.009
	} {
		got := codes(x.f.Notes)
		for _, code := range []string{"cationic-near", "cationic-lethal", "cationic-borrowed", "cationic-borrowed-stop", "polymer-tested", "polymer-tested-stop", "no-data"} {
			if level, ok := got[code]; ok != (code == x.code) || ok && level != x.level {
				t.Errorf("want %q, got %v", x.code, got)
			}
		}
		if x.f.Stopped != x.stopped {
			t.Errorf("%q: stopped %v", x.code, x.f.Stopped)
		}
	}
	// Chitosan and trout: no level is safe, unless the site found one.
	c := dose(t, "chitosan", 0.01, quantity.AsActive)
	c.Name = "chitosan"
	a := stock(t, "trout")
	a[0].Tests = []Bioassay{{Chemical: "chitosan", LC50: 1000}}
	if f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{c}, Stock: a}); f.Stopped {
		t.Errorf("an own test does not count: %v", codes(f.Notes))
	}
	// Of cationised tannin nothing is known with any animal: a caution, and no stop that everyone accepts.
	got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "tannin", 4.5, quantity.AsActive)}, Stock: stock(t, "tilapia")}).Notes)
	if got["cationic-other"] != note.Caution || got["cationic-borrowed-stop"] != 0 {
		t.Errorf("tannin: %v", got)
	}
	// Anionic polymer with an animal of which nothing is known: what kills carp (150 mg/L) stops it, a thirtieth does not.
	for mgL, code := range map[float64]string{72: "anionic-high", 151: "anionic-borrowed-stop"} {
		got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "apam-dry", mgL, quantity.AsActive)}, Stock: stock(t, "tilapia")}).Notes)
		if _, ok := got[code]; !ok || got["no-data"] != note.Info {
			t.Errorf("%g mg/L: %v", mgL, got)
		}
	}
}

// A user's own LC50 is shown as he gave it, and as it counts: 2 mg/L of product of 40 % is
// 0.8 of active polymer, and as killed in a day a quarter of that.
func TestOwnLC50IsToldOnItsOwnBasis(t *testing.T) {
	d := dose(t, "pdadmac", 1, quantity.AsProduct)
	d.Name = "floc"
	for want, b := range map[string]Bioassay{
		"(2 mg/L of product, which counts as 0.8 mg/L of active polymer) is 0.08":         {"floc", 2, 96},
		"(2 mg/L of product in 24 h, which counts as 0.2 mg/L of active polymer) is 0.02": {"floc", 2, 24},
	} {
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{b}
		says(t, Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}), "polymer-tested-stop", want)
	}
	// What is assumed of the floc is said, and no more where it was measured.
	whole := "all that is dosed, for what the floc takes is not given"
	says(t, Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "tilapia")}), "cationic-borrowed-stop", whole)
	d.Capture = quantity.Some(quantity.Fraction(0.2))
	for _, n := range Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "tilapia")}).Notes {
		if strings.Contains(n.Message, whole) {
			t.Errorf("the capture is given: %s", n)
		}
	}
}
