package sheet

import (
	"math"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// headless speaks of columns of figures that nothing heads. One beside the readings is
// kept under the letter of its column; several right of a dose can be the rest of a
// cross-tab, and then the numbers under the dose are none: that is asked about.
func (b *bench) headless(t *layout.Table, fs []field) {
	if t.View.Turned {
		return
	}
	if f := fs[0]; f.role == asJar && len(f.Parts) == 0 && f.Group == "" && b.fractionsFall(t, f.C) {
		b.say(note.Caution, "headless-columns", f.Place, "a column of numbers left of the table has no heading; it is taken for the names of the jars").do(b, "write a heading over it")
	}
	for i := 0; i < len(fs); i++ {
		n := 0
		for i+n < len(fs) && fs[i+n].headless() {
			n++
		}
		switch {
		case n == 0:
			continue
		case n > 1 && i > 0 && fs[i-1].dosed():
			b.say(note.Error, "headless-columns", fs[i-1].Place, "%d columns of numbers right of %q have no heading, so nothing says whether the numbers under it are doses or readings", n, fs[i-1].Head.Text).
				do(b, "write a heading over each column; in a cross-tab, write what stands along each side into its corner, and above it what was read")
		default:
			b.say(note.Caution, "headless-columns", fs[i].Place, "a column of numbers has no heading; it is kept as the reading %q", fs[i].key).do(b, "write a heading over it")
		}
		i += n - 1
	}
}

// headless reports a column of figures with no heading that is kept for a reading.
func (f field) headless() bool {
	return f.role == asReading && f.numbers > 0 && f.Head.Text == "" && f.Group == "" && len(f.Parts) == 0
}

// fractionsFall reports a column of fractions that do not rise from line to line, as the
// numbers of jars and repeats do.
func (b *bench) fractionsFall(t *layout.Table, c int) bool {
	last, fraction, falls := math.Inf(-1), false, false
	for _, r := range t.Rows {
		v := layout.ParseValue(t.View.At(r, c), b.dec(t))
		if !v.OK() {
			return false
		}
		fraction, falls = fraction || v.Num != math.Trunc(v.Num), falls || v.Num <= last
		last = v.Num
	}
	return fraction && falls
}
