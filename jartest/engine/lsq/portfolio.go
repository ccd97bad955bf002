package lsq

import (
	"math"

	"gonum.org/v1/gonum/optimize"
)

// FromStarts searches from every start by Levenberg-Marquardt, coarsely, and
// polishes the lowest. Where that does not settle, because the starts lie far off,
// it goes on with a portfolio: other dampings and many more steps, a quasi-Newton
// search on scaled parameters and a simplex search, each polished. Of all it gives
// the lowest sum of squares, of equals the one with the smallest relative offset.
func FromStarts(pr Problem, starts [][]float64) Fit {
	best := Coarse(pr, starts)
	if best.Status == Failed {
		return best
	}
	fine := Levenberg(pr, best.Params, Settings{Iterations: 200})
	if fine.settled() {
		return better(best, fine)
	}
	best = better(best, fine)
	for _, start := range starts {
		for _, d := range [...]float64{1e-3, 1e-6, 1, 100} {
			best = better(best, Levenberg(pr, start, Settings{Damping: d, Iterations: 2000}))
		}
		for _, m := range methods() {
			if p, ok := pr.minimise(start, m); ok {
				best = better(best, Levenberg(pr, p, Settings{Iterations: 2000}))
			}
		}
	}
	return best
}

// methods are the general optimisers of the portfolio, fresh for every search.
func methods() []optimize.Method { return []optimize.Method{&optimize.BFGS{}, &optimize.NelderMead{}} }

// settled reports a fit that came to rest where all parameters matter. One that
// still moves, or rests on a plain where a parameter has lost its effect (to twelve
// digits of the strongest one's), started too far off. At a kink of the model,
// where the offset stays large, it rests.
func (f Fit) settled() bool {
	if f.Status == Exhausted || f.r == nil {
		return false
	}
	weakest, strongest := math.Inf(1), 0.0
	for k, v := range f.Params {
		effect := math.Abs(f.r[k*f.p+k]) * math.Max(math.Abs(v), 1)
		weakest, strongest = math.Min(weakest, effect), math.Max(strongest, effect)
	}
	return weakest > 1e-12*strongest
}

// Coarse searches from every start and gives the lowest, without the polish: about
// eight digits of the sum of squares, three or more of the parameters, for where
// more would be lost in what follows.
func Coarse(pr Problem, starts [][]float64) Fit {
	best := Fit{RSS: math.Inf(1), Offset: math.Inf(1), Status: Failed}
	for _, s := range starts {
		best = better(best, Levenberg(pr, s, Settings{Coarse: true, Iterations: 60, Known: &best}))
	}
	return best
}

// better picks the lower sum of squares; sums that agree to nine digits count as
// equal, and the smaller relative offset wins.
func better(a, b Fit) Fit {
	switch {
	case b.Status == Failed || !finite(b.RSS):
		return a
	case a.Status == Failed || !finite(a.RSS):
		return b
	case math.Abs(a.RSS-b.RSS) <= 1e-9*math.Max(a.RSS, b.RSS):
		if b.Offset < a.Offset {
			return b
		}
		return a
	case b.RSS < a.RSS:
		return b
	}
	return a
}

// minimise runs a general optimiser on parameters and sum of squares that are
// both scaled to one at the start; unscaled, it stops early on such problems.
func (pr Problem) minimise(start []float64, m optimize.Method) ([]float64, bool) {
	w := newWork(pr.N, pr.P)
	defer idle.Put(w)
	unit := make([]float64, pr.P)
	x := make([]float64, pr.P)
	for i, s := range start {
		unit[i] = math.Abs(s)
		if unit[i] == 0 {
			unit[i] = 1
		}
		x[i] = s / unit[i]
	}
	natural := func(x []float64) []float64 {
		p := make([]float64, len(x))
		for i := range x {
			p[i] = x[i] * unit[i]
		}
		return p
	}
	pr.Residuals(natural(x), w.r)
	first := sumSquares(w.r)
	if !finite(first) || first == 0 {
		return nil, false
	}
	value := func(x []float64) float64 {
		pr.Residuals(natural(x), w.r)
		v := sumSquares(w.r) / first
		if !finite(v) {
			return math.Inf(1)
		}
		return v
	}
	prob := optimize.Problem{Func: value, Grad: func(g, x []float64) {
		p := natural(x)
		pr.Residuals(p, w.r)
		pr.jacobian(p, w)
		for k := range g {
			g[k] = 0
			for i := 0; i < pr.N; i++ {
				g[k] += 2 * w.r[i] * w.j[i*pr.P+k]
			}
			g[k] *= unit[k] / first
			if !finite(g[k]) {
				g[k] = 0
			}
		}
	}}
	// An optimiser that stops with an error still leaves its best point, which is
	// all that is wanted here: the polish judges it.
	res, _ := optimize.Minimize(prob, x, &optimize.Settings{MajorIterations: 4000, FuncEvaluations: 40000}, m)
	if res == nil || !finite(res.F) {
		return nil, false
	}
	return natural(res.X), true
}
