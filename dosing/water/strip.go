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

// Round is water that goes round from a mixed tank through a unit and back, and is stripped on its way or in a side stream.
// What a pass frees comes into the same water again and again, so that the tank settles where what goes out is as much:
//
//	V dC/dt = Q·F − K·(C − S) − what is stripped
type Round struct {
	Stripper
	// Flow is Q through the unit, Frees what each pass frees, F.
	Flow  quantity.Flow
	Frees quantity.Concentration
	// Stands is S, at which the tank stands without that: what animals breathe out and what the tank loses come to balance there.
	Stands quantity.Concentration
	// Renewed is new water, the least of what the tank loses by for certain, and Breathed what the animals breathe out each hour, in g.
	Renewed  quantity.Flow
	Breathed float64
}

// loses is K at a level, as a flow: below what the tank stands at, what keeps it there has to be stripped as well.
func (r Round) loses(at quantity.Concentration) float64 {
	if at >= r.Stands || r.Stands <= r.Air {
		return float64(r.Renewed)
	}
	return max(float64(r.Renewed), r.Breathed/float64(r.Stands-r.Air))
}

// own is what has to be stripped in an hour, in g, to hold a level, beside what stages on the way leave of a pass.
func (r Round) own(at quantity.Concentration) float64 {
	return r.loses(at) * float64(r.Stands-at)
}

// Side is the flow from the tank through one stage and back that holds it at a level; false where none does, since air itself gives more.
func (r Round) Side(level quantity.Concentration, airOverWater float64) (quantity.Flow, bool) {
	if level <= r.Air {
		return 0, false
	}
	in := float64(r.Flow)*float64(r.Frees) + r.own(level)
	return quantity.Flow(max(0, in) / (float64(r.Removes(airOverWater)) * float64(level-r.Air))), true
}

// Stages is how many stages between unit and tank hold it at a level; false where no number does.
func (r Round) Stages(level quantity.Concentration, airOverWater float64) (int, bool) {
	above := float64(level - r.Air)
	left := (above - r.own(level)/float64(r.Flow)) / (above + float64(r.Frees)) // that they may leave of what is above air
	if level <= r.Air || left <= 0 {
		return 0, false
	}
	return max(0, int(math.Ceil(math.Log(left)/math.Log1p(-float64(r.Removes(airOverWater)))-1e-9))), true
}

// Settles is where the tank comes to with so many stages between unit and tank.
func (r Round) Settles(airOverWater float64, stages int) quantity.Concentration {
	left, q := math.Pow(1-float64(r.Removes(airOverWater)), float64(stages)), float64(r.Flow)
	to := func(k float64) quantity.Concentration {
		return quantity.Concentration((q*(float64(r.Air)*(1-left)+float64(r.Frees)*left) + k*float64(r.Stands)) / (q*(1-left) + k))
	}
	if level := to(float64(r.Renewed)); level >= r.Stands {
		return level
	}
	return to(r.loses(0))
}
