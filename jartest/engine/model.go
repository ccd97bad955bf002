package engine

import (
	"math"
	"slices"
)

// Point is a place among one or two scaled factors; Y is zero where one was varied.
type Point struct{ X, Y float64 }

// Place is a point with the logarithm of its first factor, minus infinity where that is zero:
// many curves are read at the same places, and most go by the logarithm of the dose.
type Place struct {
	Point
	Log float64
}

// placed works out the logarithm.
func placed(at Point) Place {
	if at.X <= 0 {
		return Place{at, math.Inf(-1)}
	}
	return Place{at, ln(at.X)}
}

// Model is one way that a reading may change with what was varied. On the
// logarithmic scale it gives ln(f(u)/f(0)), or that but for a constant; on the
// additive scale it gives a shape s(u) with s(0) = 0 and the reading is a + b s(u).
// u is the dose as a share of the highest dose tested. Adding a model is one file
// with one of these and its line in [Models] (or [PartialModels], [AdditiveModels],
// [OptimumModels], [PairModels], [PHModels], [StraightModels]).
type Model struct {
	Name string
	// Formula is what people read, in terms of the parameters' names and d, the dose.
	Formula string
	// Params describes the shape's parameters, at most maxParams of them.
	Params []Param
	// Size names what a reading on the additive scale changes by, b where it is not given:
	// the factor of the shape, in the reading's unit or, with Dose -1, in that per dose.
	Size Param
	// Rises says that the model can turn up again on over-dose.
	Rises bool
	// Late says that the curve falls late and steeply on the logarithmic scale.
	Late bool
	// Levels is how many levels of each factor the parameters need; zero for any.
	Levels [2]int
	// Values writes the shape at each of the places, for natural parameters p, into out: what
	// does not hang on the place is worked out once for the curve.
	Values func(at []Place, p, out []float64)
	// Gradient writes the derivatives of the shape at a place by each natural parameter into g;
	// nil leaves them to differences.
	Gradient func(at Place, p, g []float64)
}

// pointwise makes Values of a shape that is told place by place.
func pointwise(value func(at Point, p []float64) float64) func(at []Place, p, out []float64) {
	return func(at []Place, p, out []float64) {
		for i := range at {
			out[i] = value(at[i].Point, p)
		}
	}
}

// Value is the shape at one place.
func (m *Model) Value(at Point, p []float64) float64 {
	var out [1]float64
	m.Values([]Place{placed(at)}, p, out[:])
	return out[0]
}

// Param is one parameter of a model's shape.
type Param struct {
	Name, Meaning string
	// Positive parameters are searched by their logarithm.
	Positive bool
	// Centre and Spread are the prior: median, and standard deviation of the
	// logarithm (Positive) or of the parameter itself. Wide on purpose; they say
	// only what a jar test is like.
	Centre, Spread float64
	// Dose is 1 for a parameter that is a dose, -1 for one per dose, -2 for one
	// per dose squared, 0 for a pure number: to turn scaled values into the user's.
	Dose int
}

// MaxParams bounds the parameters of a shape so that a draw has no heap parts.
const MaxParams = 5

// Natural turns search coordinates, in units of prior spread from the prior's
// centre, into natural parameters.
func (m *Model) Natural(z, p []float64) {
	for i := range m.Params {
		q := &m.Params[i]
		if q.Positive {
			p[i] = q.Centre * exp(q.Spread*z[i])
		} else {
			p[i] = q.Centre + q.Spread*z[i]
		}
	}
}

// keeping is Natural into p, and the shape at some places into v, for a search, which asks for
// residuals and for slopes at the same parameters.
func (m *Model) keeping(at []Place, p, v []float64) func(z []float64) {
	last := make([]float64, len(m.Params))
	last[0] = math.NaN()
	return func(z []float64) {
		if !slices.Equal(z, last) {
			copy(last, z)
			m.Natural(z, p)
			m.Values(at, p, v)
		}
	}
}

// Slopes turns derivatives by natural parameters into those by search coordinates.
func (m *Model) Slopes(p, g []float64) {
	for i := range m.Params {
		q := &m.Params[i]
		g[i] *= q.Spread
		if q.Positive {
			g[i] *= p[i]
		}
	}
}

// rooms are those for the shape at n places, for it once more where derivatives are taken by
// differences, and for these.
func (m *Model) rooms(n int) (v, again, g []float64) {
	all := make([]float64, n*(2+len(m.Params)))
	return all[:n:n], all[n : 2*n : 2*n], all[2*n:]
}

// gradients writes derivatives by search coordinates, the model's own or differences, into g, a
// row a place; v is the shape there, room as long.
func (m *Model) gradients(at []Place, p, v, room, g []float64) {
	q := len(m.Params)
	if m.Gradient != nil {
		for i := range at {
			m.Gradient(at[i], p, g[i*q:(i+1)*q])
		}
	} else {
		for k := range q {
			was := p[k]
			h := 1e-6 * math.Max(math.Abs(was), 1e-2)
			p[k] = was + h
			m.Values(at, p, room)
			p[k] = was
			for i := range at {
				g[i*q+k] = (room[i] - v[i]) / h
			}
		}
	}
	for i := range at {
		m.Slopes(p, g[i*q:(i+1)*q])
	}
}

// Models gives the models of a reading that falls with dose, in the order in
// which they are reported.
func Models() []Model {
	return []Model{expDecay(), logLogistic(), weibull(), brokenStick(), lagStick(), lagRamp(), logQuadratic(), fallRise(), twoLogistic()}
}

// PartialModels gives the models of a reading of which a part may be all that can be taken.
func PartialModels() []Model { return append(Models(), partialFall()) }

// AdditiveModels gives the models for readings that may be zero, negative or
// rising, such as pH or zeta potential.
func AdditiveModels() []Model {
	return []Model{Bent(), saturating(), sigmoid(), additiveStick()}
}

// OptimumModels gives the models against a factor with an optimum inside its
// range, such as pH at a fixed dose.
func OptimumModels() []Model { return []Model{parabola(), valley()} }

// depth is the parameter that most falling models share.
func depth() Param {
	return Param{Name: "A", Meaning: "depth of the fall: ln(untreated / floor)", Positive: true, Centre: 2.7, Spread: 0.6}
}

func logistic(x float64) float64 { return 1 / (1 + exp(-x)) }
