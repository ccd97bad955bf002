package sheet

import (
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// jarSizedHead reports the heading of the labels that says how much a jar holds, "Jar (1 L)": its number is its own, and
// the cells below have none.
func jarSizedHead(h layout.Heading) bool {
	return h.Jar && h.Amount && h.Unit.Kind == words.Volume && h.Reading == "" && !h.DoseLike()
}

// jarUnit speaks of what stands in the heading of the labels and says nothing of what a jar holds: labels have no unit, and
// a word there can be meant for the jars below.
func jarUnit(e *evidence) {
	if jarSizedHead(e.Head) {
		return
	}
	left := leftInJars(e.Head)
	if left != "" {
		e.b.say(note.Caution, "heading-words", e.Place, "%q in the heading %q is not understood; the column is taken for the labels of the jars", left, e.Head.Text).
			do(e.b, `if it is something else, say so with --column "%s=…"`, e.header())
	}
}

// jarsInHeadings takes what headings of labels say that a jar holds. It is a fact like one in a line of its own, so that
// another volume said elsewhere is asked about.
func (b *bench) jarsInHeadings() {
	for _, t := range b.tables {
		for _, col := range t.Cols {
			if !jarSizedHead(col.Head) {
				continue
			}
			base := fact{g: t.Area(), at: col.Place, text: col.Head.Text}
			base.r, base.c, _ = grid.ParseCell(col.Place.Cell)
			b.jarVolumes(base, sentenceOf(col.Head.Text, b.dec(t)))
		}
	}
}
