package engine

// expDecay is a first-order fall to a floor: every further mg/L takes away the
// same share of what can still be taken away.
func expDecay() Model {
	return Model{
		Name: "exponential fall", Formula: "f = P + (C - P) exp(-k d)",
		Params: []Param{depth(), {Name: "k", Meaning: "rate of the fall", Positive: true, Centre: 5, Spread: 0.8, Dose: -1}},
		Value: func(at Point, p []float64) float64 {
			rho := exp(-p[0])
			return ln(rho + (1-rho)*exp(-p[1]*at.X))
		},
		Gradient: func(at Point, p, g []float64) {
			rho, e := exp(-p[0]), exp(-p[1]*at.X)
			f := rho + (1-rho)*e
			g[0] = -rho * (1 - e) / f
			g[1] = -(1 - rho) * e * at.X / f
		},
	}
}
