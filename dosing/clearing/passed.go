package clearing

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A tank through whose unit the flow Q changes, or whose volume V falls as water is let off, clears as C = F + A·exp(−E·∫Q/V dt): what is let off takes its
// solids with it. Its course is fitted over the hours that would have turned it as often at the means, ∫Q/V dt·V̄/Q̄, so that its rate is E·Q̄/V̄ as in any other run.

// standing is for which hours a flow counts that stands in a row.
type standing int

const (
	sinceRowAbove standing = iota
	untilNextRow
	evenly // from that of one row to that of the next
	standings
)

// says tells it in a sentence.
func (s standing) says() string {
	return [...]string{"for the time since the row above it", "until the row below it", "evenly from one row to the next"}[s]
}

// passage turns hours since the start into those at the mean flow, by knots of both; none turns nothing.
type passage struct {
	hours, passed []float64
	// then is how fast they pass after the last.
	then float64
}

// pace is how fast the hours of a row pass beside those at the means.
func (r Run) pace(f FlowAt) float64 {
	p := 1.0
	switch {
	case f.Flow.OK && f.Flow.V == 0:
		return 0
	case f.Flow.OK && r.Flow.V > 0:
		p = float64(f.Flow.V / r.Flow.V)
	}
	if f.Volume.OK && r.Volume.V > 0 {
		p *= float64(r.Volume.V / f.Volume.V)
	}
	return p
}

// passageOf is that of a run whose rows have a flow or a volume each, which count as said.
func passageOf(r Run, as standing) (p passage) {
	if len(r.Flows) == 0 {
		return p
	}
	p.then = 1
	for i, f := range r.Flows {
		if i == 0 {
			p.hours, p.passed = append(p.hours, float64(f.At)), append(p.passed, float64(f.At))
			continue
		}
		above, q := r.pace(r.Flows[i-1]), r.pace(f)
		switch as {
		case untilNextRow:
			q = above
		case evenly:
			q = (above + q) / 2
		}
		k := len(p.hours) - 1
		if step := float64(f.At) - p.hours[k]; step > 0 {
			p.hours, p.passed = append(p.hours, float64(f.At)), append(p.passed, p.passed[k]+step*q)
		}
	}
	if last := r.pace(r.Flows[len(r.Flows)-1]); last > 0 {
		p.then = last
	}
	return p
}

// at is the hours at the mean flow of an hour since the start.
func (p passage) at(hours float64) float64 { return along(hours, p.hours, p.passed, 1, p.then) }

// back is the hour since the start of those at the mean flow.
func (p passage) back(passed float64) float64 {
	return along(passed, p.passed, p.hours, 1, 1/max(p.then, 1e-9))
}

// along goes from one list of knots to the other, by straight lines, with the slopes before the first and after the last.
func along(x float64, from, to []float64, before, after float64) float64 {
	n := len(from)
	if n == 0 || math.IsInf(x, 0) {
		return x
	}
	i := sort.SearchFloat64s(from, x)
	switch {
	case i < n && from[i] == x:
		return to[i]
	case i == 0:
		return to[0] + (x-from[0])*before
	case i == n:
		return to[n-1] + (x-from[n-1])*after
	}
	return to[i-1] + (x-from[i-1])*(to[i]-to[i-1])/(from[i]-from[i-1])
}

// points are the readings of a run as its course takes them.
func (x Result) points() points {
	p := tankPoints(x.Readings)
	for i := range p.t {
		p.t[i] = x.passage.at(p.t[i])
	}
	return p
}

// fits is the course of a run by the standing of its flows that its readings follow best, and the courses of the others.
func (x *Result) fits() (best fitted, others []fitted) {
	if len(x.Flows) == 0 || x.Off {
		return x.points().fit(), nil
	}
	of := standing(0)
	var all [standings]fitted
	for s := range standings {
		y := *x
		y.passage = passageOf(x.Run, s)
		if all[s] = y.points().fit(); all[s].sse < all[of].sse {
			of = s
		}
	}
	for s, f := range all {
		if standing(s) != of {
			others = append(others, f)
		}
	}
	x.passage = passageOf(x.Run, of)
	if !x.flowVaried() {
		return all[of], others
	}
	what := "a flow"
	if x.volumeVaried() {
		what = "flow and volume"
	}
	x.Notes.Add(note.New(note.Info, "flow-counts", "the readings go best with %s that %s %s", what, side(what == "a flow", "counts", "count"), of.says()).At(x.At))
	return all[of], others
}

// steadyFlow is by how much of its mean a flow may lie either side of it and count as steady. Judgement, no source.
const steadyFlow = 0.1

// flowVaried reports a run whose flow, or what it is of the volume, was not steady.
func (r Run) flowVaried() bool {
	if len(r.Flows) == 0 {
		return false
	}
	less := func(a, b FlowAt) int { return cmp.Compare(r.pace(a), r.pace(b)) }
	return r.pace(slices.MaxFunc(r.Flows, less))-r.pace(slices.MinFunc(r.Flows, less)) > 2*steadyFlow
}

// volumes are those that rows tell.
func (r Run) volumes() (out []quantity.Volume) {
	for _, f := range r.Flows {
		if f.Volume.OK {
			out = append(out, f.Volume.V)
		}
	}
	return out
}

// volumeVaried reports a run whose volume was not steady.
func (r Run) volumeVaried() bool {
	v := r.volumes()
	return len(v) > 1 && slices.Max(v)-slices.Min(v) > steadyFlow*r.Volume.V
}

// toppedUp is by what share a volume may stand above the least before it and count as one that was read so. Judgement, no source.
const toppedUp = 0.05

// filled is where a volume rises: between which two.
func (r Run) filled() (from, to quantity.Volume, up bool) {
	least := quantity.Volume(math.Inf(1))
	for _, v := range r.volumes() {
		if least = min(least, v); v > least*(1+toppedUp) {
			return least, v, true
		}
	}
	return 0, 0, false
}

// widened are the ends of the logarithm of the rate with those of the other courses that the readings do not rule out.
func widened(low, high float64, best fitted, others []fitted, more float64) (float64, float64) {
	for _, f := range others {
		if left := best.sse + more - f.sse; left > 0 {
			l, h := f.rateEnds(left)
			low, high = math.Min(low, l), math.Max(high, h)
		}
	}
	return low, high
}

// hoursOf is an hour of the fit as one since the start.
func (x Result) hoursOf(t float64) quantity.Time { return quantity.Time(x.passage.back(t)) }
