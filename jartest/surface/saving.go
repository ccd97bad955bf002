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
	if q, ok := r.cheapest(float64(r.Asked()), func(q engine.Point) bool { return q.Y <= engine.Slack }, func(q engine.Point) float64 { return q.X }); ok {
		s.Alone, s.HasAlone = r.choice(q), true
	}
	s.weigh(r.drawn())
	// Half of the surfaces may save nothing and the sure pair still be cheaper than as sure a dose
	// alone: then the second chemical is not known to be idle, and a looser target needs no more.
	if s.Verdict == AddsNothing && s.HasAlone && r.HasPlanning && r.cost(r.design.point(s.Alone.Pair)) > (1+worthwhile)*r.cost(r.design.point(r.Planning.Pair)) && s.OfCost {
		s.Verdict = CannotTell
	}
	if s.Verdict != NotCompared && s.HasAlone && r.HasPlanning && r.Planning.Pair.Second > 0 && s.Alone.Pair.First > r.Planning.Pair.First {
		s.BreakEven = float64((s.Alone.Pair.First - r.Planning.Pair.First) / r.Planning.Pair.Second)
	}
}

// weigh takes the saving from the least costs of a pair and of the first chemical alone.
func (s *Saving) weigh(pair, alone []float64) {
	var shares []float64
	gains, unreached := 0.0, 0.0
	for k := range pair {
		v := math.Inf(1)
		switch {
		case math.IsInf(pair[k], 1):
			continue
		case math.IsInf(alone[k], 1):
			unreached++
		default:
			v = 1 - pair[k]/alone[k]
		}
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
}

// costNode is a place of the grid and what the doses there cost.
type costNode struct {
	j    int
	at   engine.Point
	cost float64
}

// lines are the places that the pair may take, with what each costs; where prices are missing
// the first chemical's dose stands for that.
func (r *Result) lines() (out [][]costNode) {
	g := r.met.Grid
	for v := range g.V {
		var line []costNode
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
			line = append(line, costNode{j, q, c})
		}
		if len(line) > 0 {
			out = append(out, line)
		}
	}
	return out
}

// drawn gives the least cost of a pair and of the first chemical alone on each of
// many equally likely surfaces, infinite where the target is out of reach.
func (r *Result) drawn() (pair, alone []float64) {
	lines := r.lines()
	all := len(r.met.Margin[0])
	for k := 0; k < all; k += all / draws {
		best, only := math.Inf(1), math.Inf(1)
		for _, line := range lines {
			enough := best // dearer than what is known already need not be looked at
			if line[0].at.Y <= 0 {
				enough = math.Max(best, only)
			}
			c, on := r.firstMet(line, k, enough)
			best = math.Min(best, c)
			if on.Y <= engine.Slack {
				only = math.Min(only, c)
			}
		}
		pair, alone = append(pair, best), append(alone, only)
	}
	return pair, alone
}

// firstMet is what the least of the first factor costs that meets the targets on a line of
// surface k, and where; infinite where none does, or none for less than enough.
func (r *Result) firstMet(line []costNode, k int, enough float64) (cost float64, at engine.Point) {
	last := math.Inf(1)
	for i, n := range line {
		if i > 0 && line[i-1].cost >= enough {
			break
		}
		m := float64(r.met.Margin[n.j][k])
		if !(m <= 0) {
			last = m
			continue
		}
		if last > 0 && !math.IsInf(last, 1) && !r.region.OnlyXs {
			return line[i-1].cost + (n.cost-line[i-1].cost)*last/(last-m), n.at
		}
		return n.cost, n.at
	}
	return math.Inf(1), line[0].at
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
