package sheet

import (
	"fmt"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// A dose and a reading that stand below a table in its own columns are jars to whoever wrote them: jars that go
// on after a gap, or those of a next test. What nobody understood of them speaks.

// belowSpeaks speaks of the rows below each table that hold numbers under its doses and under its readings
// and that nothing was taken from.
func (b *bench) belowSpeaks(all []*layout.Area, series []jartest.Series) {
	var cells map[[2]string]Cell
	for _, t := range b.tables {
		if t.View.Origin != nil || t.View.Turned {
			continue
		}
		var rows []int
		g := t.Area()
		for r := t.Box().R1 + 1; r < len(g.Rows); r++ {
			if at := b.likeJar(t, r); len(at) > 0 {
				if cells == nil {
					cells = b.accounted(all, series)
				}
				if !slices.ContainsFunc(at, func(p note.Place) bool { c, listed := cells[keyAt(p)]; return !listed || c.State != NotUnderstood }) {
					rows = append(rows, r)
				}
			}
		}
		if len(rows) == 0 {
			continue
		}
		first, last := g.Line(rows[0]), g.Line(rows[len(rows)-1])
		what := fmt.Sprintf("row %d holds", first)
		if len(rows) > 1 {
			what = fmt.Sprintf("%d rows, %d to %d, hold", len(rows), first, last)
		}
		b.say(note.Caution, "rows-below", g.Place(rows[0], b.byTable[t][0].C), "%s numbers below the table in its columns of doses and readings, and no jar was read there", what).
			do(b, "close the gap above them if they are jars of the same test; give those of another test headings of their own")
	}
}

// likeJar gives the cells of a row below a table that hold a number under a dose and under a reading; none where
// either is missing, or where the row is another table's.
func (b *bench) likeJar(t *layout.Table, r int) []note.Place {
	g := t.Area()
	var at []note.Place
	dosed, read := false, false
	for _, f := range b.byTable[t] {
		if !f.dosed() && f.role != asReading || !layout.ParseValue(g.At(r, f.C), b.dec(t)).OK() {
			continue
		}
		if slices.ContainsFunc(b.tables, func(o *layout.Table) bool { return o.Area() == g && o.Box().Has(r, f.C) }) {
			return nil
		}
		dosed, read = dosed || f.dosed(), read || f.role == asReading
		at = append(at, g.Place(r, f.C))
	}
	if !dosed || !read {
		return nil
	}
	return at
}

// accounted gives what became of each cell of the sheets, by sheet and cell.
func (b *bench) accounted(all []*layout.Area, series []jartest.Series) map[[2]string]Cell {
	out := map[[2]string]Cell{}
	for _, s := range b.account(all, series).Sheets {
		for _, c := range s.Cells {
			out[[2]string{s.Place.Sheet, c.At}] = c
		}
	}
	return out
}
