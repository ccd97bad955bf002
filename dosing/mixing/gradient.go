package mixing

import (
	"math"
	"sort"

	"jarwright/jartest/note"
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

// StirrerPoint is one point of a jar stirrer's curve.
type StirrerPoint struct {
	Speed quantity.Rotation
	G     quantity.Gradient
}

// Stirrer turns the speed of a jar stirrer into G by its own curve. At is the
// water temperature that the curve holds for.
type Stirrer struct {
	Points  []StirrerPoint
	At      quantity.Temperature
	Derived bool // true for the built-in table, false for the user's own curve
}

// PaddleStirrer is the stirrer that is assumed when the user has no curve: flat
// paddle of 76 mm in a square 2 L jar at 20 C, power number between 1.5 and 2.0.
// It is derived from P = Np·ρ·n³·D⁵ with the middle of each range, not measured.
func PaddleStirrer() Stirrer {
	return Stirrer{At: 20, Derived: true, Points: []StirrerPoint{{30, 16.5}, {60, 47.5}, {100, 101.5}, {200, 290}}}
}

// G gives the gradient at a speed and water temperature. Between points it
// follows a power law; beyond them G grows with n^1.5, as turbulent stirring
// does. G falls with the square root of viscosity.
func (s Stirrer) G(n quantity.Rotation, t quantity.Temperature) (quantity.Gradient, error) {
	p := append([]StirrerPoint(nil), s.Points...)
	sort.Slice(p, func(i, j int) bool { return p[i].Speed < p[j].Speed })
	if len(p) == 0 {
		return 0, note.Fault("stirrer-curve", "the stirrer has no curve").Do("give at least one speed with its G")
	}
	for i, x := range p {
		if x.Speed <= 0 || x.G <= 0 || i > 0 && x.Speed == p[i-1].Speed {
			return 0, note.Fault("stirrer-curve", "the stirrer's curve has %s at %s", x.G, x.Speed).Do("each speed once, speed and G above zero")
		}
	}
	if n <= 0 {
		return 0, nil
	}
	warm := math.Sqrt(Viscosity(s.At) / Viscosity(t))
	i := sort.Search(len(p), func(i int) bool { return p[i].Speed >= n })
	base, power := p[0], 1.5
	switch {
	case i == len(p):
		base = p[i-1]
	case i > 0:
		base = p[i-1]
		power = math.Log(float64(p[i].G/base.G)) / math.Log(float64(p[i].Speed/base.Speed))
	}
	return quantity.Gradient(float64(base.G) * math.Pow(float64(n/base.Speed), power) * warm), nil
}
