package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
)

// findLettered looks for tables anew where none was found by its headings and the user names columns by their letters: what
// stands over the figures of such a column is its heading, whatever it says.
func (b *bench) findLettered() {
	if len(b.tables) > 0 || len(b.opt.Columns) == 0 {
		return
	}
	b.said = slices.Clone(b.opt.Columns)
	named := map[string]bool{} // headings of which a column was named by its letter
	for i, o := range b.said {
		if head, ok := b.headingAt(o.Header); ok {
			b.said[i].Header, named[head] = head, true
		}
	}
	// A table is found by what one of several columns of one heading holds, not by what another is to be left out for.
	all := slices.Clone(b.said)
	b.said = slices.DeleteFunc(b.said, func(o Override) bool {
		return layout.Overridden(layout.Heading{}, o.Meaning).Old && slices.ContainsFunc(all, func(x Override) bool { return x != o && x.Header == o.Header })
	})
	if b.findTables(); len(b.tables) > 0 {
		b.unsay(named)
		return
	}
	for _, o := range b.opt.Columns { // such a column is there, and what is missing is the others
		if _, ok := b.headingAt(o.Header); ok {
			b.used[o.Header] = true
		}
	}
}

// unsay gives columns of such a heading its own meaning back: a table was found by what was said of one of them, and what each holds
// is told by its letter, see [bench.override].
func (b *bench) unsay(named map[string]bool) {
	for _, t := range b.tables {
		for i := range t.Cols {
			if c := &t.Cols[i]; named[c.Head.Text] {
				c.Head = layout.ColumnHeading(c.Head.Text)
			}
		}
	}
}

// headingAt is the heading of the column that a letter names, in the first grid that has one.
func (b *bench) headingAt(letter string) (head string, ok bool) {
	for _, g := range b.grids {
		if head, ok = b.headingIn(g, letter); ok {
			return head, true
		}
	}
	return "", false
}

// headingIn is the text over the longest run of figures in the column that a letter names.
func (b *bench) headingIn(g *layout.Area, letter string) (head string, ok bool) {
	_, c, is := grid.ParseCell(strings.ToUpper(letter) + "1")
	if !is {
		return "", false
	}
	v := layout.View{Area: g, Only: b.only}
	f := layout.NewFinder(v, b.decimals[g], nil)
	best, run := 0, 0
	for r := len(g.Rows) - 1; r >= 0; r-- {
		switch x := v.At(r, c); {
		case x.Blank():
		case f.DataLike(x):
			run++
		default:
			if run > best {
				best, head = run, x.Text
			}
			run = 0
		}
	}
	return head, best > 0
}
