package curve

import (
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// TestCliff: where the water falls through the target between two jars, the interval
// is that gap, the planning dose stands by the passing jar, and the next jars lie between.
func TestCliff(t *testing.T) {
	s := jarSeries("cliff", jartest.Turbidity, []float64{0, 12, 24, 36, 48, 60}, []float64{31, 30.2, 29.5, 2.1, 2, 2.05})
	r := Analyse(s, below(5), Options{OnlyTarget: true, ForNext: true})
	if r.Outcome != Found || !r.HasPlanning || !r.Cliff.OK || !hasNote(r, "cliff") {
		t.Fatalf("%s, planning %v, cliff %v: %v", r.Outcome, r.HasPlanning, r.Cliff, r.Notes)
	}
	if g := r.Cliff.V; g.Low.Dose != 24 || g.High.Dose != 36 {
		t.Errorf("the gap is %v", g)
	}
	within(t, "low end", float64(r.Effective.Low), 24, 25)
	within(t, "high end", float64(r.Effective.High), 35.3, 36.1)
	within(t, "planning dose", float64(r.Planning.Concentration), 34.8, 36.1)
	for _, d := range r.Next(NextOptions{}).Doses {
		if d.Dose <= 24 || d.Dose >= 36 {
			t.Errorf("the next jar stands at %v", d.Dose)
		}
	}
	for _, code := range []string{"outlier", "scatter", "no-response"} {
		if hasNote(r, code) {
			t.Errorf("a cliff is told as %s", code)
		}
	}
	smooth := Analyse(davisAlum(), below(8), Options{OnlyTarget: true})
	if smooth.Cliff.OK {
		t.Errorf("a slope is told as a cliff: %v", smooth.Cliff.V)
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
