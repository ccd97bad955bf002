package sheet

import (
	"strings"
	"unicode/utf8"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// What comes from a file is in package grid; here it is looked at as tables.
type (
	cell = grid.Cell
	span = grid.Span
)

const (
	empty   = grid.Empty
	textual = grid.Textual
	numeric = grid.Numeric
	boolean = grid.Boolean
	faulty  = grid.Faulty
)

// area is one sheet as it was read, or a table of another sheet, rewritten.
type area struct {
	*grid.Sheet
	// origin and box are set where it is a table of another, rewritten; lines is that
	// table where it had a line for each result.
	origin *area
	box    span
	lines  *table
}

// rewritten is an empty sheet for the table of another.
func rewritten(g *area) *grid.Sheet {
	return &grid.Sheet{File: g.File, Name: g.Name, HiddenRow: map[int]bool{}, HiddenCol: map[int]bool{}}
}

// open reads the sheets of a file, whatever it is.
func open(name string, data []byte) ([]*area, note.List, error) {
	f, err := grid.Open(name, data, grid.Words{Heading: func(s string) bool { return readHeading(s).strong() }, Known: knownLetters})
	if err != nil {
		return nil, nil, err
	}
	if f.Text != nil {
		s, notes, err := f.Text.Sheet()
		return []*area{{Sheet: s}}, notes, err
	}
	var out []*area
	for _, s := range f.Sheets {
		shiftDates(s)
		out = append(out, &area{Sheet: s})
	}
	return out, nil, nil
}

// knownLetters counts the letters outside ASCII of a field that belong to words and
// units of the vocabulary. A single sign, as Han and Thai have many, is found by chance.
func knownLetters(field string) int {
	n := 0
	for _, u := range words.Units(field) {
		n += strangeLetters(field[u.From:u.To])
	}
	folded := words.Fold(field)
	known := make([]int, len(folded)+1) // bytes of known words before each place
	in := make([]bool, len(folded))
	for _, h := range words.Find(folded) {
		if h.Near == "" && utf8.RuneCountInString(h.Text) > 1 {
			for i := h.From; i < h.To; i++ {
				in[i] = true
			}
		}
	}
	for i, yes := range in {
		known[i+1] = known[i]
		if yes {
			known[i+1]++
		}
	}
	at := 0
	for _, t := range words.Tokens(field) {
		f := words.Fold(t.Text)
		i := strings.Index(folded[at:], f)
		if i < 0 || f == "" {
			continue
		}
		from := at + i
		at = from + len(f)
		n += strangeLetters(t.Text) * (known[at] - known[from]) / len(f)
	}
	return n
}

func strangeLetters(s string) int {
	return utf8.RuneCountInString(s) - len(strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf {
			return r
		}
		return -1
	}, s))
}

// days1904 is how many days the dates of a workbook that counts from 1904 lie
// behind those of one that counts from 1900 (ECMA-376 part 1, 18.17.4.1, from memory).
const days1904 = 1462

// shiftDates turns the dates of a workbook that counts from 1904 into the usual count.
func shiftDates(s *grid.Sheet) {
	if !s.Date1904 {
		return
	}
	for r := range s.Rows {
		for c := range s.Rows[r] {
			if x := &s.Rows[r][c]; x.Date() && x.Kind == numeric {
				x.Num += days1904
				x.Text = trimFloat(x.Num)
			}
		}
	}
}

// view is a grid looked at row by row, or turned so that its columns are rows.
type view struct {
	*area
	turned bool
	only   *span // cells outside are taken for empty
}

func (v view) height() int {
	if v.turned {
		return v.area.Width()
	}
	return len(v.Rows)
}

func (v view) breadth() int {
	if v.turned {
		return len(v.Rows)
	}
	return v.area.Width()
}

// at gives the cell at a row and column of the view, empty outside.
func (v view) at(r, c int) cell {
	if v.turned {
		r, c = c, r
	}
	if r < 0 || c < 0 || r >= len(v.Rows) || c >= len(v.Rows[r]) {
		return cell{}
	}
	if v.only != nil && !v.only.Has(v.Line(r)-1, c) {
		return cell{}
	}
	return v.Rows[r][c]
}

func (v view) placeAt(r, c int) note.Place {
	if v.turned {
		r, c = c, r
	}
	if v.origin != nil && r >= 0 && r < len(v.Rows) {
		at := note.Place{File: v.File, Sheet: v.Name}
		if c >= 0 && c < len(v.Rows[r]) {
			at.Cell = v.Rows[r][c].Home
		}
		if at.Cell == "" && len(v.Rows[r]) > 0 {
			at.Cell = v.Rows[r][0].Home // a result that is not there has only its line
		}
		return at
	}
	return v.Place(r, c)
}

func (v view) rowHidden(r int) bool {
	if v.turned {
		return v.HiddenCol[r]
	}
	return v.HiddenRow[r]
}

func (v view) columnHidden(c int) bool {
	if v.turned {
		return v.HiddenRow[c]
	}
	return v.HiddenCol[c]
}

// merged gives the merged block that covers a cell, in the view's own terms.
func (v view) merged(r, c int) (span, bool) {
	if v.turned {
		m, ok := v.Merged(c, r)
		return span{R0: m.C0, C0: m.R0, R1: m.C1, C1: m.R1}, ok
	}
	return v.Merged(r, c)
}

// upright turns a span of the view into one of the grid.
func (v view) upright(s span) span {
	if v.turned {
		return span{R0: s.C0, C0: s.R0, R1: s.C1, C1: s.R1}
	}
	return s
}
