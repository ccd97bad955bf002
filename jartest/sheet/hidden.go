package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// What a sheet hides nobody sees, whatever it is: a fact, a heading, a factor, a jar. It is used or
// left out with a caution, by the account of the cells.

// hiddenSpeaks speaks of the hidden rows and columns of the sheets with a table of jars, or with
// something that was used.
func (b *bench) hiddenSpeaks(all []*layout.Area, series []jartest.Series) {
	hides := func(g *layout.Area) bool { return len(g.HiddenRow)+len(g.HiddenCol) > 0 }
	if !slices.ContainsFunc(b.grids, hides) {
		return
	}
	cells := b.accounted(all, series)
	for _, g := range b.grids {
		h := hiding{b: b, g: g, cells: cells, said: map[hiddenLine]bool{}, jars: slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.Area() == g })}
		h.already()
		for _, c := range slices.Sorted(maps.Keys(g.HiddenCol)) {
			h.line(hiddenLine{true, c}, "column "+grid.ColumnName(c), len(g.Rows))
		}
		for _, r := range slices.Sorted(maps.Keys(g.HiddenRow)) {
			h.line(hiddenLine{false, r}, fmt.Sprintf("row %d", g.Line(r)), g.Width())
		}
		h.leftOut()
	}
}

// hiddenLine is a column or a row of a sheet, by its number.
type hiddenLine struct {
	column bool
	n      int
}

// hiding is what one sheet hides.
type hiding struct {
	b     *bench
	g     *layout.Area
	cells map[[2]string]Cell
	said  map[hiddenLine]bool // a note speaks of it
	jars  bool                // there is a table of jars on the sheet
	left  []string            // the names of those that were left out
	at    note.Place          // the first of them
	text  string
}

// already notes the lines that the rules for jars and columns spoke of.
func (h *hiding) already() {
	for _, n := range h.b.notes {
		if r, c, ok := grid.ParseCell(n.Cell); ok && n.Sheet == h.g.Name && (n.Code == "hidden-jar" || n.Code == "hidden-column") {
			row, column := hiddenLine{false, r}, hiddenLine{true, c} // of a table that lies across a row is a column
			h.said[row] = h.said[row] || n.Code == "hidden-jar" || !h.g.HiddenCol[c]
			h.said[column] = h.said[column] || n.Code == "hidden-column" || !h.g.HiddenRow[r]
		}
	}
}

// line speaks of a hidden line of which something was used, and gathers one that was left out.
func (h *hiding) line(l hiddenLine, name string, length int) {
	var at note.Place
	var used, texts []string
	ignored := true
	for i := range length {
		r, c := l.n, i
		if l.column {
			r, c = i, l.n
		}
		if h.g.At(r, c).Blank() || h.b.only != nil && !h.b.only.Has(r, c) {
			continue
		}
		place := h.g.Place(r, c)
		cell := h.cells[keyAt(place)]
		if at == (note.Place{}) {
			at = place
		}
		what := strings.TrimRight(cell.What, ":")
		if texts = append(texts, strings.TrimSpace(h.g.At(r, c).Text)); cell.State == Used && !slices.Contains(used, what) {
			used = append(used, what)
		}
		ignored = ignored && cell.What == leftOut["column-left-out"]
	}
	text := clip(strings.Join(texts[:min(len(texts), 3)], " | "))
	switch {
	case len(texts) == 0 || ignored || l.column && h.told(l.n):
	case len(used) > 0:
		h.b.say(note.Caution, "hidden-used", at, "%s is hidden (%q) and was used: %s", name, text, strings.Join(used, ", ")).
			do(h.b, "unhide it if it holds for this test, or empty it; --hidden takes what is hidden as if it were not")
	case h.jars && !h.said[l]:
		if len(h.left) == 0 {
			h.at, h.text = at, text
		}
		h.left = append(h.left, name)
	}
}

// told reports a column that --column says the meaning of.
func (h *hiding) told(c int) bool {
	return slices.ContainsFunc(h.b.tables, func(t *layout.Table) bool {
		return t.View.Area == h.g && !t.View.Turned && slices.ContainsFunc(h.b.byTable[t], func(f field) bool { return f.told && f.C == c })
	})
}

// leftOut speaks once of all lines that were left out.
func (h *hiding) leftOut() {
	const most = 4
	switch n := len(h.left); {
	case n == 1:
		h.b.say(note.Caution, "hidden-left-out", h.at, "%s is hidden (%q) and was left out", h.left[0], h.text).do(h.b, layout.OpenHidden)
	case n > 1:
		names := strings.Join(h.left[:min(n, most)], ", ")
		if n > most {
			names += fmt.Sprintf(" and %d more", n-most)
		}
		h.b.say(note.Caution, "hidden-left-out", h.at, "%s are hidden (%q …) and were left out", names, h.text).do(h.b, layout.OpenHidden)
	}
}
