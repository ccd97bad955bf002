package engine

import (
	"math"
	"slices"

	"jarwright/jartest/engine/lsq"
)

// branch is a water that falls as a model says, until it is overdosed and steps up:
// the model is fitted to the jars before the step, those after it stand on a level of
// their own, and the step begins and ends anywhere in its gap; or it has caught one dose
// half-way up, and ends in the next gap. The doses of the fall are scaled by
// the last of them, as what is expected of a fall is said of the doses tested on it.
type branch struct {
	last   int // the dose before the step, among the distinct ones
	left   *Observations
	fall   ModelSample
	treads []tread // after the step: what it leads to, and before that the dose it has caught
}

// tread is the level of the jars of some doses, with their precision.
type tread struct {
	from          int // its lowest dose, among the distinct ones
	level, weight float64
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
	turns := make([][2]float64, len(s.U)) // by the gap of the first step up, and whether one dose is caught
	for _, w := range s.ways {
		if caught, sharp := w.rise(); sharp {
			turns[w.turn-1][caught] += math.Exp(w.logw + weight - total)
		}
	}
	if o.Additive {
		return total // there a curve turns without a step just as well
	}
	falling := slices.DeleteFunc(slices.Clone(models), func(m Model) bool { return m.Rises })
	with := total
	for k := fewestFalling - 1; k < len(s.U)-1; k++ {
		for caught, share := range turns[k] {
			if share >= likelyTurn {
				with = s.branch(e, o, falling, k, caught, weight-math.Log(float64(len(falling))), with)
			}
		}
	}
	s.Fallen = -math.Expm1(total - with)
	return with
}

// rise tells of the steps up, where the way has any: whether there is one only, or one
// before which a single dose is caught.
func (w *stairway) rise() (caught int, sharp bool) {
	if w.turn == 0 {
		return 0, false
	}
	switch w.steps >> (w.turn - 1) {
	case 1:
		return 0, true
	case 3:
		return 1, true
	}
	return 0, false
}

// branch fits the falling models to the jars up to dose k. weight is the log of what each
// counts beforehand, with the log evidence so far; what it then is comes back.
func (s *Stairs) branch(e *Engine, o *Observations, falling []Model, k, caught int, weight, with float64) float64 {
	b, same := s.part(o, k, caught)
	same += weight
	edge, foot := []Place{placed(Point{X: 1})}, make([]float64, 1)
	for i := range falling {
		b.fall = e.sample(b.left, &falling[i], i, with-same, brief)
		for j := range b.fall.draws {
			b.fall.draws[j].Along(&falling[i], edge, false, foot)
			foot := foot[0]
			l := &b.fall.logw[j]
			*l += same
			for _, t := range b.treads {
				if !(t.level > foot) {
					*l = math.Inf(-1)
					break
				}
				*l += s.logHeight(t.level - foot)
				foot = t.level
			}
		}
		b.fall.evidence = logSumExp(b.fall.logw)
		s.branches, with = append(s.branches, b), logSumExp([]float64{with, b.fall.evidence})
	}
	return with
}

// part takes the jars apart at the gap after dose k, beyond which so many doses are caught
// on the way up. Those beyond share the scatter, so what they say of it goes with those
// before. The log of what is the same for all curves is given beside: the levels
// integrated out, as for [Observations.stairs].
func (s *Stairs) part(o *Observations, k, caught int) (b branch, same float64) {
	b = branch{last: k, left: &Observations{}}
	b.treads = append(make([]tread, 0, 2), tread{from: k + 1})
	if caught > 0 {
		b.treads = append(b.treads, tread{from: k + 2})
	}
	m := float64(len(b.treads))
	sums := make([][2]float64, len(b.treads)) // of the readings and their squares
	var sw float64
	worth, nu := o.Scatter.Worth-m, o.Scatter.Worth-1 // readings beyond a limit say nothing of the scatter
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
		t := 0
		if caught > 0 && u >= s.U[k+2] {
			t = 1
		}
		b.treads[t].weight += o.W[i]
		sums[t][0] += o.W[i] * o.Y[i]
		sums[t][1] += o.W[i] * o.Y[i] * o.Y[i]
		if o.Limit[i] == 0 {
			worth++
		}
	}
	worth = math.Max(worth, o.Scatter.Worth)
	ss, left := o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD, sw
	for t := range b.treads {
		d := &b.treads[t]
		d.level = sums[t][0] / d.weight
		ss += math.Max(sums[t][1]-sums[t][0]*d.level, 0)
		left -= d.weight
		gap := (s.U[d.from] - s.U[d.from-1]) / (s.U[len(s.U)-1] - s.U[0])
		same += math.Log(gap*float64(t+1)) + 0.5*math.Log(math.Pi/d.weight)
	}
	b.left.Scatter = ScatterPrior{math.Sqrt(ss / worth), worth}
	g1, _ := math.Lgamma((nu - m) / 2)
	g0, _ := math.Lgamma(nu / 2)
	return b, same + 0.5*math.Log(sw/left) + g1 - g0 + turning(true, 1)
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
	next, given, levels := step/2, make([]Place, len(c.U)), make([]float64, 2)
	for i := range s.branches {
		b := &s.branches[i]
		for j := range b.fall.draws {
			d := &b.fall.draws[j]
			cum += exp(b.fall.logw[j] - total)
			last := i == len(s.branches)-1 && j == len(b.fall.draws)-1
			for (next < cum || last) && have < n {
				u, v := 0.5*math.Erfc(-normal()/math.Sqrt2), 0.5*math.Erfc(-normal()/math.Sqrt2)
				levels := levels[:len(b.treads)]
				for t, tread := range b.treads {
					levels[t] = tread.level + d.sigma/math.Sqrt(tread.weight)*normal()
				}
				if len(b.treads) == 1 {
					u, v = math.Min(u, v), math.Max(u, v)
				}
				off := exp(-c.Obs.DoseError * normal())
				b.scaled(s, c.Places(), off, given)
				row := c.row()
				s.overdosed(b, d, [2]float64{u, v}, levels, given, row)
				c.F, c.Sigma = append(c.F, row), append(c.Sigma, d.sigma)
				next += step
				have++
			}
		}
	}
}

// scaled writes places times a factor into out, as shares of the last dose of the fall.
func (b *branch) scaled(s *Stairs, at []Place, by float64, out []Place) {
	by /= s.U[b.last]
	log := ln(by)
	for j, x := range at {
		out[j] = Place{Point{X: x.X * by}, x.Log + log}
	}
}

// overdosed writes one curve into row, at places that are shares of the last dose of the fall: the fall as far as the step, and from there up to the level,
// through the one on which a dose was caught; rise is where in their gaps the step begins
// and ends, as shares of them. On the way up the reading itself rises straight: what has
// turned of the water adds what it reads to the rest.
func (s *Stairs) overdosed(b *branch, d *Draw, rise [2]float64, levels []float64, grid []Place, row []float64) {
	up := b.treads[len(b.treads)-1].from // the dose by which the step ends
	at := partWay(s.U[b.last], s.U[b.last+1], rise[0])
	top := s.U[b.last]
	foot := d.At(b.fall.Model, Point{X: at / top}, false)
	us, read := append(make([]float64, 0, 3), at), append(make([]float64, 0, 3), exp(foot))
	for t, v := range levels {
		to := s.U[b.treads[t].from]
		if b.treads[t].from == up {
			to = partWay(s.U[up-1], s.U[up], rise[1])
		}
		foot += math.Abs(v - foot) // a step keeps its direction
		us, read = append(us, to), append(read, exp(foot))
	}
	falling := 0
	for falling < len(grid) && grid[falling].X*top <= at {
		falling++
	}
	d.Along(b.fall.Model, grid[:falling], false, row)
	for j := falling; j < len(grid); j++ {
		row[j] = ln(Along(us, read, grid[j].X*top))
	}
}

// partWay lies a share of the way from one dose to another.
func partWay(from, to, share float64) float64 { return from + share*(to-from) }

// levels are those of the treads.
func (b *branch) levels() (out []float64) {
	for _, t := range b.treads {
		out = append(out, t.level)
	}
	return out
}

// lead is the likeliest branch, where branches have more weight than levels.
func (s *Stairs) lead() *branch {
	var b *branch
	for i := range s.branches {
		if m := &s.branches[i]; 2*s.Fallen > s.Levels() && m.fall.Mode != nil && (b == nil || m.fall.evidence > b.fall.evidence) {
			b = m
		}
	}
	return b
}

// keep fits the leading branch again to these jars, of which one is left out, so that
// it leads here as well; a branch left with too few doses is lost. top is the dose before
// the step, mid that which it may have caught.
func (s *Stairs) keep(b *branch, top, mid float64, o *Observations) {
	k := len(s.U) - 1
	for k >= 0 && s.U[k] > top {
		k--
	}
	if k < fewestFalling-1 || k == len(s.U)-1 {
		return
	}
	caught := 0
	if len(b.treads) > 1 && s.U[k+1] == mid && k+2 < len(s.U) {
		caught = 1
	}
	rest, _ := s.part(o, k, caught)
	rest.fall = b.fall
	fit := b.fall.again(rest.left)
	if fit.Status == lsq.Failed {
		return
	}
	rest.fall.A, rest.fall.Mode, rest.fall.Shape = fit.Params[0], fit.Params[1:], make([]float64, MaxParams)
	rest.fall.Model.Natural(rest.fall.Mode, rest.fall.Shape)
	s.branches, s.Fallen, s.Share = []branch{rest}, 1, 1
}
