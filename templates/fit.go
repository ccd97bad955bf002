package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
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
	n := len(f.Results) + len(f.Surfaces)
	if n > 1 {
		f.overview(t, o)
	}
	if n <= mostBlocks {
		for i, r := range f.Results {
			fitBlock(t, o, r)
			if i < len(f.Water) {
				benchWaterText(t, o, f.Water[i])
			}
		}
		for _, r := range f.Surfaces {
			surfaceBlock(t, o, r)
		}
	} else {
		t.Blank()
		t.Para(fmt.Sprintf("Each series in full: ask for one sheet at a time, or use --format json (%d series).", n))
	}
	if len(f.Notes) > 0 {
		t.Head("Reading the sheets")
		t.Notes(f.Notes)
	}
	t.Blank()
	t.Para("A jar test speaks for the water it was run on. Keep to the product's safety data sheet, to local codes and to licensed practice.")
}

// overview is one line a series.
func (f FitReport) overview(t *Text, o Options) {
	t.Head(fmt.Sprintf("%d series", len(f.Results)+len(f.Surfaces)))
	var rows [][]string
	for _, r := range f.Results {
		plan := "-"
		if r.HasPlanning {
			plan = o.Quantity(r.Planning.Concentration, doseDigits(r))
		}
		led := "-"
		if r.Outcome == curve.Found && r.Factor == "dose" {
			led = intervalText(o, r.Effective, doseDigits(r))
		}
		rows = append(rows, []string{seriesName(r.Series, r.Place), outcomeWords(r.Outcome), plan, led})
	}
	for _, r := range f.Surfaces {
		rows = append(rows, surfaceOverview(o, r))
	}
	t.Table([]Col{{Head: "series"}, {Head: "answer"}, {Head: "planning dose", Right: true}, {Head: "lowest effective dose (90 % interval)"}}, rows)
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

// intervalText is "10.5 (9.2 to 13.1) mg/L", with what is open said in words.
func intervalText(o Options, i curve.Interval, digits int) string {
	if !i.HasLow && !i.HasHigh {
		return o.Quantity(i.Value, digits)
	}
	low, high := "below the range", "beyond the range"
	if i.HasLow {
		low = bare(o, i.Low, digits)
	}
	if i.HasHigh {
		high = bare(o, i.High, digits)
	}
	_, unit := i.Value.Show(o.Units)
	return fmt.Sprintf("%s %s (%s to %s)", bare(o, i.Value, digits), unit, low, high)
}

func bare(o Options, c quantity.Concentration, digits int) string {
	v, _ := c.Show(o.Units)
	return o.Number(v, digits)
}

func targetsText(r curve.Result) string {
	var out []string
	for _, g := range r.Targets {
		out = append(out, g.String())
	}
	return strings.Join(out, " and ")
}

func fitBlock(t *Text, o Options, r curve.Result) {
	t.Head(seriesName(r.Series, r.Place) + ": " + factorText(r) + " against " + r.Response.Info().Label)
	digits := doseDigits(r)
	if r.Factor == "dose" {
		fitAnswer(t, o, r, digits)
	} else {
		optimumAnswer(t, o, r)
	}
	if len(r.Curve) > 0 {
		t.Blank()
		t.Picture(draw.Drawing{Description: fitWords(r, o), Panels: []draw.Panel{fitPanel(r, o)}, DecimalComma: o.DecimalComma}, 14)
	}
	fitJars(t, o, r)
	if len(r.Notes) > 0 {
		t.Blank()
		t.Notes(r.Notes)
	}
	if o.Explain {
		fitWorking(t, o, r)
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

func fitAnswer(t *Text, o Options, r curve.Result, digits int) {
	var rows [][2]string
	add := func(name, value string) { rows = append(rows, [2]string{name, value}) }
	switch {
	case r.HasPlanning:
		add("Planning dose", o.Dose(r.Planning, digits)+" ("+r.Rule+")")
	case r.Outcome == curve.Found:
		add("Planning dose", "none: "+firstRemedy(r, "planning-beyond-range"))
	default:
		add("Answer", "no dose: "+outcomeWords(r.Outcome))
	}
	if r.Outcome == curve.Found {
		add("Lowest effective dose", intervalText(o, r.Effective, digits)+", 90 % interval")
	}
	if r.HasLowestPassing {
		add("Lowest jar that passes", passingText(o, r))
	}
	if len(r.Targets) > 0 {
		add("Target", targetsText(r))
		if len(r.Targets) > 1 && r.Outcome == curve.Found {
			add("Target that decides", r.Targets[r.Binding].String())
		}
	}
	if r.Reference.What != "" {
		add("Removal counted from", fmt.Sprintf("%s, %s %s", r.Reference.What, o.Number(r.Reference.Value, 3), r.Reference.Unit))
	}
	if len(r.Curve) > 0 {
		add("Best of the tested range", fmt.Sprintf("%s, fitted reading %s", o.Quantity(r.Best.Dose, 3), readingText(o, r, r.Best.Reading)))
	}
	if r.Overdose.Seen {
		add("Over-dose", "seen: worse again from "+o.Quantity(r.Overdose.From, 3)+" on")
	}
	if r.Chemical.Basis == quantity.NotStated && r.HasPlanning {
		add("Basis of the dose", "not stated in the sheet; plan will ask for it")
	}
	t.Pairs(rows)
	if s := tradeOff(o, r, digits); s != "" {
		t.Blank()
		t.Para(s)
	}
}

func firstRemedy(r curve.Result, code string) string {
	for _, n := range r.Notes {
		if n.Code == code {
			return n.Remedy
		}
	}
	return "see the notes"
}

func jarText(o Options, j curve.JarUse) string {
	_, unit := j.Dose.Show(o.Units)
	d := asWritten(o, float64(j.Dose)) + " " + unit
	if j.Label == "" {
		return d
	}
	return "jar " + j.Label + ", " + d
}

// passingText names the lowest dose that passes as read, and by what reading.
func passingText(o Options, r curve.Result) string {
	read := strings.TrimSpace(asWritten(o, r.LowestPassing.Reading) + " " + r.Response.Info().Unit)
	if r.PassingJars < 2 {
		return jarText(o, r.LowestPassing) + ", read " + read
	}
	j := r.LowestPassing
	j.Label = ""
	return fmt.Sprintf("%s, mean of %d jars %s", jarText(o, j), r.PassingJars, read)
}

func readingText(o Options, r curve.Result, v float64) string {
	return strings.TrimSpace(o.Number(v, 3) + " " + r.Response.Info().Unit)
}

// asWritten gives a number that came from the sheet: at most four digits, no
// zeros that nobody wrote.
func asWritten(o Options, v float64) string {
	s := strconv.FormatFloat(quantity.RoundSig(v, 4), 'f', -1, 64)
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// tradeOff is the sentence that says what a smaller dose would risk.
func tradeOff(o Options, r curve.Result, digits int) string {
	if !r.HasPlanning {
		return ""
	}
	at := func(d quantity.Concentration) string { return o.Quantity(d, digits) }
	sure := r.Confidence(r.Planning.Concentration)
	s := fmt.Sprintf("%s meets the target %s", at(r.Planning.Concentration), timesInTen(float64(sure)))
	seen := map[string]bool{at(r.Planning.Concentration): true}
	for _, p := range [...]struct {
		p     float64
		words string
	}{{0.75, "%s would probably do, and fails one time in four"}, {0.5, "%s fails every second time"}} {
		d, ok := r.Quantile(p.p)
		if !ok || d >= r.Planning.Concentration || seen[at(d)] {
			continue
		}
		seen[at(d)] = true
		s += "; " + fmt.Sprintf(p.words, at(d))
	}
	return s + "."
}

// timesInTen puts a chance into words.
func timesInTen(p float64) string {
	switch {
	case p >= 0.985:
		return "nearly always"
	case p >= 0.885:
		return "9 times in 10"
	default:
		return fmt.Sprintf("%.0f times in 100", 100*p)
	}
}

func optimumAnswer(t *Text, o Options, r curve.Result) {
	var rows [][2]string
	ph := func(c quantity.Concentration) string { return o.Number(float64(c), 3) }
	switch {
	case r.Outcome == curve.Found:
		s := "pH " + ph(r.Optimum.Value)
		low, high := "below the range", "beyond the range"
		if r.Optimum.HasLow {
			low = ph(r.Optimum.Low)
		}
		if r.Optimum.HasHigh {
			high = ph(r.Optimum.High)
		}
		rows = append(rows, [2]string{"Best pH", s + fmt.Sprintf(" (%s to %s, 90 %% interval)", low, high)},
			[2]string{"Fitted reading there", readingText(o, r, r.Best.Reading)})
	default:
		rows = append(rows, [2]string{"Answer", "no best pH: " + outcomeWords(r.Outcome)})
	}
	if len(r.Targets) > 0 {
		rows = append(rows, [2]string{"Target", targetsText(r)})
	}
	t.Pairs(rows)
}

func fitJars(t *Text, o Options, r curve.Result) {
	if len(r.Jars) == 0 {
		return
	}
	unit := r.Response.Info().Unit
	head := r.Response.Info().Label
	if unit != "" {
		head += " (" + unit + ")"
	}
	var rows [][]string
	for _, j := range r.Jars {
		dose := asWritten(o, float64(j.Dose))
		read := "-"
		switch j.State {
		case jartest.Number:
			read = asWritten(o, j.Reading)
		case jartest.Below:
			read = "< " + asWritten(o, j.Reading)
		case jartest.Above:
			read = "> " + asWritten(o, j.Reading)
		}
		fitted := "-"
		if j.Used && len(r.Curve) > 0 {
			if p := curveAt(r.Curve, j.Dose); p != nil {
				fitted = o.Number(p.Fit, 3)
			}
		}
		remark := j.Why
		if !j.Used {
			remark = "left out: " + j.Why
		}
		rows = append(rows, []string{j.Label, dose, read, fitted, remark})
	}
	factor := "dose (mg/L)"
	if r.Factor == "ph" {
		factor = "pH"
	}
	t.Blank()
	t.Table([]Col{{Head: "jar"}, {Head: factor, Right: true}, {Head: head, Right: true}, {Head: "fitted", Right: true}, {Head: "remark"}}, rows)
}

// curveAt interpolates the fitted curve.
func curveAt(c []curve.Point, d quantity.Concentration) *curve.Point {
	for i := range c {
		if c[i].Dose == d {
			return &c[i]
		}
		if i > 0 && c[i-1].Dose < d && d < c[i].Dose {
			t := float64((d - c[i-1].Dose) / (c[i].Dose - c[i-1].Dose))
			p := c[i-1]
			p.Dose = d
			p.Fit += t * (c[i].Fit - p.Fit)
			return &p
		}
	}
	return nil
}

func fitWorking(t *Text, o Options, r curve.Result) {
	if len(r.Method) == 0 {
		return
	}
	t.Head("Working: " + seriesName(r.Series, r.Place))
	for i, m := range r.Method {
		t.Item(fmt.Sprintf("%d.", i+1), upperFirst(m)+".")
	}
	if r.Factor == "dose" && len(r.Curve) > 0 && r.Outcome == curve.Found {
		t.Blank()
		var rows [][]string
		for _, p := range [...]float64{0.05, 0.25, 0.5, 0.75, 0.9, 0.95} {
			dose := "beyond the range"
			if d, ok := r.Quantile(p); ok {
				dose = o.Quantity(d, 4)
			}
			rows = append(rows, []string{fmt.Sprintf("%.0f %%", 100*p), dose})
		}
		t.Table([]Col{{Head: "chance that this dose is enough", Right: true}, {Head: "dose", Right: true}}, rows)
	}
	t.Blank()
	t.Para("Models, each as it fits alone. Weight is its share of the answer; lower AICc is better; the profile-likelihood interval is that model's own, a check on the averaged one:")
	var rows [][]string
	for _, m := range r.Models {
		dose, crit, profile := "-", "-", "-"
		if m.HasDose {
			dose = o.Quantity(m.Dose, 4)
		}
		if m.Profile.Confidence > 0 {
			profile = nextRange(o, m.Profile)
		}
		if !math.IsInf(m.Criterion, 0) && m.Criterion != 0 {
			crit = o.Number(m.Criterion, 3)
		}
		rows = append(rows, []string{m.Name, o.Show(quantity.Places(quantity.Fraction(m.Weight), 1)), o.Number(m.RSS, 3), crit, dose, profile})
	}
	t.Table([]Col{{Head: "model"}, {Head: "weight", Right: true}, {Head: "sum of squares", Right: true}, {Head: "AICc", Right: true}, {Head: "meets target at", Right: true}, {Head: "profile 90 %", Right: true}}, rows)
	for _, m := range r.Models {
		if m.Weight < 0.05 || len(m.Params) == 0 {
			continue
		}
		t.Blank()
		t.Para(m.Name + ": " + m.Formula)
		var rows [][]string
		for _, p := range m.Params {
			se := "-"
			if p.SE > 0 {
				se = o.Number(p.SE, 2)
			}
			rows = append(rows, []string{p.Name, o.Number(p.Value, 4), se, p.Unit, p.Meaning})
		}
		t.Table([]Col{{Head: "parameter"}, {Head: "value", Right: true}, {Head: "std. error", Right: true}, {Head: "unit"}, {Head: "meaning"}}, rows)
	}
	t.Blank()
	rows = nil
	for _, j := range r.Jars {
		if j.Used {
			rows = append(rows, []string{j.Label, asWritten(o, float64(j.Dose)), asWritten(o, j.Reading), o.Number(j.Fit, 4), strings.Replace(fmt.Sprintf("%+.1f", j.Residual), ".", o.mark(), 1)})
		}
	}
	t.Para("Jars against the best model; residual in units of the scatter, judged by the other jars alone:")
	t.Table([]Col{{Head: "jar"}, {Head: "dose", Right: true}, {Head: "read", Right: true}, {Head: "fitted", Right: true}, {Head: "residual", Right: true}}, rows)
	if len(r.Readings) > 1 {
		t.Blank()
		t.Para("Other readings of the sheet:")
		var rows [][]string
		for _, q := range r.Readings[1:] {
			atPlan := "-"
			if q.AtPlanning != nil {
				atPlan = fmt.Sprintf("%s (%s to %s)", o.Number(q.AtPlanning.Fit, 3), o.Number(q.AtPlanning.Low, 3), o.Number(q.AtPlanning.High, 3))
			}
			n := 0
			for _, j := range q.Jars {
				if j.Used {
					n++
				}
			}
			rows = append(rows, []string{q.Key.Info().Label, q.Key.Info().Unit, fmt.Sprint(n), atPlan})
		}
		t.Table([]Col{{Head: "reading"}, {Head: "unit"}, {Head: "jars", Right: true}, {Head: "at the planning dose (90 % band)"}}, rows)
	}
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
