package sheet

import "jarwright/jartest/layout"

// spreadInCells reports a column headed with a deviation, "NTU ± SD", most of whose numbers are readings with
// one: the heading says what stands in its cells, and not that they are deviations.
func (b *bench) spreadInCells(t *layout.Table, col layout.Column, numbers int) bool {
	if col.Head.Stat != "sd" || numbers == 0 {
		return false
	}
	with := 0
	for _, r := range t.Rows {
		if v := layout.ParseValue(t.View.At(r, col.C), b.dec(t)); v.OK() && v.SD > 0 {
			with++
		}
	}
	return 2*with > numbers
}

// saysSpread reports what of a heading tells that its cells hold deviations too.
func (f field) saysSpread(p layout.Piece) bool {
	return f.spread && (p.Concept == "stat:sd" || p.Text == "±" || p.Text == "+")
}
