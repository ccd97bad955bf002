package curve

import (
	"math"
	"slices"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// optimumModels are the models against pH.
func (a *analysis) optimumModels(p *prepared) []engine.Model {
	if !p.Scale.Log() {
		return []engine.Model{engine.Bent()}
	}
	return engine.OptimumModels()
}

// optimum answers for a series at one dose and several pH: where the reading is
// best, with an interval, and between which pH the target is met.
func (a *analysis) optimum() {
	r := a.r
	g := a.goals[0]
	p := a.ready[g.key]
	r.Response = g.key
	all, exact := p.distinct()
	r.TestedLow, r.TestedHigh = testedRange(p)
	if all < fewestDoses || exact < fewestExact {
		r.Outcome = TooFewJars
		a.bare(p)
		r.Notes.Add(note.New(note.Caution, "too-few-jars", "only %d different pH have a reading of %s that can be used; a curve needs %d", all, g.key.Info().Label, fewestDoses).
			At(a.s.Place).Do("run six jars over a wider range of pH"))
		return
	}
	lowest, span := float64(r.TestedLow), float64(r.TestedHigh-r.TestedLow)
	c := a.fit(p, a.optimumModels(p), lowest, span)
	a.best(p, c, a.mid[g.key])
	high := a.highIsBest(p)
	at := make([]float64, len(c.F))
	for k, row := range c.F {
		b := 0
		for j, v := range row {
			if v < row[b] != high && v != row[b] {
				b = j
			}
		}
		at[k] = lowest + span*vertex(c.U, row, b)
	}
	levels := g.thresholds(c, p, a.e)
	margin := make([]float64, len(c.U))
	hits := make([]int, len(c.U))
	for k := range c.F {
		g.margins(c, p, k, levels[k], margin)
		for j, m := range margin {
			if m <= 0 {
				hits[j]++
			}
		}
	}
	for j, u := range c.U {
		r.grid = append(r.grid, lowest+span*u)
		r.met = append(r.met, float64(hits[j])/float64(len(c.F)))
	}
	a.lowestPassing()
	sortFloats(at)
	r.Optimum = Interval{Value: r.Best.Dose, Confidence: engine.IntervalConfidence}
	best := float64(r.Best.Dose) // of the middle curve, which need not be the middle of the bests
	lo := math.Min(engine.Quantile(at, (1-engine.IntervalConfidence)/2), best)
	hi := math.Max(engine.Quantile(at, (1+engine.IntervalConfidence)/2), best)
	if lo > lowest+1e-9*span {
		r.Optimum.Low, r.Optimum.HasLow = quantity.Concentration(lo), true
	}
	if hi < lowest+span*(1-1e-9) {
		r.Optimum.High, r.Optimum.HasHigh = quantity.Concentration(hi), true
	}
	surest := slices.Max(r.met)
	switch {
	case surest >= 0.5 && (r.Optimum.HasLow || r.Optimum.HasHigh):
		r.Outcome = Found
	case surest >= 0.5:
		r.Outcome = Ambiguous
		r.Notes.Add(note.New(note.Caution, "cannot-tell", "the best pH may lie anywhere in the tested range").At(a.s.Place).Do("test more pH values, or two jars at each"))
	case !r.Optimum.HasLow || !r.Optimum.HasHigh:
		r.Outcome = StillImproving
		r.Notes.Add(note.New(note.Caution, "still-improving", "the target is not met at any pH tested, and the best lies at the end of the range").At(a.s.Place).Do("test beyond pH %s", quantity.Full(quantity.Number(r.Best.Dose), 3)))
	default:
		r.Outcome = NotReached
		r.Notes.Add(note.New(note.Caution, "not-reached", "no pH in the tested range meets the target; the best fitted reading is %s at pH %s", quantity.Full(quantity.Number(r.Best.Reading), 3), quantity.Full(quantity.Number(r.Best.Dose), 3)).
			At(a.s.Place).Do("try other doses or another chemical"))
	}
	r.Notes.Add(note.New(note.Info, "ph-series", "the dose is the same in all jars and the pH differs: the answer is the best pH, not a dose").At(a.s.Place))
}
