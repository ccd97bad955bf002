package surface

import (
	"cmp"
	"jarwright/jartest/engine"
	"math"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limit is a condition that a pair must keep beside the targets, such as a least
// alkalinity left or a ceiling on the polymer for the animals.
type Limit struct {
	// Says names it for people: "alkalinity left at least 50 mg/L CaCO3".
	Says string
	// Keeps reports that a pair keeps it.
	Keeps func(Pair) bool
}

// Options of an analysis. The zero value is the default: no prices, no limits.
type Options struct {
	// Scatter replaces the expected scatter between jars.
	Scatter *curve.Scatter
	// Sure is the confidence with which a pair to plan with must meet the targets; zero is
	// [engine.PlanningConfidence].
	Sure quantity.Fraction
	// PricePerKg is what one kilogram of each chemical costs, on the basis that
	// its dose counts. A currency left empty means that no price is known. For pH
	// as second factor the second price is not used.
	PricePerKg [2]quantity.Money
	// NotUsed tells that prices were given of all that lacks one, and could not be used.
	NotUsed bool
	// Further is what a pair costs beside its chemicals, per 1000 m3 of water, such
	// as alkali to restore and solids to carry away; nil for nothing.
	Further func(Pair) quantity.Money
	// Beside lists what a pair needs beside its chemicals, whether a price of it is known or not; nil for nothing.
	Beside func(Pair) []Beside
	Limits []Limit
	// Left is what a pair leaves in the water that can harm, for the pair of least
	// residual; nil for the dose of the second chemical, all of which may stay in the
	// water (of the first where the second factor is pH).
	Left func(Pair) quantity.Concentration
}

// Purpose is what something beside a pair is for.
type Purpose string

const (
	// SetsPH: it brings the jar's water to the pH that it was set to.
	SetsPH Purpose = "sets the pH"
	// Restores: it gives back the alkalinity that is to be left, once the floc is out.
	Restores Purpose = "restores alkalinity"
)

// Beside is what a pair needs beside its chemicals, such as the acid that brings its jar to its pH.
type Beside struct {
	Name string
	For  Purpose
	Dose quantity.Dose
	// Cost is per 1000 m3 of water; its currency is empty where no price is known.
	Cost quantity.Money
	// Taken is true where nobody named it.
	Taken bool
}

// Choice is a pair with what is known of it.
type Choice struct {
	Pair Pair
	// Fit is the fitted reading of the binding target, Confidence the chance that the targets are met.
	Fit        float64
	Confidence quantity.Fraction
	// Cost is per 1000 m3 of water treated; its currency is empty where prices are missing.
	Cost quantity.Money
	// Beside is what it needs beside its chemicals.
	Beside []Beside
}

// Slice is the dose of the first factor that is needed at one level of the second.
type Slice struct {
	Level  float64 // mg/L, or pH
	Tested bool
	// Effective is the lowest dose that meets the targets there, Reached false
	// where none within the tested region does.
	Effective curve.Interval
	Reached   bool
	// Planning is the dose at planning confidence.
	Planning    quantity.Concentration
	HasPlanning bool
	// Curve is the fitted reading against the first factor at this level.
	Curve []curve.Point
}

// Verdict says what the second chemical is worth.
type Verdict string

const (
	// Pays: the pair is cheaper than the first chemical alone, or lowers the dose needed of it.
	Pays Verdict = "pays"
	// AddsNothing: it does not.
	AddsNothing Verdict = "adds nothing"
	// CannotTell: these jars do not settle it.
	CannotTell Verdict = "cannot tell"
	// Needed: the first chemical alone does not meet the target within the tested doses.
	Needed Verdict = "needed"
	// NotCompared: no jar has the first chemical alone, or the second factor is pH.
	NotCompared Verdict = "not compared"
)

// Saving is what the pair saves against the first chemical alone.
type Saving struct {
	Verdict Verdict
	// Alone is the planning choice without the second chemical.
	Alone    Choice
	HasAlone bool
	// Share is the saving of cost (without prices: of the first chemical's dose),
	// as the median and the 90 % interval of equally likely surfaces. Has is false
	// where there is nothing to compare; HasHigh is false where the first chemical
	// alone may not meet the target at all, so that the saving has no upper end.
	Share, Low, High quantity.Fraction
	Has, HasHigh     bool
	// OfCost is true where prices were known.
	OfCost bool
	// Chance is the chance that there is a saving at all.
	Chance quantity.Fraction
	// BreakEven is how many times dearer per kg than the first the second may be before the pair costs
	// more than the first alone; zero where it cannot be told.
	BreakEven float64
}

// Grid is the surface at even steps over the tested range, for pictures. Z[j][i]
// belongs to First[i], Second[j]; a crossing outside the tested region holds NaN.
type Grid struct {
	First, Second   []float64
	Fit, Confidence [][]float64
}

// ModelWeight is one model's share of the answer.
type ModelWeight struct {
	Name   string
	Weight float64
	// Params are the fitted parameters, none for the interpolation. They belong to
	// factors scaled as [Result.Scaling] tells; depths, rates and doses are kept as
	// logarithms and floors as logits, as their names say.
	Params []Param
}

// Param is a fitted parameter.
type Param struct {
	Name  string
	Value float64
}

// Scaling tells how the factors were scaled for the models: the first by First;
// the second less Origin and by Second. Units are those of the factors.
type Scaling struct{ First, Origin, Second float64 }

// Asked is the confidence that is asked of a pair to plan with.
func (r Result) Asked() quantity.Fraction { return cmp.Or(r.opt.Sure, engine.PlanningConfidence) }

// Scaling of the factors in this series.
func (r Result) Scaling() Scaling {
	return Scaling{First: r.design.scale.x, Origin: r.design.scale.y0, Second: r.design.scale.y}
}

// Result is the answer for one series.
type Result struct {
	Series        string
	Place         note.Place
	Sample        jartest.Sample
	Response      jartest.Key
	Targets       []jartest.Target
	Binding       int // index of the target that is hardest to meet
	Reference     curve.Reference
	Scale         string
	First, Second Factor
	Design        Kind
	Outcome       curve.Outcome

	// Estimate is the cheapest pair at which the targets are met as likely as not.
	Estimate    Choice
	HasEstimate bool
	// Planning is the cheapest pair that meets them with planning confidence.
	Planning    Choice
	HasPlanning bool
	Rule        string
	// LeastLeft is the pair that leaves least in the water of those with planning confidence.
	LeastLeft    Choice
	HasLeastLeft bool
	// Clearest is the pair with the best fitted reading.
	Clearest Choice
	// LowestPassing is the cheapest jar that met the binding target.
	LowestPassing    JarUse
	HasLowestPassing bool
	Saving           Saving
	Slices           []Slice
	// Curve is the fitted reading against the first factor at the planning pair's (else the clearest pair's) second level.
	Curve []curve.Point
	Jars  []JarUse
	// Hull is the border of the tested region.
	Hull []Pair
	// OnlyLevelsFirst and OnlyLevelsSecond tell that between the levels of that
	// factor nothing may be advised, since two levels show no curve.
	OnlyLevelsFirst, OnlyLevelsSecond bool
	Grid                              Grid
	Models                            []ModelWeight
	// Scatter is the standard deviation of a jar about the surface: a share where
	// the scale is logarithmic, else in the key's unit.
	Scatter  float64
	Relative bool
	Limits   []string
	Method   []string
	// Lacks is what the series lacks of a good jar test, none of which forbids the answer.
	Lacks note.List
	Notes note.List

	design    design
	region    engine.Region
	responses []response
	met       *engine.Joint // where every target is met
	opt       Options
	// apart are the pairs that opposed targets need or allow; worse is true where the best
	// stands at the lowest dose of the first and fails.
	apart []Pair
	worse bool
	// known keeps confidences while the searches run, since all begin at the same crossings.
	known map[engine.Point]float64
}

// Quantile gives the dose of the first factor at which the targets are met with
// chance p, at the planning pair's level of the second (the estimate's where
// there is no planning pair); false where the tested region has none.
func (r Result) Quantile(p float64) (quantity.Concentration, bool) {
	if !r.HasEstimate {
		return 0, false
	}
	at := r.Estimate.Pair
	if r.HasPlanning {
		at = r.Planning.Pair
	}
	sr := search{region: r.region, cost: func(q engine.Point) float64 { return q.X }, ok: func(q engine.Point) bool { return r.confidence(q) >= p }}
	f := sr.row(r.design.point(at).Y, math.Inf(-1), math.Inf(1), cellsFirst)
	return r.design.pair(f.at).First, !math.IsInf(f.cost, 1)
}

// Goal is the reading of the binding target's key at which that target is just
// met, in its unit: the target line of the surface.
func (r Result) Goal() float64 {
	if len(r.responses) == 0 {
		return math.NaN()
	}
	b := &r.responses[r.Binding]
	return b.Scale.Reading(b.goal)
}

// words names a pair for people.
func (r *Result) words(p Pair) note.Phrase {
	if r.Second.PH {
		return note.Say("%s %s at pH %s", p.First, r.First.Name, quantity.Full(quantity.Number(p.PH), 2))
	}
	return note.Say("%s %s with %s %s", p.First, r.First.Name, p.Second, r.Second.Name)
}

// Words names a pair of this series for people, such as "20 mg/L alum with 0.3 mg/L polymer".
func (r Result) Words(p Pair) string { return r.fitted(p).String() }

// fitted names a pair that no jar stood at, to as many digits as mean anything.
func (r *Result) fitted(p Pair) note.Phrase {
	p.First = quantity.Concentration(quantity.RoundSig(float64(p.First), 3))
	p.Second = quantity.Concentration(quantity.RoundSig(float64(p.Second), 2))
	return r.words(p)
}
