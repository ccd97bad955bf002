package curve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// trials is how many invented series each property is tried on; an analysis takes
// milliseconds, so thousands would be for a night.
const trials = 25

func try(t *testing.T, f func(t *testing.T, r *rand.Rand)) {
	t.Helper()
	for i := range trials {
		f(t, rand.New(rand.NewPCG(uint64(i), 77)))
		if t.Failed() {
			t.Fatalf("trial %d", i)
		}
	}
}

func between2(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

// someSeries makes an invented series: four to nine jars about a curve that falls
// and perhaps rises.
func someSeries(r *rand.Rand) jartest.Series {
	n := 4 + r.IntN(6)
	top := between2(r, 5, 200)
	e, h := between2(r, 0.15, 0.6), between2(r, 1, 6)
	rise, cv := between2(r, 0, 1.5), between2(r, 0.01, 0.2)
	var d, y []float64
	for i := range n {
		u := float64(i+1) / float64(n)
		d = append(d, u*top)
		y = append(y, quantity.RoundSig((1.5+40/(1+math.Pow(u/e, h)))*math.Exp(rise*math.Max(u-0.6, 0)+cv*r.NormFloat64()), 3))
	}
	return jarSeries("s", jartest.Turbidity, d, y)
}

func below(v float64) []jartest.Target {
	return []jartest.Target{{Key: jartest.Turbidity, Value: v, Unit: "NTU"}}
}

// summary is what a result says in numbers, rounded beyond what arithmetic in
// another order could change.
func summary(r Result) string {
	s := fmt.Sprint(r.Outcome, r.HasPlanning, r.Effective.HasLow, r.Effective.HasHigh, r.Overdose.Seen)
	for _, v := range [...]float64{float64(r.Effective.Value), float64(r.Effective.Low), float64(r.Effective.High), float64(r.Planning.Concentration), float64(r.LowestPassing.Dose)} {
		s += " " + quantity.Sig(v, 6)
	}
	return s
}

func TestOrderAndLabelsDoNotMatter(t *testing.T) {
	try(t, func(t *testing.T, r *rand.Rand) {
		s := someSeries(r)
		goal := below(between2(r, 2, 20))
		a := Analyse(s, goal, Options{})
		mixed := s
		mixed.Jars = slices.Clone(s.Jars)
		r.Shuffle(len(mixed.Jars), func(i, j int) { mixed.Jars[i], mixed.Jars[j] = mixed.Jars[j], mixed.Jars[i] })
		for i := range mixed.Jars {
			mixed.Jars[i].Label = fmt.Sprintf("beaker %c", 'A'+i)
		}
		if b := Analyse(mixed, goal, Options{}); summary(a) != summary(b) {
			t.Errorf("%s\nbecame %s", summary(a), summary(b))
		}
	})
}

// TestUnitsDoNotMatter: doses in other units scale the answer and nothing else.
func TestUnitsDoNotMatter(t *testing.T) {
	try(t, func(t *testing.T, r *rand.Rand) {
		s := someSeries(r)
		goal := below(between2(r, 2, 20))
		a := Analyse(s, goal, Options{})
		f := []float64{0.0908, 1000, 0.001, 7}[r.IntN(4)]
		other := s
		other.Jars = nil
		for _, j := range s.Jars {
			j.Doses = []jartest.JarDose{{Concentration: j.Doses[0].Concentration * quantity.Concentration(f), Known: true}}
			other.Jars = append(other.Jars, j)
		}
		b := Analyse(other, goal, Options{})
		if a.Outcome != b.Outcome || a.HasPlanning != b.HasPlanning {
			t.Fatalf("%s became %s", a.Outcome, b.Outcome)
		}
		for _, p := range [...][2]quantity.Concentration{{a.Effective.Value, b.Effective.Value}, {a.Effective.Low, b.Effective.Low}, {a.Planning.Concentration, b.Planning.Concentration}} {
			if x, y := float64(p[0]), float64(p[1])/f; math.Abs(x-y) > 1e-7*math.Abs(x) {
				t.Errorf("%g became %g", x, y)
			}
		}
	})
}

// TestLooserTargetNeedsNoMore: every quantile of the dose falls, or stays, when
// the target is loosened.
func TestLooserTargetNeedsNoMore(t *testing.T) {
	try(t, func(t *testing.T, r *rand.Rand) {
		s := someSeries(r)
		tight := between2(r, 2, 15)
		loose := tight * between2(r, 1.001, 1.5)
		run := func(v float64) Result {
			return Analyse(s, below(v), Options{})
		}
		a, b := run(tight), run(loose)
		for _, p := range [...]float64{0.05, 0.25, 0.5, 0.75, 0.9, 0.95} {
			x, okX := a.Quantile(p)
			y, okY := b.Quantile(p)
			if okX && (!okY || y > x*(1+1e-9)) {
				t.Errorf("%g NTU needs %v at %g, %g NTU needs %v (%v)", tight, x, p, loose, y, okY)
			}
		}
		if a.HasPlanning && b.HasPlanning && b.Planning.Concentration > a.Planning.Concentration*(1+1e-9) && b.Rule == a.Rule {
			t.Errorf("planning %v for %g NTU, %v for %g NTU", a.Planning, tight, b.Planning, loose)
		}
	})
}

// TestRefusalsGiveNoDose: only Found comes with doses, they lie in the tested
// range, and the planning dose is never below the estimate.
func TestRefusalsGiveNoDose(t *testing.T) {
	try(t, func(t *testing.T, r *rand.Rand) {
		s := someSeries(r)
		for i := range s.Jars { // some jars lack a reading, some are beyond the meter
			switch r.IntN(10) {
			case 0:
				s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Reading{})
			case 1:
				s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Below, Value: 2, Limit: true})
			case 2:
				s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Num(0, "NTU"))
			}
		}
		checkRefusal(t, Analyse(s, below(between2(r, 0.5, 50)), Options{}))
	})
}

func checkRefusal(t *testing.T, r Result) {
	t.Helper()
	if r.Outcome == "" {
		t.Fatal("no outcome")
	}
	if r.Outcome != Found {
		if r.HasPlanning || r.Effective != (Interval{}) {
			t.Errorf("%s with doses: %+v", r.Outcome, r.Effective)
		}
		if len(r.Notes) == 0 {
			t.Errorf("%s without a word", r.Outcome)
		}
		return
	}
	i := r.Effective
	if i.Value < r.TestedLow || i.Value > r.TestedHigh || i.HasLow && i.Low > i.Value || i.HasHigh && i.High < i.Value {
		t.Errorf("interval %+v in %v to %v", i, r.TestedLow, r.TestedHigh)
	}
	if r.HasPlanning && (r.Planning.Concentration < i.Value || r.Planning.Concentration > r.TestedHigh) {
		t.Errorf("planning %v, estimate %v", r.Planning, i.Value)
	}
	for _, n := range r.Notes {
		if n.Level > 0 && n.Remedy == "" {
			t.Errorf("%s does not say what to do next", n.Code)
		}
	}
}

// TestSameBytes: the analysis of many series does not depend on who shares the work.
func TestSameBytes(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	var all []jartest.Series
	for range 12 {
		all = append(all, beckSeries(r, 0.1, []float64{10, 20, 30, 40, 50, 60}))
	}
	goal := target(t, "turbidity <= 6 NTU")
	text := func(x []Result) string {
		out := ""
		for _, r := range x {
			r.Readings = slices.Clone(r.Readings)
			for i := range r.Readings { // a pointer prints as its address
				out += fmt.Sprint(*r.Readings[i].AtPlanning)
				r.Readings[i].AtPlanning = nil
			}
			out += fmt.Sprintf("%+v", r)
		}
		return out
	}
	together := AnalyseAll(all, goal, Options{})
	if text(together) != text(AnalyseAll(all, goal, Options{})) {
		t.Error("two runs differ")
	}
	for i, s := range all {
		if text([]Result{Analyse(s, goal, Options{})}) != text(together[i:i+1]) {
			t.Errorf("series %d differs alone", i)
		}
	}
}
