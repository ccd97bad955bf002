package logbook

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// pointsBehind is by how many points the plant takes out less than the bench did, and leftBehind how many times as much it leaves, before
	// it is told. Judgement, no source: a beaker settles better than a plant.
	pointsBehind quantity.Fraction = 0.1
	leftBehind   float64           = 1.5
	// sameWater is by what ratio the raw water of the bench may differ from that of late.
	sameWater float64 = 2
	// asPlanned is the share of its plan from which on a dose is no reason for that.
	asPlanned quantity.Fraction = 0.9
)

// behind tells of a plant that takes out less than its bench did of such water: since the first of the latest entries that all do.
func (j *Judged) behind() {
	b, late := j.Bench, j.Late()
	if !b.OK || !late.Removal.OK || b.V.Removal()-late.Removal.V < pointsBehind || slices.ContainsFunc(j.Drift, func(d Drift) bool { return d.What == string(OfRemoval) && d.Size > 0 || d.What == string(OfRaw) }) {
		return
	}
	short := func(d Day) bool {
		return b.V.Removal()-d.Removal.V >= pointsBehind/2 && float64(d.Treated.V) >= leftBehind*float64(b.V.Left) && math.Abs(math.Log(float64(d.Raw.V/b.V.Raw))) <= math.Log(sameWater)
	}
	var at []int
	for i := len(j.Days) - 1; i >= 0; i-- {
		if d := j.Days[i]; d.Removal.OK {
			if !short(d) {
				break
			}
			at = append(at, i)
		}
	}
	if len(at) < fewestTurned {
		return
	}
	first, last := j.Days[at[len(at)-1]], j.Days[len(j.Days)-1]
	d := Drift{What: string(OfRemoval), Since: first.Day(), Seen: last.Day(), Size: late.Removal.V - b.V.Removal(), Readings: len(at), Advice: LookAtUnit, Place: first.Place}
	points := quantity.To(quantity.Number((b.V.Removal() - late.Removal.V).In("%")), 2)
	d.Reason = note.Say("it takes out %s, %s points less than the bench did of such water at its lowest effective dose", quantity.To(late.Removal.V, 3), points)
	switch {
	case !late.OfPlanned.OK:
		d.Reason = d.Reason.And("; the log does not tell what was fed beside the plan: look at that first")
	case late.OfPlanned.V < asPlanned:
		d.Reason = d.Reason.And(", while %s of the planned dose is fed: mend that first", quantity.To(late.OfPlanned.V, 3))
	default:
		d.Reason = d.Reason.And(", though %s of the planned dose is fed: jars are mixed and settled better, or the stock is not what it says", quantity.To(late.OfPlanned.V, 3))
	}
	j.Drift = append(j.Drift, d)
}
