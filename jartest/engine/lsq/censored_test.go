package lsq

import (
	"math"
	"testing"
)

// TestCensoredResidual: squared it is minus twice the log likelihood, and its
// slope is its derivative, from the far left tail to where nothing is left.
// Values of ln Phi at -10 and -40: -53.23128515051247 and -804.608442013754
// (from 50-digit arithmetic).
func TestCensoredResidual(t *testing.T) {
	for _, c := range []struct{ x, logPhi float64 }{{-40, -804.608442013754}, {-10, -53.23128515051247}, {0, math.Log(0.5)}, {1.6448536269514722, math.Log(0.95)}} {
		r := CensoredResidual(c.x)
		if math.Abs(r*r/2+c.logPhi) > 1e-9*math.Abs(c.logPhi) {
			t.Errorf("at %g: %.12g, want %.12g", c.x, -r*r/2, c.logPhi)
		}
	}
	for x := -35.0; x < 7; x += 0.37 {
		h := 1e-5
		want := (CensoredResidual(x+h) - CensoredResidual(x-h)) / (2 * h)
		if got := CensoredSlope(x); math.Abs(got-want) > 1e-5*math.Abs(want)+1e-12 {
			t.Errorf("slope at %g: %g, differences give %g", x, got, want)
		}
	}
}

// TestCensoredMean is the smallest censored fit there is: one mean, known scatter.
// The maximum-likelihood mean solves sum (y - m)/s^2 = k phi/Phi/s, checked here
// by that equation itself.
func TestCensoredMean(t *testing.T) {
	y, limit, s := []float64{1.2, 1.9, 1.4}, 1.0, 0.5
	pr := Problem{N: 5, P: 1,
		Residuals: func(p, r []float64) {
			for i := range y {
				r[i] = (p[0] - y[i]) / s
			}
			r[3] = CensoredResidual((limit - p[0]) / s)
			r[4] = r[3]
		},
		Jacobian: func(p, j []float64) {
			for i := range y {
				j[i] = 1 / s
			}
			j[3] = -CensoredSlope((limit-p[0])/s) / s
			j[4] = j[3]
		}}
	f := Levenberg(pr, []float64{1}, Settings{})
	m := f.Params[0]
	left := 0.0
	for _, v := range y {
		left += (v - m) / s / s
	}
	x := (limit - m) / s
	phi, Phi := math.Exp(-x*x/2)/math.Sqrt(2*math.Pi), 0.5*math.Erfc(-x/math.Sqrt2)
	if right := 2 * phi / Phi / s; math.Abs(left-right) > 1e-7*right {
		t.Errorf("mean %.9g: score %g against %g", m, left, right)
	}
	if m >= 1.5 {
		t.Errorf("two readings below 1.0 did not pull the mean (%g) below that of the rest", m)
	}
}

func TestHonestFailure(t *testing.T) {
	// Two parameters that only act as a sum cannot be told apart.
	pr := Problem{N: 4, P: 2, Residuals: func(p, r []float64) {
		for i := range r {
			r[i] = p[0] + p[1] - float64(i)
		}
	}, Jacobian: func(_, j []float64) {
		for i := range j {
			j[i] = 1
		}
	}}
	f := Levenberg(pr, []float64{0, 0}, Settings{})
	if se, err := f.StandardErrors(); err == nil && !(se[0] > 1e6) {
		t.Errorf("standard errors %v of parameters that cannot be told apart", se)
	}
	pr.Residuals = func(_, r []float64) { r[0] = math.NaN() }
	if f := Levenberg(pr, []float64{0, 0}, Settings{}); f.Status != Failed {
		t.Errorf("status %q where nothing can be computed", f.Status)
	}
	one := Problem{N: 1, P: 1, Residuals: func(p, r []float64) { r[0] = p[0] - 3 }}
	f = Levenberg(one, []float64{0}, Settings{})
	if math.Abs(f.Params[0]-3) > 1e-9 {
		t.Errorf("%v without a Jacobian, want 3", f.Params)
	}
	if _, err := f.Covariance(); err == nil {
		t.Error("a covariance without degrees of freedom")
	}
}
