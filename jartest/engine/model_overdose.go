package engine

// logQuadratic is the cheapest curve that turns up again: a parabola on the
// logarithmic scale.
func logQuadratic() Model {
	return Model{
		Name: "log parabola", Rises: true, Formula: "ln f = ln C - b d + c d^2",
		Params: []Param{{Name: "b", Meaning: "first fall", Positive: true, Centre: 5, Spread: 0.6, Dose: -1},
			{Name: "c", Meaning: "curvature", Positive: true, Centre: 3, Spread: 0.8, Dose: -2}},
		Values:   pointwise(func(at Point, p []float64) float64 { return -p[0]*at.X + p[1]*at.X*at.X }),
		Gradient: func(at Place, p, g []float64) { g[0], g[1] = -at.X, at.X*at.X },
	}
}

// fallRise is a saturating fall with a steady rise: particles are first bound,
// then charged again.
func fallRise() Model {
	return Model{
		Name: "saturating fall, steady rise", Rises: true, Formula: "ln f = ln C - A (1 - exp(-k d)) + s d",
		Params: []Param{depth(),
			{Name: "k", Meaning: "rate of the fall", Positive: true, Centre: 3.5, Spread: 0.7, Dose: -1},
			{Name: "s", Meaning: "rate of the rise", Positive: true, Centre: 0.35, Spread: 1, Dose: -1}},
		Values: pointwise(func(at Point, p []float64) float64 { return -p[0]*(1-exp(-p[1]*at.X)) + p[2]*at.X }),
		Gradient: func(at Place, p, g []float64) {
			e := exp(-p[1] * at.X)
			g[0], g[1], g[2] = -(1 - e), -p[0]*at.X*e, at.X
		},
	}
}

// twoLogistic falls and rises again at a higher dose, each with its own
// steepness; with the rise far off it is a plain fall on the logarithmic scale.
func twoLogistic() Model {
	return Model{
		Name: "fall and rise", Rises: true, Formula: "ln f = ln C - A (S(h ln(d/e)) - S(q ln(d/(e (1 + r))))), S(x) = 1/(1 + exp(-x))",
		Params: []Param{depth(),
			{Name: "e", Meaning: "dose at half the fall", Positive: true, Centre: 0.35, Spread: 0.6, Dose: 1},
			{Name: "h", Meaning: "steepness of the fall", Positive: true, Centre: 3.5, Spread: 0.5},
			{Name: "r", Meaning: "how far off the rise is, in multiples of e", Positive: true, Centre: 3, Spread: 0.8},
			{Name: "q", Meaning: "steepness of the rise", Positive: true, Centre: 4, Spread: 0.5}},
		Values: func(at []Place, p, out []float64) {
			e := ln(p[1])
			again := e + ln(1+p[3])
			for i := range at {
				out[i] = -p[0] * (logistic(p[2]*(at[i].Log-e)) - logistic(p[4]*(at[i].Log-again)))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			if at.X <= 0 {
				clear(g[:5])
				return
			}
			l := at.Log - ln(p[1])
			l2 := l - ln(1+p[3])
			s1, s2 := logistic(p[2]*l), logistic(p[4]*l2)
			d1, d2 := s1*(1-s1), s2*(1-s2)
			g[0] = -(s1 - s2)
			g[1] = p[0] * (d1*p[2] - d2*p[4]) / p[1]
			g[2] = -p[0] * d1 * l
			g[3] = -p[0] * d2 * p[4] / (1 + p[3])
			g[4] = p[0] * d2 * l2
		},
	}
}
