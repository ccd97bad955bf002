package templates

import (
	"fmt"
	"math"

	"jarwright/dosing/caution"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// FitReport is the answer of fit: lowest effective and planning dose of every series.
type FitReport struct {
	Results []curve.Result
	// Surfaces are the series in which two things differ between the jars.
	Surfaces []surface.Result
	// Water is pH and alkalinity along the jars, one for each of Results; it may be absent.
	Water []caution.BenchReview
	// Notes are those of reading the sheets; each result has its own.
	Notes note.List
}

// mostBlocks is how many series are shown in full; more come as one table.
const mostBlocks = 8

// Text answers first, shows the jars next, and the working only on demand.
func (f FitReport) Text(t *Text, o Options) {
	list := f.data()
	n := len(list)
	if n > 1 {
		f.overview(t, list)
	}
	if n <= mostBlocks {
		for i, r := range f.Results {
			fitSeries{r, list[i]}.text(t, o)
			if i < len(f.Water) {
				benchWaterText(t, list[i].Sub("water"), f.Water[i])
			}
		}
		for i, r := range f.Surfaces {
			surfaceSeries{r, list[len(f.Results)+i]}.text(t, o)
		}
	} else {
		t.Blank()
		t.Para(fmt.Sprintf("Each series in full: ask for one sheet at a time, or use --format json (%d series).", n))
	}
	t.noted("Reading the sheets", f.Notes)
	t.Blank()
	t.Para("A jar test speaks for the water it was run on. Keep to the product's safety data sheet, to local codes and to licensed practice.")
}

// overview is one line a series.
func (f FitReport) overview(t *Text, list []*figure.Object) {
	t.Head(fmt.Sprintf("%d series", len(list)))
	var rows [][]any
	for i, r := range f.Results {
		led := any(figure.Figure{})
		if d := list[i].Sub("lowest_effective_dose"); d.Has("value") {
			led = interval(d)
		}
		rows = append(rows, []any{list[i].Get("name"), outcomeWords(r.Outcome), fitSeries{r, list[i]}.plan(), led})
	}
	for _, r := range f.Surfaces {
		rows = append(rows, surfaceOverview(r))
	}
	t.Grid([]Col{{Head: "series"}, {Head: "answer"}, {Head: "planning dose", Right: true},
		{Head: "lowest effective dose (90 % interval)"}}, rows)
}

// seriesName is what a heading calls a series: its own name, else its sheet's.
func seriesName(name string, at note.Place) string {
	if name != "" {
		return name
	}
	if at.Sheet != "" {
		return at.Sheet
	}
	return "series"
}

// outcomeWords says an outcome in plain words.
func outcomeWords(o curve.Outcome) string {
	switch o {
	case curve.Found:
		return "found"
	case curve.UntreatedPasses:
		return "the untreated jar passes"
	case curve.LowestDosePasses:
		return "the lowest dose passes already"
	case curve.NotReached:
		return "target not reached"
	case curve.StillImproving:
		return "still improving at the top dose"
	case curve.NoResponse:
		return "no response to the dose"
	case curve.TooFewJars:
		return "too few jars"
	case curve.Ambiguous:
		return "cannot be told"
	}
	return "no answer"
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

// head names the series and what stands against what.
func (r fitSeries) head() string {
	return seriesName(r.Series, r.Place) + ": " + factorText(r.Result) + " against " + r.Response.Info().Label
}

// plan is the planning dose where its basis need not be said again.
func (r fitSeries) plan() figure.Figure {
	f := r.d.Fig("planning_dose.value")
	f.Basis = quantity.NotStated
	return f
}

func (r fitSeries) text(t *Text, o Options) {
	t.Head(r.head())
	if r.Factor == "dose" {
		r.answer(t)
	} else {
		r.optimum(t)
	}
	if len(r.Curve) > 0 {
		t.Blank()
		t.Picture(draw.Drawing{Description: r.words(o), Panels: []draw.Panel{r.panel(o)}, DecimalComma: o.DecimalComma}, t.width, 14)
	}
	r.jars(t, o)
	t.aside(r.Notes)
	if o.Explain && len(r.Method) > 0 {
		r.working(t, o)
	}
}

func factorText(r curve.Result) string {
	if r.Factor == "ph" {
		return "pH"
	}
	if r.Chemical.Name == "" {
		return "dose"
	}
	return r.Chemical.Name
}

func (r fitSeries) answer(t *Text) {
	var facts []Fact
	add := func(name string, value any) { facts = append(facts, Fact{name, value}) }
	switch {
	case r.HasPlanning:
		add("Planning dose", figure.Say("%s (%s)", r.d.Fig("planning_dose.value"), r.Rule))
	case r.Outcome == curve.Found:
		add("Planning dose", "none: "+firstRemedy(t.opt.style().Notes(r.Notes), "planning-beyond-range"))
	default:
		add("Answer", "no dose: "+outcomeWords(r.Outcome))
	}
	if r.Outcome == curve.Found {
		add("Lowest effective dose", figure.Say("%s, 90 %% interval", interval(r.d.Sub("lowest_effective_dose"))))
	}
	if r.HasLowestPassing {
		add("Lowest jar that passes", r.passing())
	}
	if len(r.Targets) > 0 {
		add("Target", targetsPhrase(r.Targets))
		if r.d.Has("binding_target") {
			add("Target that decides", targetPhrase(r.Targets[r.Binding]))
		}
	}
	if r.d.Has("reference") {
		add("Removal counted from", figure.Say("%s, %s", r.Reference.What, r.d.Fig("reference.value")))
	}
	if len(r.Curve) > 0 {
		add("Best of the tested range", figure.Say("%s, fitted reading %s", r.d.Fig("best.dose"), r.d.Fig("best.reading")))
	}
	if r.Overdose.Seen {
		add("Over-dose", figure.Say("seen: worse again from %s on", r.d.Fig("overdose.from")))
	}
	if r.Chemical.Basis == quantity.NotStated && r.HasPlanning {
		add("Basis of the dose", "not stated in the sheet; plan will ask for it")
	}
	t.Facts(facts)
	if r.HasPlanning {
		t.Blank()
		t.Para(r.tradeOff(t.opt))
	}
}

func firstRemedy(l note.List, code string) string {
	for _, n := range l {
		if n.Code == code {
			return n.Remedy
		}
	}
	return "see the notes"
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

// tradeOff is the sentence that says what a smaller dose would risk.
func (r fitSeries) tradeOff(o Options) string {
	plan := r.plan()
	s := o.Say("%s meets the target %s", plan, timesInTen(r.d.Fig("planning_dose.confidence")))
	seen := map[string]bool{o.Show(plan): true}
	for _, p := range [...]struct {
		p     float64
		words string
	}{{0.75, "%s would probably do, and fails one time in four"}, {0.5, "%s fails every second time"}} {
		d, ok := r.Quantile(p.p)
		at := o.Show(workedOut(along("", false, float64(d)), plan.Digits))
		if !ok || d >= r.Planning.Concentration || seen[at] {
			continue
		}
		seen[at] = true
		s += "; " + fmt.Sprintf(p.words, at)
	}
	return s + "."
}

// timesInTen puts a chance into words.
func timesInTen(p figure.Figure) any {
	switch v, _ := p.Document(); {
	case v >= 0.985:
		return "nearly always"
	case v >= 0.885:
		return "9 times in 10"
	}
	return figure.Say("%s times in 100", unitless(p))
}

func (r fitSeries) optimum(t *Text) {
	var facts []Fact
	if r.Outcome == curve.Found {
		facts = append(facts, Fact{"Best pH", figure.Say("%s, 90 %% interval", interval(r.d.Sub("optimum_ph")))},
			Fact{"Fitted reading there", r.d.Fig("best.reading")})
	} else {
		facts = append(facts, Fact{"Answer", "no best pH: " + outcomeWords(r.Outcome)})
	}
	if len(r.Targets) > 0 {
		facts = append(facts, Fact{"Target", targetsPhrase(r.Targets)})
	}
	t.Facts(facts)
}

func (r fitSeries) jars(t *Text, o Options) {
	jars := r.d.Objects("jars")
	if len(jars) == 0 {
		return
	}
	var rows [][]any
	for i, j := range jars {
		remark := r.Jars[i].Why
		if !r.Jars[i].Used {
			remark = "left out: " + remark
		}
		rows = append(rows, []any{j.Get("label"), unitless(j.Fig("dose")), readCell(j), unitless(j.Fig("on_curve")), remark})
	}
	factor := "dose (mg/L)"
	if r.Factor == "ph" {
		factor = "pH"
	}
	t.Blank()
	t.Grid([]Col{{Head: "jar"}, {Head: factor, Right: true}, {Head: bracketed(r.Response.Info().Label, o.readUnit(r.Response)),
		Right: true}, {Head: "fitted", Right: true}, {Head: "remark"}}, rows)
}

func (r fitSeries) working(t *Text, o Options) {
	t.Head("Working: " + seriesName(r.Series, r.Place))
	for i, m := range r.Method {
		t.Item(fmt.Sprintf("%d.", i+1), upperFirst(o.decimals(m))+".")
	}
	if len(r.Curve) > 0 && r.d.Has("trade_off") {
		t.Blank()
		var rows [][]any
		for _, c := range r.d.Objects("trade_off") {
			row := []any{c.Fig("chance"), "beyond the range"}
			if c.Has("dose") {
				row[1] = c.Fig("dose")
			}
			rows = append(rows, row)
		}
		t.Grid([]Col{{Head: "chance that this dose is enough", Right: true}, {Head: "dose", Right: true}}, rows)
	}
	r.models(t)
	t.Blank()
	var rows [][]any
	for _, j := range r.d.Objects("jars") {
		if j.Get("used") == true {
			rows = append(rows, []any{j.Get("label"), unitless(j.Fig("dose")), readCell(j), unitless(j.Fig("fitted")), j.Fig("residual")})
		}
	}
	t.Para("Jars against the best model; residual in units of the scatter, judged by the other jars alone:")
	t.Grid([]Col{{Head: "jar"}, {Head: "dose", Right: true}, {Head: "read", Right: true}, {Head: "fitted", Right: true},
		{Head: "residual", Right: true}}, rows)
	r.others(t)
}

// models shows each model as it fits alone, and the parameters of those that count.
func (r fitSeries) models(t *Text) {
	t.Blank()
	t.Para("Models, each as it fits alone. Weight is its share of the answer; lower AICc is better; the profile-likelihood interval is that " +
		"model's own, a check on the averaged one:")
	var rows [][]any
	models := r.d.Objects("models")
	for i, m := range models {
		profile := any(figure.Figure{})
		if r.Models[i].Profile.Confidence > 0 {
			profile = endsPhrase(m.Fig("profile_low"), m.Fig("profile_high"))
		}
		rows = append(rows, []any{m.Get("name"), m.Fig("weight"), m.Fig("sum_of_squares"), m.Fig("aicc"), m.Fig("dose"), profile})
	}
	t.Grid([]Col{{Head: "model"}, {Head: "weight", Right: true}, {Head: "sum of squares", Right: true}, {Head: "AICc", Right: true},
		{Head: "meets target at", Right: true}, {Head: "profile 90 %", Right: true}}, rows)
	for i, m := range models {
		if r.Models[i].Weight < 0.05 || !m.Has("parameters") {
			continue
		}
		t.Blank()
		t.Para(r.Models[i].Name + ": " + r.Models[i].Formula)
		var rows [][]any
		for k, p := range m.Objects("parameters") {
			rows = append(rows, []any{p.Get("name"), p.Fig("value"), p.Fig("standard_error"), r.Models[i].Params[k].Unit, p.Get("meaning")})
		}
		t.Grid([]Col{{Head: "parameter"}, {Head: "value", Right: true}, {Head: "std. error", Right: true}, {Head: "unit"}, {Head: "meaning"}},
			rows)
	}
}

// others shows what the planning dose does to readings that no target asks about.
func (r fitSeries) others(t *Text) {
	if !r.d.Has("readings") {
		return
	}
	t.Blank()
	t.Para("Other readings of the sheet:")
	var rows [][]any
	for i, q := range r.d.Objects("readings") {
		k := r.Readings[i+1].Key
		_, unit := readingOf(k, 0).Show(t.opt.Units)
		atPlan := any(figure.Figure{})
		if p := q.Sub("at_planning_dose"); p.Has("fit") {
			atPlan = figure.Say("%s (%s to %s)", unitless(p.Fig("fit")), unitless(p.Fig("low")), unitless(p.Fig("high")))
		}
		rows = append(rows, []any{k.Info().Label, unit, q.Fig("jars_used"), atPlan})
	}
	t.Grid([]Col{{Head: "reading"}, {Head: "unit"}, {Head: "jars", Right: true}, {Head: "at the planning dose (90 % band)"}}, rows)
}

// Planned reports whether any series got its answer: a planning dose, or a best pH
// in a series that has no dose to find.
func (f FitReport) Planned() bool {
	for _, r := range f.Results {
		if r.HasPlanning || r.Factor == "ph" && r.Outcome == curve.Found {
			return true
		}
	}
	for _, r := range f.Surfaces {
		if r.HasPlanning {
			return true
		}
	}
	return false
}
