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

// Table puts a heading row and rows of text or numbers from the given cell on,
// and gives the row below it. Strings become wrapped text, numbers values.
func (s *Sheet) Table(row, col int, heads []string, rows [][]any) int {
	for i, h := range heads {
		s.Put(row, col+i, Cell{Kind: Head, Value: h})
	}
	for r, cells := range rows {
		for i, v := range cells {
			c, ok := v.(Cell)
			if !ok {
				c = Cell{Kind: Value, Value: v}
				if _, isText := v.(string); isText {
					c.Kind = Wrap
				}
			}
			s.Put(row+1+r, col+i, c)
		}
	}
	return row + 1 + len(rows)
}
