package clearing

import (
	"math"

	"jarwright/dosing/product"
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
	// OfCoagulant is the part of Made that a coagulant made; Uncounted is true where one was dosed and nothing says which.
	OfCoagulant quantity.Mass
	Uncounted   bool
	// Assumed is true where PerUnit is what is usual of turbidity, and neither measured nor said.
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
	if x.PerUnit.OK {
		c.PerUnit, c.Assumed = x.PerUnit.V, false
	}
	if x.Flow.OK && !x.Bin.Made.OK {
		passed := quantity.Volume(float64(x.Flow.V) * (p.t[n] - p.t[0]) * 1000)
		of, known := x.precipitate()
		c.OfCoagulant, c.Uncounted = solids.MassOf(of, passed), !known
		c.Made = solids.MassOf(x.Polymer.V, passed) + c.OfCoagulant // a polymer goes into the float whole
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

// precipitate is the dry solids that the coagulant makes, in mg/L of the water that it was dosed into, as a day counts them; false where one was dosed and nothing says which it is.
func (x Result) precipitate() (quantity.Concentration, bool) {
	if x.Coagulant.V == 0 {
		return 0, true
	}
	p, err := product.Default().GuessFor(x.CoagulantAs)
	if err != nil || p.Metal() == "" {
		return 0, false
	}
	as := map[string]quantity.Basis{"Al": quantity.AsAl, "Fe": quantity.AsFe}[p.Metal()]
	metal, err := product.Convert(quantity.Dose{Concentration: x.Coagulant.V, Basis: x.CoagulantAs}, p, as)
	if err != nil {
		return 0, false
	}
	w := solids.Water{Al: metal.Concentration}
	if as == quantity.AsFe {
		w = solids.Water{Fe: metal.Concentration}
	}
	dry, _ := solids.Dry(w)
	return dry.Likely, true
}
