package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// clearedBy are the readings that a test lowers, so that the water of the jars reads less than the raw water.
var clearedBy = map[jartest.Key]bool{jartest.Turbidity: true, jartest.TSS: true, jartest.Colour: true}

// rawByJars reads a number of the raw water whose mark can part thousands or a fraction, "1,200 NTU", where only
// one of the two is no less than every jar of the sheet.
func (b *bench) rawByJars(base fact, key jartest.Key, num string, x layout.Value) layout.Value {
	whole, fraction := layout.Numeral(num, layout.DecimalPoint), layout.Numeral(num, layout.DecimalComma)
	least, read := b.leastRead(key)
	if !clearedBy[key] || !read || !whole.OK() || !fraction.OK() {
		return x
	}
	if fraction.Num > whole.Num {
		whole, fraction = fraction, whole
	}
	if fraction.Num >= least || whole.Num <= least {
		return x
	}
	b.say(note.Caution, "raw-by-jars", base.at, "%q in what is said of the raw water is read as %s: as %s it would be less than every jar", num, trimFloat(whole.Num), trimFloat(fraction.Num)).
		do(b, "write it without a thousands mark, or state --decimal")
	whole.Text = num
	return whole
}

// leastRead gives the lowest number under the headings of a reading in the tables of a sheet.
func (b *bench) leastRead(key jartest.Key) (least float64, read bool) {
	for _, t := range b.tables {
		for _, col := range t.Cols {
			if h := col.Head; h.Reading != key || setAsideAs(h) != "" || h.DoseLike() || h.Removal {
				continue
			}
			for _, r := range t.Rows {
				if v := layout.ParseValue(t.View.At(r, col.C), b.dec(t)); v.OK() && (!read || v.Num < least) {
					least, read = v.Num, true
				}
			}
		}
	}
	return least, read
}
