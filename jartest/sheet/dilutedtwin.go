package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// byDilution leaves out what a meter read of diluted samples where another column gives the same a
// constant number of times over: that is the reading of the jar, and a factor in its heading was applied.
func (b *bench) byDilution(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	for _, i := range idx {
		for _, o := range idx {
			times, ok := b.timesOver(t, fs[i].C, fs[o].C)
			if !ok || o == i || ofDiluted(fs[o]) && !corrected(fs[o]) {
				continue
			}
			var spent []string
			by := false // the heading says that its numbers are as many times corrected
			for _, p := range spare(fs[o]) {
				n, _ := strconv.ParseFloat(strings.TrimLeft(p.Text, "x×*. "), 64)
				factor := p.Concept == layout.SaysNumber && math.Abs(n-times) < 0.02*times
				by = by || factor
				if factor || spoken()["corrected"].has(p.Text) || p.Concept == "dilution" {
					spent = append(spent, p.Text, p.Concept)
				}
			}
			if !by && !ofDiluted(fs[i]) {
				continue
			}
			fs[o].spent = append(fs[o].spent, spent...)
			fs[i].role = asIgnored
			level := note.Caution
			if by {
				level = note.Info
			}
			b.say(level, "diluted-reading", fs[i].Place, "column %q is of diluted samples: column %q gives %s times as much in every jar, and is taken for %s", fs[i].Head.Text, fs[o].Head.Text, trimFloat(math.Round(times*100)/100), key.Info().Label)
			return b.byDilution(t, fs, key, slices.DeleteFunc(slices.Clone(idx), func(k int) bool { return k == i }))
		}
	}
	return idx
}

// ofDiluted reports a heading of what was read of diluted samples.
func ofDiluted(f field) bool {
	return f.Head.Dilution || diluting.Of(f.Head.Text, func(text string) bool { return dilutionWord.MatchString(words.Fold(text)) })
}

// diluting remembers which headings speak of a dilution: each series of a table asks once more.
var diluting words.Memory[string, bool]

// corrected reports a heading that says its numbers are corrected.
func corrected(f field) bool { return spoken()["corrected"].in(words.Fold(f.Head.Text)) }

// timesOver gives how many times the numbers of a column another has, where that is one number within 2 %
// and more than 1.
func (b *bench) timesOver(t *layout.Table, of, other int) (float64, bool) {
	var all []float64
	for _, r := range t.Rows {
		x, y := layout.ParseValue(t.View.At(r, of), b.dec(t)), layout.ParseValue(t.View.At(r, other), b.dec(t))
		if x.OK() && y.OK() && x.Num > 0 {
			all = append(all, y.Num/x.Num)
		}
	}
	if len(all) < 3 {
		return 0, false
	}
	slices.Sort(all)
	middle := all[len(all)/2]
	return middle, middle > 1.2 && all[0] > 0.98*middle && all[len(all)-1] < 1.02*middle
}
