package caution

import (
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// Strip is what it takes to strip the carbon dioxide that a loop's dose frees down to what its animals should have.
type Strip struct {
	// CO2 is that of the treated water, Limit what Who should have.
	CO2, Limit quantity.Concentration
	Who        string
	Ways       []StripWay
}

// StripWay is one stage with so much air over water by volume.
type StripWay struct {
	Air float64
	// Removes is its share of what is above balance with air, Leaves what one stage leaves of the treated water.
	Removes quantity.Fraction
	Leaves  quantity.Concentration
	// Stages of it between unit and animals, or Side as the flow from the tank through one stage and back, meet the limit.
	Stages int
	Side   quantity.Flow
}

// airs are the ratios of air over water by volume that strippers are built for (common practice, no source).
var airs = [...]float64{1, 2, 5, 10}

// strip keeps what meets the limit of the animal that bears least; only a loop whose temperature is known.
func (v *reviewer) strip(c *Chemistry, who string, limit quantity.Concentration) {
	if !v.runs() || v.s.Once != nil || !v.s.Water.Temperature.OK || v.out.Strip != nil && v.out.Strip.Limit <= limit {
		return
	}
	s := water.StripperAt(c.Before.Conditions)
	out := Strip{CO2: c.Closed.CO2, Limit: limit, Who: who}
	for _, air := range airs {
		stages, ok := s.Stages(out.CO2, limit, air)
		side, held := s.Side(v.s.Flow.V, out.CO2, limit, air)
		if !ok || !held {
			return
		}
		out.Ways = append(out.Ways, StripWay{Air: air, Removes: s.Removes(air), Leaves: s.After(out.CO2, air, 1), Stages: stages, Side: side})
	}
	v.out.Strip = &out
}
