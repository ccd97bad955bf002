package surface

import (
	"math"

	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// bounds are the pairs at which one target by itself is met as likely as not: the one
// of least cost, and the one with the highest dose of the first chemical.
type bounds struct {
	least, most engine.Point
	met         bool
	atLowest    bool // the lowest pair tested meets it already
}

func (r *Result) boundsOf(k int) (b bounds) {
	g, low := r.met.Grid, math.Inf(1)
	for j := range g.Nodes() {
		q := g.Node(j)
		if !r.region.Contains(q) || !r.keeps(q) || r.responses[k].alone.Met(q) < 0.5 {
			continue
		}
		if c := r.cost(q); c < low {
			low, b.least = c, q
		}
		if !b.met || q.X > b.most.X {
			b.most = q
		}
		b.met = true
		b.atLowest = b.atLowest || q.X <= r.region.Xs[0]+engine.Slack
	}
	return b
}

// opposed answers where each target can be met by itself and no pair meets all: what
// each needs or allows, and the jar that comes closest.
func (r *Result) opposed() bool {
	if len(r.responses) < 2 {
		return false
	}
	var said note.Phrase
	for k := range r.responses {
		b := r.boundsOf(k)
		if !b.met {
			return false
		}
		one := note.Say("%s needs at least %s", r.Targets[k].String(), r.fitted(r.design.pair(b.least)))
		if b.atLowest {
			one = note.Say("%s allows at most %s", r.Targets[k].String(), r.fitted(r.design.pair(b.most)))
		}
		if k > 0 {
			one = note.Say("%s, and %s", said, one)
		}
		said = one
	}
	r.Outcome = curve.NotReached
	r.Notes.Add(note.New(note.Caution, "targets-opposed", "%s: no pair tested meets all; %s", said, r.closest()).At(r.Place).
		Do("ease one of the targets, or part them: alkali where pH or alkalinity limits, more of %s beside less of %s where the residual or the sludge does; then test pairs between these", r.Second.Name, r.First.Name))
	return true
}

// closest names the jar that misses its targets by the fewest scatters, with what it
// reads of those that it misses.
func (r *Result) closest() note.Phrase {
	best, least := -1, math.Inf(1)
	var reads note.Phrase
	for j := range r.Jars {
		far, said, whole := 0.0, note.Phrase{}, true
		for k := range r.responses {
			b := &r.responses[k]
			y, has := b.of(j)
			whole = whole && has
			miss := (y - b.goal) / b.scatter()
			if !has || miss <= 0 {
				continue
			}
			info := b.Key.Info()
			one := note.Say("%s %s", info.Label, quantity.Full(quantity.Number(b.Uses[j].Value), 3))
			if info.Unit != "" {
				one = note.Say("%s %s", one, info.Unit)
			}
			if far > 0 {
				one = note.Say("%s and %s", said, one)
			}
			said, far = one, far+miss
		}
		if whole && far < least {
			best, least, reads = j, far, said
		}
	}
	if best < 0 {
		return note.Say("no jar has all these readings")
	}
	jar := note.Say("jar %s (%s)", r.Jars[best].Label, r.words(r.Jars[best].Pair))
	if least == 0 {
		return note.Say("only %s meets all", jar)
	}
	return note.Say("the jar that comes closest is %s, which reads %s", jar, reads)
}

// of gives the fitted number of a jar.
func (r *response) of(jar int) (float64, bool) {
	for i, j := range r.Jar {
		if j == jar {
			return r.Obs.Y[i], true
		}
	}
	return 0, false
}
