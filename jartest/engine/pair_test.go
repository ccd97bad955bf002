package engine

import (
	"math"
	"testing"

	"jarwright/jartest/engine/lsq"
)

// written are the models of two factors as they are written in logarithms: t[0] is the level, depths, rates and doses
// are logarithms. d and p are the factors.
var written = map[string][]struct {
	name string
	f    func(t []float64, d, p float64) float64
}{
	"pair": {
		{"no effect of the second", func(t []float64, d, p float64) float64 { return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*d) }},
		{"needed dose shifts", func(t []float64, d, p float64) float64 { return t[0] - math.Exp(t[1])*fall(math.Exp(t[2]+t[3]*p)*d) }},
		{"needed dose shifts, less with more", func(t []float64, d, p float64) float64 {
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2]+t[3]*p/(p+math.Exp(t[4])))*d)
		}},
		{"floor shifts", func(t []float64, d, p float64) float64 { return t[0] - (math.Exp(t[1])+t[3]*p)*fall(math.Exp(t[2])*d) }},
		{"needed dose and floor shift", func(t []float64, d, p float64) float64 {
			return t[0] - (math.Exp(t[1])+t[3]*p)*fall(math.Exp(t[2]+t[4]*p)*d)
		}},
		{"charges add", func(t []float64, d, p float64) float64 {
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*(d+math.Exp(t[3])*p))
		}},
		{"charges add, over-dose by their sum", func(t []float64, d, p float64) float64 {
			u := d + math.Exp(t[3])*p
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*u) + math.Exp(t[4])*u
		}},
		{"lag, needed dose shifts", func(t []float64, d, p float64) float64 {
			return t[0] + lagged(logistic(t[1]), d*math.Exp(t[4]*p-t[2]), math.Exp(t[3]))
		}},
		{"lag, charges add", func(t []float64, d, p float64) float64 {
			return t[0] + lagged(logistic(t[1]), (d+math.Exp(t[4])*p)*math.Exp(-t[2]), math.Exp(t[3]))
		}},
		{"charges add, lag and over-dose by their sum", func(t []float64, d, p float64) float64 {
			u := d + math.Exp(t[5])*p
			return t[0] - math.Exp(t[1])*(hill(u, math.Exp(t[2]), math.Exp(t[3]))-hill(u, math.Exp(t[2]+math.Exp(t[4])), math.Exp(t[3])))
		}},
		{"broken stick, needed dose shifts", func(t []float64, d, p float64) float64 { return t[0] + stick(logistic(t[1]), d*math.Exp(t[3]*p-t[2])) }},
		{"broken stick, charges add", func(t []float64, d, p float64) float64 {
			return t[0] + stick(logistic(t[1]), (d+math.Exp(t[3])*p)*math.Exp(-t[2]))
		}},
		{"first-order, needed dose shifts", func(t []float64, d, p float64) float64 { return t[0] + decay(logistic(t[1]), math.Exp(t[2]+t[3]*p)*d) }},
		{"first-order, floor shifts", func(t []float64, d, p float64) float64 { return t[0] + decay(logistic(t[1]-t[3]*p), math.Exp(t[2])*d) }},
		{"acts on its own", func(t []float64, d, p float64) float64 { return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*d) - t[3]*p }},
		{"acts on its own up to a best dose", func(t []float64, d, p float64) float64 {
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*d) - t[3]*p + math.Exp(t[4])*p*p
		}},
		{"second-degree in both", func(t []float64, d, p float64) float64 {
			return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
		}},
		{"a plane", func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p }},
	},
	"ph": {
		{"no effect of pH", func(t []float64, d, p float64) float64 { return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*d) }},
		{"needed dose shifts with pH", func(t []float64, d, p float64) float64 {
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2]+t[3]*(p-0.5))*d)
		}},
		{"needed dose has a best pH", func(t []float64, d, p float64) float64 {
			q := p - t[3]
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2]-math.Exp(t[4])*q*q)*d)
		}},
		{"floor has a best pH", func(t []float64, d, p float64) float64 {
			q := p - t[3]
			return t[0] - math.Exp(t[1])*fall(math.Exp(t[2])*d) + math.Exp(t[4])*q*q
		}},
		{"lag, needed dose shifts with pH", func(t []float64, d, p float64) float64 {
			return t[0] + lagged(logistic(t[1]), d*math.Exp(t[4]*(p-0.5)-t[2]), math.Exp(t[3]))
		}},
		{"best dose shifts with pH", func(t []float64, d, p float64) float64 {
			q := d - t[2] - t[3]*(p-0.5)
			return t[0] + math.Exp(t[1])*q*q
		}},
		{"needed dose and over-dose shift with pH", func(t []float64, d, p float64) float64 {
			u := d * math.Exp(t[5]*(p-0.5))
			return t[0] - math.Exp(t[1])*(hill(u, math.Exp(t[2]), math.Exp(t[3]))-hill(u, math.Exp(t[2]+math.Exp(t[4])), math.Exp(t[3])))
		}},
		{"second-degree in both", func(t []float64, d, p float64) float64 {
			p -= 0.5
			return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
		}},
		{"a plane", func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p }},
	},
	"straight": {
		{"a plane", func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p }},
		{"a plane bent along the first", func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p + t[3]*d*d }},
		{"a twisted plane", func(t []float64, d, p float64) float64 { return t[0] + t[1]*d + t[2]*p + t[3]*d*p }},
		{"second-degree in both", func(t []float64, d, p float64) float64 {
			return t[0] + t[1]*d + t[2]*p + t[3]*d*d + t[4]*p*p + t[5]*d*p
		}},
	},
}

// TestPairModels: every model of two factors, by its parameters as they are searched, against the same written in
// logarithms; "start" is the value at the origin but for the pH families.
func TestPairModels(t *testing.T) {
	for family, models := range map[string][]Model{"pair": PairModels(), "ph": PHModels(), "straight": StraightModels()} {
		if len(models) != len(written[family]) {
			t.Fatalf("%s: %d models, %d written", family, len(models), len(written[family]))
		}
		for i, m := range models {
			w := written[family][i]
			if w.name != m.Name {
				t.Fatalf("%s stands for %s", m.Name, w.name)
			}
			seen := map[string]bool{}
			z, p, logs := make([]float64, len(m.Params)), make([]float64, MaxParams), []float64{0}
			for k, q := range m.Params {
				if seen[q.Name] || q.Name == "" || q.Spread <= 0 {
					t.Errorf("%s: parameter %q", m.Name, q.Name)
				}
				seen[q.Name] = true
				z[k] = [...]float64{0.3, -0.6, 0.8, -0.4, 0.5}[k]
			}
			m.Natural(z, p)
			for k, q := range m.Params {
				v := p[k]
				if q.Positive {
					v = math.Log(v)
				}
				logs = append(logs, v)
			}
			for _, at := range []Point{{0, 0}, {0, 1}, {0.4, 0}, {0.3, 0.7}, {1, 0.5}, {1, 1}} {
				matches(t, m.Name, m.Value(at, p), w.f(logs, at.X, at.Y), 1e-12)
			}
		}
	}
}

// TestDifferences: derivatives by differences are those of the models that have their own.
func TestDifferences(t *testing.T) {
	for _, m := range Models() {
		z, p := make([]float64, len(m.Params)), make([]float64, MaxParams)
		for k := range z {
			z[k] = [...]float64{0.3, -0.6, 0.8, -0.4, 0.5}[k]
		}
		m.Natural(z, p)
		own, by := make([]float64, MaxParams), make([]float64, MaxParams)
		at := []Place{placed(Point{X: 0.43})}
		v, room := []float64{m.Value(at[0].Point, p)}, make([]float64, 1)
		m.gradients(at, p, v, room, own)
		m.Gradient = nil
		m.gradients(at, p, v, room, by)
		for k := range z {
			matches(t, m.Name+" by "+m.Params[k].Name, by[k], own[k], 1e-4*(1+math.Abs(own[k])))
		}
	}
}

// TestPairModelsFindThemselves: plain least squares on jars without scatter gives the parameters back.
func TestPairModelsFindThemselves(t *testing.T) {
	for _, m := range append(PairModels(), PHModels()...) {
		o := &Observations{}
		z, p := make([]float64, len(m.Params)), make([]float64, MaxParams)
		for k := range z {
			z[k] = [...]float64{0.3, -0.3, 0.4, -0.2, 0.2}[k]
		}
		m.Natural(z, p)
		for i := range 49 {
			at := Point{float64(i%7) / 6, float64(i/7) / 6}
			o.U, o.V, o.W, o.Limit = append(o.U, at.X), append(o.V, at.Y), append(o.W, 1), append(o.Limit, 0)
			o.Y = append(o.Y, 3+m.Value(at, p))
		}
		f := lsq.FromStarts(o.Penalised(&m, 1, 0), [][]float64{append([]float64{2.5}, make([]float64, len(z))...), append([]float64{3}, z...)})
		for k := range z {
			matches(t, m.Name+": "+m.Params[k].Name, f.Params[1+k], z[k], 1e-4)
		}
	}
}
