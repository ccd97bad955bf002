package book

// Legend puts the kinds of cells in words and as they look, across two columns
// from the given cell on, the words over span columns, and gives the row below it.
func (s *Sheet) Legend(row, col, span int) int {
	for i, l := range []struct {
		kind Kind
		name string
		text string
	}{
		{Input, "fill in", "to fill in or change: pale fill, dark border"},
		{Worked, "worked out", "a formula; locked, without a password"},
		{Result, "answer", "a formula that answers the question: bold"},
	} {
		s.Put(row+i, col, Cell{Kind: l.kind, Value: l.name, Center: true})
		s.Put(row+i, col+1, Cell{Kind: Muted, Value: l.text, Span: span})
	}
	return row + 3
}

// open begins a sheet that is locked but for its inputs: widths, title, and a line
// under it where there is one.
func (s *Sheet) open(title, sub Cell, widths ...float64) {
	s.Protect()
	s.Widths(widths...)
	s.Row(title)
	if sub.Value != nil {
		s.Row(sub)
	}
}

// heads puts headings side by side into the next row, and gives it.
func (s *Sheet) heads(names ...string) int {
	var cells []Cell
	for _, n := range names {
		cells = append(cells, Cell{Kind: Head, Value: n})
	}
	return s.Row(cells...)
}

// pairs puts rows of a word and its explanation.
func (s *Sheet) pairs(kind Kind, rows ...[2]string) {
	for _, r := range rows {
		s.Row(Cell{Kind: Label, Value: r[0]}, Cell{Kind: kind, Value: r[1]})
	}
}
