package curve

import (
	"math"
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
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

// TestAnswerFromCurves: effective dose, interval, confidence and band of a result are recounted from the curves that the
// jars leave possible, each followed along its straight pieces.
func TestAnswerFromCurves(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50, 60}
	s := jarSeries("made up", jartest.Turbidity, doses, []float64{40, 33, 17, 9, 5.5, 4.1, 3.6})
	e := engine.New()
	r := analyse(e, s, target(t, "turbidity <= 6 NTU"), Options{OnlyTarget: true})
	if r.Outcome != Found {
		t.Fatal(r.Outcome, r.Notes)
	}
	chem, setting, _ := factorOf(s)
	col, _ := factorColumn(s, chem, setting)
	p := prepare(s, jartest.Turbidity, col, false, nil)
	o := p.obs
	o.U, o.Y = slices.Clone(o.U), slices.Clone(o.Y)
	for i := range o.U {
		o.U[i], o.Y[i] = engine.Steady(o.U[i]/60), engine.Steady(o.Y[i])
	}
	c := e.Build(&o, engine.Models(), freeShare)
	if len(c.F) != 1200 || len(c.U) != len(r.Curve) {
		t.Fatalf("%d curves on %d doses, %d points", len(c.F), len(c.U), len(r.Curve))
	}
	// every two hundredth mg/L: the piece that it lies in, and how far along
	piece, part := make([]int, 12001), make([]float64, 12001)
	for i := range piece {
		u := float64(i) / 12000
		k := 1
		for k < len(c.U)-1 && c.U[k] < u {
			k++
		}
		piece[i], part[i] = k, (u-c.U[k-1])/(c.U[k]-c.U[k-1])
	}
	var first []float64
	for _, f := range c.F {
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
	type5 := func(p float64) float64 { // (i − ½)/n, n = 1200
		i := int(p*1200 + 0.5)
		return first[i-1] + (p*1200+0.5-float64(i))*(first[i]-first[i-1])
	}
	matches(t, "lowest effective dose", float64(r.Effective.Value), type5(0.5), 5e-3)
	matches(t, "low", float64(r.Effective.Low), type5(0.05), 5e-3)
	matches(t, "high", float64(r.Effective.High), type5(0.95), 5e-3)
	matches(t, "confidence of the interval", float64(r.Effective.Confidence), 0.9, 0)
	for _, d := range []float64{30, 40, 50} {
		j, ok := slices.BinarySearch(c.U, d/60)
		if !ok {
			j = slices.IndexFunc(c.U, func(u float64) bool { return math.Abs(u-d/60) < 1e-9 })
		}
		n := 0
		for _, f := range c.F {
			if f[j] <= math.Log(6) {
				n++
			}
		}
		matches(t, "confidence", float64(r.Confidence(quantity.Concentration(d))), float64(n)/1200, 1e-3)
	}
	if low, ok := r.Quantile(0.05); !ok {
		t.Error("no quantile")
	} else {
		matches(t, "quantile kept", float64(low), type5(0.05), 0.05)
	}
	for j, pt := range r.Curve {
		mid, lo, hi := sortedBand(c.F, j, 0.05, 0.95)
		matches(t, "dose", float64(pt.Dose), 60*c.U[j], 1e-9)
		matches(t, "curve", pt.Fit, math.Exp(mid), 1e-9*math.Exp(mid))
		matches(t, "band, low", pt.Low, math.Exp(lo), 1e-9*math.Exp(lo))
		matches(t, "band, high", pt.High, math.Exp(hi), 1e-9*math.Exp(hi))
	}
	// The planning dose is the first with 90 % confidence, on straight lines between the doses.
	need := math.Inf(1)
	for d := 0.0; d <= 60 && math.IsInf(need, 1); d += 1e-3 {
		if float64(r.Confidence(quantity.Concentration(d))) >= 0.9 && d >= float64(r.Effective.Value) {
			need = d
		}
	}
	matches(t, "planning dose", float64(r.Planning.Concentration), need, 2e-3)
	// The scatter told is the middle one of the curves.
	slices.Sort(c.Sigma)
	matches(t, "scatter", r.Scatter, (c.Sigma[599]+c.Sigma[600])/2, 1e-12)
}
