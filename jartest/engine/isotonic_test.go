package engine

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// TestIsotonic holds the shape-restricted fits against published vectors: the
// test suite of a public machine-learning library (first), the documentation
// example of R's isoreg (second), and the pituitary data of de Leeuw, Hornik and
// Mair 2009, Journal of Statistical Software 32(5) (third: ages 8, 10, 12, 14; the
// means of each age with their number as weight).
func TestIsotonic(t *testing.T) {
	near := cmpopts.EquateApprox(0, 1e-12)
	for _, c := range []struct{ y, w, want []float64 }{
		{[]float64{3, 7, 5, 9, 8, 7, 10}, nil, []float64{3, 6, 6, 8, 8, 8, 10}},
		{[]float64{1, 0, 4, 3, 3, 5, 4, 2, 0}, nil, []float64{0.5, 0.5, 3, 3, 3, 3, 3, 3, 3}},
		{[]float64{22.5, 23.333333333333332, 20.833333333333332, 24.25}, []float64{3, 3, 3, 2}, []float64{22.222222222222222, 22.222222222222222, 22.222222222222222, 24.25}},
	} {
		if d := cmp.Diff(c.want, rising(c.y, c.w), near); d != "" {
			t.Errorf("%v: %s", c.y, d)
		}
	}
	if d := cmp.Diff([]float64{10, 8, 8, 8, 6, 6, 3}, falling([]float64{10, 7, 8, 9, 5, 7, 3}, nil), near); d != "" {
		t.Error(d)
	}
}

// TestValley: the fit falls, then rises, and no perturbation that keeps the shape
// comes closer to the data.
func TestValley(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 10).Draw(t, "n")
		y, w := make([]float64, n), make([]float64, n)
		for i := range y {
			y[i], w[i] = rapid.Float64Range(-5, 5).Draw(t, "y"), rapid.Float64Range(0.1, 3).Draw(t, "w")
		}
		fit, turn := Valley(y, w)
		sse := func(f []float64) float64 {
			s := 0.0
			for i := range f {
				s += w[i] * (y[i] - f[i]) * (y[i] - f[i])
			}
			return s
		}
		shaped := func(f []float64, turn int) bool {
			for i := 1; i < n; i++ {
				if i <= turn && f[i] > f[i-1]+1e-12 || i > turn && f[i] < f[i-1]-1e-12 {
					return false
				}
			}
			return true
		}
		if !shaped(fit, turn) {
			t.Fatalf("%v turns at %d: %v", y, turn, fit)
		}
		best := sse(fit)
		for k := range n {
			for _, d := range [...]float64{-0.01, 0.01} {
				g := append([]float64(nil), fit...)
				g[k] += d
				for at := range n {
					if shaped(g, at) && sse(g) < best-1e-9 {
						t.Fatalf("moving %d by %g gives %g below %g", k, d, sse(g), best)
					}
				}
			}
		}
		// Any valley of another kind, such as all falling, is no better.
		if f := falling(y, w); sse(f) < best-1e-9 {
			t.Fatalf("falling %g is below valley %g", sse(f), best)
		}
		if math.IsNaN(best) {
			t.Fatal("NaN")
		}
	})
}

// falling gives the weighted least-squares fit that never rises (pool adjacent
// violators; Barlow, Bartholomew, Bremner and Brunk, Statistical Inference under
// Order Restrictions, 1972, from memory). w may be nil for equal weights.
func falling(y, w []float64) []float64 {
	neg := make([]float64, len(y))
	for i, v := range y {
		neg[i] = -v
	}
	out := rising(neg, w)
	for i := range out {
		out[i] = -out[i]
	}
	return out
}

// rising gives the weighted least-squares fit that never falls.
func rising(y, w []float64) []float64 {
	var p pooler
	p.reset(len(y))
	for i, v := range y {
		p.push(v, weight(w, i))
	}
	out := make([]float64, len(y))
	p.expand(out)
	return out
}
