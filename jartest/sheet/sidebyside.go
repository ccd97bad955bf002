package sheet

import (
	"slices"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Two tables side by side are often tests of one water, with one line above or below both that tells it.

// sideBySide reports two tables of one sheet that share rows and no column.
func sideBySide(a, c *layout.Table) bool {
	if a == nil || a == c || a.Area() != c.Area() || a.Area().Origin != nil {
		return false
	}
	x, y := a.Box(), c.Box()
	return x.R0 <= y.R1 && y.R0 <= x.R1 && (x.C1 < y.C0 || y.C1 < x.C0)
}

// overBoth reports a fact of a table, above or below it and the one beside it, that holds for both: the
// other has none of its own, and the cell is not merged over the columns of the first alone.
func (b *bench) overBoth(owner, t *layout.Table, x fact) bool {
	if !sideBySide(owner, t) {
		return false
	}
	own, other := owner.Box(), t.Box()
	if x.r >= min(own.R0, other.R0) && x.r <= max(own.R1, other.R1) {
		return false
	}
	if m, ok := (layout.View{Area: x.g}).MergedAt(x.r, x.c); ok && m.C1 > m.C0 && m.C1 <= own.C1 && m.C0 >= own.C0 {
		return false
	}
	return !slices.ContainsFunc(b.facts, func(o fact) bool {
		return o.kind == x.kind && o.key == x.key && o.at != x.at && b.owner(o) == t
	})
}

// sharedRaw speaks of a line on the raw water that was taken from beside another table, and that does not
// say that it is of both.
func (m *maker) sharedRaw(x fact) {
	owner := m.b.owner(x)
	if !sideBySide(owner, m.t) || x.keyed && m.b.headsSheet(x, owner) || spoken()["together"].in(words.Fold(m.b.lineAt(x))) {
		return
	}
	m.b.say(note.Caution, "raw-of-both", x.at, "%q stands by tables side by side, and is taken for the water of all of them", clip(m.b.lineAt(x))).
		do(m.b, "write the raw water of each above its own table if they differ")
}

// titlesOther reports a cell right of a text that is the title of a table in whose columns the text does not stand.
func (b *bench) titlesOther(v layout.View, r, c, k int) bool {
	at := v.Place(r, k)
	return slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.TitleAt == at && c < t.Box().C0 })
}
