package sheet

import (
	"slices"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// ownReadings finds, in a file without any reading that has a name of its own kind, the
// tables of doses beside figures that were read another way: the depth of a tube or a
// disc, a light that passes, a share that is left. They are kept under their own names.
func (b *bench) ownReadings(plans []*layout.Table) (full, left []*layout.Table) {
	for _, t := range plans {
		i := slices.IndexFunc(b.byTable[t], func(f field) bool { return b.readOtherwise(t, f) })
		if i < 0 {
			left = append(left, t)
			continue
		}
		full = append(full, t)
		f := b.byTable[t][i]
		level := note.Caution
		if f.Head.Unit.Known() && f.Head.Unit.Left == "" && f.Head.Unit.Kind != words.Degree { // degrees of what?
			level = note.Info
		}
		b.say(level, "own-reading", f.Place, "nothing in the sheet reads turbidity or another known quantity; %q is taken for what was read, under its own name", f.Head.Text).
			do(b, `if it is something else, say so with --column "%s=…"`, f.header())
	}
	return full, left
}

// readOtherwise reports a column of figures that differ from jar to jar, and that is
// none of what goes into a jar or is done to it.
func (b *bench) readOtherwise(t *layout.Table, f field) bool {
	h := f.Head
	if slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return c.Head.Parameter || c.Head.UnitColumn }) {
		return false // its lines are results of many kinds
	}
	aside := h.Speed || h.Clock || h.Date || h.Note && h.Unit.Kind != words.Length || h.Volume || h.Strength || h.Density || h.Target || h.Old || h.Stat != "" || h.Jar && !h.Unit.Known()
	return f.role == asReading && h.Text != "" && !aside && f.numbers*2 > len(t.Rows) && !b.constant(t, f.C) && !b.counts(t, f.C, true)
}
