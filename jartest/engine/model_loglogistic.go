package engine

// logLogistic waits, falls and levels off, even in the logarithm of dose: the
// usual dose-response curve, here for charge neutralisation.
func logLogistic() Model {
	return Model{
		Name: "log-logistic fall", Formula: "f = P + (C - P) / (1 + (d/e)^h)",
		Params: []Param{depth(),
			{Name: "e", Meaning: "dose at half the fall", Positive: true, Centre: 0.35, Spread: 0.6, Dose: 1},
			{Name: "h", Meaning: "steepness", Positive: true, Centre: 3, Spread: 0.6}},
		Values: func(at []Place, p, out []float64) {
			rho, e, h := exp(-p[0]), ln(p[1]), p[2]
			for i := range at {
				out[i] = ln(rho + (1-rho)/(1+exp(h*(at[i].Log-e))))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			l := at.Log - ln(p[1])
			rho, x := exp(-p[0]), exp(p[2]*l)
			q := 1 / (1 + x)
			f := rho + (1-rho)*q
			g[0] = -rho * (1 - q) / f
			dx := -(1 - rho) * q * (1 - q) / f // by ln x
			g[1] = -dx * p[2] / p[1]
			g[2] = 0
			if at.X > 0 {
				g[2] = dx * l
			}
		},
	}
}
