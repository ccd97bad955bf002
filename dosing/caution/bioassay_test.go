package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limits of a cationic polymer by what is known. PolyDADMAC as sold is 40 % active
// (catalogue). Trout: LC50 0.271 mg/L (Goodrich et al. 1991); water fleas 0.09 by polyDADMAC itself (Brill et
// al. 2024), the only crustaceans that any figure is known of, of another class than shrimp: they go before fish for shrimp, with larvae by
// the least figure, with grown animals by what the hardiest bore, 2.50. Polyamine and cationic polyacrylamide were tested with
// fish alone: for larvae the least of all cationic polymers with water fleas, 0.05; chitosan with other crustaceans is held to that too. All stop at half,
// the site's own tests at a tenth, and in the animals' own water all at a tenth.
func TestPolymerLimitsFollowWhatIsKnown(t *testing.T) {
	for name, x := range map[string]struct {
		species string
		tests   []Bioassay
		stop    float64 // mg/L of active polymer
		warn    float64
	}{
		"published for the animal":      {"rainbow trout", nil, 0.271 / 2, 0.271 / 100},
		"borrowed by fish from fish":    {"tilapia", nil, 0.271 / 2, 0.271 / 300},
		"borrowed by shrimp from fleas": {"whiteleg shrimp", nil, 0.09 / 2, 0.09 / 300},
		"own test of 96 h":              {"tilapia", []Bioassay{{"floc", 10, 96, 0}}, 4.0 / 10, 4.0 / 30},
		"own test, hours not said":      {"tilapia", []Bioassay{{"FLOC", 10, 0, 0}}, 4.0 / 10, 4.0 / 30},
		"own test of a day":             {"tilapia", []Bioassay{{"floc", 10, 24, 0}}, 1.0 / 10, 1.0 / 30},
		"own test of a fortnight":       {"tilapia", []Bioassay{{"floc", 10, 336, 0}}, 4.0 / 10, 4.0 / 30},
		"own test that is worse":        {"rainbow trout", []Bioassay{{"floc", 0.3, 96, 0}}, 0.12 / 10, 0.12 / 30},
		"a test of some other chemical": {"rainbow trout", []Bioassay{{"alum", 10, 96, 0}}, 0.271 / 2, 0.271 / 100},
	} {
		a := stock(t, x.species)
		a[0].Tests = x.tests
		own := x.stop // a tenth of the same figure, be it half of one that others found
		if x.tests == nil || x.tests[0].Chemical == "alum" {
			own = x.stop / 5
		}
		l, ok := Situation{Stock: a}.PolymerLimits("floc", chemical(t, "pdadmac"))
		theirs, _ := PolymerLimits("floc", chemical(t, "pdadmac"), a)
		if !ok || math.Abs(float64(l.Stop)/x.stop-1) > 1e-6 || math.Abs(float64(l.Warn)/x.warn-1) > 1e-6 || math.Abs(float64(theirs.Stop)/own-1) > 1e-6 || theirs.Warn != l.Warn {
			t.Errorf("%s: stops at %v, warns at %v; want %g, %g; in their own water at %v", name, l.Stop, l.Warn, x.stop, x.warn, theirs.Stop)
		}
	}
	for _, x := range []struct {
		id         string
		stage      animal.Stage
		stop, warn float64
	}{
		{"pdadmac", "post-larva", 0.09 / 2, 0.09 / 300}, {"pdadmac", "juvenile", 2.50 / 2, 0.09 / 300}, {"pdadmac", "", 0.09 / 2, 0.09 / 300},
		{"polyamine", "larva", 0.05 / 2, 0.05 / 300}, {"polyamine", "adult", 2.50 / 2, 0.05 / 300},
		{"cpam-dry", "larva", 0.05 / 2, 0.05 / 300}, {"chitosan", "larva", 0.05 / 2, 0.05 / 300},
	} {
		a := stock(t, "whiteleg shrimp")
		a[0].Stage = x.stage
		l, ok := Situation{Stock: a}.PolymerLimits("floc", chemical(t, x.id))
		if !ok || math.Abs(float64(l.Stop)-x.stop) > 1e-6 || math.Abs(float64(l.Warn)/x.warn-1) > 1e-6 {
			t.Errorf("%s with %s: stops at %v, warns at %v; want %g, %g", x.id, x.stage, l.Stop, l.Warn, x.stop, x.warn)
		}
	}
}

// The table shows the limit that the caution tells: the gravest that fires, else the first that would.
func TestTableHasTheLimitOfItsCaution(t *testing.T) {
	for _, x := range []struct {
		id      string
		dose    float64
		species string
		stage   animal.Stage
		limit   float64
		level   note.Level
		name    string
	}{
		{"pdadmac", 1, "whiteleg shrimp", "post-larva", 0.045, note.Stop, "half of what killed half of Daphnia magna, Ceriodaphnia dubia, 0.09 mg/L of active polymer, found with polyDADMAC (polyquaternium-6), borrowed for whiteleg shrimp"},
		{"pdadmac", 1, "whiteleg shrimp", "adult", 0.0003, note.Caution, "a three-hundredth of what killed half of Daphnia magna, Ceriodaphnia dubia, 0.09 mg/L"},
		{"chitosan", 1, "mud crab", "adult", 0.05 / 2, note.Stop, "half of what killed half of Daphnia magna"},
		{"chitosan", 0.02, "mud crab", "adult", 0.05 / 300, note.Caution, "a three-hundredth of what killed half of Daphnia magna"},
		{"cpam-dry", 0.1, "rainbow trout", "adult", 0.0208, note.Caution, "a hundredth of what killed half of lake trout fry, 2.08 mg/L"},
		{"cpam-dry", 21, "rainbow trout", "adult", 1.04, note.Stop, "half of what killed half of lake trout fry"},
		{"cpam-dry", 0.01, "rainbow trout", "adult", 0.0208, note.Info, "a hundredth of"},
		{"apam-dry", 0.2, "rainbow trout", "adult", 3.5, note.Info, "the discharge limit of English water works"},
		{"apam-dry", 302, "rainbow trout", "adult", 300, note.Stop, "half of what fewer than half of lake trout fry died of, 600 mg/L"},
		{"moringa", 50, "tilapia", "juvenile", 2.42, note.Caution, "a hundredth of what killed half of Nile tilapia, fingerling, 242 mg/L"},
	} {
		a := stock(t, x.species)
		a[0].Stage = x.stage
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, x.id, x.dose, quantity.AsActive)}, Stock: a})
		r := f.Residuals[0]
		if math.Abs(float64(r.Limit.V)/x.limit-1) > 1e-6 || !strings.HasPrefix(r.LimitName.String(), x.name) || (r.Level != x.level && x.level != note.Info) {
			t.Errorf("%s, %s: %v, %q, %v", x.id, x.species, r.Limit.V, r.LimitName, r.Level)
		}
		for _, c := range f.Checks {
			if mine := c.About == chemical(t, x.id).Name+", "+x.species; mine && c.Fired && c.Level == x.level && c.Limit.String() != mgL(r.Limit.V).String()+" mg/L" {
				t.Errorf("%s, %s: %s has %s, the table %v", x.id, x.species, c.Rule, c.Limit, r.Limit.V)
			}
		}
	}
	// How far a caution on a borrowed figure is beyond it: 1 mg/L is 1/0.09 = 11 times, 0.05 mg/L is less than once.
	for mgL, want := range map[float64]string{1: "that is 11 times what killed half of Daphnia magna, Ceriodaphnia dubia (0.09 mg/L", 0.05: "that is 56 % of what"} {
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "pdadmac", mgL, quantity.AsActive)}, Stock: grown(stock(t, "whiteleg shrimp"))})
		says(t, f, "cationic-borrowed", want)
	}
	// A site's own LC50 stands in the table, with the part that is taken of it.
	d := dose(t, "pdadmac", 1, quantity.AsProduct)
	d.Name = "floc"
	a := stock(t, "tilapia")
	a[0].Tests = []Bioassay{{Chemical: "floc", LC50: 60, Hours: 96}}
	r := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}).Residuals[0]
	if want := "a thirtieth of what killed half of tilapia in your own test: 60 mg/L of product, which counts as 24 mg/L of active polymer, 40 % of it"; r.LimitName.String() != want {
		t.Errorf("%q, want %q", r.LimitName, want)
	}
}

// Every part of a lethal figure that a rule takes has its words.
func TestPartsHaveWords(t *testing.T) {
	for _, r := range Rules() {
		if _, ok := fractions[r.Limit]; r.ofLethal() && !ok {
			t.Errorf("%s takes 1/%g", r.ID, r.Limit)
		}
	}
	for _, l := range scale {
		for _, id := range []string{l.stop, l.warn} {
			if id != "" && !RuleNamed(id).ofLethal() && plainly[id] == "" {
				t.Errorf("%s has no words", id)
			}
		}
	}
}

// 0.5 mg/L as sold is 0.2 active, of which 3 % stay: 0.006 mg/L. Published figures warn of
// it for trout; by an own test of 4 mg/L (1.6 active) nothing is said.
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
		{review("rainbow trout", 0.6, own), "polymer-tested", note.Caution, false},                         // 0.08 of 1.6/30 = 0.053, and below the 0.16 of a tenth
		{review("rainbow trout", 0, Bioassay{"floc", 0.9, 96, 0}), "polymer-tested-stop", note.Stop, true}, // 0.2 of 0.36/10
		{review("rainbow trout", 0, own), "polymer-tested-stop", note.Stop, true},                          // 0.2 of 0.16
		{review("tilapia", 0), "cationic-borrowed-stop", note.Stop, true},                                  // 0.2 of 0.271/2
		{review("tilapia", 0.5), "cationic-borrowed", note.Caution, false},                                 // 0.1
		{review("tilapia", 0.97), "cationic-borrowed", note.Caution, false},                                // 0.006 of 0.0009
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
	// Of cationised tannin nothing is known with any animal: the least figure of cationic polymers stops it, 0.1355, and below that it is a caution.
	for mgL, code := range map[float64]string{4.5: "cationic-borrowed-stop", 0.13: "cationic-other"} {
		got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "tannin", mgL, quantity.AsActive)}, Stock: stock(t, "tilapia")}).Notes)
		for _, other := range []string{"cationic-borrowed-stop", "cationic-other"} {
			if _, said := got[other]; said != (other == code) {
				t.Errorf("%g mg/L of tannin: %v", mgL, got)
			}
		}
	}
	// Anionic polymer with an animal of which nothing is known: half of what kills carp (150 mg/L) stops it.
	for mgL, code := range map[float64]string{74.9: "anionic-high", 75.1: "anionic-borrowed-stop"} {
		got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "apam-dry", mgL, quantity.AsActive)}, Stock: stock(t, "tilapia")}).Notes)
		if _, ok := got[code]; !ok || got["no-data"] != note.Info {
			t.Errorf("%g mg/L: %v", mgL, got)
		}
	}
}

// A user's own LC50 is shown as he gave it, and as it counts: 2 mg/L of product of 40 % is
// 0.8 of active polymer, and as killed in a day a quarter of that.
func TestOwnLC50IsToldOnItsOwnBasis(t *testing.T) {
	d := dose(t, "pdadmac", 40, quantity.AsProduct)
	d.Name = "floc"
	// 40 mg/L are 16 of active polymer, 20 times the first and 80 times the second.
	for want, b := range map[string]Bioassay{
		"16 mg/L may stay in the water (the whole dose: what the floc takes is not given), 20 times what killed half of tilapia in your own test (2 mg/L of product, which counts as 0.8 mg/L of active polymer, 40 % of it); a tenth of it stops a plan": {"floc", 2, 96, 0},
		"80 times what killed half of tilapia in your own test (2 mg/L of product in 24 h, which counts as 0.2 mg/L of active polymer, 40 % of it, lowered to 24 of 96 h, as what lives may yet die)":                                                     {"floc", 2, 24, 0},
	} {
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{b}
		says(t, Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}), "polymer-tested-stop", want)
	}
	// That all of it counts is said, and no more where the capture was measured.
	whole := "(the whole dose: what the floc takes is not given)"
	says(t, Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "tilapia")}), "cationic-borrowed-stop", whole)
	d.Capture = quantity.Some(quantity.Fraction(0.2))
	for _, n := range Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "tilapia")}).Notes {
		if strings.Contains(n.Message, "is not given") {
			t.Errorf("the capture is given: %s", n)
		}
	}
}
