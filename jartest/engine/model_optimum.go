package engine

// parabola is an even valley on the logarithmic scale; u runs from 0 at the
// lowest to 1 at the highest tested value of the factor.
func parabola() Model {
	return Model{
		Name: "log parabola about the optimum", Rises: true, Formula: "ln f = ln m + c (x - o)^2",
		Params: []Param{{Name: "o", Meaning: "optimum", Centre: 0.5, Spread: 0.4, Dose: 1},
			{Name: "c", Meaning: "curvature", Positive: true, Centre: 3, Spread: 0.9, Dose: -2}},
		Values: pointwise(func(at Point, p []float64) float64 { return p[1] * (at.X - p[0]) * (at.X - p[0]) }),
		Gradient: func(at Place, p, g []float64) {
			g[0], g[1] = -2*p[1]*(at.X-p[0]), (at.X-p[0])*(at.X-p[0])
		},
	}
}

// valley has its own slope on either side of the optimum.
func valley() Model {
	return Model{
		Name: "valley with two slopes", Rises: true, Formula: "f = m (q exp(-p (x - o)) + p exp(q (x - o))) / (p + q)",
		Params: []Param{{Name: "o", Meaning: "optimum", Centre: 0.5, Spread: 0.4, Dose: 1},
			{Name: "p", Meaning: "slope below the optimum", Positive: true, Centre: 4, Spread: 0.7, Dose: -1},
			{Name: "q", Meaning: "slope above the optimum", Positive: true, Centre: 4, Spread: 0.7, Dose: -1}},
		Values: pointwise(func(at Point, p []float64) float64 {
			x := at.X - p[0]
			return ln((p[2]*exp(-p[1]*x) + p[1]*exp(p[2]*x)) / (p[1] + p[2]))
		}),
		Gradient: func(at Place, p, g []float64) {
			x := at.X - p[0]
			lo, hi := p[2]*exp(-p[1]*x), p[1]*exp(p[2]*x)
			s := lo + hi
			g[0] = (p[1]*lo - p[2]*hi) / s
			g[1] = (-x*lo+hi/p[1])/s - 1/(p[1]+p[2])
			g[2] = (lo/p[2]+x*hi)/s - 1/(p[1]+p[2])
		},
	}
}
