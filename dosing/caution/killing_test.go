package caution

import (
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// The lowest dose that killed in an own test stops at a tenth and calls for care at a hundredth (tenfold below the lowest dose that
// harmed: common practice, no source), alone and beside the LC50 of the same test, which stops at a tenth (Environment Agency, a twentieth to a
// tenth of the LC50 of the named polymer; second-hand) and calls for care at a thirtieth; the lesser rules, and no limit is lifted. PolyDADMAC as sold is 40 % active (catalogue); tilapia borrow 0.271 mg/L of
// trout (Goodrich et al. 1991), of which a half stops and a three-hundredth calls for care.
func TestKillingDoseOnlyTightens(t *testing.T) {
	for name, x := range map[string]struct {
		test       Bioassay
		stop, warn float64 // mg/L of active polymer
	}{
		"killed at much: what is borrowed holds":   {Bioassay{"floc", 0, 96, 50}, 0.271 / 2, 0.271 / 300},
		"killed at little":                         {Bioassay{"floc", 0, 96, 1}, 0.40 * 1.0 / 10, 0.271 / 300},
		"in a day: a quarter":                      {Bioassay{"FLOC", 0, 24, 1}, 0.40 * 1.0 / 4 / 10, 0.271 / 300},
		"at very little":                           {Bioassay{"floc", 0, 96, 0.1}, 0.40 * 0.1 / 10, 0.40 * 0.1 / 100},
		"beside an LC50, which lifts the borrowed": {Bioassay{"floc", 10, 96, 6}, 0.40 * 6.0 / 10, 0.40 * 6.0 / 100},
		"beside an LC50 that is stricter":          {Bioassay{"floc", 1, 96, 6}, 0.40 * 1.0 / 10, 0.40 * 1.0 / 30},
		"beside one that is as strict in stops":    {Bioassay{"floc", 3, 96, 3}, 0.40 * 3.0 / 10, 0.40 * 3.0 / 100},
		"an LC50 alone":                            {Bioassay{"floc", 10, 96, 0}, 0.40 * 10.0 / 10, 0.40 * 10.0 / 30},
		"of some other chemical":                   {Bioassay{"alum", 0, 96, 0.1}, 0.271 / 2, 0.271 / 300},
	} {
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{x.test}
		l, ok := Situation{Stock: a}.PolymerLimits("floc", chemical(t, "pdadmac"))
		if apart(float64(l.Stop), x.stop) || apart(float64(l.Warn), x.warn) || !ok {
			t.Errorf("%s: stops at %v, warns at %v; want %g, %g", name, l.Stop, l.Warn, x.stop, x.warn)
		}
	}
}

// apart reports that two figures differ.
func apart(a, b float64) bool { return math.Abs(a/b-1) > 1e-6 }

// All of 0.12 mg/L of active polymer is below the 0.1355 that borrowed figures stop at before tilapia;
// of the animals' own test, in their own water, the whole counts: a tenth of 2.5 mg/L of product, 1 of it active, is 0.1.
func TestKillingDoseStopsWholeDoses(t *testing.T) {
	d := dose(t, "pdadmac", 0.12, quantity.AsActive)
	d.Name = "floc"
	a := grown(stock(t, "tilapia"))
	s := Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}
	if Review(s).Stopped {
		t.Fatal("stopped without the test")
	}
	a[0].Tests = []Bioassay{{"floc", 0, 96, 2.5}}
	f := Review(s)
	level(t, f, "polymer-killed-stop", note.Stop)
	says(t, f, "polymer-killed-stop", "0.12 mg/L may stay in the water (the whole dose: what the floc takes is not given), 12 % of the lowest dose that killed tilapia in your own test (2.5 mg/L of product, which counts as 1 mg/L of active polymer, 40 % of it); a tenth of it stops a plan")
	if r := f.Residuals[0]; apart(float64(r.Limit.V), 0.1) || r.LimitName.String() != "a tenth of the lowest dose that killed tilapia in your own test: 2.5 mg/L of product, which counts as 1 mg/L of active polymer, 40 % of it" {
		t.Errorf("%v, %q", r.Limit.V, r.LimitName)
	}
	// below which doses must stay: 0.1, counted whole
	if most, why, ok := s.PolymerCeiling(d); !ok || apart(float64(most), 0.1) || why == "" {
		t.Errorf("ceiling %v, %q", most, why)
	}
	// both figures stop a tank of theirs, each by its own name
	if l := PolymerStops("floc", d.Product, a); len(l) != 2 || apart(float64(l[0].Stop), 0.271/10) || apart(float64(l[1].Stop), 0.1) {
		t.Errorf("%+v", l)
	}
	// somebody may take that risk by its name
	s.Accepted = []Acceptance{{Code: "polymer-killed-stop", By: "the keeper", Why: "emptied after"}}
	if f := Review(s); f.Stopped {
		t.Errorf("accepted and stopped: %v", codes(f.Notes))
	}
}

// A product of which nothing is known has its own test alone: killed at 12 mg/L, it stops at 1.2 and calls for care at 0.12. Chitosan
// before trout, of which no level is safe, stays stopped however much of it a test took to kill.
func TestKillingDoseOfAnUnknownProduct(t *testing.T) {
	for dosed, code := range map[float64]string{1.2: "polymer-killed-stop", 1.19: "polymer-killed", 0.12: "polymer-killed", 0.119: ""} {
		d := nobodyKnows("antifoam", dosed)
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{{"antifoam", 0, 96, 12}}
		got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}).Notes)
		for _, c := range []string{"polymer-killed-stop", "polymer-killed", "own-unknown", "no-data"} {
			if _, said := got[c]; said != (c == code) {
				t.Errorf("%g mg/L: %s said %v", dosed, c, said)
			}
		}
	}
	c := dose(t, "chitosan", 0.01, quantity.AsActive)
	c.Name = "chitosan"
	a := stock(t, "trout")
	a[0].Tests = []Bioassay{{Chemical: "chitosan", Killed: 1000}}
	level(t, Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{c}, Stock: a}), "chitosan-salmonid", note.Stop)
}

// Whoever knows more of one test is never stopped later, and never called to care later: with its LC50 and its lowest dose that killed at no more
// than by either alone, a tenth of it, of whatever doses and deaths.
func TestWhoKnowsMoreIsStoppedNoLater(t *testing.T) {
	p := chemical(t, "pdadmac")
	limits := func(lc50, killed quantity.Concentration, hours quantity.Time) Limits {
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{{"floc", lc50, hours, killed}}
		l, _ := PolymerLimits("floc", p, a)
		return l
	}
	rapid.Check(t, func(r *rapid.T) {
		lc50 := quantity.Concentration(rapid.Float64Range(0.01, 500).Draw(r, "LC50"))
		killed := quantity.Concentration(rapid.Float64Range(0.001, 500).Draw(r, "killed"))
		hours := rapid.SampledFrom([]quantity.Time{0, 24, 48, 96}).Draw(r, "hours")
		both, alone := limits(lc50, killed, hours), limits(lc50, 0, hours)
		counts := quantity.Concentration(0.40) // active
		if hours > 0 {
			counts *= quantity.Concentration(hours / 96)
		}
		if both.Stop > alone.Stop*(1+1e-9) || both.Warn > alone.Warn*(1+1e-9) || both.Stop > counts*killed/10*(1+1e-9) || both.Stop > counts*lc50/10*(1+1e-9) || both.Warn > counts*killed/100*(1+1e-9) {
			r.Fatalf("LC50 %v and killed %v in %v: stops at %v, care at %v; by the LC50 alone %v, %v", lc50, killed, hours, both.Stop, both.Warn, alone.Stop, alone.Warn)
		}
		if kills := limits(0, killed, hours); kills.Stop > counts*killed/10*(1+1e-9) || kills.Warn > counts*killed/100*(1+1e-9) {
			r.Fatalf("killed %v in %v: stops at %v, care at %v", killed, hours, kills.Stop, kills.Warn)
		}
	})
}

// Of a trial that told an LC50 of 3 mg/L and in which 1 mg/L killed, as active 1.2 and 0.4: 0.04 stops and not only the 0.12 of the LC50; from
// 0.4/100 it is a caution. Of that LC50 alone 0.12 stops, and 1.2/30 is a caution.
func TestATenthStopsByEitherFigure(t *testing.T) {
	all := []string{"polymer-killed-stop", "polymer-killed", "polymer-tested-stop", "polymer-tested"}
	for test, doses := range map[Bioassay]map[float64]string{
		{"floc", 3, 96, 1}: {0.04: "polymer-killed-stop", 0.0399: "polymer-killed", 0.004: "polymer-killed", 0.0039: ""},
		{"floc", 3, 96, 0}: {0.1201: "polymer-tested-stop", 0.1199: "polymer-tested", 0.0401: "polymer-tested", 0.0399: ""},
	} {
		for dosed, code := range doses {
			d := dose(t, "pdadmac", dosed, quantity.AsActive)
			d.Name = "floc"
			a := stock(t, "tilapia")
			a[0].Tests = []Bioassay{test}
			got := codes(Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a}).Notes)
			for _, c := range all {
				if _, said := got[c]; said != (c == code) {
					t.Errorf("%+v, %g mg/L: %s said %v", test, dosed, c, said)
				}
			}
		}
	}
}
