package layout

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Area is one sheet as it was read, or a table of another sheet, rewritten.
type Area struct {
	*grid.Sheet
	// origin and box are set where it is a table of another, rewritten; lines is that
	// table where it had a line for each result.
	Origin *Area
	Box    grid.Span
	Lines  *Table
}

// rewritten is an empty sheet for the table of another.
func rewritten(g *Area) *grid.Sheet {
	return &grid.Sheet{File: g.File, Name: g.Name, HiddenRow: map[int]bool{}, HiddenCol: map[int]bool{}}
}

// Open reads the sheets of a file, whatever it is.
func Open(name string, data []byte) ([]*Area, note.List, error) {
	f, err := grid.Open(name, data, grid.Words{
		Heading: func(s string) bool { return ReadHeading(s).Strong() },
		Data:    func(s string) bool { return IsData(s, DecimalsMixed) && ParseText(s, DecimalsMixed).List == nil },
		Known:   knownLetters,
	})
	if err != nil {
		return nil, nil, err
	}
	if f.Text != nil {
		s, notes, err := f.Text.Sheet()
		return []*Area{{Sheet: s}}, notes, err
	}
	var out []*Area
	for _, s := range f.Sheets {
		shiftDates(s)
		out = append(out, &Area{Sheet: s})
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
			if x := &s.Rows[r][c]; x.Date() && x.Kind == grid.Numeric {
				x.Num += days1904
				x.Text = strconv.FormatFloat(quantity.RoundSig(x.Num, 12), 'g', -1, 64)
			}
		}
	}
}

// View is a grid looked at row by row, or turned so that its columns are rows.
type View struct {
	*Area
	Turned bool
	Only   *grid.Span // cells outside are taken for empty
}

func (v View) height() int {
	if v.Turned {
		return v.Area.Width()
	}
	return len(v.Rows)
}

func (v View) breadth() int {
	if v.Turned {
		return len(v.Rows)
	}
	return v.Area.Width()
}

// At gives the cell at a row and column of the view, empty outside.
func (v View) At(r, c int) grid.Cell {
	if v.Turned {
		r, c = c, r
	}
	if r < 0 || c < 0 || r >= len(v.Rows) || c >= len(v.Rows[r]) {
		return grid.Cell{}
	}
	if v.Only != nil && !v.Only.Has(v.Line(r)-1, c) {
		return grid.Cell{}
	}
	return v.Rows[r][c]
}

// PlaceAt gives the place of a cell of the view; of a table rewritten, that of the cell it came from.
func (v View) PlaceAt(r, c int) note.Place {
	if v.Turned {
		r, c = c, r
	}
	if v.Origin != nil && r >= 0 && r < len(v.Rows) {
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

// MarkAt gives what a workbook says of a cell besides its value.
func (v View) MarkAt(r, c int) grid.Mark {
	if v.Origin != nil {
		row, col, ok := grid.ParseCell(v.At(r, c).Home)
		if !ok {
			return grid.Mark{}
		}
		return v.Origin.Marks[[2]int{row, col}]
	}
	if v.Turned {
		r, c = c, r
	}
	return v.Marks[[2]int{r, c}]
}

// OpenHidden is what to do about a row or a column that is hidden and was left out.
const OpenHidden = "unhide what belongs to the test, or read what is hidden with --hidden"

// Unhide shows what the sheet hides.
func (g *Area) Unhide() { g.HiddenRow, g.HiddenCol = nil, nil }

// RowHidden reports a row of the view that the sheet hides.
func (v View) RowHidden(r int) bool {
	if v.Turned {
		return v.HiddenCol[r]
	}
	return v.HiddenRow[r]
}

// ColumnHidden reports a column of the view that the sheet hides.
func (v View) ColumnHidden(c int) bool {
	if v.Turned {
		return v.HiddenRow[c]
	}
	return v.HiddenCol[c]
}

// MergedAt gives the merged block that covers a cell, in the view's own terms.
func (v View) MergedAt(r, c int) (grid.Span, bool) {
	if v.Turned {
		m, ok := v.Merged(c, r)
		return grid.Span{R0: m.C0, C0: m.R0, R1: m.C1, C1: m.R1}, ok
	}
	return v.Merged(r, c)
}

// upright turns a span of the view into one of the grid.
func (v View) upright(s grid.Span) grid.Span {
	if v.Turned {
		return grid.Span{R0: s.C0, C0: s.R0, R1: s.C1, C1: s.R1}
	}
	return s
}
