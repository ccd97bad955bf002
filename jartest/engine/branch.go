package engine

import (
	"math"
	"slices"

	"jarwright/jartest/engine/lsq"
)

// branch is a water that falls as a model says, until it is overdosed and steps up:
// the model is fitted to the jars before the step, those after it stand on a level of
// their own, and the step begins and ends anywhere in its gap. The doses of the fall are scaled by
// the last of them, as what is expected of a fall is said of the doses tested on it.
type branch struct {
	last          int // the dose before the step, among the distinct ones
	left          *Observations
	fall          ModelSample
	level, weight float64 // of the jars after the step
}

const (
	// fewestFalling is how many doses tell a slope from steps.
	fewestFalling = 3
	// likelyTurn is the share of the answer from which on a step up is looked at closer.
	likelyTurn = 0.02
)

// follow fits the falling models to the jars before every gap where a step up has some
// weight; together they count beforehand what steps alone do. total is the log evidence
// of all without them; that with them is given back.
func (s *Stairs) follow(e *Engine, o *Observations, models []Model, total float64) float64 {
	weight := math.Log(stairsPrior * float64(len(models)))
	turns := make([]float64, len(s.U))
	for _, w := range s.ways {
		if w.turn > 0 {
			turns[w.turn-1] += math.Exp(w.logw + weight - total)
		}
	}
	if o.Additive {
		return total // there a curve turns without a step just as well
	}
	falling := slices.DeleteFunc(slices.Clone(models), func(m Model) bool { return m.Rises })
	with := total
	for k := fewestFalling - 1; k < len(s.U)-1; k++ {
		if turns[k] < likelyTurn {
			continue
		}
		b, same := s.part(o, k)
		same += weight - math.Log(float64(len(falling)))
		for i := range falling {
			b.fall = e.sample(b.left, &falling[i], i, with-same)
			for j := range b.fall.draws {
				rise := b.level - b.fall.draws[j].At(&falling[i], Point{X: 1}, false)
				if l := &b.fall.logw[j]; rise > 0 {
					*l += same + s.logHeight(rise)
				} else {
					*l = math.Inf(-1)
				}
			}
			b.fall.evidence = logSumExp(b.fall.logw)
			s.branches, with = append(s.branches, b), logSumExp([]float64{with, b.fall.evidence})
		}
	}
	s.Fallen = -math.Expm1(total - with)
	return with
}

// part takes the jars apart at the gap after dose k. Those beyond share the scatter, so
// what they say of it goes with those before. The log of what is the same for all curves
// is given beside: the level integrated out, as for [Observations.stairs].
func (s *Stairs) part(o *Observations, k int) (b branch, same float64) {
	b = branch{last: k, left: &Observations{}}
	var sw, wy, wyy float64
	worth, nu := o.Scatter.Worth-1, o.Scatter.Worth-1 // readings beyond a limit say nothing of the scatter
	for i, u := range o.U {
		sw += o.W[i]
		if o.Limit[i] == 0 {
			nu++
		}
		if u <= s.U[k] {
			l := b.left
			l.U, l.Y, l.W, l.Limit = append(l.U, u/s.U[k]), append(l.Y, o.Y[i]), append(l.W, o.W[i]), append(l.Limit, o.Limit[i])
			continue
		}
		b.weight += o.W[i]
		wy += o.W[i] * o.Y[i]
		wyy += o.W[i] * o.Y[i] * o.Y[i]
		if o.Limit[i] == 0 {
			worth++
		}
	}
	worth = math.Max(worth, o.Scatter.Worth)
	b.level = wy / b.weight
	ss := o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD + math.Max(wyy-wy*b.level, 0)
	b.left.Scatter = ScatterPrior{math.Sqrt(ss / worth), worth}
	g1, _ := math.Lgamma((nu - 1) / 2)
	g0, _ := math.Lgamma(nu / 2)
	gap := (s.U[k+1] - s.U[k]) / (s.U[len(s.U)-1] - s.U[0])
	return b, 0.5*math.Log(sw*math.Pi/b.weight/(sw-b.weight)) + g1 - g0 + turning(true, 1) + math.Log(gap)
}

// drawBranches adds n curves, at equal steps through the weight of all.
func (c *Cloud) drawBranches(e *Engine, n int) {
	s := &c.Stairs
	total := math.Inf(-1)
	for i := range s.branches {
		total = logSumExp([]float64{total, s.branches[i].fall.evidence})
	}
	r := 15000
	normal := func() float64 { r++; return e.Rough[r%len(e.Rough)] }
	step, cum, have := 1/float64(n), 0.0, 0
	next, given := step/2, make([]float64, len(c.U))
	for i := range s.branches {
		b := &s.branches[i]
		for j := range b.fall.draws {
			d := &b.fall.draws[j]
			cum += exp(b.fall.logw[j] - total)
			last := i == len(s.branches)-1 && j == len(b.fall.draws)-1
			for (next < cum || last) && have < n {
				u, v := 0.5*math.Erfc(-normal()/math.Sqrt2), 0.5*math.Erfc(-normal()/math.Sqrt2)
				level := b.level + d.sigma/math.Sqrt(b.weight)*normal()
				off := exp(-c.Obs.DoseError * normal())
				for j, x := range c.U {
					given[j] = x * off
				}
				c.F, c.Sigma = append(c.F, s.overdosed(b, d, [2]float64{math.Min(u, v), math.Max(u, v)}, level, given)), append(c.Sigma, d.sigma)
				next += step
				have++
			}
		}
	}
}

// overdosed is one curve: the fall as far as the step, and from there up to the level;
// rise is where in its gap the step begins and ends, as shares of it.
func (s *Stairs) overdosed(b *branch, d *Draw, rise [2]float64, level float64, grid []float64) []float64 {
	span, gap := s.U[b.last], s.U[b.last+1]-s.U[b.last]
	at, to := span+rise[0]*gap, span+rise[1]*gap
	fall := func(u float64) float64 { return d.At(b.fall.Model, Point{X: u / span}, false) }
	foot := fall(at)
	level = foot + math.Abs(level-foot) // a step keeps its direction
	row := make([]float64, len(grid))
	for j, x := range grid {
		switch {
		case x <= at:
			row[j] = fall(x)
		case x < to:
			row[j] = foot + (level-foot)*(x-at)/(to-at)
		default:
			row[j] = level
		}
	}
	return row
}

// lead is the likeliest branch, where branches have more weight than levels.
func (s *Stairs) lead() *branch {
	var b *branch
	for i := range s.branches {
		if m := &s.branches[i]; 2*s.Fallen > s.Share && m.fall.Mode != nil && (b == nil || m.fall.evidence > b.fall.evidence) {
			b = m
		}
	}
	return b
}

// keep fits the leading branch again to these jars, of which one is left out, so that
// it leads here as well; a branch left with too few doses is lost.
func (s *Stairs) keep(b *branch, top float64, o *Observations) {
	k := len(s.U) - 1
	for k >= 0 && s.U[k] > top {
		k--
	}
	if k < fewestFalling-1 || k == len(s.U)-1 {
		return
	}
	rest, _ := s.part(o, k)
	rest.fall = b.fall
	fit := b.fall.again(rest.left)
	if fit.Status == lsq.Failed {
		return
	}
	rest.fall.A, rest.fall.Mode, rest.fall.Shape = fit.Params[0], fit.Params[1:], make([]float64, MaxParams)
	rest.fall.Model.Natural(rest.fall.Mode, rest.fall.Shape)
	s.branches, s.Fallen, s.Share = []branch{rest}, 1, 1
}
