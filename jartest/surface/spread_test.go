package surface

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestSpreadsWeigh: a mean that the sheet gives with a wide spread pulls the pairs less
// than one without, and one of more readings more; the working says so.
func TestSpreadsWeigh(t *testing.T) {
	truth := func(alum, polymer float64) float64 { return 50 * math.Exp(-0.09*alum*(1+0.8*polymer)) }
	at := func(turn func(r *jartest.Reading)) (float64, string) {
		var rows [][3]float64
		for _, alum := range []float64{8, 16, 24, 32} {
			for _, polymer := range []float64{0, 0.4, 0.8} {
				rows = append(rows, [3]float64{alum, polymer, truth(alum, polymer)})
			}
		}
		s := jars(rows...)
		s.Name = "beck in spate"
		r := s.Jars[7].Readings.Of(jartest.Turbidity) // 24 mg/L alum, 0.4 mg/L polymer, read too high
		r.Value *= 1.5
		turn(&r)
		s.Jars[7].Readings.Set(jartest.Turbidity, r)
		got := Analyse(s, target(t, "turbidity <= 3 NTU"), Options{})
		need, ok := got.needAt(t, 0.4)
		if !ok {
			t.Fatalf("no dose at 0.4 mg/L of polymer: %s %v", got.Outcome, got.Notes)
		}
		return need, strings.Join(got.Method, "\n")
	}
	plain, without := at(func(*jartest.Reading) {})
	wide, with := at(func(r *jartest.Reading) { r.SD = 0.5 * r.Value })
	many, _ := at(func(r *jartest.Reading) { r.SD, r.N = 0.5*r.Value, 100 })
	want := math.Log(50.0/3) / (0.09 * (1 + 0.8*0.4))
	if !(math.Abs(wide-want) < math.Abs(plain-want)-0.1 && many > wide) {
		t.Errorf("alum needed %.2f with a wide spread, %.2f of a hundred such readings, %.2f without; truth %.2f", wide, many, plain, want)
	}
	if strings.Contains(without, "given in the sheet") || !strings.Contains(with, "given in the sheet weigh the jars") || !strings.Contains(with, "expected near 8 % (") || !strings.Contains(without, "doses off by some 1.5 %") {
		t.Errorf("the working says %q and %q", without, with)
	}
}

// needAt is the dose of the first chemical that the pair needs at a level of the second.
func (r Result) needAt(t *testing.T, level float64) (float64, bool) {
	t.Helper()
	for _, s := range r.Slices {
		if math.Abs(s.Level-level) < 1e-9 {
			return float64(s.Effective.Value), s.Reached
		}
	}
	return 0, false
}
