package curve

import (
	"math"
	"slices"
	"strings"

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

// optimum answers for a series at one dose and several pH: where the reading that is asked
// about first is best, with an interval, and between which pH all targets are met.
func (a *analysis) optimum() {
	r := a.r
	for _, g := range a.goals {
		p := a.ready[g.key]
		if all, exact := p.distinct(); all < fewestDoses || exact < fewestExact {
			r.Outcome, r.Response = TooFewJars, g.key
			r.Jars, r.Scale = p.jars, p.Name
			a.bare(p)
			r.Notes.Add(note.New(note.Caution, "too-few-jars", "only %d different pH have a reading of %s that can be used; a curve needs %d", all, g.key.Info().Label, fewestDoses).
				At(a.s.Place).Do("run six jars over a wider range of pH"))
			return
		}
	}
	a.cross()
	g := a.goals[0]
	p, c := a.ready[g.key], a.cloud[g.key]
	r.Response, r.Binding = g.key, 0
	r.TestedLow, r.TestedHigh = testedRange(p)
	a.best(p, c, a.mid[g.key])
	a.lowestPassing()
	a.bestPH(p, c)
	surest := slices.Max(r.met)
	switch {
	case surest >= evenChance && (r.Optimum.HasLow || r.Optimum.HasHigh):
		r.Outcome = Found
		a.windowPH()
	case surest >= evenChance:
		r.Outcome = Ambiguous
		r.Notes.Add(note.New(note.Caution, "cannot-tell", "the best pH may lie anywhere in the tested range").At(a.s.Place).Do("test more pH values, or two jars at each"))
	default:
		a.unmetPH()
	}
	r.Notes.Add(note.New(note.Info, "ph-series", "the dose is the same in all jars and the pH differs: the answer is the best pH, not a dose").At(a.s.Place))
}

// bestPH is the pH at which the first target's reading is best, with its interval.
func (a *analysis) bestPH(p *prepared, c *engine.Cloud) {
	r, high := a.r, a.highIsBest(p)
	at := make([]float64, len(c.F))
	for k, row := range c.F {
		b := 0
		for j, v := range row {
			if v < row[b] != high && v != row[b] {
				b = j
			}
		}
		at[k] = a.natural(p, vertex(c.U, row, b))
	}
	slices.Sort(at)
	r.Optimum = Interval{Value: r.Best.Dose, Confidence: engine.IntervalConfidence}
	best := float64(r.Best.Dose) // of the middle curve, which need not be the middle of the bests
	lo := math.Min(engine.Quantile(at, (1-engine.IntervalConfidence)/2), best)
	hi := math.Max(engine.Quantile(at, (1+engine.IntervalConfidence)/2), best)
	if lo > a.lowest+1e-9*a.wide {
		r.Optimum.Low, r.Optimum.HasLow = quantity.Concentration(lo), true
	}
	if hi < a.lowest+a.wide*(1-1e-9) {
		r.Optimum.High, r.Optimum.HasHigh = quantity.Concentration(hi), true
	}
}

// windowPH is the range of pH that meets every target; an end that is the end of what was
// tested has no interval.
func (a *analysis) windowPH() {
	r := a.r
	end := func(at []float64, open float64) Interval {
		i := Interval{Value: quantity.Concentration(open), Confidence: engine.IntervalConfidence}
		q := func(p float64) float64 { return engine.Quantile(at, p) }
		if v := q(0.5); !math.IsInf(v, 0) && math.Abs(v-open) > 1e-9*a.wide {
			i.Value = quantity.Concentration(v)
			i.Low, i.HasLow = quantity.Concentration(q((1-engine.IntervalConfidence)/2)), true
			i.High = quantity.Concentration(q((1 + engine.IntervalConfidence) / 2))
			i.HasHigh = !math.IsInf(float64(i.High), 1)
		}
		return i
	}
	slices.Sort(a.upper)
	r.Window = Window{Seen: true, Low: end(r.doses, r.grid[0]), High: end(a.upper, r.grid[len(r.grid)-1])}
	r.Window.Seen = r.Window.High.Value > r.Window.Low.Value
}

// unmetPH tells why no pH meets the targets, and which of them none meets by itself.
func (a *analysis) unmetPH() {
	r := a.r
	r.Outcome = NotReached
	var failed []string
	for i := range a.goals {
		if !a.alone(i).reachable {
			failed = append(failed, r.Targets[i].String())
		}
	}
	switch best := a.reads(r.Response, r.Best.Reading); {
	case len(a.goals) > 1 && len(failed) == 0:
		r.Notes.Add(note.New(note.Caution, "targets-opposed", "each target is met at some pH, but no pH tested meets all of them; %s", a.closest()).
			At(a.s.Place).Do("ease one of the targets, or try other doses"))
	case len(a.goals) > 1:
		r.Notes.Add(note.New(note.Caution, "not-reached", "no pH in the tested range meets %s; the best fitted reading of the first target is %s at pH %s", strings.Join(failed, " or "), best, plainPH(r.Best.Dose)).
			At(a.s.Place).Do("try other doses or another chemical, or ease that target"))
	case !r.Optimum.HasLow || !r.Optimum.HasHigh:
		r.Outcome = StillImproving
		r.Notes.Add(note.New(note.Caution, "still-improving", "the target is not met at any pH tested, and the best lies at the end of the range").At(a.s.Place).Do("test beyond pH %s", plainPH(r.Best.Dose)))
	default:
		r.Notes.Add(note.New(note.Caution, "not-reached", "no pH in the tested range meets the target; the best fitted reading is %s at pH %s", quantity.Full(quantity.Number(r.Best.Reading), 3), plainPH(r.Best.Dose)).
			At(a.s.Place).Do("try other doses or another chemical"))
	}
}

func plainPH(v quantity.Concentration) any { return quantity.Full(quantity.Number(v), 3) }
