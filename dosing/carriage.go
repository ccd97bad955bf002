package dosing

import (
	"math"

	"jarwright/jartest/quantity"
)

// Polymer is made up strong, so that it ages well, and carried weak, so that it spreads through the water before it
// has bound: its solution stands at one to five grams of active polymer a litre, and leaves the dosing points at a
// tenth of that (common practice, no source).
const (
	MadeUpLeast, MadeUpMost   quantity.Fraction = 0.001, 0.005
	CarriedLeast, CarriedMost quantity.Fraction = 0.0001, 0.0005
)

// Carriage is how the water after the pump carries a feed to its point.
type Carriage struct {
	// Litre is in what time it passes a litre of line.
	Litre quantity.Time
	// Polymer is true for a polymer of known strength; MadeUp and Strength are then its active share by mass in the stock
	// and at the dosing point, and Least and Most the carrier water between which that is usual.
	Polymer          bool
	MadeUp, Strength quantity.Fraction
	Least, Most      quantity.Flow
}

// Strong reports that the stock, or what leaves the dosing point, is stronger than is usual; Weak that it is weaker.
func (c Carriage) Strong() bool { return c.Polymer && c.Strength > CarriedMost*(1+1e-9) }

// Weak is the other side of [Carriage.Strong].
func (c Carriage) Weak() bool { return c.Polymer && c.Strength < CarriedLeast*(1-1e-9) }

// Carriage is that of a feed; false where no water carries it.
func (f Feed) Carriage() (c Carriage, ok bool) {
	rate := f.Rate.In("L/h")
	if !f.Fed || f.Post <= 0 || rate <= 0 {
		return c, false
	}
	c.Litre = quantity.Time(1 / (f.Post.In("L/h") + rate))
	p := f.Stock.Product
	if !p.IsPolymer() {
		return c, true
	}
	active, known := p.ActivePolymer(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct})
	if !known {
		return c, true
	}
	c.Polymer, c.MadeUp, c.Strength = true, f.Stock.PercentByMass()*quantity.Fraction(active), f.AtPoint*quantity.Fraction(active)
	// Between stock and point the polymer stays and water comes in, as heavy as the water of the stock, which is nearly all of it.
	carrier := func(at quantity.Fraction) quantity.Flow {
		return f.Post * quantity.Flow(math.Max(0, (1/float64(at)-1/float64(c.MadeUp))/(1/float64(c.Strength)-1/float64(c.MadeUp))))
	}
	c.Least, c.Most = carrier(CarriedMost), carrier(CarriedLeast)
	return c, true
}
