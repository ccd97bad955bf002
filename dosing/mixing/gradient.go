package mixing

import (
	"math"

	"jarwright/jartest/quantity"
)

// FromPower gives G = √(P/(μV)) of a volume that takes up the power P. P is the
// power that reaches the water, not that of the motor.
func FromPower(p quantity.Power, v quantity.Volume, t quantity.Temperature) quantity.Gradient {
	return quantity.Gradient(math.Sqrt(float64(p) / (Viscosity(t) * v.In("m3"))))
}

// FromHeadLoss gives G = √(ρgh/(μt)) of a static mixer, a pipe or a weir, where
// the water loses the head h while it stays for the time t.
func FromHeadLoss(h quantity.Length, stay quantity.Time, t quantity.Temperature) quantity.Gradient {
	return quantity.Gradient(math.Sqrt(WaterDensity(t).In("kg/m3") * gravity * float64(h) / (Viscosity(t) * stay.In("s"))))
}

// Product gives Gt, which has no unit.
func Product(g quantity.Gradient, stay quantity.Time) float64 { return float64(g) * stay.In("s") }

// Stay gives the time that water stays in a volume at a flow: V/Q.
func Stay(v quantity.Volume, q quantity.Flow) quantity.Time {
	return quantity.Time(v.In("m3") / float64(q))
}
