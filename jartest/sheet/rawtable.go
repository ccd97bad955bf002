package sheet

import (
	"slices"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// The raw water may have a little table of its own: a title that names it, a row of headings, and one
// number under each.

// rawHeaded reads a heading of such a table with the number below it.
func (t *textCell) rawHeaded() bool {
	h, x := layout.ReadHeading(t.text), t.v.At(t.r+1, t.c)
	v := layout.ParseValue(x, t.dec)
	if !plainReading(v) || t.in(t.r+1, t.c) || !t.v.At(t.r+2, t.c).Blank() || !layout.RawTitle(rawTitleOver(t.v, t.r, t.c)) {
		return false
	}
	if !untold(h) {
		t.b.say(note.Caution, "raw-table", t.base.at, "the number under %q stands in a table of the raw water, and no reading was understood; it was not taken", clip(t.text)).
			do(t.b, "write the name of the reading in full")
		return true
	}
	d := t.base
	d.kind, d.key, d.value, d.unit, d.state, d.limit, d.keyed, d.under = factRaw, h.Reading, v.Num, h.Unit, v.State, v.Limit, true, true
	if v.Unit.Known() {
		d.unit = v.Unit
	}
	d.text = t.text + " | " + x.Text
	t.b.facts = append(t.b.facts, d)
	return true
}

// rawTitleOver gives the text that stands above a row of headings, in the column of one or the nearest
// filled one left of it, past one blank line.
func rawTitleOver(v layout.View, r, c int) string {
	for k := r - 1; k >= r-2 && k >= 0; k-- {
		for ; c >= 0; c-- {
			if x := v.At(k, c); x.Kind == grid.Textual {
				return x.Text
			} else if !x.Blank() {
				return ""
			}
		}
	}
	return ""
}

// rawTableLost speaks of a table under the title of the raw water that has no dose and was not taken.
func (b *bench) rawTableLost(t *layout.Table) bool {
	fs := b.byTable[t]
	if !layout.RawTitle(t.Title) || !slices.ContainsFunc(fs, field.reads) || slices.ContainsFunc(fs, field.dosed) {
		return false
	}
	b.say(note.Caution, "raw-table", t.TitleAt, "the table %s under %q was not taken for the raw water: it has more than one number under a heading", t.RangeName(), clip(t.Title)).
		do(b, `write each reading in a line above the jars, "Raw turbidity | 29 NTU"`)
	return true
}
