package surface

import (
	"math"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestParametersGiveTheFit: the parameters that are told, put into their model at
// scaled factors, give the logarithm of each jar's reading back, on jars without scatter.
func TestParametersGiveTheFit(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct}, {Name: "polymer", Basis: quantity.AsProduct}}}
	truth := func(d, p float64) float64 { return math.Exp(4 + 2.5*math.Expm1(-3*math.Exp(0.4*p)*d)) }
	for _, d := range []float64{10, 20, 30, 40} {
		for _, p := range []float64{0, 0.4, 0.8} {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}, {Concentration: quantity.Concentration(p), Known: true}},
				Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(truth(d/40, p/0.8), "NTU")}}})
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
		v := map[string]float64{}
		for _, p := range w.Params {
			v[p.Name] = p.Value
		}
		for _, j := range r.Jars {
			d, p := float64(j.Pair.First)/k.First, (float64(j.Pair.Second)-k.Origin)/k.Second
			got := v["start"] + math.Exp(v["log_depth"])*math.Expm1(-math.Exp(v["log_rate"]+v["rate_shift"]*p)*d)
			if math.Abs(got-math.Log(j.Reading)) > 0.03 {
				t.Errorf("at %v the parameters give %.3f, the jar read %.3f", j.Pair, got, math.Log(j.Reading))
			}
		}
		return
	}
	t.Error("the model that made the jars is not among those fitted")
}
