package sheet

import (
	"slices"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// unread are the columns whose cells give no number of a jar.
var unread = map[role]bool{asIgnored: true, asNote: true, asMean: true, asSD: true, asTest: true}

// faults speaks of the formulas that hold an error and that nothing has spoken of: a fact that
// cannot be read, a volume beside its dose. In a column that is not read it is only told.
func (b *bench) faults() {
	told := map[note.Place]bool{}
	for _, n := range b.notes {
		told[n.Place] = true
	}
	for _, g := range b.grids {
		own := func(t *layout.Table) bool { return t.View.File == g.File && t.View.Name == g.Name }
		if !slices.ContainsFunc(b.tables, own) {
			continue
		}
		found := map[note.Level][]note.Place{}
		for r := range g.Rows {
			for c, x := range g.Rows[r] {
				if x.Kind != grid.Faulty {
					continue
				}
				at := g.Place(r, c)
				if told[at] {
					continue
				}
				level := note.Caution
				if b.inUnread(g, r, c) {
					level = note.Info
				}
				found[level] = append(found[level], at)
			}
		}
		for _, level := range []note.Level{note.Caution, note.Info} {
			if at := found[level]; len(at) == 1 {
				b.say(level, "error-value", at[0], "the formula at %s holds an error; nothing was taken from it", at[0].Cell).do(b, "correct the formula")
			} else if len(at) > 1 {
				b.say(level, "error-value", at[0], "the formulas at %s and %d more cells hold errors; nothing was taken from them", at[0].Cell, len(at)-1).do(b, "correct the formulas")
			}
		}
	}
}

// inUnread reports a cell of a table in a row that is no jar or in a column that is not read.
func (b *bench) inUnread(g *layout.Area, r, c int) bool {
	for _, t := range b.tables {
		if t.View.Origin != nil || t.View.Turned || t.Area() != g || !t.Box().Has(r, c) {
			continue
		}
		return slices.ContainsFunc(b.byTable[t], func(f field) bool { return f.C == c && unread[f.role] })
	}
	return false
}
