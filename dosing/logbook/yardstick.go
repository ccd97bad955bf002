package logbook

import (
	"math"
	"slices"

	"jarwright/dosing/upkeep"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// farApart is how many standard errors the means of a log's first readings before and after a day differ at most while nothing moved, over all
	// such days; by simulation fewer than one log in a hundred with steady first weeks exceeds it.
	farApart = 5
	// fewestSide is how many readings either side of such a day has.
	fewestSide = 3
	// fewestSteady readings before the day are a yardstick of the dose and of the pump, fewestLeft of what is left in the water.
	fewestSteady, fewestLeft = 4, 8
)

// ownMiddle takes the middle of a log's own first readings off those of a chart, and gives its doubt. Where what is fed stepped within them,
// only those before the step are a yardstick, of all charts, and it is said.
func (j *Judged) ownMiddle(c *Chart) (doubt float64) {
	c.First = j.first(*c)
	plain := slices.Clone(c.Ratio)
	doubt = j.center(c)
	if c.What != OfRemoval && !j.stepped.OK {
		if at, by, ok := c.unsteady(); ok {
			d := j.Days[c.Days[at]]
			j.stepped = quantity.Some(c.Days[at])
			used := note.Say("only what came before is what later entries are held against")
			if at < fewestSteady {
				used = note.Say("both are what later entries are held against")
			}
			j.Notes.Add(note.New(note.Caution, "first-weeks", "the log's first weeks are not steady: of the %s its entries from %s on read about %s %% %s than those before; %s", string(c.What), d.Day().Spelled(),
				quantity.To(quantity.Number(math.Abs(by.In("%"))), 2), side(by < 0, "less", "more"), used).At(d.Place).Do("look what was changed on that day"))
		}
	}
	if !j.stepped.OK {
		return doubt
	}
	before := 0
	for _, i := range c.Days[:min(c.First, len(c.Days))] {
		if i < j.stepped.V {
			before++
		}
	}
	least := map[bool]int{true: fewestLeft, false: fewestSteady}[c.What == OfRemoval]
	if before < least || before == min(c.First, len(c.Days)) {
		return doubt
	}
	c.First, c.Ratio, c.Early = before, plain, true
	return j.center(c)
}

// unsteady is the first reading after a step within the first readings of a chart, and its size.
func (c Chart) unsteady() (at int, by quantity.Fraction, found bool) {
	x := c.Ratio[:min(c.First, len(c.Ratio))]
	sd, most := math.Max(upkeep.MovingRange(x), leastSD), float64(farApart)
	mean := func(x []float64) (m float64) {
		for _, v := range x {
			m += v / float64(len(x))
		}
		return m
	}
	for i := fewestSide; i <= len(x)-fewestSide; i++ {
		a, b := x[:i], x[i:]
		d := mean(b) - mean(a)
		if far := math.Abs(d) / sd / math.Sqrt(1/float64(len(a))+1/float64(len(b))); far > most {
			at, by, found, most = i, quantity.Fraction(math.Expm1(d)), true, far
		}
	}
	return at, by, found
}

// firstOf is what a chart of the log's own readings is held against.
func (j Judged) firstOf(c Chart) string {
	if c.Early {
		return "in the log's first entries, before " + j.Days[j.stepped.V].Day().Spelled()
	}
	return "in the log's first weeks"
}

// cloudier asks about treated water that reads more than the raw water of its row.
func (j *Judged) cloudier() {
	n, first := 0, Day{}
	for _, d := range j.Days {
		if d.Removal.OK && d.Treated.V > d.Raw.V {
			if n++; n == 1 {
				first = d
			}
		}
	}
	if n > 0 {
		j.Notes.Add(note.New(note.Caution, "treated-above-raw", "in %s the treated water reads more than the raw water, %s on %s: %s after %s", rowsOf(n), side(n == 1, "that", "the first"), first.Day().Spelled(), quantity.To(first.Treated.V, 3), quantity.To(first.Raw.V, 3)).
			At(first.Treated.At).Do("look whether the two were changed round, or whether floc went over"))
	}
}

// Lacks is what a log would need so that anything of it can be judged; nothing where something can.
func (j Judged) Lacks() (out []string) {
	has := func(of func(Day) bool) bool { return slices.ContainsFunc(j.Days, of) }
	if len(j.Charts) > 0 {
		return nil
	}
	if !has(func(d Day) bool { return d.Removal.OK }) {
		out = append(out, "raw and treated turbidity with their unit")
	}
	stock := has(func(d Day) bool { return d.Used.OK || d.Level.OK || d.Counter.OK || d.Weighed.OK && d.spent(j.Plan).OK })
	water := has(func(d Day) bool { return d.Water.OK || d.Meter.OK || d.Flow.OK })
	switch {
	case j.absurd:
		out = append(out, "what its columns of stock and water count, since no dose is as they tell")
	case stock && !water:
		out = append(out, "the water treated, or the flow, beside the stock")
	case water && !stock:
		out = append(out, "the stock used, or the level of its tank, beside the water")
	case !stock:
		out = append(out, "the stock used and the water treated")
	}
	return out
}
