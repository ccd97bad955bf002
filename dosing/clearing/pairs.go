package clearing

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// fewestPairs is how many pairs give an interval at all; usualPairs how many a run should have, taken after three times
// the unit's detention of steady running (rule of thumb, from memory).
const (
	fewestPairs = 3
	usualPairs  = 6
)

// spread is by how much the inlet has to vary, highest to lowest, before what a pass cannot take is told from its capture.
const spread = 3

// Pass is what pairs of inlet and outlet tell of one pass.
type Pass struct {
	N       int
	Capture Estimate[quantity.Fraction]
	// Floor is the reading that a pass does not get below; known where the inlet varied enough.
	Floor Estimate[float64]
	// Split is true where floor and capture were told apart.
	Split bool
}

// Few reports fewer pairs than such a test should have.
func (p Pass) Few() bool { return p.N < usualPairs }

// passes is the capture of single passes. The logarithms of outlet / inlet are averaged, since captures themselves are
// skew; where the inlet varies threefold or more, out = (1 − E)·in + E·f is fitted for proportional errors, out / in by
// 1 / in: the intercept is 1 − E, the slope E·f.
func passes(list []Reading) (k quantity.Known[Pass]) {
	var logs, ratios, inverse, even []float64
	low, high := math.Inf(1), 0.0
	for _, r := range list {
		if r.In.OK && r.Out.OK && r.In.V > 0 && r.Out.V > 0 {
			logs, ratios, inverse = append(logs, math.Log(r.Out.V/r.In.V)), append(ratios, r.Out.V/r.In.V), append(inverse, 1/r.In.V)
			even = append(even, 1)
			low, high = math.Min(low, r.In.V), math.Max(high, r.In.V)
		}
	}
	n := len(logs)
	if n == 0 {
		return k
	}
	k.OK = true
	p := &k.V
	p.N = n
	mean, sd := stat.MeanStdDev(logs, nil)
	p.Capture.V = quantity.Fraction(-math.Expm1(mean))
	if n < fewestPairs {
		return k
	}
	half := student(n-1) * sd / math.Sqrt(float64(n))
	p.Capture.Low, p.Capture.High = quantity.Some(quantity.Fraction(-math.Expm1(mean+half))), quantity.Some(quantity.Fraction(-math.Expm1(mean-half)))
	if high >= spread*low && n > fewestPairs {
		p.split(inverse, ratios, even)
	}
	return k
}

// student is Student's t of the interval of a run.
func student(df int) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: float64(df)}.Quantile((1 + float64(Sure)) / 2)
}

// split tells floor and capture apart, where that gives a capture from 0 to 100 % and a floor that is not below 0.
func (p *Pass) split(inverse, ratios, even []float64) {
	rest, slope := stat.LinearRegression(inverse, ratios, even, false)
	_, half := slopeOf(inverse, ratios, even)
	mean, n := stat.Mean(inverse, nil), float64(len(inverse))
	var sxx float64
	for _, v := range inverse {
		sxx += (v - mean) * (v - mean)
	}
	wide := half * math.Sqrt(sxx) * math.Sqrt(1/n+mean*mean/sxx) // of the intercept, by the same scatter
	e := 1 - rest
	if e <= 0 || e > 1 || slope-half <= 0 { // no floor is shown
		return
	}
	p.Split = true
	bound := func(v float64) quantity.Known[quantity.Fraction] {
		return quantity.Some(quantity.Fraction(math.Min(1, math.Max(0, v))))
	}
	p.Capture = Estimate[quantity.Fraction]{V: quantity.Fraction(e), Low: bound(e - wide), High: bound(e + wide)}
	p.Floor = Estimate[float64]{V: slope / e, Low: quantity.Some((slope - half) / e), High: quantity.Some((slope + half) / e)}
}

// pairsBelow reports inlet and outlet that say for sure that a pass takes out less than the course of the tank does, and says so. A pass cannot take
// what never comes out, so that a course with a floor lets the pairs of clear water show less. Pairs need no volume, no flow, and no
// tank in which nothing settles, so they are gone by.
func (x *Result) pairsBelow() bool {
	p := x.OfPairs
	if !p.OK || p.V.N < fewestPairs || !x.Capture.Low.OK || x.Outcome != Found && x.Outcome != FloorUnknown {
		return false
	}
	least, n := 0.0, 0.0
	for _, r := range x.Readings {
		if !r.In.OK || !r.Out.OK || r.In.V <= 0 || r.Out.V <= 0 {
			continue
		}
		can := 1.0
		if !p.V.Split {
			can = math.Max(0, 1-math.Max(x.Floor.V, x.Floor.High.V)/r.In.V)
		}
		least, n = least+math.Log(math.Max(1e-9, 1-float64(x.Capture.Low.V)*can)), n+1
	}
	by := quantity.Fraction(-math.Expm1(least / n))
	if p.V.Capture.High.V >= by {
		return false
	}
	x.Notes.Add(note.New(note.Caution, "pairs-below", "inlet and outlet say that a pass takes out %s, the course of the tank %s: something settles in the tank or leaves it elsewhere, or volume or flow are wrong", quantity.To(p.V.Capture.V, 2), quantity.To(x.Capture.V, 2)).
		At(x.At).Do("go by inlet and outlet, as is done here, and find out which: a run with the unit by-passed tells what settles"))
	return true
}
