package surface

import (
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"

	"jarwright/jartest/quantity"
)

// draws is how many equally likely surfaces the saving is read from.
const draws = 300

// worthwhile is the least saving that counts as one.
const worthwhile = 0.02

// saving compares the cheapest pair with the first chemical alone: the planning
// choices of both, and the true least costs over equally likely surfaces.
func (r *Result) saving() {
	s := &r.Saving
	s.Verdict = NotCompared
	reg := r.responses[0].ens.region
	if r.Second.PH || reg.ys[0] != 0 {
		return
	}
	lo, hi, ok := reg.span(0)
	if !ok || hi-lo < 1e-9 {
		return
	}
	s.OfCost = r.priced()
	if q, ok := r.cheapest(planningConfidence, func(q point) bool { return q.y <= slack }, func(q point) float64 { return q.x }); ok {
		s.Alone, s.HasAlone = r.choice(q), true
	}
	pair, alone := r.drawn()
	var shares []float64
	gains, unreached := 0.0, 0.0
	for k := range pair {
		switch {
		case math.IsInf(pair[k], 1):
			continue
		case math.IsInf(alone[k], 1):
			unreached++
			gains++
			shares = append(shares, math.Inf(1))
			continue
		}
		v := 1 - pair[k]/alone[k]
		shares = append(shares, v)
		if v > worthwhile {
			gains++
		}
	}
	if len(shares) < draws/4 {
		return
	}
	n := float64(len(shares))
	s.Chance = quantity.Fraction(gains / n)
	sort.Float64s(shares)
	at := func(p float64) quantity.Fraction {
		v := shares[min(int(p*n), len(shares)-1)]
		return quantity.Fraction(math.Min(v, 1)) // out of reach alone: all of it is saved, and more
	}
	s.Share, s.Low, s.High, s.Has = at(0.5), at(0.05), at(0.95), unreached < 0.5*n
	s.HasHigh = unreached < 0.05*n
	switch {
	case !s.HasAlone && unreached >= 0.5*n:
		s.Verdict = Needed
	case s.Chance < 0.5:
		s.Verdict = AddsNothing
	case s.Chance < 0.9:
		s.Verdict = CannotTell
	default:
		s.Verdict = Pays
	}
	if s.HasAlone && r.HasPlanning && r.Planning.Pair.Second > 0 && s.Alone.Pair.First > r.Planning.Pair.First {
		s.BreakEven = float64((s.Alone.Pair.First - r.Planning.Pair.First) / r.Planning.Pair.Second)
	}
}

// drawn gives the least cost of a pair and of the first chemical alone on each of
// many equally likely surfaces, infinite where the target is out of reach. Where
// prices are missing the first chemical's dose stands for the cost. The random
// numbers are always the same, so that the same jars give the same answer.
func (r *Result) drawn() (pair, alone []float64) {
	reg := r.responses[0].ens.region
	rows := reg.ys
	if !reg.onlyYs {
		rows = withLevels(reg.ys, 10)
	}
	type node struct {
		at   point
		cost float64
	}
	var grid [][]node
	for _, y := range rows {
		lo, hi, ok := reg.span(y)
		if !ok {
			continue
		}
		var line []node
		const cells = 24
		for i := 0; i <= cells; i++ {
			q := point{lo + (hi-lo)*float64(i)/cells, y}
			if !reg.contains(q) || !r.keeps(q) {
				continue
			}
			c := q.x
			if r.priced() {
				c = r.money(r.design.pair(q)).Amount
			}
			line = append(line, node{q, c})
		}
		if len(line) > 0 {
			grid = append(grid, line)
		}
	}
	rnd := rand.New(rand.NewPCG(19, 47))
	takers := make([]func() func(point) float64, len(r.responses))
	for i := range r.responses {
		takers[i] = r.responses[i].ens.sampler(rnd)
	}
	for range draws {
		fs := make([]func(point) float64, len(takers))
		for i, t := range takers {
			fs[i] = t()
		}
		margin := func(q point) float64 {
			worst := math.Inf(-1)
			for i, f := range fs {
				worst = math.Max(worst, f(q)-r.responses[i].goal)
			}
			return worst
		}
		best, only := math.Inf(1), math.Inf(1)
		for _, line := range grid {
			last := math.Inf(1)
			for i, n := range line {
				if n.cost >= best && (line[0].at.y > 0 || n.cost >= only) {
					break // dearer than what is known already
				}
				m := margin(n.at)
				if m <= 0 {
					c := n.cost
					if i > 0 && !math.IsInf(last, 1) && last > 0 && !reg.onlyXs {
						c = line[i-1].cost + (n.cost-line[i-1].cost)*last/(last-m)
					}
					best = math.Min(best, c)
					if n.at.y <= slack {
						only = math.Min(only, c)
					}
					break
				}
				last = m
			}
		}
		pair, alone = append(pair, best), append(alone, only)
	}
	return pair, alone
}

// sampler gives a source of equally likely surfaces: a model in proportion to its
// weight with its parameters spread as the jars leave them, or the mesh with its
// corners spread by the scatter.
func (e *ensemble) sampler(rnd *rand.Rand) func() func(point) float64 {
	roots := make([]*mat.TriDense, len(e.fits))
	for i, f := range e.fits {
		n := len(f.theta)
		var c mat.Cholesky
		if c.Factorize(mat.NewSymDense(n, append([]float64(nil), f.cov...))) {
			roots[i] = mat.NewTriDense(n, mat.Lower, nil)
			c.LTo(roots[i])
		}
	}
	return func() func(point) float64 {
		if u := rnd.Float64(); u >= e.share {
			u = (u - e.share) / (1 - e.share)
			for i := range e.fits {
				f := &e.fits[i]
				if u -= f.weight; u > 0 && i < len(e.fits)-1 {
					continue
				}
				t := append([]float64(nil), f.theta...)
				if l := roots[i]; l != nil {
					z := make([]float64, len(t))
					for k := range z {
						z[k] = rnd.NormFloat64()
					}
					for a := range t {
						for b := 0; b <= a; b++ {
							t[a] += l.At(a, b) * z[b]
						}
					}
				}
				return func(p point) float64 { return f.eval(t, p.x, p.y) }
			}
		}
		m := e.mesh
		m.mean = append([]float64(nil), e.mesh.mean...)
		for k := range m.mean {
			m.mean[k] += math.Sqrt(e.scatter2/m.weight[k]) * rnd.NormFloat64()
		}
		straight := rnd.Float64() < e.abrupt
		return func(p point) float64 {
			v, ok := m.value(p)
			switch {
			case !ok:
				return math.Inf(1)
			case straight:
				return v.straight
			}
			return v.log
		}
	}
}

// bounds gives the range within which the curve lies at a pair with that
// confidence, from the averaged distribution.
func (e *ensemble) bounds(p point, conf float64) (low, high float64) {
	parts := e.view(p, nil)
	m := e.mean(p)
	at := func(q float64) float64 {
		lo, hi := m-8, m+8
		for range 30 {
			mid := (lo + hi) / 2
			if below(parts, mid) < q {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2
	}
	return at((1 - conf) / 2), at((1 + conf) / 2)
}

// weights lists the models' shares, the mesh last.
func (e *ensemble) weights() []ModelWeight {
	var out []ModelWeight
	for _, f := range e.fits {
		out = append(out, ModelWeight{f.name, (1 - e.share) * f.weight, f.named(f.theta)})
	}
	return append(out, ModelWeight{Name: "interpolation between the jars", Weight: e.share})
}
