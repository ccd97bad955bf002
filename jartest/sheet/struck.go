package sheet

import (
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// strikeOut empties the cells that are struck out, with a word; those of rows that are
// struck out as a whole stay, for their rows are left out. It speaks of texts of which
// a part is struck out, too.
func (b *bench) strikeOut() {
	whole := map[note.Place]bool{} // cells of rows that are struck out
	inside := map[*layout.Area]bool{}
	for _, t := range b.tables {
		inside[t.Area()] = true
		for _, r := range t.Rows {
			if !struckRow(t, r) {
				continue
			}
			t.Each(r, r, func(_, _ int, _ grid.Cell, at note.Place) { whole[at] = true })
		}
	}
	for _, g := range b.grids {
		for _, at := range sortedMarks(g.Marks) {
			m, x, place := g.Marks[at], g.At(at[0], at[1]), g.Place(at[0], at[1])
			switch {
			case x.Blank() || whole[place]:
			case m.Struck:
				b.say(note.Caution, "struck-out", place, "%q is struck out and was left out", clip(x.Text)).
					do(b, "clear the cell, or take the line away if it counts")
				b.empty(g, at[0], at[1], place)
			case m.Erased != "" && (inside[g] || strings.ContainsAny(m.Erased+x.Text, "0123456789")): // also on a page of facts
				b.say(note.Caution, "struck-out", place, "%q is struck out; the cell is read as %q", clip(m.Erased), clip(x.Text)).
					do(b, "write the value alone")
			}
		}
	}
}

// empty clears a cell, and what was copied of it into tables that were rewritten.
func (b *bench) empty(g *layout.Area, r, c int, at note.Place) {
	b.emptied = append(b.emptied, emptied{g, r, c, g.Rows[r][c]})
	g.Rows[r][c] = grid.Cell{}
	for _, t := range b.tables {
		if t.View.Origin != g {
			continue
		}
		for i, row := range t.View.Rows {
			for k, x := range row {
				if x.Home == at.Cell {
					t.View.Rows[i][k] = grid.Cell{Home: x.Home}
				}
			}
		}
	}
}

// emptied is a cell that was struck out, as it was.
type emptied struct {
	g    *layout.Area
	r, c int
	was  grid.Cell
}

// refill puts the cells back that were struck out, for the account.
func (b *bench) refill() {
	for _, x := range b.emptied {
		x.g.Rows[x.r][x.c] = x.was
	}
}

// struckRow reports a row of which every cell is struck out, or the first, which is its label.
func struckRow(t *layout.Table, r int) bool {
	filled, struck := 0, 0
	for c := t.C0; c <= t.C1; c++ {
		if t.View.At(r, c).Blank() {
			continue
		}
		filled++
		if t.View.MarkAt(r, c).Struck {
			struck++
		}
	}
	return filled > 0 && (struck == filled || t.View.MarkAt(r, t.C0).Struck && !t.View.At(r, t.C0).Blank())
}
