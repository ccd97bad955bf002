package grid

import (
	"fmt"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// sheetReader reads one worksheet, cell after cell.
type sheetReader struct {
	*workbook
	*scanner
	sheet    *Sheet
	row, col int // of the cell at hand, -1 before the first
	filled   int // rows up to here hold something
	width    int
	cols     int    // hidden columns told so far
	erased   string // the struck-out part of the text at hand
}

func (r *sheetReader) here() note.Place {
	p := note.Place{File: r.file, Sheet: r.sheet.Name}
	if r.row >= 0 {
		p.Cell = r.sheet.Address(r.row, max(r.col, 0))
	}
	return p
}

func (r *sheetReader) over(l limit) error { return l.Fault(r.here()) }

func (r *sheetReader) read(name string) error {
	err := r.scan(name, func(x *scanner) error {
		r.scanner = x
		switch {
		case len(x.open) == 1 && x.name != "worksheet":
			return fmt.Errorf("part %s is no worksheet", name)
		case x.name == "row":
			return r.readRow()
		case x.name == "c":
			return r.readCell()
		case x.name == "col":
			return r.readColumn()
		case x.name == "mergeCell":
			return r.readMerge()
		}
		return nil
	})
	if err != nil {
		return err
	}
	r.sheet.Rows = r.sheet.Rows[:r.filled]
	return r.blankMerged()
}

// readRow begins a row: the one named, or the next.
func (r *sheetReader) readRow() error {
	row := r.row + 1
	if s := r.attr("r"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n <= r.row+1 {
			return fmt.Errorf("row %.20q stands behind row %d", s, r.row+1)
		}
		row = n - 1
	}
	if r.row, r.col = row, -1; row >= rowNumber.Most() {
		return r.over(rowNumber)
	}
	r.sheet.Rows = append(r.sheet.Rows, make([][]Cell, row+1-len(r.sheet.Rows))...)
	if truth(r.attr("hidden")) {
		r.sheet.HiddenRow[row] = true
	}
	return nil
}

// readCell reads a cell with its value and puts it in its place.
func (r *sheetReader) readCell() error {
	if r.row < 0 {
		return fmt.Errorf("a cell stands in no row")
	}
	if r.col++; r.attr("r") != "" {
		row, col, ok := ParseCell(r.attr("r"))
		if !ok || row != r.row || col < r.col {
			return fmt.Errorf("cell %.20q stands in row %d behind %s", r.attr("r"), r.row+1, r.sheet.Address(r.row, r.col-1))
		}
		r.col = col
	}
	kind, style := r.attr("t"), r.attr("s")
	r.erased = ""
	value, formula, err := r.parts()
	if err != nil {
		return err
	}
	if len(value) > textLength.Most() {
		return r.over(textLength)
	}
	c, err := r.typed(kind, value)
	if err != nil {
		return err
	}
	if formula {
		c.Formula, c.Hollow = true, c.Kind == Empty
	}
	if c == (Cell{}) {
		return nil
	}
	if c.Kind == Numeric && style != "" {
		if c.Format, err = r.format(style); err != nil {
			return err
		}
	}
	if r.struck != nil || r.erased != "" {
		r.strikeOut(c, style)
	}
	return r.put(c)
}

// format is the number format of a style; a workbook without styles has style 0 alone.
func (r *sheetReader) format(style string) (*Format, error) {
	n, err := strconv.Atoi(style)
	switch {
	case err == nil && n == 0 && len(r.formats) == 0:
		return nil, nil
	case err != nil || n < 0 || n >= len(r.formats):
		return nil, fmt.Errorf("style %.20q is not in the workbook", style)
	}
	return r.formats[n], nil
}

// put stores a cell; cells between it and the one before are empty.
func (r *sheetReader) put(c Cell) error {
	row := r.sheet.Rows[r.row]
	r.budget -= r.col + 1 - len(row)
	r.letters -= len(c.Text)
	r.width = max(r.width, r.col+1)
	r.filled = r.row + 1
	switch {
	case r.col >= columnNumber.Most():
		return r.over(columnNumber)
	case r.budget < 0:
		return r.over(cellCount)
	case r.letters < 0:
		return r.over(cellTexts)
	case r.width*r.filled > areaCells.Most():
		return r.over(areaCells)
	}
	if row == nil {
		row = make([]Cell, 0, max(r.col+1, min(r.width, 32)))
	}
	for len(row) < r.col {
		row = append(row, Cell{})
	}
	r.sheet.Rows[r.row] = append(row, c)
	return nil
}

// parts reads what stands inside a cell: its value, and whether it has a formula.
func (r *sheetReader) parts() (value string, formula bool, err error) {
	for depth := len(r.open); ; {
		k, err := r.next()
		switch {
		case err != nil:
			return "", false, err
		case k == closes && len(r.open) < depth:
			return value, formula, nil
		case k != opens:
			continue
		}
		switch r.name {
		case "v":
			value, err = r.content()
		case "is":
			value, r.erased, err = richText(r.scanner)
		case "f":
			shared := r.attr("t") == "shared"
			var text string
			text, err = r.content()
			formula = formula || shared || text != ""
		}
		if err != nil {
			return "", false, err
		}
	}
}

// typed gives a value its kind. The types are those of ECMA-376 part 1, 18.18.11.
func (r *sheetReader) typed(kind, value string) (Cell, error) {
	if kind == "s" && value != "" {
		n, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || n < 0 || n >= len(r.strings) {
			return Cell{}, fmt.Errorf("text number %.20q is not in the workbook", value)
		}
		value, r.erased = r.strings[n], r.workbook.erased[n]
	}
	if strings.TrimSpace(value) == "" {
		return Cell{}, nil
	}
	switch kind {
	case "s", "inlineStr", "str", "d": // "d" is a day written as text
		return Cell{Kind: Textual, Text: value}, nil
	case "b":
		return Cell{Kind: Boolean, Text: map[bool]string{true: "TRUE", false: "FALSE"}[truth(value)]}, nil
	case "e":
		return Cell{Kind: Faulty, Text: value}, nil
	}
	return storedCell(value), nil
}

// readColumn notes hidden columns.
func (r *sheetReader) readColumn() error {
	if !truth(r.attr("hidden")) {
		return nil
	}
	from, err1 := strconv.Atoi(r.attr("min"))
	to, err2 := strconv.Atoi(r.attr("max"))
	if err1 != nil || err2 != nil || from < 1 || to < from {
		return fmt.Errorf("columns %.20q to %.20q are hidden", r.attr("min"), r.attr("max"))
	}
	for c := from - 1; c < min(to, columnNumber.Most()); c++ {
		r.sheet.HiddenCol[c] = true
	}
	if r.cols++; r.cols > columnNumber.Most() {
		return fmt.Errorf("more than %d groups of columns are hidden", columnNumber.Most())
	}
	return nil
}

// readMerge notes a merged block.
func (r *sheetReader) readMerge() error {
	s, ok := ParseRange(r.attr("ref"))
	if !ok || s.R1 >= rowNumber.Most() {
		return fmt.Errorf("merged block %.20q is not understood", r.attr("ref"))
	}
	if r.sheet.Merges = append(r.sheet.Merges, s); len(r.sheet.Merges) > mergeCount.Most() {
		return mergeCount.Fault(note.Place{File: r.file, Sheet: r.sheet.Name})
	}
	return nil
}

// blankMerged empties the cells that a merged block hides. Blocks that overlap
// belong to no program; their rows are walked once, so they are told by the sum.
func (r *sheetReader) blankMerged() error {
	walked := 0
	for _, m := range r.sheet.Merges {
		for row := m.R0; row <= min(m.R1, len(r.sheet.Rows)-1); row++ {
			cells := r.sheet.Rows[row]
			for c := m.C0; c <= min(m.C1, len(cells)-1); c++ {
				if row != m.R0 || c != m.C0 {
					cells[c] = Cell{}
				}
				walked++
			}
			if walked++; walked > 2*areaCells.Most() {
				return note.Fault("sheet-unreadable", "merged blocks lie over each other").
					At(note.Place{File: r.file, Sheet: r.sheet.Name}).
					Do("unmerge the cells, and save the file again")
			}
		}
	}
	return nil
}
