package sheet

import (
	"math"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// corrected takes of two columns of one reading the one whose heading has a factor, where it is that
// many times the other in every jar: the factor was applied, and the other is what the meter showed.
func (b *bench) corrected(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	for k, i := range idx {
		n := b.factorOf(fs[i])
		if n == 0 {
			continue
		}
		for l, j := range idx {
			if l == k || !b.timesAll(t, fs[i], fs[j], n) {
				continue
			}
			fs[i].Head.Unit.Times = 0
			for _, p := range spare(fs[i]) {
				fs[i].spent = append(fs[i].spent, p.Text)
			}
			fs[j].key = jartest.Slug(fs[j].Head.Text)
			b.say(note.Info, "factor-applied", fs[i].Place, "column %q is %s times column %q in every jar: its factor was applied, and it is taken for %s", fs[i].Head.Text, trimFloat(n), fs[j].Head.Text, key.Info().Label)
			return append(append([]int(nil), idx[:l]...), idx[l+1:]...)
		}
	}
	return idx
}

// factorOf gives the factor that stands in a heading; 0 for none.
func (b *bench) factorOf(f field) float64 {
	if n := f.Head.Unit.Times; n > 0 && n != 1 {
		return n
	}
	for _, p := range spare(f) {
		if n, ok := timesDiluted(p.Text[lastBlank(p.Text):], layout.DecimalPoint); p.Factor() && ok {
			return n
		}
	}
	return 0
}

// lastBlank is where the last word of a text begins.
func lastBlank(s string) int {
	for i := len(s); i > 0; i-- {
		if s[i-1] == ' ' {
			return i
		}
	}
	return 0
}

// timesAll reports a column that is n times another in every jar, and in two at least. A meter
// shows a hundredth of its readings.
func (b *bench) timesAll(t *layout.Table, f, of field, n float64) bool {
	both := 0
	for _, r := range t.Rows {
		x, y := layout.ParseValue(t.View.At(r, f.C), b.dec(t)), layout.ParseValue(t.View.At(r, of.C), b.dec(t))
		if !x.OK() || !y.OK() {
			continue
		}
		if both++; math.Abs(x.Num-n*y.Num) > 0.01*math.Abs(x.Num) {
			return false
		}
	}
	return both > 1
}
