package engine

// brokenStick falls in a straight line to a floor: each mg/L binds the same
// amount until nothing is left to bind.
func brokenStick() Model {
	return Model{
		Name: "broken stick", Formula: "f = C - (C - P) min(d/b, 1)",
		Params: []Param{depth(), {Name: "b", Meaning: "dose at the break", Positive: true, Centre: 0.6, Spread: 0.45, Dose: 1}},
		Values: func(at []Place, p, out []float64) {
			deep := 1 - exp(-p[0])
			for i := range at {
				out[i] = ln(1 - deep*min(at[i].X/p[1], 1))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			rho, t := exp(-p[0]), min(at.X/p[1], 1)
			f := 1 - (1-rho)*t
			g[0], g[1] = -rho*t/f, 0
			if t < 1 {
				g[1] = (1 - rho) * t / p[1] / f
			}
		},
	}
}

// lagRamp does nothing up to a threshold, then takes away the same share per
// mg/L down to a floor: a broken stick on the logarithmic scale, with a lag.
func lagRamp() Model {
	return Model{
		Name: "threshold and ramp", Formula: "ln f = ln C - A min(max((d - t)/w, 0), 1)",
		Params: []Param{depth(),
			{Name: "t", Meaning: "dose below which nothing happens", Positive: true, Centre: 0.12, Spread: 1, Dose: 1},
			{Name: "w", Meaning: "width of the ramp", Positive: true, Centre: 0.45, Spread: 0.6, Dose: 1}},
		Values: pointwise(func(at Point, p []float64) float64 {
			return -p[0] * min(max((at.X-p[1])/p[2], 0), 1)
		}),
		Gradient: func(at Place, p, g []float64) {
			t := (at.X - p[1]) / p[2]
			g[0], g[1], g[2] = -min(max(t, 0), 1), 0, 0
			if t > 0 && t < 1 {
				g[1], g[2] = p[0]/p[2], p[0]*t/p[2]
			}
		},
	}
}

// lagStick does nothing up to a threshold, then falls in a straight line to a floor.
func lagStick() Model {
	return Model{
		Name: "threshold and straight fall", Formula: "f = C - (C - P) min(max((d - t)/w, 0), 1)",
		Params: []Param{depth(),
			{Name: "t", Meaning: "dose below which nothing happens", Positive: true, Centre: 0.12, Spread: 1, Dose: 1},
			{Name: "w", Meaning: "width of the fall", Positive: true, Centre: 0.45, Spread: 0.6, Dose: 1}},
		Values: func(at []Place, p, out []float64) {
			deep := 1 - exp(-p[0])
			for i := range at {
				out[i] = ln(1 - deep*min(max((at[i].X-p[1])/p[2], 0), 1))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			rho, t := exp(-p[0]), (at.X-p[1])/p[2]
			in := min(max(t, 0), 1)
			f := 1 - (1-rho)*in
			g[0], g[1], g[2] = -rho*in/f, 0, 0
			if t > 0 && t < 1 {
				g[1], g[2] = (1-rho)/p[2]/f, (1-rho)*t/p[2]/f
			}
		},
	}
}
