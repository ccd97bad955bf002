package curve

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// pairing says which curve of each goal's reading goes with curve k of the first:
// readings scatter independently, so those of another reading are paired at random;
// two goals on one reading are about one curve.
func (a *analysis) pairing() func(k, goal, n int) int {
	same := make([]int, len(a.goals))
	for i, g := range a.goals {
		same[i] = slices.IndexFunc(a.goals, func(o goal) bool { return o.key == g.key })
	}
	return func(k, i, n int) int {
		return engine.Partner(same[i], k, n)
	}
}

// lastWithin gives the dose up to which the margins stay met from the first that is,
// +Inf where they stay so to the end.
func lastWithin(u, margin []float64, first float64) float64 {
	for j, v := range margin {
		if u[j] > first && v > 0 {
			if j == 0 || margin[j-1] > 0 {
				return first
			}
			return u[j-1] + margin[j-1]/(margin[j-1]-v)*(u[j]-u[j-1])
		}
	}
	return math.Inf(1)
}

// upperEnd is the interval of an upper end; false where most curves have none in range.
func (a *analysis) upperEnd(upper []float64) (Interval, bool) {
	if len(upper) == 0 {
		return Interval{}, false
	}
	slices.Sort(upper)
	q := func(p float64) float64 { return engine.Quantile(upper, p) }
	low, mid, high := q((1-engine.IntervalConfidence)/2), q(0.5), q((1+engine.IntervalConfidence)/2)
	if math.IsInf(mid, 1) {
		return Interval{}, false
	}
	i := Interval{Value: quantity.Concentration(mid), Low: quantity.Concentration(low), HasLow: true, Confidence: engine.IntervalConfidence}
	if !math.IsInf(high, 1) {
		i.High, i.HasHigh = quantity.Concentration(high), true
	}
	return i, true
}

// window finds the doses between which every target is met.
func (a *analysis) window() {
	r := a.r
	if a.slopeGoal() {
		return
	}
	low := r.Effective
	if r.Outcome != Found { // met from the lowest dose tested on
		low = Interval{Value: quantity.Concentration(r.grid[0]), Confidence: engine.IntervalConfidence}
	}
	if high, ok := a.upperEnd(a.upper); ok && high.Value > low.Value {
		r.Window = Window{Seen: true, Low: low, High: high}
	}
}

// span is where one goal is met by itself, as far as the jars show.
type span struct {
	goal      int
	from, to  Interval
	starts    bool // it takes a dose to meet it
	ends      bool // more than so much fails it
	reachable bool
}

// alone finds where goal i is met by itself.
func (a *analysis) alone(i int) span {
	g := &a.goals[i]
	c, p := a.cloud[g.key], a.ready[g.key]
	levels := g.thresholds(c, p, a.e)
	out := span{goal: i}
	lowest, wide := a.span(p)
	margin := make([]float64, len(c.U))
	var first, last []float64
	for k := range c.F {
		g.margins(c, p, k, levels[k], margin)
		f := engine.FirstCrossing(c.U, margin, 0, false)
		first = append(first, lowest+f*wide)
		if !math.IsInf(f, 1) {
			last = append(last, lowest+lastWithin(c.U, margin, f)*wide)
		}
	}
	slices.Sort(first)
	q := func(p float64) quantity.Concentration { return quantity.Concentration(engine.Quantile(first, p)) }
	out.reachable = !math.IsInf(float64(q(0.5)), 1)
	if !out.reachable {
		return out
	}
	out.from = Interval{Value: q(0.5), Low: q((1 - engine.IntervalConfidence) / 2), High: q((1 + engine.IntervalConfidence) / 2), Confidence: engine.IntervalConfidence}
	out.from.HasLow, out.from.HasHigh = out.from.Low > r0(c, p), !math.IsInf(float64(out.from.High), 1)
	out.starts = out.from.Value > r0(c, p)
	out.to, out.ends = a.upperEnd(last)
	return out
}

// r0 is the lowest dose of a reading's curves.
func r0(c *engine.Cloud, p *prepared) quantity.Concentration {
	return quantity.Concentration(c.U[0] * p.dmax)
}

// bounds finds the target that asks for the most and the one that allows the least, each by
// itself; false where one cannot be met at all, or the two are not two.
func (a *analysis) bounds() (most, least span, ok bool) {
	if len(a.goals) < 2 {
		return most, least, false
	}
	most.goal, least.goal = -1, -1
	for i := range a.goals {
		s := a.alone(i)
		if !s.reachable {
			return most, least, false
		}
		if s.starts && (most.goal < 0 || s.from.Value > most.from.Value) {
			most = s
		}
		if s.ends && (least.goal < 0 || s.to.Value < least.to.Value) {
			least = s
		}
	}
	return most, least, most.goal >= 0 && least.goal >= 0 && most.goal != least.goal
}

// between names both bounds.
func (a *analysis) between(most, least span) note.Phrase {
	r := a.r
	return note.Say("%s needs at least %s, and %s allows at most %s", r.Targets[most.goal].String(), a.bound(most.from), r.Targets[least.goal].String(), a.bound(least.to))
}

// opposed reports targets that each can be met, but not together: one asks for more
// than another allows. It names both bounds and the jar that comes closest.
func (a *analysis) opposed() bool {
	most, least, ok := a.bounds()
	if !ok {
		return false
	}
	r := a.r
	r.Outcome, r.Binding = NotReached, most.goal
	r.Response = a.goals[most.goal].key
	a.lowestPassing()
	low, high := float64(min(most.from.Value, least.to.Value)), float64(max(most.from.Value, least.to.Value))
	r.apart = [2]float64{low, high}
	none := "no dose meets both"
	if most.from.Value <= least.to.Value {
		none = "that is too narrow for one dose to meet both more likely than not"
	}
	n := note.New(note.Caution, "targets-opposed", "%s: %s; %s", a.between(most, least), none, a.closest()).At(a.s.Place)
	if high > low*1.02 {
		n = n.Do("ease one of the two, or part them: alkali where pH or alkalinity limits, a polymer beside a smaller dose where the residual or the sludge does; then test between %s and %s", a.mgl(low), a.mgl(high))
	} else {
		n = n.Do("ease one of the two a little, or repeat the jars near %s", a.mgl(low))
	}
	r.Notes.Add(n)
	return true
}

// bound is a dose with its interval, in words.
func (a *analysis) bound(i Interval) note.Phrase {
	switch {
	case i.HasLow && i.HasHigh:
		return note.Say("%s (%s to %s)", a.mgl(float64(i.Value)), a.mgl(float64(i.Low)), a.mgl(float64(i.High)))
	case i.HasHigh:
		return note.Say("%s (%s or less)", a.mgl(float64(i.Value)), a.mgl(float64(i.High)))
	case i.HasLow:
		return note.Say("%s (%s or more)", a.mgl(float64(i.Value)), a.mgl(float64(i.Low)))
	}
	return a.mgl(float64(i.Value))
}

// closest names the jar that misses its targets by the fewest scatters, with what it
// reads of those that it misses.
func (a *analysis) closest() note.Phrase {
	best, least := -1, math.Inf(1)
	var reads note.Phrase
	for j := range a.s.Jars {
		far, said, whole := 0.0, note.Phrase{}, true
		for _, g := range a.goals {
			p := a.ready[g.key]
			k := slices.Index(p.Jar, j)
			if k < 0 {
				whole = false
				break
			}
			miss := p.Obs.Y[k] - g.thresholds(a.cloud[g.key], p, a.e)[0]
			if g.high {
				miss = -miss
			}
			if miss /= engine.Median(a.cloud[g.key].Sigma); miss > 0 {
				one := a.reads(g.key, p.jars[j].Reading)
				if said = note.Say("%s and %s", said, one); far == 0 {
					said = one
				}
				far += miss
			}
		}
		if whole && far < least {
			best, least, reads = j, far, said
		}
	}
	if best < 0 {
		return note.Say("no jar has all these readings")
	}
	jar := a.jarName(a.ready[a.goals[0].key].jars[best])
	if least == 0 {
		return note.Say("only %s meets both", jar)
	}
	return note.Say("the jar that comes closest is %s, which reads %s", jar, reads)
}

// reads is a reading with its name and unit, in words.
func (a *analysis) reads(k jartest.Key, v float64) note.Phrase {
	return note.Say("%s %s", k.Info().Label, inUnit(k, v))
}

// inUnit is a reading with its unit, in words.
func inUnit(k jartest.Key, v float64) note.Phrase {
	said := note.Say("%s", quantity.Full(quantity.Number(v), 3))
	if unit := k.Info().Unit; unit != "" {
		return note.Say("%s %s", said, unit)
	}
	return said
}

// slopeUnmet tells why no dose is the point of diminishing returns: the curve never
// falls so fast, or still does at the highest dose.
func (a *analysis) slopeUnmet() bool {
	if !a.slopeGoal() || len(a.goals) > 1 {
		return false
	}
	g := &a.goals[0]
	c, p := a.cloud[g.key], a.ready[g.key]
	var steepest []float64
	for _, row := range c.F {
		most := math.Inf(-1)
		for j := range row {
			most = math.Max(most, g.fall(c, p, row, j)/p.dmax)
		}
		steepest = append(steepest, most)
	}
	most := engine.Median(steepest)
	unit := strings.TrimSpace(g.key.Info().Unit + " per mg/L")
	r, asked := a.r, a.r.Targets[0].String()
	highest := r.grid[len(r.grid)-1]
	if most < g.target.Value {
		r.Outcome = NotReached
		u, mean, _, _ := p.Obs.Groups()
		read := 0.0
		for k := 1; k < len(u); k++ {
			read = math.Max(read, math.Abs(p.Scale.Reading(mean[k])-p.Scale.Reading(mean[k-1]))/(u[k]-u[k-1]))
		}
		r.Notes.Add(note.New(note.Caution, "slope-never", "%s changes by %s %s at most from one jar to the next, and the curve through them never falls as fast as the target %q asks; nothing diminishes to that point", g.key.Info().Label, quantity.Full(quantity.Number(read), 2), unit, asked).
			At(a.s.Place).Do("state a smaller slope, or a target for the reading itself"))
		return true
	}
	r.Outcome = StillImproving
	r.Notes.Add(note.New(note.Caution, "still-improving", "%s still falls faster than the target %q asks at the highest dose, %s", g.key.Info().Label, asked, a.mgl(highest)).
		At(a.s.Place).Do("test higher, for example %s and %s", a.mgl(highest*1.3), a.mgl(highest*1.69)))
	return true
}

// edge cautions about an answer that rests on the jar at the end of what was tested,
// while the one beside it fails.
func (a *analysis) edge(p *prepared) {
	r := a.r
	u, mean, _, _ := p.Obs.Groups()
	n := len(u)
	g := a.goals[r.Binding]
	if n < 2 || g.key != p.Key || g.target.Kind == jartest.WithinBest || g.target.Kind == jartest.Slope {
		return
	}
	level := g.thresholds(a.cloud[g.key], p, a.e)[0]
	meets := func(k int) bool { return mean[k] <= level != g.high || mean[k] == level }
	beside := a.goals[r.Binding].target.String()
	if meets(n-1) && !meets(n-2) {
		r.Notes.Add(note.New(note.Caution, "edge-of-range", "only the highest dose, %s, meets the target %q, and the jar below it, %s, fails: the dose lies at the edge of what was tested", a.mgl(u[n-1]), beside, a.mgl(u[n-2])).
			At(a.s.Place).Do("test %s and %s, and one dose between the two jars", a.mgl(u[n-1]*1.3), a.mgl(u[n-1]*1.7)))
	}
}
