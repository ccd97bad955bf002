package logbook

import (
	"math"
	"slices"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A column that is read as an amount of a row may be a total, and what two columns tell together may be no dose at all.

const (
	// fewestRising rows, each above the one before, are a total: eight amounts of a day stand so by chance once in 8! = 40320.
	fewestRising = 8
	// noSuchDose is how many times more or less than planned no dose is fed in the middle of all rows, noSuchShare how much stock no water
	// gets: columns then count something else. Judgement, no source.
	noSuchDose  = 10
	noSuchShare = 0.05
)

// rising reports amounts of rows that only ever grow. A total stands still where nothing went.
func rising[Q ~float64](l []Entry, of func(*Entry) *quantity.Known[Q]) bool {
	up, n := 0, 0
	last := Q(0)
	for i := range l {
		v := of(&l[i])
		if !v.OK {
			continue
		}
		if n++; n > 1 && v.V < last {
			return false
		}
		if n == 1 || v.V > last {
			up++
		}
		last = v.V
	}
	return up >= fewestRising && 10*up >= 9*n
}

// totals reads columns that only ever grow as running totals, and says so.
func (l Log) totals(notes *note.List) Log {
	water, used := func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Water }, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Used }
	metered := slices.ContainsFunc(l.Entries, func(e Entry) bool { return e.Meter.OK })
	l.Entries = slices.Clone(l.Entries)
	tell := func(what, heading string, at note.Place) {
		notes.Add(note.New(note.Caution, "running-total", "the column of %s grows from row to row, so it is read as a running total: what went is the difference of two rows", what).At(at).
			Do("write %q over it; if it is of each row, look at its numbers", heading))
	}
	if !metered && rising(l.Entries, water) {
		tell("water", "Water meter (m3)", water(&l.Entries[slices.IndexFunc(l.Entries, func(e Entry) bool { return e.Water.OK })]).At)
		for i := range l.Entries {
			e := &l.Entries[i]
			e.Meter, e.Water = e.Water, quantity.Known[quantity.Volume]{}
		}
	}
	if rising(l.Entries, used) {
		tell("stock used", "Stock used so far (L)", differences(l.Entries, used))
	}
	if kilos := func(e *Entry) *quantity.Known[quantity.Mass] { return &e.Weighed }; rising(l.Entries, kilos) {
		tell("stock used", "Stock used so far (kg)", differences(l.Entries, kilos))
	}
	return l
}

// differences makes a running total what went in each row, and gives the cell of its first.
func differences[Q ~float64](l []Entry, of func(*Entry) *quantity.Known[Q]) (first note.Place) {
	var last quantity.Known[Q]
	for i := range l {
		v := of(&l[i])
		if v.OK && first == (note.Place{}) {
			first = v.At
		}
		was := last
		last = *v // over a row without it nobody knows whose it was
		v.V, v.OK = v.V-was.V, v.OK && was.OK
	}
	return first
}

// noDose withholds a dose that no plant feeds, and asks what the columns count.
func (j *Judged) noDose() {
	var against, share []float64
	for _, d := range j.Days {
		if d.Fed.OK && d.Fed.V > 0 && d.Planned.OK && d.Planned.V > 0 {
			against = append(against, math.Log(float64(d.Fed.V/d.Planned.V)))
		}
		if d.PerWater.OK {
			share = append(share, float64(d.PerWater.V))
		}
	}
	said := note.Phrase{}
	switch {
	case len(against) > 0 && math.Abs(engine.Median(against)) > math.Log(noSuchDose):
		said = note.Say("by its columns of stock and water about %s times the planned dose would be fed", quantity.To(quantity.Number(math.Exp(engine.Median(against))), 2))
	case len(share) > 0 && engine.Median(share) > noSuchShare:
		said = note.Say("by its columns of stock and water %s of what flows would be stock", quantity.To(quantity.Fraction(engine.Median(share)), 2))
	default:
		return
	}
	at := note.Place{}
	for i := range j.Days {
		d := &j.Days[i]
		if d.PerWater.OK && at == (note.Place{}) {
			_, _, at, _ = stockCounted.of(d)
		}
		d.Stock.OK, d.Gone.OK, d.Fed.OK, d.PerWater.OK = false, false, false, false
	}
	j.absurd = true
	j.Notes.Add(note.New(note.Caution, "no-such-dose", "%s, which cannot be, so it tells no dose", said).At(at).
		Do("look what each column counts, a row's amount or a running total, stock or product, and its unit"))
}

// left settles what a column of stock counts that does not say whether it is left or was used, and what a share of the tank is of a tank that the
// site knows.
func (l Log) left(p Plan, notes *note.List) Log {
	l.Entries = slices.Clone(l.Entries)
	if p.Tank.OK && slices.ContainsFunc(l.Entries, func(e Entry) bool { return e.Part.OK }) {
		for i := range l.Entries {
			e := &l.Entries[i]
			for _, x := range []struct {
				part  quantity.Known[quantity.Fraction]
				level *quantity.Known[quantity.Volume]
			}{{e.Part, &e.Level}, {e.StartPart, &e.Start}} {
				if x.part.OK && !x.level.OK {
					*x.level = quantity.Known[quantity.Volume]{V: p.Tank.V * quantity.Volume(x.part.V), OK: true, At: x.part.At}
				}
			}
		}
		*notes = slices.DeleteFunc(*notes, func(n note.Note) bool { return n.Code == "level-of-what" })
		notes.Add(note.New(note.Info, "level-of-tank", "levels are shares of the %s that the tank holds by the site", quantity.To(p.Tank.V, 4)).At(l.Entries[0].Place))
	}
	if !l.StockHead.OK || slices.ContainsFunc(l.Entries, func(e Entry) bool { return e.Used.OK || e.Added.OK || e.Counter.OK }) {
		return l
	}
	ups, steps := 0, 0
	last := quantity.Known[quantity.Volume]{}
	for _, e := range l.Entries {
		if e.Level.OK && last.OK {
			steps++
			if e.Level.V > last.V {
				ups++
			}
		}
		if e.Level.OK {
			last = e.Level
		}
	}
	if steps == 0 || float64(ups) < oftenUp*float64(steps) {
		return l
	}
	for i := range l.Entries {
		e := &l.Entries[i]
		e.Used, e.Level = e.Level, quantity.Known[quantity.Volume]{}
	}
	l.Of, l.UsedHead = OfStock, l.StockHead
	notes.Add(note.New(note.Caution, "used-or-left", "%q does not say whether it is what is left or what was used; it rises about as often as it falls, so it is read as used", l.StockHead.V).At(l.StockHead.At).
		Do(`write "Stock used (L)" or "Stock tank level (L)" over it`))
	return l
}

// oftenUp is in what share of its steps a level rises at most, a tank being filled now and then.
const oftenUp = 0.34

// unfed says why a log that counts stock tells no dose, and which rows count nothing at all.
func (j *Judged) unfed() {
	has := func(of func(Day) bool) bool { return slices.ContainsFunc(j.Days, of) }
	if at := slices.IndexFunc(j.Days, func(d Day) bool { return d.Used.OK || d.Level.OK || d.Counter.OK || d.Weighed.OK }); at >= 0 && !has(func(d Day) bool { return d.Water.OK || d.Meter.OK || d.Flow.OK }) {
		_, _, cell, _ := stockCounted.of(&j.Days[at])
		j.Notes.Add(note.New(note.Caution, "no-water", "the log counts stock and no water, so it tells no dose").At(cell).Do("write the water treated, or the flow, beside the stock"))
	}
	for _, d := range j.Days {
		k := said(d.Remark, d.Place, of("fresh")...)
		if p := j.Plan.Strength; k.OK && p.OK && saysFresh(d.Remark) && math.Abs(float64(k.V/p.V)-1) > sameShare {
			j.Notes.Add(note.New(note.Caution, "remark-strength", "the remark of %s says a stock of %s, and %s is counted on", d.Day().Spelled(), quantity.To(k.V, 3), quantity.To(p.V, 3)).At(d.Place).
				Do("correct the one that is wrong; where the stock was made so, the dose fed is as much more or less from then on"))
			break
		}
	}
	n, first := 0, Day{}
	for _, d := range j.Days {
		if d.Used.OK && d.Used.V == 0 && d.Water.OK && d.Water.V == 0 {
			if n++; n == 1 {
				first = d
			}
		}
	}
	if n > 0 {
		j.Notes.Add(note.New(note.Info, "nothing-treated", "in %s no water was treated and nothing fed, %s on %s; no chart counts %s", rowsOf(n), side(n == 1, "that", "the first"), first.Day().Spelled(), side(n == 1, "it", "them")).At(first.Place))
	}
}
