package sheet

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// A column that is in every jar what a statistic of the repeats beside it comes to is that
// statistic, whatever its heading calls it: numbers decide before words.

// statistics of repeats, each of at least two.
var statistics = []struct {
	name string
	of   func(xs []float64) float64
}{
	{"mean", layout.Mean},
	{"standard deviation", func(xs []float64) float64 { return stat.StdDev(xs, nil) }},
	{"standard deviation", func(xs []float64) float64 { return stat.PopStdDev(xs, nil) }},
	{"standard error", func(xs []float64) float64 { return stat.StdErr(stat.StdDev(xs, nil), float64(len(xs))) }},
	{"range", func(xs []float64) float64 { return slices.Max(xs) - slices.Min(xs) }},
	{"variation", func(xs []float64) float64 { return 100 * stat.StdDev(xs, nil) / layout.Mean(xs) }},
}

// fewestAlike is in how many jars a number must be a statistic of its repeats before it is no chance,
// and mostOfStep the share of a number that the last place it is written to may be; own choice.
const (
	fewestAlike = 3
	mostOfStep  = 0.5
)

// statistic names what a column is of the repeats beside it, "" where it is none.
func (e *evidence) statistic() string {
	if e.Head.Said || e.Head.Stat != "" || e.numbers < fewestAlike {
		return ""
	}
	for _, repeats := range e.repeatsBeside() {
		for _, s := range statistics {
			if e.is(s.of, repeats) {
				return s.name
			}
		}
	}
	return ""
}

// repeatsBeside gives the columns of one reading that stand beside column i, for each reading that has
// several.
func (e *evidence) repeatsBeside() [][]int {
	var out [][]int
	for j, f := range e.fs {
		if j == e.i || !readsAs(f) || f.Head.Reading == e.Head.Reading { // three close repeats are means of each other
			continue
		}
		k := slices.IndexFunc(out, func(idx []int) bool {
			o := e.fs[idx[0]]
			return o.Head.Reading == f.Head.Reading && o.Head.Stage == f.Head.Stage && o.Head.Removal == f.Head.Removal
		})
		if k < 0 {
			out = append(out, []int{j})
			continue
		}
		out[k] = append(out[k], j)
	}
	return slices.DeleteFunc(out, func(idx []int) bool { return len(idx) < 2 })
}

// readsAs reports a column of single readings of a kind that is known.
func readsAs(f field) bool {
	return f.role == asReading && f.Head.Reading != "" && f.Head.Stat == "" && f.numbers > 0
}

// is reports that the column is a statistic of the repeats in every jar, to the digits that are
// written.
func (e *evidence) is(of func([]float64) float64, repeats []int) bool {
	alike, telling := 0, 0
	for _, r := range e.t.Rows {
		own := layout.ParseValue(e.t.View.At(r, e.C), e.b.dec(e.t))
		var xs []float64
		for _, j := range repeats {
			if v := layout.ParseValue(e.t.View.At(r, e.fs[j].C), e.b.dec(e.t)); v.OK() {
				xs = append(xs, v.Num)
			}
		}
		if !own.OK() || len(xs) < len(repeats) {
			continue
		}
		half := step(own.Text) / 2
		if math.Abs(of(xs)-own.Num) > half*1.000001+1e-9*math.Abs(own.Num) {
			return false
		}
		alike++
		if slices.Max(xs) > slices.Min(xs) && half <= mostOfStep*math.Abs(own.Num) {
			telling++
		}
	}
	return alike >= fewestAlike && telling >= cmp.Or(min(fewestAlike, alike-1), 1)
}

func leftStatistic(e *evidence) {
	e.b.say(note.Info, "statistic-left-out", e.Place, "column %q is the %s of the repeats beside it and was left out", e.Head.Text, e.statistic())
}
