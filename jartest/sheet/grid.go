package sheet

import (
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// kind is what a cell holds.
type kind uint8

const (
	empty kind = iota
	textual
	numeric
	boolean
	faulty // an error value such as #DIV/0!
)

// cell is one cell of a grid, whatever file it came from.
type cell struct {
	kind kind
	text string  // as stored; for numbers their shortest form
	num  float64 // for numeric cells
	// What the number format says about a numeric cell.
	date, clock, percent bool
	format               string // text that the format shows after the number, such as "NTU"
	// formula reports a formula; hollow that it has no stored value.
	formula, hollow bool
	// home is the address that a cell of a rewritten table came from.
	home string
}

func (c cell) blank() bool { return c.kind == empty && !c.hollow || c.kind == textual && c.text == "" }

// span is a block of cells, ends included, counted from zero.
type span struct{ r0, c0, r1, c1 int }

func (s span) has(r, c int) bool { return r >= s.r0 && r <= s.r1 && c >= s.c0 && c <= s.c1 }

// grid is one sheet, or one delimited file, as cells.
type grid struct {
	file, sheet string
	hidden      bool
	rows        [][]cell
	// lines gives the line of each row of a delimited file, whose rows may
	// stretch over several lines; nil for workbooks.
	lines     []int
	hiddenRow map[int]bool
	hiddenCol map[int]bool
	merges    []span
	// bare is true where a sheet was too long to look at formats and formulas.
	bare bool
	// origin and box are set where the grid is a table of another, rewritten.
	origin *grid
	box    span
	// separator of a delimited file, else 0.
	separator rune
}

// width is the number of columns.
func (g *grid) width() int {
	w := 0
	for _, r := range g.rows {
		w = max(w, len(r))
	}
	return w
}

// place gives the address of a cell as its user sees it.
func (g *grid) place(r, c int) note.Place {
	return note.Place{File: g.file, Sheet: g.sheet, Cell: g.address(r, c)}
}

func (g *grid) address(r, c int) string {
	return columnName(c) + strconv.Itoa(g.line(r))
}

// line is the number that a user sees at a row.
func (g *grid) line(r int) int {
	if g.lines != nil && r >= 0 && r < len(g.lines) {
		return g.lines[r]
	}
	return r + 1
}

func (g *grid) rangeName(s span) string {
	return g.address(s.r0, s.c0) + ":" + g.address(s.r1, s.c1)
}

// columnName gives A, B, … Z, AA for 0, 1, …
func columnName(c int) string {
	name := ""
	for c++; c > 0; c = (c - 1) / 26 {
		name = string(rune('A'+(c-1)%26)) + name
	}
	return name
}

// parseCell reads "C7" or "$C$7".
func parseCell(s string) (r, c int, ok bool) {
	s = strings.ToUpper(strings.ReplaceAll(strings.TrimSpace(s), "$", ""))
	i := 0
	for i < len(s) && s[i] >= 'A' && s[i] <= 'Z' && i < 4 {
		c = c*26 + int(s[i]-'A') + 1
		i++
	}
	n, err := strconv.Atoi(s[i:])
	if i == 0 || err != nil || n < 1 {
		return 0, 0, false
	}
	return n - 1, c - 1, true
}

// parseRange reads "A5:F11".
func parseRange(s string) (span, bool) {
	a, b, two := strings.Cut(s, ":")
	r0, c0, ok := parseCell(a)
	if !ok {
		return span{}, false
	}
	if !two {
		return span{r0, c0, r0, c0}, true
	}
	r1, c1, ok := parseCell(b)
	return span{min(r0, r1), min(c0, c1), max(r0, r1), max(c0, c1)}, ok
}

// view is a grid looked at row by row, or turned so that its columns are rows.
type view struct {
	*grid
	turned bool
	only   *span // cells outside are taken for empty
}

func (v view) height() int {
	if v.turned {
		return v.grid.width()
	}
	return len(v.rows)
}

func (v view) breadth() int {
	if v.turned {
		return len(v.rows)
	}
	return v.grid.width()
}

// at gives the cell at a row and column of the view, empty outside.
func (v view) at(r, c int) cell {
	if v.turned {
		r, c = c, r
	}
	if r < 0 || c < 0 || r >= len(v.rows) || c >= len(v.rows[r]) {
		return cell{}
	}
	if v.only != nil && !v.only.has(v.line(r)-1, c) {
		return cell{}
	}
	return v.rows[r][c]
}

func (v view) placeAt(r, c int) note.Place {
	if v.turned {
		r, c = c, r
	}
	if v.origin != nil && r >= 0 && r < len(v.rows) {
		at := note.Place{File: v.file, Sheet: v.sheet}
		if c >= 0 && c < len(v.rows[r]) {
			at.Cell = v.rows[r][c].home
		}
		if at.Cell == "" && len(v.rows[r]) > 0 {
			at.Cell = v.rows[r][0].home // a result that is not there has only its line
		}
		return at
	}
	return v.place(r, c)
}

func (v view) rowHidden(r int) bool {
	if v.turned {
		return v.hiddenCol[r]
	}
	return v.hiddenRow[r]
}

func (v view) columnHidden(c int) bool {
	if v.turned {
		return v.hiddenRow[c]
	}
	return v.hiddenCol[c]
}

// merged gives the merged block that covers a cell, in the view's own terms.
func (v view) merged(r, c int) (span, bool) {
	for _, m := range v.merges {
		if v.turned {
			m = span{m.c0, m.r0, m.c1, m.r1}
		}
		if m.has(r, c) {
			return m, true
		}
	}
	return span{}, false
}

// upright turns a span of the view into one of the grid.
func (v view) upright(s span) span {
	if v.turned {
		return span{s.c0, s.r0, s.c1, s.r1}
	}
	return s
}
