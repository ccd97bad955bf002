package curve

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// TestCliff: where the water falls through the target between two jars, the interval
// is that gap, as far as the two jars' own doses are known (1.645 x 1.5 % either way: 23.4
// and 36.9), the planning dose stands by the passing jar, and the next jars lie between.
func TestCliff(t *testing.T) {
	s := jarSeries("cliff", jartest.Turbidity, []float64{0, 12, 24, 36, 48, 60}, []float64{31, 30.2, 29.5, 2.1, 2, 2.05})
	r := Analyse(s, below(5), Options{OnlyTarget: true, ForNext: true})
	if r.Outcome != Found || !r.HasPlanning || !r.Cliff.OK || !hasNote(r, "cliff") {
		t.Fatalf("%s, planning %v, cliff %v: %v", r.Outcome, r.HasPlanning, r.Cliff, r.Notes)
	}
	if said := noteOf(r, "cliff"); !strings.Contains(said, "test 27.0 mg/L, 30.0 mg/L and 33.0 mg/L") { // quarters of the gap
		t.Errorf("at the cliff: %q", said)
	}
	if g := r.Cliff.V; g.Low.Dose != 24 || g.High.Dose != 36 {
		t.Errorf("the gap is %v", g)
	}
	within(t, "low end", float64(r.Effective.Low), 23.4, 25)
	within(t, "high end", float64(r.Effective.High), 35.3, 36.9)
	within(t, "planning dose", float64(r.Planning.Concentration), 34.8, 36.5)
	for _, d := range r.Next(NextOptions{}).Doses {
		if d.Dose <= 24 || d.Dose >= 36 {
			t.Errorf("the next jar stands at %v", d.Dose)
		}
	}
	for _, code := range []string{"outlier", "scatter", "no-response", "cannot-tell-apart"} { // of the two jars one clearly fails
		if hasNote(r, code) {
			t.Errorf("a cliff is told as %s", code)
		}
	}
	if said := noteOf(r, "cliff"); !strings.Contains(said, "may lie anywhere from one to the other") {
		t.Errorf("an interval that is the gap: %q", said)
	}
	// Where the interval reaches further than the gap, the caution promises no more than it.
	if r = Analyse(lakeZeta(), targets(t, "zeta >= -5 mV"), Options{OnlyTarget: true}); r.Effective.Low > 39 || !strings.Contains(noteOf(r, "cliff"), "most likely lies between them, anywhere") {
		t.Errorf("low end %v: %q", r.Effective.Low, noteOf(r, "cliff"))
	}
	smooth := Analyse(davisAlum(), below(8), Options{OnlyTarget: true})
	if smooth.Cliff.OK {
		t.Errorf("a slope is told as a cliff: %v", smooth.Cliff.V)
	}
}

// TestAdditiveCliff: a zeta potential or a pH that jumps through the target between two
// jars bounds the dose by that gap and no better, said as it goes, up or down; what rises
// or falls steadily has no such caution.
func TestAdditiveCliff(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50}
	for _, c := range []struct {
		key   jartest.Key
		y     []float64
		ask   string
		says  string
		cliff bool
	}{
		{jartest.Zeta, []float64{-22, -21, -20.5, 8, 9, 9.5}, "zeta >= -5 mV", "zeta potential rises from -20.5 at 20.0 mg/L to 8.00 at 30.0 mg/L", true},
		{jartest.PH, []float64{7.8, 7.75, 7.72, 6.1, 6.08, 6.05}, "pH <= 7", "pH falls from 7.72 at 20.0 mg/L to 6.10 at 30.0 mg/L", true},
		{jartest.Zeta, []float64{-22, -18, -13, -8, -3, 1}, "zeta >= -5 mV", "", false},
	} {
		r := Analyse(jarSeries("x", c.key, doses, c.y), target(t, c.ask), Options{OnlyTarget: true})
		if r.Outcome != Found || r.Cliff.OK != c.cliff || !strings.Contains(noteOf(r, "cliff"), c.says) {
			t.Errorf("%s %v: %s, cliff %v, %q", c.ask, c.y, r.Outcome, r.Cliff, noteOf(r, "cliff"))
		}
		if c.cliff {
			within(t, "low end", float64(r.Effective.Low), 19, 22)
			within(t, "high end", float64(r.Effective.High), 28, 31)
			within(t, "planning dose", float64(r.Planning.Concentration), 28, 31)
		}
	}
}

// TestBetweenAcrossAJump: where a reading jumps across both bounds that it must lie
// between, no dose is sure to meet them, and none is planned with; where it climbs through
// them slowly one is.
func TestBetweenAcrossAJump(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50}
	between := slices.Concat(target(t, "zeta >= -5 mV"), target(t, "zeta <= 5 mV"))
	jump := Analyse(jarSeries("jump", jartest.Zeta, doses, []float64{-22, -21, -20.5, 8, 9, 9.5}), between, Options{OnlyTarget: true})
	if jump.HasPlanning || !hasNote(jump, "no-sure-dose") || !hasNote(jump, "cliff") {
		t.Errorf("%s, planning %v: %v", jump.Outcome, jump.Planning, jump.Notes)
	}
	slow := Analyse(jarSeries("slow", jartest.Zeta, doses, []float64{-22, -16, -9, -3, 2, 4}), between, Options{OnlyTarget: true})
	if !slow.HasPlanning || hasNote(slow, "no-sure-dose") {
		t.Errorf("%s: %v", slow.Outcome, slow.Notes)
	}
}

// TestRiseIsNoCliff: a smooth fall before a step up is no cliff.
func TestRiseIsNoCliff(t *testing.T) {
	s := jarSeries("rise", jartest.Turbidity, []float64{7.5, 15, 22.5, 30, 37.5, 45, 52.5, 60}, []float64{3.64, 1.8, 1.14, 1.08, 1.02, 2.64, 11.5, 15.7})
	if r := Analyse(s, below(1.25), Options{OnlyTarget: true}); r.Outcome != Found || r.Cliff.OK {
		t.Errorf("%s, cliff %v", r.Outcome, r.Cliff)
	}
}

// TestSharpRise: three jars pass and two fail above them: that is over-dose.
func TestSharpRise(t *testing.T) {
	s := jarSeries("rise", jartest.Turbidity, []float64{10, 20, 30, 40, 50, 60}, []float64{9.2, 2.9, 1.83, 1.6, 21, 19.3})
	r := Analyse(s, below(3.5), Options{OnlyTarget: true})
	if r.Outcome != Found || !r.HasPlanning || !r.Overdose.Seen {
		t.Fatalf("%s, planning %v, over-dose %v: %v", r.Outcome, r.HasPlanning, r.Overdose, r.Notes)
	}
	for _, code := range []string{"outlier", "scatter", "no-response"} {
		if hasNote(r, code) {
			t.Errorf("a sharp rise is told as %s: %v", code, r.Notes)
		}
	}
}

// TestNextJarAsksAReadingOnce: two bounds on one reading are about one jar, which lies
// between them with the chance that its scatter leaves it; another reading is another jar's.
func TestNextJarAsksAReadingOnce(t *testing.T) {
	c := &engine.Cloud{U: []float64{0, 1}, F: [][]float64{{2, 2}}, Sigma: []float64{0.5}}
	ready := map[jartest.Key]*prepared{jartest.PH: {dmax: 10}, jartest.Turbidity: {dmax: 10}}
	a := &analysis{r: &Result{}, ready: ready, cloud: map[jartest.Key]*engine.Cloud{jartest.PH: c, jartest.Turbidity: c}}
	a.r.HasPlanning, a.r.Planning.Concentration = true, 5
	a.goals = []goal{{key: jartest.PH, high: true}, {key: jartest.PH}, {key: jartest.Turbidity}}
	a.levels = [][]float64{{1.5}, {2.5}, {2}}
	a.nextJar()
	// Within one scatter either side 0.682689, and half of the jars of the other reading.
	within(t, "chance", float64(a.r.NextJar.V), 0.682689/2-1e-6, 0.682690/2+1e-6)
}

// TestTopJarPasses: a water that falls off before the highest jar, which passes with room to
// spare, is planned there, though its dose may have been off: nothing was tested beyond it.
func TestTopJarPasses(t *testing.T) {
	for _, top := range []float64{3.5, 2.1} {
		r := quick(engine.New(), jarSeries("x", jartest.Turbidity, []float64{0, 12, 24, 36, 48, 60}, []float64{31, 30.4, 29.9, 29.3, 28.8, top}), below(5))
		if !r.HasPlanning || r.Planning.Concentration > 60 || r.Planning.Concentration < 57 {
			t.Errorf("top jar at %g: planning %v %v, %v", top, r.HasPlanning, r.Planning, r.Outcome)
		}
	}
}
