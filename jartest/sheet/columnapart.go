package sheet

import (
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// columnApart speaks of a heading beside those of a table with several numbers under it:
// it is a column and no fact, and which jars its numbers are of is not known.
func (b *bench) columnApart(v layout.View, r, c int, tables []*layout.Table) bool {
	x := v.At(r, c)
	if h := layout.ReadHeading(x.Text); !h.Strong() || !h.Core() {
		return false
	}
	for _, t := range tables {
		if t.Area() != v.Area || t.View.Turned || t.View.Origin != nil || r < t.HeadTop || r > t.Head {
			continue
		}
		n := 0
		for _, k := range t.Rows {
			if v.At(k, c).Kind == grid.Numeric || layout.IsData(v.At(k, c).Text, b.decimals[v.Area]) {
				n++
			}
		}
		if n < 2 {
			continue
		}
		b.say(note.Caution, "column-apart", v.Place(r, c), "column %q stands beside the table %s with numbers on its rows, and was not joined to it; they were not taken", clip(strings.TrimSpace(x.Text)), t.RangeName()).
			do(b, "move it next to the table, a number for each jar")
		return true
	}
	return false
}
