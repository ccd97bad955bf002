package clarify

import (
	"math"

	"jarwright/jartest/quantity"
)

// Hold is what it takes to hold a tank at the reading to stop at, into which solids
// come all the time.
type Hold struct {
	// Passes is how long the tank, left alone, stays below that reading.
	Passes quantity.Time
	// PerDay is how long the unit has to run each day, which may be longer than it is let;
	// not given where no hours of a day would do.
	PerDay quantity.Known[quantity.Time]
	// Uses are per day.
	Uses []Use
}

// hold works out what holds a tank that is clear already; nil where it stays so by itself.
func (k Tank) hold() (*Hold, Outcome) {
	alone := k.Plateau(0)
	if !(alone > k.Stop) || k.Rise <= 0 && k.Exchange <= 0 {
		return nil, ClearAlready
	}
	v := k.Volume.In("m3")
	var h Hold
	if x := float64(k.Exchange) / v; x > 0 {
		h.Passes = quantity.Time(math.Log((alone-k.Start)/(alone-k.Stop)) / x)
	} else {
		h.Passes = quantity.Time((k.Stop - k.Start) / k.Rise)
	}
	in := float64(k.Exchange)*(k.New-k.Stop) + k.Rise*v // reading × m3 an hour
	out := float64(k.Removal) * float64(k.Flow) * (k.Stop - k.Floor)
	hours := 24 * in / out
	if out <= 0 || hours > 24*(1+1e-9) {
		return &h, NotHeld
	}
	h.PerDay = quantity.Some(quantity.Time(hours))
	if hours > float64(k.Hours.Length())*(1+1e-9) {
		return &h, NotHeld
	}
	water := float64(k.Flow) * hours // m3 a day
	for _, c := range k.Chemicals {
		h.Uses = append(h.Uses, c.use(quantity.Mass(float64(c.Fed(c.Rule.At(k.Stop)))*water/1000)))
	}
	return &h, Held
}
