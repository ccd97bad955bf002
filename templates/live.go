package templates

import "jarwright/templates/book"

// liveSheet is a sheet with live formulas while it is written, row by row.
type liveSheet struct {
	*book.Sheet
	b    *book.Book
	row  int
	wide int // columns that running text takes
	// value and unit are the columns of values and of their units.
	value, unit int
}

// newLive begins such a sheet with its title and what it is for.
func newLive(b *book.Book, name, title, about string, wide, value, unit int, widths ...float64) liveSheet {
	s := b.Sheet(name)
	s.Protect()
	s.Widths(widths...)
	s.Put(1, 1, book.T(book.Title, "%s", title))
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: wide, Value: about})
	return liveSheet{Sheet: s, b: b, row: 4, wide: wide, value: value, unit: unit}
}

// section heads the rows that follow.
func (l *liveSheet) section(text string) {
	l.Put(l.row, 1, book.Cell{Kind: book.Section, Value: text, Span: l.wide})
	l.row++
}

// heads heads columns, from one on.
func (l *liveSheet) heads(col int, names ...string) {
	for i, h := range names {
		l.Put(l.row, col+i, book.T(book.Head, "%s", h))
	}
	l.row++
}

// line writes a label, a cell with its unit beside, and the cell's name where it gets
// one; it gives the cell's place.
func (l *liveSheet) line(label string, c book.Cell, unit, name string) book.Range {
	at := l.At(l.row, l.value)
	l.Put(l.row, 1, book.Cell{Kind: book.Label, Value: label, Span: min(l.value, l.unit) - 1})
	l.Put(l.row, l.value, c)
	l.Put(l.row, l.unit, book.Cell{Kind: book.Unit, Value: unit, Span: either(l.unit > l.value, 2, 1)})
	if name != "" {
		l.b.Name(name, at)
	}
	l.row++
	return at
}

// input writes a number that may be changed, between two ends.
func (l *liveSheet) input(label string, v float64, unit, name string, least, most float64) {
	l.Number(l.At(l.row, l.value), least, most, label, "In "+unit+".")
	l.line(label, inputTo(v), unit, name)
}

// end writes what the cells' looks mean, and a caution under it.
func (l *liveSheet) end(legend int, caution string) {
	l.row = l.Legend(l.row+1, 1, legend) + 1
	l.Put(l.row, 1, book.Cell{Kind: book.Caution, Span: l.wide, Value: caution})
	l.Paged()
}

// inputTo is a number that may be changed, in four digits.
func inputTo(v float64) book.Cell { return book.In(v, book.Digits(v, 4)) }

// shownTo is a number of the program's own, with so many digits.
func shownTo(v float64, digits int) book.Cell { return book.Num(v, book.Digits(v, digits)) }

// none stands where a sheet has no number.
var none = book.Cell{Kind: book.Muted, Value: "–", Center: true}
