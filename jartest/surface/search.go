package surface

import (
	"jarwright/jartest/engine"
	"math"
	"sort"

	"gonum.org/v1/gonum/optimize"
)

// search finds the pair of least cost among those that will do, inside the
// tested region. cost must not fall as the first factor rises (a chemical costs
// money); for the second it may do as it likes.
type search struct {
	region engine.Region
	ok     func(engine.Point) bool
	cost   func(engine.Point) float64
}

// Cells of the first look: fine enough that a patch of pairs that will do is not
// missed, coarse enough to be done in some milliseconds.
const (
	cellsFirst  = 48
	cellsSecond = 40
	// searchStarts is from how many of the best rows the search goes on.
	searchStarts = 5
)

// found is a pair and its cost.
type found struct {
	at   engine.Point
	cost float64
}

// least looks at a coarse grid, then slides along the border of the pairs that
// will do, from the best rows of the grid, by a simplex search over the second
// factor with the first factor's least sufficient level beneath it.
func (s search) least() (found, bool) {
	if s.region.OnlyXs && !s.region.OnlyYs {
		return s.columns()
	}
	rows := s.rows()
	best := make([]found, len(rows))
	any := false
	for i, y := range rows {
		best[i] = s.row(y, math.Inf(-1), math.Inf(1), cellsFirst)
		any = any || !math.IsInf(best[i].cost, 1)
	}
	if !any {
		return found{cost: math.Inf(1)}, false
	}
	order := make([]int, len(rows))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return best[order[a]].cost < best[order[b]].cost })
	top := best[order[0]]
	if s.region.OnlyYs || s.region.Flat() {
		return top, true
	}
	step := (rows[len(rows)-1] - rows[0]) / cellsSecond
	for _, i := range starts(best, order) {
		if f := s.slide(best[i], step); f.cost < top.cost {
			top = f
		}
	}
	return top, true
}

// starts are the rows from which the search goes on: the cheapest that are the best of their
// neighbourhood.
func starts(best []found, order []int) (out []int) {
	for _, i := range order {
		if len(out) == searchStarts || math.IsInf(best[i].cost, 1) {
			break
		}
		if (i == 0 || best[i-1].cost >= best[i].cost) && (i+1 == len(best) || best[i+1].cost >= best[i].cost) {
			out = append(out, i)
		}
	}
	return out
}

// slide refines the second factor from one row's best.
func (s search) slide(from found, step float64) found {
	best := from
	x := from.at.X
	problem := optimize.Problem{Func: func(v []float64) float64 {
		y := v[0]
		f := s.row(y, x-0.12, x+0.12, 8)
		if f.cost < best.cost {
			best = f
		}
		if math.IsInf(f.cost, 1) { // no pair on this row will do, or it lies outside: lead back
			return from.cost + 10*math.Abs(from.cost) + math.Abs(y-from.at.Y)
		}
		return f.cost
	}}
	set := &optimize.Settings{FuncEvaluations: 30, Converger: &optimize.FunctionConverge{Absolute: 1e-7 * math.Abs(from.cost), Iterations: 8}}
	for _, d := range [...]float64{step, -step} {
		start := best.at.Y
		// The search keeps its own best; how it ended does not matter.
		_, _ = optimize.Minimize(problem, []float64{start}, set, &optimize.NelderMead{InitialVertices: [][]float64{{start}, {start + d}}, InitialValues: []float64{problem.Func([]float64{start}), problem.Func([]float64{start + d})}})
	}
	return best
}

// rows are the levels of the second factor to look at.
func (s search) rows() []float64 {
	if s.region.OnlyYs || s.region.Flat() {
		return s.region.Ys
	}
	return engine.WithLevels(s.region.Ys, cellsSecond)
}

// row finds the cheapest pair on one level of the second factor, between x limits.
func (s search) row(y, from, to float64, cells int) found {
	lo, hi, ok := s.region.Span(y)
	best := found{cost: math.Inf(1)}
	if !ok {
		return best
	}
	var xs []float64
	if s.region.OnlyXs {
		for _, x := range s.region.Xs {
			if x >= lo-engine.Slack && x <= hi+engine.Slack {
				xs = append(xs, x)
			}
		}
	} else {
		lo, hi := math.Max(lo, from), math.Min(hi, to)
		if lo > hi {
			return best
		}
		for i := 0; i <= cells; i++ {
			xs = append(xs, lo+(hi-lo)*float64(i)/float64(cells))
		}
	}
	was := false
	for i, x := range xs {
		p := engine.Point{X: x, Y: y}
		will := s.region.Contains(p) && s.ok(p)
		if will {
			if i > 0 && !was && !s.region.OnlyXs {
				p.X = s.border(xs[i-1], x, y)
			}
			if c := s.cost(p); c < best.cost {
				best = found{p, c}
			}
		}
		was = will
	}
	return best
}

// border bisects for the least x that will do, between one that will not and one that will.
func (s search) border(bad, good, y float64) float64 {
	for range 18 {
		m := (bad + good) / 2
		if p := (engine.Point{X: m, Y: y}); s.region.Contains(p) && s.ok(p) {
			good = m
		} else {
			bad = m
		}
	}
	return good
}

// columns is for a first factor of which only tested levels may be advised: the
// second is looked through at each.
func (s search) columns() (found, bool) {
	best := found{cost: math.Inf(1)}
	f := s.region.Flipped()
	for _, x := range s.region.Xs {
		lo, hi, ok := f.Span(x)
		if !ok {
			continue
		}
		const cells = 400
		for i := 0; i <= cells; i++ {
			p := engine.Point{X: x, Y: lo + (hi-lo)*float64(i)/cells}
			if !s.region.Contains(p) || !s.ok(p) {
				continue
			}
			if c := s.cost(p); c < best.cost {
				best = found{p, c}
			}
		}
	}
	return best, !math.IsInf(best.cost, 1)
}
