package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// Whatever was read of a sheet, numbers that stand in a table of jars or touch one and that nothing used,
// nothing set aside and nothing speaks of are told: no layout may lose them without a word.

// What a table is that gave no series, having readings alone or doses alone.
const withoutDoses, withoutReadings = "table without doses", "doses without readings"

// leftBehind speaks of such numbers. A sheet of more cells than are accounted for is no bench sheet.
func (b *bench) leftBehind(all []*layout.Area, series []jartest.Series) {
	cells := 0
	for _, g := range all {
		for _, row := range g.Rows {
			cells += len(row)
		}
	}
	if len(series) == 0 || cells > mostAccounted {
		return
	}
	a := b.accountant(all, series)
	for _, t := range b.tables {
		switch what, left := a.tableLeftOut(t, b.byTable[t]); {
		case left && what == withoutDoses && a.touches(t) && !b.spokenIn(t):
			b.say(note.Caution, "table-left", t.View.PlaceAt(t.Head, t.C0), "the numbers of %s touch the table of the jars and were not used: they have no doses of their own", t.RangeName()).
				do(b, "put all lines of the jars next to each other under one line of jar numbers, or leave a line empty above what is of something else")
		case left && what == withoutReadings && !b.spokenIn(t):
			b.say(note.Info, "table-aside", t.View.PlaceAt(t.Head, t.C0), "%s reads like doses without readings; nothing was taken from it", t.RangeName())
		case !left && t.View.Origin == nil:
			a.linesLeft(t)
		}
	}
}

// linesLeft speaks of the lines and columns of numbers in or beside a table.
func (a *accountant) linesLeft(t *layout.Table) {
	g, box := t.Area(), t.Box()
	for r := max(0, box.R0-1); r <= box.R1+1; r++ {
		c, texts := a.unusedLine(g, r, box)
		if figures := len(slices.DeleteFunc(slices.Clone(texts), func(s string) bool { return !layout.IsFigure(s) })); c >= 0 && figures > 1 {
			a.b.say(note.Caution, "line-left", g.Place(r, c), "the line %q was not understood and not used", clip(strings.Join(texts, " "))).
				do(a.b, "name what it is in its first cell, or leave a line empty above it")
		}
	}
	for c := max(0, box.C0-1); c <= box.C1+1; c++ {
		r := a.unusedColumn(g, c, box)
		figures := 0
		for k := box.R0; r >= 0 && k <= box.R1; k++ {
			if layout.IsFigure(layout.Text(g.At(k, c))) {
				figures++
			}
		}
		if figures > 1 && !idleHeading(layout.Text(g.At(r, c))) {
			a.b.say(note.Caution, "column-left", g.Place(r, c), "the column of numbers at %s was not understood and not used", g.Place(r, c).Cell).
				do(a.b, "write over it what it is, or take it away")
		}
	}
}

// touches reports a table with no empty line or column between it and one that gave a series.
func (a *accountant) touches(t *layout.Table) bool {
	x := t.Box()
	x.R0, x.C0, x.R1, x.C1 = x.R0-1, x.C0-1, x.R1+1, x.C1+1
	return slices.ContainsFunc(a.b.tables, func(o *layout.Table) bool {
		_, left := a.tableLeftOut(o, a.b.byTable[o])
		return o.Area() == t.Area() && !left && o.Box().Overlaps(x)
	})
}

// spokenIn reports a note of which the place is in a table, or is the table.
func (b *bench) spokenIn(t *layout.Table) bool {
	return slices.ContainsFunc(b.notes, func(n note.Note) bool {
		if n.Sheet != t.View.Name || n.Cell == t.RangeName() {
			return n.Sheet == t.View.Name
		}
		r, c, ok := grid.ParseCell(n.Cell)
		return ok && n.Code != "cross-tab" && t.Box().Has(r, c)
	})
}
