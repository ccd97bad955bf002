package clearing

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/quantity"
)

// Grouped is two settings beside each other, each of which was run more than once, such as with, without, without, with.
type Grouped struct {
	// A and B are the runs of either setting, of the results.
	A, B []int
	// OfA and OfB are the mean captures of a pass; Points is the first less the second.
	OfA, OfB quantity.Fraction
	Points   Estimate[quantity.Fraction]
	Verdict  Verdict
	Differs  []Differs
	// Confounded is true where one setting was run before the other, each time.
	Confounded bool
	// Apart is true where runs of one setting differ by more than their readings scatter, which widened the interval.
	Apart bool
}

// fewestOfGroup is how many runs of a setting make a group.
const fewestOfGroup = 2

// groups are the settings that were run more than once, each held against the others.
func groups(list []Result) (out []Grouped) {
	var sets [][]int
	for i, x := range list {
		if x.Off || !x.Outcome.Tells() {
			continue
		}
		like := func(s []int) bool { return list[s[0]].chosen() == x.chosen() && list[s[0]].Key == x.Key }
		if k := slices.IndexFunc(sets, like); k >= 0 {
			sets[k] = append(sets[k], i)
		} else {
			sets = append(sets, []int{i})
		}
	}
	sets = slices.DeleteFunc(sets, func(s []int) bool { return len(s) < fewestOfGroup })
	for i, a := range sets {
		for _, b := range sets[i+1:] {
			if list[a[0]].Key == list[b[0]].Key {
				out = append(out, grouped(list, a, b))
			}
		}
	}
	return out
}

// grouped holds two groups of runs against each other. Each run counts the same, so that what goes on evenly from run to run falls out
// of the mean of with, without, without, with. The ends are those of each run's own interval, put together as for two runs (Zou and
// Donner); where runs of one setting differ by more than that, by the ratio of the sum of squares to its degrees of freedom (Birge
// 1932, Physical Review 40:207, from memory), and with the t of as many runs as tell that part of it (Satterthwaite 1946, Biometrics Bulletin 2:110, from memory).
func grouped(list []Result, a, b []int) (g Grouped) {
	g = Grouped{A: a, B: b, Differs: differs(list[a[0]], list[b[0]]), Confounded: confounded(list, a[0], b[0])}
	x, y := middle(list, a), middle(list, b)
	squares, between := x.squares+y.squares, len(a)+len(b)-2
	wide, within := 1.0, float64(x.df+y.df)
	if over := squares / float64(between); over > 1 {
		g.Apart = distuv.F{D1: float64(between), D2: within}.Survival(over) < alike
		df := over * over / (1/within + (over-1)*(over-1)/float64(between))
		wide = math.Sqrt(over) * quantile(math.Min(df, within)) / quantile(within)
	}
	d := x.at - y.at
	bound := func(v float64) quantity.Known[quantity.Fraction] {
		return quantity.Some(quantity.Fraction(math.Min(1, math.Max(-1, v))))
	}
	below, above := ofSettling(list[a[0]], list[b[0]])
	g.OfA, g.OfB = quantity.Fraction(x.at), quantity.Fraction(y.at)
	g.Points = Estimate[quantity.Fraction]{V: quantity.Fraction(d), Low: bound(d - math.Hypot(wide*math.Hypot(x.below, y.above), below)), High: bound(d + math.Hypot(wide*math.Hypot(x.above, y.below), above))}
	g.Verdict = verdictOf(g.Points)
	return g
}

// quantile is Student's t of a difference.
func quantile(df float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 + float64(SureOfDifference)) / 2)
}

// mean is that of the captures of a group, with half its interval either way; squares is by how much its runs differ, in their variances.
type mean struct {
	at, below, above, squares float64
	df                        int
}

func middle(list []Result, of []int) (m mean) {
	n := float64(len(of))
	var runs []ranged
	for _, i := range of {
		r := list[i].forDifference(Result{}) // by its own scatter
		runs = append(runs, r)
		m.at += r.at / n
		m.below = math.Hypot(m.below, (r.at-r.low)/n)
		m.above = math.Hypot(m.above, (r.high-r.at)/n)
	}
	for k, i := range of {
		df := list[i].freedom()
		m.df += df
		sd := (runs[k].high - runs[k].low) / 2 / quantile(float64(df))
		m.squares += (runs[k].at - m.at) * (runs[k].at - m.at) / (sd * sd)
	}
	return m
}
