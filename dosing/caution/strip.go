package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Strip is what it takes to strip the carbon dioxide that doses free in water that goes round, so that its tank settles at what animals should have.
type Strip struct {
	// CO2 is that of water treated once, Limit what Who should have. Freed is what the passes of a day free, all day long or in the Hours
	// that a loop's unit runs of it.
	CO2, Limit quantity.Concentration
	Freed      quantity.MassRate
	Hours      quantity.Known[quantity.Time]
	Who        string
	// Lent names the animal whose limit it is, where none of Who is known; Stands is what the water has without doses, and Breathes is true where
	// what the animals breathe out is counted.
	Lent     string
	Stands   quantity.Concentration
	Breathes bool
	// Pressing is true where a caution or a stop says that there is too much; else it is only to know.
	Pressing bool
	Ways     []StripWay
}

// StripWay is one stage with so much air over water by volume.
type StripWay struct {
	Air float64
	// Removes is its share of what is above balance with air, Settles where the tank comes to with one stage between unit and animals.
	Removes quantity.Fraction
	Settles quantity.Concentration
	// Stages of it between unit and animals, none where no number will do, or Side as the flow from the tank through one stage and back, hold the limit.
	Stages quantity.Known[int]
	Side   quantity.Flow
}

// airs are the ratios of air over water by volume that strippers are built for (common practice, no source).
var airs = [...]float64{1, 2, 5, 10}

// breathed is the carbon dioxide that goes with a mass of feed: 0.5 of oxygen, and 1.375 of carbon dioxide to that (Timmons and Ebeling,
// Recirculating Aquaculture; from memory).
const breathed = 0.5 * 1.375

// round is the water that goes round, as stripping sees it; false where none does, or its temperature is not known.
func (v *reviewer) round(c *Chemistry) (water.Round, bool) {
	r := water.Round{Stripper: water.StripperAt(c.Before.Conditions), Flow: v.s.Flow.V, Frees: v.onePass(c).CO2 - c.Before.CO2, Stands: c.Before.CO2,
		Breathed: breathed * float64(v.s.Water.Feed.V) * 1000 / 24}
	if v.s.Loop != nil {
		r.Renewed = v.s.Loop.Exchange.Or(0)
	}
	goes := v.runs() || v.s.Once != nil && v.s.Loop == nil && v.s.Flow.V > 0
	return r, goes && !v.quiet && v.s.Water.Temperature.OK && r.Frees > 0
}

// strip keeps what holds the limit of the animal that bears least; lent names whose it is where it is not that of who.
func (v *reviewer) strip(c *Chemistry, who, lent string, limit quantity.Concentration) {
	r, ok := v.round(c)
	if !ok || v.out.Strip != nil && v.out.Strip.Limit <= limit {
		return
	}
	out := Strip{CO2: c.Before.CO2 + r.Frees, Limit: limit, Who: who, Lent: lent, Stands: r.Stands, Breathes: r.Breathed > 0 && limit < r.Stands}
	runs := quantity.Time(24)
	if v.s.Loop != nil && v.s.Hours < runs { // of a run of hours it is the pace
		runs = v.s.Hours
		out.Hours = quantity.Some(runs)
	}
	out.Freed = quantity.MassRate(float64(r.Flow) * float64(r.Frees) * float64(runs) / 1000)
	for _, air := range airs {
		side, held := r.Side(limit, air)
		if !held {
			return
		}
		stages, do := r.Stages(limit, air)
		out.Ways = append(out.Ways, StripWay{Air: air, Removes: r.Removes(air), Settles: r.Settles(air, 1), Stages: quantity.Known[int]{V: stages, OK: do}, Side: side})
	}
	if out.Ways[0].Side <= 0 { // new water alone holds it
		return
	}
	v.out.Strip = &out
}

// pressing reports that more than a note is said of carbon dioxide.
func (f Findings) pressing() bool {
	return slices.ContainsFunc(f.Notes, func(n note.Note) bool { return n.Level >= note.Caution && strings.HasPrefix(n.Code, "co2-") })
}
