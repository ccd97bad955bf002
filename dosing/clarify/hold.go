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
	// PerDay is how long the unit has to run each day; more than it may where it does not suffice.
	PerDay quantity.Time
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
	h.PerDay = quantity.Time(24 * in / out)
	if out <= 0 || h.PerDay > k.Hours.Length()*(1+1e-9) {
		return &Hold{Passes: h.Passes, PerDay: h.PerDay}, NotHeld
	}
	water := float64(k.Flow) * float64(h.PerDay) // m3 a day
	for _, c := range k.Chemicals {
		h.Uses = append(h.Uses, c.use(quantity.Mass(float64(c.Rule.At(k.Stop))*water/1000)))
	}
	return &h, Held
}
