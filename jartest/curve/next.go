package curve

import (
	"math"
	"slices"
	"sort"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// NextOptions say what the next series may be made of.
type NextOptions struct {
	// Jars is how many jars there are; 0 means 6.
	Jars int
	// Stock and JarVolume turn doses into volumes to pipette; zero where unknown.
	Stock     quantity.Concentration
	JarVolume quantity.Volume
	// Span is where to look where the last jars fell short of the target, if their own range is not enough; no jar
	// of a dose that was found goes above it.
	Span Span
}

// Span is a range of doses for the next jars, with the rule that chose it and what each is for.
type Span struct {
	Low, High quantity.Concentration
	Rule, Why string
	// Steps is true where the jars of a dose that was found are to go from Low to High in equal steps, whatever would narrow
	// its interval more: what lies above is as much in doubt.
	Steps bool
	// Changed is true where every jar gets what the last ones lacked, so that nothing they told narrows the new ones' answer.
	Changed bool
}

// NextDose is a dose of the next series.
type NextDose struct {
	Dose quantity.Concentration // in a series against pH, the pH
	Jars int                    // how many jars get it
	// Stock is what to pipette into each of them; zero where stock or jar volume are not known.
	Stock quantity.Volume
	Why   string
}

// Expectation is what a choice of doses would do to the interval.
type Expectation struct {
	Name  string
	Doses []quantity.Concentration
	Jars  int
	// Shrink is the width of the interval after, as a share of the width before, on
	// the logarithmic scale of dose.
	Shrink float64
	// After is the interval to be expected about today's estimate.
	After Interval
	Taken bool
}

// Next is the series worth running next.
type Next struct {
	Series   string
	Place    note.Place
	Sample   jartest.Sample
	Chemical string // what is dosed; empty in a series against pH
	Outcome  Outcome
	Factor   string
	Basis    quantity.Basis
	Before   Interval
	Doses    []NextDose
	Rule     string
	Choices  []Expectation
	Notes    note.List
}

// Next plans the next series from what this one told. Where a lowest effective
// dose was found, doses are chosen that narrow its interval most, judged by the
// set of equally likely curves; otherwise the range is moved to where the answer
// must lie.
func (r Result) Next(opt NextOptions) Next {
	if opt.Jars <= 0 {
		opt.Jars = 6
	}
	n := Next{Series: r.Series, Place: r.Place, Sample: r.Sample, Chemical: r.Chemical.Name,
		Outcome: r.Outcome, Factor: r.Factor, Basis: r.Chemical.Basis, Before: r.Effective}
	if r.Factor != "dose" {
		n.ph(r, opt)
		return n
	}
	if r.Outcome == Found && !opt.Span.Changed {
		n.narrow(r, opt)
	} else if n.take(r.widen(opt), opt); len(n.Doses) == 0 {
		return n
	}
	n.volumes(opt)
	return n
}

// Looks reports that a jar of the next series has that dose or more.
func (n Next) Looks(from quantity.Concentration) bool {
	return slices.ContainsFunc(n.Doses, func(d NextDose) bool { return d.Dose >= from })
}

// add puts a dose down, rounded to what a pipette can do.
func (n *Next) add(opt NextOptions, dose float64, jars int, why string) {
	d := NextDose{Dose: quantity.Concentration(dose), Jars: jars, Why: why}
	d.Dose, d.Stock = rounded(d.Dose, opt, 0)
	for i := range n.Doses {
		if n.Doses[i].Dose == d.Dose {
			n.Doses[i].Jars += jars
			return
		}
	}
	n.Doses = append(n.Doses, d)
	sort.SliceStable(n.Doses, func(a, b int) bool { return n.Doses[a].Dose < n.Doses[b].Dose })
}

// rounded gives the nearest dose that can be measured out. With a stock it is the
// pipette that decides: hundredths of a millilitre up to 1 mL, twentieths to 10 mL,
// halves beyond (the usual graduations; common practice). Without, a dose is
// rounded to a round number no coarser than a fiftieth of itself, or than step.
func rounded(d quantity.Concentration, opt NextOptions, step float64) (quantity.Concentration, quantity.Volume) {
	if d <= 0 {
		return 0, 0
	}
	if opt.Stock > 0 && opt.JarVolume > 0 {
		ml := float64(d) * float64(opt.JarVolume) / float64(opt.Stock) * 1000
		graduation := 0.5
		switch {
		case ml <= 1:
			graduation = 0.01
		case ml <= 10:
			graduation = 0.05
		}
		ml = math.Max(math.Round(ml/graduation), 1) * graduation
		return quantity.Concentration(ml / 1000 * float64(opt.Stock) / float64(opt.JarVolume)), quantity.Volume(ml / 1000)
	}
	if step <= 0 {
		step = float64(d) / 25
	}
	p := math.Pow(10, math.Floor(math.Log10(step)))
	for _, m := range [...]float64{5, 2, 1} {
		if m*p <= step*(1+1e-9) {
			k := math.Round(float64(d) / (m * p))
			return quantity.Concentration(quantity.RoundSig(k*m*p, 10)), 0
		}
	}
	return d, 0
}

// volumes warns about doses that are hard to pipette.
func (n *Next) volumes(opt NextOptions) {
	if opt.Stock <= 0 || opt.JarVolume <= 0 {
		n.Notes.Add(note.New(note.Info, "no-stock", "without the strength of the stock and the volume of a jar there are doses but no millilitres").
			Do(`give --stock "10 g/L" and --jar-volume "1 L"`))
		return
	}
	for _, d := range n.Doses {
		if d.Stock > 0 && d.Stock.In("mL") < 0.1 {
			n.Notes.Add(note.New(note.Caution, "little-stock", "%s needs only %s of stock, which a pipette measures poorly", d.Dose, d.Stock).Do("use a stock ten times weaker"))
			break
		}
	}
	for _, d := range n.Doses {
		if float64(d.Stock) > 0.02*float64(opt.JarVolume) {
			n.Notes.Add(note.New(note.Caution, "much-stock", "%s needs %s of stock, which dilutes the jar by more than 2 %%", d.Dose, d.Stock).Do("use a stronger stock"))
			break
		}
	}
}

// choice is one way to spread the jars of the next series.
type choice struct {
	name  string
	doses []float64
}

// narrow chooses doses that shrink the interval of the lowest effective dose.
func (n *Next) narrow(r Result, opt NextOptions) {
	if r.design == nil {
		return
	}
	e := r.design.expect(engine.New())
	choices := r.ways(e, opt)
	best := choices[n.judge(r, e, choices, r.Cliff.OK || opt.Span.Steps)]
	n.Rule = best.name
	low, high := r.quantileIn(0.05), r.quantileIn(0.95)
	for _, x := range best.doses {
		why := "inside the interval"
		switch {
		case x < low:
			why = "below the interval: fixes the fall"
		case x > high:
			why = "above the interval: fixes the floor"
		}
		if opt.Span.Steps && !r.Cliff.OK {
			why = opt.Span.Why
		}
		v := NextDose{Dose: quantity.Concentration(x), Jars: 1, Why: why}
		if opt.Stock > 0 && opt.JarVolume > 0 {
			v.Stock = quantity.Volume(x * float64(opt.JarVolume) / float64(opt.Stock))
		}
		if k := len(n.Doses) - 1; k >= 0 && n.Doses[k].Dose == v.Dose {
			n.Doses[k].Jars++
			continue
		}
		n.Doses = append(n.Doses, v)
	}
	if len(n.Doses) > 0 && n.Doses[0].Dose > 0 {
		n.Notes.Add(note.New(note.Info, "same-water", "the two tests can only be read together if the water is the same; on new water add a jar without chemical and fit the new test by itself"))
	}
	n.volumes(opt)
}

// ways are the spreads of jars that are compared, the plain bracket first; over a cliff,
// of which the jars cannot tell where in the gap it lies, that is asked first.
func (r Result) ways(e *expectation, opt NextOptions) []choice {
	low, mid, high := r.quantileIn(0.05), float64(r.Effective.Value), r.quantileIn(0.95)
	width, top := high-low, r.grid[len(r.grid)-1]
	if opt.Span.High > 0 {
		top = math.Min(top, float64(opt.Span.High))
	}
	round := func(doses []float64) []float64 {
		var out []float64
		for _, x := range doses {
			v, _ := rounded(quantity.Concentration(x), opt, width/12)
			out = append(out, math.Min(math.Max(float64(v), r.grid[0]), top))
		}
		slices.Sort(out)
		return out
	}
	var bracket, equal, inside []float64
	for i := range opt.Jars {
		bracket = append(bracket, [...]float64{low, mid, high}[i*3/opt.Jars])
		t := 0.5
		if opt.Jars > 1 {
			t = float64(i) / float64(opt.Jars-1)
		}
		equal = append(equal, low-width/4+t*width*1.5)
		inside = append(inside, partWay(float64(r.Cliff.V.Low.Dose), float64(r.Cliff.V.High.Dose), float64(i+1)/float64(opt.Jars+1)))
	}
	choices := []choice{
		{"lower end, estimate and upper end of the interval", round(bracket)},
		{"spread where the curves differ most (computed)", round(e.greedy(opt.Jars, low-width/2, math.Min(high+width/2, top)))},
		{"equal steps over the interval and a quarter beyond", round(equal)},
	}
	if again := r.testedDoses(opt.Jars); opt.Span.High <= 0 || slices.Max(again) <= top {
		choices = append(choices, choice{"the same doses again", again})
	}
	switch s := opt.Span; {
	case r.Cliff.OK:
		choices = slices.Insert(choices, 0, choice{"equal steps between the two jars where the water falls", round(inside)})
	case s.Steps:
		var doses []float64
		for _, d := range steps(float64(s.Low), float64(s.High), opt.Jars) {
			v, _ := rounded(quantity.Concentration(d), opt, float64(s.High-s.Low)/float64(5*opt.Jars))
			doses = append(doses, math.Min(float64(v), float64(s.High)))
		}
		choices = slices.Insert(choices, 0, choice{s.Rule, doses})
	}
	return choices
}

// judge puts down by how much each choice narrows the interval, and that taken with two and
// three jars at each dose. It gives the one taken: the first, unless another is worth it
// and nothing asks for the first.
func (n *Next) judge(r Result, e *expectation, choices []choice, first bool) (best int) {
	expect := func(name string, doses []float64) Expectation {
		s := e.shrink(doses)
		return Expectation{Name: name, Jars: len(doses), Shrink: s, After: shrunk(r.Effective, s)}
	}
	for i, c := range choices {
		x := expect(c.name, c.doses)
		for _, v := range c.doses {
			x.Doses = append(x.Doses, quantity.Concentration(v))
		}
		n.Choices = append(n.Choices, x)
		if !first && x.Shrink < n.Choices[best].Shrink-0.02 {
			best = i
		}
	}
	n.Choices[best].Taken = true
	for _, times := range [...]int{2, 3} {
		many := slices.Repeat(choices[best].doses, times)
		n.Choices = append(n.Choices, expect("the doses taken, "+[...]string{2: "two", 3: "three"}[times]+" jars for each one", many))
	}
	return best
}

// quantileIn is a quantile of the lowest effective dose, at most the highest dose tested.
func (r Result) quantileIn(p float64) float64 {
	q := engine.Quantile(r.doses, p)
	return math.Min(q, r.grid[len(r.grid)-1])
}

// testedDoses gives the doses tested, spread over n jars.
func (r Result) testedDoses(n int) []float64 {
	seen := map[float64]bool{}
	var all []float64
	for _, j := range r.Jars {
		if d := float64(j.Dose); j.Used && !seen[d] {
			seen[d] = true
			all = append(all, d)
		}
	}
	slices.Sort(all)
	if len(all) == 0 {
		return nil
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = all[i*len(all)/n]
	}
	return out
}

// shrunk narrows an interval about its value on the logarithmic scale.
func shrunk(i Interval, s float64) Interval {
	v := float64(i.Value)
	if i.HasLow {
		i.Low = quantity.Concentration(v * math.Pow(float64(i.Low)/v, s))
	}
	if i.HasHigh {
		i.High = quantity.Concentration(v * math.Pow(float64(i.High)/v, s))
	}
	return i
}

// ph plans a second series against pH.
func (n *Next) ph(r Result, opt NextOptions) {
	lo, hi := float64(r.TestedLow), float64(r.TestedHigh)
	n.Before = r.Optimum
	if r.Outcome == Found {
		if r.Optimum.HasLow {
			lo = float64(r.Optimum.Low)
		}
		if r.Optimum.HasHigh {
			hi = float64(r.Optimum.High)
		}
		n.Rule = "equal steps over the interval of the best pH and a quarter beyond"
		lo, hi = lo-(hi-lo)/4, hi+(hi-lo)/4
	} else {
		n.Rule = "the tested range and half of it beyond the better end"
		if float64(r.Best.Dose) > (lo+hi)/2 {
			lo, hi = (lo+hi)/2, hi+(hi-lo)/2
		} else {
			lo, hi = lo-(hi-lo)/2, (lo+hi)/2
		}
	}
	for i := range opt.Jars {
		v := lo
		if opt.Jars > 1 {
			v += (hi - lo) * float64(i) / float64(opt.Jars-1)
		}
		v = math.Round(v*10) / 10
		if k := len(n.Doses) - 1; k >= 0 && float64(n.Doses[k].Dose) == v {
			n.Doses[k].Jars++
			continue
		}
		n.Doses = append(n.Doses, NextDose{Dose: quantity.Concentration(v), Jars: 1, Why: "around the best pH"})
	}
}

// expectation judges doses of the next series on the grid of the cloud.
type expectation struct {
	*engine.Outlook
	u []float64 // grid, mg/L
}

// judgeEvery: every second curve is enough to judge by.
const judgeEvery = 2

func (d *design) expect(e *engine.Engine) *expectation {
	c := d.cloud
	x := &expectation{u: make([]float64, len(c.U))}
	for j, u := range c.U {
		x.u[j] = u * d.dmax
	}
	top, floor := x.u[len(x.u)-1], x.u[0]
	if floor == 0 {
		floor = x.u[1]
	}
	margin := make([]float64, len(c.U))
	var f [][]float64
	var sigma, answer []float64
	for k := 0; k < len(c.F); k += judgeEvery {
		d.goal.margins(c, d.prepared, k, d.levels[k], margin)
		led := engine.FirstCrossing(c.U, margin, 0, false) * d.dmax
		if math.IsInf(led, 1) {
			led = top * 1.15 // never in range: somewhere beyond
		}
		f, sigma = append(f, c.F[k]), append(sigma, c.Sigma[k])
		answer = append(answer, math.Log(math.Max(led, floor/2)))
	}
	x.Outlook = e.Outlook(func(k, j int) float64 { return f[k][j] }, sigma, answer)
	return x
}

// near is the grid point nearest to a dose.
func (e *expectation) near(d float64) int {
	best := 0
	for j, u := range e.u {
		if math.Abs(u-d) < math.Abs(e.u[best]-d) {
			best = j
		}
	}
	return best
}

// shrink gives the share of the interval's width that would be left on average.
func (e *expectation) shrink(doses []float64) float64 {
	at := make([]int, len(doses))
	for i, d := range doses {
		at[i] = e.near(d)
	}
	return e.Left(at)
}

// greedy takes one jar after the other where it narrows most.
func (e *expectation) greedy(jars int, low, high float64) []float64 {
	var candidates []int
	for j, u := range e.u {
		if u >= low && u <= high && u > 0 {
			candidates = append(candidates, j)
		}
	}
	for len(candidates) > 12 { // every other one will do
		var thin []int
		for i := 0; i < len(candidates); i += 2 {
			thin = append(thin, candidates[i])
		}
		candidates = thin
	}
	var out []float64
	for _, j := range e.Greedy(jars, candidates) {
		out = append(out, e.u[j])
	}
	return out
}

// StockOf gives the stock and jar volume that the series states, for [NextOptions].
func StockOf(s jartest.Series) NextOptions {
	o := NextOptions{JarVolume: s.JarVolume}
	if chem, _, _ := factorOf(s); chem >= 0 && chem < len(s.Chemicals) {
		o.Stock = s.Chemicals[chem].Stock
	}
	return o
}
