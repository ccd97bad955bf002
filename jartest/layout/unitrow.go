package layout

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// A table with jars across often has its units in a column of their own behind the jars. Seen
// turned, that column is a row under the jars, and belongs to the headings.

// unitRow takes a row of units among the jars, or right under them, out of the jars of a turned table.
// One before the jars belongs to the headings, where a fact over the table, such as its date, began the jars.
func (f *Finder) unitRow(t *Table) {
	if !f.v.Turned || len(t.Rows) < 3 {
		return
	}
	for f.factOver(t) {
		t.C0++
	}
	if f.isUnits(t, t.Rows[0]) {
		t.Rows, t.First = t.Rows[1:], t.Rows[1]
		return
	}
	for r := t.Rows[1]; r <= t.Last+1; r++ {
		if f.isUnits(t, r) {
			t.UnitRow, t.Last = r, max(t.Last, r)
			t.Rows = slices.DeleteFunc(t.Rows, func(k int) bool { return k == r })
			return
		}
	}
}

// factOver reports that the line over the names of a turned table is a fact with its value, "Raw turbidity | 41 NTU", which stands
// where the table has its units: no jar has anything in it, and the next line is headed "Unit".
func (f *Finder) factOver(t *Table) bool {
	first := t.Rows[0]
	if t.C1-t.C0 < 2 || !strings.ContainsAny(f.v.At(first, t.C0).Text, "0123456789") {
		return false
	}
	jars := slices.ContainsFunc(t.Rows[1:], func(r int) bool {
		x := f.v.At(r, t.C0)
		_, unit := words.OnlyUnit(strings.TrimSpace(x.Text))
		return !x.Blank() && !(unit && r == t.Rows[1]) // "41 | NTU"
	})
	return !jars && slices.ContainsFunc([]int{t.C0 + 1, t.C0 + 2}, func(c int) bool {
		h := f.heading(f.v.At(first, c).Text)
		return h.UnitColumn && !h.Unit.Known() && !h.Core()
	})
}

// isUnits reports a row that holds several units and nothing else; under a word for units one is enough,
// and whatever stands there is taken for one.
func (f *Finder) isUnits(t *Table, r int) bool {
	units, named := 0, false
	for c := t.C0; c <= t.C1; c++ {
		x := f.v.At(r, c)
		text := strings.TrimSpace(x.Text)
		_, unit := words.OnlyUnit(text)
		switch h := f.heading(text); {
		case x.Blank():
		case x.Kind != grid.Textual || f.DataLike(x):
			return false
		case unit:
			units++
		case h.UnitColumn && !h.Unit.Known() && !h.Core():
			named = true
		case !named && strings.Trim(text, "-–—") != "":
			return false
		}
	}
	return units > 1 || named && units > 0
}

// unitUnder gives the text of the row of units under a column.
func (f *Finder) unitUnder(t *Table, c int) string {
	x := f.v.At(t.UnitRow, c)
	if t.UnitRow == 0 || x.Kind != grid.Textual || f.heading(x.Text).UnitColumn || strings.Trim(x.Text, "-–— ") == "" {
		return ""
	}
	return strings.TrimSpace(x.Text)
}

// saysAgain reports a unit in a row of its own that the heading above has already.
func (f *Finder) saysAgain(parts []string, text string) bool {
	u, ok := words.OnlyUnit(text)
	return ok && len(parts) > 0 && f.heading(strings.Join(parts, " ")).Unit == u
}

// unitBehind gives the unit of a line over the jars of a turned table that states one number of the water
// before treatment, "Raw temperature | 54 | °F": nothing else stands in the line.
func (f *Finder) unitBehind(t *Table, col Column) string {
	h := col.Head
	if !f.v.Turned || !(h.Raw || h.Stage == "before") || h.Reading == "" || h.Unit.Known() {
		return ""
	}
	unit, figures := "", 0
	for r := t.First; r < f.v.height(); r++ {
		x := f.v.At(r, col.C)
		_, isUnit := words.OnlyUnit(strings.TrimSpace(x.Text))
		switch {
		case x.Blank():
		case f.DataLike(x) && figures == 0:
			figures++
		case isUnit && figures == 1 && unit == "":
			unit = strings.TrimSpace(x.Text)
		default:
			return ""
		}
	}
	return unit
}
