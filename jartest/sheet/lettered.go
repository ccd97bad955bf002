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
	for i, o := range b.said {
		for _, g := range b.grids {
			if head, ok := b.headingIn(g, o.Header); ok {
				b.said[i].Header = head
				break
			}
		}
	}
	if b.findTables(); len(b.tables) > 0 {
		return
	}
	for i, o := range b.opt.Columns { // such a column is there, and what is missing is the others
		if o.Header != b.said[i].Header {
			b.used[o.Header] = true
		}
	}
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
