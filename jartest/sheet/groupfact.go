package sheet

import (
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// groupFacts books what the merged headings of a table state in brackets, "Alum (raw 75 NTU)". It is of
// the whole table where all of them state the same; else nothing is taken, and each is named.
func (b *bench) groupFacts(t *layout.Table) {
	stated := t.StatedOver()
	for _, x := range stated {
		if x.Text != stated[0].Text {
			b.say(note.Caution, "group-facts", x.At, "%q stands over some columns of the table, and %q over others: what they state was not taken", x.Text, stated[0].Text).
				do(b, "give each test a table of its own, with its facts above it")
			return
		}
	}
	if len(stated) > 0 {
		x := stated[0]
		b.textFacts(fact{r: x.R, c: x.C, g: t.Area(), at: x.At, text: x.Text}, x.Text, b.dec(t))
	}
}
