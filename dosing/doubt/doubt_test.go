package doubt

import (
	"math"
	"testing"
)

// TestRangesByHand: the ends of an interval are passed one time in twenty, the dose
// one in two; an end that is not known is open.
func TestRangesByHand(t *testing.T) {
	q := Between(10, 8, 15)
	for p, want := range map[float64]float64{0.05: 8, 0.5: 10, 0.95: 15} {
		if v, ok := q(p); !ok || math.Abs(float64(v)-want) > 1e-9 {
			t.Errorf("P%g: %v, want %g", p*100, v, want)
		}
	}
	if v, ok := Between(10, 0, 15)(0.05); ok || v != 10 {
		t.Errorf("open below: %v %v", v, ok)
	}
	if v, ok := Between(10, 8, 0)(0.95); ok || v != 10 {
		t.Errorf("open above: %v %v", v, ok)
	}
	if _, ok := Between(10, 8, 0)(0.05); !ok {
		t.Error("a known low end is open")
	}
	if Between(10, 0, 0) != nil || Between(0, 1, 2) != nil || Between(10, 0.5, 0) == nil || Between(10, 0, 10.5) == nil || Between(0.4, 0, 0.5) == nil || Between(0.5, 0.4, 0.6) == nil {
		t.Error("a range of nothing, or none of something")
	}
}

// 0.67449/1.28155.
func TestSpansHoldThePlan(t *testing.T) {
	for s, bad := range map[Span]bool{{}: false, {0.5, 1.5}: false, {1, 1}: false, {1.01, 2}: true, {0.5, 0.99}: true, {0, 2}: true, {-0.5,
		2}: true, {0.01, 1}: false,
		{1, 1.5}: false} {
		if l := s.Check("flow"); (len(l) > 0) != bad {
			t.Errorf("%v: %v", s, l)
		}
	}
	s := Span{0.8, 1.4}
	for p, want := range map[float64]float64{0.1: 0.8, 0.5: 1, 0.9: 1.4, 0.25: math.Exp(math.Log(0.8) * 0.6744898 / 1.2815516),
		0.75: math.Exp(math.Log(1.4) * 0.6744898 / 1.2815516)} {
		if got := s.Quantile(p); math.Abs(got-want) > 1e-6 {
			t.Errorf("%g: %g, want %g", p, got, want)
		}
	}
}

// TestEndsByHand: a product of two factors, a fifth less to a quarter more and a half less to as much, in
// logarithms: 0.2231 and 0.6931 below, rooted 0.7282; 0.2231 above.
func TestEndsByHand(t *testing.T) {
	a, b := Span{0.8, 1.25}, Span{0.5, 1}
	of := func(moved int, p float64) float64 {
		x := 10.0
		for i, s := range []Span{a, b} {
			if i == moved {
				x *= s.Quantile(p)
			}
		}
		return x
	}
	low, high := Ends(2, of)
	if want := math.Exp(-math.Sqrt(0.22314355*0.22314355 + 0.69314718*0.69314718)); math.Abs(low-want) > 1e-7 || math.Abs(high-1.25) > 1e-12 {
		t.Errorf("%g to %g, want %g to 1.25", low, high, want)
	}
	// What grows where the unknown falls has its ends the other way round.
	low, high = Ends(1, func(moved int, p float64) float64 { return 1 / a.Quantile(p) })
	if math.Abs(low-0.8) > 1e-12 || math.Abs(high-1.25) > 1e-12 {
		t.Errorf("%g to %g, want 0.8 to 1.25", low, high)
	}
	if low, high = Ends(1, func(int, float64) float64 { return 0 }); low != 1 || high != 1 {
		t.Errorf("nothing is off by %g to %g", low, high)
	}
	// A chance of a half that nothing is needed has no low end above nothing.
	if low, _ = Ends(1, func(moved int, p float64) float64 { return max(0, p-Low) }); low != 0 {
		t.Errorf("low end %g", low)
	}
}

// TestAt: the planned dose stands where there is no doubt and where nothing bounds it.
func TestAt(t *testing.T) {
	if v, ok := At(nil, 7, Low); v != 7 || !ok {
		t.Errorf("%v %v", v, ok)
	}
	if v, ok := At(Between(10, 8, 0), 11, High); v != 11 || ok {
		t.Errorf("open: %v %v", v, ok)
	}
	// 8 is passed one time in twenty: one in ten at 10 × 0.8^(1.28155/1.64485).
	if v, ok := At(Between(10, 8, 0), 11, Low); math.Abs(float64(v)-10*math.Pow(0.8, 1.2815516/1.6448536)) > 1e-6 || !ok {
		t.Errorf("%v %v", v, ok)
	}
	if !Either(0).Known() || !Either(-1).Known() || Either(0.25) != (Span{0.75, 1.25}) {
		t.Error("a share either way")
	}
}
