package engine

// expDecay is a first-order fall to a floor: every further mg/L takes away the
// same share of what can still be taken away.
func expDecay() Model {
	return Model{
		Name: "exponential fall", Formula: "f = P + (C - P) exp(-k d)",
		Params: []Param{depth(), {Name: "k", Meaning: "rate of the fall", Positive: true, Centre: 5, Spread: 0.8, Dose: -1}},
		Values: func(at []Place, p, out []float64) {
			rho, k := exp(-p[0]), p[1]
			for i := range at {
				out[i] = ln(rho + (1-rho)*exp(-k*at[i].X))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			rho, e := exp(-p[0]), exp(-p[1]*at.X)
			f := rho + (1-rho)*e
			g[0] = -rho * (1 - e) / f
			g[1] = -(1 - rho) * e * at.X / f
		},
	}
}
