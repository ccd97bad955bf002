package clearing

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/quantity"
)

// slopeOf is the slope of a weighted straight line and half its interval.
func slopeOf(x, y, w []float64) (slope, half float64) {
	squared := make([]float64, len(w))
	for i := range w {
		squared[i] = w[i] * w[i]
	}
	a, b := stat.LinearRegression(x, y, squared, false)
	mean := stat.Mean(x, squared)
	var sse, sxx float64
	for i := range x {
		r := y[i] - a - b*x[i]
		sse, sxx = sse+squared[i]*r*r, sxx+squared[i]*(x[i]-mean)*(x[i]-mean)
	}
	df := float64(len(x) - 2)
	return b, distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1+float64(Sure))/2) * math.Sqrt(sse/df/sxx)
}

// blank is a run with the unit by-passed and the water going round: a straight line through the logarithms where it falls,
// as solids settle, through the readings where it rises, as they come in.
func blank(r Run) Result {
	x := Result{Run: r, Outcome: TooFew}
	p := tankPoints(r.Readings)
	if p.distinct() < fewest-1 {
		return x
	}
	x.Outcome, x.Start = Blank, math.Exp(p.y[0])
	either := func(slope, half float64) Estimate[float64] {
		if slope-half <= 0 { // not shown
			return Estimate[float64]{High: quantity.Some(math.Max(0, slope+half))}
		}
		return Estimate[float64]{V: slope, Low: quantity.Some(slope - half), High: quantity.Some(slope + half)}
	}
	slope, half := slopeOf(p.t, p.y, p.w)
	x.Settles = either(-slope, half)
	readings, even := make([]float64, len(p.y)), make([]float64, len(p.y))
	for i, y := range p.y {
		readings[i], even[i] = math.Exp(y), 1
	}
	x.Rise = either(slopeOf(p.t, readings, even))
	return x
}
