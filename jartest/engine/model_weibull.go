package engine

import "math"

// weibull is a fall with a shoulder sharper than the log-logistic's foot.
func weibull() Model {
	return Model{
		Name: "Weibull fall", Formula: "f = P + (C - P) exp(-(d/e)^m)",
		Params: []Param{depth(),
			{Name: "e", Meaning: "dose at 63 % of the fall", Positive: true, Centre: 0.35, Spread: 0.6, Dose: 1},
			{Name: "m", Meaning: "sharpness of the shoulder", Positive: true, Centre: 2, Spread: 0.5}},
		Values: func(at []Place, p, out []float64) {
			rho, e, m := exp(-p[0]), ln(p[1]), p[2]
			for i := range at {
				out[i] = ln(rho + (1-rho)*exp(-exp(m*(at[i].Log-e))))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			l := at.Log - ln(p[1])
			rho, x := exp(-p[0]), exp(p[2]*l)
			e := exp(-x)
			f := rho + (1-rho)*e
			g[0] = -rho * (1 - e) / f
			dx := 0.0
			if !math.IsInf(x, 1) {
				dx = -(1 - rho) * e * x / f // by ln x
			}
			g[1] = -dx * p[2] / p[1]
			g[2] = 0
			if at.X > 0 {
				g[2] = dx * l
			}
		},
	}
}
