package curve

import (
	"cmp"
	"math"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Outcome is the kind of answer. Only Found comes with doses.
type Outcome string

const (
	// Found: the fitted curve meets every target inside the tested range.
	Found Outcome = "found"
	// UntreatedPasses: the control jar meets the targets without any chemical.
	UntreatedPasses Outcome = "untreated-passes"
	// LowestDosePasses: the lowest dose tested meets them already, and there is no control.
	LowestDosePasses Outcome = "lowest-dose-passes"
	// NotReached: no dose in the tested range meets them, and the best lies inside.
	NotReached Outcome = "not-reached"
	// StillImproving: not met yet, and the best jar is the one with the highest dose.
	StillImproving Outcome = "still-improving"
	// NoResponse: the reading does not change with the dose beyond its scatter.
	NoResponse Outcome = "no-response"
	// TooFewJars: fewer than four different doses with a usable reading.
	TooFewJars Outcome = "too-few-jars"
	// Ambiguous: the jars contradict each other, or say nothing about where the dose lies.
	Ambiguous Outcome = "ambiguous"
)

// Interval is a dose with its interval. A bound that the tested range does not
// hold is absent.
type Interval struct {
	Value, Low, High quantity.Concentration
	HasLow, HasHigh  bool
	Confidence       quantity.Fraction
}

// Window is a range of doses. Seen is false where no upper end lies in the tested range.
type Window struct {
	Seen      bool
	Low, High Interval
}

// Point is the fitted curve at one dose: the median curve, and the bounds within
// which 90 % of the curves run. Readings are in the key's unit. In a series
// against pH, Dose holds the pH.
type Point struct {
	Dose           quantity.Concentration
	Fit, Low, High float64
}

// JarUse is a jar as the fit saw it.
type JarUse struct {
	Label string
	Dose  quantity.Concentration
	// Reading is the mean of the jar's repeat readings, in the key's unit; Repeats are
	// they, where there is more than one.
	Reading float64
	Repeats []float64
	// State is Number, or Below or Above where Reading is only a limit, or Missing.
	State jartest.State
	Used  bool
	// Why says why the jar was left out, or what is odd about it.
	Why string
	// Fit is the fitted reading at that dose; Residual is how far the jar lies off
	// in units of the scatter, judged by the fit without it.
	Fit, Residual float64
	// Outlier: the jar lies far from Expected, the reading that the other jars point to.
	Outlier  bool
	Expected float64
	At       note.Place
}

// Fixed is a chemical that was not varied, with its dose.
type Fixed struct {
	Chemical jartest.Chemical
	Dose     quantity.Concentration
}

// Spot is a dose and the fitted reading there. In a series against pH, Dose holds the pH.
type Spot struct {
	Dose    quantity.Concentration
	Reading float64
}

// Gap lies between two neighbouring doses tested: at Low the reading fails, at High it passes.
type Gap struct{ Low, High Spot }

// Overdose tells whether the reading turns up again within the tested range.
type Overdose struct {
	Seen bool
	// From is the dose from which more makes it worse.
	From quantity.Concentration
	// Sure is the share of curves that turn up.
	Sure quantity.Fraction
	// Least is the best of the doses tested, as read; Worse are those above it whose jars are
	// worse by more than the scatter, in rising order.
	Least Spot
	Worse []Spot
	// Passes is true where all of these meet the targets of their reading all the same.
	Passes bool
	// Sour is the lowest of them whose jar is too sour for floc.
	Sour quantity.Known[quantity.Concentration]
}

// ModelWeight is one model as fitted by penalised least squares.
type ModelWeight struct {
	Name, Formula string
	// Weight is its share of the answer; the shares of all models and of the
	// nonparametric fit add up to one. Shares describe; none is the truth.
	Weight float64
	// Params are in the user's units.
	Params []ParamValue
	// RSS is the weighted residual sum of squares on the working scale.
	RSS float64
	// Criterion is AICc with the scatter's prior counted as data (lower is
	// better); beside the weights for comparison only.
	Criterion float64
	// Dose is where this model's own least-squares curve meets the target.
	Dose    quantity.Concentration
	HasDose bool
	// Profile are the bounds of the 90 % profile-likelihood interval of Dose by
	// this model alone; absent bounds lie outside the tested range.
	Profile Interval
	Status  string
}

// ParamValue is a fitted parameter; SE is zero where the jars cannot give one.
type ParamValue struct {
	Name, Meaning, Unit string
	Value, SE           float64
}

// ReadingCurve is the curve of one kind of reading of the series.
type ReadingCurve struct {
	Key   jartest.Key
	Scale string
	Curve []Point
	Jars  []JarUse
	Best  Spot
	// Scatter is the standard deviation of jars about the curve: a share where
	// the scale is logarithmic, else in the key's unit.
	Scatter  float64
	Relative bool
	// AtPlanning is the fitted reading at the planning dose, where there is one.
	AtPlanning *Point
}

// Result is the answer for one series.
type Result struct {
	Series    string
	Place     note.Place
	Sample    jartest.Sample
	Response  jartest.Key
	Chemical  jartest.Chemical
	Targets   []jartest.Target
	Binding   int // index of the target that asks for the highest dose
	Reference Reference
	Outcome   Outcome
	// Factor is "dose", or "ph" for a series at one dose and several pH.
	Factor string
	// Beside is what every jar that counts got of other chemicals: the answer holds beside it.
	Beside []Fixed
	// Optimum is the best value of the factor with its interval, in a series against pH.
	Optimum Interval

	Effective Interval
	// Window are the lowest and the highest dose that meet every target, each with its
	// interval, where the jars show both.
	Window      Window
	Planning    quantity.Dose
	HasPlanning bool
	Rule        string
	// Sure is the confidence that the curve meets every target at the planning dose:
	// that asked, or less where the dose is held at the optimum.
	Sure quantity.Fraction
	// NextJar is the chance that one further jar at the planning dose passes every
	// target: the curve's uncertainty and the scatter of a single jar together. The
	// confidence Sure speaks of the curve's middle alone.
	NextJar quantity.Known[quantity.Fraction]
	// Cliff is the gap between two neighbouring doses tested in which the water falls
	// through the target, where nothing tells the place within it.
	Cliff quantity.Known[Gap]
	// LowestPassing is the lowest tested dose whose jars, as read, meet the targets:
	// its first jar, with the mean reading of all PassingJars at that dose.
	LowestPassing    JarUse
	HasLowestPassing bool
	PassingJars      int
	Best             Spot
	Overdose         Overdose
	// Tested is the range of doses with a usable reading.
	TestedLow, TestedHigh quantity.Concentration

	// Curve, Jars, Scale and Scatter are those of the binding target's reading;
	// Readings holds every reading of the sheet, that one first.
	Curve    []Point
	Jars     []JarUse
	Scale    string
	Scatter  float64
	Relative bool
	Readings []ReadingCurve

	Models []ModelWeight
	// Method says in plain words how the interval was made.
	Method []string
	// Lacks is what the series lacks of a good jar test, none of which forbids the answer.
	Lacks note.List
	Notes note.List

	asked  quantity.Fraction // zero is the usual
	doses  []float64         // sorted lowest effective doses, mg/L, +Inf where none in range
	grid   []float64         // doses, mg/L
	met    []float64         // share of curves that meet every target there
	design *design           // what the next test is planned from
	// apart are the dose that one target allows and the one that another needs, where
	// they oppose each other; worse is true where every dose above the lowest is worse.
	apart [2]float64
	worse bool
}

// Asked is the confidence that is asked of a dose to plan with.
func (r Result) Asked() quantity.Fraction { return cmp.Or(r.asked, engine.PlanningConfidence) }

// Confident writes a confidence.
func Confident(c quantity.Fraction) string { return quantity.Brief(c.In("%"), 3) + " %" }

// Certain is a confidence for a note.
func Certain(c quantity.Fraction) note.Phrase {
	return note.Say("%s %%", quantity.To(quantity.Number(c.In("%")), 3))
}

// Claimed is how sure a claim is, for a note, where that is not as sure as usual.
func Claimed(c quantity.Fraction) note.Phrase {
	if c == engine.PlanningConfidence {
		return note.Phrase{}
	}
	return note.Say(" with %s confidence", Certain(c))
}

// Reference is what removal is counted from.
type Reference struct {
	What  string // "raw water" or "control jar"; "" where no target needs one
	Value float64
	Unit  string
}

// Confidence gives the chance that dose d meets every target, as far as the
// tested range tells: zero outside it.
func (r Result) Confidence(d quantity.Concentration) quantity.Fraction {
	x := float64(d)
	if len(r.grid) == 0 || x < r.grid[0] || x > r.grid[len(r.grid)-1] {
		return 0
	}
	for j := 1; j < len(r.grid); j++ {
		if x <= r.grid[j] {
			t := (x - r.grid[j-1]) / (r.grid[j] - r.grid[j-1])
			return quantity.Fraction(r.met[j-1] + t*(r.met[j]-r.met[j-1]))
		}
	}
	return quantity.Fraction(r.met[0])
}

// Quantile gives the dose that is enough with chance p, the p-quantile of the lowest
// effective dose; false where it lies beyond the tested range. The planning dose is
// Quantile of the confidence asked, unless it is held at the optimum.
func (r Result) Quantile(p float64) (quantity.Concentration, bool) {
	if len(r.doses) == 0 {
		return 0, false
	}
	q := engine.Quantile(r.doses, p)
	return quantity.Concentration(q), !math.IsInf(q, 1) && !math.IsNaN(q)
}

// thin keeps every fourth quantile of the doses, which is plenty to read chances
// off and lets thousands of results stand in memory.
func (r *Result) thin() {
	if len(r.doses) < engine.CloudSize {
		return
	}
	kept := make([]float64, engine.CloudSize/4)
	for i := range kept {
		kept[i] = engine.Quantile(r.doses, (float64(i)+0.5)/float64(len(kept)))
	}
	r.doses = kept
}
