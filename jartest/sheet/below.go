package sheet

import (
	"slices"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// valuesBelow speaks of names that an answer hangs on whose number stands below them, not beside:
// a fact is read from a line, so that such a number was taken for nothing.
func (b *bench) valuesBelow() {
	for _, g := range b.grids {
		v := layout.View{Area: g}
		for r := range g.Rows {
			for c, x := range g.Rows[r] {
				below := v.At(r+1, c)
				if x.Kind != grid.Textual || below.Kind != grid.Numeric && !layout.IsFigure(layout.Text(below)) || b.inJars(g, r, c) || b.inJars(g, r+1, c) || !layout.ReadHeading(x.Text).FactName() {
					continue
				}
				k, ok := layout.Beside(v, r, c)
				if ok && !v.At(r, k).Blank() || slices.ContainsFunc(b.facts, func(f fact) bool { return f.at == v.Place(r, c) || f.at == v.Place(r+1, c) }) {
					continue
				}
				b.say(note.Caution, "value-below", v.Place(r+1, c), "the number below %q was not taken", clip(x.Text)).do(b, "write it beside its name, in the cell to the right")
			}
		}
	}
}

// inJars reports a cell of a table with jars: a line or two that gave none hold facts.
func (b *bench) inJars(g *layout.Area, r, c int) bool {
	return slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.Area() == g && len(t.Rows) > 2 && t.Box().Has(r, c) })
}
