package clearing

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/quantity"
)

// Verdict says what two runs show.
type Verdict string

const (
	// More: the first takes out more at a pass than the second, Less: less.
	More Verdict = "more"
	Less Verdict = "less"
	// NotShown: a difference is not shown; it may be as large as the ends of its interval.
	NotShown Verdict = "not-shown"
	// CannotTell: one of the two tells no capture.
	CannotTell Verdict = "cannot-tell"
)

// Differs is something that was set otherwise in one run than in another.
type Differs string

const (
	ByPolymer   Differs = "polymer"
	ByCoagulant Differs = "coagulant"
	ByFlow      Differs = "flow"
	BySkim      Differs = "skimming"
	ByName      Differs = "name"  // what is set by it alone
	ByStart     Differs = "start" // the reading at the start
	ByWarmth    Differs = "temperature"
)

// verdictOf is what a difference shows: more or less where its interval leaves out none.
func verdictOf(points Estimate[quantity.Fraction]) Verdict {
	switch {
	case points.Low.V > 0:
		return More
	case points.High.V < 0:
		return Less
	}
	return NotShown
}

// Comparison is two runs beside each other.
type Comparison struct {
	A, B int // of the results
	// Points is the capture of A less that of B.
	Points  Estimate[quantity.Fraction]
	Verdict Verdict
	// Differs is what was set otherwise; what starts or warms otherwise stands last, and was not chosen.
	Differs []Differs
	// Confounded is true where B was run after A, and no run in between or after tells the age of the solids from what was set.
	Confounded bool
	// Faster is the run that clears the tank sooner, where flows differ and one is shown to: A or B, else −1.
	Faster int
}

// mostPaired is how many runs are compared each with each; of more each is held against the first.
const mostPaired = 4

// compared are the pairs of runs.
func compared(list []Result) (out []Comparison) {
	for a := range list {
		if list[a].Off || len(list) > mostPaired && a > 0 {
			continue
		}
		for b := a + 1; b < len(list); b++ {
			if !list[b].Off && list[a].Key == list[b].Key {
				c := compare(list[a], list[b])
				c.A, c.B = a, b
				c.Confounded = confounded(list, a, b)
				out = append(out, c)
			}
		}
	}
	return out
}

// compare holds two runs against each other. Where both scatter alike, their scatter is pooled, with the readings of both;
// the ends of the difference are those of the two captures, each moved by its own (Zou and Donner, Statistics in Medicine 27,
// 2008, from memory). What both share, the volume, the flow meter and what settles, is no doubt of the difference.
func compare(a, b Result) (c Comparison) {
	c.Differs, c.Faster, c.Verdict = differs(a, b), -1, CannotTell
	if !a.Outcome.Tells() || !b.Outcome.Tells() {
		return c
	}
	x, y := a.forDifference(b), b.forDifference(a)
	bound := func(v float64) quantity.Known[quantity.Fraction] {
		return quantity.Some(quantity.Fraction(math.Min(1, math.Max(-1, v))))
	}
	d := x.at - y.at
	below, above := ofSettling(a, b)
	c.Points = Estimate[quantity.Fraction]{V: quantity.Fraction(d), Low: bound(d - math.Hypot(math.Hypot(x.at-x.low, y.high-y.at), below)), High: bound(d + math.Hypot(math.Hypot(x.high-x.at, y.at-y.low), above))}
	c.Verdict = verdictOf(c.Points)
	if a.told && b.told { // by the rates of the tank, whatever its flow
		d := math.Log(x.rate / y.rate)
		switch half := math.Hypot(x.below, y.beyond); {
		case d-half > 0:
			c.Faster = 0
		case d+math.Hypot(x.beyond, y.below) < 0:
			c.Faster = 1
		}
	}
	return c
}

// ranged is a capture with the ends for a comparison, and the rate with half its interval either way, on the logarithm.
type ranged struct{ at, low, high, rate, below, beyond float64 }

// alike is the chance below which two scatters are not pooled.
const alike = 0.05

// forDifference gives a run's capture with the ends for a comparison with another.
func (x Result) forDifference(other Result) ranged {
	if x.Outcome == Pairs {
		scale := distuv.StudentsT{Sigma: 1, Nu: float64(x.OfPairs.V.N - 1)}.Quantile((1+float64(SureOfDifference))/2) / student(x.OfPairs.V.N-1)
		e := x.Capture
		return ranged{at: float64(e.V), low: float64(e.V - (e.V-e.Low.V)*quantity.Fraction(scale)), high: float64(e.V + (e.High.V-e.V)*quantity.Fraction(scale))}
	}
	f := x.fit
	variance, df := f.variance(), f.df()
	if other.told && other.Outcome != Pairs {
		g := other.fit
		ratio := variance / g.variance()
		p := distuv.F{D1: float64(df), D2: float64(g.df())}.CDF(ratio)
		if 2*math.Min(p, 1-p) > alike {
			variance, df = (f.sse+g.sse)/float64(df+g.df()), df+g.df()
		}
	}
	low, high := f.rateEnds(allowed(float64(SureOfDifference), variance, df))
	at := f.shape[rate]
	return ranged{at: x.free(at), low: x.free(low), high: x.free(high), rate: math.Exp(at), below: at - low, beyond: high - at}
}

// ofSettling is by how much the doubt of what settles moves the difference of two captures, either way: what is taken off is the same
// rate for both, and so a larger part of the capture of the run at less flow. Nothing where the flow is the same or no blank run told it.
func ofSettling(a, b Result) (below, above float64) {
	s := a.Settled
	if !s.OK || !b.Settled.OK || a.Outcome == Pairs || b.Outcome == Pairs || !a.told || !b.told || a.turnover() == b.turnover() || a.blankDF < 1 {
		return 0, 0
	}
	scale := quantile(float64(a.blankDF)) / student(a.blankDF) // the ends of what settles are those of a run
	at := func(settles float64) float64 {
		a.Settled.V.V, b.Settled.V.V = settles, settles
		return a.free(a.fit.shape[rate]) - b.free(b.fit.shape[rate])
	}
	d := at(s.V.V)
	for _, end := range [...]float64{s.V.Low.V, math.Max(s.V.V, s.V.High.V)} {
		by := scale * (at(end) - d)
		below, above = math.Max(below, -by), math.Max(above, by)
	}
	return below, above
}

// free is the capture of a logarithm of the rate, without the doubt of volume and flow, and not held below 100 %.
func (x Result) free(lnRate float64) float64 {
	if x.Raceway || x.Outcome == NotMixed {
		return -math.Expm1(-x.turns(lnRate))
	}
	return x.turns(lnRate)
}

// differs lists what was set otherwise. A flow within a twentieth, or a start within a third, is the same.
func differs(a, b Result) (out []Differs) {
	add := func(is bool, d Differs) {
		if is {
			out = append(out, d)
		}
	}
	apart := func(x, y, share float64) bool { return math.Abs(x-y) > share*math.Max(math.Abs(x), math.Abs(y)) }
	add(apart(float64(a.Polymer.V), float64(b.Polymer.V), 0.02), ByPolymer)
	add(apart(float64(a.Coagulant.V), float64(b.Coagulant.V), 0.02), ByCoagulant)
	add(a.Flow.OK && b.Flow.OK && apart(float64(a.Flow.V), float64(b.Flow.V), 0.05), ByFlow)
	add(a.Skim.OK && b.Skim.OK && apart(float64(a.Skim.V), float64(b.Skim.V), 0.05), BySkim)
	add(len(out) == 0 && a.byName() != b.byName(), ByName)
	add(a.Start > 0 && b.Start > 0 && apart(a.Start, b.Start, 1.0/3), ByStart)
	const degrees = 2 // the rise of a bubble changes by a twentieth
	add(a.Temperature.OK && b.Temperature.OK && math.Abs(float64(a.Temperature.V-b.Temperature.V)) > degrees, ByWarmth)
	return out
}

// confounded reports two runs whose settings stand in one order alone: each of them before, or each after, every run of
// the other's settings. A, B, B, A is not.
func confounded(list []Result, a, b int) bool {
	x, y := list[a].chosen(), list[b].chosen()
	if x == y {
		return false
	}
	before, after := false, false
	for i, r := range list {
		for k, s := range list {
			if r.chosen() == x && s.chosen() == y {
				before, after = before || i < k, after || i > k
			}
		}
	}
	return !(before && after)
}
