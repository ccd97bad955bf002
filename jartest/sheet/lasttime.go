package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A table can have a line for each settling time of a jar. The readings of one time are the
// reading of all jars, those of the others keep names of their own.

// timedRow is a row of a jar at a settling time.
type timedRow struct {
	minutes float64
	r       int
}

// timetable is what a column of settling times says of the rows of a table.
type timetable struct {
	rows  []dataRow
	times []float64 // in minutes, or days of a clock
	jars  []string  // what tells the jar of each row from others
	last  map[string]float64
}

// lastTime keeps one settling time of each jar where a table has a line for each: the
// last at which the jars were read.
func (b *bench) lastTime(t *layout.Table, fs []field, rows []dataRow) []dataRow {
	clock, inMinutes := settlingColumn(fs)
	if clock < 0 {
		return rows
	}
	x, ok := b.timetable(t, fs, fs[clock], rows)
	if !ok {
		if len(x.times) == len(rows) && inMinutes && spoken()["settling"].in(words.Fold(fs[clock].Head.Text)) {
			for i, time := range x.times {
				rows[i].minutes = time
			}
		}
		return rows
	}
	fs[clock].role = asIgnored
	common, whole := 0.0, false
	if inMinutes {
		common, whole = x.common()
	}
	say := b.say(note.Caution, "settling-times", fs[clock].Place, "the jars were read at several times (column %q); %s", fs[clock].Head.Text, x.kept(common, whole, inMinutes))
	say.do(b, "keep only the lines of the time that counts")
	if inMinutes {
		say.do(b, `to judge by another time, ask for it, such as --target "turbidity at %s min <= 5 NTU"`, trimFloat(slices.Min(x.times)))
	}
	return x.pick(common, inMinutes)
}

// timetable reads a column of settling times; ok is false where it has no time for a row,
// or no jar was read at two.
func (b *bench) timetable(t *layout.Table, fs []field, clock field, rows []dataRow) (x timetable, ok bool) {
	x = timetable{rows: rows, last: map[string]float64{}}
	for _, d := range rows {
		v := layout.ParseValue(t.View.At(d.r, clock.C), b.dec(t))
		if !v.OK() {
			return x, false
		}
		time, u := v.Num, clock.Head.Unit
		if v.Unit.Kind == words.Minutes {
			u = v.Unit
		}
		if u.Kind == words.Minutes {
			time = round12(time * u.Factor)
		}
		jar := jarKey(t, fs, d)
		had, again := x.last[jar]
		ok = ok || again && had != time
		if !again || time > had {
			x.last[jar] = time
		}
		x.times, x.jars = append(x.times, time), append(x.jars, jar)
	}
	return x, ok
}

// common gives the latest of the times that most jars were read at, and whether all were
// read then, and none later; 0 where fewer than half were.
func (x timetable) common() (time float64, whole bool) {
	at := map[float64]map[string]bool{}
	for i, time := range x.times {
		if at[time] == nil {
			at[time] = map[string]bool{}
		}
		at[time][x.jars[i]] = true
	}
	most := 0
	for t, jars := range at {
		if len(jars) > most || len(jars) == most && t > time {
			most, time = len(jars), t
		}
	}
	if 2*most < len(x.last) {
		return 0, false
	}
	return time, most == len(x.last) && time == slices.Max(x.times)
}

// kept says which times are the reading.
func (x timetable) kept(common float64, whole, inMinutes bool) string {
	then := x.readAt(common)
	without := map[string]bool{} // up to five are named
	least, most := slices.Max(x.times), 0.0
	for i, d := range x.rows {
		if last := x.last[x.jars[i]]; x.times[i] == last {
			least, most = min(least, last), max(most, last)
		}
		if !then[x.jars[i]] && len(without) < 5 {
			without[d.name()] = true
		}
	}
	switch {
	case !inMinutes:
		return "the last time of each jar is the reading, the other lines were left out"
	case whole:
		return "the last time of each jar is the reading, the others keep names of their own"
	case common == 0 && least < most:
		return fmt.Sprintf("the last time of each jar is the reading, from %s to %s min, so that one curve mixes them; the others keep names of their own", trimFloat(least), trimFloat(most))
	case common == 0 || len(without) == 0:
		return fmt.Sprintf("those at %s min, at which most jars were read, are the reading, the others keep names of their own", trimFloat(common))
	}
	return fmt.Sprintf("those at %s min, at which most jars were read, are the reading, the others keep names of their own; these jars had none then: %s", trimFloat(common), strings.Join(slices.Sorted(maps.Keys(without)), ", "))
}

// name tells a jar by its label, or by the cell where it stands.
func (d dataRow) name() string {
	if d.label != "" {
		return d.label
	}
	return "at " + d.labelAt.Cell
}

// readAt gives the jars that were read at a time.
func (x timetable) readAt(time float64) map[string]bool {
	out := map[string]bool{}
	for i, jar := range x.jars {
		if x.times[i] == time {
			out[jar] = true
		}
	}
	return out
}

// pick gives a row for each jar, that of the time that counts, with its rows of other times.
func (x timetable) pick(common float64, inMinutes bool) []dataRow {
	others := map[string][]timedRow{}
	counts, then := maps.Clone(x.last), x.readAt(common)
	for jar := range then {
		counts[jar] = common
	}
	unread := func(jar string) bool { return common > 0 && !then[jar] }
	for i, jar := range x.jars {
		if x.times[i] != counts[jar] || unread(jar) {
			others[jar] = append(others[jar], timedRow{x.times[i], x.rows[i].r})
		}
	}
	var out []dataRow
	for i, d := range x.rows {
		jar := x.jars[i]
		if x.times[i] != counts[jar] {
			continue
		}
		if inMinutes {
			d.minutes, d.earlier, d.unread = x.times[i], others[jar], unread(jar)
		}
		out = append(out, d)
	}
	return out
}

// settlingColumn finds the column of settling times, -1 for none, and whether they are
// in minutes.
func settlingColumn(fs []field) (clock int, inMinutes bool) {
	clock = -1
	for i, f := range fs {
		h := f.Head
		span := h.Unit.Kind == words.Minutes && (h.Clock || len(h.Rest) < 2 || h.Note) && !h.Speed && !spoken()["stirring"].in(words.Fold(h.Text)) // "t (min)"
		if f.numbers > 0 && h.Reading == "" && !inDays(h) && (span || h.Clock && !h.Unit.Known()) {
			clock, inMinutes = i, span
		}
	}
	return clock, inMinutes
}
