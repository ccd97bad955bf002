// Package clearing judges a unit by how it clears a tank: readings of the tank, or of the unit's inlet and outlet, while the
// unit runs. Of a mixed tank of volume V, through whose unit a flow Q goes round,
//
//	C(t) = F + (C0 − F)·exp(−k·t),  k = E·Q/V
//
// so that the rate k tells the capture per pass E, and the floor F what never comes out: what a pass cannot take, f, and
// what comes in all the while, s, together f + s/k. The errors of turbidity and of solids are proportional, so the course
// is fitted to logarithms, and every interval is that of a profile (see course.go). Nothing here knows of sites.
package clearing

import (
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Sure is the confidence of every interval of one run, SureOfDifference that with which two runs are told apart: what
// is bought and dosed hangs on it.
const (
	Sure             quantity.Fraction = 0.90
	SureOfDifference quantity.Fraction = 0.95
)

// Trial is what a file holds: one run or several, on one tank.
type Trial struct {
	Name string
	Runs []Run
	// Goal is the reading to be cleared to, where the file says one.
	Goal quantity.Known[float64]
	// Written are its volumes and flows as the file has them, with their units.
	Written []string
	Notes   note.List
}

// Run is one run: what was read, and what was set while it was.
type Run struct {
	Name string
	// Named is true where the file names it.
	Named bool
	At    note.Place
	// Key is what is read: turbidity, suspended solids, or mL/L in a settling cone.
	Key      jartest.Key
	Readings []Reading
	// Below are readings of the tank that say only that it read less, such as "< 5". They are not fitted; the course is held against them.
	Below []Below
	// Flows are flow and volume of its rows, where they differ; Settings then has their means.
	Flows []FlowAt
	// Remarks are what stands beside its rows.
	Remarks []Remark
	Settings
	// Bin is what came off, where it was weighed.
	Bin   Bin
	Notes note.List
}

// Reading is what was read at a time since the start, of the tank, of the unit's inlet or of its outlet.
type Reading struct {
	At            quantity.Time
	Tank, In, Out quantity.Known[float64]
	// Step is that in which the tank's reading is written, 0.1 of "4.6".
	Step float64
}

// FlowAt is the flow and the volume that stand in a row, by its time since the start. What no row tells is that of the run.
type FlowAt struct {
	At     quantity.Time
	Flow   quantity.Known[quantity.Flow]
	Volume quantity.Known[quantity.Volume]
}

// Remark is what somebody wrote beside a row, by its time since the start where the row has one.
type Remark struct {
	At   quantity.Known[quantity.Time]
	Text string
	// Place is its cell.
	Place note.Place
}

// Below is a limit below which the tank read at a time since the start.
type Below struct {
	At    quantity.Time
	Limit quantity.Known[float64]
}

// Settings are what a run was done with.
type Settings struct {
	Date string
	// Flow and Volume, all water that goes round included, with their standard uncertainties as shares.
	Flow         quantity.Known[quantity.Flow]
	Volume       quantity.Known[quantity.Volume]
	FlowUnsure   quantity.Fraction
	VolumeUnsure quantity.Fraction
	Polymer      quantity.Known[quantity.Concentration]
	Coagulant    quantity.Known[quantity.Concentration]
	// PerUnit is the solids of the water, in mg/L for each unit of the reading, where the file says it.
	PerUnit quantity.Known[float64]
	// CoagulantAs is what its dose counts, where the file says it.
	CoagulantAs quantity.Basis
	Skim        quantity.Known[quantity.Time]
	Temperature quantity.Known[quantity.Temperature]
	// Off is a run with the unit by-passed and the water going round: what the tank does by itself.
	Off bool
	// Raceway is a tank through which the water goes as a plug, turn by turn.
	Raceway bool
}

// Bin is what was weighed of the float or sludge of a run.
type Bin struct {
	Wet      quantity.Known[quantity.Mass]
	DryShare quantity.Known[quantity.Fraction]
	Dry      quantity.Known[quantity.Mass]
	// Made is the dry solids that the chemicals themselves made, where it is known.
	Made quantity.Known[quantity.Mass]
}

// Weighed is the dry solids that the bin holds.
func (b Bin) Weighed() quantity.Known[quantity.Mass] {
	switch {
	case b.Dry.OK:
		return b.Dry
	case b.Wet.OK && b.DryShare.OK:
		return quantity.Some(b.Wet.V * quantity.Mass(b.DryShare.V))
	}
	return quantity.Known[quantity.Mass]{}
}

// Estimate is a figure with the ends of its interval; an end that is not OK is open.
type Estimate[T ~float64] struct {
	V         T
	Low, High quantity.Known[T]
}

// Bounded reports that both ends are known.
func (e Estimate[T]) Bounded() bool { return e.Low.OK && e.High.OK }

// Outcome says what the readings of a run can tell.
type Outcome string

const (
	// Found: the capture with its interval, and what never comes out with its own.
	Found Outcome = "found"
	// FloorUnknown: the run ended before its floor was seen, so that the capture may be higher than it looks.
	FloorUnknown Outcome = "floor-unknown"
	// NotMixed: the tank clears faster than a mixed one can, so only a lower bound is told.
	NotMixed Outcome = "not-mixed"
	// Pairs: the capture of single passes, by the inlet and the outlet.
	Pairs Outcome = "pairs"
	// RateOnly: volume or flow are not given, so the rate is told and no capture.
	RateOnly Outcome = "rate-only"
	// Blank: the unit was off; the rate is that at which the tank clears, or grows muddy, by itself.
	Blank Outcome = "blank"
	// TooFew: fewer than four readings, or pairs; a figure from end to end without an interval.
	TooFew Outcome = "too-few"
	// TooShort: the readings fall no more than they scatter.
	TooShort Outcome = "too-short"
	// Rises: they rise.
	Rises Outcome = "rises"
	// SourceGrows: they fall and rise again, since what comes in grew.
	SourceGrows Outcome = "source-grows"
	// WaterAdded: the volume rises while the unit runs, and nobody knows what the water read that came in.
	WaterAdded Outcome = "water-added"
	// StepsUp: they step up in the middle of the run, as where animals are fed: the course is not one.
	StepsUp Outcome = "steps-up"
)

// Step is where readings step up: the time of the first after it, and what was read before and then.
type Step struct {
	At       quantity.Time
	From, To float64
}

// Tells reports an outcome of which a capture comes with an interval.
func (o Outcome) Tells() bool {
	return o == Found || o == FloorUnknown || o == NotMixed || o == Pairs
}
