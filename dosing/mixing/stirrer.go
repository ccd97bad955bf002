package mixing

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// StirrerPoint is one point of a jar stirrer's curve.
type StirrerPoint struct {
	Speed quantity.Rotation
	G     quantity.Gradient
}

// Stirrer turns the speed of a jar stirrer into G by its own curve, and back. At is the
// water temperature that the curve holds for.
type Stirrer struct {
	Points  []StirrerPoint
	At      quantity.Temperature
	Derived bool // true for the built-in table, false for the user's own curve
}

// The paddle and the jar of the built-in curve, tip to tip and filled.
const (
	UsualPaddle quantity.Length = 0.076
	UsualJar    quantity.Volume = 2
)

// PaddleStirrer is the stirrer that is assumed when the user has no curve: a flat paddle in a
// square jar at 20 C, power number between 1.5 and 2.0. It is derived from P = Np·ρ·n³·D⁵ with the
// middle of each range for 76 mm in 2 L, not measured; another paddle or jar goes by G = √(P/(μV)).
// What is not given is as usual.
func PaddleStirrer(paddle quantity.Known[quantity.Length], jar quantity.Known[quantity.Volume]) Stirrer {
	s := Stirrer{At: 20, Derived: true, Points: []StirrerPoint{{30, 16.5}, {60, 47.5}, {100, 101.5}, {200, 290}}}
	by := math.Pow(float64(paddle.Or(UsualPaddle)/UsualPaddle), 2.5) / math.Sqrt(float64(jar.Or(UsualJar)/UsualJar))
	for i := range s.Points {
		s.Points[i].G *= quantity.Gradient(by)
	}
	return s
}

// The speeds that stirrers of benches have (common practice, no source).
const (
	LeastSpeed quantity.Rotation = 10
	MostSpeed  quantity.Rotation = 300
)

// ParseStirrer reads a curve at 20 C: speeds with their G, such as "30 rpm=16 1/s; 100 rpm=100 1/s".
func ParseStirrer(text string) (Stirrer, error) {
	s := Stirrer{At: 20}
	for part := range strings.SplitSeq(text, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		speed, g, ok := strings.Cut(part, "=")
		n, err := quantity.Parse[quantity.Rotation](strings.TrimSpace(speed))
		v, no := quantity.Parse[quantity.Gradient](strings.TrimSpace(g))
		if !ok || err != nil || no != nil {
			return Stirrer{}, note.Fault("stirrer-curve", "%q is no speed with its G", strings.TrimSpace(part)).
				Do(`write it like "30 rpm=16 1/s; 100 rpm=100 1/s"`)
		}
		s.Points = append(s.Points, StirrerPoint{n, v})
	}
	_, err := s.G(1, s.At)
	return s, err
}

// curve gives the points by their speed, or what is wrong with them: G has to grow with the speed.
func (s Stirrer) curve() ([]StirrerPoint, error) {
	p := slices.SortedFunc(slices.Values(s.Points), func(a, b StirrerPoint) int { return sign(float64(a.Speed - b.Speed)) })
	if len(p) == 0 {
		return nil, note.Fault("stirrer-curve", "the stirrer has no curve").Do("give at least one speed with its G")
	}
	for i, x := range p {
		if x.Speed <= 0 || x.G <= 0 || i > 0 && (x.Speed == p[i-1].Speed || x.G <= p[i-1].G) {
			return nil, note.Fault("stirrer-curve", "the stirrer's curve has %s at %s", x.G, x.Speed).
				Do("each speed once, speed and G above zero, more G at more speed")
		}
	}
	return p, nil
}

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// G gives the gradient at a speed and water temperature. Between points it
// follows a power law; beyond them G grows with n^1.5, as turbulent stirring
// does. G falls with the square root of viscosity.
func (s Stirrer) G(n quantity.Rotation, t quantity.Temperature) (quantity.Gradient, error) {
	p, err := s.curve()
	if err != nil || n <= 0 {
		return 0, err
	}
	base, power := law(p, func(x StirrerPoint) bool { return x.Speed >= n })
	return quantity.Gradient(float64(base.G) * math.Pow(float64(n/base.Speed), power) * s.thinner(t)), nil
}

// Speed gives the speed at which the stirrer makes a gradient in water of a temperature: [Stirrer.G] the
// other way.
func (s Stirrer) Speed(g quantity.Gradient, t quantity.Temperature) (quantity.Rotation, error) {
	p, err := s.curve()
	if err != nil || g <= 0 {
		return 0, err
	}
	own := g / quantity.Gradient(s.thinner(t)) // in the water of the curve
	base, power := law(p, func(x StirrerPoint) bool { return x.G >= own })
	return quantity.Rotation(float64(base.Speed) * math.Pow(float64(own/base.G), 1/power)), nil
}

// thinner is by how much G is larger at a temperature than where the curve was taken.
func (s Stirrer) thinner(t quantity.Temperature) float64 {
	return math.Sqrt(Viscosity(s.At) / Viscosity(t))
}

// law is the power law of the stretch of a curve that ends with the first point that is reached.
func law(p []StirrerPoint, reached func(StirrerPoint) bool) (base StirrerPoint, power float64) {
	switch i := slices.IndexFunc(p, reached); i {
	case 0:
		return p[0], 1.5
	case -1:
		return p[len(p)-1], 1.5
	default:
		base = p[i-1]
		return base, math.Log(float64(p[i].G/base.G)) / math.Log(float64(p[i].Speed/base.Speed))
	}
}

// Reach is where a speed lies to those that stirrers have.
type Reach int

const (
	Within Reach = iota
	TooFast
	TooSlow
)

// JarStep is a stage of the plant as a jar is stirred for it.
type JarStep struct {
	Plant Stage
	// Needs is the speed that makes the plant's G, Speed and Stay what to stir at: where no usual
	// stirrer reaches it, the nearest that one does for the time that gives the same Gt.
	Needs quantity.Rotation
	Speed quantity.Rotation
	Stay  quantity.Time
	Reach Reach
}

// briefest is the shortest stirring that a hand with a stopwatch copies (our own).
const briefest quantity.Time = 10.0 / 3600

// Brief reports stirring that is too short to be copied by hand.
func (s JarStep) Brief() bool { return s.Stay < briefest }

// Mimic gives how a jar is stirred like a stage of the plant in water of a temperature.
func (s Stirrer) Mimic(plant Stage, t quantity.Temperature) (JarStep, error) {
	n, err := s.Speed(plant.G, t)
	step := JarStep{Plant: plant, Needs: n, Speed: n, Stay: plant.Stay}
	switch {
	case err != nil || n <= 0:
		return step, err
	case n > MostSpeed:
		step.Reach, step.Speed = TooFast, MostSpeed
	case n < LeastSpeed:
		step.Reach, step.Speed = TooSlow, LeastSpeed
	default:
		return step, nil
	}
	g, err := s.G(step.Speed, t)
	step.Stay = plant.Stay * quantity.Time(plant.G/g)
	return step, err
}
