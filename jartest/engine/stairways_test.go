package engine

import (
	"math"
	"testing"
)

// stairwayByHand is the log likelihood of one way to part the doses, as the family's
// comment says it: the level of each tread flat, the scatter integrated out, steps at any
// dose, heights log-normal, and where the curve turns up.
func stairwayByHand(o *Observations, step []bool) (float64, bool) {
	u, mean, weight, _ := o.Groups()
	n, worth := 0.0, o.Scatter.Worth
	ss := worth * o.Scatter.SD * o.Scatter.SD
	tread, k := make([]int, len(u)), 0
	for i := range u {
		tread[i] = k
		if i < len(step) && step[i] {
			k++
		}
	}
	level, all, sum := make([]float64, k+1), make([]float64, k+1), 0.0
	for i := range u {
		all[tread[i]] += weight[i]
		level[tread[i]] += weight[i] * mean[i]
		sum += weight[i]
	}
	for j := range level {
		level[j] /= all[j]
	}
	for i, y := range o.Y {
		for j, x := range u {
			if x == o.U[i] {
				ss += o.W[i] * math.Pow(y-level[tread[j]], 2)
			}
		}
		if o.Limit[i] == 0 {
			n++
		}
	}
	steps := float64(k)
	nu := worth - 1 + n
	if nu-steps <= 0 {
		return 0, false
	}
	g1, _ := math.Lgamma((nu - steps) / 2)
	g0, _ := math.Lgamma(nu / 2)
	l := steps/2*math.Log(math.Pi) + g1 - g0 - (nu-steps)/2*math.Log(ss) + 0.5*math.Log(sum)
	for j := range all {
		l -= 0.5 * math.Log(all[j])
	}
	rising := false
	for j := 1; j <= k; j++ {
		h := level[j-1] - level[j]
		if h > 0 && rising {
			return 0, false // down again after up
		}
		rising = h < 0
		z := (math.Log(math.Abs(h)) - math.Log(1.6)) / 0.8
		l += -z*z/2 - math.Log(0.8*math.Sqrt(2*math.Pi)*math.Abs(h))
	}
	f, _ := math.Lgamma(steps + 1)
	l += f
	for i, s := range step {
		if s {
			l += math.Log((u[i+1] - u[i]) / (u[len(u)-1] - u[0]))
		}
	}
	if rising {
		return l + math.Log(0.15/steps), true
	}
	return l + math.Log(0.85), true
}

// TestStairways: every way to part the doses of some series, and their sum, against the same
// by plain enumeration.
func TestStairways(t *testing.T) {
	apart := func(odd float64) *Observations { // no two treads of one level
		o := jumps(odd)
		o.Y[1], o.Y[4] = 3.43, 0.735
		return o
	}
	for name, o := range map[string]*Observations{
		"a cliff":       apart(0),
		"up at the end": apart(2.3),
		"replicates": {U: []float64{0, 0, 0.3, 0.5, 0.5, 1}, Y: []float64{3.4, 3.3, 3.2, 1.1, 1.3, 1.9}, W: []float64{1, 2, 1, 1, 0.5, 1},
			Limit: []int8{0, 0, 0, 0, 0, 0}, Scatter: UsualScatter},
		"a limit": {U: []float64{0, 0.3, 0.5, 1}, Y: []float64{3.4, 3.2, 1.1, 0.9}, W: []float64{1, 1, 1, 1}, Limit: []int8{0, 0, 0, -1}, Scatter: UsualScatter},
	} {
		s := o.stairs()
		gaps := len(s.U) - 1
		want := map[uint32]float64{}
		total := math.Inf(-1)
		for mask := range uint32(1) << gaps {
			step, count := make([]bool, gaps), 0
			for i := range step {
				if step[i] = mask&(1<<i) != 0; step[i] {
					count++
				}
			}
			if l, ok := stairwayByHand(o, step); ok && count <= 5 {
				want[mask] = l
				total = logSumExp([]float64{total, l})
			}
		}
		if len(s.ways) != len(want) {
			t.Errorf("%s: %d ways, by hand %d", name, len(s.ways), len(want))
		}
		best := math.Inf(-1)
		for _, w := range s.ways {
			matches(t, name+": a way", w.logw, want[w.steps], 1e-9)
			best = math.Max(best, w.logw)
		}
		matches(t, name+": all ways", s.evidence, total, 1e-9)
		matches(t, name+": the likeliest", s.best().logw, best, 0)
	}
}

// TestStairsOfLevels: the likeliest levels are the treads' means, the line through them runs
// straight over the gaps, and what they leave is the sum of squares about them.
func TestStairsOfLevels(t *testing.T) {
	o := jumps(0)
	s := o.stairs()
	for i, want := range []float64{3.4, 3.4, 3.4, 0.7066666666666667, 0.7066666666666667, 0.7066666666666667} {
		matches(t, "level", s.Likeliest()[i], want, 1e-12)
	}
	row := s.Curve([]float64{0, 0.4, 0.5, 0.6, 1})
	for i, want := range []float64{3.4, 3.4, (3.4 + 0.7066666666666667) / 2, 0.7066666666666667, 0.7066666666666667} {
		matches(t, "line", row[i], want, 1e-12)
	}
	ss, df := s.Residual(o)
	matches(t, "squares", ss, 2*0.02*0.02+2*0.0066666666666667*0.0066666666666667+0.0133333333333333*0.0133333333333333, 1e-12)
	matches(t, "degrees of freedom", df, 6-2, 0) // six jars, two levels
	s.Share = 0.5
	if !s.Tell() {
		t.Error("half of the answer tells nothing")
	}
	if s.Share = 0.49; s.Tell() || s.Explain(o, 0) {
		t.Error("less than half tells")
	}
	s.Share = 1
	for i, y := range o.Y { // up to 1.5 of the scatter expected
		o.Y[i] = s.Likeliest()[i] + 0.119
		if !s.Explain(o, i) {
			t.Errorf("jar %d is not explained at 0.119", i)
		}
		if o.Y[i] = s.Likeliest()[i] + 0.121; s.Explain(o, i) {
			t.Errorf("jar %d is explained at 0.121", i)
		}
		o.Y[i] = y
	}
}

// TestAlong: straight lines between the points, the ends beyond them.
func TestAlong(t *testing.T) {
	for u, want := range map[float64]float64{-1: 4, 0: 4, 0.5: 3, 1: 2, 2: 5, 3: 8, 9: 8} {
		matches(t, "along", Along([]float64{0, 1, 3}, []float64{4, 2, 8}, u), want, 1e-12)
	}
}

// TestBow: the line through a gap that holds a step bends as widely where the gaps beside it
// fall as steeply as where the whole fall is in it. With a normal of 0.4 the exponent is
// e^(2.5·0.4) = e, so half-way through its gap a step has gone 0.5^e = 0.15195 of its height.
func TestBow(t *testing.T) {
	s := Stairs{U: []float64{0, 1, 2, 4}}
	const gone = 0.1519552
	for _, c := range []struct{ level, want []float64 }{
		{[]float64{9, 6, 3, -3}, []float64{9 - 3*gone, 6, 6 - 3*gone, 3, 3 - 6*gone, -3}},
		{[]float64{9, 9, 3, 3}, []float64{9, 9, 9 - 6*gone, 3, 3, 3}},
		{[]float64{3, 9, 8, 8}, []float64{3 + 6*gone, 9, 9 - gone, 8, 8, 8}},
	} {
		row := make([]float64, 6)
		s.along(s.U, c.level, []float64{0.5, 1, 1.5, 2, 3, 4}, func() float64 { return 0.4 }, row)
		for j, v := range row {
			matches(t, "on the way", v, c.want[j], 1e-6)
		}
	}
}

// TestStairsDrawn: many curves of a cliff stand on its two levels at the doses tested, to
// the scatter over the root of the jars, and cross half-way anywhere between two of them.
func TestStairsDrawn(t *testing.T) {
	o := jumps(0)
	c := &Cloud{Obs: o, Stairs: o.stairs()}
	c.grid(c.Stairs.U)
	const n = 3000
	c.drawStairs(New(), n)
	if len(c.F) != n || len(c.Sigma) != n {
		t.Fatalf("%d curves, %d scatters", len(c.F), len(c.Sigma))
	}
	mid, _, _ := c.Band(0.05, 0.95)
	for i, want := range []float64{3.4, 3.4, 3.4, 0.7067, 0.7067, 0.7067} {
		at := -1
		for j, u := range c.U {
			if math.Abs(u-c.Stairs.U[i]) < 1e-9 {
				at = j
			}
		}
		matches(t, "level", mid[at], want, 0.01)
		within := 0
		for k, row := range c.F {
			if math.Abs(row[at]-want) < 2*c.Sigma[k] {
				within++
			}
		}
		if float64(within) < 0.95*n {
			t.Errorf("%d of %d curves stand within two scatters of level %d", within, n, i)
		}
	}
	early, late := 0, 0
	for _, row := range c.F {
		x := FirstCrossing(c.U, row, 2.05, false)
		if x < 0.4-1e-9 || x > 0.6+1e-9 {
			continue
		}
		if x < 0.45 {
			early++
		}
		if x > 0.55 {
			late++
		}
	}
	if float64(early) < 0.15*n || float64(late) < 0.15*n || math.Abs(float64(early-late)) > 0.15*n {
		t.Errorf("%d of %d curves fall in the first quarter of the gap, %d in the last", early, n, late)
	}
}

// TestSharesOfTheAnswer: models and stairs share the answer by their evidence, the stairs
// counting beforehand as all models stairsPrior times; the shape-only fit has its own share.
func TestSharesOfTheAnswer(t *testing.T) {
	e, o := New(), jumps(0)
	o.Y = []float64{3.4, 2.9, 2.3, 1.6, 1.2, 1}
	c := e.Build(o, Models(), 0.1)
	sum := c.Stairs.Share
	for i, s := range c.Shares {
		sum += s
		matches(t, "share of a model", math.Log(s/c.Shares[0]), c.Models[i].evidence-c.Models[0].evidence, 1e-9)
	}
	matches(t, "shares", sum, 1, 1e-9)
	matches(t, "share of the stairs", math.Log(c.Stairs.Share/c.Shares[0]), c.Stairs.evidence+math.Log(stairsPrior*float64(len(c.Models)))-c.Models[0].evidence, 1e-9)
	matches(t, "free share", c.Free.Share, 0.1, 0)
	if len(c.F) != CloudSize || len(c.Sigma) != CloudSize || c.Nodes() != len(c.U) {
		t.Errorf("%d curves, %d scatters", len(c.F), len(c.Sigma))
	}
	best := c.BestModel()
	for _, s := range c.Shares {
		if s > c.Shares[best] {
			t.Error("the best model has not the largest share")
		}
	}
	if c.Node(3) != (Point{X: c.U[3]}) {
		t.Errorf("node %v", c.Node(3))
	}
	// Every curve is drawn from its family: near the jars where they stand.
	mid, lo, hi := c.Band(0.05, 0.95)
	for i, u := range o.U {
		for j, x := range c.U {
			if math.Abs(x-u) < 1e-9 && (math.Abs(mid[j]-o.Y[i]) > 0.2 || lo[j] > o.Y[i] || hi[j] < o.Y[i]) {
				t.Errorf("at %g the curves run from %.2f by %.2f to %.2f, the jar read %.2f", u, lo[j], mid[j], hi[j], o.Y[i])
			}
		}
	}
}
