package lsq

import (
	"math"
	"testing"
)

// straightIn fits y = a + b g(x) and gives a, b and R².
func straightIn(x, y []float64, g func(float64) float64) (a, b, r2 float64) {
	f := FromStarts(Problem{N: len(x), P: 2, Residuals: func(p, r []float64) {
		for i := range x {
			r[i] = p[0] + p[1]*g(x[i]) - y[i]
		}
	}}, [][]float64{{1, 1}})
	mean, total := 0.0, 0.0
	for _, v := range y {
		mean += v / float64(len(y))
	}
	for _, v := range y {
		total += (v - mean) * (v - mean)
	}
	return f.Params[0], f.Params[1], 1 - f.RSS/total
}

// TestDoseAgainstRawWater: published optimum doses rise slower than the raw turbidity. Alum in two classes of
// temperature, a one-page note of a university laboratory course: dose = a + b √NTU with a 12, b 4.6 above 10 °C
// and a 7.2, b 3.8 below; least squares give 12.17 + 4.611 √NTU (R² 0.9973) and 7.20 + 3.788 √NTU (R² 0.9981).
// Optimum doses of two studies (Ebrahimi et al. 2014, Archives of Hygiene Sciences 3(1):12, abstract; a second
// study's abstract) level off: a line through zero fails, a power of the turbidity has an exponent far below one.
func TestDoseAgainstRawWater(t *testing.T) {
	ntu := []float64{1, 10, 50, 100, 200}
	for _, c := range []struct {
		name     string
		dose     []float64
		a, b, r2 float64
		said     [2]float64 // the note's own
	}{
		{"above 10 °C", []float64{17, 27, 43, 60, 77}, 12.17, 4.611, 0.9973, [2]float64{12, 4.6}},
		{"below 10 °C", []float64{10, 20, 34, 46, 60}, 7.20, 3.788, 0.9981, [2]float64{7.2, 3.8}},
	} {
		a, b, r2 := straightIn(ntu, c.dose, math.Sqrt)
		if math.Abs(a-c.a) > 0.005 || math.Abs(b-c.b) > 0.0005 || math.Abs(r2-c.r2) > 0.00005 || math.Abs(a-c.said[0]) > 0.2 || math.Abs(b-c.said[1]) > 0.05 {
			t.Errorf("%s: %.4f + %.4f √NTU, R² %.5f; want %g, %g, %g", c.name, a, b, r2, c.a, c.b, c.r2)
		}
		if _, _, straight := straightIn(ntu, c.dose, func(x float64) float64 { return x }); straight > r2-0.01 {
			t.Errorf("%s: a straight line does as well, R² %.4f", c.name, straight)
		}
	}
	for _, c := range []struct {
		name      string
		ntu, dose []float64
	}{{"Ebrahimi", []float64{10, 20, 40, 60}, []float64{7, 10, 11, 11}}, {"ferric chloride", []float64{40, 70, 85, 400}, []float64{10, 17, 20, 23}}} {
		zero := FromStarts(Problem{N: 4, P: 1, Residuals: func(p, r []float64) {
			for i := range r {
				r[i] = p[0]*c.ntu[i] - c.dose[i]
			}
		}}, [][]float64{{0.1}})
		power := FromStarts(Problem{N: 4, P: 2, Residuals: func(p, r []float64) {
			for i := range r {
				r[i] = p[0]*math.Pow(c.ntu[i], p[1]) - c.dose[i]
			}
		}}, [][]float64{{5, 0.5}})
		if e := power.Params[1]; e < 0.1 || e > 0.6 || zero.RSS < 5*power.RSS {
			t.Errorf("%s: exponent %.2f, sums of squares %.3g and through zero %.3g", c.name, e, power.RSS, zero.RSS)
		}
		sxy, sxx := 0.0, 0.0
		for i := range c.ntu {
			sxy, sxx = sxy+c.ntu[i]*c.dose[i], sxx+c.ntu[i]*c.ntu[i]
		}
		if math.Abs(zero.Params[0]-sxy/sxx) > 1e-9 {
			t.Errorf("%s: slope through zero %g, by hand %g", c.name, zero.Params[0], sxy/sxx)
		}
	}
}
