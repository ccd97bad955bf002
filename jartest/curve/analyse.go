package curve

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/observed"
	"jarwright/jartest/quantity"
)

const (
	// freeShare is the share of the nonparametric fit in the answer.
	freeShare = 0.1
	// fewestDoses is the least number of different doses that a curve is put through.
	fewestDoses = 4
	// fewestExact of them must have a reading that is a number, not a limit.
	fewestExact = 2
)

// Scatter is what a bench's own replicates say of its scatter, to be used in
// place of the default.
type Scatter = observed.Scatter

// Options of an analysis. The zero value is the default.
type Options struct {
	// Scatter replaces the expected scatter between jars.
	Scatter *Scatter
	// Sure is the confidence with which a dose to plan with must meet the target, and SureOf
	// that for a series where Sure is zero; where neither says it, it is
	// [engine.PlanningConfidence].
	Sure   quantity.Fraction
	SureOf func(jartest.Series) quantity.Fraction
	// OnlyTarget leaves the other readings' curves out.
	OnlyTarget bool
	// ForNext keeps what [Result.Next] needs to choose doses; it takes a megabyte a series.
	ForNext bool
	// Done, where given, is called after each series of [AnalyseAll], from any goroutine, and
	// tells whether to go on; what was not begun by then has a result without an answer.
	Done func() (goOn bool)
	// part: what is said of single jars is left out, since this is an answer without one.
	part bool
}

// Asked is the confidence that is asked of a dose for the series.
func (o Options) Asked(s jartest.Series) quantity.Fraction {
	if o.Sure == 0 && o.SureOf != nil {
		o.Sure = o.SureOf(s)
	}
	return cmp.Or(o.Sure, engine.PlanningConfidence)
}

// Analyse fits a series and answers for the targets given, or for the series' own
// where none are given.
func Analyse(s jartest.Series, targets []jartest.Target, opt Options) Result {
	return analyse(engine.New(), s, targets, opt)
}

// AnalyseAll does that for many series, on every processor; results stand in the
// order of the series, and do not depend on the number of processors.
func AnalyseAll(series []jartest.Series, targets []jartest.Target, opt Options) []Result {
	out := make([]Result, len(series))
	e := engine.New()
	next := make(chan int)
	var wg sync.WaitGroup
	var ended atomic.Bool
	for range min(runtime.GOMAXPROCS(0), max(len(series), 1)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				out[i] = analyse(e, series[i], targets, opt)
				if opt.Done != nil && !opt.Done() {
					ended.Store(true)
				}
			}
		}()
	}
	for i := range series {
		if ended.Load() {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
	return out
}

// analysis is the state of one series' analysis.
type analysis struct {
	e     *engine.Engine
	s     jartest.Series
	opt   Options
	col   column
	chem  int
	r     *Result
	ready map[jartest.Key]*prepared
	cloud map[jartest.Key]*engine.Cloud
	mid   map[jartest.Key][]float64
	lo    map[jartest.Key][]float64
	hi    map[jartest.Key][]float64
	goals []goal
	first []float64 // where each curve meets the targets, in the order of the first goal's
	upper []float64 // where each curve that meets the targets fails them again
	each  []without // the answer without each jar
	// weights is room for those of the curves, were a jar not there.
	weights []float64
	// levels are the goals' working-scale levels, a row a goal, for every curve.
	levels [][]float64
	// lowest and wide are where the pH of the jars begin and how far they go.
	lowest, wide float64
}

func analyse(e *engine.Engine, s jartest.Series, targets []jartest.Target, opt Options) Result {
	a := begin(e, s, targets, opt)
	if !a.setGoals() {
		return *a.r
	}
	if a.r.Factor == "dose" {
		a.answer()
	} else {
		a.optimum()
	}
	a.readings()
	a.advise()
	if !opt.ForNext {
		for _, c := range a.cloud {
			c.Release()
		}
	}
	return *a.r
}

// begin finds what was varied, and the jars that can be compared.
func begin(e *engine.Engine, s jartest.Series, targets []jartest.Target, opt Options) *analysis {
	r := &Result{Series: s.Name, Place: s.Place, Sample: s.Sample(), Factor: "dose", Targets: targets, asked: opt.Asked(s)}
	if len(targets) == 0 {
		r.Targets = s.Targets
	}
	if slices.ContainsFunc(r.Targets, func(t jartest.Target) bool { return t.ByRule }) {
		r.Targets = slices.Clone(r.Targets)
		for i, t := range r.Targets {
			r.Targets[i], _ = s.ByRule(t) // what it lacks is told where the targets are read
		}
	}
	s, notes := s.MergeRepeats()
	r.Notes.Add(notes...)
	chem, setting, others := factorOf(s)
	if chem >= 0 && chem < len(s.Chemicals) {
		r.Chemical = s.Chemicals[chem]
	}
	for _, c := range others {
		r.Notes.Add(note.New(note.Caution, "two-chemicals", "the dose of %s varies too; jars are compared at its commonest dose only", s.Chemicals[c].Name).
			At(s.Place).Do("use compare for pairs of chemicals"))
	}
	if setting != "" {
		r.Factor = setting
	}
	a := &analysis{e: e, s: s, opt: opt, chem: chem, r: r, ready: map[jartest.Key]*prepared{}, cloud: map[jartest.Key]*engine.Cloud{},
		mid: map[jartest.Key][]float64{}, lo: map[jartest.Key][]float64{}, hi: map[jartest.Key][]float64{}}
	a.col, notes = factorColumn(s, chem, setting)
	a.lowest, a.wide = a.col.ends()
	r.Beside = beside(s, chem, setting)
	r.Notes.Add(notes...)
	return a
}

// setGoals prepares the readings that the targets are about. It reports whether
// there is anything to answer.
func (a *analysis) setGoals() bool {
	r := a.r
	if !a.asked() {
		return false
	}
	fitted, ok := a.asRead()
	if !ok {
		return false
	}
	high := map[jartest.Key]bool{}
	for _, f := range fitted {
		high[f.Key] = high[f.Key] || f.Kind == jartest.Absolute && f.AtLeast && !isRemovalKey(f.Key)
	}
	r.Response = fitted[0].Key
	for _, t := range fitted {
		if a.ready[t.Key] == nil {
			p := prepare(a.s, t.Key, a.col, high[t.Key], a.opt.Scatter)
			a.ready[t.Key] = &p
		}
		g, n := aim(a.s, t, a.ready[t.Key])
		if n != nil {
			r.Notes.Add(*n)
			r.Outcome = Ambiguous
			ok = false
		}
		if t.Kind == jartest.Removal && ok {
			r.Reference = Reference{What: "control jar", Value: g.ref, Unit: t.Key.Info().Unit}
			if g.fromRaw {
				r.Reference.What = "raw water"
			}
		}
		a.goals = append(a.goals, g)
	}
	p := a.ready[r.Response]
	r.Jars, r.Scale = p.jars, p.Name
	if !ok {
		a.bare(p)
	}
	return ok
}

// asked reports a target to answer for. Against pH it need not be given: the best is asked for.
func (a *analysis) asked() bool {
	r := a.r
	if r.Factor != "dose" && len(r.Targets) == 0 {
		for _, k := range a.s.Keys() {
			if k != jartest.PH && k.Info().LowIsGood {
				r.Targets = []jartest.Target{{Key: k, Kind: jartest.WithinBest, Value: 10, Unit: "%"}}
				break
			}
		}
	}
	if len(r.Targets) > 0 {
		return true
	}
	do := `add --target "turbidity <= 5 NTU"`
	if r.Factor == "dose" {
		do += ", or state the target in the sheet"
	}
	r.Notes.Add(note.Fault("no-target", "no target is given for %s", quoted(r.Series)).At(a.s.Place).Do("%s", do))
	return false
}

// asRead puts every target on the readings that the sheet has, or tells all that it has not.
func (a *analysis) asRead() (fitted []jartest.Target, ok bool) {
	ok = true
	for _, t := range a.r.Targets {
		f, err := a.s.Reads(t)
		if err != nil {
			near := a.near(t.Key)
			if t.ByRule { // what it lacks is of the raw water
				near = ""
			}
			a.r.Notes.Add(note.Fault("reading-missing", "target %q: %s%s", t.String(), err, near).
				At(a.s.Place).Do("%s", a.haveKeys()))
			ok = false
			continue
		}
		if f, err = perOwnDose(a.s, f, a.r.Chemical.Basis); err != nil {
			a.r.Notes.Add(note.Of(err, "slope-basis")...)
			ok = false
			continue
		}
		fitted = append(fitted, f)
	}
	return fitted, ok
}

func isRemovalKey(k jartest.Key) bool {
	return k == jartest.TurbidityRemoval || k == jartest.TSSRemoval
}

func (a *analysis) near(k jartest.Key) string {
	var names []string
	for _, h := range a.s.Keys() {
		if h.Base() != k { // that is there, and something else of it is not
			names = append(names, string(h))
		}
	}
	return note.DidYouMean(string(k), names)
}

func (a *analysis) haveKeys() string {
	out := "the sheet has"
	for i, k := range a.s.Keys() {
		if i > 0 {
			out += ","
		}
		out += " " + string(k)
	}
	if len(a.s.Keys()) == 0 {
		return "check the sheet with read: it has no readings"
	}
	return out
}

func quoted(name string) string {
	if name == "" {
		return "the series"
	}
	return "series " + name
}

// bare fills in what is known without a fit.
func (a *analysis) bare(p *prepared) {
	r := a.r
	r.TestedLow, r.TestedHigh = testedRange(p)
	if u, mean, _, _ := p.Obs.Groups(); len(u) > 0 {
		best := a.bestOf(p, mean)
		r.Best = Spot{quantity.Concentration(u[best]), p.Scale.Reading(mean[best])}
	}
	a.lowestPassing()
}

// highIsBest tells in which direction the working scale gets better.
func (a *analysis) highIsBest(p *prepared) bool {
	for _, g := range a.goals {
		if g.key == p.Key {
			return g.high && !p.Scale.Log()
		}
	}
	return !p.Scale.Log() && p.Key.Known() && !p.Key.Info().LowIsGood
}

func testedRange(p *prepared) (lo, hi quantity.Concentration) {
	if len(p.Obs.U) == 0 {
		return 0, 0
	}
	lo = quantity.Concentration(math.Inf(1))
	for _, u := range p.Obs.U {
		lo, hi = min(lo, quantity.Concentration(u)), max(hi, quantity.Concentration(u))
	}
	return lo, hi
}

// distinct counts the different doses, and those with at least one exact reading.
func (p *prepared) distinct() (all, exact int) {
	u, _, _, _ := p.Obs.Groups()
	for _, d := range u {
		all++
		for i := range p.Obs.U {
			if p.Obs.U[i] == d && p.Obs.Limit[i] == 0 {
				exact++
				break
			}
		}
	}
	return all, exact
}

// fit builds the cloud of one prepared reading.
func (a *analysis) fit(p *prepared, models []engine.Model, lowest, span float64) *engine.Cloud {
	o := p.Obs
	o.U = make([]float64, len(p.Obs.U))
	o.Y = make([]float64, len(p.Obs.Y))
	for i, u := range p.Obs.U {
		o.U[i], o.Y[i] = engine.Steady((u-lowest)/span), engine.Steady(p.Obs.Y[i])
	}
	build := a.e.BuildBriefly
	if slices.ContainsFunc(a.goals, func(g goal) bool { return g.key == p.Key }) {
		build = a.e.Build
	}
	c := build(&o, models, freeShare)
	a.cloud[p.Key] = c
	a.mid[p.Key], a.lo[p.Key], a.hi[p.Key] = c.Band((1-engine.IntervalConfidence)/2, (1+engine.IntervalConfidence)/2)
	return c
}

func modelsFor(p *prepared) []engine.Model {
	switch {
	case !p.Scale.Log():
		return engine.AdditiveModels()
	case p.Partly():
		return engine.PartialModels()
	}
	return engine.Models()
}

// answer works out the lowest effective dose of a series against dose.
func (a *analysis) answer() {
	r := a.r
	for _, g := range a.goals {
		p := a.ready[g.key]
		all, exact := p.distinct()
		if all < fewestDoses || exact < fewestExact {
			r.Outcome = TooFewJars
			a.bare(p)
			r.Notes.Add(note.New(note.Caution, "too-few-jars", "only %d different doses have a reading of %s that can be used, %d of them within the meter's range; a curve needs %d", all, g.key.Info().Label, exact, fewestDoses).
				At(a.s.Place).Do("run six jars over a wider range of doses"))
			return
		}
		if a.belowDetection(g, p) {
			return
		}
	}
	dmax := 0.0
	for _, g := range a.goals {
		dmax = math.Max(dmax, a.ready[g.key].dmax)
	}
	for _, g := range a.goals {
		a.ready[g.key].dmax = dmax
	}
	a.cross()
	a.decide()
}

// cross finds, for every curve (or set of curves, with several targets), where the
// targets are first met, and at every dose or pH the share that meets them.
func (a *analysis) cross() {
	r := a.r
	clouds := make([]*engine.Cloud, len(a.goals))
	a.levels = make([][]float64, len(a.goals))
	for i := range a.goals {
		g := &a.goals[i]
		clouds[i] = a.curved(g.key, a.ready[g.key])
		a.levels[i] = g.thresholds(clouds[i], a.ready[g.key], a.e)
	}
	lowest, span := a.span(a.ready[a.goals[0].key])
	grid := clouds[0].U
	for _, c := range clouds[1:] {
		if len(c.U) != len(grid) {
			grid = commonGrid(clouds)
			break
		}
	}
	n := len(clouds[0].F)
	single := make([][]float64, len(clouds))
	for i := range single {
		single[i] = make([]float64, n)
	}
	r.doses = make([]float64, n)
	hits := make([]int, len(grid))
	worst := make([]float64, len(grid))
	margins := a.marginsOn(grid, clouds)
	for k := range n {
		for i := range clouds {
			own := margins(k, i)
			single[i][k] = engine.FirstCrossing(grid, own, 0, false)
			for j := range own {
				if i == 0 || own[j] > worst[j] {
					worst[j] = own[j]
				}
			}
		}
		first := engine.FirstCrossing(grid, worst, 0, false)
		r.doses[k] = lowest + first*span
		if !math.IsInf(first, 1) {
			a.upper = append(a.upper, lowest+lastWithin(grid, worst, first)*span)
		}
		for j := range worst {
			if worst[j] <= 0 {
				hits[j]++
			}
		}
	}
	a.first = slices.Clone(r.doses)
	slices.Sort(r.doses)
	r.thin() // first, so that every dose is read off the same curves
	for j := range grid {
		r.grid = append(r.grid, lowest+grid[j]*span)
		r.met = append(r.met, float64(hits[j])/float64(n))
	}
	a.binds(single)
}

// marginsOn gives, for every set of curves and every goal, how far the goal is from being met
// at each dose of a grid; each replaces the last.
func (a *analysis) marginsOn(grid []float64, clouds []*engine.Cloud) func(k, goal int) []float64 {
	stride, n := a.pairing(), len(clouds[0].F)
	own, margins := make([]float64, len(grid)), make([][]float64, len(clouds))
	for i, c := range clouds {
		margins[i] = make([]float64, len(c.U))
	}
	return func(k, i int) []float64 {
		c, g, row := clouds[i], &a.goals[i], stride(k, i, n)
		g.margins(c, a.ready[g.key], row, a.levels[i][row], margins[i])
		if len(c.U) == len(grid) {
			return margins[i]
		}
		resample(c.U, margins[i], grid, own)
		return own
	}
}

// binds finds the target that decides: the one that alone would ask for most.
func (a *analysis) binds(single [][]float64) {
	r, most := a.r, math.Inf(-1)
	for i := range single {
		if m := engine.Median(single[i]); m > most {
			most, r.Binding = m, i
		}
	}
	r.Response = a.goals[r.Binding].key
}

func commonGrid(clouds []*engine.Cloud) []float64 {
	var g []float64
	for _, c := range clouds {
		g = append(g, c.U...)
	}
	slices.Sort(g)
	lo, hi := 0.0, math.Inf(1)
	for _, c := range clouds {
		lo, hi = math.Max(lo, c.U[0]), math.Min(hi, c.U[len(c.U)-1])
	}
	var out []float64
	for _, v := range g {
		if v >= lo && v <= hi && (len(out) == 0 || v-out[len(out)-1] > 1e-9) {
			out = append(out, v)
		}
	}
	return out
}

// resample interpolates margins onto another grid.
func resample(u, f, grid, out []float64) {
	k := 0
	for j, x := range grid {
		for k < len(u)-2 && u[k+1] < x {
			k++
		}
		t := (x - u[k]) / (u[k+1] - u[k])
		out[j] = f[k] + math.Min(math.Max(t, 0), 1)*(f[k+1]-f[k])
	}
}

// lowestPassing finds the lowest dose whose jars, as read, meet every target. It is told by
// the reading that decides.
func (a *analysis) lowestPassing() {
	r := a.r
	if len(a.goals) == 0 {
		return
	}
	u, _, _, _ := a.ready[a.goals[0].key].Obs.Groups()
	for _, d := range u {
		pass := true
		var told JarUse
		var jars int
		for i := 0; i < len(a.goals) && pass; i++ {
			g := &a.goals[i]
			p := a.ready[g.key]
			first, n := p.at(d)
			pass = n > 0 && g.passes(first.Reading, p)
			if g.key == r.Response {
				told, jars = first, n
			}
		}
		if pass {
			r.LowestPassing, r.HasLowestPassing, r.PassingJars = told, true, jars
			return
		}
	}
}

// at is the first of the jars at a dose, with the mean of what all of them read, and how many
// they are; none where one reads more than a limit.
func (p *prepared) at(dose float64) (first JarUse, jars int) {
	sum := 0.0
	for i, x := range p.Obs.U {
		if x != dose {
			continue
		}
		if p.Obs.Limit[i] > 0 {
			return JarUse{}, 0
		}
		j := p.jars[p.Jar[i]]
		if jars++; jars == 1 {
			first = j
		}
		sum += j.Reading
	}
	first.Reading = sum / float64(jars)
	return first, jars
}

// passes judges a reading as it stands.
func (g *goal) passes(v float64, p *prepared) bool {
	t := g.target
	switch t.Kind {
	case jartest.Absolute:
		return t.Met(v)
	case jartest.Removal:
		return 100*v <= (100-t.Value)*g.ref // so that 20 of 100 is 80 %
	case jartest.WithinBest:
		best := math.Inf(1)
		_, mean, _, _ := p.Obs.Groups()
		for _, m := range mean {
			best = math.Min(best, p.Scale.Reading(m))
		}
		return v <= best+math.Abs(best)*t.Value/100
	}
	return false
}
