package clearing

import (
	"math"
	"testing"

	"jarwright/jartest/engine/lsq"
	"jarwright/jartest/quantity"
)

// checkA are seven readings of 60 m3 cleared at 12 m3/h, made up. The figures were worked out apart from this program, in
// another language, from the formulas of the fit: least squares over (ln C0, ln Cb, ln k) of ln C, Student's t of n − 3.
var checkA = runOf([]float64{0, 5, 10, 15, 20, 30, 40}, []float64{80, 46, 27, 16.5, 11, 6.1, 4.6}, 0.1)

func TestSetA(t *testing.T) {
	f := tankPoints(checkA.Readings).fit()
	near(t, "C0", f.at(0), 80.05, 0.005)
	near(t, "Cb", math.Exp(f.shape[floor]), 3.972, 0.0005)
	near(t, "k", math.Exp(f.shape[rate]), 0.11949, 0.000005)
	near(t, "s", math.Sqrt(f.variance()), 0.00568, 0.000005)
	t95 := math.Sqrt(allowed(0.95, 1, f.df()))
	near(t, "t", t95, 2.776, 0.0005)
	e := math.Exp(f.shape[rate]) * 5
	near(t, "e", e, 0.5975, 0.00005)
	near(t, "e, low", e*math.Exp(-t95*f.se(rate)), 0.5900, 0.0001)
	near(t, "e, high", e*math.Exp(t95*f.se(rate)), 0.6050, 0.0001)
	near(t, "Cb, low", math.Exp(f.shape[floor]-t95*f.se(floor)), 3.887, 0.001)
	near(t, "Cb, high", math.Exp(f.shape[floor]+t95*f.se(floor)), 4.058, 0.001)
	// the profile, which the program prints, is nearly as straight here
	low, high := f.rateEnds(allowed(0.95, f.variance(), f.df()))
	near(t, "profile, low", 5*math.Exp(low), 0.5900, 0.0002)
	near(t, "profile, high", 5*math.Exp(high), 0.6050, 0.0002)
}

// TestExactCurve: E 60 %, C0 80, Cb 4 and, with 0.5 NTU/h coming in, a plateau at 4 + 0.5/0.12 = 8.1667 (closed form).
func TestExactCurve(t *testing.T) {
	x := truth{start: 80, f: 4, e: 0.6, flow: 12}
	for _, p := range [][2]float64{{2.5, 60.3022}, {5, 45.7097}, {10, 26.8908}, {20, 10.8946}, {40, 4.6255}} {
		near(t, "reading", x.at(p[0]), p[1], 0.00005)
	}
	r := one(x.read(nil, []float64{0, 2.5, 5, 10, 20, 40}, 0), 10)
	near(t, "E", float64(r.Capture.V), 0.6, 1e-8)
	near(t, "Cb", r.Floor.V, 4, 1e-6)
	near(t, "C0", r.Start, 80, 1e-6)
	near(t, "time constant", float64(r.Constant.V), 25.0/3, 1e-6)
	near(t, "cleared", float64(r.Cleared.V), 7.2, 1e-6)                                       // 0.6 × 12
	near(t, "to 10 NTU", float64(r.ToGoal.V), math.Log(76.0/6)/0.12, 1e-6)                    // ln((C0 − F)/(goal − F))/k
	near(t, "turns to 10 NTU", float64(r.ToGoal.V)*12/60, math.Log((80-4.)/(10-4))/0.6, 1e-6) // n = ln(…)/e
	if r.Outcome != Found || r.Beyond || r.Never {
		t.Errorf("%+v", r)
	}
	x.s = 0.5
	near(t, "with a source, 10 h", x.at(10), 29.8025, 0.00005)
	with := one(x.read(nil, []float64{0, 2.5, 5, 10, 20, 30, 50}, 0), 5)
	near(t, "plateau", with.Floor.V, 8.16667, 0.00001)
	if !with.Never || with.ToGoal.V != 0 {
		t.Errorf("5 NTU lie below the plateau: %+v", with.ToGoal)
	}
}

// TestStandardErrors holds the errors that a plan expects against those that were worked out apart from this program, of 7 %
// readings, E 60 % and a floor of 5 %: of ln Cb, of ln k, and of ln k where Cb is known.
func TestStandardErrors(t *testing.T) {
	for _, x := range []struct {
		turns              []float64
		floor, rate, known float64
	}{
		{[]float64{0, 1, 2, 3}, 1.62, 0.237, 0.061},
		{[]float64{0, 1, 2, 3, 4}, 0.67, 0.138, 0.047},
		{even(7, 3), 1.43, 0.204, 0.051},
		{even(7, 6), 0.185, 0.072, 0.036},
		{[]float64{0, 1, 2, 3, 4, 6, 8}, 0.094, 0.055, 0.039},
		{[]float64{0, 0, 1.5, 1.5, 3, 3, 8, 8, 8}, 0.062, 0.051, 0.039},
		{even(9, 8), 0.083, 0.052, 0.033},
		{[]float64{0, 0.5, 1, 1.5, 2, 3, 4, 5, 6, 7, 8, 10}, 0.058, 0.042, 0.031},
	} {
		var at []quantity.Time
		for _, n := range x.turns {
			at = append(at, quantity.Time(n*5))
		}
		cov := precision(at, 0.12, 0.05, 0.07)
		// to the digits that are printed there
		near(t, "ln Cb", math.Sqrt(cov.At(1, 1)), x.floor, either(x.floor > 0.5, 0.005, 0.0005))
		near(t, "ln k", math.Sqrt(cov.At(2, 2)), x.rate, 0.0005)
		near(t, "ln k, Cb known", math.Sqrt(cov.At(2, 2)-cov.At(1, 2)*cov.At(1, 2)/cov.At(1, 1)), x.known, 0.0005)
	}
}

func either(is bool, a, b float64) float64 {
	if is {
		return a
	}
	return b
}

// TestCertified takes the course as what is left of a rise to its end, and holds the search for it against the certified values
// of NIST's Statistical Reference Datasets (public domain), y = b1·(1 − exp(−b2·x)): Misra1a of lower and BoxBOD of higher
// difficulty, from the starts that are given there. The search itself is held against all 27 sets in its own package.
func TestCertified(t *testing.T) {
	for _, set := range []struct {
		name         string
		y, x         []float64
		starts       [2][2]float64
		b1, b2       float64
		se1, se2     float64
		rss, scatter float64
	}{
		{"Misra1a", []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
			[]float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
			[2][2]float64{{500, 0.0001}, {250, 0.0005}}, 2.3894212918e2, 5.5015643181e-4, 2.7070075241, 7.2668688436e-6, 1.2455138894e-1, 1.0187876330e-1},
		{"BoxBOD", []float64{109, 149, 149, 191, 213, 224}, []float64{1, 2, 3, 5, 7, 10},
			[2][2]float64{{1, 1}, {100, 0.75}}, 2.1380940889e2, 5.4723748542e-1, 1.2354515176e1, 1.0455993237e-1, 1.1680088766e3, 1.7088072423e1},
	} {
		pr := lsq.Problem{N: len(set.x), P: 2, Residuals: func(q, r []float64) {
			for i := range set.x {
				r[i] = q[0] - shape{math.Log(q[0]), math.Inf(-1), q[1]}.at(set.x[i]) - set.y[i]
			}
		}}
		var starts [][]float64
		for _, s := range set.starts {
			starts = append(starts, []float64{s[0], math.Log(s[1])})
		}
		got := lsq.FromStarts(pr, starts)
		se, err := got.StandardErrors()
		if err != nil {
			t.Fatal(set.name, err)
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{{"b1", got.Params[0], set.b1}, {"b2", math.Exp(got.Params[1]), set.b2}, {"residual sum of squares", got.RSS, set.rss},
			{"residual sd", math.Sqrt(got.RSS / float64(got.DF())), set.scatter}, {"sd of b1", se[0], set.se1}, {"sd of b2", se[1] * math.Exp(got.Params[1]), set.se2}} {
			near(t, set.name+", "+x.what, x.got, x.want, 1e-6*x.want)
		}
	}
}
