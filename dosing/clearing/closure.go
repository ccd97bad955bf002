package clearing

import (
	"math"

	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// Closure holds what came off against what the readings say went out of the water.
type Closure struct {
	// Gone is the dry solids that left the water by its readings, at PerUnit mg/L for each unit of the reading, Made what the
	// chemicals made, Weighed what the bin held.
	Gone, Made, Weighed quantity.Mass
	PerUnit             float64
	// Assumed is true where PerUnit is what is usual of turbidity, and not measured.
	Assumed bool
	// Share is Weighed of Gone and Made together.
	Share quantity.Fraction
	// Fits is the solids for each unit of the reading with which the balance would close.
	Fits float64
}

// Bounds of a closure that is good, and of one that tells of a fault; judgement, no source.
const (
	GoodFrom, GoodTo quantity.Fraction = 0.7, 1.3
	TooLittle        quantity.Fraction = 0.5
	TooMuch          quantity.Fraction = 1.5
)

// closure is that of a run whose bin was weighed and whose volume is known.
func (x Result) closure() (k quantity.Known[Closure]) {
	weighed := x.Bin.Weighed()
	p := x.points()
	if !weighed.OK || !x.Volume.OK || len(p.t) < 2 || x.Off || x.volumeVaried() {
		return k
	}
	n := len(p.t) - 1
	first, last := math.Exp(p.y[0]), math.Exp(p.y[n])
	if x.told {
		first, last = x.fit.at(p.t[0]), x.fit.at(p.t[n])
	}
	c := Closure{PerUnit: 1, Weighed: weighed.V, Made: x.Bin.Made.V}
	if x.Key == jartest.Turbidity {
		c.PerUnit, c.Assumed = solids.PerNTU, true
	}
	if x.Polymer.OK && x.Flow.OK && !x.Bin.Made.OK { // a polymer goes into the float whole
		passed := quantity.Volume(float64(x.Flow.V) * (p.t[n] - p.t[0]) * 1000)
		c.Made = solids.MassOf(x.Polymer.V, passed)
	}
	perUnit := quantity.Mass((first - last) * x.Volume.V.In("m3") / 1000) // kg at 1 mg/L for each unit
	c.Gone = perUnit * quantity.Mass(c.PerUnit)
	if c.Gone <= 0 {
		return k
	}
	c.Share = quantity.Fraction(c.Weighed / (c.Gone + c.Made))
	c.Fits = math.Max(0, float64((c.Weighed-c.Made)/perUnit))
	return quantity.Some(c)
}
