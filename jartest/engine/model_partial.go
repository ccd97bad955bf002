package engine

// partialFall is a fall that takes a part only, as coagulants do of what is dissolved: some
// per cent or the half, nearly straight over the doses tested or levelling off within them.
func partialFall() Model {
	return Model{
		Name: "partial fall", Formula: "ln f = ln C - A (1 - exp(-k d))",
		Params: []Param{{Name: "A", Meaning: "depth of the fall: ln(untreated / floor)", Positive: true, Centre: 0.3, Spread: 0.9},
			{Name: "k", Meaning: "rate of the fall", Positive: true, Centre: 1.5, Spread: 0.8, Dose: -1}},
		Values: func(at []Place, p, out []float64) {
			for i := range at {
				out[i] = -p[0] * (1 - exp(-p[1]*at[i].X))
			}
		},
		Gradient: func(at Place, p, g []float64) {
			e := exp(-p[1] * at.X)
			g[0], g[1] = -(1 - e), -p[0]*at.X*e
		},
	}
}
