package surface

import (
	"jarwright/jartest/engine"
	"math"
	"sort"

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
	reg := r.region
	if r.Second.PH || reg.Ys[0] != 0 {
		return
	}
	lo, hi, ok := reg.Span(0)
	if !ok || hi-lo < 1e-9 {
		return
	}
	s.OfCost = r.priced()
	if q, ok := r.cheapest(engine.PlanningConfidence, func(q engine.Point) bool { return q.Y <= engine.Slack }, func(q engine.Point) float64 { return q.X }); ok {
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
// prices are missing the first chemical's dose stands for the cost.
func (r *Result) drawn() (pair, alone []float64) {
	type node struct {
		j    int
		at   engine.Point
		cost float64
	}
	g := r.met.Grid
	var grid [][]node
	for v := range g.V {
		var line []node
		for u := range g.U {
			j := v*len(g.U) + u
			q := g.Node(j)
			if !r.region.Contains(q) || !r.keeps(q) {
				continue
			}
			c := q.X
			if r.priced() {
				c = r.money(r.design.pair(q)).Amount
			}
			line = append(line, node{j, q, c})
		}
		if len(line) > 0 {
			grid = append(grid, line)
		}
	}
	all := len(r.met.Margin[0])
	for k := 0; k < all; k += all / draws {
		best, only := math.Inf(1), math.Inf(1)
		for _, line := range grid {
			last := math.Inf(1)
			for i, n := range line {
				if i > 0 && line[i-1].cost >= best && (line[0].at.Y > 0 || line[i-1].cost >= only) {
					break // dearer than what is known already, from the place before on
				}
				m := float64(r.met.Margin[n.j][k])
				if m <= 0 {
					c := n.cost
					if i > 0 && !math.IsInf(last, 1) && last > 0 && !r.region.OnlyXs {
						c = line[i-1].cost + (n.cost-line[i-1].cost)*last/(last-m)
					}
					best = math.Min(best, c)
					if n.at.Y <= engine.Slack {
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

// weights lists the models' shares, the largest first and the mesh last.
func (r *response) weights() []ModelWeight {
	var out []ModelWeight
	for i := range r.cloud.Models {
		m := &r.cloud.Models[i]
		if m.Mode == nil {
			continue
		}
		w := ModelWeight{m.Model.Name, (1 - r.cloud.Free.Share) * r.cloud.Shares[i], []Param{{"start", m.A}}}
		for k, q := range m.Model.Params {
			if q.Positive {
				w.Params = append(w.Params, Param{"log_" + q.Name, math.Log(m.Shape[k])})
			} else {
				w.Params = append(w.Params, Param{q.Name, m.Shape[k]})
			}
		}
		out = append(out, w)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Weight > out[j].Weight })
	return append(out, ModelWeight{Name: "interpolation between the jars", Weight: r.cloud.Free.Share})
}
