// Package doubt is how far what is not known of a day or a month may be off. Every range
// of plan and month has one meaning: it is passed below one time in ten and above one time
// in ten, so that it holds eight times in ten. A comparison carries the interval of the dose alone, and says so.
package doubt

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Low and High are the chances at the ends of every range, Middle that at its middle.
const (
	Low    = 0.1
	Middle = 0.5
	High   = 0.9
)

// Dose gives the dose that is enough with chance p; false where nothing bounds it.
type Dose func(p float64) (quantity.Concentration, bool)

// Span says that a ratio to the plan falls below Low in one case of ten and
// above High in one of ten, and is 1 in the middle. The zero value is exactly 1.
// Between and beyond it follows a lognormal curve on either side.
type Span struct{ Low, High quantity.Ratio }

// Either is a share that something may be off by, either way.
func Either(share quantity.Fraction) Span {
	if share <= 0 {
		return Span{}
	}
	return Span{quantity.Ratio(1 - share), quantity.Ratio(1 + share)}
}

// Known reports that there is no doubt.
func (s Span) Known() bool { return s == Span{} }

// Check says what cannot be of a range, which is that of the name given.
func (s Span) Check(what string) (l note.List) {
	if low, high := quantity.Full(quantity.Number(s.Low), 3), quantity.Full(quantity.Number(s.High), 3); !s.Known() && (s.Low <= 0 || s.Low > 1 || s.High < 1) {
		l.Add(note.Fault("bad-range", "the range of the %s, %s to %s times the plan, does not hold the plan", what, low, high).
			Do("give a low figure below and a high figure above the planned one"))
	}
	return l
}

// Quantile gives the ratio that is exceeded with chance 1 − p.
func (s Span) Quantile(p float64) float64 {
	if s.Known() {
		return 1
	}
	z := Normal(p)
	if z < 0 {
		return math.Exp(math.Log(float64(s.Low)) * z / -z90)
	}
	return math.Exp(math.Log(float64(s.High)) * z / z90)
}

// Standard normal quantiles at 0.9 and 0.95.
const (
	z90 = 1.2815515655446004
	z95 = 1.6448536269514722
)

// Normal is the standard normal quantile.
func Normal(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Between is a lognormal curve on either side of the middle, with 5 % below low
// and 5 % above high, as the ends of a 90 % interval are. An end of zero is open: the middle stands in; nil for two.
func Between(mid, low, high quantity.Concentration) Dose {
	if low <= 0 && high <= 0 || mid <= 0 {
		return nil
	}
	return func(p float64) (quantity.Concentration, bool) {
		z := Normal(p)
		end := high
		if z < 0 {
			end = low
		}
		if end <= 0 {
			return mid, false
		}
		return mid * quantity.Concentration(math.Exp(math.Log(float64(end/mid))*math.Abs(z)/z95)), true
	}
}

// At is a dose at a chance p: the planned one where there is no doubt or no bound, and then false for that.
func At(q Dose, planned quantity.Concentration, p float64) (quantity.Concentration, bool) {
	if q == nil {
		return planned, true
	}
	if v, ok := q(p); ok {
		return v, true
	}
	return planned, false
}

// Ends is how far a figure above zero may be off, as ratios to its value with every unknown in its
// middle, which of(-1, ...) gives: each of n unknowns is moved alone to its low and its high end, all others
// in their middle, and what that does to the logarithm of the figure is squared, added and
// rooted on either side, as for independent unknowns that work each by a factor.
func Ends(n int, of func(moved int, p float64) float64) (low, high float64) {
	mid := of(-1, Middle)
	if mid <= 0 {
		return 1, 1
	}
	var below, above float64
	for i := range n {
		ends := []float64{math.Log(of(i, Low) / mid), math.Log(of(i, High) / mid)}
		below, above = math.Hypot(below, min(slices.Min(ends), 0)), math.Hypot(above, max(slices.Max(ends), 0))
	}
	return math.Exp(-below), math.Exp(above)
}
