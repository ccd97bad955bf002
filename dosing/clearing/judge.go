package clearing

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// fewest is how many readings at different times a course takes: one more than it has parameters.
const fewest = 4

// Result is what a run tells.
type Result struct {
	Run
	Outcome Outcome
	// Capture is the share that a pass takes out. In a tank that is not mixed its value is the least that it can be.
	Capture Estimate[quantity.Fraction]
	// Plug is the capture if nothing mixed in the tank, so that each turn of its water came as one: the least that it can be.
	Plug quantity.Fraction
	// Constant is the time in which what can come out falls to 37 %, Cleared the flow of clear water that does the same, E·Q.
	Constant Estimate[quantity.Time]
	Cleared  Estimate[quantity.Flow]
	// Start is the fitted reading at the start, Floor what never comes out at this flow.
	Start float64
	Floor Estimate[float64]
	// Goal is the reading asked for, ToGoal the time from the start until it is reached; Beyond is true where that lies
	// after the last reading, Never where the fitted course never gets there.
	Goal          quantity.Known[float64]
	ToGoal        Estimate[quantity.Time]
	Beyond, Never bool
	// Scatter is the proportional scatter of the readings about the course.
	Scatter quantity.Known[quantity.Fraction]
	// Settled is the rate, 1/h, that the tank has by itself and that was taken off, with its own ends, which count in those of the
	// capture; not given where no blank run tells it.
	Settled quantity.Known[Estimate[float64]]
	// Doubtful is true where volume and flow make no sense beside the readings; it is then asked what was meant.
	Doubtful bool
	// Step is where the reading steps up in the middle of the run.
	Step quantity.Known[Step]
	// Settles and Rise are what a blank run tells: the rate, 1/h, at which the tank clears by itself, and how much its reading
	// rises in an hour. Zero where the readings show none.
	Settles, Rise Estimate[float64]
	// OfPairs is what inlet and outlet tell, where a run has both.
	OfPairs quantity.Known[Pass]
	Closure quantity.Known[Closure]
	passage passage
	fit     fitted
	told    bool // the fit stands
	blankDF int  // how many readings more than parameters told what settles
}

// Judge says what the runs of a trial tell. Blank runs are judged first: what settles without the unit is no capture of it.
func Judge(t Trial) Judged {
	j := Judged{Trial: t}
	var settles quantity.Known[Estimate[float64]]
	df := 0
	for _, r := range t.Runs {
		if b := blank(r); r.Off && b.Outcome == Blank {
			settles, df = quantity.Some(b.Settles), len(tankPoints(r.Readings).t)-2
		}
	}
	for _, r := range t.Runs {
		x := judged(r, t.Goal, settles)
		x.blankDF = df
		x.Closure = x.closure()
		x.ask()
		j.Results = append(j.Results, x)
	}
	j.askUndosed()
	j.askUnexplained()
	j.Comparisons, j.Groups = compared(j.Results), groups(j.Results)
	j.Source = sourceOf(j.Results)
	return j
}

// Judged is a trial with what it tells.
type Judged struct {
	Trial
	Results     []Result
	Comparisons []Comparison
	// Groups are settings that were run more than once, each held against the others.
	Groups []Grouped
	// Source tells floor and source apart, where runs at two flows do.
	Source quantity.Known[Source]
}

// judged is one run.
func judged(r Run, goal quantity.Known[float64], settles quantity.Known[Estimate[float64]]) Result {
	if r.Off {
		return blank(r)
	}
	x := Result{Run: r, Goal: goal}
	x.OfPairs = passes(r.Readings)
	p := tankPoints(r.Readings)
	if len(p.t) < 2 {
		return x.fromPairs()
	}
	if p.distinct() < fewest {
		x.Outcome, x.passage = TooFew, passageOf(r, evenly)
		x.endToEnd(x.points())
		return x.fromPairs()
	}
	if _, _, up := r.filled(); up {
		x.Outcome = WaterAdded
		return x.fromPairs()
	}
	f, others := x.fits()
	p = f.points
	x.fit, x.told = f, true
	more := allowed(float64(Sure), f.variance(), f.df())
	low, high := f.rateEnds(more)
	low, high = widened(low, high, f, others, more)
	_, slope := p.line()
	switch {
	case slope >= 0 || math.IsInf(low, -1):
		x.Outcome, x.told = TooShort, false
		if p.rises() {
			x.Outcome = Rises
		}
		x.stray()
		return x.fromPairs()
	case f.sourceGrows(0.995), p.risesAtTheEnd():
		x.Outcome, x.told = SourceGrows, false
		x.stray()
		return x.fromPairs()
	}
	if i, up := f.stepsUp(0.995); up {
		x.Outcome, x.told = StepsUp, false
		x.Step = quantity.Some(Step{At: x.hoursOf(f.t[i]), From: math.Exp(f.y[i-1]), To: math.Exp(f.y[i])})
		x.stray()
		return x.fromPairs()
	}
	x.Scatter = quantity.Some(quantity.Fraction(math.Sqrt(f.variance())))
	x.course(low, high, more)
	x.capture(low, high, settles)
	x.goal(more)
	x.stray()
	x.belowIt()
	if x.pairsBelow() {
		return x.fromPairs()
	}
	return x
}

// tankPoints are the readings of a tank, in order of time. A reading of nothing has no logarithm and is left out.
func tankPoints(list []Reading) (p points) {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Reading) int { return cmp.Compare(a.At, b.At) })
	for _, r := range list {
		if r.Tank.OK && r.Tank.V > 0 {
			p.add(float64(r.At), r.Tank.V, r.Step)
		}
	}
	return p
}

// exp is e to an end of an interval of a logarithm, open where that is.
func exp[T ~float64](ln float64) quantity.Known[T] {
	return quantity.Known[T]{V: T(math.Exp(ln)), OK: !math.IsInf(ln, 0)}
}

// course fills in what needs neither volume nor flow.
func (x *Result) course(low, high, more float64) {
	f := x.fit
	k := math.Exp(f.shape[rate])
	x.Constant = Estimate[quantity.Time]{V: quantity.Time(1 / k), Low: exp[quantity.Time](-high), High: exp[quantity.Time](-low)}
	x.Start = f.at(0)
	l, h := f.floorEnds(more)
	x.Floor = Estimate[float64]{V: math.Exp(f.shape[floor]), Low: quantity.Some(l), High: quantity.Known[float64]{V: h, OK: !math.IsInf(h, 1)}}
	x.Outcome = Found
	if f.se(floor) > 0.5 || l == 0 {
		x.Outcome = FloorUnknown
	}
}

// capture turns the rate into what a pass takes out. What the tank loses by itself is taken off. The uncertainty of volume
// and flow is added to each end, on the logarithm.
func (x *Result) capture(low, high float64, settles quantity.Known[Estimate[float64]]) {
	f := x.fit
	x.Settled = settles
	e := x.net(low, high)
	if x.Volume.OK && x.Volume.V > 0 {
		v := x.Volume.V.In("m3")
		of := func(k float64) quantity.Flow { return quantity.Flow(k * v) }
		x.Cleared = Estimate[quantity.Flow]{V: of(e.V), Low: quantity.Some(of(e.Low.V)), High: quantity.Known[quantity.Flow]{V: of(e.High.V), OK: e.High.OK}}
	}
	if !x.Volume.OK || !x.Flow.OK || x.Volume.V <= 0 || x.Flow.V <= 0 {
		x.Outcome = RateOnly
		return
	}
	wide := Estimate[float64]{V: e.V, Low: quantity.Some(x.unsure(e.V, e.Low.V)), High: quantity.Some(x.unsure(e.V, e.High.V))}
	share := func(k float64) quantity.Fraction {
		K := k * x.turnover()
		if x.Raceway {
			return quantity.Fraction(-math.Expm1(-K))
		}
		return quantity.Fraction(math.Min(1, K))
	}
	x.Capture = Estimate[quantity.Fraction]{V: share(e.V), Low: quantity.Some(share(wide.Low.V)), High: quantity.Some(share(wide.High.V))}
	K := x.turns(f.shape[rate])
	x.Plug = quantity.Fraction(-math.Expm1(-K))
	if x.Raceway {
		return
	}
	if kLow := wide.Low.V * x.turnover(); kLow > 1 {
		x.Outcome = NotMixed
		x.Capture = Estimate[quantity.Fraction]{V: x.Plug, Low: quantity.Some(quantity.Fraction(-math.Expm1(-kLow))), High: quantity.Some[quantity.Fraction](1)}
	}
}

// ofUnit is the part of a rate that the unit has.
func (x *Result) ofUnit(k float64) float64 { return math.Max(0, k-x.Settled.V.V) }

// net is the part of the rate that the unit has, by the logarithms of the ends of the whole. What the tank loses by itself is taken off
// with its own ends, each moved by its own (Zou and Donner, Statistics in Medicine 27, 2008, from memory), and is never less than nothing.
func (x *Result) net(low, high float64) Estimate[float64] {
	k, below, above := math.Exp(x.fit.shape[rate]), math.Exp(low), math.Exp(high)
	s := x.Settled.V
	most := math.Max(s.V, s.High.V)
	e := Estimate[float64]{V: x.ofUnit(k)}
	e.Low = quantity.Some(math.Max(0, k-s.V-math.Hypot(k-below, most-s.V)))
	e.High = quantity.Known[float64]{V: math.Max(0, math.Min(above, k-s.V+math.Hypot(above-k, s.V-s.Low.V))), OK: !math.IsInf(high, 1)}
	return e
}

// turnover is the time in which all the water goes through the unit once, in hours.
func (x *Result) turnover() float64 { return x.Volume.V.In("m3") / float64(x.Flow.V) }

// turns is the rate per turn of the tank's water, K = k·V/Q, of a logarithm of the rate.
func (x *Result) turns(lnRate float64) float64 { return x.ofUnit(math.Exp(lnRate)) * x.turnover() }

// unsure moves an end of a rate by the uncertainty of volume and flow, on the logarithm.
func (x *Result) unsure(at, end float64) float64 {
	if at <= 0 || end <= 0 || math.IsInf(end, 1) {
		return end
	}
	z := distuv.UnitNormal.Quantile((1 + float64(Sure)) / 2)
	half := math.Hypot(math.Log(end/at), z*math.Hypot(float64(x.VolumeUnsure), float64(x.FlowUnsure)))
	return at * math.Exp(math.Copysign(half, end-at))
}

// endToEnd is what the first and the last reading alone make of the rate: the least that it can be, since nothing is known
// of the floor.
func (x *Result) endToEnd(p points) {
	n := len(p.t) - 1
	k := (p.y[0] - p.y[n]) / (p.t[n] - p.t[0])
	if !(k > 0) || math.IsInf(k, 1) {
		return
	}
	x.Start = math.Exp(p.y[0])
	x.Constant.V = quantity.Time(1 / k)
	if x.Volume.OK && x.Flow.OK && x.Flow.V > 0 {
		K := k * x.Volume.V.In("m3") / float64(x.Flow.V)
		x.Capture.V, x.Plug = quantity.Fraction(math.Min(1, K)), quantity.Fraction(-math.Expm1(-K))
		if x.Raceway || K > 1 {
			x.Capture.V = x.Plug
		}
	}
}

// rises reports readings that rise more than they scatter.
func (p points) rises() bool {
	_, half := slopeOf(p.t, p.y, p.w)
	_, slope := p.line()
	return slope > half
}

const (
	// fewestUp readings that rise one after the other from the lowest, to timesUp of it at least, are no floor: readings that scatter by a tenth about one do
	// so by chance in fewer than one run in a hundred. Judgement, held by simulation.
	fewestUp = 2
	timesUp  = 1.6
)

// risesAtTheEnd reports readings that fall and rise again at the last.
func (p points) risesAtTheEnd() bool {
	up := len(p.y) - 1
	for up > 0 && p.y[up] > p.y[up-1] {
		up--
	}
	return up > 0 && len(p.y)-1-up >= fewestUp && p.y[len(p.y)-1]-p.y[up] > math.Log(timesUp) && p.y[up] <= slices.Min(p.y)
}

// goal is the time to the reading asked for.
func (x *Result) goal(more float64) {
	if !x.Goal.OK || x.Goal.V <= 0 {
		return
	}
	f := x.fit
	at := f.hoursTo(x.Goal.V)
	low, high := f.hoursEnds(x.Goal.V, more)
	x.Never = math.IsInf(at, 1)
	x.Beyond = at > f.t[len(f.t)-1]
	known := func(h float64) quantity.Known[quantity.Time] {
		return quantity.Known[quantity.Time]{V: max(0, x.hoursOf(h)), OK: !math.IsInf(h, 0)}
	}
	x.ToGoal = Estimate[quantity.Time]{Low: known(low), High: known(high)}
	if !x.Never {
		x.ToGoal.V = max(0, x.hoursOf(at))
	}
}

// leastScatter is how well a tank's turbidity is read at best. Common practice, no source.
const leastScatter = 0.02

// stray says so of a reading that lies off the course of all others: its residual against the scatter without it, at one
// chance in a hundred over all readings. One it is, and it stays in.
func (x *Result) stray() {
	f := x.fit
	n, df := len(f.t), f.df()-1
	if df < 2 {
		return
	}
	worst, at := 0.0, 0
	for i := range f.t {
		rest := points{t: slices.Delete(slices.Clone(f.t), i, i+1), y: slices.Delete(slices.Clone(f.y), i, i+1), w: slices.Delete(slices.Clone(f.w), i, i+1)}
		if rest.distinct() < fewest {
			continue
		}
		g := rest.fit()
		if off := f.w[i] * math.Abs(f.y[i]-math.Log(g.at(f.t[i]))) / math.Max(math.Sqrt(g.variance()), leastScatter); off > worst {
			worst, at = off, i
		}
	}
	limit := distuv.StudentsT{Sigma: 1, Nu: float64(df)}.Quantile(1 - 0.005/float64(n))
	const predicted = 2 // a reading that is told from the others scatters more than one that was fitted
	if worst > predicted*limit {
		x.Notes.Add(note.New(note.Caution, "reading-off", "the reading %s at %s lies far off the course of all others", quantity.To(quantity.Number(math.Exp(f.y[at])), 4), quantity.To(x.hoursOf(f.t[at]), 3)).
			At(x.placeOf(f.t[at])).Do("look whether it was written right; it is counted as it stands"))
	}
}

// belowIt holds the course against readings that say only that the tank read less: one that lies further above such a limit than two
// scatters of a reading is told.
func (x *Result) belowIt() {
	const readings = 2
	for _, b := range x.Below {
		if c := x.fit.at(x.passage.at(float64(b.At))); b.At >= 0 && c > b.Limit.V*math.Exp(readings*float64(x.Scatter.V)) {
			x.Notes.Add(note.New(note.Caution, "below-disagrees", "below %s was read at %s, where the course of the other readings stands at %s", quantity.To(quantity.Number(b.Limit.V), 3), quantity.To(b.At, 3),
				quantity.To(quantity.Number(c), 3)).At(b.Limit.At).Do("look whether one of them was written wrong: the tank may clear faster than is said here"))
		}
	}
}

// placeOf is where the tank's reading of a time stands.
func (x Result) placeOf(t float64) note.Place {
	for _, y := range x.Readings {
		if x.passage.at(float64(y.At)) == t && y.Tank.OK {
			return y.Tank.At
		}
	}
	return x.At
}

// fromPairs takes the capture from inlet and outlet where the tank's readings tell none.
func (x Result) fromPairs() Result {
	p := x.OfPairs
	if !p.OK {
		if x.Outcome == "" {
			x.Outcome = TooFew
		}
		return x
	}
	if x.Outcome == "" && p.V.N < fewestPairs {
		x.Outcome = TooFew
		x.Capture.V = p.V.Capture.V
		return x
	}
	if p.V.N >= fewestPairs {
		x.Outcome, x.Capture, x.Floor = Pairs, p.V.Capture, p.V.Floor
		if x.Flow.OK {
			c := func(e quantity.Fraction) quantity.Flow { return quantity.Flow(float64(e) * float64(x.Flow.V)) }
			x.Cleared = Estimate[quantity.Flow]{V: c(x.Capture.V), Low: quantity.Some(c(x.Capture.Low.V)), High: quantity.Some(c(x.Capture.High.V))}
		}
	}
	return x
}
