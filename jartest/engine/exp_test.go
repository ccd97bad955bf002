package engine

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestExp holds the exponential against the library's, all over its range and beyond it.
func TestExp(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	try := func(x float64) {
		want := math.Exp(x)
		if got := exp(x); math.Abs(got-want) > 4.5e-16*want {
			t.Fatalf("exp(%v) = %v, want %v", x, got, want)
		}
	}
	for range 200000 {
		try(1400*r.Float64() - 700)
		try(20*r.Float64() - 10)
		try((r.Float64() - 0.5) * 1e-3)
	}
	for k := -1000.0; k <= 1000; k++ { // at every power of two, and half-way between two steps
		try(k * math.Ln2)
		try((k + 0.5) / expSteps * math.Ln2)
	}
	for _, x := range []float64{0, math.Copysign(0, -1), -700, 700, 709.7, 710, -745.1, -746, math.Inf(1), math.Inf(-1)} {
		if got, want := exp(x), math.Exp(x); got != want {
			t.Errorf("exp(%v) = %v, want %v", x, got, want)
		}
	}
	if !math.IsNaN(exp(math.NaN())) {
		t.Error("exp(NaN) is a number")
	}
}
