package clearing

import (
	"math"
	"slices"

	"jarwright/jartest/quantity"
)

// Entry is what a site is told of a trial, under Solids.
type Entry struct {
	// Run is the result that it comes from.
	Run int
	// Capture is "solids caught", Low its lower end, for those who would be on the safe side.
	Capture quantity.Fraction
	Low     quantity.Known[quantity.Fraction]
	// Bare is "caught undosed": the capture of a run without chemicals beside one with.
	Bare quantity.Known[quantity.Fraction]
	// Floor is "outlet at best", Rise "turbidity coming in", by the hour.
	Floor quantity.Known[float64]
	Rise  quantity.Known[float64]
	// Together is true where what comes in stands in Floor, since one flow does not tell the two apart.
	Together bool
}

// Enter gives what to put into the site: of the runs with chemicals, or of all where none has any, the one that clears a tank
// soonest, which of runs at one flow is the one that takes out most at a pass. Where only a lower end is told it is that; what is no
// sure lower end, as of a tank that cannot be mixed, is not offered.
func (j Judged) Enter() (e Entry, ok bool) {
	any := j.someDosed()
	for i, x := range j.Results {
		if !x.Offered() {
			continue
		}
		if !x.dosed() && any {
			if x.undosed() && !e.Bare.OK || x.undosed() && x.Capture.V > e.Bare.V {
				e.Bare = quantity.Some(x.Capture.V)
			}
			continue
		}
		if !ok || x.sooner(j.Results[e.Run]) {
			e.Run, e.Capture, e.Low, ok = i, x.Capture.V, x.Capture.Low, true
			if x.Outcome == FloorUnknown {
				e.Capture = x.Capture.Low.V
			}
		}
	}
	if !ok {
		return e, false
	}
	x := j.Results[e.Run]
	switch {
	case x.Outcome == Found && j.Source.OK:
		e.Floor, e.Rise = quantity.Some(j.Source.V.Bare.V), quantity.Some(j.Source.V.Rise.V)
		if !j.Source.V.Shown() {
			e.Floor, e.Rise = quantity.Some(x.Floor.V), quantity.Known[float64]{}
		}
	case x.Outcome == Found:
		e.Floor, e.Together = quantity.Some(x.Floor.V), true
	case x.Outcome == Pairs && x.OfPairs.V.Split:
		e.Floor = quantity.Some(x.OfPairs.V.Floor.V)
	}
	e.Floor.V = math.Max(0, e.Floor.V)
	return e, true
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

// sooner reports a run that clears more water in an hour than another, or takes out more at a pass where no flow is known.
func (x Result) sooner(y Result) bool {
	if x.Cleared.V > 0 && y.Cleared.V > 0 {
		return x.Cleared.V > y.Cleared.V
	}
	return x.Capture.V > y.Capture.V
}
