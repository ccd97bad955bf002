package curve

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
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
			c := cloud{u: []float64{0, 0.3, 1}}
			for range n {
				c.f = append(c.f, []float64{r.NormFloat64(), math.Floor(4 * r.Float64()), -math.Exp(3 * r.NormFloat64())})
			}
			for _, p := range [][2]float64{{0.05, 0.95}, {0.1, 0.9}, {0.25, 0.75}, {0, 1}} {
				mid, lo, hi := c.band(p[0], p[1])
				for j := range c.u {
					m, l, h := sortedBand(c.f, j, p[0], p[1])
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
	c := cloud{u: []float64{0, 1}}
	for i := range n {
		z := math.Sqrt2 * math.Erfinv(2*(float64((i*37)%n)+0.5)/n-1)
		c.f = append(c.f, []float64{3 + 0.5*z, -1 - 2*z})
	}
	for _, p := range []struct{ low, z float64 }{{0.05, 1.6449}, {0.1, 1.2816}} {
		mid, lo, hi := c.band(p.low, 1-p.low)
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
		matches(t, "quantile", quantileSorted(c.v, c.p), c.want, 1e-12)
	}
	matches(t, "median of any order", medianOf([]float64{8, 1, 4, 2}), 3, 0)
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
		matches(t, "crossing", firstCrossing(u, c.f, c.level, c.above), c.want, 1e-12)
	}
}

// TestDrawModels: of weights 0.5, 0.3 and 0.2 ten curves are 5, 3 and 2, in order, each with its scatter.
func TestDrawModels(t *testing.T) {
	m := Models()[0]
	s := modelSample{model: &m}
	for i, w := range []float64{0.5, 0.3, 0.2} {
		s.draws = append(s.draws, draw{a: float64(10 * i), sigma: float64(i + 1)})
		s.logw = append(s.logw, math.Log(w)+7)
	}
	c := cloud{o: &observations{}, u: []float64{0, 1}, models: []modelSample{s}}
	c.drawModels(10, 7)
	want := []float64{1, 1, 1, 1, 1, 2, 2, 2, 3, 3}
	if !slices.Equal(c.sigma, want) {
		t.Errorf("scatters %v", c.sigma)
	}
	for k := range want {
		matches(t, "level", c.f[k][0]-c.f[0][0], 10*(want[k]-1), 1e-12)
	}
	// weights that add up to less leave the last curve to fill in
	c = cloud{o: &observations{}, u: []float64{0, 1}, models: []modelSample{s}}
	c.drawModels(10, 7.2)
	if len(c.f) != 10 || len(c.sigma) != 10 || c.sigma[9] != 3 {
		t.Errorf("%d curves, %v", len(c.f), c.sigma)
	}
}

// TestDrawFree: where the means fall steeply the shape leaves them alone, and at a tested dose the free curves are normal
// about the jars' mean with deviation σ/√w: the band is mean ± 1.6449 σ/√w.
func TestDrawFree(t *testing.T) {
	const n, sigma = 4000, 0.1
	o := &observations{u: []float64{0, 0.25, 0.5, 0.5, 1},
		y: []float64{9, 7, 5.1, 4.9, 2}, w: []float64{1, 4, 1, 1, 0.25}, limit: make([]int8, 5)}
	c := cloud{o: o}
	c.grid([]float64{0, 0.25, 0.5, 1})
	for range 5 {
		c.f, c.sigma = append(c.f, make([]float64, len(c.u))), append(c.sigma, sigma)
	}
	c.drawFree(newEngine(), n)
	c.f = c.f[5:]
	if len(c.f) != n || len(c.sigma) != n+5 || c.flat.up {
		t.Fatalf("%d curves", len(c.f))
	}
	_, lo, hi := c.band(0.05, 0.95)
	mid, _, _ := c.band(0.05, 0.95)
	for i, d := range []float64{0, 0.25, 0.5, 1} {
		mean, s := []float64{9, 7, 5, 2}[i], sigma/math.Sqrt([]float64{1, 4, 2, 0.25}[i])
		j, ok := slices.BinarySearch(c.u, d)
		if !ok {
			t.Fatalf("%g is not on the grid %v", d, c.u)
		}
		matches(t, "fit", c.flat.fit[i], mean, 1e-12)
		matches(t, "middle", mid[j], mean, 0.06*s)
		matches(t, "low", lo[j], mean-1.6449*s, 0.12*s)
		matches(t, "high", hi[j], mean+1.6449*s, 0.12*s)
	}
	// Half-way between two tested doses a curve is v0 + (v1 − v0) ½^e with ln e normal, 0.4 wide: its median is the line's.
	j, _ := slices.BinarySearch(c.u, 0.75)
	matches(t, "half-way", mid[j], 3.5, 0.05)
	wide := (hi[j] - lo[j]) / 2 // ½^(e^±0.658) is 0.699 and 0.262 of the 3 between them: 0.656 on either side, and the scatter
	if wide < 0.6 || wide > 0.75 {
		t.Errorf("half-way the band is ± %g", wide)
	}
}

// TestGridOfDoses: 48 equal steps and the tested doses, each once.
func TestGridOfDoses(t *testing.T) {
	var c cloud
	c.grid([]float64{0.1, 0.333, 0.1 + 0.9*24/48, 1})
	if len(c.u) != 50 || !slices.IsSorted(c.u) || c.u[0] != 0.1 || c.u[49] != 1 || !slices.Contains(c.u, 0.333) {
		t.Errorf("%v", c.u)
	}
	matches(t, "step", c.u[1]-c.u[0], 0.9/48, 1e-12)
}

// TestAnswerFromCurves: effective dose, interval, confidence and band of a result are recounted from the curves that the
// jars leave possible, each followed along its straight pieces.
func TestAnswerFromCurves(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50, 60}
	s := jarSeries("made up", jartest.Turbidity, doses, []float64{40, 33, 17, 9, 5.5, 4.1, 3.6})
	e := newEngine()
	r := analyse(e, s, target(t, "turbidity <= 6 NTU"), Options{OnlyTarget: true})
	if r.Outcome != Found {
		t.Fatal(r.Outcome, r.Notes)
	}
	chem, setting, _ := factorOf(s)
	col, _ := factorColumn(s, chem, setting)
	p := prepare(s, jartest.Turbidity, col, false, nil)
	o := p.obs
	o.u, o.y = slices.Clone(o.u), slices.Clone(o.y)
	for i := range o.u {
		o.u[i], o.y[i] = steady(o.u[i]/60), steady(o.y[i])
	}
	c := e.build(&o, Models(), freeShare)
	if len(c.f) != 960 || len(c.u) != len(r.Curve) {
		t.Fatalf("%d curves on %d doses, %d points", len(c.f), len(c.u), len(r.Curve))
	}
	// every two hundredth mg/L: the piece that it lies in, and how far along
	piece, part := make([]int, 12001), make([]float64, 12001)
	for i := range piece {
		u := float64(i) / 12000
		k := 1
		for k < len(c.u)-1 && c.u[k] < u {
			k++
		}
		piece[i], part[i] = k, (u-c.u[k-1])/(c.u[k]-c.u[k-1])
	}
	var first []float64
	for _, f := range c.f {
		at := math.Inf(1)
		for i, k := range piece {
			if f[k-1]+(f[k]-f[k-1])*part[i] <= math.Log(6) {
				at = float64(i) / 200
				break
			}
		}
		first = append(first, at)
	}
	slices.Sort(first)
	type5 := func(v []float64, p float64) float64 { // (i − ½)/n
		x := p*float64(len(v)) + 0.5
		i := int(x)
		return v[i-1] + (x-float64(i))*(v[i]-v[i-1])
	}
	kept := make([]float64, 240) // a quarter of them, at even chances, is what every dose is read off
	for i := range kept {
		kept[i] = type5(first, (float64(i)+0.5)/240)
	}
	matches(t, "lowest effective dose", float64(r.Effective.Value), type5(kept, 0.5), 5e-3)
	matches(t, "low", float64(r.Effective.Low), type5(kept, 0.05), 5e-3)
	matches(t, "high", float64(r.Effective.High), type5(kept, 0.95), 5e-3)
	matches(t, "confidence of the interval", float64(r.Effective.Confidence), 0.9, 0)
	for _, d := range []float64{30, 40, 50} {
		j, ok := slices.BinarySearch(c.u, d/60)
		if !ok {
			j = slices.IndexFunc(c.u, func(u float64) bool { return math.Abs(u-d/60) < 1e-9 })
		}
		n := 0
		for _, f := range c.f {
			if f[j] <= math.Log(6) {
				n++
			}
		}
		matches(t, "confidence", float64(r.Confidence(quantity.Concentration(d))), float64(n)/960, 1e-3)
	}
	if low, ok := r.Quantile(0.05); !ok {
		t.Error("no quantile")
	} else {
		matches(t, "quantile kept", float64(low), type5(kept, 0.05), 5e-3)
	}
	for j, pt := range r.Curve {
		mid, lo, hi := sortedBand(c.f, j, 0.05, 0.95)
		matches(t, "dose", float64(pt.Dose), 60*c.u[j], 1e-9)
		matches(t, "curve", pt.Fit, math.Exp(mid), 1e-9*math.Exp(mid))
		matches(t, "band, low", pt.Low, math.Exp(lo), 1e-9*math.Exp(lo))
		matches(t, "band, high", pt.High, math.Exp(hi), 1e-9*math.Exp(hi))
	}
	// The planning dose is the 90 % quantile, and so inside the interval.
	matches(t, "planning dose", float64(r.Planning.Concentration), type5(kept, 0.9), 5e-3)
	// A further jar passes where its own scatter about the curve lets it.
	pass, plan := 0.0, float64(r.Planning.Concentration)/60
	for k, f := range c.f {
		j := 1
		for c.u[j] < plan {
			j++
		}
		at := f[j-1] + (f[j]-f[j-1])*(plan-c.u[j-1])/(c.u[j]-c.u[j-1])
		pass += distuv.Normal{Mu: at, Sigma: c.sigma[k]}.CDF(math.Log(6)) / 960
	}
	matches(t, "chance of the next jar", float64(r.NextJar.V), pass, 1e-9)
	// The scatter told is the middle one of the curves.
	slices.Sort(c.sigma)
	matches(t, "scatter", r.Scatter, (c.sigma[479]+c.sigma[480])/2, 1e-12)
}
