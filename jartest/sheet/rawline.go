package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// rawLineAway is how many rows a line with the raw water stands from its table at most.
const rawLineAway = 3

// rawLine reads "Raw water | | 46 | 7.5" in a line of its own above the headings of a table or
// under its jars: the numbers belong to the columns that they stand under.
func (t *textCell) rawLine() bool {
	if !words.Means(t.text, "label:raw") && !words.Means(t.text, "stage:before") {
		return false
	}
	for _, x := range t.b.tables {
		above, below := x.HeadTop-t.r, t.r-x.Last
		beside := x.View.Turned || x.View.Origin != nil || x.Area() != t.base.g || t.c > x.C0+1
		if beside || above > rawLineAway || below > rawLineAway || above < 1 && below < 1 || t.b.owner(t.base) != x {
			continue
		}
		found, figures := t.rawUnder(x)
		t.b.facts = append(t.b.facts, found...)
		if len(found) > 0 {
			t.b.say(note.Info, "raw-line", t.base.at, "%q is taken for the water before treatment: its numbers stand under the columns of the jars", clip(t.text))
			return true
		}
		if had := len(t.b.facts); figures > 0 && (!t.named() || len(t.b.facts) == had) && !t.b.asked(t.base.at) {
			t.b.say(note.Caution, "raw-line", t.base.at, "the numbers of %q do not stand each under one column of readings; none was taken", clip(t.text)).
				do(t.b, "write each under its column, or beside its name")
		}
		return figures > 0
	}
	return false
}

// rawInHeadings takes what headings say that their reading was in the raw water, "Turbidity (raw 64)".
func (b *bench) rawInHeadings() {
	for _, t := range b.tables {
		for _, col := range t.Cols {
			h := col.Head
			if !h.Untreated.OK {
				continue
			}
			d := fact{kind: factRaw, key: h.Reading, value: h.Untreated.V, unit: h.Unit, state: layout.Number, keyed: true, g: t.Area(), at: col.Place, text: h.Text}
			d.r, d.c, _ = grid.ParseCell(col.Place.Cell)
			b.facts = append(b.facts, d)
			b.say(note.Info, "raw-in-heading", d.at, "%q is taken to say that the raw water had %s; its column is what the jars had", clip(h.Text), trimFloat(d.value))
		}
	}
}

// rawUnder gives the readings of a line under the columns of a table, and counts its numbers;
// no reading where one stands under a dose, under no reading or with another under the same.
func (t *textCell) rawUnder(x *layout.Table) (out []fact, figures int) {
	misplaced := false
	seen := map[jartest.Key]bool{}
	heads := map[int]layout.Heading{}
	for _, col := range x.Cols {
		heads[col.C] = col.Head
	}
	for c := t.c + 1; c < len(t.base.g.Rows[t.r]); c++ {
		cell, h := t.v.At(t.r, c), heads[c]
		v := layout.ParseValue(cell, t.dec)
		if cell.Blank() || nothingIn(v, h) {
			continue
		}
		if v.OK() || v.Limit {
			figures++
		}
		if !plainReading(v) || !untold(h) || seen[h.Reading] {
			misplaced = true
			continue
		}
		d := t.base
		d.kind, d.key, d.value, d.unit, d.state, d.limit, d.keyed = factRaw, h.Reading, v.Num, h.Unit, v.State, v.Limit, true
		d.text, d.c, d.at = t.text+" | "+cell.Text, c, t.v.Place(t.r, c)
		if v.Unit.Known() {
			d.unit = v.Unit
		}
		seen[h.Reading] = true
		out = append(out, d)
	}
	if misplaced {
		return nil, figures
	}
	return out, figures
}

// nothingIn reports a cell that says of something else than a reading that there is none: a dash
// or a 0 under the dose.
func nothingIn(v layout.Value, h layout.Heading) bool {
	none := v.State == layout.Missing || v.State == layout.Zero || v.OK() && v.Num == 0 && h.DoseLike()
	return none && h.Reading == ""
}

// plainReading reports one number, or one limit.
func plainReading(v layout.Value) bool {
	if v.State == layout.Number {
		return len(v.List) == 0
	}
	return v.Limit && (v.State == layout.Below || v.State == layout.Above)
}

// untold reports the heading of a reading of which nothing says that the water was treated for it
// or that the numbers are others.
func untold(h layout.Heading) bool {
	return h.Reading != "" && !h.Removal && !h.LogRemoval && h.Scale == "" && !h.Dilution && !h.Filtered
}
