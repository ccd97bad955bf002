package curve

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

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
	o := p.Obs
	o.U, o.Y = slices.Clone(o.U), slices.Clone(o.Y)
	for i := range o.U {
		o.U[i], o.Y[i] = engine.Steady(o.U[i]/60), engine.Steady(o.Y[i])
	}
	c := e.Build(&o, engine.Models(), freeShare)
	if len(c.F) != 960 || len(c.U) != len(r.Curve) {
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
		matches(t, "confidence", float64(r.Confidence(quantity.Concentration(d))), float64(n)/960, 1e-3)
	}
	if low, ok := r.Quantile(0.05); !ok {
		t.Error("no quantile")
	} else {
		matches(t, "quantile kept", float64(low), type5(kept, 0.05), 5e-3)
	}
	for j, pt := range r.Curve {
		mid, lo, hi := sortedBand(c.F, j, 0.05, 0.95)
		matches(t, "dose", float64(pt.Dose), 60*c.U[j], 1e-9)
		matches(t, "curve", pt.Fit, math.Exp(mid), 1e-9*math.Exp(mid))
		matches(t, "band, low", pt.Low, math.Exp(lo), 1e-9*math.Exp(lo))
		matches(t, "band, high", pt.High, math.Exp(hi), 1e-9*math.Exp(hi))
	}
	// The planning dose is the 90 % quantile, and so inside the interval.
	matches(t, "planning dose", float64(r.Planning.Concentration), type5(kept, 0.9), 5e-3)
	// A further jar passes where its own scatter about the curve lets it.
	pass, plan := 0.0, float64(r.Planning.Concentration)/60
	for k, f := range c.F {
		j := 1
		for c.U[j] < plan {
			j++
		}
		at := f[j-1] + (f[j]-f[j-1])*(plan-c.U[j-1])/(c.U[j]-c.U[j-1])
		pass += distuv.Normal{Mu: at, Sigma: c.Sigma[k]}.CDF(math.Log(6)) / 960
	}
	matches(t, "chance of the next jar", float64(r.NextJar.V), pass, 1e-9)
	// The scatter told is the middle one of the curves.
	slices.Sort(c.Sigma)
	matches(t, "scatter", r.Scatter, (c.Sigma[479]+c.Sigma[480])/2, 1e-12)
}
