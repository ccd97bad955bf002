package curve

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// cliff tells where the water falls through the target between two neighbouring
// doses and nothing says where between them: the jars are told better by levels
// than by any slope, and most of the curves cross in that one gap.
func (a *analysis) cliff(p *prepared, c *engine.Cloud) {
	r := a.r
	other := func(g goal) bool { return g.key != a.goals[0].key }
	if slices.ContainsFunc(a.goals, other) || c.Stairs.Levels()-c.Stairs.Fallen < 0.5 {
		return
	}
	u, mean, _, _ := p.Obs.Groups()
	estimate := float64(r.Effective.Value)
	for k := 1; k < len(u); k++ {
		if estimate <= u[k-1] || estimate > u[k] {
			continue
		}
		within := 0
		for _, d := range r.doses {
			if d > u[k-1] && d <= u[k] {
				within++
			}
		}
		span := engine.Quantile(r.doses, engine.PlanningConfidence) - engine.Quantile(r.doses, 1-engine.PlanningConfidence)
		if 2*within < len(r.doses) || span < (u[k]-u[k-1])/2 {
			return
		}
		at := func(k int) Spot { return Spot{quantity.Concentration(u[k]), p.Scale.Reading(mean[k])} }
		r.Cliff = quantity.Known[Gap]{V: Gap{at(k - 1), at(k)}, OK: true}
		read := func(s Spot) note.Phrase {
			return note.Say("%s at %s", quantity.Full(quantity.Number(s.Reading), 3), a.mgl(float64(s.Dose)))
		}
		way := "falls"
		if mean[k] > mean[k-1] != p.Scale.Flips() {
			way = "rises"
		}
		where := "the lowest effective dose may lie anywhere from one to the other"
		if spare := (u[k] - u[k-1]) / 10; float64(r.Effective.Low) < u[k-1]-spare || !r.Effective.HasHigh || float64(r.Effective.High) > u[k]+spare {
			where = "the lowest effective dose most likely lies between them, anywhere"
		}
		r.Notes.Add(note.New(note.Caution, "cliff", "%s %s from %s to %s, through the target, and nothing tells where between these two jars: %s",
			p.Key.Info().Label, way, read(at(k-1)), read(at(k)), where).
			At(a.s.Place).Do("test %s, %s and %s", a.mgl(partWay(u[k-1], u[k], 0.25)), a.mgl(partWay(u[k-1], u[k], 0.5)), a.mgl(partWay(u[k-1], u[k], 0.75))))
		return
	}
}

// partWay lies a share of the way from one dose to another.
func partWay(from, to, share float64) float64 { return from + share*(to-from) }

// nextJar works out how likely a further jar at the planning dose passes: for every
// curve the chance that its own scatter leaves the jar on the right side of every
// target, and the mean of that over the curves.
func (a *analysis) nextJar() {
	r := a.r
	if !r.HasPlanning || a.slopeGoal() {
		return
	}
	sum, n := 0.0, len(a.cloud[a.goals[0].key].F)
	stride := a.pairing()
	for k := range n {
		pass := 1.0
		for i, g := range a.goals {
			if slices.IndexFunc(a.goals, func(o goal) bool { return o.key == g.key }) == i { // each reading once
				pass *= a.passes(g.key, stride(k, i, n))
			}
		}
		sum += pass
	}
	r.NextJar = quantity.Known[quantity.Fraction]{V: quantity.Fraction(sum / float64(n)), OK: true}
}

// passes is the chance that a jar at the planning dose, scattered about one curve of a
// reading, meets all that is asked of that reading.
func (a *analysis) passes(key jartest.Key, row int) float64 {
	c, p := a.cloud[key], a.ready[key]
	here := engine.Along(c.U, c.F[row], float64(a.r.Planning.Concentration)/p.dmax)
	low, high := math.Inf(-1), math.Inf(1)
	for i, g := range a.goals {
		z := (a.levels[i][row] - here) / c.Sigma[row]
		switch {
		case g.key != key:
		case g.high:
			low = math.Max(low, z)
		default:
			high = math.Min(high, z)
		}
	}
	below := func(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
	return math.Max(below(high)-below(low), 0)
}

// stairsWeight reports the family beside the models, by its likeliest levels.
func (a *analysis) stairsWeight(c *engine.Cloud, p *prepared) ModelWeight {
	s := &c.Stairs
	w := ModelWeight{Name: "levels and steps", Formula: "level, with steps down and then up, anywhere between two jars; or a fall, then a step up",
		Weight: s.Levels() * (1 - c.Free.Share), Status: "converged"}
	w.RSS, _ = s.Residual(c.Obs)
	if g := a.goals[a.r.Binding]; a.r.Factor == "dose" && g.target.Kind == jartest.Absolute {
		if d := engine.FirstCrossing(s.U, s.Likeliest(), g.level, g.high); !math.IsInf(d, 1) {
			w.Dose, w.HasDose = quantity.Concentration(d*p.dmax), true
		}
	}
	return w
}
