package logbook

import (
	"slices"
	"strconv"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// farDays is how far off all others rows stand before their year is asked about, followsOn how near to the rows beside it in the file a row has to
	// come by another year; oddRows is how many rows at most are odd among many, where they stand in their order. Judgement, no source.
	farDays, followsOn quantity.Time = 120 * 24, 45 * 24
	oddRows                          = 3
	// longGap is without rows for how long a log is told to have a gap, where that is gapTimes its usual step and more.
	longGap  quantity.Time = 30 * 24
	gapTimes               = 10
)

// farOffDays leaves out rows whose year was written wrong, as it seems, and asks: such as stand far from all others, and follow on beside the rows next to
// them in the file by another year. The entries are in the order of the file.
func (x *reader) farOffDays() {
	byDay := slices.Clone(x.Entries)
	slices.SortStableFunc(byDay, byTime)
	var parts [][]Entry // that lie far apart
	for i, e := range byDay {
		if i == 0 || e.Time-byDay[i-1].Time > farDays {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], e)
	}
	most := slices.MaxFunc(parts, func(a, b []Entry) int { return len(a) - len(b) })
	for _, p := range parts {
		if len(p) == len(most) {
			continue
		}
		first := p[0]
		year, ok := x.slippedYear(p, len(p) <= oddRows && len(most) >= fewestKnown)
		if !ok {
			continue
		}
		n := note.New(note.Caution, "day-far", "%s stands far from the days of the rows beside it; it is left out", first.Day().Spelled()).At(first.Place)
		if len(p) > 1 {
			n = note.New(note.Caution, "day-far", "%s from %s on stand far from the days of the rows beside them; they are left out", rowsOf(len(p)), first.Day().Spelled()).At(first.Place)
		}
		x.Notes.Add(n.Do("correct the year: was it %s?", strconv.Itoa(year)))
		x.Entries = slices.DeleteFunc(x.Entries, func(e Entry) bool {
			return slices.ContainsFunc(p, func(o Entry) bool { return o.Place == e.Place })
		})
	}
}

// slippedYear is that by which the first of some rows follows on in the file. What stands in the order of its days is a log of another year, unless it is odd.
func (x *reader) slippedYear(rows []Entry, odd bool) (year int, ok bool) {
	in := func(e Entry) bool { return slices.ContainsFunc(rows, func(o Entry) bool { return o.Place == e.Place }) }
	for i, e := range x.Entries {
		if !in(e) {
			continue
		}
		for _, k := range []int{i - 1, i + 1} {
			if k < 0 || k >= len(x.Entries) || in(x.Entries[k]) || x.Entries[k].Place.Sheet != e.Place.Sheet {
				continue
			}
			beside := x.Entries[k]
			behind := k < i && beside.Time-e.Time > farDays || k > i && e.Time-beside.Time > farDays
			for _, y := range []int{beside.Day().Year - 1, beside.Day().Year, beside.Day().Year + 1} {
				d := e.Day()
				on := month.DateOf(time.Date(y, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC))
				if apart := on.DaysTo(beside.Day()); (behind || odd) && y != d.Year && quantity.Time(24*max(apart, -apart)) <= followsOn {
					return y, true
				}
			}
		}
	}
	return 0, false
}

// gaps tells of a log that goes on after a long time without rows.
func (l Log) gaps(usual quantity.Time, notes *note.List) {
	for i := 1; i < len(l.Entries); i++ {
		a, b := l.Entries[i-1], l.Entries[i]
		if by := b.Time - a.Time; by > max(longGap, gapTimes*usual) {
			notes.Add(note.New(note.Info, "log-gap", "no rows stand between %s and %s, %s days", a.Day().Spelled(), b.Day().Spelled(), strconv.Itoa(a.Day().DaysTo(b.Day()))).At(b.Place))
		}
	}
}
