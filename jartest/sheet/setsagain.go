package sheet

import (
	"slices"
	"sort"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Jars whose numbers and doses come again are repeats of them, or the jars of another water. A column can
// tell which; where none does, the readings do, and it is said how they were taken.

// setsAgain gives the runs of jars as series of their own where their readings lie further apart than
// those of one jar, else all of them as one.
func (b *bench) setsAgain(t *layout.Table, fs []field, runs [][]dataRow) (parted bool) {
	if slices.ContainsFunc(fs, func(f field) bool { return b.tellsRuns(t, f, runs) }) {
		return false
	}
	at := runs[1][0].labelAt
	if b.runsApart(t, fs, runs) {
		b.say(note.Caution, "labels-restart", at, "the jar labels begin again at %s with the same doses and other readings; a new series is taken to begin there", at.Cell).
			do(b, "name the test of each jar in a column, or number repeats in one")
		return true
	}
	b.say(note.Caution, "jars-again", at, "the jar labels begin again at %s with the same doses; the jars are taken for repeats of those above", at.Cell).
		do(b, "name the test of each jar in a column if they had another water, or number repeats in one")
	return false
}

// tellsRuns reports a column besides labels, doses and readings that says something else in each run.
func (b *bench) tellsRuns(t *layout.Table, f field, runs [][]dataRow) bool {
	if f.dosed() || f.role == asReading || f.role == asJar {
		return false
	}
	seen := map[string]bool{}
	for _, run := range runs {
		s := words.Fold(b.label(t, run[0].r, f.C))
		if s == "" || seen[s] {
			return false
		}
		seen[s] = true
	}
	return true
}

// runsApart reports a reading that in most of the jars differs by half or more between the runs.
func (b *bench) runsApart(t *layout.Table, fs []field, runs [][]dataRow) bool {
	return slices.ContainsFunc(fs, func(f field) bool {
		if f.role != asReading {
			return false
		}
		read := map[string][]float64{}
		for _, run := range runs {
			for _, d := range run {
				if v := layout.ParseValue(t.View.At(d.r, f.C), b.dec(t)); v.OK() && v.Num > 0 {
					read[words.Fold(d.label)] = append(read[words.Fold(d.label)], v.Num)
				}
			}
		}
		var ratios []float64
		for _, vs := range read {
			if len(vs) > 1 {
				ratios = append(ratios, slices.Max(vs)/slices.Min(vs))
			}
		}
		sort.Float64s(ratios)
		return len(ratios) > 2 && ratios[len(ratios)/2] > mostScatter
	})
}
