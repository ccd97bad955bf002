package sheet

import (
	"slices"
	"strconv"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// A table whose every reading stands at the same doses in other tables of the file repeats them, however
// it is laid out: a page that puts the tests side by side, a list of the best jars.

// leastRepeated is how many different readings a table has to share before that is no chance (our choice).
const leastRepeated = 4

// dropSummaries leaves out the series that repeat those of other tables: first those that take several others to
// hold, so that the tests stay and what puts them together goes. The tests of one table, told apart by a column, repeat nothing.
func (b *bench) dropSummaries(all []jartest.Series) []jartest.Series {
	if !slices.ContainsFunc(all, func(s jartest.Series) bool { return s.Place != all[0].Place }) {
		return all
	}
	at := readingsOf(all)
	gone := make([]bool, len(all))
	for _, several := range [...]bool{true, false} {
		for i, s := range all {
			held, alone := heldBy(s, all, at, gone)
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

// readAt is a reading at the doses of its jar, to nine digits.
type readAt struct {
	doses string
	value float64
}

// readingsAt gives every reading of a jar.
func readingsAt(s jartest.Series, j jartest.Jar) (out []readAt) {
	var doses []byte
	for _, d := range j.Doses {
		doses = append(strconv.AppendFloat(doses, float64(d.Concentration), 'g', 9, 64), ' ')
	}
	for _, key := range s.Keys() {
		if x := j.Readings.Of(key); x.State == jartest.Number {
			out = append(out, readAt{string(doses), x.Value})
		}
	}
	return out
}

// readingsOf gives the series that have each reading, in their order.
func readingsOf(all []jartest.Series) map[readAt][]int {
	at := map[readAt][]int{}
	for i, s := range all {
		for _, j := range s.Jars {
			for _, x := range readingsAt(s, j) {
				if has := at[x]; len(has) == 0 || has[len(has)-1] != i {
					at[x] = append(has, i)
				}
			}
		}
	}
	return at
}

// heldBy gives one of the series of other tables that hold every reading of a series at its doses, -1 for none, and
// whether it holds them by itself.
func heldBy(s jartest.Series, all []jartest.Series, at map[readAt][]int, gone []bool) (one int, alone bool) {
	seen, by, readings := map[float64]bool{}, map[int]int{}, 0
	for _, j := range s.Jars {
		for _, x := range readingsAt(s, j) {
			seen[x.value], readings = true, readings+1
			found := false
			for _, k := range at[x] {
				if o := all[k]; !gone[k] && o.Place != s.Place && o.Place.File == s.Place.File {
					by[k], found = by[k]+1, true
				}
			}
			if !found {
				return -1, false
			}
		}
	}
	in := -1
	for k := range all {
		if by[k] > 0 && (in < 0 || by[k] > by[in]) {
			in = k
		}
	}
	if len(seen) < leastRepeated || in < 0 || len(s.Chemicals) == 0 {
		return -1, false
	}
	return in, by[in] == readings
}
