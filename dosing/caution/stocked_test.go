package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Where the water that is dosed is the animals' own no mud carries a polymer past a stop: half of trout died of 0.271 mg/L of polyamine in clear
// water (Goodrich et al. 1991, abstract), and a tenth of that, 0.0271 mg/L, stops in clear water and muddy, spread by hand, through a unit and back, and in a
// tank that is cleaned up. How much of a dose mud binds has no source, so that no turbidity is a measured capture. A loop of 30 m3 at 1 m3/h without new water has 24
// doses of a day in 30 m3, 0.8, and in the thirty days that are looked at 24: it stops from 0.0271/24 = 0.00113 mg/L on.
func TestNoMudCarriesAPolymerPastItsStopInStockedWater(t *testing.T) {
	for _, turbidity := range []float64{8, 70, 700} {
		for active, stops := range map[float64]bool{0.0270: false, 0.0272: true, 0.6: true, 2.5: true} {
			for name, x := range map[string]Situation{"by hand": {Pond: true}, "through a unit": {Pond: true, Piped: true}, "cleaned up": {Tank: 30000},
				"loop": {Loop: &Loop{Volume: 30000}, Flow: known(quantity.Flow(1))}} {
				builds := 1.0
				if x.Loop != nil {
					builds = 24
				}
				x.Purpose, x.Water, x.Doses, x.Stock = Animals, beck(), []Dose{dose(t, "polyamine", active/builds, quantity.AsActive)}, stock(t, "rainbow trout")
				x.Water.Turbidity = quantity.Some(turbidity)
				if f := Review(x); f.Stopped != stops || (codes(f.Notes)["polymer-stocked"] == note.Stop) != stops {
					t.Errorf("%s: %g mg/L in a tank of %g NTU: stopped %v", name, active, turbidity, f.Stopped)
				}
			}
		}
	}
}

// A figure borrowed from another kind of polymer stops as one of other animals does. Of cationised tannin nothing lethal is known with any animal: half of the 0.271
// that polyamines killed half of trout by stops it before tilapia, 0.1355, a tenth in their own water, 0.0271. Accepted by its name it stops no more, and the
// site's own test, of 50 mg/L, goes before what is borrowed. Of a product of nobody's making nothing is known, and that is said.
func TestBorrowedFromAnotherKindStops(t *testing.T) {
	for _, x := range []struct {
		s    Situation
		code string
		at   float64
	}{
		{Situation{}, "cationic-borrowed-stop", 0.1355}, {Situation{Pond: true}, "polymer-stocked", 0.0271}, {Situation{Tank: 30000}, "polymer-stocked", 0.0271},
		{Situation{Loop: &Loop{Volume: 30000}, Flow: known(quantity.Flow(1))}, "polymer-stocked", 0.0271 / 24},
	} {
		s := x.s
		s.Purpose, s.Water, s.Stock = Animals, beck(), stock(t, "tilapia")
		for share, stops := range map[float64]bool{0.99: false, 1.01: true} {
			s.Doses, s.Accepted = []Dose{dose(t, "tannin", x.at*share, quantity.AsActive)}, nil
			f := Review(s)
			if f.Stopped != stops || (codes(f.Notes)[x.code] == note.Stop) != stops {
				t.Errorf("%g mg/L of tannin: stopped %v, %v", x.at*share, f.Stopped, codes(f.Notes))
			}
			if stops {
				says(t, f, x.code, "No data for tilapia: bioassay needed")
			}
			s.Accepted = []Acceptance{{Code: x.code, Chemical: s.Doses[0].name(), By: "A. Keeper", Why: "tried on ten of them for four days"}}
			if f := Review(s); f.Stopped || (len(f.Taken) == 1) != stops {
				t.Errorf("accepted: %v, %v", f.Stopped, f.Taken)
			}
		}
		s.Accepted, s.Stock[0].Tests = nil, []Bioassay{{s.Doses[0].name(), 50, 96, 0}}
		if s.Doses[0].Dose.Concentration = quantity.Concentration(x.at) * 10; Review(s).Stopped {
			t.Errorf("stopped at %g mg/L by the borrowed beside an own test of 50", x.at*10)
		}
	}
	s := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "tilapia"), Doses: []Dose{nobodyKnows("bark liquor", 2)}}
	f := Review(s)
	if level(t, f, "own-unknown", note.Caution); f.Stopped {
		t.Error("stopped by nothing")
	}
}

// The same figure stops the same dose whoever found it: published, or in the site's own test; and a borrowed one stops at its tenth.
func TestWhoKnowsMoreIsStoppedNoLaterInStockedWater(t *testing.T) {
	with := func(active, lc50, killed float64) Findings {
		d := dose(t, "polyamine", active, quantity.AsActive)
		d.Name = "floc"
		a := stock(t, "rainbow trout")
		if lc50+killed > 0 {
			of, _ := d.Product.ActivePolymer(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct})
			a[0].Tests = []Bioassay{{"floc", quantity.Concentration(lc50) / of, 96, quantity.Concentration(killed) / of}}
		}
		return Review(Situation{Purpose: Animals, Pond: true, Water: beck(), Doses: []Dose{d}, Stock: a})
	}
	for _, active := range []float64{0.027, 0.0272, 0.3} {
		published, own := with(active, 0, 0), with(active, 0.271, 0)
		if published.Stopped != (active > 0.0271) || own.Stopped != published.Stopped || !with(active, 0.271, active).Stopped {
			t.Errorf("%g mg/L: published %v, own %v", active, published.Stopped, own.Stopped)
		}
	}
	says(t, with(0.3, 0.271, 0), "polymer-stocked", "what killed half of rainbow trout (in your own test: ")
	tannin := Situation{Purpose: Animals, Pond: true, Water: beck(), Doses: []Dose{dose(t, "tannin", 5, quantity.AsProduct)}, Stock: stock(t, "tilapia")}
	says(t, Review(tannin), "polymer-stocked", "No data for tilapia: bioassay needed; that figure is borrowed")
}

// Measured is measured: of 2.5 mg/L of which 99 % were measured to be taken 0.025 mg/L stay, below the 0.0271. Anionic polymer stops at a thirtieth
// of the 150 mg/L of which carp died (Tabata and Ishibashi 1984, abstract), 5 mg/L, far above what is usual. A stop may be accepted.
func TestWhatLiftsTheStopOfStockedWater(t *testing.T) {
	s := Situation{Purpose: Animals, Pond: true, Water: beck(), Doses: []Dose{dose(t, "polyamine", 2.5, quantity.AsActive)}, Stock: stock(t, "rainbow trout")}
	s.Accepted = []Acceptance{{Code: "polymer-stocked", Chemical: s.Doses[0].name(), By: "A. Keeper", Why: "tried on ten of them for four days"}}
	if f := Review(s); f.Stopped || len(f.Taken) != 1 {
		t.Error("accepted, and stopped")
	}
	s.Accepted = nil
	if s.Doses[0].Capture = quantity.Some(quantity.Fraction(0.99)); Review(s).Stopped {
		t.Error("measured, and stopped")
	}
	for mgL, stops := range map[float64]bool{4.99: false, 5.01: true} {
		a := Situation{Purpose: Animals, Pond: true, Water: beck(), Doses: []Dose{dose(t, "apam-dry", mgL, quantity.AsActive)}, Stock: stock(t, "common carp")}
		if got := codes(Review(a).Notes)["anionic-stocked"] == note.Stop; got != stops {
			t.Errorf("%g mg/L of anionic polymer: stopped %v", mgL, got)
		}
	}
}

// The most that a bench may choose for such water is what the review lets pass.
func TestCeilingOfStockedWater(t *testing.T) {
	d := dose(t, "polyamine", 1, quantity.AsActive)
	s := Situation{Purpose: Animals, Pond: true, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "rainbow trout")}
	most, why, ok := s.PolymerCeiling(d)
	if !ok || most < 0.0270 || most > 0.0272 || !strings.HasPrefix(why, "a tenth of what killed half of rainbow trout") {
		t.Errorf("%v, %q", most, why)
	}
}
