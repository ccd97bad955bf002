package surface

import (
	"math"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestParametersAreNamed: every parameter of every model has a name of its own.
func TestParametersAreNamed(t *testing.T) {
	for _, family := range [][]model{chemicalModels(), phModels(), straightModels()} {
		for _, m := range family {
			seen := map[string]bool{"start": true}
			if len(m.params) != len(m.typical) || len(m.typical) != len(m.spread) {
				t.Errorf("%s: %d names for %d parameters", m.name, len(m.params), len(m.typical))
			}
			for _, p := range m.params {
				if p == "" || seen[p] {
					t.Errorf("%s: the name %q is empty or there twice", m.name, p)
				}
				seen[p] = true
			}
		}
	}
}

// TestParametersGiveTheFit: the parameters that are told, put into their model at
// scaled factors, give the logarithm of each jar's reading back, on jars without scatter.
func TestParametersGiveTheFit(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct}, {Name: "polymer", Basis: quantity.AsProduct}}}
	truth := func(d, p float64) float64 { return math.Exp(4 - 2.5*fall(3*math.Exp(0.4*p)*d)) }
	for _, d := range []float64{10, 20, 30, 40} {
		for _, p := range []float64{0, 0.4, 0.8} {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}, {Concentration: quantity.Concentration(p), Known: true}},
				Readings: map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(truth(d/40, p/0.8), "NTU")}})
		}
	}
	target, err := jartest.ParseTarget("turbidity <= 12 NTU")
	if err != nil {
		t.Fatal(err)
	}
	r := Analyse(s, []jartest.Target{target}, Options{})
	k := r.Scaling()
	if k != (Scaling{First: 40, Second: 0.8}) {
		t.Errorf("scaling %+v", k)
	}
	for _, w := range r.Models {
		if w.Name != "needed dose shifts" {
			continue
		}
		var theta []float64
		for _, p := range w.Params {
			theta = append(theta, p.Value)
		}
		for _, m := range chemicalModels() {
			if m.name != w.Name {
				continue
			}
			for _, j := range r.Jars {
				got := m.eval(theta, float64(j.Pair.First)/k.First, (float64(j.Pair.Second)-k.Origin)/k.Second)
				if math.Abs(got-math.Log(j.Reading)) > 0.03 {
					t.Errorf("at %v the parameters give %.3f, the jar read %.3f", j.Pair, got, math.Log(j.Reading))
				}
			}
			return
		}
	}
	t.Error("the model that made the jars is not among those fitted")
}
