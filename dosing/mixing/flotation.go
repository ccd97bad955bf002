package mixing

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// AirSolubility gives the air (nitrogen, oxygen, argon, carbon dioxide) that
// fresh water dissolves from moist-free air at one atmosphere. Henry's constants
// A·exp(−B·T) in mg/(L atm), T in C: Hendricks 2011, Fundamentals of Water
// Treatment Unit Processes, p. 175; shares of dry air 78.08, 20.95, 0.93 and
// 0.0314 % by volume, the air of that book (carbon dioxide has risen since; it adds 0.2 mg/L). It is not the oxygen saturation times 4.29, which takes
// nitrogen for as soluble as oxygen and is half too high.
func AirSolubility(t quantity.Temperature) quantity.Concentration {
	sum := 0.0
	for _, g := range [...]struct{ share, a, b float64 }{
		{0.7808, 27.593, 0.01710}, {0.2095, 64.75, 0.01862}, {0.0093, 64.75, 0.01862}, {0.000314, 3129.9, 0.02955},
	} {
		sum += g.share * g.a * math.Exp(-g.b*float64(t))
	}
	return quantity.Concentration(sum)
}

// Saturator is what makes the white water.
type Saturator struct {
	Pressure quantity.Pressure // gauge
	// Efficiency is the share of the saturation that is reached: 65–75 % with an
	// eductor, 90–95 % packed.
	Efficiency  quantity.Fraction
	Temperature quantity.Temperature
}

// Released gives the air that one litre of white water sets free: sa·(f·P − 1)
// with P in atmospheres absolute; zero when the pressure is too low to set any free.
func (s Saturator) Released() quantity.Concentration {
	p := (float64(s.Pressure) + quantity.Atmosphere) / quantity.Atmosphere
	return quantity.Concentration(math.Max(0, float64(AirSolubility(s.Temperature))*(float64(s.Efficiency)*p-1)))
}

// AirToSolids gives A/S = sa·(f·P − 1)·R/(Sa·Q), mass of air per mass of dry
// solids: recycle is R/Q, solids what reaches the unit with the chemical's own.
func AirToSolids(s Saturator, recycle quantity.Fraction, solids quantity.Concentration) float64 {
	return float64(s.Released()) * float64(recycle) / float64(solids)
}

// RecycleFor gives the recycle R/Q that reaches an air-to-solids ratio. It can
// exceed one, so it is not a Fraction. Infinite where the pressure frees no air.
func RecycleFor(ratio float64, s Saturator, solids quantity.Concentration) float64 {
	return ratio * float64(solids) / float64(s.Released())
}

// SurfaceLoading gives (Q + R)/A, the speed at which water goes down in a unit.
func SurfaceLoading(q quantity.Flow, recycle quantity.Fraction, a quantity.Area) quantity.Loading {
	return quantity.Loading(float64(q) * (1 + float64(recycle)) / float64(a))
}

// Unit describes a flotation unit; zero fields are not known.
type Unit struct {
	Area      quantity.Area
	Recycle   quantity.Fraction
	Saturator Saturator
	// HighRate marks a unit built for 20–40 m/h.
	HighRate bool
}

// Check is what a flotation unit does with a flow and its solids.
type Check struct {
	Loading     quantity.Loading
	Solids      quantity.SolidsLoading
	AirToSolids float64
	// HasLoading and HasAir tell which could be worked out.
	HasLoading, HasAir bool
	Notes              note.List
}

// LeastAir and MostAir are what solids usually get of air, mass on mass (Hendricks 2011, p. 181).
const LeastAir, MostAir quantity.Number = 0.01, 0.1

// Float checks a unit at a flow with so much dry solids reaching it.
func (u Unit) Float(q quantity.Flow, solids quantity.Concentration) Check {
	var c Check
	if u.Area > 0 {
		c.HasLoading = true
		c.Loading = SurfaceLoading(q, u.Recycle, u.Area)
		c.Solids = quantity.SolidsLoading(float64(q) * float64(solids) / 1000 / float64(u.Area))
		low, high, source := 5.0, 15.0, "Hendricks 2011, table 8.4"
		if u.HighRate {
			low, high, source = 20, 40, "Edzwald, conference paper on high-rate flotation (abstract)"
		}
		usualLow, usualHigh := quantity.To(quantity.Loading(low), 3), quantity.To(quantity.Loading(high), 3)
		switch l := float64(c.Loading); {
		case l > high:
			c.Notes.Add(note.New(note.Caution, "loading-high", "surface loading is %s; usual is %s to %s: flocs may be carried under", c.Loading, usualLow.Bare(), usualHigh).
				Do("hold the flow to %s, or use %s of surface", quantity.Flow(high*float64(u.Area)/(1+float64(u.Recycle))), quantity.Area(float64(q)*(1+float64(u.Recycle))/high)).From(source))
		case l < low:
			c.Notes.Add(note.New(note.Info, "loading-low", "surface loading is %s, below the usual %s to %s: the unit has room to spare", c.Loading, usualLow.Bare(), usualHigh).From(source))
		default:
			c.Notes.Add(note.New(note.Info, "loading-usual", "surface loading is %s, inside the usual %s to %s", c.Loading, usualLow.Bare(), usualHigh).From(source))
		}
	}
	if u.Recycle > 0 && u.Saturator.Pressure > 0 && u.Saturator.Efficiency > 0 && solids > 0 {
		c.HasAir = true
		c.AirToSolids = AirToSolids(u.Saturator, u.Recycle, solids)
		source := "Hendricks 2011, p. 181"
		switch {
		case u.Saturator.Released() == 0:
			c.Notes.Add(note.New(note.Caution, "no-air", "at %s and %s efficiency the white water sets no air free", u.Saturator.Pressure, u.Saturator.Efficiency).
				Do("raise the pressure: %s to %s is usual", quantity.To(quantity.Pressure(350), 3).Bare(), quantity.To(quantity.Pressure(620), 3)).From("Hendricks 2011, table 8.4"))
		case c.AirToSolids < float64(LeastAir):
			c.Notes.Add(note.New(note.Caution, "air-short", "air to solids is %s; at least %s is asked for: part of the floc will not rise", quantity.Full(quantity.Number(c.AirToSolids), 2), LeastAir).
				Do("raise the recycle to %s %% of the flow, or the pressure", quantity.Full(quantity.Number(100*RecycleFor(float64(LeastAir), u.Saturator, solids)), 2)).From(source))
		case c.AirToSolids > float64(MostAir):
			c.Notes.Add(note.New(note.Info, "air-plenty", "air to solids is %s, above the usual %s to %s: the recycle could be smaller", quantity.Full(quantity.Number(c.AirToSolids), 2), LeastAir, MostAir).From(source))
		default:
			c.Notes.Add(note.New(note.Info, "air-usual", "air to solids is %s, inside the usual %s to %s", quantity.Full(quantity.Number(c.AirToSolids), 2), LeastAir, MostAir).From(source))
		}
	}
	return c
}
