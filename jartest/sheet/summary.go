package sheet

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// A table whose every reading stands at the same doses in other tables of the file repeats them, however
// it is laid out: a page that puts the tests side by side, a list of the best jars.

// leastRepeated is how many different readings a table has to share before that is no chance (our choice).
const leastRepeated = 4

// dropSummaries leaves out the series that repeat others: first those that take several others to hold, so
// that the tests stay and what puts them together goes.
func (b *bench) dropSummaries(all []jartest.Series) []jartest.Series {
	gone := make([]bool, len(all))
	for _, several := range [...]bool{true, false} {
		for i, s := range all {
			held, alone := heldBy(s, all, gone, i)
			if gone[i] || held < 0 || alone == several {
				continue
			}
			gone[i] = true
			b.say(note.Caution, "repeated-series", s.Place,
				"all doses and readings at %s stand in other tables too (%s); it repeats them and was left out", s.Place, all[held].Place).
				do(b, "to read it by itself, choose its page with --sheet, or its cells with --range")
		}
	}
	k := -1
	return slices.DeleteFunc(all, func(jartest.Series) bool { k++; return gone[k] })
}

// heldBy gives one of the other series that hold every reading of a series at its doses, -1 for none, and
// whether it holds them by itself.
func heldBy(s jartest.Series, all []jartest.Series, gone []bool, i int) (one int, alone bool) {
	seen := map[float64]bool{}
	by, in := make([]int, len(all)), -1
	readings := 0
	for _, j := range s.Jars {
		for _, key := range s.Keys() {
			x := j.Readings.Of(key)
			if x.State != jartest.Number {
				continue
			}
			seen[x.Value], readings = true, readings+1
			found := false
			for k, o := range all {
				if k != i && !gone[k] && o.Place.File == s.Place.File && readsAtDoses(o, j, x.Value) {
					by[k], found = by[k]+1, true
				}
			}
			if !found {
				return -1, false
			}
		}
	}
	for k, n := range by {
		if n > 0 && (in < 0 || n > by[in]) {
			in = k
		}
	}
	if len(seen) < leastRepeated || in < 0 || len(s.Chemicals) == 0 {
		return -1, false
	}
	return in, by[in] == readings
}

// readsAtDoses reports a series with a jar of the same doses that reads a value.
func readsAtDoses(o jartest.Series, j jartest.Jar, value float64) bool {
	return slices.ContainsFunc(o.Jars, func(x jartest.Jar) bool {
		return slices.EqualFunc(x.Doses, j.Doses, func(a, b jartest.JarDose) bool {
			return same(float64(a.Concentration), float64(b.Concentration))
		}) && slices.ContainsFunc(o.Keys(), func(key jartest.Key) bool {
			r := x.Readings.Of(key)
			return r.State == jartest.Number && r.Value == value
		})
	})
}
