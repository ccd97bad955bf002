package curve

import (
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// design is what planning the next series needs.
type design struct {
	cloud    *engine.Cloud
	goal     goal
	prepared *prepared
	levels   []float64
	dmax     float64
}

// advise adds the method in words, the advice that goes with the answer, and keeps what `next` needs.
func (a *analysis) advise() {
	r := a.r
	c := a.cloud[r.Response]
	if c == nil {
		return
	}
	p := a.ready[r.Response]
	if a.opt.ForNext && r.Outcome == Found && r.Factor == "dose" {
		g := a.goals[r.Binding]
		r.design = &design{cloud: c, goal: g, prepared: p, levels: g.thresholds(c, p, a.e), dmax: p.dmax}
	}
	r.Method = a.method(p, c)
	if u, _, _, _ := p.Obs.Groups(); r.Factor == "dose" && !a.opt.part {
		r.Lacks = a.lacks(u)
	}
	if r.Outcome != Found || r.Factor != "dose" || !r.HasPlanning {
		return
	}
	u, _, _, _ := p.Obs.Groups()
	if inside := r.Effective.holds(u); inside >= 2 && !r.Cliff.OK { // at a cliff the two jars are named, of which one clearly fails
		r.Notes.Add(note.New(note.Info, "cannot-tell-apart", "%d of the tested doses lie inside the interval: the jars cannot tell them apart as lowest effective dose", inside).
			Do("run next for the doses that would tell"))
	}
	if r.Effective.HasLow && r.Effective.HasHigh && r.Effective.High > 1.5*r.Effective.Low {
		r.Notes.Add(note.New(note.Caution, "wide-interval", "the interval is wide: its upper end is %s times its lower", quantity.Full(quantity.Number(r.Effective.High/r.Effective.Low), 2)).
			At(a.s.Place).Do("run next for the doses worth testing"))
	}
}

// holds counts the doses inside the interval.
func (i Interval) holds(doses []float64) (n int) {
	for _, x := range doses {
		d := quantity.Concentration(x)
		if (!i.HasLow || d >= i.Low) && (!i.HasHigh || d <= i.High) {
			n++
		}
	}
	return n
}

// method says in plain words how the answer was made.
func (a *analysis) method(p *prepared, c *engine.Cloud) []string {
	s := "readings are fitted on the scale: " + p.Name
	if !c.Obs.Additive {
		s += "; so a jar counts by how many per cent it lies off, and the curve is the one that half of the jars would lie below"
	}
	out := []string{s,
		"each model is fitted by least squares with weak priors on its shape; its weight is how well it foretold these jars, averaged over all its shapes (integrated likelihood)"}
	out = append(out, p.Expected(engine.Median(c.Sigma))...)
	out = append(out, p.Given()...)
	if c.Stairs.Share > 0 {
		out = append(out, "beside the models, "+quantity.Sig(100*c.Stairs.Levels()*(1-c.Free.Share), 2)+" % of the answer comes from curves that are level and step anywhere between two jars, which is as much as these jars speak for them")
	}
	out = append(out,
		"a further "+plain(100*(c.Free.Share+c.Stairs.Slopes*(1-c.Free.Share)))+" % of the answer comes from a curve that only falls and then may rise, as insurance against a water that follows no model",
		"all this gives a set of equally likely curves of the middle of many jars, about which a single jar scatters; half of them meet the target at the lowest effective dose, 5 % at its low end, 95 % at its high end, and "+Confident(a.r.Asked())+" at the planning dose",
		"nothing is read off outside the tested range")
	return out
}
