package lsq

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// line is y = a + b x at x = 0, 1, 2, 3 with y = 1, 4, 4, 9.
// x̄ = 1.5, ȳ = 4.5, Sxx = 5, Sxy = 1.5 × 3.5 + 0.5 × 0.5 + 0.5 × −0.5 + 1.5 × 4.5 = 12: slope 2.4, intercept 0.9.
// Fitted 0.9, 3.3, 5.7, 8.1: residuals −0.1, −0.7, 1.7, −0.9 as fitted less y, sum of squares 4.2, two degrees of freedom.
// (J'J)⁻¹ = 1/(4 × 5) × [[14, −6], [−6, 4]], with Σx² = 14 and Σx = 6.
func line() Problem {
	y := []float64{1, 4, 4, 9}
	return Problem{N: 4, P: 2,
		Residuals: func(p, r []float64) {
			for i := range r {
				r[i] = p[0] + p[1]*float64(i) - y[i]
			}
		},
		Jacobian: func(_, j []float64) {
			for i := range y {
				j[2*i], j[2*i+1] = 1, float64(i)
			}
		}}
}

func TestLine(t *testing.T) {
	for what, f := range map[string]Fit{
		"Levenberg": Levenberg(line(), []float64{50, -7}, Settings{}), "FromStarts": FromStarts(line(), [][]float64{{50, -7}, {0, 0}}),
		"by differences": Levenberg(Problem{N: 4, P: 2, Residuals: line().Residuals}, []float64{50, -7}, Settings{}),
	} {
		near(t, what+": intercept", f.Params[0], 0.9, 1e-9)
		near(t, what+": slope", f.Params[1], 2.4, 1e-9)
		near(t, what+": RSS", f.RSS, 4.2, 1e-9)
		near(t, what+": degrees of freedom", float64(f.DF()), 2, 0)
		if f.Status != Converged || f.Offset > 1e-9 {
			t.Errorf("%s: %s, offset %g", what, f.Status, f.Offset)
		}
		inv, err := f.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		cov, err := f.Covariance()
		if err != nil {
			t.Fatal(err)
		}
		se, err := f.StandardErrors()
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{0.7, -0.3, -0.3, 0.2} {
			near(t, what+": inverse", inv[i], want, 1e-8)
			near(t, what+": covariance", cov[i], want*2.1, 1e-8) // s² = 4.2/2
		}
		near(t, what+": error of the intercept", se[0], math.Sqrt(1.47), 1e-8)
		near(t, what+": error of the slope", se[1], math.Sqrt(0.42), 1e-8)
	}
}

// TestInverse: (R'R)⁻¹ of small triangles, by hand.
func TestInverse(t *testing.T) {
	for _, c := range []struct {
		p       int
		r, want []float64
	}{
		{1, []float64{-0.5}, []float64{4}},
		{2, []float64{2, 1, 0, 4}, []float64{0.265625, -0.03125, -0.03125, 0.0625}}, // R⁻¹ = [[0.5, −0.125], [0, 0.25]]
		// R⁻¹ of [[1, 2, 3], [0, 1, 4], [0, 0, 2]] is [[1, −2, 2.5], [0, 1, −2], [0, 0, 0.5]]
		{3, []float64{1, 2, 3, 0, 1, 4, 0, 0, 2}, []float64{11.25, -7, 1.25, -7, 5, -1, 1.25, -1, 0.25}},
	} {
		got, err := Fit{r: c.r, p: c.p, n: 9}.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.want {
			near(t, "inverse", got[i], c.want[i], 1e-12)
		}
	}
	for _, r := range [][]float64{nil, {0, 1, 0, 1}, {1, 1, 0, 0}, {1e-200, 0, 0, 1e-200}} {
		if got, err := (Fit{r: r, p: 2, n: 9}).Inverse(); err != ErrSingular {
			t.Errorf("%v: %v %v", r, got, err)
		}
	}
	if _, err := (Fit{r: []float64{1}, p: 1, n: 1}).Covariance(); err == nil {
		t.Error("no degree of freedom")
	}
	if _, err := (Fit{r: []float64{1}, p: 1, n: 2, RSS: 1}).Covariance(); err != nil {
		t.Error(err)
	}
}

// TestHouseholder: R'R is A'A, R' times the turned b is A'b, and lengths stay.
func TestHouseholder(t *testing.T) {
	for _, a := range [][]float64{
		{1, 2, 3, 4, 5, 6, 7, 8, 10, -1, 3, 0.5}, {0, 2, 3, 0, 5, 6, 0, 8, 10, 0, 3, 0.5}, {-4, 2, 3, 1e-9, 5, 6, 7, -8, 10, -1, 3, 1e5},
		{3, 0, 0, 0, 0, 0, 4, 0, 0, 0, 1, 2},
	} {
		b := []float64{1, -2, 3, 0.25}
		q, c := append([]float64(nil), a...), append([]float64(nil), b...)
		if !householder(q, c, 4, 3, 4) {
			t.Fatal("not finite")
		}
		near(t, "length of b", sumSquares(c), sumSquares(b), 1e-12)
		for i := range 3 {
			want, got := 0.0, 0.0
			for k := range 4 {
				want += a[k*3+i] * b[k]
			}
			for k := 0; k <= i; k++ {
				got += q[k*3+i] * c[k]
			}
			near(t, "A'b", got, want, 1e-10*(1+math.Abs(want)))
			for j := range 3 {
				want, got = 0, 0
				for k := range 4 {
					want += a[k*3+i] * a[k*3+j]
				}
				for k := 0; k <= min(i, j); k++ {
					got += q[k*3+i] * q[k*3+j]
				}
				near(t, "A'A", got, want, 1e-10*(1+math.Abs(want)))
			}
		}
	}
	if householder([]float64{1, math.Inf(1)}, []float64{1, 1}, 2, 1, 2) || householder([]float64{math.NaN(), 1}, []float64{1, 1}, 2, 1, 2) {
		t.Error("infinite columns pass")
	}
	x := make([]float64, 2)
	if !backSolve([]float64{2, 1, 0, 4}, []float64{7, 12}, x, 2) || x[0] != 2 || x[1] != 3 { // 4 × 3 = 12, 2 × 2 + 3 = 7
		t.Errorf("%v", x)
	}
	if backSolve([]float64{2, 1, 0, 0}, []float64{7, 12}, x, 2) || backSolve([]float64{1e-200, 0, 0, 1}, []float64{1e200, 1}, x, 2) {
		t.Error("a singular triangle passes")
	}
}

// TestOffset: three values 1, 2, 6 about a mean of 0: the mean takes 3 × 3² = 27 of 41, 14 is left over two degrees.
func TestOffset(t *testing.T) {
	w := newWork(3, 1)
	copy(w.j, []float64{1, 1, 1})
	copy(w.r, []float64{1, 2, 6})
	r, offset := w.factor()
	near(t, "R", math.Abs(r[0]), math.Sqrt(3), 1e-12)
	near(t, "offset", offset, math.Sqrt(27.0/7), 1e-12)
	// With two parameters, each counts half: a line through (−1, 0, 1) takes also (6 − 1)²/2 = 12.5.
	w = newWork(3, 2)
	copy(w.j, []float64{1, -1, 1, 0, 1, 1})
	copy(w.r, []float64{1, 2, 6})
	_, offset = w.factor()
	near(t, "offset of a line", offset, math.Sqrt((27+12.5)/2/1.5), 1e-12)
	// An exact fit: what is left is nothing, and the length itself counts.
	w = newWork(2, 2)
	copy(w.j, []float64{2, 0, 0, 1})
	copy(w.r, []float64{3, 4})
	_, offset = w.factor()
	near(t, "no rest", offset, math.Sqrt(25.0/2), 1e-12)
	copy(w.j, []float64{math.NaN(), 0, 0, 1})
	if r, offset = w.factor(); r != nil || !math.IsInf(offset, 1) {
		t.Errorf("%v %g", r, offset)
	}
}

// TestScale: the length of a column, never under a tenth of what it was.
func TestScale(t *testing.T) {
	w := newWork(2, 3)
	copy(w.j, []float64{3, 0, 1, 4, 0, math.Inf(1)})
	w.scale()
	for k, want := range []float64{5, 1e-12, 1e-12} {
		near(t, "scale", w.d[k], want, 1e-15)
	}
	copy(w.j, []float64{0.03, 0, 6, 0.04, 0, 8})
	w.scale()
	for k, want := range []float64{0.5, 1e-13, 10} {
		near(t, "scale again", w.d[k], want, 1e-15)
	}
	// What the linear model promises: r = (1, 2) less J s = (−1, −1) leaves (0, 1): 5 − 1.
	w = newWork(2, 1)
	copy(w.j, []float64{2, 2})
	copy(w.r, []float64{1, 2})
	w.step[0] = -0.5
	near(t, "promise", w.predicted(0, 5), 4, 1e-12)
}

// TestDifferences: central differences are exact for squares, and a cube shows their step: p³ at p gives 3p² + h²,
// h = 6e-6 p, too small to see; at zero h = 6e-10.
func TestDifferences(t *testing.T) {
	calls := 0
	pr := Problem{N: 2, P: 2, Residuals: func(p, r []float64) {
		calls++
		r[0], r[1] = p[0]*p[0]+3*p[1], p[0]*p[1]
	}}
	w := newWork(2, 2)
	pr.jacobian([]float64{5, 0}, w)
	for i, want := range []float64{10, 3, 0, 5} {
		near(t, "derivative", w.j[i], want, 1e-6)
	}
	if calls != 4 {
		t.Errorf("%d evaluations", calls)
	}
	var at []float64
	pr = Problem{N: 1, P: 1, Residuals: func(p, r []float64) { at, r[0] = append(at, p[0]), p[0] }}
	pr.jacobian([]float64{50}, newWork(1, 1))
	pr.jacobian([]float64{-2e-5}, newWork(1, 1))
	for i, want := range []float64{50 + 3e-4, 50 - 3e-4, -2e-5 + 6e-10, -2e-5 - 6e-10} {
		near(t, "step", at[i], want, 1e-14*math.Abs(want))
	}
}

// scalar is the search in one parameter written out a second time, from its description: Marquardt's scaling, Nielsen's
// damping (λ falls to a third at best, and rises by 2, 4, 8 … while steps fail). It gives p after so many steps.
func scalar(f, slope func(float64) float64, p, lambda float64, steps int) float64 {
	nu, scale := 2.0, math.Abs(slope(p))
	for range steps {
		r, j := f(p), slope(p)
		s := -j * r / (j*j + lambda*scale*scale)
		if f(p+s)*f(p+s) > r*r {
			lambda, nu = lambda*nu, nu*2
			continue
		}
		gain := (r*r - f(p+s)*f(p+s)) / (r*r - math.Pow(r+j*s, 2))
		p += s
		scale = math.Max(math.Abs(slope(p)), 0.1*scale)
		lambda, nu = lambda*math.Max(1.0/3, 1-math.Pow(2*gain-1, 3)), 2
	}
	return p
}

// TestSteps: the path of the search in one parameter, step by step.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		what     string
		f, slope func(float64) float64
		start    float64
	}{
		{"straight", func(p float64) float64 { return 2*p - 6 }, func(float64) float64 { return 2 }, 40},
		{"overshoots", math.Atan, func(p float64) float64 { return 1 / (1 + p*p) }, 9},
		{"steep", func(p float64) float64 { return math.Exp(p) - 2 }, math.Exp, 7},
		{"goes to and fro", func(p float64) float64 { return p*p*p - 2*p + 2 }, func(p float64) float64 { return 3*p*p - 2 }, 0.5},
		{"flat", func(p float64) float64 { return p*p*p - 8 }, func(p float64) float64 { return 3 * p * p }, 0.05},
	} {
		pr := Problem{N: 1, P: 1, Residuals: func(p, r []float64) { r[0] = c.f(p[0]) }, Jacobian: func(p, j []float64) { j[0] = c.slope(p[0]) }}
		for _, damping := range []float64{0, 0.5, 20} {
			for steps := 1; steps <= 9; steps++ {
				lambda := damping
				if lambda == 0 {
					lambda = 1e-3
				}
				got := Levenberg(pr, []float64{c.start}, Settings{Iterations: steps, Damping: damping, Coarse: true})
				if got.Status == Converged {
					break
				}
				want := scalar(c.f, c.slope, c.start, lambda, steps)
				near(t, c.what, got.Params[0], want, 1e-9*(1+math.Abs(want)))
				near(t, c.what+": sum of squares", got.RSS, c.f(want)*c.f(want), 1e-9*(1+c.f(want)*c.f(want)))
				if got.Iterations != steps || got.Status != Exhausted {
					t.Errorf("%s: %d of %d steps, %s", c.what, got.Iterations, steps, got.Status)
				}
			}
		}
	}
}

// TestEnds: how a search says that it ended.
func TestEnds(t *testing.T) {
	if f := Levenberg(line(), []float64{50, -7}, Settings{Iterations: 1, Damping: 1e6}); f.Iterations != 1 || f.Status != Converged {
		t.Errorf("the polish ends a straight problem: %s after %d", f.Status, f.Iterations)
	}
	if f := Levenberg(line(),
		[]float64{50, -7}, Settings{Iterations: 1, Damping: 1e6, Coarse: true}); f.Status != Exhausted || f.Offset < 1 || f.r == nil {
		t.Errorf("%s, offset %g", f.Status, f.Offset)
	}
	if f := Levenberg(line(), []float64{50, -7}, Settings{Coarse: true}); f.Status != Converged || math.Abs(f.RSS-4.2) > 1e-7 {
		t.Errorf("%s, %g", f.Status, f.RSS)
	}
	// A kink at its bottom: no step helps, and the offset stays.
	kink := Problem{N: 2, P: 1, Residuals: func(p, r []float64) { r[0], r[1] = 1+math.Abs(p[0]), 0.5 },
		Jacobian: func(p, j []float64) { j[0], j[1] = math.Copysign(1, p[0]), 0 }}
	if f := Levenberg(kink, []float64{0}, Settings{}); f.Status != Stalled || math.Abs(f.Params[0]) > 1e-12 {
		t.Errorf("%s at %v", f.Status, f.Params)
	}
	// Derivatives that cannot be computed: λ goes 0.001 × 2 × 4 × 8 … until it is past 1e20, with 2^78 after twelve.
	wild := Problem{N: 1, P: 1, Residuals: func(p, r []float64) { r[0] = 1 }, Jacobian: func(_, j []float64) { j[0] = math.Inf(1) }}
	if f := Levenberg(wild, []float64{0}, Settings{}); f.Status != Stalled || f.Iterations != 12 || f.r != nil {
		t.Errorf("%s after %d", f.Status, f.Iterations)
	}
	// An exact fit.
	if f := Levenberg(Problem{N: 1, P: 1, Residuals: func(p, r []float64) { r[0] = p[0] - 3 }, Jacobian: func(_, j []float64) { j[0] = 1 }},
		[]float64{3}, Settings{}); f.Status != Converged || f.RSS != 0 {
		t.Errorf("%s %g", f.Status, f.RSS)
	}
	// Residuals that stop being numbers: the step is shortened until they are.
	root := Problem{N: 1, P: 1, Residuals: func(p, r []float64) { r[0] = math.Sqrt(p[0]) - 0.1 },
		Jacobian: func(p, j []float64) { j[0] = 0.5 / math.Sqrt(p[0]) }}
	near(t, "past a wall", Levenberg(root, []float64{4}, Settings{}).Params[0], 0.01, 1e-10)
	defer func() {
		if recover() == nil {
			t.Error("a start of another length passes")
		}
	}()
	Levenberg(line(), []float64{1}, Settings{})
}

// falling is a made-up problem whose sum of squares falls by the share q at every look, whatever the step.
func falling(q float64) Problem {
	rss := 1 / (1 - q)
	return Problem{N: 1, P: 1, Residuals: func(_, r []float64) { rss *= 1 - q; r[0] = math.Sqrt(rss) },
		Jacobian: func(_, j []float64) { j[0] = 1 }}
}

// TestTolerance: a search ends when a step takes off 1e-8 of the sum of squares if coarse, 1e-13 if the polish follows,
// and after 500 steps.
func TestTolerance(t *testing.T) {
	for _, c := range []struct {
		q      float64
		set    Settings
		status Status
		steps  int
	}{
		{0.0975, Settings{Coarse: true}, Exhausted, 500}, {0.95e-8, Settings{Coarse: true}, Converged, 1},
		{1.05e-8, Settings{Coarse: true, Iterations: 7}, Exhausted, 7},
		{0.95e-13, Settings{}, Stalled, 1}, // the polish finds the offset still large
		{1.05e-13, Settings{Iterations: 7}, Exhausted, 7},
	} {
		if f := Levenberg(falling(c.q), []float64{0}, c.set); f.Status != c.status || f.Iterations != c.steps {
			t.Errorf("falls by %g: %s after %d, want %s after %d", c.q, f.Status, f.Iterations, c.status, c.steps)
		}
	}
}

// TestPolish: a start whose sum of squares is as low as the arithmetic can tell still has an offset, which the polish takes away.
func TestPolish(t *testing.T) {
	w := newWork(4, 2)
	pr := line()
	f := Fit{Params: []float64{0.9 + 1e-7, 2.4}, RSS: 4.2 + 4e-14, Status: Stalled, n: 4, p: 2}
	pr.polish(&f, w)
	near(t, "intercept", f.Params[0], 0.9, 1e-13)
	if f.Offset > 1e-11 || f.Status != Converged {
		t.Errorf("offset %g, %s", f.Offset, f.Status)
	}
	bent := Problem{N: 2, P: 1, Residuals: func(p, r []float64) { r[0], r[1] = math.Exp(p[0])-2, math.Exp(-p[0])-1 },
		Jacobian: func(p, j []float64) { j[0], j[1] = math.Exp(p[0]), -math.Exp(-p[0]) }}
	// at the bottom e^p (e^p − 2) = e^−p (e^−p − 1): with v = e^p, v⁴ − 2v³ + v − 1 = 0
	v := math.Exp(Levenberg(bent, []float64{2}, Settings{}).Params[0])
	near(t, "root", v*v*v*v-2*v*v*v+v-1, 0, 1e-10)
}

// TestBetter: the lower sum, of sums alike to nine digits the smaller offset, and never a failed one.
func TestBetter(t *testing.T) {
	low, high := Fit{RSS: 1, Offset: 0.5, Status: Converged}, Fit{RSS: 1 + 2e-9, Offset: 0.1, Status: Converged}
	close, failed := Fit{RSS: 1 + 0.5e-9, Offset: 0.1, Status: Stalled}, Fit{RSS: 0, Status: Failed}
	nan := Fit{RSS: math.NaN(), Status: Converged}
	for i, c := range []struct{ a, b, want Fit }{
		{low, high, low}, {high, low, low}, {low, close, close}, {close, low, close}, {low, failed, low}, {failed, low, low},
		{low, nan, low}, {nan, low, low},
	} {
		if got := better(c.a, c.b); got.RSS != c.want.RSS || got.Offset != c.want.Offset {
			t.Errorf("%d: %+v", i, got)
		}
	}
	same := Fit{RSS: 1, Offset: 0.5, Status: Stalled}
	if got := better(low, same); got.Status != Converged {
		t.Errorf("the first of two alike: %+v", got)
	}
}

// TestSettled: what is left to the portfolio.
func TestSettled(t *testing.T) {
	for i, c := range []struct {
		f    Fit
		want bool
	}{
		{Fit{Status: Converged, p: 2, Params: []float64{1, 5}, r: []float64{1, 0, 0, 1}}, true},
		{Fit{Status: Stalled, p: 2, Params: []float64{1, 5}, r: []float64{-1, 0, 0, 1}}, true},
		{Fit{Status: Exhausted, p: 2, Params: []float64{1, 5}, r: []float64{1, 0, 0, 1}}, false},
		{Fit{Status: Converged, p: 2, Params: []float64{1, 5}}, false},
		{Fit{Status: Converged, p: 2, Params: []float64{10, 5}, r: []float64{1, 9, 0, 1.9e-12}}, false}, // 5 × 1.9e-12 of 10
		{Fit{Status: Converged, p: 2, Params: []float64{10, 5}, r: []float64{1, 9, 0, -2.1e-12}}, true},
		{Fit{Status: Converged, p: 2, Params: []float64{0.1, 0.2}, r: []float64{1, 9, 0, 0.9e-12}}, false}, // small ones count as 1
		{Fit{Status: Converged, p: 2, Params: []float64{0.1, 0.2}, r: []float64{1, 9, 0, 1.1e-12}}, true},
	} {
		if got := c.f.settled(); got != c.want {
			t.Errorf("%d: %v", i, got)
		}
	}
}

// TestStarts: of several valleys the deepest that a start leads to.
func TestStarts(t *testing.T) {
	valleys := Problem{N: 2, P: 1, Residuals: func(p, r []float64) { r[0], r[1] = p[0]*p[0]-4, 0.1*(p[0]-2) },
		Jacobian: func(p, j []float64) { j[0], j[1] = 2*p[0], 0.1 }}
	for _, starts := range [][][]float64{{{-1.5}, {3}}, {{3}, {-1.5}}} {
		near(t, "valley", FromStarts(valleys, starts).Params[0], 2, 1e-9)
		near(t, "coarsely", Coarse(valleys, starts).Params[0], 2, 1e-4)
	}
	if p := FromStarts(valleys, [][]float64{{-1.5}}).Params[0]; p > -1.9 {
		t.Errorf("from the left %g", p)
	}
	nan := Problem{N: 1, P: 1, Residuals: func(_, r []float64) { r[0] = math.NaN() }}
	if f := FromStarts(nan, [][]float64{{1}}); f.Status != Failed {
		t.Errorf("%+v", f)
	}
}

// TestPulls: a search that knows of the pulls on single parameters takes the same steps as one
// that takes their rows for any others.
func TestPulls(t *testing.T) {
	x := []float64{0, 0.1, 0.3, 0.5, 0.8, 1}
	y := []float64{3.1, 2.2, 1.4, 0.7, 0.5, 0.3}
	pr := Problem{N: len(x) + 2, P: 3, Residuals: func(p, r []float64) {
		for i := range x {
			r[i] = p[0] + math.Exp(p[1]-math.Exp(p[2])*x[i]) - y[i]
		}
		r[6], r[7] = 0.3*(p[1]-2), 0.2*p[2]
	}, Jacobian: func(p, j []float64) {
		clear(j)
		for i := range x {
			e := math.Exp(p[1] - math.Exp(p[2])*x[i])
			j[3*i], j[3*i+1], j[3*i+2] = 1, e, -e*math.Exp(p[2])*x[i]
		}
		j[3*6+1], j[3*7+2] = 0.3, 0.2
	}}
	pulled := pr
	pulled.Pulls = 2
	for _, start := range [][]float64{{0, 1, 1}, {1, -2, 3}, {-3, 2, -1}} {
		for _, few := range []int{1, 2, 5, 500} {
			want, got := Levenberg(pr, start, Settings{Iterations: few, Coarse: few < 500}), Levenberg(pulled, start, Settings{Iterations: few, Coarse: few < 500})
			if got.Status != want.Status || got.Iterations != want.Iterations {
				t.Errorf("%s after %d, not %s after %d", got.Status, got.Iterations, want.Status, want.Iterations)
			}
			for k := range start {
				near(t, "parameter", got.Params[k], want.Params[k], 1e-9)
			}
		}
	}
}

// TestArrives: a search that comes down to where another ended ends a little above it; where
// that one stuck at a kink, or lies in another valley, it goes on.
func TestArrives(t *testing.T) {
	pr := Problem{N: 3, P: 1, Residuals: func(p, r []float64) { r[0], r[1], r[2] = p[0]-1, math.Exp(p[0])-1, 1 },
		Jacobian: func(p, j []float64) { j[0], j[1], j[2] = 1, math.Exp(p[0]), 0 }}
	set := Settings{Coarse: true}
	end := Levenberg(pr, []float64{0}, set)
	set.Known = &end
	again := Levenberg(pr, []float64{3}, set)
	if again.RSS <= end.RSS || again.RSS > end.RSS*1.002 || again.Iterations >= Levenberg(pr, []float64{3}, Settings{Coarse: true}).Iterations {
		t.Errorf("%+v beside %+v", again, end)
	}
	stuck, off := end, end
	stuck.Offset = 0.02
	off.Params, off.RSS = []float64{end.Params[0] - 1}, end.RSS*0.9999
	for _, known := range []Fit{stuck, off} {
		set.Known = &known
		if got := Levenberg(pr, []float64{3}, set); math.Abs(got.RSS/end.RSS-1) > 1e-6 {
			t.Errorf("%g, not %g, beside %+v", got.RSS, end.RSS, known)
		}
	}
}

// TestMinimise: general optimisers on Rosenbrock's valley, 10 (y − x²), 1 − x, from its usual start.
func TestMinimise(t *testing.T) {
	pr := Problem{N: 2, P: 2, Residuals: func(p, r []float64) { r[0], r[1] = 10*(p[1]-p[0]*p[0]), 1-p[0] },
		Jacobian: func(p, j []float64) { j[0], j[1], j[2], j[3] = -20*p[0], 10, -1, 0 }}
	for _, start := range [][]float64{{-1.2, 1}, {0, 0}, {-0.5, 300}} {
		for i, m := range methods() {
			p, ok := pr.minimise(start, m)
			if !ok {
				t.Fatal("no end")
			}
			near(t, "x", p[0], 1, []float64{1e-5, 2e-2}[i])
			near(t, "y", p[1], 1, []float64{1e-5, 4e-2}[i])
		}
	}
	small := pr // the sum of squares is scaled to one, else so small a one would end the search at once
	small.Residuals = func(p, r []float64) { r[0], r[1] = 1e-7*(p[1]-p[0]*p[0]), 1e-8*(1-p[0]) }
	small.Jacobian = func(p, j []float64) { j[0], j[1], j[2], j[3] = -2e-7*p[0], 1e-7, -1e-8, 0 }
	for i, m := range methods() {
		p, ok := small.minimise([]float64{-1.2, 1}, m)
		if !ok {
			t.Fatal("no end")
		}
		near(t, "x of a small one", p[0], 1, []float64{1e-5, 2e-2}[i])
	}
	if _, ok := pr.minimise([]float64{1, 1}, methods()[0]); ok {
		t.Error("a start at the bottom has no scale")
	}
	if _, ok := pr.minimise([]float64{math.NaN(), 1}, methods()[0]); ok {
		t.Error("a start that is no number passes")
	}
}

// TestCensoredTails: beyond −30 a series, above 5 a logarithm near one; both against the plain formula while it lasts,
// and ln Φ(6) = −9.865876455e-10 (table of the normal distribution, 1 − Φ(6) = 9.865876450e-10).
func TestCensoredTails(t *testing.T) {
	for x := -37.0; x < -30; x += 0.5 {
		near(t, "far tail", logPhi(x), math.Log(0.5*math.Erfc(-x/math.Sqrt2)), 15/math.Pow(x, 6)*1.1) // the next term of the series
	}
	near(t, "above", logPhi(6), -9.865876455e-10, 1e-18)
	near(t, "just above five", logPhi(5.001), math.Log(0.5*math.Erfc(-5.001/math.Sqrt2)), 1e-15)
	if CensoredSlope(40) != 0 || CensoredResidual(40) != 0 {
		t.Error("nothing is left beyond forty deviations")
	}
	// the slope is −φ/(Φ r): at zero −0.39894/(0.5 × √(2 ln 2))
	near(t, "slope at zero", CensoredSlope(0), -1/math.Sqrt(2*math.Pi)/0.5/math.Sqrt(2*math.Ln2), 1e-12)
}

// TestHouseholderAboveDiagonal: rows of a diagonal that are spared as long as they are
// zero change nothing: the triangle and the turned right side are those of all rows.
func TestHouseholderAboveDiagonal(t *testing.T) {
	a := []float64{1, 2, 3, 4, 5, 6, 7, 8, 10, -1, 3, 0.5, 0.3, 0, 0, 0, 2, 0, 0, 0, 0.7}
	b := []float64{1, -2, 3, 0.25, 0, 0, 0}
	spared, turned := append([]float64(nil), a...), append([]float64(nil), b...)
	if !householder(a, b, 7, 3, 7) || !householder(spared, turned, 7, 3, 4) {
		t.Fatal("not finite")
	}
	for i := range 3 {
		near(t, "right side", turned[i], b[i], 1e-12)
		for k := i; k < 3; k++ {
			near(t, "triangle", spared[i*3+k], a[i*3+k], 1e-12)
		}
	}
}

// TestEnough: a search that need not go lower than a sum of squares stops at once there,
// and one that must goes on: the squares of e^p about 1 and 3 are least, 2, where it is 2.
func TestEnough(t *testing.T) {
	pr := Problem{N: 2, P: 1, Residuals: func(p, r []float64) { r[0], r[1] = math.Exp(p[0])-1, math.Exp(p[0])-3 }}
	full := Levenberg(pr, []float64{3}, Settings{Coarse: true})
	part := Levenberg(pr, []float64{3}, Settings{Coarse: true, Enough: 50})
	near(t, "least", full.RSS, 2, 1e-6)
	if part.RSS > 50 || part.RSS < 2.1 || part.Iterations >= full.Iterations || part.Status != Converged {
		t.Errorf("%+v against %+v", part, full)
	}
}

// TestLength: 3 and 4 make 5 at any size, also where their squares leave the range of numbers.
func TestLength(t *testing.T) {
	for _, size := range []float64{1, 1e-200, 1e200, 1e-141, 1e141} {
		if got := length([]float64{3 * size, 7 * size, -4 * size}, 2); math.Abs(got/size-5) > 1e-14 {
			t.Errorf("%g at %g", got, size)
		}
	}
	if got := length([]float64{0, 1, 0}, 2); got != 0 {
		t.Errorf("%g of nothing", got)
	}
	if got := length([]float64{math.Inf(-1), 1}, 1); finite(got) {
		t.Errorf("%g of what is beyond all bounds", got)
	}
}
