package water

import (
	"math"

	"jarwright/jartest/quantity"
)

// Stripper blows air through water in stages, each of so much air that the two come to balance in it: a column, a
// trickling tower or a cascade, of which none does better.
type Stripper struct {
	// Henry is the carbon dioxide in a litre of air over that in a litre of water beside it, once they are in balance.
	Henry float64
	// Air is what water in balance with fresh air holds.
	Air quantity.Concentration
}

// gasConstant is in L·atm/(mol·K) (CODATA 2018: 8.314463 J/(mol·K) at 101.325 kPa).
const gasConstant = 0.08205737

// StripperAt is that of a water: by the solubility that all of this package goes by (Weiss 1974, which meets Plummer and
// Busenberg 1982 within 0.5 % in fresh water and holds in sea water too).
func StripperAt(c Conditions) Stripper {
	k := ConstantsAt(c)
	perLitre := k.K0 * k.Density // mol/(L·atm)
	return Stripper{Henry: 1 / (perLitre * gasConstant * c.Temperature.In("K")),
		Air: quantity.Concentration(perLitre * float64(Air) * co2PerMmol * 1000)}
}

// Removes is the share of what water holds above balance with air that one stage takes out, with so much air over water by
// volume: 1/(1 + 1/(H·G/L)). Bicarbonate gives almost none back, for the alkalinity stays.
func (s Stripper) Removes(airOverWater float64) quantity.Fraction {
	return quantity.Fraction(1 - 1/(1+s.Henry*airOverWater))
}

// After is what a number of stages leave, each with fresh air.
func (s Stripper) After(co2 quantity.Concentration, airOverWater float64, stages int) quantity.Concentration {
	left := math.Pow(1-float64(s.Removes(airOverWater)), float64(stages))
	return s.Air + (co2-s.Air)*quantity.Concentration(left)
}

// Stages is how many stages bring water down to a limit; false where no number does, since air itself gives more.
func (s Stripper) Stages(co2, limit quantity.Concentration, airOverWater float64) (int, bool) {
	if co2 <= limit {
		return 0, true
	}
	if limit <= s.Air {
		return 0, false
	}
	n := math.Log(float64((co2-s.Air)/(limit-s.Air))) / -math.Log(1-float64(s.Removes(airOverWater)))
	return int(math.Ceil(n - 1e-9)), true
}

// Side is the flow from a mixed tank through one stage and back that holds the tank at the limit, while a flow with so much
// carbon dioxide comes into it and goes out again; false where none does.
func (s Stripper) Side(in quantity.Flow, co2, limit quantity.Concentration, airOverWater float64) (quantity.Flow, bool) {
	if limit <= s.Air {
		return 0, co2 <= limit
	}
	return in * quantity.Flow(max(0, co2-limit)) / quantity.Flow(float64(s.Removes(airOverWater))*float64(limit-s.Air)), true
}
