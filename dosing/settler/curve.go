package settler

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest/quantity"
)

// Point is what was read in a jar at one settling time.
type Point struct {
	Time quantity.Time
	// Rate is the speed of a floc that falls from the surface to where the sample is drawn in that time.
	Rate quantity.Loading
	// Reading is what is left there; Below where it is a limit of the meter.
	Reading float64
	Below   bool
}

// RateOf is the surface loading that a sample stands for, drawn so deep after a time: depth over time. What
// falls faster is gone from there.
func RateOf(depth quantity.Length, after quantity.Time) quantity.Loading {
	return quantity.Loading(float64(depth) / float64(after))
}

// TimeFor is when to draw a sample so deep that stands for a surface loading.
func TimeFor(depth quantity.Length, rate quantity.Loading) quantity.Time {
	return quantity.Time(float64(depth) / float64(rate))
}

// LeastSafety and MostSafety are by how much the loading of a real settler stays under that of a jar, which has
// no wind, no currents and no weir (Eckenfelder, from memory, not checked in its source).
const (
	LeastSafety = 1.25
	MostSafety  = 1.75
)

// Real gives the loading of a real settler that does what a jar does at a rate: the safe one and the bold one.
func Real(rate quantity.Loading) (safe, bold quantity.Loading) {
	return rate / MostSafety, rate / LeastSafety
}

// Curve is readings by the rate that they stand for, the slowest first.
type Curve []Point

// NewCurve puts readings at several times into a curve.
func NewCurve(depth quantity.Length, all []Point) Curve {
	out := slices.Clone(all)
	for i := range out {
		out[i].Rate = RateOf(depth, out[i].Time)
	}
	slices.SortStableFunc(out, func(a, b Point) int { return cmp.Compare(a.Rate, b.Rate) })
	return out
}

// At gives the reading at a rate, on the straight line over the logarithm of the rate between two that were
// tested; false outside them.
func (c Curve) At(rate quantity.Loading) (float64, bool) {
	i := slices.IndexFunc(c, func(p Point) bool { return p.Rate >= rate*(1-1e-12) })
	switch {
	case i < 0 || i == 0 && float64(c[0].Rate) > float64(rate)*(1+1e-9):
		return 0, false
	case i == 0:
		return c[0].Reading, true
	}
	a, b := c[i-1], c[i]
	share := math.Log(float64(rate/a.Rate)) / math.Log(float64(b.Rate/a.Rate))
	return a.Reading + share*(b.Reading-a.Reading), true
}

// Fastest gives the largest rate up to which the reading is at most a value, from the slowest on. Open is true
// where it still is at the fastest that was tested. False where not even the slowest is.
func (c Curve) Fastest(most float64) (rate quantity.Loading, open, ok bool) {
	if len(c) == 0 || c[0].Reading > most {
		return 0, false, false
	}
	for i := 1; i < len(c); i++ {
		if a, b := c[i-1], c[i]; b.Reading > most {
			share := (most - a.Reading) / (b.Reading - a.Reading)
			return a.Rate * quantity.Loading(math.Pow(float64(b.Rate/a.Rate), share)), false, true
		}
	}
	return c[len(c)-1].Rate, true, true
}

// Limit is how a settler may be loaded for what it lets out to stay at most a value, as the jars have it.
type Limit struct {
	Most float64
	// Rate is that of the jar, Safe and Bold what [Real] makes of it; Open where the jars keep the value at the
	// fastest rate tested, so that more may do. Where Met is false not even the slowest does, and Rate is that one.
	Rate, Safe, Bold quantity.Loading
	Open, Met        bool
}

// Limit gives it; false for a curve without readings.
func (c Curve) Limit(most float64) (Limit, bool) {
	if len(c) == 0 {
		return Limit{}, false
	}
	l := Limit{Most: most}
	if l.Rate, l.Open, l.Met = c.Fastest(most); !l.Met {
		l.Rate = c[0].Rate
	}
	l.Safe, l.Bold = Real(l.Rate)
	return l, true
}

// Flows are those that load a surface at the safe and at the bold rate.
func (l Limit) Flows(a quantity.Area) (safe, bold quantity.Flow) {
	return flowOver(a, l.Safe), flowOver(a, l.Bold)
}

// Surface is what a flow needs at the safe rate.
func (l Limit) Surface(q quantity.Flow) quantity.Area {
	return quantity.Area(float64(q) / float64(l.Safe))
}
