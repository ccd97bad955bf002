package clearing

import (
	"math"

	"jarwright/jartest/engine/lsq"
	"jarwright/jartest/quantity"
)

// Source tells what a pass cannot take from what comes in: of the floor F = f + s/k, f and s. One run at one flow cannot;
// runs at two flows can, since what comes in stands higher the slower it is taken out; so can a blank run that rises.
type Source struct {
	// Bare is f, the reading that a pass does not get below; Rise is s, by how much the tank's reading would rise in an hour.
	Bare, Rise Estimate[float64]
	// Runs are those that it was told by; Blank is true where it was a blank run.
	Runs  []int
	Blank bool
}

// Shown reports that something is shown to come in.
func (s Source) Shown() bool { return s.Rise.Low.OK && s.Rise.Low.V > 0 }

// flowsApart is by what share the highest flow has to be above the lowest.
const flowsApart = 0.2

// sourceOf tells floor and source apart where runs do.
func sourceOf(list []Result) (k quantity.Known[Source]) {
	var runs []int
	low, high := math.Inf(1), 0.0
	for i, x := range list {
		if (x.Outcome == Found || x.Outcome == FloorUnknown) && x.told && x.Flow.OK && (len(runs) == 0 || sameButFlow(x, list[runs[0]])) {
			runs = append(runs, i)
			low, high = math.Min(low, float64(x.Flow.V)), math.Max(high, float64(x.Flow.V))
		}
	}
	if len(runs) >= 2 && high > (1+flowsApart)*low {
		return joint(list, runs)
	}
	for _, b := range list {
		if b.Outcome == Blank && b.Rise.V > 0 && len(runs) > 0 {
			x := list[runs[0]]
			hours := float64(x.Constant.V)
			f := func(floor, rise float64) quantity.Known[float64] { return quantity.Some(math.Max(0, floor-rise*hours)) }
			bare := Estimate[float64]{V: f(x.Floor.V, b.Rise.V).V, Low: f(x.Floor.Low.V, b.Rise.High.V), High: f(x.Floor.High.V, b.Rise.Low.V)}
			bare.High.OK = x.Floor.High.OK
			return quantity.Some(Source{Bare: bare, Rise: b.Rise, Runs: runs[:1], Blank: true})
		}
	}
	return k
}

// sameButFlow reports runs that differ in nothing that was chosen but the flow, which may be what their names tell.
func sameButFlow(a, b Result) bool {
	x, y := a.chosen(), b.chosen()
	if x.flow != y.flow {
		x.name, y.name = "", ""
	}
	x.flow, y.flow = 0, 0
	return x == y && a.Key == b.Key && a.Polymer.OK == b.Polymer.OK
}

// joint fits runs at several flows together: each has its start and its rate, all have f and s, which enter straight. Where
// one of them comes out below 0 it is 0.
func joint(list []Result, runs []int) (k quantity.Known[Source]) {
	var lowest = math.Inf(1)
	n := 0
	for _, i := range runs {
		lowest = math.Min(lowest, math.Exp(list[i].fit.lowest()))
		n += len(list[i].fit.t)
	}
	p := 2 + 2*len(runs)
	if n <= p {
		return k
	}
	pr := lsq.Problem{N: n, P: p, Residuals: func(q, r []float64) {
		at := 0
		for m, i := range runs {
			f := list[i].fit
			k := math.Exp(q[3+2*m])
			rest := q[0] + q[1]/k
			for j, t := range f.t {
				r[at] = f.w[j] * (math.Log(math.Exp(q[2+2*m]-k*t)+rest) - f.y[j])
				at++
			}
		}
	}}
	var starts [][]float64
	for _, share := range [...]float64{0.1, 0.5, 0.9} {
		s := []float64{lowest * share, lowest * (1 - share) / float64(list[runs[0]].Constant.V)}
		for _, i := range runs {
			s = append(s, list[i].fit.shape[above], list[i].fit.shape[rate])
		}
		starts = append(starts, s)
	}
	got := lsq.Levenberg(pr, lsq.Coarse(pr, starts).Params, lsq.Settings{})
	se, err := got.StandardErrors()
	if err != nil || got.Status == lsq.Failed {
		return k
	}
	t := student(got.DF())
	of := func(i int) Estimate[float64] {
		v := math.Max(0, got.Params[i])
		return Estimate[float64]{V: v, Low: quantity.Some(math.Max(0, got.Params[i]-t*se[i])), High: quantity.Some(math.Max(0, got.Params[i]+t*se[i]))}
	}
	return quantity.Some(Source{Bare: of(0), Rise: of(1), Runs: runs})
}
