package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/bench"
	"jarwright/dosing/caution"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/figure"
)

// FitReport is the answer of fit: lowest effective and planning dose of every series.
type FitReport struct {
	Results []curve.Result
	// Surfaces are the series in which two things differ between the jars.
	Surfaces []surface.Result
	// Water is pH and alkalinity along the jars, one for each of Results; it may be absent.
	Water []caution.BenchReview
	// Bench is what the jars say beyond the dose, one for each of Results; it may be absent.
	Bench []bench.Findings
	// Settling is what was read at several settling times, one for each of Results; it may be absent.
	Settling []*dosing.Settling
	// Notes are those of reading the sheets; each result has its own.
	Notes note.List
}

// mostBlocks is how many series are shown in full; more come as one table.
const mostBlocks = 8

// Text answers first, shows the jars next, and the working only on demand.
func (f FitReport) Text(t *Text, o Options) {
	f = f.doubted()
	n := len(f.Results) + len(f.Surfaces)
	if n > 1 {
		t.Answer(f.several(o, n))
		f.overview(t)
	}
	if n <= mostBlocks {
		list := f.data()
		for i, r := range f.Results {
			fitSeries{r, list[i]}.text(t, o)
			if i < len(f.Bench) {
				benchText(t, list[i], f.Bench[i], r.Chemical.Basis)
			}
			if o.Explain && len(r.Method) > 0 {
				fitSeries{r, list[i]}.working(t)
			}
			if i < len(f.Water) {
				benchWaterText(t, list[i].Sub("water"), f.Water[i])
			}
			if i < len(f.Settling) {
				settlingText(t, o, f.Settling[i], list[i].Sub("settling"), seriesName(r.Series, r.Place))
			}
		}
		for i, r := range f.Surfaces {
			surfaceSeries{r, list[len(f.Results)+i]}.text(t, o)
		}
	} else {
		t.Blank()
		t.Para(fmt.Sprintf("Each test in full: ask for one sheet at a time, or use --format json (%d tests).", n))
	}
	t.noted("Reading the sheets", f.Notes)
	t.Blank()
	t.Para("A jar test speaks for the water it was run on. Keep to the product's safety data sheet, to local codes and to licensed practice.")
}

// unitDoubts are what the reading of a sheet asks of the unit of its doses, which goes before any dose.
var unitDoubts = []string{"very-high-dose"}

func doubtsUnit(n note.Note) bool { return slices.Contains(unitDoubts, n.Code) }

// unitDoubtsOf are the questions of the unit of the doses of a sheet.
func unitDoubtsOf(all note.List, at note.Place) (out note.List) {
	for _, n := range all {
		if doubtsUnit(n) && n.Place.File == at.File && n.Place.Sheet == at.Sheet {
			out = append(out, n)
		}
	}
	return out
}

// UnitDoubts are the questions of the unit of doses that go before any dose of that sheet; a report of another kind has none.
func UnitDoubts(r Report, file, sheet string) note.List {
	if f, ok := r.(FitReport); ok {
		return unitDoubtsOf(f.Notes, note.Place{File: file, Sheet: sheet})
	}
	return nil
}

// doubted is the report with each question that the reading asks of the unit of doses among what is said of the series of its sheet,
// and of no other place.
func (f FitReport) doubted() FitReport {
	if !slices.ContainsFunc(f.Notes, doubtsUnit) {
		return f
	}
	of := func(at note.Place, own note.List) note.List { return append(unitDoubtsOf(f.Notes, at), own...) }
	f.Results, f.Surfaces = slices.Clone(f.Results), slices.Clone(f.Surfaces)
	for i, r := range f.Results {
		f.Results[i].Notes = of(r.Place, r.Notes)
	}
	for i, r := range f.Surfaces {
		f.Surfaces[i].Notes = of(r.Place, r.Notes)
	}
	f.Notes = slices.DeleteFunc(slices.Clone(f.Notes), doubtsUnit)
	return f
}

// overview is one line of each series; with thousands of them only what it shows is kept.
func (f FitReport) overview(t *Text) {
	var rows [][]any
	for i, r := range f.Results {
		led, o := any(figure.Figure{}), f.one(i)
		if d := o.Sub("lowest_effective_dose"); d.Has("value") {
			led = interval(d)
		}
		rows = append(rows, []any{o.Get("name"), outcomeWords(r.Outcome), fitSeries{r, o}.plan(), led})
	}
	for _, r := range f.Surfaces {
		rows = append(rows, surfaceOverview(r))
	}
	t.Grid(cols("test", "answer", ">planning dose", "lowest effective dose (90 % interval)"), rows)
}

// seriesName is what a heading calls a series: its own name, else its sheet's.
func seriesName(name string, at note.Place) string {
	return cmp.Or(name, at.Sheet, "jar test")
}

// outcomeWords says an outcome in plain words.
func outcomeWords(o curve.Outcome) string { return cmp.Or(outcomes[o], "no answer") }

var outcomes = map[curve.Outcome]string{
	curve.Found:            "found",
	curve.UntreatedPasses:  "the untreated jar passes",
	curve.LowestDosePasses: "the lowest dose passes already",
	curve.NotReached:       "target not reached",
	curve.StillImproving:   "still improving at the top dose",
	curve.NoResponse:       "no response to the dose",
	curve.TooFewJars:       "too few jars",
	curve.Ambiguous:        "cannot be told",
}

// doseDigits is how many digits of a dose mean anything: a tenth of the interval.
func doseDigits(r curve.Result) int {
	v, width := float64(r.Effective.Value), 0.0
	switch {
	case r.Effective.HasLow && r.Effective.HasHigh:
		width = float64(r.Effective.High - r.Effective.Low)
	case r.Effective.HasLow:
		width = 2 * float64(r.Effective.Value-r.Effective.Low)
	}
	if !(v > 0) || !(width > 0) {
		return 3
	}
	return max(2, min(4, 1+int(math.Floor(math.Log10(v)))-int(math.Floor(math.Log10(width/5)))))
}

// fitSeries is a series of one factor with its figures.
type fitSeries struct {
	curve.Result
	d *figure.Object
}

// plan is the planning dose where its basis need not be said again.
func (r fitSeries) plan() figure.Figure { return r.d.Fig("planning_dose.value").NoBasis() }

func (r fitSeries) text(t *Text, o Options) {
	t.Answer(r.reply(o))
	if r.Factor == "dose" {
		r.answer(t)
	} else {
		r.optimum(t)
	}
	if len(r.Curve) > 0 {
		t.Blank()
		t.Picture(r.picture(o), t.width, 14)
	}
	r.jars(t, o)
	t.aside(below(r.Notes, note.Caution, nil))
}

func (r fitSeries) answer(t *Text) {
	var l facts
	l.beside(r.d)
	l.when(r.Outcome == curve.Found, "Lowest effective dose", figure.Say("%s, 90 %% interval", interval(r.d.Sub("lowest_effective_dose"))))
	l.when(r.d.Has("dose_window"), "Dose window", r.window())
	l.when(r.HasLowestPassing, "Lowest jar that passes", r.passing())
	l.when(r.HasPlanning && r.Rule != "", "Chosen as", r.Rule)
	next := r.d.Fig("planning_dose.chance_next_jar")
	l.when(next.Known(), "One further jar", figure.Say("at %s passes with a chance of %s: single jars scatter about the curve", r.plan(), next))
	l.asked(r.Targets, r.Binding, r.d)
	l.when(len(r.Curve) > 0, "Best of the tested range", figure.Say("%s, fitted reading %s", r.d.Fig("best.dose"), r.d.Fig("best.reading")))
	l.when(r.Overdose.Seen, either(r.Overdose.Sour.OK, "Too much acid", "Over-dose"), figure.Say("seen: worse again from %s on", r.d.Fig("overdose.from")))
	l.when(r.Chemical.Basis == quantity.NotStated && r.HasPlanning, "Basis of the dose", "not stated in the sheet; plan will ask for it")
	t.Facts(l)
}

// beside adds what else was in the jars.
func (l *facts) beside(d *figure.Object) {
	for _, f := range d.Objects("beside") {
		l.add("Beside", figure.Say("%s of %s", f.Fig("dose"), f.Get("chemical")))
	}
}

// asked adds what was asked of a series.
func (l *facts) asked(targets []jartest.Target, binding int, d *figure.Object) {
	l.when(len(targets) > 0, "Target", targetsPhrase(targets))
	if d.Has("binding_target") {
		l.add("Target that decides", targetPhrase(targets[binding]))
	}
	l.when(d.Has("reference"), "Removal counted from", figure.Say("%s, %s", d.Get("reference.what"), d.Fig("reference.value")))
}

// windowPH is the range of pH that meets every target, with the intervals of those ends that
// lie inside what was tested.
func (r fitSeries) windowPH() figure.Phrase {
	w := r.d.Sub("ph_window")
	end := func(key, tested string) figure.Phrase {
		within := w.Sub(key + "_interval")
		if !within.Has("low") {
			return figure.Say("%s (the %s tested)", w.Fig(key), tested)
		}
		return figure.Say("%s", figure.Interval{Figure: w.Fig(key), Low: within.Fig("low").Q, High: within.Fig("high").Q})
	}
	return figure.Say("from pH %s to %s, 90 %% intervals", end("low", "lowest"), end("high", "highest"))
}

// window is the range of doses that meet every target.
func (r fitSeries) window() figure.Phrase {
	w := r.d.Sub("dose_window")
	upper := figure.Interval{Figure: w.Fig("high"), Low: w.Fig("high_interval.low").Q, High: w.Fig("high_interval.high").Q}
	return figure.Say("%s to %s, 90 %% interval of the upper end", w.Fig("low").NoBasis(), upper)
}

// passing names the lowest dose that passes as read, and by what reading.
func (r fitSeries) passing() figure.Phrase {
	j := r.d.Sub("lowest_passing_jar")
	switch dose, reading := j.Fig("dose"), j.Fig("reading"); {
	case j.Has("jars"):
		return figure.Say("%s, mean of %s jars %s", dose, j.Fig("jars"), reading)
	case r.LowestPassing.Label == "":
		return figure.Say("%s, read %s", dose, reading)
	default:
		return figure.Say("jar %s, %s, read %s", r.LowestPassing.Label, dose, reading)
	}
}

func (r fitSeries) optimum(t *Text) {
	var l facts
	if r.Outcome == curve.Found {
		l.add("Interval", figure.Say("%s, 90 %% interval", interval(r.d.Sub("optimum_ph"))))
		l.add("Fitted reading there", r.d.Fig("best.reading"))
		l.when(r.d.Has("ph_window"), "Targets are met", r.windowPH())
	}
	l.beside(r.d)
	l.when(len(r.Targets) > 0, "Target", targetsPhrase(r.Targets))
	t.Facts(l)
}

func (r fitSeries) jars(t *Text, o Options) {
	jars := r.d.Objects("jars")
	if len(jars) == 0 {
		return
	}
	t.Blank()
	t.Part("The jars")
	heads := []string{"jar", either(r.Factor == "ph", ">pH", ">dose (mg/L)")}
	repeats := r.repeats()
	for k := range repeats {
		heads = append(heads, fmt.Sprintf(">reading %d", k+1))
	}
	t.each(cols(append(heads, ">"+bracketed(r.Response.Info().Label, o.readUnit(r.Response)), ">fitted", "remark")...), jars, func(i int, j *figure.Object) []any {
		row := []any{j.Get("label"), unitless(j.Fig("dose"))}
		for k := range repeats {
			cell := figure.Figure{}
			if each := r.Jars[i].Repeats; k < len(each) {
				cell = unitless(read("", r.Response, each[k]))
			}
			row = append(row, cell)
		}
		mean := readCell(j)
		if f, ok := mean.(figure.Figure); ok && repeats > 0 { // which nobody read, so it goes by the fitted reading beside it
			mean = f.To(3).In(figure.Full)
		}
		return append(row, mean, unitless(j.Fig("on_curve")), either(r.Jars[i].Used, "", "left out: ")+r.Jars[i].Why)
	})
}

// mostRepeats is how many readings of a jar stand side by side; of more the table has what they come to.
const mostRepeats = 4

// repeats is how many readings the jars have at most, 0 where each has one or they are too many to show.
func (r fitSeries) repeats() (n int) {
	for _, j := range r.Jars {
		n = max(n, len(j.Repeats))
	}
	return either(n < 2 || n > mostRepeats, 0, n)
}

// betterTest heads what a sheet lacks of a good jar test.
const betterTest = "For a better jar test next time"

func (r fitSeries) working(t *Text) {
	if len(r.Lacks) > 0 {
		t.Behind(betterTest)
		t.Notes(r.Lacks)
	}
	t.steps("Working: "+seriesName(r.Series, r.Place), r.Method)
	if len(r.Curve) > 0 && r.d.Has("trade_off") {
		t.Blank()
		t.each(cols(">confidence that this dose is enough", ">dose"), r.d.Objects("trade_off"), func(_ int, c *figure.Object) []any {
			return []any{c.Fig("chance"), or(c.Fig("dose"), "beyond the range")}
		})
	}
	r.models(t)
	t.Blank()
	t.Para(r.against(t.opt) + "; residual in units of the scatter, judged by the other jars alone:")
	t.each(cols("jar", ">dose", ">read", ">fitted", ">residual"), r.d.Objects("jars"), func(_ int, j *figure.Object) []any {
		if j.Get("used") != true {
			return nil
		}
		return []any{j.Get("label"), unitless(j.Fig("dose")), readCell(j), unitless(j.Fig("fitted")), j.Fig("residual")}
	})
	r.others(t)
}

// against names the model that the jars are held against, and how much of the answer it
// makes: where levels and steps tell the jars better, that is little.
func (r fitSeries) against(o Options) string {
	best := -1
	for i, m := range r.Models {
		if len(m.Params) > 0 && (best < 0 || m.Weight > r.Models[best].Weight) {
			best = i
		}
	}
	if best < 0 {
		return "Jars"
	}
	return o.Say("Jars against the likeliest model alone, %s (%s of the answer)", r.Models[best].Name, r.d.Objects("models")[best].Fig("weight"))
}

// models shows each model as it fits alone, and the parameters of those that count.
func (r fitSeries) models(t *Text) {
	t.Blank()
	t.Para("Models, each as it fits alone. Weight is its share of the answer; lower AICc is better; the profile-likelihood interval is that " +
		"model's own, a check on the averaged one:")
	models := r.d.Objects("models")
	t.each(cols("model", ">weight", ">sum of squares", ">AICc", ">meets target at", ">profile 90 %"), models,
		func(i int, m *figure.Object) []any {
			profile := any(figure.Figure{})
			if r.Models[i].Profile.Confidence > 0 {
				profile = endsPhrase(m.Fig("profile_low"), m.Fig("profile_high"))
			}
			return []any{m.Get("name"), m.Fig("weight"), m.Fig("sum_of_squares"), m.Fig("aicc"), m.Fig("dose"), profile}
		})
	for i, m := range models {
		if r.Models[i].Weight < 0.05 || !m.Has("parameters") {
			continue
		}
		t.Blank()
		t.Para(r.Models[i].Name + ": " + r.Models[i].Formula)
		t.each(cols("parameter", ">value", ">std. error", "unit", "meaning"), m.Objects("parameters"), func(k int, p *figure.Object) []any {
			return []any{p.Get("name"), p.Fig("value"), p.Fig("standard_error"), r.Models[i].Params[k].Unit, p.Get("meaning")}
		})
	}
}

// others shows what the planning dose does to readings that no target asks about.
func (r fitSeries) others(t *Text) {
	if !r.d.Has("readings") {
		return
	}
	t.Blank()
	t.Para("Other readings of the sheet:")
	t.each(cols("reading", "unit", ">jars", "at the planning dose (90 % band)"), r.d.Objects("readings"), func(i int, q *figure.Object) []any {
		k := r.Readings[i+1].Key
		atPlan := any(figure.Figure{})
		if p := q.Sub("at_planning_dose"); p.Has("fit") {
			atPlan = figure.Say("%s (%s to %s)", unitless(p.Fig("fit")), unitless(p.Fig("low")), unitless(p.Fig("high")))
		}
		return []any{k.Info().Label, t.opt.readUnit(k), q.Fig("jars_used"), atPlan}
	})
}

// Planned reports whether any series got its answer: a planning dose, or a best pH
// in a series that has no dose to find.
func (f FitReport) Planned() bool {
	answered := func(r curve.Result) bool { return r.HasPlanning || r.Factor == "ph" && r.Outcome == curve.Found }
	return slices.ContainsFunc(f.Results, answered) || slices.ContainsFunc(f.Surfaces, func(r surface.Result) bool { return r.HasPlanning })
}
