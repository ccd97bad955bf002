package sheet

import (
	"math"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// burette finds doses that are the difference of two columns, what a burette or a syringe
// showed before and after each jar.
func (b *bench) burette(t *layout.Table, fs []field) {
	for i := range fs {
		if k := b.shownBefore(t, fs, i); k >= 0 {
			start, end := &fs[k], &fs[i]
			b.say(note.Info, "dose-by-difference", end.Place, "the volume dosed is column %q less column %q", end.Head.Text, start.Head.Text)
			end.role, end.less, end.votes = asStock, start.C+1, nil
			end.spent = append(end.spent, "role:time") // "end"
			start.role, start.votes = asStart, nil
			start.chem = ""
		}
	}
}

// shownBefore gives the column of what was shown before the volumes of column i, -1 for none.
func (b *bench) shownBefore(t *layout.Table, fs []field, i int) int {
	after := fs[i].Head
	if !ofVolumes(fs[i]) || after.Stage != "after" {
		return -1
	}
	for k, f := range fs {
		if k == i || !ofVolumes(f) || f.Head.Stage != "before" || f.Head.Unit.Factor != after.Unit.Factor {
			continue
		}
		instrument := says(f.Head.Text, "meta:burette") || says(after.Text, "meta:burette")
		if instrument || b.chained(t, f.C, fs[i].C) {
			return k
		}
	}
	return -1
}

// ofVolumes reports a column of volumes that are no jar's and no reading.
func ofVolumes(f field) bool {
	return f.Head.Unit.Kind == words.Volume && f.numbers > 1 && f.Head.Reading == "" && !f.Head.Removal && !f.Head.Said
}

// chained reports that each row of the second column shows more than the first, and begins where
// the one above has ended.
func (b *bench) chained(t *layout.Table, from, to int) bool {
	last := math.NaN()
	for _, r := range t.Rows {
		x, y := layout.ParseValue(t.View.At(r, from), b.dec(t)), layout.ParseValue(t.View.At(r, to), b.dec(t))
		if !x.OK() || !y.OK() || y.Num < x.Num || !math.IsNaN(last) && !same(last, x.Num) {
			return false
		}
		last = y.Num
	}
	return true
}

// poured gives the value of a dose cell, less what was shown before it.
func (m *maker) poured(d dataRow, f field) layout.Value {
	v := layout.ParseValue(ofAllRows(m.t, d.r, f.C), m.b.dec(m.t))
	if f.less == 0 || !v.OK() {
		return v
	}
	x := layout.ParseValue(ofAllRows(m.t, d.r, f.less-1), m.b.dec(m.t))
	if !x.OK() {
		return layout.Value{State: layout.Unclear, Text: v.Text, Doubt: "has no start of the burette beside it"}
	}
	v.Num = round12(v.Num - x.Num)
	return v
}
