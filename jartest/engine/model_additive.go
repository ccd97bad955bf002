package engine

import "math"

// Bent is a straight line with a bend: s = u + q u^2.
func Bent() Model {
	return Model{
		Name: "bent line", Rises: true, Formula: "f = a + b (d + q d^2)",
		Params:   []Param{{Name: "q", Meaning: "bend", Centre: 0, Spread: 0.8, Dose: -1}},
		Size:     Param{Name: "b", Meaning: "slope at zero dose", Dose: -1},
		Values:   pointwise(func(at Point, p []float64) float64 { return at.X + p[0]*at.X*at.X }),
		Gradient: func(at Place, p, g []float64) { g[0] = at.X * at.X },
	}
}

// saturating levels off exponentially.
func saturating() Model {
	return Model{
		Name: "exponential approach", Formula: "f = a + b (1 - exp(-k d))",
		Params:   []Param{{Name: "k", Meaning: "rate", Positive: true, Centre: 3, Spread: 0.8, Dose: -1}},
		Values:   pointwise(func(at Point, p []float64) float64 { return 1 - exp(-p[0]*at.X) }),
		Gradient: func(at Place, p, g []float64) { g[0] = at.X * exp(-p[0]*at.X) },
	}
}

// sigmoid waits, moves and levels off.
func sigmoid() Model {
	return Model{
		Name: "log-logistic", Formula: "f = a + b / (1 + (e/d)^h)",
		Params: []Param{{Name: "e", Meaning: "dose at half the change", Positive: true, Centre: 0.4, Spread: 0.6, Dose: 1},
			{Name: "h", Meaning: "steepness", Positive: true, Centre: 3, Spread: 0.6}},
		Values: func(at []Place, p, out []float64) {
			e := ln(p[0])
			for i := range at {
				out[i] = logistic(p[1] * (at[i].Log - e))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			g[0], g[1] = 0, 0
			if at.X > 0 {
				l := at.Log - ln(p[0])
				s := logistic(p[1] * l)
				g[0], g[1] = -s*(1-s)*p[1]/p[0], s*(1-s)*l
			}
		},
	}
}

// additiveStick is a straight line that stops.
func additiveStick() Model {
	return Model{
		Name: "broken stick", Formula: "f = a + c min(d/b, 1)",
		Params: []Param{{Name: "b", Meaning: "dose at the break", Positive: true, Centre: 0.6, Spread: 0.45, Dose: 1}},
		Size:   Param{Name: "c", Meaning: "size of the change"},
		Values: pointwise(func(at Point, p []float64) float64 { return math.Min(at.X/p[0], 1) }),
		Gradient: func(at Place, p, g []float64) {
			g[0] = 0
			if at.X < p[0] {
				g[0] = -at.X / p[0] / p[0]
			}
		},
	}
}
