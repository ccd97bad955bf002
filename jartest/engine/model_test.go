package engine

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/engine/lsq"
)

func everyModel() []Model {
	return append(append(PartialModels(), AdditiveModels()...), OptimumModels()...)
}

// TestGradients holds every analytic derivative against central differences.
func TestGradients(t *testing.T) {
	for _, m := range everyModel() {
		t.Run(m.Name, rapid.MakeCheck(func(t *rapid.T) {
			z, p, g := make([]float64, len(m.Params)), make([]float64, MaxParams), make([]float64, MaxParams)
			for i := range z {
				z[i] = rapid.Float64Range(-1.5, 1.5).Draw(t, "z")
			}
			u := rapid.Float64Range(0.02, 1.3).Draw(t, "u")
			m.Natural(z, p)
			at := Point{X: u}
			m.Gradient(placed(at), p, g)
			for i := range z {
				h := 1e-5 * math.Max(math.Abs(p[i]), 1e-2)
				up, down := append([]float64(nil), p...), append([]float64(nil), p...)
				up[i] += h
				down[i] -= h
				a, b, mid := m.Value(at, up), m.Value(at, down), m.Value(at, p)
				if math.Abs((a-mid)-(mid-b)) > 1e-3*math.Abs(a-b) && math.Abs(a-b) > 1e-9 {
					continue // across a kink there is no derivative to compare with
				}
				want := (a - b) / (2 * h)
				if math.Abs(g[i]-want) > 1e-4*(1+math.Abs(want)) {
					t.Errorf("d/d%s at u=%g, p=%v: %g, differences give %g", m.Params[i].Name, u, p[:len(z)], g[i], want)
				}
			}
		}))
	}
}

// TestShapes: models that cannot rise never do, those that can do so for some
// parameters, and each starts from the untreated reading.
func TestShapes(t *testing.T) {
	for _, m := range PartialModels() {
		rose := false
		for _, s := range [...]float64{-2, -1, 0, 1, 2} {
			z, p := make([]float64, len(m.Params)), make([]float64, MaxParams)
			for i := range z {
				z[i] = s * float64(1-2*(i%2))
			}
			m.Natural(z, p)
			if v := m.Value(Point{}, p); math.Abs(v) > 1e-12 {
				t.Errorf("%s: ln f(0)/C = %g", m.Name, v)
			}
			for u := 0.05; u < 1.5; u += 0.05 {
				rose = rose || m.Value(Point{X: u}, p) > m.Value(Point{X: u - 0.05}, p)+1e-9
			}
		}
		if rose != m.Rises {
			t.Errorf("%s: rises %v, said %v", m.Name, rose, m.Rises)
		}
	}
}

// TestEveryModelFindsItself: plain least squares on noise-free data of any model
// gives that model's own parameters back to eight digits.
func TestEveryModelFindsItself(t *testing.T) {
	u := []float64{0.05, 0.1, 0.17, 0.24, 0.3, 0.38, 0.45, 0.53, 0.6, 0.68, 0.75, 0.83, 0.9, 1}
	for _, m := range everyModel() {
		additive := true
		for _, x := range append(PartialModels(), OptimumModels()...) {
			additive = additive && x.Formula != m.Formula
		}
		want, p := make([]float64, len(m.Params)), make([]float64, MaxParams)
		for i := range want {
			want[i] = [...]float64{0.4, -0.5, 0.3, -0.4, 0.2}[i]
		}
		m.Natural(want, p)
		o := &Observations{U: u, W: make([]float64, len(u)), Limit: make([]int8, len(u)), Additive: additive}
		for i, x := range u {
			v := m.Value(Point{X: x}, p)
			if additive {
				v = 7 - 2*v
			} else {
				v += math.Log(40)
			}
			o.Y, o.W[i] = append(o.Y, v), 1
		}
		start := append(make([]float64, o.Linear()), make([]float64, len(want))...)
		start[0] = 3
		if additive {
			start[1] = -1
		}
		f := lsq.FromStarts(o.Penalised(&m, 1, 0), [][]float64{start, append(append([]float64(nil), start[:o.Linear()]...), want...)})
		for i := range want {
			if math.Abs(f.Params[o.Linear()+i]-want[i]) > 1e-8 {
				t.Errorf("%s: %s = %.12g, want %.12g (%s)", m.Name, m.Params[i].Name, f.Params[o.Linear()+i], want[i], f.Status)
			}
		}
	}
}
