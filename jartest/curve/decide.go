package curve

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// belowDetection refuses a target below what the meter can show.
func (a *analysis) belowDetection(g goal, p *prepared) bool {
	if g.target.Kind != jartest.Absolute || !p.Scale.Log() {
		return false
	}
	for i, l := range p.Obs.Limit {
		if l < 0 && !g.high && p.Obs.Y[i] > g.level {
			a.r.Outcome = Ambiguous
			a.bare(p)
			a.r.Notes.Add(note.New(note.Caution, "target-below-detection", "the target %q lies below what the meter can show (a jar reads less than %s), so no jar can prove it", g.target.String(), quantity.Full(quantity.Number(p.Scale.Reading(p.Obs.Y[i])), 3)).
				At(p.jars[p.Jar[i]].At).Do("use a meter that reads lower, or a target at or above its limit"))
			return true
		}
	}
	return false
}

// decide turns the crossings into an outcome, and into doses where it is Found.
func (a *analysis) decide() {
	r := a.r
	p := a.ready[r.Response]
	c := a.cloud[r.Response]
	mid := a.mid[r.Response]
	r.TestedLow, r.TestedHigh = testedRange(p)
	r.Jars, r.Scale = p.jars, p.Name
	a.lowestPassing()
	best := a.best(p, c, mid)
	a.overdose(p, c, best)
	lowest, highest := r.grid[0], r.grid[len(r.grid)-1]
	estimate := engine.Quantile(r.doses, 0.5)
	if math.IsInf(estimate, 1) {
		a.unmet(p, c, mid, best)
		return
	}
	if !a.slopeGoal() && a.startPasses(lowest, estimate) {
		a.window()
		return
	}
	low, high := engine.Quantile(r.doses, (1-engine.IntervalConfidence)/2), engine.Quantile(r.doses, (1+engine.IntervalConfidence)/2)
	i := Interval{Value: quantity.Concentration(estimate), Confidence: engine.IntervalConfidence}
	if low > lowest*(1+1e-9) {
		i.Low, i.HasLow = quantity.Concentration(low), true
	}
	if !math.IsInf(high, 1) {
		i.High, i.HasHigh = quantity.Concentration(high), true
	}
	if _, held := a.ceiling(); !i.HasLow && !held && math.IsInf(engine.Quantile(r.doses, engine.PlanningConfidence), 1) {
		r.Outcome = Ambiguous
		r.Notes.Add(note.New(note.Caution, "cannot-tell", "the jars scatter so much that the lowest effective dose may lie anywhere from %s to beyond %s", a.mgl(lowest), a.mgl(highest)).
			At(a.s.Place).Do("repeat the test with two or three jars at each dose"))
		return
	}
	if a.contradiction(p) {
		return
	}
	r.Outcome, r.Effective = Found, i
	if !i.HasLow && !i.HasHigh {
		r.Notes.Add(note.New(note.Caution, "no-interval", "the jars do not bound the lowest effective dose: %s is only where the target is met as likely as not, and it may be met at the lowest dose tested, %s, or not even at the highest, %s", a.mgl(estimate), a.mgl(lowest), a.mgl(highest)).
			At(a.s.Place).Do("repeat the test with two or three jars at each dose before relying on it"))
	}
	a.window()
	a.cliff(p, c)
	a.plan()
	if r.Rule == heldRule {
		r.Notes.Add(a.held().At(a.s.Place))
	}
	a.nextJar()
}

// startPasses answers where the lowest dose tested is enough already, which is
// claimed with the same confidence as a dose to plan with.
func (a *analysis) startPasses(lowest, estimate float64) bool {
	r := a.r
	enough := func(d float64) bool { return d <= lowest*(1+1e-12)+1e-300 }
	sure := enough(engine.Quantile(r.doses, float64(r.Asked())))
	switch {
	case !enough(estimate):
	case sure && lowest == 0:
		r.Outcome = UntreatedPasses
		r.Notes.Add(note.New(note.Info, "untreated-passes", "the jar without chemical meets the target%s: no chemical is needed on this evidence", Claimed(r.Asked())).
			At(a.s.Place).Do("repeat with the worst water that is expected before leaving the chemical out"))
	case sure:
		r.Outcome = LowestDosePasses
		r.Notes.Add(note.New(note.Caution, "lowest-dose-passes", "the lowest dose tested, %s, meets the target already%s, so the lowest effective dose is that or less", a.mgl(lowest), Claimed(r.Asked())).
			At(a.s.Place).Do("run a control jar and doses below %s", a.mgl(lowest)))
	case lowest == 0:
		r.Notes.Add(note.New(note.Caution, "untreated-may-pass", "the jar without chemical may meet the target, but not with the %s confidence that is asked of a dose", Certain(r.Asked())).
			At(a.s.Place).Do("repeat the jar without chemical, two or three times"))
	default:
		r.Notes.Add(note.New(note.Caution, "lowest-dose-may-pass", "the lowest dose tested, %s, may meet the target, but not with the %s confidence that is asked of a dose", a.mgl(lowest), Certain(r.Asked())).
			At(a.s.Place).Do("run a control jar, doses below %s, and that dose again", a.mgl(lowest)))
	}
	return sure && enough(estimate)
}

func (a *analysis) slopeGoal() bool { return a.goals[a.r.Binding].target.Kind == jartest.Slope }

// mgl writes a dose for a note.
func (a *analysis) mgl(d float64) note.Phrase {
	v := quantity.Full(quantity.Number(d), 3)
	if a.r.Factor != "dose" {
		return note.Say("pH %s", v)
	}
	return note.Say("%s mg/L", v)
}

// best finds the fitted optimum within the tested range: its place on the grid.
func (a *analysis) best(p *prepared, c *engine.Cloud, mid []float64) int {
	r, at := a.r, a.bestOf(p, mid)
	r.Best = Spot{quantity.Concentration(a.natural(p, vertex(c.U, mid, at))), p.Scale.Reading(mid[at])}
	return at
}

// middle is that of the bounds of a reading that has one on either side, against dose: there it is best.
func (a *analysis) middle(k jartest.Key) (float64, bool) {
	bound := map[bool][]float64{}
	for _, g := range a.goals {
		if g.key == k && g.target.Kind == jartest.Absolute {
			bound[g.target.AtLeast] = append(bound[g.target.AtLeast], g.target.Value)
		}
	}
	if len(bound) < 2 || a.r.Factor != "dose" {
		return 0, false
	}
	return (slices.Max(bound[true]) + slices.Min(bound[false])) / 2, true
}

// bestOf is the place of the best among values on the working scale, the first where some are alike.
func (a *analysis) bestOf(p *prepared, v []float64) (at int) {
	high := a.highIsBest(p)
	for j := range v {
		if v[j] < v[at] != high && v[j] != v[at] {
			at = j
		}
	}
	return at
}

// vertex is that of the parabola through the three points about one, so that an optimum
// does not hang on the grid.
func vertex(u, f []float64, at int) float64 {
	if at == 0 || at == len(u)-1 {
		return u[at]
	}
	x0, x1, x2 := u[at-1], u[at], u[at+1]
	y0, y1, y2 := f[at-1], f[at], f[at+1]
	num := (x1-x0)*(x1-x0)*(y1-y2) - (x1-x2)*(x1-x2)*(y1-y0)
	den := (x1-x0)*(y1-y2) - (x1-x2)*(y1-y0)
	if v := x1 - 0.5*num/den; v > x0 && v < x2 {
		return v
	}
	return x1
}

// natural turns a scaled factor into the user's.
func (a *analysis) natural(p *prepared, u float64) float64 {
	lowest, span := a.span(p)
	return lowest + u*span
}

// overdose judges whether the reading turns up again: most curves do, and by more
// than the scatter would make of a level floor.
func (a *analysis) overdose(p *prepared, c *engine.Cloud, best int) {
	r := a.r
	if !p.Scale.Log() {
		return
	}
	last := len(c.U) - 1
	up := 0
	for k, row := range c.F {
		if row[last]-row[best] > c.Sigma[k] && row[last] > row[best] {
			up++
		}
	}
	r.Overdose.Sure = quantity.Fraction(float64(up) / float64(len(c.F)))
	if best < last && r.Overdose.Sure >= 0.75 {
		r.Overdose.Seen, r.Overdose.From = true, r.Best.Dose
	}
}

// unmet tells why there is no dose that meets the target.
func (a *analysis) unmet(p *prepared, c *engine.Cloud, mid []float64, best int) {
	r := a.r
	if a.slopeUnmet() || a.opposed() {
		return
	}
	u, mean, w, _ := p.Obs.Groups()
	bestJar := a.bestOf(p, mean)
	sigma := engine.Median(c.Sigma)
	change := math.Abs(mid[best] - mid[0])
	least := 2 * sigma * math.Sqrt(1/w[0]+1/w[bestJar])
	lowestRead := inUnit(p.Key, r.Best.Reading)
	if reach := a.reach(); reach > 0.25 {
		r.Notes.Add(note.New(note.Info, "nearly-reached", "in %s of 100 the target is met somewhere in the tested range, which is too little to plan on", quantity.Full(quantity.Number(100*reach), 2)))
	}
	furthest := math.Max(slices.Max(mid)-mid[0], mid[0]-slices.Min(mid))
	lined := trend(u, mean, w)
	switch {
	case best == 0 && (furthest >= least || lined): // all the others are worse
		a.onlyWorse(lowestRead)
	case change < least && !r.Overdose.Seen && !lined:
		r.Outcome = NoResponse
		r.Notes.Add(note.New(note.Caution, "no-response", "%s does not change with dose beyond the scatter of the jars", p.Key.Info().Label).
			At(a.s.Place).Do("%s", noResponse[best == len(mid)-1 || bestJar == len(u)-1]))
	case best == len(mid)-1 && (bestJar == len(u)-1 || a.falling(p, c, mid) > sigma):
		r.Outcome = StillImproving
		top := u[len(u)-1]
		r.Notes.Add(note.New(note.Caution, "still-improving", "the target is not met and %s, %s (%s): the optimum is not bracketed", improves[bestJar == len(u)-1], a.mgl(top), lowestRead).
			At(a.s.Place).Do("test higher, for example %s, %s and %s; no dose is read off beyond the tested range", a.mgl(top*1.3), a.mgl(top*1.69), a.mgl(top*2.2)))
	default:
		r.Outcome = NotReached
		r.Notes.Add(note.New(note.Caution, "not-reached", "no dose in the tested range meets the target; the lowest fitted reading is %s at %s", lowestRead, a.mgl(float64(r.Best.Dose))).
			At(a.s.Place).Do("%s", a.reachIt()))
	}
}

// reachIt is what to do where the curve's best inside the range fails: a jar that passes
// as read is no proof, yet nearer than another chemical.
func (a *analysis) reachIt() note.Phrase {
	if a.r.HasLowestPassing {
		return note.Say("run %s again two or three times, and doses close on either side: as read it meets the target, and the curve through all jars does not", a.jarName(a.r.LowestPassing))
	}
	return note.Say("change the pH or the chemical, add a polymer, or ask for a target that this chemical can reach")
}

// onlyWorse answers where the best is the lowest dose tested, which fails, and more
// takes the reading further off.
func (a *analysis) onlyWorse(read note.Phrase) {
	r := a.r
	r.Outcome, r.worse = NotReached, true
	asked, low := r.Targets[r.Binding].String(), float64(r.TestedLow)
	n := note.New(note.Caution, "not-reached", "no dose tested meets %q: the best is %s at the lowest, %s, and every dose above makes it worse", asked, read, a.mgl(low)).At(a.s.Place)
	if low > 0 {
		n = n.Do("test lower, for example %s, %s and a jar without chemical; give alkali where pH or alkalinity is what fails", a.mgl(low/4), a.mgl(low/2))
	} else {
		n = n.Do("the water fails it untreated: correct that by other means (alkali for pH and alkalinity) before dosing, or ease this target")
	}
	r.Notes.Add(n)
}

// improves is how a reading still gets better at the highest dose, by whether the jar with it is the best.
var improves = map[bool]string{true: "the best jar is the one with the highest dose", false: "the curve still falls at the highest dose"}

// noResponse is what to do where the dose did nothing, by whether the best that there
// was lies at the highest dose.
var noResponse = map[bool]string{
	true:  "test doses several times higher first; if they do nothing either, another pH or another chemical",
	false: "try another chemical, another pH, or doses several times higher and lower",
}

// trendChance is how seldom level jars may line up as steadily as those that are said to show a
// trend (common practice, no source).
const trendChance = 0.01

// trend reports jars that line up along a slope: judged by their own scatter about a straight line
// alone (t-test of its slope), however small the change is beside the scatter that is expected.
func trend(u, mean, w []float64) bool {
	df := float64(len(u) - 2)
	if df < 1 {
		return false
	}
	mu, my := stat.Mean(u, w), stat.Mean(mean, w)
	var uu, uy, yy float64
	for i := range u {
		du, dy := u[i]-mu, mean[i]-my
		uu, uy, yy = uu+w[i]*du*du, uy+w[i]*du*dy, yy+w[i]*dy*dy
	}
	slope := uy / uu
	rss := math.Max(yy-slope*uy, 1e-12*yy)
	return 2*distuv.StudentsT{Sigma: 1, Nu: df}.Survival(math.Abs(slope)*math.Sqrt(uu*df/rss)) < trendChance
}

// falling is by how much the curve still gets better between the last two doses.
func (a *analysis) falling(p *prepared, c *engine.Cloud, mid []float64) float64 {
	u, _, _, _ := c.Obs.Groups()
	last := len(mid) - 1
	before := slices.Index(c.U, u[len(u)-2])
	if before < 0 {
		before = last - 1
	}
	if a.highIsBest(p) {
		return mid[last] - mid[before]
	}
	return mid[before] - mid[last]
}

// reach is the share of curves that meet the targets somewhere in range.
func (a *analysis) reach() float64 {
	n := 0
	for _, d := range a.r.doses {
		if !math.IsInf(d, 1) {
			n++
		}
	}
	return float64(n) / float64(len(a.r.doses))
}

// contradiction looks for doses that pass on both sides of one that clearly fails.
func (a *analysis) contradiction(p *prepared) bool {
	g := a.goals[a.r.Binding]
	if len(a.goals) > 1 || g.target.Kind != jartest.Absolute {
		return false
	}
	c := a.cloud[g.key]
	sigma := engine.Median(c.Sigma)
	u, mean, w, _ := p.Obs.Groups()
	clear := func(k int) float64 { // scatters by which dose k passes (+) or fails (-)
		d := (g.level - mean[k]) / (sigma / math.Sqrt(w[k]))
		if g.high {
			d = -d
		}
		return d
	}
	for j := 1; j < len(u)-1; j++ {
		if clear(j) > -3 {
			continue
		}
		before, after := -1, -1
		for k := range u {
			if k < j && clear(k) > 2 {
				before = k
			}
			if k > j && clear(k) > 2 && after < 0 {
				after = k
			}
		}
		if before >= 0 && after >= 0 {
			a.r.Outcome = Ambiguous
			a.r.Notes.Add(note.New(note.Caution, "passes-twice", "%s and %s meet the target but %s between them clearly does not: the jars contradict a single lowest dose", a.mgl(u[before]), a.mgl(u[after]), a.mgl(u[j])).
				At(a.s.Place).Do("repeat these three doses; check labels and what was pipetted"))
			return true
		}
	}
	return false
}

// ceiling is the dose above which none is planned: where more is likelier to harm than
// not, the fitted optimum; false where nothing tells of harm. With several targets it is
// the dose that meets them most surely.
func (a *analysis) ceiling() (dose float64, inside bool) {
	r := a.r
	if len(a.goals) == 1 {
		highest := r.grid[len(r.grid)-1]
		return float64(r.Best.Dose), r.Overdose.Sure >= 0.5 && float64(r.Best.Dose) < highest*(1-1e-9)
	}
	top := 0
	for j := range r.met {
		if r.met[j] > r.met[top] {
			top = j
		}
	}
	return r.grid[top], top < len(r.grid)-1
}

// evenChance is the least confidence of a dose to plan with, where several targets leave none
// surer (common practice, no source).
const evenChance = 0.5

// heldRule is the rule of a planning dose that is held, see [analysis.held].
const heldRule = "held at the fitted optimum"

// plan takes the dose that is enough with the confidence asked: that quantile of
// the lowest effective dose whose other quantiles are the interval, so that it lies
// inside it. Where more is likelier to harm than not it is held at the fitted
// optimum; that, too, is the same for every target, so that a looser one never
// needs more.
func (a *analysis) plan() {
	r := a.r
	estimate := float64(r.Effective.Value)
	need := engine.Quantile(r.doses, float64(r.Asked()))
	highest := r.grid[len(r.grid)-1]
	ceiling, inside := a.ceiling()
	set := func(d float64, sure quantity.Fraction, rule string) {
		r.Planning = quantity.Dose{Concentration: quantity.Concentration(d), Basis: r.Chemical.Basis}
		r.HasPlanning, r.Rule, r.Sure = true, rule, sure
	}
	switch {
	case len(a.goals) > 1 && float64(r.Confidence(quantity.Concentration(ceiling))) < evenChance:
		r.Notes.Add(note.New(note.Caution, "no-sure-dose", "no dose meets all that is asked with even chances: the surest, %s, does with %s %% confidence; no planning dose is given", a.mgl(ceiling), quantity.Full(quantity.Number(math.Round(100*float64(r.Confidence(quantity.Concentration(ceiling))))), 2)).
			At(a.s.Place).Do("test doses about %s in small steps", a.mgl(ceiling)))
	case !math.IsInf(need, 1) && (!inside || need <= ceiling):
		set(need, r.Asked(), "target met with "+Confident(r.Asked())+" confidence")
	case inside:
		held := math.Max(ceiling, estimate)
		set(held, r.Confidence(quantity.Concentration(held)), heldRule)
	default:
		r.Notes.Add(note.New(note.Caution, "planning-beyond-range", "the dose that is safe with %s confidence lies beyond the highest dose tested, %s; no planning dose is given", Certain(r.Asked()), a.mgl(highest)).
			At(a.s.Place).Do("test %s and %s as well, or repeat jars to narrow the interval", a.mgl(highest*1.3), a.mgl(highest*1.7)))
	}
}

// held tells why no more is planned than the dose at which the targets are met most surely.
func (a *analysis) held() note.Note {
	r := a.r
	at, sure := float64(r.Planning.Concentration), quantity.Full(quantity.Number(math.Round(100*float64(r.Sure))), 3)
	say := func(format string, args ...any) note.Note {
		return note.New(note.Caution, "held-at-optimum", format, args...)
	}
	if most, least, ok := a.bounds(); ok {
		return say("the targets leave little room: %s; the planning dose is held where all are met most surely, %s, with %s %% confidence", a.between(most, least), a.mgl(at), sure).
			Do("test doses from %s to %s in small steps, or ease one of the two", a.mgl(float64(most.from.Value)), a.mgl(float64(least.to.Value)))
	}
	if low, high, ok := a.unseen(); ok {
		return say("the curve is best where no jar stood, between %s and %s: the planning dose is held there, at %s, where the target is met with %s %% confidence", a.mgl(low), a.mgl(high), a.mgl(at), sure).
			Do("test %s, %s and %s before planning with it", a.mgl(partWay(low, high, 0.25)), a.mgl(partWay(low, high, 0.5)), a.mgl(partWay(low, high, 0.75)))
	}
	return say("the target lies close to the best that this chemical does: the planning dose is held at the fitted optimum, %s, where the target is met with %s %% confidence; more would not help", a.mgl(at), sure).
		Do("repeat the doses near the optimum, or look for a chemical, pH or polymer that does better")
}

// unseen are the jars beside the fitted optimum where it lies clearly below both: by more
// than two scatters, so that no jar has seen it.
func (a *analysis) unseen() (low, high float64, ok bool) {
	r := a.r
	p, c := a.ready[r.Response], a.cloud[r.Response]
	u, mean, _, _ := p.Obs.Groups()
	k, _ := slices.BinarySearch(u, float64(r.Best.Dose))
	if k == 0 || k == len(u) || !p.Scale.Log() {
		return 0, 0, false
	}
	best := slices.Min(a.mid[r.Response])
	return u[k-1], u[k], math.Min(mean[k-1], mean[k])-best > 2*engine.Median(c.Sigma)
}
