package clearing

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Setting is the runs of one setting together.
type Setting struct {
	// Runs are those of the results that may be offered to a site.
	Runs []int
	// Capture is the mean of theirs.
	Capture Estimate[quantity.Fraction]
}

// settings are the runs that may be offered, those of one setting together. Runs that are shown to differ are not put together, whatever is told of them.
func (j Judged) settings() (out []Setting) {
	for i, x := range j.Results {
		if !x.Offered() {
			continue
		}
		like := func(s Setting) bool {
			return x.Outcome != FloorUnknown && !slices.ContainsFunc(s.Runs, func(k int) bool {
				y := j.Results[k]
				return !alikeBut(x, y) || y.Outcome == FloorUnknown || shownApart(x, y)
			})
		}
		if k := slices.IndexFunc(out, like); k >= 0 {
			out[k].Runs = append(out[k].Runs, i)
		} else {
			out = append(out, Setting{Runs: []int{i}})
		}
	}
	for i := range out {
		out[i].Capture = j.together(out[i].Runs)
	}
	return out
}

// alikeBut reports runs of which nothing that was chosen tells one from the other.
func alikeBut(x, y Result) bool { return x.chosen() == y.chosen() && x.Key == y.Key }

// shownApart reports runs whose captures are shown to differ.
func shownApart(x, y Result) bool {
	v := compare(x, y).Verdict
	return v == More || v == Less
}

// Unexplained are pairs of runs, the one that takes out more first, that are shown to differ though nothing that was chosen tells them apart.
func (j Judged) Unexplained() (out [][2]int) {
	for a, x := range j.Results {
		for b := a + 1; b < len(j.Results); b++ {
			if y := j.Results[b]; x.Offered() && y.Offered() && alikeBut(x, y) && shownApart(x, y) {
				pair := [2]int{a, b}
				if y.Capture.V > x.Capture.V {
					pair = [2]int{b, a}
				}
				out = append(out, pair)
			}
		}
	}
	return out
}

// outdone reports a setting beside which another, of which nothing that was chosen tells it, takes out less: the next run may be as that was.
func (j Judged) outdone(s Setting, all []Setting) bool {
	x := j.Results[s.Runs[0]]
	return slices.ContainsFunc(all, func(t Setting) bool {
		y := j.Results[t.Runs[0]]
		return t.Capture.V < s.Capture.V && alikeBut(x, y) && shownApart(x, y)
	})
}

// askUnexplained tells of them, and of what else was not the same.
func (j *Judged) askUnexplained() {
	for _, pair := range j.Unexplained() {
		x, y := j.Results[pair[0]], j.Results[pair[1]]
		was := "dose, flow, skimming, what came in, where the tank was read"
		for _, d := range differs(x, y) {
			switch d {
			case ByStart:
				was = "the water, which did not start as muddy; " + was
			case ByWarmth:
				was = "the water, which was not as warm; " + was
			}
		}
		j.Notes.Add(note.New(note.Caution, "repeats-differ", "%s and %s are told as one setting, and are shown to differ: a pass takes out %s and %s. They are not put together, and the lower goes into the site", x.Name, y.Name,
			quantity.To(x.Capture.V, 2), quantity.To(y.Capture.V, 2)).At(y.At).Do("find what else was not the same (%s), and write it beside each run", was))
	}
}

// together is the mean of the captures of runs of one setting. What each run tells by itself is put together as that of independent
// readings, widened where the runs differ by more than that as in [grouped]; what they share, the doubt of volume, flow and of
// what settles, does not grow less by repeating.
func (j Judged) together(runs []int) (e Estimate[quantity.Fraction]) {
	first := j.Results[runs[0]].Capture
	if len(runs) == 1 {
		return first
	}
	m, n := middle(j.Results, runs), float64(len(runs))
	t := func(df float64) float64 {
		return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile((1 + float64(Sure)) / 2)
	}
	wide := t(float64(m.df)) / quantile(float64(m.df)) // of the ends of a difference
	if over := m.squares / (n - 1); over > 1 {
		within := float64(m.df)
		df := over * over / (1/within + (over-1)*(over-1)/(n-1)) // as of [grouped]
		wide *= math.Sqrt(over) * t(math.Min(df, within)) / t(within)
	}
	at, sharedBelow, sharedAbove := 0.0, 0.0, 0.0
	for _, i := range runs {
		x := j.Results[i]
		own, free := x.Capture, x.forDifference(Result{})
		scale := t(float64(x.freedom())) / quantile(float64(x.freedom()))
		shared := func(whole, alone float64) float64 { return math.Sqrt(math.Max(0, whole*whole-alone*alone)) }
		at += float64(own.V) / n
		sharedBelow += shared(float64(own.V-own.Low.V), scale*(free.at-free.low)) / n
		sharedAbove += shared(float64(own.High.V-own.V), scale*(free.high-free.at)) / n
	}
	bound := func(v float64) quantity.Known[quantity.Fraction] {
		return quantity.Some(quantity.Fraction(math.Min(1, math.Max(0, v))))
	}
	return Estimate[quantity.Fraction]{V: quantity.Fraction(at), Low: bound(at - math.Hypot(wide*m.below, sharedBelow)), High: bound(at + math.Hypot(wide*m.above, sharedAbove))}
}

// freedom is how many readings more than parameters tell a run's scatter.
func (x Result) freedom() int {
	if x.Outcome == Pairs {
		return x.OfPairs.V.N - 1
	}
	return x.fit.df()
}

// cleared is the mean flow of clear water of the runs of a setting, nothing where one has none.
func (j Judged) cleared(s Setting) (q quantity.Flow) {
	for _, i := range s.Runs {
		if j.Results[i].Cleared.V <= 0 {
			return 0
		}
		q += j.Results[i].Cleared.V / quantity.Flow(len(s.Runs))
	}
	return q
}

// sooner reports a setting that clears more water in an hour than another, or takes out more at a pass where no flow is known.
func (j Judged) sooner(s, than Setting) bool {
	if a, b := j.cleared(s), j.cleared(than); a > 0 && b > 0 {
		return a > b
	}
	return s.Capture.V > than.Capture.V
}
