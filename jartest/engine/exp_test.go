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

// TestLn holds the logarithm against the library's, all over its range, near one, where it
// vanishes, and beyond.
func TestLn(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	try := func(x float64) {
		want := math.Log(x)
		if got := ln(x); math.Abs(got-want) > 4.5e-16*math.Abs(want) {
			t.Fatalf("ln(%v) = %v, want %v", x, got, want)
		}
	}
	for range 200000 {
		try(math.Exp(1400*r.Float64() - 700))
		try(math.Exp(10*r.Float64() - 5))
		try(1 + (r.Float64()-0.5)*1e-2)
	}
	for k := 1.0; k <= 1000; k++ { // at powers of two and of its root, at steps and half-way between
		try(math.Pow(2, k-500))
		try(math.Pow(2, k/2-250))
		try(k / 256)
	}
	for _, x := range []float64{1, 0, -1, 5e-324, 1e-310, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()} {
		if got, want := ln(x), math.Log(x); got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("ln(%v) = %v, want %v", x, got, want)
		}
	}
}
