package surface

import (
	"math"
	"slices"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// steepGap is the fall from one jar to the next, on the logarithm, that is told where the pair
	// stands inside it: the reading goes down to a fifth. Own choice, as is mostOfFall.
	steepGap = 1.6
	// mostOfFall is the share of the fall along a row of jars that one gap holds, so that the other
	// gaps show nothing of how it falls.
	mostOfFall = 2.0 / 3
)

// rung is the middle of the jars at one level of the first factor, on the fitted scale.
type rung struct{ x, y float64 }

// row is the middle of the jars on one level of the second factor, by the first.
func (b *response) row(level float64) (out []rung) {
	jars := map[float64][]float64{}
	for i, y := range b.Obs.Y {
		if q := b.Obs.At(i); math.Abs(q.Y-level) <= engine.Slack {
			jars[q.X] = append(jars[q.X], y)
		}
	}
	for x, ys := range jars {
		sum := 0.0
		for _, y := range ys {
			sum += y
		}
		out = append(out, rung{x, sum / float64(len(ys))})
	}
	slices.SortFunc(out, func(a, b rung) int { return int(math.Copysign(1, a.x-b.x)) })
	return out
}

// unseenFall cautions where the planning pair is read off between two neighbouring jars of which one
// fails and the other passes, and nearly all of the fall lies between them: how it falls there is what
// the models say of other waters.
func (r *Result) unseenFall(b *response) (note.Note, bool) {
	if !r.HasPlanning || !b.Scale.Log() {
		return note.Note{}, false
	}
	q := r.design.point(r.Planning.Pair)
	level := math.Inf(1)
	for i := range b.Obs.Y {
		if y := b.Obs.At(i).Y; math.Abs(y-q.Y) < math.Abs(level-q.Y) {
			level = y
		}
	}
	row := b.row(level)
	if len(row) < 2 {
		return note.Note{}, false
	}
	low, high := row[0].y, row[0].y
	for _, j := range row {
		low, high = math.Min(low, j.y), math.Max(high, j.y)
	}
	for k := 1; k < len(row); k++ {
		from, to := row[k-1], row[k]
		fall := from.y - to.y
		if q.X <= from.x+engine.Slack || q.X >= to.x-engine.Slack || from.y <= b.goal || to.y > b.goal || fall < steepGap || fall < mostOfFall*(high-low) {
			continue
		}
		read := func(j rung) note.Phrase {
			said := note.Say("%s", quantity.Full(quantity.Number(b.Scale.Reading(j.y)), 3))
			if unit := b.Key.Info().Unit; unit != "" {
				said = note.Say("%s %s", said, unit)
			}
			return note.Say("%s at %s", said, r.fitted(r.design.pair(engine.Point{X: j.x, Y: level})))
		}
		between := func(share float64) note.Phrase {
			return note.Say("%s", quantity.Full(r.design.pair(engine.Point{X: from.x + share*(to.x-from.x)}).First, 3))
		}
		return note.New(note.Caution, "fall-unseen", "the planning pair is read off between two jars, and hardly any fall lies outside of them: %s goes from %s to %s, through the target; how it falls between them no jar shows",
			b.Key.Info().Label, read(from), read(to)).At(r.Place).
			Do("test %s, %s and %s of %s beside the same %s before planning with it", between(0.25), between(0.5), between(0.75), r.First.Name, r.Second.Name), true
	}
	return note.Note{}, false
}
