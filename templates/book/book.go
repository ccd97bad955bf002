// Package book writes workbooks: plain .xlsx without macros, that open without
// repair, recalculate to the values stored in them, print well on A4 and Letter,
// and come out byte for byte the same from the same input.
//
// A [Book] is described first, sheet by sheet and cell by cell in any order,
// and written once. Everything that can go wrong with a cell (a value that is no
// number, a function that older spreadsheet programs lack, a name that would not
// do) is gathered and returned by [Book.Write].
package book

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/plain"
)

// Meta is what a workbook says of itself.
type Meta struct {
	Title   string
	Paper   string    // "a4" (also when empty) or "letter"
	Date    time.Time // the date that the file carries; zero for none
	Version string    // of the program
}

// Book is a workbook being described.
type Book struct {
	meta   Meta
	sheets []*Sheet
	lists  *Sheet
	listed map[string]Range
	names  []definedName
	errs   []error
}

type definedName struct {
	name string
	at   Range
}

// New begins a workbook.
func New(m Meta) *Book { return &Book{meta: m, listed: map[string]Range{}} }

// letter tells that the book is printed on Letter, and not on A4.
func (b *Book) letter() bool { return strings.EqualFold(b.meta.Paper, "letter") }

// fail notes a mistake in the description.
func (b *Book) fail(format string, args ...any) { b.errs = append(b.errs, fmt.Errorf(format, args...)) }

// Sheet adds a sheet. The name may come from a user's file; what a sheet name
// may not hold is replaced, and a name already taken gets a number.
func (b *Book) Sheet(name string) *Sheet {
	s := &Sheet{book: b, name: b.freeName(name), cells: map[int]map[int]Cell{}, heights: map[int]float64{},
		foldedRows: map[int]bool{}, foldedCols: map[int]bool{}}
	if b.lists != nil { // the sheet of lists stays last
		b.sheets = append(b.sheets[:len(b.sheets)-1], s, b.lists)
		return s
	}
	b.sheets = append(b.sheets, s)
	return s
}

// freeName makes a sheet name that spreadsheet programs accept and that is still free.
func (b *Book) freeName(name string) string {
	const most = 31 // UTF-16 units
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) {
			return '-'
		}
		return r
	}, plain.Line(name))
	name = strings.Trim(name, "' ")
	if name == "" || strings.EqualFold(name, "history") {
		name = "Sheet " + name
	}
	base := cutUTF16(strings.TrimSpace(name), most)
	taken := func(s *Sheet) bool { return strings.EqualFold(s.name, name) }
	name = base
	for n := 2; slices.ContainsFunc(b.sheets, taken); n++ {
		end := fmt.Sprintf(" %d", n)
		name = strings.TrimRight(cutUTF16(base, most-len(end)), "' ") + end
	}
	return name
}

func cutUTF16(s string, most int) string {
	n := 0
	for i, r := range s {
		n += max(utf16.RuneLen(r), 1)
		if n > most {
			return strings.TrimRight(s[:i], "' ")
		}
	}
	return s
}

var namePattern = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_.]*$`)
var cellPattern = regexp.MustCompile(`^(?i)([A-Z]{1,3}[0-9]+|R|C|R[0-9]*C[0-9]*)$`)

// Name gives a cell a name that formulas and scripts may use, such as
// Flow_m3_h. A name may be given once.
func (b *Book) Name(name string, at Range) {
	switch {
	case !namePattern.MatchString(name) || cellPattern.MatchString(name) || len(name) > 255:
		b.fail("name %q is not one that a workbook can hold", name)
		return
	case slices.ContainsFunc(b.names, func(n definedName) bool { return strings.EqualFold(n.name, name) }):
		b.fail("name %q is given twice", name)
		return
	}
	b.names = append(b.names, definedName{name, at})
}

// List puts choices on the last sheet, once for equal names, and gives their
// range for [Sheet.Choose]. (A list typed into the validation itself is limited
// to 255 characters and breaks items at commas.)
func (b *Book) List(name string, items []string) Range {
	if r, ok := b.listed[name]; ok {
		return r
	}
	if b.lists == nil {
		s := b.Sheet("Lists")
		s.Put(1, 1, Cell{Kind: Title, Value: "Choices offered in the other sheets"})
		s.Freeze(3, 0)
		s.protect, s.hidden = true, true
		b.lists = s
	}
	col := len(b.listed) + 1
	b.lists.Put(3, col, Cell{Kind: Head, Value: name})
	for i, it := range items {
		b.lists.Put(4+i, col, Cell{Kind: Text, Value: it})
	}
	r := Range{b.lists, 4, col, 3 + max(len(items), 1), col}
	b.listed[name] = r
	return r
}

// undated is what a file without a date carries: the first day that a zip archive can hold.
var undated = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Write writes the workbook. Nothing is written where the description has a mistake.
func (b *Book) Write(w io.Writer) error {
	for _, s := range b.sheets {
		s.check()
	}
	if len(b.sheets) == 0 {
		b.fail("a workbook needs a sheet")
	}
	if len(b.errs) > 0 {
		return errors.Join(b.errs...)
	}
	f := excelize.NewFile()
	defer f.Close()
	wr := &writer{book: b, file: f, styles: map[styleKey]int{}}
	if err := wr.all(); err != nil {
		return err
	}
	var buf bytes.Buffer
	f.ZipWriter = func(io.Writer) excelize.ZipWriter {
		return &packer{out: &buf, writer: wr, parts: map[string]*bytes.Buffer{}}
	}
	if _, err := f.WriteTo(io.Discard); err != nil {
		return err
	}
	_, err := w.Write(buf.Bytes())
	return err
}
