package surface

import (
	"fmt"
	"math"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/observed"
	"jarwright/jartest/quantity"
)

// fewestPairs is the least number of different pairs that a surface is put through.
const fewestPairs = 5

// Analyse fits a series of two factors and answers for the targets given, or for
// the series' own where none are given.
func Analyse(s jartest.Series, targets []jartest.Target, opt Options) Result {
	r := decided(s, targets, opt)
	if len(r.responses) > 0 {
		r.describe()
		r.Lacks = r.lacks(s)
	}
	r.finish()
	return r
}

// decided is the answer without what only pictures and tables need.
func decided(s jartest.Series, targets []jartest.Target, opt Options) Result {
	if len(targets) == 0 {
		targets = s.Targets
	}
	r := Result{Series: s.Name, Place: s.Place, Sample: s.Sample(), Targets: targets, opt: opt, Outcome: curve.TooFewJars}
	for _, l := range opt.Limits {
		r.Limits = append(r.Limits, l.Says)
	}
	if !TwoFactors(s) {
		r.Notes.Add(note.New(note.Caution, "not-two-factors", "this series varies %d chemicals; a surface takes two, or one and the pH set", len(s.Factors())).At(s.Place).
			Do("split the sheet into series that vary two chemicals at most"))
		return r
	}
	if len(targets) == 0 {
		r.Notes.Add(note.New(note.Caution, "no-target", "no target is given and the sheet states none").At(s.Place).
			Do(`say what must be met, such as --target "turbidity <= 5 NTU"`))
		return r
	}
	s, repeats := s.MergeRepeats()
	r.Notes.Add(repeats...)
	if !r.ready(s) {
		r.responses = nil
		return r
	}
	r.known = map[engine.Point]float64{}
	r.decide()
	return r
}

// ready lays the design out and fits every target's reading.
func (r *Result) ready(s jartest.Series) bool {
	own := make([]jartest.Target, len(r.Targets))
	for i, t := range r.Targets {
		var err error
		if own[i], err = s.Reads(t); err != nil {
			r.Notes.Add(note.New(note.Caution, "target-not-read", "%s, which the target %q asks for%s", err, t.String(), note.DidYouMean(string(t.Key), keyNames(s))).
				At(s.Place).Do("use a reading that the sheet has: %s", strings.Join(keyNames(s), ", ")))
			return false
		}
	}
	r.Response = own[0].Key
	r.design = newDesign(s, func(j jartest.Jar) (string, bool) {
		for _, t := range own {
			if why, ok := observed.Usable(j, t.Key); !ok {
				return why, false
			}
		}
		return "", true
	})
	d := &r.design
	r.First, r.Second, r.Design, r.Jars = d.first, d.second, d.kind, d.jars
	r.Notes.Add(d.notes...)
	if !r.spread() {
		return false
	}
	e := engine.New()
	for _, t := range own {
		resp, bad := prepare(*d, t, r.opt.Scatter)
		if bad != nil {
			r.Notes.Add(*bad)
			if bad.Code == "target-below-detection" || bad.Code == "target-unreachable" {
				r.Outcome = curve.Ambiguous
			}
			return false
		}
		resp.fit(e, d.second.PH)
		r.responses = append(r.responses, resp)
	}
	r.join(e)
	reg := r.region
	r.OnlyLevelsFirst, r.OnlyLevelsSecond = reg.OnlyXs, reg.OnlyYs
	for _, q := range reg.Hull {
		r.Hull = append(r.Hull, d.pair(q))
	}
	return true
}

// spread finds the region that the jars used stand in, and whether they tell the two factors apart.
func (r *Result) spread() bool {
	d := &r.design
	pts := map[engine.Point]bool{}
	var used []engine.Point
	for _, j := range d.jars {
		if j.Used {
			used = append(used, d.point(j.Pair))
			pts[d.point(j.Pair)] = true
		}
	}
	if len(pts) < fewestPairs || len(d.first.Levels) < 2 || len(d.second.Levels) < 2 {
		r.Notes.Add(note.New(note.Caution, "too-few-jars", "%d different pairs with a reading are too few for a surface: at least %d are needed, at two or more levels of each", len(pts), fewestPairs).
			At(d.series.Place).Do("run three levels of each chemical: nine jars"))
		return false
	}
	if r.region = engine.NewRegion(used); r.region.Flat() {
		r.Notes.Add(note.New(note.Caution, "pairs-on-a-line", "the two doses went up together, so that their effects cannot be told apart").
			At(d.series.Place).Do("vary one at a time, or run a grid"))
		return false
	}
	return true
}

func keyNames(s jartest.Series) []string {
	var out []string
	for _, k := range s.Keys() {
		out = append(out, string(k))
	}
	return out
}

// join pairs the surfaces of all targets, at the levels that each must get to.
func (r *Result) join(e *engine.Engine) {
	var clouds []*engine.Cloud
	var levels [][]float64
	for i := range r.responses {
		resp := &r.responses[i]
		var inside []int
		for j := range resp.cloud.Nodes() {
			if r.region.Contains(resp.cloud.Node(j)) {
				inside = append(inside, j)
			}
		}
		l := resp.levels(e, inside)
		clouds, levels = append(clouds, resp.cloud), append(levels, l)
		resp.alone = engine.Join(clouds[i:], levels[i:])
		if resp.hasWithin {
			resp.goal = engine.Median(l)
		}
	}
	r.met = r.responses[0].alone
	if len(clouds) > 1 {
		r.met = engine.Join(clouds, levels)
	}
}

// finish leaves of a result, which is only read from now on, what confidences and
// the next jars are read from.
func (r *Result) finish() {
	r.known = nil
	for i := range r.responses {
		resp := &r.responses[i]
		resp.cloud, resp.alone, resp.mid, resp.low, resp.high = nil, nil, nil, nil, nil
	}
	if r.met != nil {
		g := r.met.Grid
		r.met = &engine.Joint{Grid: &engine.Cloud{U: g.U, V: g.V, Sigma: g.Sigma}, Margin: r.met.Margin}
	}
}

// lowest finds the pair with the best fitted reading.
func (r *Result) lowest(resp *response) engine.Point {
	best, at := math.Inf(1), engine.Point{}
	for j, v := range resp.mid {
		if p := resp.cloud.Node(j); v < best-1e-12 && r.region.Contains(p) {
			best, at = v, p
		}
	}
	return at
}

// confidence is the share of equally likely surfaces that meet every target at a pair.
func (r *Result) confidence(q engine.Point) float64 {
	if c, ok := r.known[q]; ok {
		return c
	}
	c := r.met.Met(q)
	if r.known != nil {
		r.known[q] = c
	}
	return c
}

// Confidence gives the chance that a pair meets every target; zero outside the tested region.
func (r *Result) Confidence(p Pair) quantity.Fraction {
	q := r.design.point(p)
	if r.met == nil || !r.region.Contains(q) {
		return 0
	}
	return quantity.Fraction(r.confidence(q))
}

// keeps reports that a pair keeps every limit.
func (r *Result) keeps(q engine.Point) bool {
	p := r.design.pair(q)
	for _, l := range r.opt.Limits {
		if !l.Keeps(p) {
			return false
		}
	}
	return true
}

// priced reports that pairs can be compared by cost.
func (r *Result) priced() bool {
	a, b := r.opt.PricePerKg[0], r.opt.PricePerKg[1]
	if a.Currency == "" || a.Amount <= 0 {
		return false
	}
	return r.Second.PH || b.Currency == a.Currency && b.Amount >= 0
}

// cost is what the search makes small: money where prices are known, else the
// second chemical first (what stays in the water matters more than what is not
// known) and then the first.
func (r *Result) cost(q engine.Point) float64 {
	if !r.priced() {
		if r.Second.PH {
			return q.X
		}
		return q.X + 1000*q.Y
	}
	return r.money(r.design.pair(q)).Amount
}

// money is what a pair costs per 1000 m3: mg/L is kg per 1000 m3.
func (r *Result) money(p Pair) quantity.Money {
	if !r.priced() {
		return quantity.Money{}
	}
	m := quantity.Money{Amount: float64(p.First) * r.opt.PricePerKg[0].Amount, Currency: r.opt.PricePerKg[0].Currency}
	if !r.Second.PH {
		m.Amount += float64(p.Second) * r.opt.PricePerKg[1].Amount
	}
	if r.opt.Further != nil {
		m.Amount += r.opt.Further(p).Amount
	}
	return m
}

// choice describes a pair.
func (r *Result) choice(q engine.Point) Choice {
	p := r.design.pair(q)
	b := &r.responses[r.Binding]
	c := Choice{Pair: p, Fit: b.Scale.Reading(b.mean(q)), Confidence: quantity.Fraction(r.confidence(q)), Cost: r.money(p)}
	if r.opt.Beside != nil {
		c.Beside = r.opt.Beside(p)
	}
	return c
}

// cheapest finds the least-cost pair at a confidence, keeping the limits.
func (r *Result) cheapest(conf float64, more func(engine.Point) bool, cost func(engine.Point) float64) (engine.Point, bool) {
	f, ok := search{region: r.region, cost: cost, ok: func(q engine.Point) bool {
		return (more == nil || more(q)) && r.keeps(q) && r.confidence(q) >= conf
	}}.least()
	return f.at, ok
}

// decide turns the surface into an outcome, and into pairs where there are any.
func (r *Result) decide() {
	estimate, reached := r.cheapest(0.5, nil, r.cost)
	planning, sure := engine.Point{}, false
	if reached {
		planning, sure = r.cheapest(float64(r.Asked()), nil, r.cost)
	}
	switch {
	case sure:
		r.bind(planning)
	case reached:
		r.bind(estimate)
	default:
		r.bindHardest()
	}
	b := &r.responses[r.Binding]
	clearest := r.lowest(b)
	r.bound(b, clearest)
	if !reached {
		r.unmet(b, clearest)
		return
	}
	if r.startPasses() {
		return
	}
	r.Outcome = curve.Found
	r.Estimate, r.HasEstimate = r.choice(estimate), true
	if sure {
		r.Planning, r.HasPlanning = r.choice(planning), true
	}
	r.saving()
	if r.Saving.Verdict == AddsNothing && r.Saving.HasAlone {
		r.Planning = r.Saving.Alone
	}
	if !r.HasPlanning {
		r.noPlanning()
		return
	}
	r.rule()
	r.leastLeft()
}

// bound says of the jars and the surface what the binding target's reading shows.
func (r *Result) bound(b *response, clearest engine.Point) {
	d := &r.design
	r.Response, r.Scale, r.Reference = b.Key, b.Name, b.reference
	for i := range r.Jars {
		j := d.series.Jars[i]
		x := j.Readings.Of(b.Key)
		r.Jars[i].State, r.Jars[i].Reading = x.State, b.Uses[i].Value
		if r.Jars[i].Used {
			r.Jars[i].Fit = b.Scale.Reading(b.mean(d.point(r.Jars[i].Pair)))
		}
	}
	r.Clearest = r.choice(clearest)
	r.lowestPassing()
	r.Models = b.weights()
	r.Relative = b.Scale.Log()
	r.Scatter = b.scatter()
	if !r.Relative {
		r.Scatter *= b.Scale.Width()
	}
	r.scattered(b)
}

// leastLeft finds the pair that leaves the least in the water.
func (r *Result) leastLeft() {
	d := &r.design
	left := r.opt.Left
	if left == nil {
		left = func(p Pair) quantity.Concentration {
			if r.Second.PH {
				return p.First
			}
			return p.Second
		}
	}
	if q, ok := r.cheapest(float64(r.Asked()), nil, func(q engine.Point) float64 { return 1e3*float64(left(d.pair(q))) + q.X }); ok {
		r.LeastLeft, r.HasLeastLeft = r.choice(q), true
	}
}

// bind picks the target that is hardest to meet at a pair.
func (r *Result) bind(q engine.Point) {
	worst := 2.0
	for k := range r.responses {
		if c := r.responses[k].alone.Met(q); c < worst {
			worst, r.Binding = c, k
		}
	}
}

// bindHardest picks the target that even the best pair meets least surely.
func (r *Result) bindHardest() {
	worst := 2.0
	for k := range r.responses {
		resp := &r.responses[k]
		at := r.lowest(resp)
		if c := resp.alone.Met(at); c < worst {
			worst, r.Binding = c, k
		}
	}
}

// lowestPassing finds the cheapest jar that met every target.
func (r *Result) lowestPassing() {
	least := math.Inf(1)
	for i, j := range r.Jars {
		if !j.Used {
			continue
		}
		met := true
		for k := range r.responses {
			resp := &r.responses[k]
			for n, jar := range resp.Jar {
				if jar == i {
					met = met && resp.Obs.Limit[n] <= 0 && resp.Obs.Y[n] <= resp.goal+1e-12
				}
			}
		}
		if c := r.cost(r.design.point(j.Pair)); met && c < least {
			least = c
			r.LowestPassing, r.HasLowestPassing = j, true
		}
	}
}

// startPasses answers where the lowest pair tested is enough already, which is claimed with
// the same confidence as a pair to plan with.
func (r *Result) startPasses() bool {
	corner := engine.Point{X: r.region.Xs[0], Y: r.region.Ys[0]}
	if r.Second.PH || !r.region.Contains(corner) || r.confidence(corner) < 0.5 {
		return false
	}
	sure, none := r.confidence(corner) >= float64(r.Asked()), corner == engine.Point{}
	lowest := r.words(r.design.pair(corner))
	switch {
	case sure && none:
		r.Outcome = curve.UntreatedPasses
		r.Notes.Add(note.New(note.Info, "untreated-passes", "the jar without either chemical meets the target%s: no chemical is needed on this evidence", curve.Claimed(r.Asked())).
			At(r.Place).Do("repeat with the worst water that is expected before leaving the chemicals out"))
	case sure:
		r.Outcome = curve.LowestDosePasses
		r.Notes.Add(note.New(note.Caution, "lowest-dose-passes", "the lowest pair tested, %s, meets the target already%s", lowest, curve.Claimed(r.Asked())).
			At(r.Place).Do("run lower doses of both and a jar without either"))
	case none:
		r.Notes.Add(note.New(note.Caution, "untreated-may-pass", "the jar without either chemical may meet the target, but not with the %s confidence that is asked of a pair", curve.Certain(r.Asked())).
			At(r.Place).Do("repeat the jar without chemicals, two or three times"))
	default:
		r.Notes.Add(note.New(note.Caution, "lowest-dose-may-pass", "the lowest pair tested, %s, may meet the target, but not with the %s confidence that is asked of a pair", lowest, curve.Certain(r.Asked())).
			At(r.Place).Do("run lower doses of both, a jar without either, and that pair again"))
	}
	return sure
}

// unmet says why no pair meets the targets.
func (r *Result) unmet(b *response, clearest engine.Point) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range b.cloud.Mesh.Fit {
		low, high = math.Min(low, m), math.Max(high, m)
	}
	info := b.Key.Info()
	best := note.Say("%s", quantity.Full(quantity.Number(r.Clearest.Fit), 3))
	if info.Unit != "" {
		best = note.Say("%s %s", best, info.Unit)
	}
	if r.opposed() {
		return
	}
	reg := r.region
	switch {
	case len(r.opt.Limits) > 0 && r.confidence(clearest) >= 0.5:
		r.Outcome = curve.NotReached
		r.Notes.Add(note.New(note.Caution, "limits-forbid", "pairs that meet the target break a limit (%s)", strings.Join(r.Limits, "; ")).
			At(r.Place).Do("loosen the limit, or test another chemical"))
	case high-low < 2*math.Sqrt2*b.scatter():
		r.Outcome = curve.NoResponse
		r.Notes.Add(note.New(note.Caution, "no-response", "%s does not change with the doses beyond the scatter between jars", info.Label).
			At(r.Place).Do("test a wider range, another chemical or another pH"))
	case r.bestAtLowest(clearest):
		r.Outcome, r.worse = curve.NotReached, true
		n := note.New(note.Caution, "not-reached", "no pair tested meets %q: the best is %s at the lowest dose of %s, and more of it makes it worse", r.Targets[r.Binding].String(), best, r.First.Name).At(r.Place)
		if reg.Xs[0] > 0 {
			n = n.Do("test lower doses of %s, and jars without it; give alkali where pH or alkalinity is what fails", r.First.Name)
		} else {
			n = n.Do("the water fails it without %s: correct that by other means (alkali for pH and alkalinity), or ease this target", r.First.Name)
		}
		r.Notes.Add(n)
	case math.Abs(clearest.X-reg.Xs[len(reg.Xs)-1]) < 1e-6 || !r.Second.PH && math.Abs(clearest.Y-reg.Ys[len(reg.Ys)-1]) < 1e-6:
		r.Outcome = curve.StillImproving
		r.Notes.Add(note.New(note.Caution, "still-improving", "no tested pair meets the target, and the best, %s at %s, lies at the edge of what was tested", best, r.fitted(r.Clearest.Pair)).
			At(r.Place).Do("test higher doses; next lists them"))
	default:
		r.Outcome = curve.NotReached
		r.Notes.Add(note.New(note.Caution, "not-reached", "no pair within the tested region meets the target; the best is %s at %s", best, r.fitted(r.Clearest.Pair)).
			At(r.Place).Do("try another chemical, another pH or a looser target"))
	}
}

// bestAtLowest reports that the best reading stands at the lowest dose of the first
// factor, and that every second level of it gets worse from there on.
func (r *Result) bestAtLowest(clearest engine.Point) bool {
	reg, b := r.region, &r.responses[r.Binding]
	if clearest.X > reg.Xs[0]+1e-6 {
		return false
	}
	for _, y := range reg.Ys {
		if lo, hi, ok := reg.Span(y); ok && hi > lo && b.mean(engine.Point{X: hi, Y: y})-b.mean(engine.Point{X: lo, Y: y}) < b.scatter() {
			return false
		}
	}
	return true
}

// noPlanning says why there is an estimate and no planning pair.
func (r *Result) noPlanning() {
	top, at := 0.0, engine.Point{}
	reg := r.region
	for _, y := range (search{region: reg}).rows() {
		for i := 0; i <= cellsFirst; i++ {
			q := engine.Point{X: float64(i) / cellsFirst, Y: y}
			if reg.Contains(q) && r.keeps(q) {
				if c := r.confidence(q); c > top {
					top, at = c, q
				}
			}
		}
	}
	r.Notes.Add(note.New(note.Caution, "no-planning-pair", "no tested pair is sure enough to plan with: the surest, %s, meets the target with %s %% confidence, and %s %% is asked for", r.words(r.design.pair(at)), quantity.Full(quantity.Number(100*top), 2), quantity.Full(quantity.Number(r.Asked().In("%")), 2)).
		At(r.Place).Do("run the jars that next lists"))
}

// noPrice says why pairs are not compared by cost.
func (r *Result) noPrice() string {
	if r.opt.NotUsed {
		return "the prices given cannot be used"
	}
	return "prices not given"
}

// rule words how the planning pair was chosen.
func (r *Result) rule() {
	switch {
	case r.Saving.Verdict == AddsNothing && r.Saving.HasAlone:
		r.Rule = "the lowest dose of " + r.First.Name + " alone"
	case r.priced():
		r.Rule = "the cheapest pair inside the tested region"
	case r.Second.PH:
		r.Rule = "the lowest dose of " + r.First.Name + " inside the tested region"
	default:
		r.Rule = "the least " + r.Second.Name + " and then the least " + r.First.Name + " inside the tested region (" + r.noPrice() + ")"
	}
	r.Rule += fmt.Sprintf(" at which the target is met with %s confidence", curve.Confident(r.Asked()))
	if len(r.opt.Limits) > 0 {
		r.Rule += ", keeping: " + strings.Join(r.Limits, "; ")
	}
}

// scattered flags jars that lie further off the surface than scatter explains.
func (r *Result) scattered(b *response) {
	m := &b.cloud.Models[b.cloud.BestModel()]
	df := float64(len(b.Obs.U) - 1 - len(m.Model.Params))
	if found, more := b.Obs.Scatter.Exceeded(m.RSS, df); more && b.Scale.Log() {
		r.Notes.Add(note.New(note.Caution, "scatter", "the jars lie about %s %% off any smooth surface, more than the %s %% that jars of one water usually scatter", quantity.Full(quantity.Number(100*found), 2), quantity.Full(quantity.Number(100*b.Obs.Scatter.SD), 2)).
			At(r.Place).Do("repeat jars, and check the doses pipetted"))
	}
	worst, at := 0.0, -1
	for k, y := range b.Obs.Y {
		if b.Obs.Limit[k] != 0 {
			continue
		}
		if off := math.Abs(y - b.mean(b.Obs.At(k))); off > worst {
			worst, at = off, b.Jar[k]
		}
	}
	if at >= 0 && worst > 4*math.Max(b.Obs.Scatter.SD, 0.05) {
		j := r.Jars[at]
		r.Notes.Add(note.New(note.Caution, "odd-jar", "jar %q lies far off the surface through the others", j.Label).At(j.At).
			Do("check its doses and repeat it"))
	}
}
