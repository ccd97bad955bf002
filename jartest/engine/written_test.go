package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// alone are the models of one factor written out from their formulas, ln f(u)/f(0) or the
// shape, with the priors of their parameters: centre ± spread, of the logarithm where the
// parameter is positive (marked +), and what power of the dose they carry.
var alone = []struct {
	name, priors string
	value        func(u float64, p []float64) float64
}{
	{"exponential fall", "A+ 2.7 ± 0.6 ^0, k+ 5 ± 0.8 ^-1", func(u float64, p []float64) float64 {
		floor := math.Exp(-p[0])
		return math.Log(floor + (1-floor)*math.Exp(-p[1]*u))
	}},
	{"log-logistic fall", "A+ 2.7 ± 0.6 ^0, e+ 0.35 ± 0.6 ^1, h+ 3 ± 0.6 ^0", func(u float64, p []float64) float64 {
		floor := math.Exp(-p[0])
		return math.Log(floor + (1-floor)/(1+math.Pow(u/p[1], p[2])))
	}},
	{"Weibull fall", "A+ 2.7 ± 0.6 ^0, e+ 0.35 ± 0.6 ^1, m+ 2 ± 0.5 ^0", func(u float64, p []float64) float64 {
		floor := math.Exp(-p[0])
		return math.Log(floor + (1-floor)*math.Exp(-math.Pow(u/p[1], p[2])))
	}},
	{"broken stick", "A+ 2.7 ± 0.6 ^0, b+ 0.6 ± 0.45 ^1", func(u float64, p []float64) float64 {
		floor := math.Exp(-p[0])
		if u > p[1] {
			return -p[0]
		}
		return math.Log(1 - (1-floor)*u/p[1])
	}},
	{"threshold and straight fall", "A+ 2.7 ± 0.6 ^0, t+ 0.12 ± 1 ^1, w+ 0.45 ± 0.6 ^1", func(u float64, p []float64) float64 {
		floor := math.Exp(-p[0])
		switch {
		case u < p[1]:
			return 0
		case u > p[1]+p[2]:
			return -p[0]
		}
		return math.Log(1 - (1-floor)*(u-p[1])/p[2])
	}},
	{"threshold and ramp", "A+ 2.7 ± 0.6 ^0, t+ 0.12 ± 1 ^1, w+ 0.45 ± 0.6 ^1", func(u float64, p []float64) float64 {
		switch {
		case u < p[1]:
			return 0
		case u > p[1]+p[2]:
			return -p[0]
		}
		return -p[0] * (u - p[1]) / p[2]
	}},
	{"log parabola", "b+ 5 ± 0.6 ^-1, c+ 3 ± 0.8 ^-2", func(u float64, p []float64) float64 { return -p[0]*u + p[1]*u*u }},
	{"saturating fall, steady rise", "A+ 2.7 ± 0.6 ^0, k+ 3.5 ± 0.7 ^-1, s+ 0.35 ± 1 ^-1", func(u float64, p []float64) float64 {
		return -p[0] + p[0]*math.Exp(-p[1]*u) + p[2]*u
	}},
	{"fall and rise", "A+ 2.7 ± 0.6 ^0, e+ 0.35 ± 0.6 ^1, h+ 3.5 ± 0.5 ^0, r+ 3 ± 0.8 ^0, q+ 4 ± 0.5 ^0", func(u float64, p []float64) float64 {
		return -p[0] * (1/(1+math.Pow(p[1]/u, p[2])) - 1/(1+math.Pow(p[1]*(1+p[3])/u, p[4])))
	}},
	{"partial fall", "A+ 0.3 ± 0.9 ^0, k+ 1.5 ± 0.8 ^-1", func(u float64, p []float64) float64 { return -p[0] + p[0]*math.Exp(-p[1]*u) }},
	{"bent line", "q 0 ± 0.8 ^-1", func(u float64, p []float64) float64 { return u + p[0]*u*u }},
	{"exponential approach", "k+ 3 ± 0.8 ^-1", func(u float64, p []float64) float64 { return 1 - math.Exp(-p[0]*u) }},
	{"log-logistic", "e+ 0.4 ± 0.6 ^1, h+ 3 ± 0.6 ^0", func(u float64, p []float64) float64 { return 1 / (1 + math.Pow(p[0]/u, p[1])) }},
	{"broken stick", "b+ 0.6 ± 0.45 ^1", func(u float64, p []float64) float64 { return math.Min(u/p[0], 1) }},
	{"log parabola about the optimum", "o 0.5 ± 0.4 ^1, c+ 3 ± 0.9 ^-2", func(u float64, p []float64) float64 { return p[1] * math.Pow(u-p[0], 2) }},
	{"valley with two slopes", "o 0.5 ± 0.4 ^1, p+ 4 ± 0.7 ^-1, q+ 4 ± 0.7 ^-1", func(u float64, p []float64) float64 {
		return math.Log((p[2]*math.Exp(p[1]*(p[0]-u)) + p[1]*math.Exp(p[2]*(u-p[0]))) / (p[1] + p[2]))
	}},
}

// TestModelsAsWritten: value and priors of every model of one factor. The priors are part of
// the answer.
func TestModelsAsWritten(t *testing.T) {
	models := everyModel()
	if len(models) != len(alone) {
		t.Fatalf("%d models, %d written", len(models), len(alone))
	}
	for i, m := range models {
		w := alone[i]
		var priors []string
		for _, q := range m.Params {
			plus := ""
			if q.Positive {
				plus = "+"
			}
			if q.Meaning == "" {
				t.Errorf("%s: %s has no meaning", m.Name, q.Name)
			}
			priors = append(priors, fmt.Sprintf("%s%s %g ± %g ^%d", q.Name, plus, q.Centre, q.Spread, q.Dose))
		}
		if got := strings.Join(priors, ", "); m.Name != w.name || got != w.priors || m.Formula == "" {
			t.Errorf("%s: %s, written %s: %s", m.Name, got, w.name, w.priors)
		}
		for _, s := range [...]float64{-1.3, -0.4, 0, 0.7, 1.6} {
			z, p := make([]float64, len(m.Params)), make([]float64, MaxParams)
			for k := range z {
				z[k] = s * []float64{1, -0.7, 0.5, 1.2, -0.9}[k]
			}
			m.Natural(z, p)
			for _, u := range [...]float64{1e-9, 0.05, 0.31, 0.6, 1, 1.4} {
				want := w.value(u, p)
				matches(t, fmt.Sprintf("%s at %g of %v", m.Name, u, p[:len(z)]), m.Value(Point{X: u}, p), want, 1e-9*(1+math.Abs(want)))
			}
			for k, q := range m.Params { // search coordinates are spreads from the centre
				want := q.Centre + q.Spread*z[k]
				if q.Positive {
					want = math.Exp(math.Log(q.Centre) + q.Spread*z[k])
				}
				matches(t, m.Name+": "+q.Name, p[k], want, 1e-12*(1+math.Abs(want)))
				g := []float64{1, 1, 1, 1, 1}
				m.Slopes(p, g)
				slope := q.Spread
				if q.Positive {
					slope *= want
				}
				matches(t, m.Name+": slope by "+q.Name, g[k], slope, 1e-12*(1+slope))
			}
		}
	}
}

// TestAtZeroAndFar: at zero dose gradients are finite, and far out a steep curve is at its end.
func TestAtZeroAndFar(t *testing.T) {
	for _, m := range everyModel() {
		z, p, g := make([]float64, len(m.Params)), make([]float64, MaxParams), make([]float64, MaxParams)
		for k, q := range m.Params {
			if q.Name == "h" || q.Name == "m" {
				z[k] = 9 // hundreds
			}
		}
		m.Natural(z, p)
		for _, u := range [...]float64{0, 5, 1e6} {
			if u > 5 && m.Rises {
				continue // an exponential of a million
			}
			v := m.Value(Point{X: u}, p)
			m.Gradient(placed(Point{X: u}), p, g)
			for k := range m.Params {
				if math.IsNaN(g[k]) {
					t.Errorf("%s: derivative by %s at %g is %g", m.Name, m.Params[k].Name, u, g[k])
				}
			}
			if math.IsNaN(v) {
				t.Errorf("%s at %g is %g", m.Name, u, v)
			}
			if u == 5 && (m.Name == "log-logistic fall" || m.Name == "Weibull fall") {
				matches(t, m.Name+" far out", v, -p[0], 1e-9)
			}
			if u == 1e6 && m.Name == "log-logistic" {
				matches(t, "the sigmoid's end", v, 1, 1e-12)
			}
		}
	}
}
