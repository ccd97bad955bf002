// Package logbook is the plant's own operating log: one row a day or a watch with raw and treated turbidity, the pump's setting,
// what went of the stock, a timed drawdown and the water treated. It reads the user's own sheet, works out the dose that was
// really fed and the removal that was achieved, and tells by control charts which of them has moved off, since when, and what to do.
package logbook

import (
	"math"
	"slices"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Log is the entries of a file, in the order of their times.
type Log struct {
	File    string
	Entries []Entry
	// Said is what its headings and the lines above them say, by which the chemical is told.
	Said string
	// Strength and Planned are those of the stock and of the dose that the lines above the table say, both counting the same.
	Strength, Planned quantity.Known[quantity.Concentration]
	// Marks is true where the pump's setting is in marks of its own and not in per cent.
	Marks bool
	Notes note.List
}

// Entry is a row of the log. What a row counts of stock and of water went since the row before it.
type Entry struct {
	// Place is the cell of its day; Time counts from the first day of 1970, without a time zone.
	Place        note.Place
	Time         quantity.Time
	Raw, Treated quantity.Known[quantity.Cloudiness]
	Setting      quantity.Known[quantity.Setting]
	// Level is what stands in the stock tank; Used went of it, and Added is stock made or poured in, since the row before.
	Level, Used, Added quantity.Known[quantity.Volume]
	// Weighed is stock used by its mass.
	Weighed  quantity.Known[quantity.Mass]
	Drawdown quantity.Known[quantity.FeedRate]
	Flow     quantity.Known[quantity.Flow]
	// Water was treated since the row before; Meter is a running total.
	Water, Meter quantity.Known[quantity.Volume]
	// Fresh is true where the row says that new stock was made.
	Fresh  bool
	Remark string
}

// Day is the day of the entry.
func (e Entry) Day() month.Date { return dayOf(e.Time) }

func dayOf(t quantity.Time) month.Date {
	return month.DateOf(time.UnixMilli(int64(float64(t) * 3600e3)).UTC())
}

// later is the second of two where it is known.
func later[T any](a, b quantity.Known[T]) quantity.Known[T] {
	if b.OK {
		return b
	}
	return a
}

// plan puts what the log's own lines say where the site says nothing, and says where the two do not agree.
func (l Log) plan(p Plan, notes *note.List) Plan {
	for _, x := range []struct {
		what string
		log  quantity.Known[quantity.Concentration]
		site quantity.Known[quantity.Concentration]
	}{
		{"stock strength", l.Strength, p.Strength},
		{"planned dose", l.Planned, quantity.Known[quantity.Concentration]{V: p.Dose.V.Concentration, OK: p.Dose.OK}},
	} {
		const same = 0.05
		if x.log.OK && x.site.OK && math.Abs(float64(x.log.V/x.site.V)-1) > same {
			notes.Add(note.New(note.Caution, "log-or-site", "the log says a %s of %s, the site %s; that of the site is taken", x.what, quantity.To(x.log.V, 3), quantity.To(x.site.V, 3)).At(x.log.At).
				Do("correct the one that is out of date, and look whether both count the same: product or dry matter"))
		}
	}
	if !p.Strength.OK && !p.Dose.OK && l.Strength.OK {
		how := note.Say("the stock's strength, %s, is that of the log's own line", quantity.To(l.Strength.V, 3))
		if l.Planned.OK {
			how = how.And(", as is the planned dose, %s", quantity.To(l.Planned.V, 3))
		}
		notes.Add(note.New(note.Info, "log-plan", "%s; both are taken to count product", how).At(l.Strength.At))
		p.Strength = l.Strength
		if l.Planned.OK {
			p.Dose = quantity.Some(quantity.Dose{Concentration: l.Planned.V, Basis: quantity.AsProduct})
		}
	}
	return p
}

// Join makes one log of those that follow each other in time, such as a file a month; others stay apart.
func Join(logs []Log) (out []Log) {
	logs = slices.Clone(logs)
	slices.SortStableFunc(logs, func(a, b Log) int { return byTime(a.Entries[0], b.Entries[0]) })
	for _, l := range logs {
		n := len(out) - 1
		if n >= 0 && l.Marks == out[n].Marks && out[n].Entries[len(out[n].Entries)-1].Time < l.Entries[0].Time {
			p := &out[n]
			p.File += ", " + l.File
			p.Said += " " + l.Said
			p.Strength, p.Planned = later(p.Strength, l.Strength), later(p.Planned, l.Planned)
			p.Entries, p.Notes = slices.Concat(p.Entries, l.Entries), slices.Concat(p.Notes, l.Notes)
			continue
		}
		out = append(out, l)
	}
	return out
}
