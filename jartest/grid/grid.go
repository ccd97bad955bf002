// Package grid is the only door for bytes: it turns any file that a user names
// (.xlsx and .xlsm workbooks, delimited and aligned text, YAML) into cells with
// their places, or refuses it with what is wrong and what to do. Everything that
// guards against damaged, hostile and huge files lives here once: a workbook's
// parts are held against their checksums before anything is parsed, and every
// bound is a row of one table, [limits]. What the cells mean is for others.
package grid

import (
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// Kind is what a cell holds. The zero value is Empty.
type Kind uint8

const (
	// Empty is a cell without a value.
	Empty Kind = iota
	// Textual is text, and in a text file everything that is not empty.
	Textual
	// Numeric is a number as a workbook stores it.
	Numeric
	// Boolean is TRUE or FALSE.
	Boolean
	// Faulty is an error value such as #DIV/0!.
	Faulty
)

// Cell is one cell, whatever file it came from.
type Cell struct {
	// Text is what is stored: of a number its digits, of a truth TRUE or FALSE.
	Text string
	// Num is the value of a number.
	Num float64
	// Format is what the number format of a number says; nil where it says nothing.
	Format *Format
	// Home is the address that a cell of a rewritten table came from; a cell that
	// stands where it was read has none.
	Home string
	Kind Kind
	// Formula reports a formula; Hollow that it has no stored value.
	Formula, Hollow bool
}

// Blank reports that a cell shows nothing and computes nothing.
func (c Cell) Blank() bool { return c.Kind == Empty && !c.Hollow || c.Kind == Textual && c.Text == "" }

// Date reports a number that is shown as a day, with or without its time.
func (c Cell) Date() bool { return c.Format != nil && c.Format.Date }

// Clock reports a number that is shown as a time of day or a length of time.
func (c Cell) Clock() bool { return c.Format != nil && c.Format.Clock }

// Percent reports a number that is shown a hundred times as large, with a percent sign.
func (c Cell) Percent() bool { return c.Format != nil && c.Format.Percent }

// Suffix is the text that the number format shows beside the number, such as "NTU".
func (c Cell) Suffix() string {
	if c.Format == nil {
		return ""
	}
	return c.Format.Text
}

// Span is a block of cells, ends included, counted from zero.
type Span struct{ R0, C0, R1, C1 int }

// Has reports that a cell lies in the block.
func (s Span) Has(r, c int) bool { return r >= s.R0 && r <= s.R1 && c >= s.C0 && c <= s.C1 }

// Overlaps reports that two blocks share a cell.
func (s Span) Overlaps(o Span) bool {
	return s.R0 <= o.R1 && o.R0 <= s.R1 && s.C0 <= o.C1 && o.C0 <= s.C1
}

// Sheet is one worksheet, or one text file, as cells.
type Sheet struct {
	// File and Name are the file's name and the worksheet's; text has no Name.
	File, Name string
	// Hidden reports a worksheet that is not shown.
	Hidden bool
	// Rows are the cells from the first row and column on; rows end with their last cell.
	Rows [][]Cell
	// Lines gives the line of each row of a text file, whose rows may stretch over
	// several lines; nil for workbooks.
	Lines []int
	// HiddenRow and HiddenCol are the rows and columns that are not shown.
	HiddenRow, HiddenCol map[int]bool
	// Merges are the merged blocks. Only their first cell holds anything.
	Merges []Span
	// Marks are what a workbook says of cells besides their values, by row and column.
	Marks map[[2]int]Mark
	// Date1904 reports that day numbers count from 1904 instead of 1900.
	Date1904 bool
	// Separator of a text file, ' ' for aligned columns; else 0.
	Separator rune
	// Loose reports a text whose cells single blanks alone part: no place in its line tells
	// the column of a cell, its order does.
	Loose bool
	// Fault says why the worksheet could not be read; it then has no rows.
	Fault *note.Note
	// width is that of the first counted rows.
	width, counted int
}

// Width is the number of columns. It is asked for at every cell that is looked at, so
// it is kept for the rows that it was counted over.
func (s *Sheet) Width() int {
	for _, r := range s.Rows[min(s.counted, len(s.Rows)):] {
		s.width = max(s.width, len(r))
	}
	s.counted = len(s.Rows)
	return s.width
}

// At gives the cell at a row and column, empty outside.
func (s *Sheet) At(r, c int) Cell {
	if r < 0 || c < 0 || r >= len(s.Rows) || c >= len(s.Rows[r]) {
		return Cell{}
	}
	return s.Rows[r][c]
}

// Merged gives the merged block that covers a cell.
func (s *Sheet) Merged(r, c int) (Span, bool) {
	for _, m := range s.Merges {
		if m.Has(r, c) {
			return m, true
		}
	}
	return Span{}, false
}

// Place gives the address of a cell as its user sees it.
func (s *Sheet) Place(r, c int) note.Place {
	return note.Place{File: s.File, Sheet: s.Name, Cell: s.Address(r, c)}
}

// Address is "C7" for row 6 and column 2, by lines in a text file.
func (s *Sheet) Address(r, c int) string {
	var room [16]byte // one piece of memory for an address, of which a long table has millions
	return string(strconv.AppendInt(append(room[:0], ColumnName(c)...), int64(s.Line(r)), 10))
}

// Line is the number that a user sees at a row.
func (s *Sheet) Line(r int) int {
	if s.Lines != nil && r >= 0 && r < len(s.Lines) {
		return s.Lines[r]
	}
	return r + 1
}

// RangeName is "A5:F11" for a block.
func (s *Sheet) RangeName(b Span) string { return s.Address(b.R0, b.C0) + ":" + s.Address(b.R1, b.C1) }

// ColumnName gives A, B, … Z, AA for 0, 1, …
func ColumnName(c int) string {
	name := ""
	for c++; c > 0; c = (c - 1) / 26 {
		name = string(rune('A'+(c-1)%26)) + name
	}
	return name
}

// ParseCell reads "C7" or "$C$7" into row and column, counted from zero.
func ParseCell(s string) (r, c int, ok bool) {
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

// ParseRange reads "A5:F11", or one cell, corners in any order.
func ParseRange(s string) (Span, bool) {
	a, b, two := strings.Cut(s, ":")
	r0, c0, ok := ParseCell(a)
	if !ok {
		return Span{}, false
	}
	if !two {
		return Span{r0, c0, r0, c0}, true
	}
	r1, c1, ok := ParseCell(b)
	return Span{min(r0, r1), min(c0, c1), max(r0, r1), max(c0, c1)}, ok
}

// storedCell makes a cell of a stored value whose type is not told.
func storedCell(s string) Cell {
	switch {
	case strings.TrimSpace(s) == "":
		return Cell{}
	case strings.Trim(s, "0123456789.+-eE") == "": // not the other forms that the library reads
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			return Cell{Kind: Numeric, Text: s, Num: v}
		}
	case ErrorValue(s):
		return Cell{Kind: Faulty, Text: s}
	}
	return Cell{Kind: Textual, Text: s}
}

// ErrorValue reports a text that spreadsheets show where a formula fails.
func ErrorValue(s string) bool {
	switch s {
	case "#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#SPILL!", "#CALC!", "#GETTING_DATA":
		return true
	}
	return false
}
