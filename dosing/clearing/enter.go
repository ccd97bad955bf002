package clearing

import (
	"math"
	"slices"

	"jarwright/jartest/quantity"
)

// Entry is what a site is told of a trial, under Solids.
type Entry struct {
	// Run is the result that it comes from, the first of Runs, which are all those of its setting.
	Run  int
	Runs []int
	// Capture is "solids caught", Low its lower end, for those who would be on the safe side, and High the other.
	Capture   quantity.Fraction
	Low, High quantity.Known[quantity.Fraction]
	// Bare is "caught undosed": the capture of a run without chemicals beside one with.
	Bare quantity.Known[quantity.Fraction]
	// Floor is "outlet at best", Rise "turbidity coming in", by the hour.
	Floor quantity.Known[float64]
	Rise  quantity.Known[float64]
	// Unlike is the setting that looked better and is not shown to be: the lower of the two goes into the site.
	Unlike *Setting
	// Others are the other settings, where one of those without chemicals is not told as Bare.
	Others []Setting
	// Together is true where what comes in stands in Floor, since one flow does not tell the two apart.
	Together bool
}

// Enter gives what to put into the site: of the settings with chemicals, or of all where none has any, the one that clears a tank
// soonest, which of those at one flow is the one that takes out most at a pass; of those that are not shown to differ from it the one that takes out least, since the best
// of several looks better than it is; of runs that differ for no reason that is told, the one that takes out least. A setting that was run more than once counts by the mean
// of its runs. Where only a lower end is told it is that; what is no sure lower end, as of a tank that cannot be mixed, is not offered.
func (j Judged) Enter() (e Entry, ok bool) {
	any := j.someDosed()
	var best Setting
	var tried []Setting
	all := j.settings()
	for _, s := range all {
		x := j.Results[s.Runs[0]]
		if j.outdone(s, all) {
			continue
		}
		if !x.dosed() && any {
			if x.undosed() && s.Capture.V > e.Bare.V {
				e.Bare = quantity.Some(s.Capture.V)
			}
			continue
		}
		if tried = append(tried, s); !ok || j.sooner(s, best) {
			best, ok = s, true
		}
	}
	if !ok {
		return e, false
	}
	top := best
	for _, s := range tried {
		if j.entered(s) < j.entered(best) && !j.shownBetter(top, s) {
			best, e.Unlike = s, &top
		}
	}
	for _, s := range all {
		if x := j.Results[s.Runs[0]]; s.Runs[0] != best.Runs[0] && !(any && x.undosed() && e.Bare.OK) && x.Key == j.Results[best.Runs[0]].Key {
			e.Others = append(e.Others, s)
		}
	}
	e.Run, e.Runs, e.Capture, e.Low, e.High = best.Runs[0], best.Runs, best.Capture.V, best.Capture.Low, best.Capture.High
	if j.Results[e.Run].Outcome == FloorUnknown {
		e.Capture = e.Low.V
	}
	x := j.Results[e.Run]
	switch {
	case x.Outcome == Found && j.Source.OK:
		e.Floor, e.Rise = quantity.Some(j.Source.V.Bare.V), quantity.Some(j.Source.V.Rise.V)
		if !j.Source.V.Shown() {
			e.Floor, e.Rise = quantity.Some(j.floorOf(best)), quantity.Known[float64]{}
		}
	case x.Outcome == Found:
		e.Floor, e.Together = quantity.Some(j.floorOf(best)), true
	case x.Outcome == Pairs && x.OfPairs.V.Split:
		e.Floor = quantity.Some(x.OfPairs.V.Floor.V)
	}
	e.Floor.V = math.Max(0, e.Floor.V)
	return e, true
}

// entered is the capture of a setting that a site would get.
func (j Judged) entered(s Setting) quantity.Fraction {
	if j.Results[s.Runs[0]].Outcome == FloorUnknown {
		return s.Capture.Low.V
	}
	return s.Capture.V
}

// shownBetter reports a setting that is shown to take out more at a pass than another, or to clear the tank sooner where their flows differ.
func (j Judged) shownBetter(s, than Setting) bool {
	if len(s.Runs)+len(than.Runs) > 2 {
		return grouped(j.Results, s.Runs, than.Runs).Verdict == More
	}
	c := compare(j.Results[s.Runs[0]], j.Results[than.Runs[0]])
	return c.Verdict == More || slices.Contains(c.Differs, ByFlow) && c.Faster == 0
}

// floorOf is the mean of what never comes out in the runs of a setting that tell it.
func (j Judged) floorOf(s Setting) float64 {
	sum, n := 0.0, 0.0
	for _, i := range s.Runs {
		if x := j.Results[i]; x.Outcome == Found {
			sum, n = sum+x.Floor.V, n+1
		}
	}
	return sum / n
}

// Offered reports a run whose capture may be put into a site.
func (x Result) Offered() bool {
	return x.Outcome.Tells() && x.Outcome != NotMixed && !x.Doubtful && x.Capture.Low.V > 0
}

// dosed reports a run with a chemical; undosed one that says that it had none at all.
func (x Result) dosed() bool { return x.Polymer.V > 0 || x.Coagulant.V > 0 }
func (x Result) undosed() bool {
	return x.Polymer.OK && x.Coagulant.OK && !x.dosed()
}

// someDosed reports a trial of which some run that may be offered had a chemical.
func (j Judged) someDosed() bool {
	return slices.ContainsFunc(j.Results, func(x Result) bool { return x.Offered() && x.dosed() })
}
