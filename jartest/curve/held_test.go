package curve

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestOddJarFirst: where one jar ten times off is all that keeps the others from a planning
// dose, that jar is to be run again, and the dose that is said is the one of the others.
func TestOddJarFirst(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50, 60}
	for _, c := range []struct {
		read []float64
		odd  int
		code string
	}{
		{[]float64{95, 48, 25, 140, 8.1, 4.9, 3.2}, 3, "planning-beyond-range"},
		{[]float64{95, 60, 3.1, 16, 8, 4.1, 2.2}, 2, "planning-beyond-range"},
	} {
		s := jarSeries("slip", jartest.Turbidity, doses, c.read)
		r := Analyse(s, targets(t, "turbidity <= 5 NTU"), Options{})
		less := s
		less.Jars = slices.Delete(slices.Clone(s.Jars), c.odd, c.odd+1)
		q := Analyse(less, targets(t, "turbidity <= 5 NTU"), Options{})
		if r.HasPlanning || !q.HasPlanning {
			t.Fatalf("planned with the slip %v, without it %v", r.HasPlanning, q.HasPlanning)
		}
		jar := fmt.Sprintf("jar %d (%.1f mg/L)", c.odd+1, doses[c.odd])
		want := fmt.Sprintf("run %s again before anything else: without it the planning dose would be %.1f mg/L", jar, float64(q.Planning.Concentration))
		if got := noteOf(r, c.code); !strings.HasSuffix(got, ". "+want) {
			t.Errorf("%q does not advise %q", got, want)
		}
		dose := fmt.Sprintf("without it the lowest effective dose would be %.1f mg/L, not", float64(q.Effective.Value))
		if said := noteOf(r, "outlier"); !strings.Contains(said, dose) {
			t.Errorf("%q does not say %q", said, dose)
		}
	}
}

// TestPassingReading: of several targets the jar that passes is told by the reading that decides,
// not by whichever target stands first; and a jar that passes as read is run again before the
// chemical is blamed.
func TestPassingReading(t *testing.T) {
	doses := []float64{5, 10, 15, 20, 25, 30, 35}
	s := jarSeries("two", jartest.Turbidity, doses, []float64{30, 18, 8, 3, 1.8, 2.9, 6.5})
	for i, v := range []float64{-22, -15, -9, -3, 2, 7, 12} {
		s.Jars[i].Readings.Set(jartest.Zeta, jartest.Num(v, "mV"))
	}
	r := Analyse(s, targets(t, "zeta >= -5 mV; zeta <= 5 mV; turbidity <= 2 NTU"), Options{})
	if r.Outcome != NotReached || !r.HasLowestPassing || r.Response != jartest.Turbidity || r.LowestPassing.Reading != 1.8 {
		t.Errorf("%s, the jar that passes reads %s %v", r.Outcome, r.Response, r.LowestPassing)
	}
	if got, want := noteOf(r, "not-reached"), "run jar 5 (25.0 mg/L) again two or three times"; !strings.Contains(got, want) {
		t.Errorf("%q does not advise %q", got, want)
	}
}

// TestHeldSaysWhy: a planning dose below its confidence is held by another target, by a best that
// no jar has seen, or by the best that the chemical does, and each has its own advice.
func TestHeldSaysWhy(t *testing.T) {
	six := []float64{10, 20, 30, 40, 50, 60}
	falls := []float64{40, 20, 10, 5.1, 3, 2}
	volume := jarSeries("room", jartest.Turbidity, six, falls)
	for i, v := range []float64{5, 9, 14, 20, 26, 31} {
		volume.Jars[i].Readings.Set(jartest.SettledVolume, jartest.Num(v, "mL/L"))
	}
	for _, c := range []struct {
		s          jartest.Series
		targets    string
		said, does string
	}{
		{volume, "turbidity <= 5 NTU; settled volume <= 22 mL/L", "settled volume <= 22 mL/L allows at most 43.", "in small steps, or ease one of the two"},
		{jarSeries("gap", jartest.Turbidity, []float64{5, 8, 11, 17, 20, 140}, []float64{40, 26, 17, 7.5, 4.8, 11}), "turbidity <= 5 NTU",
			"best where no jar stood, between 20.0 mg/L and 140 mg/L", "test 50.0 mg/L, 80.0 mg/L and 110 mg/L"}, // 20 + 120/4, 120/2, 3·120/4
		{jarSeries("close", jartest.Turbidity, six, []float64{40, 20, 9, 4.8, 4.9, 9}), "turbidity <= 5 NTU",
			"close to the best that this chemical does", "repeat the doses near the optimum"},
	} {
		r := Analyse(c.s, targets(t, c.targets), Options{})
		if said := noteOf(r, "held-at-optimum"); !strings.Contains(said, c.said) || !strings.Contains(said, c.does) {
			t.Errorf("%s: %q", c.s.Name, said)
		}
	}
}
