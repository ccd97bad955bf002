package curve

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/engine/lsq"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// without is what the answer would be without one of the jars.
type without struct {
	jar  int     // its place among the observations
	dose float64 // in mg/L
	// gone is why there would be no answer; empty where there is one.
	gone string
	// below: for the dose lies below the lowest of the rest.
	below bool
	// plan is the planning dose without it, in mg/L; zero where none is known.
	plan float64
}

// meets finds where a curve on the grid first meets the goal between two doses: -Inf
// where it does from the first on, +Inf where it does not.
func (g *goal) meets(c *engine.Cloud, p *prepared, e *engine.Engine, row []float64, lo, hi float64) float64 {
	one := &engine.Cloud{Obs: c.Obs, U: c.U, F: [][]float64{row}, Sigma: []float64{0}}
	margin := make([]float64, len(c.U))
	g.margins(one, p, 0, g.thresholds(one, p, e)[0], margin)
	from, _ := slices.BinarySearch(c.U, lo-1e-9)
	to, _ := slices.BinarySearch(c.U, hi-1e-9)
	x := engine.FirstCrossing(c.U[from:to+1], margin[from:to+1], 0, false)
	if x == c.U[from] {
		return math.Inf(-1)
	}
	return x
}

// mixture weighs where the leading models' own curves and the one that follows the
// jars meet the goal: the middle of them on the logarithm of the dose, or where most
// of the weight meets it nowhere.
type mixture struct{ sum, inside, never, already float64 }

func (m *mixture) add(x, weight float64) {
	switch {
	case math.IsInf(x, 1):
		m.never += weight
	case math.IsInf(x, -1):
		m.already += weight
	default:
		m.sum += weight * math.Log(x)
		m.inside += weight
	}
}

func (m *mixture) dose() float64 {
	switch all := m.inside + m.never + m.already; {
	case m.never >= all/2:
		return math.Inf(1)
	case m.already >= all/2:
		return math.Inf(-1)
	}
	return math.Exp(m.sum / m.inside)
}

// eachWithout works the answer out again without each jar, by the leading models and
// the curve that follows the jars: the estimate times the ratio of that to the same
// with every jar.
func (a *analysis) eachWithout(p *prepared, c *engine.Cloud, g *goal) (out []without) {
	leads, insurance := c.Leads(), c.Free.Share/(1-c.Free.Share)
	all := a.withAll(p, c, g, leads)
	if math.IsInf(all, 0) || !(all > 0) {
		return nil
	}
	scale := float64(a.r.Effective.Value) / all
	for i := range c.Obs.U {
		rest := c.Obs.Less(i)
		if u, _, _, _ := rest.Groups(); len(u) < fewestDoses {
			continue // the note on few doses says so
		}
		lo, hi := slices.Min(rest.U), slices.Max(rest.U)
		var m mixture
		for _, k := range leads {
			fit, _ := c.LeaveOut(&c.Models[k], i)
			if fit != nil {
				m.add(g.meets(c, p, a.e, c.Mode(&c.Models[k], fit.Params), lo, hi), c.Shares[k]*foretold(c, k, i, fit))
			}
		}
		if c.Stairs.Share > 0 {
			s, more := c.Stairs.Without(c.Obs, i)
			m.add(g.meets(c, p, a.e, s.Curve(c.U), lo, hi), c.Stairs.Share*more)
		}
		weight := m.inside + m.never + m.already // to which the insurance keeps its proportion
		m.add(g.meets(c, p, a.e, c.ShapeWithout(i), lo, hi), weight*insurance)
		w := without{jar: i, dose: m.dose() * scale}
		switch {
		case g.target.Kind == jartest.Removal && !g.fromRaw && lo > 0:
			w.gone = "there would be nothing to count removal from"
		case math.IsInf(w.dose, 1):
			w.gone = "no dose of the rest meets the target"
		case math.IsInf(w.dose, -1):
			w.gone, w.below = "the lowest dose of the rest would meet the target already", true
		case a.reachWithout(c, i) < 0.6:
			w.gone = "as likely as not no dose of the rest meets the target"
		}
		out = append(out, w)
	}
	return out
}

// withAll is where the leading models and the curve that follows the jars meet the goal with
// every jar.
func (a *analysis) withAll(p *prepared, c *engine.Cloud, g *goal, leads []int) float64 {
	lo, hi := slices.Min(c.Obs.U), slices.Max(c.Obs.U)
	var whole mixture
	for _, k := range leads {
		m := &c.Models[k]
		whole.add(g.meets(c, p, a.e, c.Mode(m, m.Params(c.Obs)), lo, hi), (1-c.Free.Share)*c.Shares[k])
	}
	whole.add(g.meets(c, p, a.e, c.ShapeWithout(-1), lo, hi), c.Free.Share)
	if c.Stairs.Share > 0 {
		whole.add(g.meets(c, p, a.e, c.Stairs.Curve(c.U), lo, hi), (1-c.Free.Share)*c.Stairs.Share)
	}
	return whole.dose()
}

// refitOdd fits again without each jar that stands far off: it pulls the curves so much that
// what the leading models make of the rest is too rough to be told, or that there is no answer.
func (a *analysis) refitOdd(p *prepared) {
	for jar := range p.jars {
		if !p.jars[jar].Outlier {
			continue
		}
		rest := a.s
		rest.Jars = slices.Delete(slices.Clone(rest.Jars), jar, jar+1)
		q := analyse(a.e, rest, a.r.Targets, Options{Scatter: a.opt.Scatter, OnlyTarget: true, part: true})
		if q.Outcome != Found {
			continue
		}
		w := without{jar: slices.Index(p.Jar, jar), dose: float64(q.Effective.Value), plan: float64(q.Planning.Concentration)}
		k, known := slices.BinarySearchFunc(a.each, w, func(a, b without) int { return cmp.Compare(a.jar, b.jar) })
		if known {
			a.each[k] = w
		} else {
			a.each = slices.Insert(a.each, k, w)
		}
	}
}

// withoutIt says what the lowest effective dose would be without a jar, where it is not
// said as one that the answer hangs on, and what could be planned with where now nothing can.
func (a *analysis) withoutIt(p *prepared, jar int) (said note.Phrase) {
	r := a.r
	for _, w := range a.each {
		switch {
		case p.Jar[w.jar] != jar || w.gone != "":
		case r.Outcome != Found:
			said = note.Say("; without it the lowest effective dose would be %s", a.mgl(w.dose))
		case r.leaves(w.dose):
		case a.mgl(w.dose).String() == a.mgl(float64(r.Effective.Value)).String():
			said = note.Say("; without it the lowest effective dose would be the same")
		default:
			said = note.Say("; without it the lowest effective dose would be %s, not %s", a.mgl(w.dose), a.mgl(float64(r.Effective.Value)))
		}
	}
	return said
}

// unplanned are the notes that tell why there is no planning dose.
var unplanned = []string{"planning-beyond-range", "cannot-tell", "passes-twice", "not-reached", "still-improving", "no-response"}

// firstAgain asks for an odd jar to be run again before anything else, where it is all that
// stands between the others and a planning dose.
func (a *analysis) firstAgain(p *prepared) {
	for _, w := range a.each {
		if w.plan == 0 || a.r.HasPlanning {
			continue
		}
		for i, n := range a.r.Notes {
			if slices.Contains(unplanned, n.Code) {
				a.r.Notes[i] = n.Do("run %s again before anything else: without it the planning dose would be %s", a.jarName(p.jars[p.Jar[w.jar]]), a.mgl(w.plan))
			}
		}
	}
}

// foretold is how a model's weight changes when it need no longer foretell jar i: the
// less it expected that jar, the more it gains.
func foretold(c *engine.Cloud, k, i int, fit *lsq.Fit) float64 {
	o := c.Obs
	if o.Limit[i] != 0 {
		return 1
	}
	m := &c.Models[k]
	var shape [engine.MaxParams]float64
	m.Model.Natural(fit.Params[o.Linear():], shape[:])
	d := (o.Y[i] - o.Predict(fit.Params, m.Model.Value(o.At(i), shape[:]))) / m.Sigma
	// One over a Student density of four degrees, which is 3/8 in its middle.
	return m.Sigma / math.Sqrt(o.W[i]) / 0.375 * math.Pow(1+o.W[i]*d*d/4, 2.5)
}

// hangs names the jars without which the answer would leave its interval, move by more
// than a fifth, or vanish, with what it would be.
func (a *analysis) hangs(p *prepared) {
	r := a.r
	est := float64(r.Effective.Value)
	var said note.Phrase
	var at note.Place
	n, level := 0, note.Info // what moves it by less than a tenth, or only ends the range, is told in a quiet voice
	for _, w := range a.each {
		dose := w.dose
		if w.gone == "" && !r.leaves(dose) {
			continue
		}
		if w.gone != "" && !w.below || w.gone == "" && math.Abs(dose/est-1) > 0.1 {
			level = note.Caution
		}
		j := p.jars[p.Jar[w.jar]]
		one := note.Say("without %s the lowest effective dose would be %s, not %s", a.jarName(j), a.mgl(dose), a.mgl(est))
		switch {
		case w.gone != "":
			one = note.Say("without %s there would be no answer: %s", a.jarName(j), w.gone)
		case n > 0:
			one = note.Say("without %s %s", a.jarName(j), a.mgl(dose))
		}
		if n++; n == 1 {
			said, at = one, j.At
		} else {
			said = note.Say("%s; %s", said, one)
		}
	}
	if n == 0 {
		return
	}
	what := "one jar"
	if n > 1 {
		what = "single jars"
	}
	r.Notes.Add(note.New(level, "hangs-on-one-jar", "the answer hangs on %s: %s", what, said).At(at).Do("run these doses again"))
}

// reachWithout is the share of curves that meet the targets somewhere, were jar i not
// there: each curve weighs the more the less it expected that jar (importance weights,
// none above the root of their number: Ionides 2008, from memory).
func (a *analysis) reachWithout(c *engine.Cloud, i int) float64 {
	o := c.Obs
	at, _ := slices.BinarySearch(c.U, o.U[i]-1e-9)
	reach := a.reach()
	if reach > 0.95 || o.Limit[i] != 0 || a.goals[a.r.Binding].key != a.goals[0].key {
		return reach
	}
	w := slices.Grow(a.weights[:0], len(c.F))[:len(c.F)]
	a.weights = w
	sum := 0.0
	for k, row := range c.F {
		d := (o.Y[i] - row[at]) / c.Sigma[k]
		w[k] = c.Sigma[k] * engine.Exp(math.Min(o.W[i]*d*d/2, 50))
		sum += w[k]
	}
	most := sum / math.Sqrt(float64(len(w)))
	met, all := 0.0, 0.0
	for k, x := range w {
		x = math.Min(x, most)
		all += x
		if !math.IsInf(a.first[k], 1) {
			met += x
		}
	}
	return met / all
}

// leaves reports a dose that lies near an end of the interval, beyond it, or more than
// a fifth from the estimate.
func (r *Result) leaves(dose float64) bool {
	const near = 0.8 // of the way to the end, since a dose found without a jar is itself only an estimate
	i, est := r.Effective, float64(r.Effective.Value)
	move := math.Log(dose / est)
	switch {
	case math.Abs(dose/est-1) > 0.2:
		return true
	case i.HasLow && move < near*math.Log(float64(i.Low)/est):
		return true
	}
	return i.HasHigh && move > near*math.Log(float64(i.High)/est)
}

// odd looks for the one jar without which the rest agree: it is named, not the
// neighbours that a curve drawn towards it leaves behind. A slip in a reading pulls
// every curve, so the question is put to the shape alone, which falls and then may
// rise; where two jars would do, the models decide.
func (a *analysis) odd(p *prepared, c *engine.Cloud) {
	o := c.Obs
	if !p.Scale.Log() || len(o.U) < fewestDoses+1 {
		return
	}
	found := a.suspects(p, c)
	if len(found) == 0 {
		return
	}
	if len(found) > 1 {
		slices.SortStableFunc(found, func(i, k int) int { return cmp.Compare(a.smoothest(c, i), a.smoothest(c, k)) })
		if a.smoothest(c, found[0]) > a.smoothest(c, found[1])/3 {
			return
		}
	}
	i := found[0]
	for k := range p.jars {
		if p.jars[k].Outlier {
			p.jars[k].Outlier, p.jars[k].Why = false, ""
		}
	}
	row := c.ShapeWithout(i)
	at, _ := slices.BinarySearch(c.U, o.U[i])
	j := &p.jars[p.Jar[i]]
	j.Outlier, j.Why = true, "far off; the other jars agree without it"
	j.Expected = p.Scale.Reading(row[min(at, len(row)-1)])
}

// suspects are the jars of which any may be the odd one: those without which the rest fall and
// then may rise; where the shape bends to a slip at the end, those that stand out from the models.
func (a *analysis) suspects(p *prepared, c *engine.Cloud) (found []int) {
	o := c.Obs
	usual := o.Scatter.SD * o.Scatter.SD
	if all := o.ValleySquares(); all >= 12*usual { // 3.5 scatters, as one jar off by that leaves its neighbours half of it each
		for i := range o.U {
			if rest := o.Less(i).ValleySquares(); o.Limit[i] == 0 && rest < all/5 && rest < 6*usual {
				found = append(found, i)
			}
		}
	}
	if len(found) > 0 {
		return found
	}
	for i := range o.U {
		if p.jars[p.Jar[i]].Outlier {
			found = append(found, i)
		}
	}
	if len(found) == 1 { // a slip at the end makes its neighbour stand out
		found = slices.DeleteFunc([]int{found[0] - 1, found[0], found[0] + 1}, func(i int) bool { return i < 0 || i >= len(o.U) || o.Limit[i] != 0 })
	}
	if len(found) < 2 {
		return nil
	}
	return found
}

// smoothest is the least sum of squares that any model leaves without observation i.
func (a *analysis) smoothest(c *engine.Cloud, i int) float64 {
	least := math.Inf(1)
	for k := range c.Models {
		m := &c.Models[k]
		if m.Mode == nil {
			continue
		}
		fit, rest := c.LeaveOut(m, i)
		if fit == nil {
			continue
		}
		var shape [engine.MaxParams]float64
		m.Model.Natural(fit.Params[rest.Linear():], shape[:])
		ss := rest.Scatter.SD * rest.Scatter.SD
		g := make([]float64, len(rest.U))
		m.Model.Values(rest.Places(), shape[:], g)
		for j := range rest.U {
			d := rest.Y[j] - rest.Predict(fit.Params, g[j])
			ss += rest.W[j] * d * d
		}
		least = math.Min(least, ss)
	}
	return least
}

// oddness says what is odd about a jar: its dose, where that lies beyond all the others' and
// the reading is what they have at a tenth or ten times of it; else its reading.
func (a *analysis) oddness(p *prepared, c *engine.Cloud, jar int) note.Phrase {
	j := a.r.Jars[jar]
	if meant, ok := p.meantDose(c, slices.Index(p.Jar, jar)); ok {
		a.r.Jars[jar].Why = "its dose looks ten times off"
		return note.Say("and its dose lies beyond those of the other jars, which read that at about %s: the dose looks ten times off", a.mgl(meant))
	}
	return note.Say("far from the %s that the other jars point to%s", quantity.Full(quantity.Number(j.Expected), 3), slip(j.Reading, j.Expected))
}

// meantDose is the tenth or the tenfold of a dose beyond those of the other jars, where it
// lies among them and they read there what this jar reads, to three scatters of one jar.
func (p *prepared) meantDose(c *engine.Cloud, i int) (dose float64, ok bool) {
	o := c.Obs
	if i < 0 || !p.Scale.Log() {
		return 0, false
	}
	rest := o.Less(i).U
	low, high := slices.Min(rest), slices.Max(rest)
	if o.U[i] >= low && o.U[i] <= high {
		return 0, false
	}
	row := c.ShapeWithout(i)
	for _, u := range [...]float64{o.U[i] / 10, o.U[i] * 10} {
		if u >= low && u <= high && math.Abs(o.Y[i]-engine.Along(c.U, row, u)) <= 3*o.Scatter.SD {
			return u * p.dmax, true
		}
	}
	return 0, false
}

// slip says that a reading looks like one with the decimal point in the wrong place.
func slip(read, expected float64) note.Phrase {
	if !(read > 0) || !(expected > 0) || math.Abs(math.Abs(math.Log10(read/expected))-1) > 0.25 {
		return note.Phrase{}
	}
	meant := read * 10
	if read > expected {
		meant = read / 10
	}
	return note.Say("; it looks about ten times off, %s for %s", quantity.Full(quantity.Number(read), 3), quantity.Full(quantity.Number(meant), 3))
}
