package engine

import (
	"math"
	"slices"
)

// Stairs is the family of curves that run level and step down, and past the
// optimum up, between neighbouring jars. It says of a curve only what the jars
// can: on which levels they stand, and which gaps between them hold a step. Where
// in its gap a step lies they cannot say, and neither does the family. All ways to
// part the doses into treads are counted, each by its integrated likelihood, so
// that the family stands beside the models with the share that the jars give it:
// next to nothing where the fall spreads over several jars, nearly all where the
// water falls between two. Where the jars fall before they step up, the models tell of
// the fall as well ([branch]).
type Stairs struct {
	U, mean, weight []float64 // of the distinct doses
	ways            []stairway
	branches        []branch // those that fall as a model says and only step up
	evidence        float64  // log of the integrated likelihood, without the branches
	Share           float64  // of the models' part of the answer
	Fallen          float64  // of that, what the branches have
	Slopes          float64  // of that, what ways have that step in every gap: they follow the jars and know no level
	size            float64  // the height of a step that is expected
}

// stairway is one way to part the doses into treads.
type stairway struct {
	steps uint32 // bit k: the gap after dose k holds a step
	turn  int    // the dose after the first step up; zero for none
	ss    float64
	nu    float64
	logw  float64
}

const (
	// stairsPrior is the weight of step shapes beforehand: how much every number of steps
	// up to mostSteps counts, where all models together count one. More than one, because
	// a step missed costs a dose that fails, and a step imagined only some chemical. Beyond
	// two hardly more steps are found, and smooth waters begin to pay for them.
	stairsPrior = 2
	// A step is as likely at one dose as at another, and its height log-normal about
	// stepHeight.
	stepHeight = 1.6
	stepSpread = 0.8
	// stepPart of the range read is the height of a step that is expected on the additive
	// scale (common practice, no source).
	stepPart  = 0.5
	mostSteps = 5
	// riseShare is how many waters in a hundred turn up again within the doses tested.
	riseShare = 0.15
	// stepBow is the bow of the line through a gap that holds a step: so wide that the step
	// may lie right after the failing jar or right before the passing one, however the gaps
	// beside it fall. That the fall goes on as steadily as in these is what the models say.
	stepBow = 2.5
	// mostDoses bounds the work on long series: 32 doses tell steps from slopes anyway.
	mostDoses = 32
)

// stairs counts all the ways. Between two factors the jars have no order: there the
// family is left out. On the additive scale the curve may step either way first, and the
// readings themselves tell how high a step is expected.
func (o *Observations) stairs() Stairs {
	s := Stairs{evidence: math.Inf(-1), size: stepHeight}
	s.U, s.mean, s.weight, _ = o.Groups()
	n := len(s.U)
	if o.V != nil || n > mostDoses {
		return s
	}
	sides, side := []float64{1}, 0.0
	if o.Additive {
		sides, side, s.size = []float64{1, -1}, math.Log(0.5), stepPart*o.reach()
	}
	w := walker{s: &s, nu: o.freedom(), side: side}
	for _, v := range s.weight {
		w.sw += v
	}
	within := o.Scatter.Worth * o.Scatter.SD * o.Scatter.SD // prior, and scatter about the means
	for i, y := range o.Y {
		for k, u := range s.U {
			if u == o.U[i] {
				within += o.W[i] * (y - s.mean[k]) * (y - s.mean[k])
			}
		}
	}
	for _, w.down = range sides {
		w.walk(0, reached{ss: within})
	}
	s.evidence = logSumExp(w.logs)
	return s
}

// freedom is the degrees of freedom of the scatter about one level. Readings beyond a limit
// say nothing of it.
func (o *Observations) freedom() float64 {
	nu := o.Scatter.Worth - 1
	for _, l := range o.Limit {
		if l == 0 {
			nu++
		}
	}
	return nu
}

// walker counts the ways to part the doses into treads.
type walker struct {
	s      *Stairs
	sw, nu float64 // precision of all jars, and degrees of freedom about one level
	down   float64 // 1 where the first step goes down, -1 where up
	side   float64 // log prior of that
	logs   []float64
}

// reached is a way as far as it has been parted.
type reached struct {
	steps          uint32
	count, turn    int
	last, ss, logw float64 // the level of the last tread, the sum of squares, the log weight
}

// walk adds every next tread, which begins at dose from, and goes on from its end.
func (w *walker) walk(from int, so reached) {
	s, n := w.s, len(w.s.U)
	weight, wy, wyy := 0.0, 0.0, 0.0
	for to := from; to < n; to++ {
		weight += s.weight[to]
		wy += s.weight[to] * s.mean[to]
		wyy += s.weight[to] * s.mean[to] * s.mean[to]
		mean, way := wy/weight, so
		way.logw -= 0.5 * math.Log(weight)
		if from > 0 && !w.step(&way, from, mean) {
			continue
		}
		way.ss += math.Max(wyy-wy*mean, 0)
		switch {
		case to == n-1:
			w.arrive(way)
		case way.count < mostSteps && w.nu-float64(way.count+1) > 0:
			gap := (s.U[to+1] - s.U[to]) / (s.U[n-1] - s.U[0])
			way.steps, way.count, way.last = way.steps|1<<to, way.count+1, mean
			way.logw += math.Log(gap * float64(way.count))
			w.walk(to+1, way)
		}
	}
}

// step weighs the step to a tread that begins at dose from; false where a curve that falls
// and then may rise has none such.
func (w *walker) step(way *reached, from int, mean float64) bool {
	fall := w.down * (way.last - mean)
	if fall > 0 && way.turn > 0 || fall == 0 {
		return false
	}
	if fall < 0 && way.turn == 0 {
		way.turn = from
	}
	way.logw += w.s.logHeight(math.Abs(fall))
	return true
}

// arrive puts a whole way down, with scatter and levels integrated out.
func (w *walker) arrive(so reached) {
	if so.count == 0 && w.down < 0 {
		return // no step at all is the same way on either side
	}
	m := float64(so.count)
	way := stairway{steps: so.steps, turn: so.turn, ss: so.ss, nu: w.nu - m}
	g1, _ := math.Lgamma(way.nu / 2)
	g0, _ := math.Lgamma(w.nu / 2)
	if so.count > 0 {
		so.logw += w.side
	}
	way.logw = so.logw + turning(so.turn > 0, m) + 0.5*math.Log(w.sw) + m/2*math.Log(math.Pi) + g1 - g0 - way.nu/2*math.Log(so.ss)
	w.s.ways, w.logs = append(w.s.ways, way), append(w.logs, way.logw)
}

// slopes is the share of the family that steps in every gap.
func (s *Stairs) slopes() float64 {
	every, sum := uint32(1)<<(len(s.U)-1)-1, 0.0
	for _, w := range s.ways {
		if w.steps == every {
			sum += math.Exp(w.logw - s.evidence)
		}
	}
	return sum
}

// levelShift puts the evidence of models on the additive scale, which integrates over any
// size of the change, in the measure of the stairs: one degree of freedom goes for the
// size, and the prior density that it is foretold with is the same for all sizes, that of a
// log-normal about the range read at its median, half of it for either way.
func (o *Observations) levelShift() float64 {
	if !o.Additive {
		return 0
	}
	nu := o.freedom()
	g1, _ := math.Lgamma((nu - 1) / 2)
	g0, _ := math.Lgamma(nu / 2)
	return 0.5*math.Log(math.Pi) + g1 - g0 - math.Log(2*stepSpread*math.Sqrt(2*math.Pi)*o.reach())
}

// turning is the log prior of where among the steps the curve turns up.
func turning(rises bool, steps float64) float64 {
	if rises {
		return math.Log(riseShare / steps)
	}
	return math.Log1p(-riseShare)
}

// reach is the range of the jars' means, at least what scatter alone makes of level ones.
func (o *Observations) reach() float64 {
	_, mean, _, _ := o.Groups()
	return math.Max(slices.Max(mean)-slices.Min(mean), 4*o.Scatter.SD)
}

// logHeight is the log prior density of a step's height.
func (s *Stairs) logHeight(h float64) float64 {
	z := math.Log(h/s.size) / stepSpread
	return -0.5*z*z - math.Log(h*stepSpread*math.Sqrt(2*math.Pi))
}

// given are the doses that the jars may have got.
func (o *Observations) given(u []float64, normal func() float64, out []float64) []float64 {
	for k, x := range u {
		out[k] = x * exp(o.DoseError*normal())
		if k > 0 {
			out[k] = math.Max(out[k], out[k-1]*(1+1e-9))
		}
	}
	// The highest jar got no more than is written, or what it read would lie beyond the range.
	if n := len(u) - 1; n > 0 {
		out[n] = math.Max(math.Min(out[n], u[n]), out[n-1]*(1+1e-9))
	}
	return out
}

// drawStairs adds n curves of the family.
func (c *Cloud) drawStairs(e *Engine, n int) {
	s := &c.Stairs
	r := 9000
	normal := func() float64 { r++; return e.Rough[r%len(e.Rough)] }
	step, cum := 1/float64(n), 0.0
	next := step / 2
	level, at := make([]float64, len(s.U)), make([]float64, len(s.U))
	have := 0
	for i := range s.ways {
		way := &s.ways[i]
		cum += exp(way.logw - s.evidence)
		for next < cum && have < n || i == len(s.ways)-1 && have < n {
			sigma := math.Sqrt(way.ss / chiSquared(way.nu, normal()))
			s.levels(way, sigma, normal, level)
			row := c.row()
			s.along(c.Obs.given(s.U, normal, at), level, c.U, normal, row)
			c.F, c.Sigma = append(c.F, row), append(c.Sigma, sigma)
			next += step
			have++
		}
	}
}

// levels draws the level at every dose.
func (s *Stairs) levels(way *stairway, sigma float64, normal func() float64, out []float64) {
	from, last, lastMean := 0, 0.0, 0.0
	w, wy := 0.0, 0.0
	for k := range out {
		w += s.weight[k]
		wy += s.weight[k] * s.mean[k]
		if k < len(out)-1 && way.steps&(1<<k) == 0 {
			continue
		}
		mean := wy / w
		v := mean + sigma/math.Sqrt(w)*normal()
		if from > 0 && (v-last)*(mean-lastMean) < 0 { // a step keeps its direction
			v = 2*last - v
		}
		for j := from; j <= k; j++ {
			out[j] = v
		}
		from, last, lastMean, w, wy = k+1, v, mean, 0, 0
	}
}

// along draws the curve through the levels, which stand at the doses u, into row.
func (s *Stairs) along(u, level, grid []float64, normal func() float64, row []float64) {
	seg, exponent := 0, exp(stepBow*normal())
	for j, x := range grid {
		for seg < len(u)-2 && x > u[seg+1] {
			seg++
			exponent = exp(stepBow * normal())
		}
		row[j] = between(u, level, seg, x, exponent)
	}
}

// Levels is the share of curves that stand level somewhere, whatever falls before it; those
// that step in every gap follow the jars as the shape-restricted fit does, and know no level.
func (s *Stairs) Levels() float64 { return s.Share - s.Slopes }

// Tell reports that levels and steps tell more of the jars than all models do.
func (s *Stairs) Tell() bool { return s.Levels() >= 0.5 }

// best is the likeliest way to part the doses.
func (s *Stairs) best() *stairway {
	b := 0
	for i := range s.ways {
		if s.ways[i].logw > s.ways[b].logw {
			b = i
		}
	}
	return &s.ways[b]
}

// Likeliest are the levels at the doses of the likeliest way to part them.
func (s *Stairs) Likeliest() []float64 {
	level := make([]float64, len(s.U))
	s.levels(s.best(), 0, func() float64 { return 0 }, level)
	return level
}

// Explain reports that jar i lies on its level, within the scatter that is
// expected, so that no model's word counts against it. A level of one dose
// explains nothing: a slip would stand on one.
func (s *Stairs) Explain(o *Observations, i int) bool {
	if !s.Tell() {
		return false
	}
	k, level := slices.Index(s.U, o.U[i]), s.Likeliest()
	alone := (k == 0 || level[k-1] != level[k]) && (k == len(level)-1 || level[k+1] != level[k])
	return !alone && math.Abs(o.Y[i]-level[k]) < 1.5*o.Scatter.SD/math.Sqrt(o.W[i])
}

// Residual is the sum of squares about the likeliest levels, and its degrees of freedom.
func (s *Stairs) Residual(o *Observations) (ss, df float64) {
	way := s.best()
	return math.Max(way.ss-o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD, 0), way.nu - o.Scatter.Worth
}

// Along reads a curve at u, on straight lines between its points.
func Along(grid, f []float64, u float64) float64 {
	j := 1
	for j < len(grid)-1 && grid[j] < u {
		j++
	}
	t := (u - grid[j-1]) / (grid[j] - grid[j-1])
	return f[j-1] + math.Min(math.Max(t, 0), 1)*(f[j]-f[j-1])
}

// Curve is the line through the likeliest levels, or the likeliest fall and step.
func (s *Stairs) Curve(grid []float64) []float64 {
	row := make([]float64, len(grid))
	if b := s.lead(); b != nil {
		d := Draw{A: b.fall.A, B: 1}
		copy(d.Shape[:], b.fall.Shape)
		at := make([]Place, len(grid))
		for j, u := range grid {
			at[j] = placed(Point{X: u / s.U[b.last]})
		}
		s.overdosed(b, &d, [2]float64{0, 1}, b.levels(), at, row)
		return row
	}
	s.along(s.U, s.Likeliest(), grid, func() float64 { return 0 }, row)
	return row
}

// Without is the family as it is without jar i, and how its weight changes when it need
// no longer foretell that jar: one over the density that the other jars' levels gave to
// its reading.
func (s *Stairs) Without(o *Observations, i int) (*Stairs, float64) {
	less := o.Less(i)
	rest := less.stairs()
	if b := s.lead(); b != nil {
		rest.keep(b, s.U[b.last], s.U[b.last+1], less)
	}
	if o.Limit[i] != 0 {
		return &rest, 1
	}
	nu, sw := o.freedom(), 0.0
	for _, w := range o.W {
		sw += w
	}
	g1, _ := math.Lgamma((nu - 1) / 2)
	g0, _ := math.Lgamma(nu / 2)
	return &rest, math.Exp(rest.evidence-s.evidence+g1-g0) * math.Sqrt(math.Pi*sw/(sw-o.W[i])/o.W[i])
}
