package surface

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
)

// twoReadings is a grid of alum and polymer whose turbidity wants more of both, with
// another reading that alum makes worse.
func twoReadings(alum []float64, k jartest.Key, other func(alum, polymer float64) float64) jartest.Series {
	var rows [][3]float64
	for _, a := range alum {
		for _, p := range []float64{0, 0.3, 0.6} {
			rows = append(rows, [3]float64{a, p, 45 * math.Exp(-0.06*a*(1+p))})
		}
	}
	s := jars(rows...)
	for i, r := range rows {
		s.Jars[i].Readings.Set(k, jartest.Num(other(r[0], r[1]), k.Info().Unit))
	}
	return s
}

// TestOpposedPairs: what each target needs or allows is named with the jar that comes
// closest. 4 NTU need 0.06 a (1 + p) = ln(45/4), so at 0.6 mg/L of polymer 25.2 mg/L of
// alum; 0.06 mg/L of residual allows 6.7 mg/L alone and 8.1 with that polymer.
func TestOpposedPairs(t *testing.T) {
	both := append(target(t, "turbidity <= 4 NTU"), target(t, "residual al <= 0.06 mg/L")...)
	s := twoReadings([]float64{0, 10, 20, 30}, jartest.ResidualAl, func(a, p float64) float64 { return 0.02 + 0.006*a*(1-0.3*p) })
	said := noteOf(Analyse(s, both, Options{}), "targets-opposed")
	for _, want := range []string{"turbidity <= 4 NTU needs at least ", "mg/L polymer, and residual al <= 0.06 mg/L allows at most ", "the jar that comes closest is jar L (30 mg/L alum with 0.6 mg/L polymer), which reads residual aluminium 0.168 mg/L"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not say %q", said, want)
		}
	}
	if strings.Contains(said, "another chemical") {
		t.Errorf("%q", said)
	}
	if r := Analyse(s, both, Options{}); r.Outcome != curve.NotReached || r.HasPlanning {
		t.Errorf("%s", r.Outcome)
	}
	// Met together they are no conflict; one out of reach by itself is not one either.
	loose := append(target(t, "turbidity <= 20 NTU"), target(t, "residual al <= 0.1 mg/L")...)
	if r := Analyse(s, loose, Options{}); noteOf(r, "targets-opposed") != "" || r.Outcome != curve.Found {
		t.Errorf("%s %v", r.Outcome, r.Notes)
	}
	far := append(target(t, "turbidity <= 0.5 NTU"), target(t, "residual al <= 0.06 mg/L")...)
	if r := Analyse(s, far, Options{}); noteOf(r, "targets-opposed") != "" || r.Outcome != curve.StillImproving {
		t.Errorf("%s %v", r.Outcome, r.Notes)
	}
}

// TestOnlyWorse: a reading that is best at the lowest dose tested, and fails there, asks
// for lower doses or alkali, not for another chemical.
func TestOnlyWorse(t *testing.T) {
	for _, c := range []struct {
		lowest float64
		says   string
	}{{10, "test lower doses of alum"}, {0, "the water fails it without alum"}} {
		s := twoReadings([]float64{c.lowest, 20, 30}, jartest.PH, func(a, _ float64) float64 { return 7.3 - 0.03*a })
		r := Analyse(s, append(target(t, "turbidity <= 3 NTU"), target(t, "ph >= 7.5")...), Options{})
		said := noteOf(r, "not-reached")
		if r.Outcome != curve.NotReached || !strings.Contains(said, `meets "ph >= 7.5"`) || !strings.Contains(said, c.says) {
			t.Errorf("from %g mg/L: %s %q", c.lowest, r.Outcome, said)
		}
	}
}

func noteOf(r Result, code string) string {
	for _, n := range r.Notes {
		if n.Code == code {
			return n.Message + ". " + n.Remedy
		}
	}
	return ""
}
