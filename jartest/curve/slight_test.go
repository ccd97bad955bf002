package curve

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/jartest"
)

// TestTrend holds the slope's t-test to outside figures. Anscombe's first set (Anscombe 1973, The
// American Statistician 27:17, from memory) has t = 4.24 on 9 degrees of freedom, a chance of 0.0022.
// Three jars 0, 1 + e, 2 have the slope 1 and the sum of squares 2 e^2 / 3, so t = sqrt(3)/e on one
// degree of freedom, where the table's value for 1 in 100 is 63.66: e = 0.0272. Four jars 8, 8, 7, 7
// have t = 0.4 sqrt(5 x 2 / 0.2) = 2.83 on two, a chance of one in ten.
func TestTrend(t *testing.T) {
	for _, c := range []struct {
		name string
		u, y []float64
		want bool
	}{
		{"Anscombe", []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}, []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}, true},
		{"three on a line, nearly", []float64{0, 1, 2}, []float64{0, 1.0271, 2}, true},
		{"three not quite", []float64{0, 1, 2}, []float64{0, 1.0274, 2}, false},
		{"four in two steps", []float64{1, 2, 3, 4}, []float64{8, 8, 7, 7}, false},
		{"level", []float64{1, 2, 3, 4}, []float64{8, 8, 8, 8}, false},
		{"two", []float64{1, 2}, []float64{8, 7}, false},
		{"falling", []float64{0, 1, 2}, []float64{2, 1.02, 0}, true},
	} {
		w := make([]float64, len(c.u))
		for i := range w {
			w[i] = 2.5
		}
		if got := trend(c.u, c.y, w); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	// A jar that weighs as much as three stands for three of one reading.
	if !trend([]float64{0, 1, 2}, []float64{0, 1.01, 2}, []float64{1, 0.001, 1}) {
		t.Error("a jar without weight hides the slope")
	}
}

// TestSlightFall: a steady fall of 7 per cent with hardly any scatter is a response, and its curve
// follows the jars; level jars are said to respond in a few of a hundred at most, whatever their scatter.
func TestSlightFall(t *testing.T) {
	ask := targets(t, "toc <= 7 mg/L")
	for name, y := range map[string][]float64{"five": {8.00, 7.86, 7.72, 7.58, 7.44}, "six": {8.00, 7.89, 7.77, 7.66, 7.55, 7.44}, "eight": {8, 7.92, 7.84, 7.76, 7.68, 7.6, 7.52, 7.44}} {
		doses := []float64{10, 20, 30, 40, 50, 60, 70, 80}[:len(y)]
		r := Analyse(jarSeries(name, jartest.TOC, doses, y), ask, Options{})
		last := len(y) - 1
		if fit := float64(r.Jars[0].Fit - r.Jars[last].Fit); r.Outcome != StillImproving || fit < 0.3 || fit > 0.6 {
			t.Errorf("%s: %s, fitted fall %.2f of 0.56", name, r.Outcome, fit)
		}
	}
	r := rand.New(rand.NewPCG(5, 77))
	for _, cv := range []float64{0.002, 0.02, 0.05} {
		claims, tests := 0, 60
		for range tests {
			y := make([]float64, 6)
			for i := range y {
				y[i] = 8 * math.Exp(cv*r.NormFloat64())
			}
			if a := Analyse(jarSeries("level", jartest.TOC, []float64{10, 20, 30, 40, 50, 60}, y), targets(t, "toc <= 4 mg/L"), Options{OnlyTarget: true}); a.Outcome != NoResponse {
				claims++
			}
		}
		if claims > 5 {
			t.Errorf("scatter %g: %d of %d level series are said to respond", cv, claims, tests)
		}
	}
}
