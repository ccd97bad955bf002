package sheet

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// dosesApart speaks of doses on the rows of a table that was taken, in a table that gave nothing: the
// jars may have had them too. Doses that only say those of the table once more are innocent.
func (b *bench) dosesApart(all []jartest.Series) {
	given := func(t *layout.Table) bool {
		return slices.ContainsFunc(all, func(s jartest.Series) bool {
			return s.Place.File == t.View.File && s.Place.Sheet == t.View.Name && s.Place.Cell == t.RangeName()
		})
	}
	for _, t := range b.tables {
		fs := b.byTable[t]
		if given(t) || t.View.Turned || t.View.Origin != nil || slices.ContainsFunc(fs, func(f field) bool { return f.role == asReading }) {
			continue
		}
		for _, o := range b.tables {
			if o.Area() != t.Area() || o.View.Turned || o.View.Origin != nil || !given(o) {
				continue
			}
			if n := b.otherDoses(t, o, fs); n > 1 {
				b.say(note.Caution, "doses-apart", b.firstPlace(t), "the doses in %s stand on the rows of the table %s and were not joined to it; they were not taken", t.RangeName(), o.RangeName()).
					do(b, "move them next to the table, if its jars had them too")
				break
			}
		}
	}
}

// otherDoses counts the rows of t, shared with o, on which a dose of t is none of the numbers of o.
// Volumes beside doses in mg/L are how these are made up.
func (b *bench) otherDoses(t, o *layout.Table, fs []field) (n int) {
	weighed := slices.ContainsFunc(fs, func(f field) bool { return f.role == asDose })
	for _, r := range t.Rows {
		if !slices.Contains(o.Rows, r) {
			continue
		}
		said := func(x float64) bool {
			return slices.ContainsFunc(o.Cols, func(c layout.Column) bool {
				v := layout.ParseValue(o.View.At(r, c.C), b.dec(o))
				return v.OK() && v.Num == x
			})
		}
		if slices.ContainsFunc(fs, func(f field) bool {
			v := layout.ParseValue(t.View.At(r, f.C), b.dec(t))
			return (f.role == asDose || f.role == asStock && !weighed) && v.OK() && !said(v.Num)
		}) {
			n++
		}
	}
	return n
}
