package surface

import (
	"jarwright/jartest/engine"
	"math"

	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Proposal is a jar worth running next.
type Proposal struct {
	Pair Pair
	Jars int
	Why  string
	// FirstStock and SecondStock are what to pipette into a jar, zero where the
	// sheet gives no stock strength or jar volume.
	FirstStock, SecondStock quantity.Volume
}

// further is the step by which a range is carried on past its end.
const further = 1.3

// Next gives the jars that would tell most: those that narrow the cost of the
// cheapest pair, and what is missing for a surface. They stay
// inside the tested region unless the answer lies outside it. jars is how many the
// next test has; those that matter most come first.
func (r Result) Next(jars int) ([]Proposal, note.List) {
	p := planner{r: &r, left: jars}
	if len(r.First.Levels) == 0 || len(r.Second.Levels) == 0 {
		return nil, r.Notes
	}
	switch {
	case len(r.responses) == 0:
		p.grid()
	case r.Outcome == curve.Found:
		p.found()
	case r.Outcome == curve.StillImproving:
		p.upward()
	case r.Outcome == curve.LowestDosePasses || r.Outcome == curve.UntreatedPasses:
		p.downward("below the tested range, since its lowest pair passed")
	case len(r.apart) > 0:
		p.between()
	case r.worse:
		p.downward("below the tested range, since more only makes it worse")
	case r.Outcome == curve.NoResponse:
		p.wide()
	default:
		p.add(r.Clearest.Pair, 2, "the best pair again, to see how sure it is")
		p.upward()
	}
	p.notes.Add(note.New(note.Info, "control-again", "run one jar without chemical and one of the old jars again, to see whether the water is still the same"))
	return p.out, p.notes
}

type planner struct {
	r     *Result
	left  int // jars not yet given away
	out   []Proposal
	notes note.List
}

// add proposes a pair, rounded to what can be pipetted, once.
func (p *planner) add(q Pair, n int, why string) {
	q.First = quantity.Concentration(quantity.RoundSig(float64(q.First), 3))
	q.Second = quantity.Concentration(quantity.RoundSig(float64(q.Second), 2))
	q.PH = math.Round(q.PH*10) / 10
	for _, x := range p.out {
		if x.Pair == q {
			return
		}
	}
	if n = min(n, p.left); n <= 0 {
		return
	}
	p.left -= n
	x := Proposal{Pair: q, Jars: n, Why: why}
	if v := p.r.design.series.JarVolume; v > 0 {
		stock := func(d quantity.Concentration, f Factor) quantity.Volume {
			if f.PH || f.Chemical.Stock <= 0 {
				return 0
			}
			return quantity.Volume(float64(d) * float64(v) / float64(f.Chemical.Stock))
		}
		x.FirstStock, x.SecondStock = stock(q.First, p.r.First), stock(q.Second, p.r.Second)
	}
	p.out = append(p.out, x)
}

// with gives a pair with the second level put in.
func (p *planner) with(first, second float64) Pair {
	q := Pair{First: quantity.Concentration(first)}
	if p.r.Second.PH {
		q.PH = second
	} else {
		q.Second = quantity.Concentration(second)
	}
	return q
}

// grid completes three levels of each.
func (p *planner) grid() {
	three := func(l []float64, zero bool) []float64 {
		top := l[len(l)-1]
		low := l[0]
		if low == top {
			if zero || top == 0 {
				return l
			}
			return []float64{0, top, 2 * top}
		}
		return []float64{low, (low + top) / 2, top}
	}
	have := map[Pair]bool{}
	for _, j := range p.r.Jars {
		have[j.Pair] = true
	}
	for _, y := range three(p.r.Second.Levels, p.r.Second.PH) {
		for _, x := range three(p.r.First.Levels, false) {
			if q := p.with(x, y); !have[q] {
				p.add(q, 1, "to make up three levels of each")
			}
		}
	}
}

func (p *planner) found() {
	r := p.r
	reg := r.region
	for _, f := range []struct {
		only bool
		f    Factor
		x    bool
	}{{reg.OnlyXs, r.First, true}, {reg.OnlyYs, r.Second, false}} {
		if !f.only {
			continue
		}
		mid := (f.f.Levels[0] + f.f.Levels[len(f.f.Levels)-1]) / 2
		other := r.Second.Levels
		if !f.x {
			other = r.First.Levels
		}
		for _, o := range other {
			q := p.with(mid, o)
			if !f.x {
				q = p.with(o, mid)
			}
			p.add(q, 1, "a third level of "+f.f.Name+", without which nothing can be said between the two")
		}
	}
	p.narrow()
	if top := r.Second.Levels[len(r.Second.Levels)-1]; r.priced() && !r.Second.PH && !reg.OnlyYs && float64(r.Estimate.Pair.Second) > 0.999*top {
		p.add(p.with(float64(r.Estimate.Pair.First), top*further), 1, "beyond the highest "+r.Second.Name+" tested, where a pair may be cheaper still")
	}
	if r.Saving.HasAlone {
		p.add(r.Saving.Alone.Pair, 1, r.First.Name+" alone, to see what "+r.Second.Name+" saves")
	}
}

// jar is a proposal before its pair is rounded.
type jar struct {
	at  engine.Point
	n   int
	why string
}

// plain is what anybody would run: the target line at the cheapest pair, the
// planning pair, and the target line to both sides of it.
func (p *planner) plain() (out []jar) {
	r := p.r
	at := r.design.point(r.Estimate.Pair)
	out = append(out, jar{at, 2, "on the target line, where the cheapest pair is expected"})
	if r.HasPlanning {
		out = append(out, jar{r.design.point(r.Planning.Pair), 2, "the planning pair"})
	}
	if r.region.OnlyYs {
		return out
	}
	ys, step := r.region.Ys, 0.5
	for i := 1; i < len(ys); i++ {
		if at.Y >= ys[i-1]-engine.Slack && at.Y <= ys[i]+engine.Slack {
			step = math.Min(step, (ys[i]-ys[i-1])/2)
		}
	}
	for _, y := range [...]float64{at.Y - step, at.Y + step} {
		sr := search{region: r.region, cost: func(q engine.Point) float64 { return q.X }, ok: func(q engine.Point) bool { return r.keeps(q) && r.confidence(q) >= 0.5 }}
		if f := sr.row(y, math.Inf(-1), math.Inf(1), cellsFirst); !math.IsInf(f.cost, 1) {
			out = append(out, jar{f.at, 1, "on the target line beside it, to see which way is cheaper"})
		}
	}
	return out
}

// worthMore is by how much more of the interval the computed jars must take away
// before the plain ones give way.
const worthMore = 0.02

// narrow proposes the plain jars, or those that narrow the cost of the cheapest
// pair more, judged by the equally likely surfaces.
func (p *planner) narrow() {
	jars := p.plain()
	var at []int
	n := 0
	for _, j := range jars {
		for range min(j.n, p.left-n) {
			at = append(at, p.r.near(j.at))
			n++
		}
	}
	o := p.r.outlook()
	if picked := o.Greedy(n, p.r.telling()); len(picked) == n && o.Left(picked) < o.Left(at)-worthMore {
		jars = jars[:0]
		count := map[int]int{}
		for _, k := range picked {
			count[k]++
		}
		for _, k := range picked {
			jars = append(jars, jar{p.r.met.Grid.Node(k), count[k], "where equally likely surfaces differ most about the answer (computed)"})
		}
	}
	for _, j := range jars {
		p.add(p.r.design.pair(j.at), j.n, j.why)
	}
}

// near is the crossing nearest to a place.
func (r *Result) near(q engine.Point) int {
	c := r.met.Grid.Cell(q)
	best := 0
	for i, s := range c.Share {
		if s > c.Share[best] {
			best = i
		}
	}
	return c.Node[best]
}

// outlook judges jars by the cost of the cheapest pair that each equally likely
// surface has; a surface that meets the target nowhere has it somewhat beyond the dearest.
func (r *Result) outlook() *engine.Outlook {
	cost, _ := r.drawn()
	if !r.priced() && !r.Second.PH { // the least of the second comes first: what is asked is the first beside it
		cost = r.needed(r.design.point(r.Estimate.Pair).Y)
	}
	top := 0.0
	for _, c := range cost {
		if !math.IsInf(c, 1) {
			top = math.Max(top, c)
		}
	}
	every := len(r.met.Grid.Sigma) / draws
	sigma := make([]float64, len(cost))
	for k, c := range cost {
		sigma[k] = r.met.Grid.Sigma[k*every]
		cost[k] = math.Log(math.Max(math.Min(c, 1.15*top), 1e-3*top+1e-300))
	}
	return engine.New().Outlook(func(k, j int) float64 { return float64(r.met.Margin[j][k*every]) }, sigma, cost)
}

// needed is the first factor's least sufficient level on each of the surfaces of
// [Result.drawn], at the grid's level of the second nearest to y.
func (r *Result) needed(y float64) (out []float64) {
	g := r.met.Grid
	row := r.near(engine.Point{X: g.U[0], Y: y}) / len(g.U) * len(g.U)
	line := make([]float64, len(g.U))
	for k := 0; k < len(g.Sigma); k += len(g.Sigma) / draws {
		for i := range line {
			line[i] = float64(r.met.Margin[row+i][k])
			if !r.region.Contains(g.Node(row + i)) {
				line[i] = outside
			}
		}
		out = append(out, engine.FirstCrossing(g.U, line, 0, false))
	}
	return out
}

// outside is a margin that no surface has, for places that may not be advised.
const outside = 1e6

// mostTelling bounds the candidates for a jar.
const mostTelling = 24

// telling are the crossings at which a jar would tell something: inside the tested
// region, within the limits, and neither sure to meet the target nor sure to miss it.
func (r *Result) telling() (out []int) {
	for j := range r.met.Margin {
		q := r.met.Grid.Node(j)
		if !r.region.Contains(q) || !r.keeps(q) {
			continue
		}
		if c := r.met.Met(q); c > 0.03 && c < 0.97 {
			out = append(out, j)
		}
	}
	every := (len(out) + mostTelling - 1) / mostTelling
	thin := out[:0]
	for i, j := range out {
		if i%max(every, 1) == 0 {
			thin = append(thin, j)
		}
	}
	return thin
}

// upward carries the range on past its end, by steps that do not lose the place.
func (p *planner) upward() {
	r := p.r
	q := r.Clearest.Pair
	top := r.First.Levels[len(r.First.Levels)-1]
	second := q.level(r.Second.PH)
	up := "beyond the tested range, since the target was not met in it"
	p.add(p.with(top*further, second), 1, up)
	p.add(p.with(top*further*further, second), 1, up)
	if r.Second.PH {
		return
	}
	t2 := r.Second.Levels[len(r.Second.Levels)-1]
	p.add(p.with(float64(q.First), t2*further), 1, up)
	p.add(p.with(top*further, t2*further), 1, up)
}

// between proposes the pairs that opposed targets need and allow, and the one half-way.
func (p *planner) between() {
	a, b := p.r.apart[0], p.r.apart[1]
	ph := p.r.Second.PH
	p.add(p.with(float64(a.First+b.First)/2, (a.level(ph)+b.level(ph))/2), 2, "half-way between what the targets need and allow")
	for _, q := range p.r.apart {
		p.add(q, 1, "what one of the targets needs or allows")
	}
}

// downward goes below the lowest pair.
func (p *planner) downward(low string) {
	r := p.r
	d, s := r.First.Levels[0], r.Second.Levels[0]
	if d == 0 && len(r.First.Levels) > 1 {
		d = r.First.Levels[1]
	}
	p.add(p.with(0, 0), 1, "without either chemical")
	for _, f := range [...]float64{0.7, 0.5, 0.25} {
		p.add(p.with(d*f, s), 1, low)
	}
	if s > 0 {
		p.add(p.with(d, s/2), 1, low)
		p.add(p.with(d/2, s/2), 1, low)
	}
}

// wide looks for any response at all.
func (p *planner) wide() {
	r := p.r
	top, mid := r.First.Levels[len(r.First.Levels)-1], r.Second.Levels[len(r.Second.Levels)/2]
	for _, f := range [...]float64{0.2, 2, 4} {
		p.add(p.with(top*f, mid), 1, "a wider range, since nothing changed within the tested one")
	}
	p.notes.Add(note.New(note.Info, "try-another", "try another coagulant or another pH in one jar as well"))
}
