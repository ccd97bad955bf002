package engine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func matches(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// sortedBand is the band by its definition: of n curves sorted at each dose the one with pn below it; the middle
// is the median.
func sortedBand(f [][]float64, j int, low, high float64) (mid, lo, hi float64) {
	var v []float64
	for _, row := range f {
		v = append(v, row[j])
	}
	slices.Sort(v)
	n := len(v)
	at := func(p float64) float64 { return v[min(int(p*float64(n)), n-1)] }
	return (v[(n-1)/2] + v[n/2]) / 2, at(low), at(high)
}

// TestBandBySorting: the band of made-up curves against sorting, for even and odd numbers, ties and one curve alone.
func TestBandBySorting(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	for _, n := range []int{1, 2, 3, 4, 7, 10, 101, 1200} {
		for range 5 {
			c := Cloud{U: []float64{0, 0.3, 1}}
			for range n {
				c.F = append(c.F, []float64{r.NormFloat64(), math.Floor(4 * r.Float64()), -math.Exp(3 * r.NormFloat64())})
			}
			for _, p := range [][2]float64{{0.05, 0.95}, {0.1, 0.9}, {0.25, 0.75}, {0, 1}} {
				mid, lo, hi := c.Band(p[0], p[1])
				for j := range c.U {
					m, l, h := sortedBand(c.F, j, p[0], p[1])
					matches(t, "middle", mid[j], m, 0)
					if n > 1 || p[0] == 0 {
						matches(t, "low", lo[j], l, 0)
						matches(t, "high", hi[j], h, 0)
					}
				}
			}
		}
	}
}

// TestBandOfNormal: curves at the mid-quantiles of a normal have the band mean ± 1.6449 and ± 1.2816 deviations
// (table of the normal distribution, NIST/SEMATECH e-Handbook 1.3.6.7.1), to the step between two curves.
func TestBandOfNormal(t *testing.T) {
	const n = 1200
	c := Cloud{U: []float64{0, 1}}
	for i := range n {
		z := math.Sqrt2 * math.Erfinv(2*(float64((i*37)%n)+0.5)/n-1)
		c.F = append(c.F, []float64{3 + 0.5*z, -1 - 2*z})
	}
	for _, p := range []struct{ low, z float64 }{{0.05, 1.6449}, {0.1, 1.2816}} {
		mid, lo, hi := c.Band(p.low, 1-p.low)
		for j, m := range []float64{3, -1} {
			s := []float64{0.5, 2}[j]
			matches(t, "middle", mid[j], m, 1e-9)
			matches(t, "low", lo[j], m-p.z*s, 0.006*s)
			matches(t, "high", hi[j], m+p.z*s, 0.006*s)
		}
	}
}

// TestSelect: the k-th smallest stands in its place, none larger before it and none smaller after it.
func TestSelect(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 400 {
		v := make([]float64, 1+r.IntN(30))
		for i := range v {
			v[i] = math.Floor(8 * r.NormFloat64())
		}
		k := r.IntN(len(v))
		want := slices.Clone(v)
		slices.Sort(want)
		selectNth(v, k)
		if v[k] != want[k] || k > 0 && slices.Max(v[:k]) > v[k] || slices.Min(v[k:]) < v[k] {
			t.Fatalf("%d of %v", k, v)
		}
	}
}

// TestRanks: a value of every rank is that of the sorted list, also where all are alike
// and where one lies beyond all bounds.
func TestRanks(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	var s ranks
	for i, draw := range []func() float64{r.NormFloat64, func() float64 { return math.Floor(8 * r.Float64()) },
		func() float64 { return math.Exp(20 * r.NormFloat64()) }, func() float64 { return 3.7 }, func() float64 { return 1 / math.Floor(50*r.Float64()) }} {
		v := make([]float64, 1000)
		for k := range v {
			v[k] = draw()
		}
		want := slices.Sorted(slices.Values(v))
		got := make([]float64, 4)
		for k := range want {
			rank := []int{k / 2, k, min(k+1, 999), 999}
			s.find(v, rank, got)
			for x, k := range rank {
				if got[x] != want[k] {
					t.Fatalf("kind %d, rank %d: %v, want %v", i, k, got[x], want[k])
				}
			}
		}
	}
}

// TestQuantiles: type 5 of Hyndman and Fan 1996 (from memory): the i-th of n stands at (i − ½)/n, straight lines between.
func TestQuantiles(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		v       []float64
		p, want float64
	}{
		{[]float64{1, 2, 4, 8}, 0.5, 3}, {[]float64{1, 2, 4, 8}, 0.125, 1}, {[]float64{1, 2, 4, 8}, 0.25, 1.5},
		{[]float64{1, 2, 4, 8}, 0.7, 5.2},
		{[]float64{1, 2, 4, 8}, 0.05, 1}, {[]float64{1, 2, 4, 8}, 0.95, 8}, {[]float64{7}, 0.3, 7}, {[]float64{1, 2, 4}, 0.5, 2},
		{[]float64{1, 2, inf, inf}, 0.5, inf}, {[]float64{1, 2, 2, inf}, 0.5, 2}, {[]float64{1, 2, inf, inf}, 0.375, 2},
		{[]float64{1, inf, inf, inf}, 0.9, inf},
	} {
		matches(t, "quantile", Quantile(c.v, c.p), c.want, 1e-12)
	}
	matches(t, "median of any order", Median([]float64{8, 1, 4, 2}), 3, 0)
}

// TestFirstCrossing: on straight lines between the points, by hand.
func TestFirstCrossing(t *testing.T) {
	u := []float64{0, 1, 3, 4}
	for _, c := range []struct {
		f     []float64
		level float64
		above bool
		want  float64
	}{
		{[]float64{8, 6, 2, 1}, 3, false, 2.5}, {[]float64{8, 6, 2, 1}, 6, false, 1}, {[]float64{8, 6, 2, 1}, 9, false, 0},
		{[]float64{8, 6, 2, 1}, 0.5, false, math.Inf(1)},
		{[]float64{8, 2, 6, 1}, 5, false, 0.5}, {[]float64{1, 2, 6, 8}, 5, true, 2.5}, {[]float64{1, 2, 6, 8}, 8, true, 4},
		{[]float64{1, 2, 6, 8}, 9, true, math.Inf(1)},
		{[]float64{5, 5, 5, 5}, 5, false, 0}, {[]float64{3, 3, 1, 1}, 1, false, 3}, {[]float64{8, 6, 2, 1}, 1.25, false, 3.75},
	} {
		matches(t, "crossing", FirstCrossing(u, c.f, c.level, c.above), c.want, 1e-12)
	}
}

// TestDosesOffMoveCurves: where the doses of jars may be off, so do the curves run: the
// straight line 1 - u, drawn 960 times, passes 0.5 at doses about 0.5 whose logarithm has
// the standard deviation of the dose.
func TestDosesOffMoveCurves(t *testing.T) {
	m := Model{Values: pointwise(func(at Point, _ []float64) float64 { return 1 - at.X })}
	squares := 0.0
	const n = 960
	off := Cloud{Obs: &Observations{DoseError: 0.04}, U: []float64{0, 1}, Models: []ModelSample{{Model: &m, draws: make([]Draw, n), logw: make([]float64, n)}}}
	off.drawModels(New(), n, math.Log(n))
	for _, row := range off.F {
		x := math.Log(FirstCrossing(off.U, row, 0.5, false) / 0.5)
		squares += x * x
	}
	matches(t, "standard deviation", math.Sqrt(squares/n), 0.04, 0.004)
}

// TestDrawModels: of weights 0.5, 0.3 and 0.2 ten curves are 5, 3 and 2, in order, each with its scatter.
func TestDrawModels(t *testing.T) {
	m := Models()[0]
	s := ModelSample{Model: &m}
	for i, w := range []float64{0.5, 0.3, 0.2} {
		s.draws = append(s.draws, Draw{A: float64(10 * i), sigma: float64(i + 1)})
		s.logw = append(s.logw, math.Log(w)+7)
	}
	c := Cloud{Obs: &Observations{}, U: []float64{0, 1}, Models: []ModelSample{s}}
	c.drawModels(New(), 10, 7)
	want := []float64{1, 1, 1, 1, 1, 2, 2, 2, 3, 3}
	if !slices.Equal(c.Sigma, want) {
		t.Errorf("scatters %v", c.Sigma)
	}
	for k := range want {
		matches(t, "level", c.F[k][0]-c.F[0][0], 10*(want[k]-1), 1e-12)
	}
	// weights that add up to less leave the last curve to fill in
	c = Cloud{Obs: &Observations{}, U: []float64{0, 1}, Models: []ModelSample{s}}
	c.drawModels(New(), 10, 7.2)
	if len(c.F) != 10 || len(c.Sigma) != 10 || c.Sigma[9] != 3 {
		t.Errorf("%d curves, %v", len(c.F), c.Sigma)
	}
}

// TestDrawFree: where the means fall steeply the shape leaves them alone, and at a tested dose the free curves are normal
// about the jars' mean with deviation σ/√w: the band is mean ± 1.6449 σ/√w.
func TestDrawFree(t *testing.T) {
	const n, sigma = 4000, 0.1
	o := &Observations{U: []float64{0, 0.25, 0.5, 0.5, 1},
		Y: []float64{9, 7, 5.1, 4.9, 2}, W: []float64{1, 4, 1, 1, 0.25}, Limit: make([]int8, 5)}
	c := Cloud{Obs: o}
	c.grid([]float64{0, 0.25, 0.5, 1})
	for range 5 {
		c.F, c.Sigma = append(c.F, make([]float64, len(c.U))), append(c.Sigma, sigma)
	}
	c.drawFree(New(), n)
	c.F = c.F[5:]
	if len(c.F) != n || len(c.Sigma) != n+5 || c.Free.Up {
		t.Fatalf("%d curves", len(c.F))
	}
	_, lo, hi := c.Band(0.05, 0.95)
	mid, _, _ := c.Band(0.05, 0.95)
	for i, d := range []float64{0, 0.25, 0.5, 1} {
		mean, s := []float64{9, 7, 5, 2}[i], sigma/math.Sqrt([]float64{1, 4, 2, 0.25}[i])
		j, ok := slices.BinarySearch(c.U, d)
		if !ok {
			t.Fatalf("%g is not on the grid %v", d, c.U)
		}
		matches(t, "fit", c.Free.Fit[i], mean, 1e-12)
		matches(t, "middle", mid[j], mean, 0.06*s)
		matches(t, "low", lo[j], mean-1.6449*s, 0.12*s)
		matches(t, "high", hi[j], mean+1.6449*s, 0.12*s)
	}
	// Half-way between two tested doses a curve is v0 + (v1 − v0) ½^e with ln e normal, 0.4 wide: its median is the line's.
	j, _ := slices.BinarySearch(c.U, 0.75)
	matches(t, "half-way", mid[j], 3.5, 0.05)
	wide := (hi[j] - lo[j]) / 2 // ½^(e^±0.658) is 0.699 and 0.262 of the 3 between them: 0.656 on either side, and the scatter
	if wide < 0.6 || wide > 0.75 {
		t.Errorf("half-way the band is ± %g", wide)
	}
}

// TestGridOfDoses: 48 equal steps and the tested doses, each once.
func TestGridOfDoses(t *testing.T) {
	var c Cloud
	c.grid([]float64{0.1, 0.333, 0.1 + 0.9*24/48, 1})
	if len(c.U) != 50 || !slices.IsSorted(c.U) || c.U[0] != 0.1 || c.U[49] != 1 || !slices.Contains(c.U, 0.333) {
		t.Errorf("%v", c.U)
	}
	matches(t, "step", c.U[1]-c.U[0], 0.9/48, 1e-12)
}

// TestBuildBriefly: half the curves, with the same middle to a third of the scatter of 8 %.
func TestBuildBriefly(t *testing.T) {
	e, o := New(), jumps(0)
	for i, u := range o.U {
		o.Y[i] = math.Log(2 + 40*math.Exp(-6*u))
	}
	whole, half := e.Build(o, Models(), 0.1), e.BuildBriefly(o, Models(), 0.1)
	if len(whole.F) != 960 || len(half.F) != 480 || len(half.Sigma) != 480 {
		t.Fatalf("%d and %d curves", len(whole.F), len(half.F))
	}
	mid, _, _ := whole.Band(0.05, 0.95)
	near, _, _ := half.Band(0.05, 0.95)
	for j := range mid {
		matches(t, "middle", near[j], mid[j], 0.027)
	}
	if math.Abs(half.Free.Share-0.1) > 1e-12 || whole.Models[0].Fit.Status == "" {
		t.Errorf("share of the shape alone %g, search %q", half.Free.Share, whole.Models[0].Fit.Status)
	}
}
