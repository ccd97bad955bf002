package templates

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/history"
	"jarwright/dosing/logbook"
	"jarwright/dosing/upkeep"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// TrackReport is the answer of track: past tests, what law they follow, and what today's water needs by it.
type TrackReport struct {
	history.History
	// Water is today's, empty where none is asked about; Sure is how sure a dose for it must be.
	Water history.Water
	Sure  quantity.Fraction
	// Asked are the chemicals that the site feeds, where one is named: their doses come first.
	Asked []string
	// Predictions are those of the groups that have a law.
	Predictions []GroupPrediction
	// Files were read; of those in Skipped a test is missing, and Others were left alone.
	Files   int
	Skipped note.List
	Others  []string
	// Logs are the plant's operating logs among the files, held against the site and the past tests.
	Logs []logbook.Judged
	// Notes are those of reading the sheets, each code once.
	Notes note.List
}

// GroupPrediction is that of a group of tests.
type GroupPrediction struct {
	Group int
	history.Prediction
}

// Predict asks each group about today's water.
func (r *TrackReport) Predict() {
	if len(r.Water) == 0 {
		return
	}
	for i, g := range r.Groups {
		if p, ok := g.Predict(r.Water, r.Sure); ok {
			r.Predictions = append(r.Predictions, GroupPrediction{i, p})
		}
	}
	slices.SortStableFunc(r.Predictions, func(a, b GroupPrediction) int { return r.asked(b) - r.asked(a) })
}

// asked is one for a chemical that the site feeds, which is what the question is about, nothing for others.
func (r TrackReport) asked(x GroupPrediction) int {
	name := words.Fold(r.Groups[x.Group].Chemical.Name)
	return either(slices.ContainsFunc(r.Asked, func(s string) bool { return words.Fold(s) == name }), 1, 0)
}

// Planned reports a dose for today's water.
func (r TrackReport) Planned() bool {
	return slices.ContainsFunc(r.Predictions, func(p GroupPrediction) bool { return p.Planning.OK })
}

// mostPast is how many tests a text lists; more stand in the other forms.
const mostPast = 20

// mostDrawn is how many tests a picture shows, the latest: more would hide the law.
const mostDrawn = 200

// Text implements [Report].
func (r TrackReport) Text(t *Text, o Options) {
	t.Answer(r.answer(o))
	for _, x := range r.Predictions {
		t.noted("Look at this first", x.Notes)
	}
	for _, j := range r.Logs {
		r.log(t, o, j)
	}
	shown := 0
	for i, g := range r.Groups {
		if d, ok := r.panel(o, i); ok && shown < mostPanels {
			title := d.Title
			d.Title = ""
			shown++
			t.Blank()
			t.Picture(draw.Drawing{Title: title, Description: r.describe(o, g), Panels: []draw.Panel{d}, DecimalComma: o.DecimalComma, Foot: civil(o.Date)}, 76, 18)
		}
		r.group(t, o, g)
	}
	if len(r.Tests) > 0 {
		r.tests(t)
	}
	t.noted("About these tests", r.History.Notes)
	t.noted("Reading the sheets", r.Notes)
	r.files(t)
	t.Blank()
	t.Para(either(len(r.Tests) == 0, "A chart cries out over nothing now and then: look before you change anything.", "Past tests speak for the waters they were run on. Test again when the water looks, smells or behaves unlike them.") + " Keep to the product's safety data sheet, to local codes and to licensed practice.")
}

// goalOf is what a group's dose is for, with the basis that it counts where another group differs by it alone.
func (r TrackReport) goalOf(g history.Group) figure.Phrase {
	return figure.Say("%s", g.Chemical.Name).If(r.Alike(g), " %s", g.Chemical.Basis).If(g.Beside != "", " beside %s", g.Beside).If(len(g.Targets) > 0, " for %s", targetsPhrase(g.Targets))
}

// answer is today's dose, else how far past tests tell one.
func (r TrackReport) answer(o Options) Answer {
	a := Answer{Title: "Past jar tests", Place: r.span(o), When: dated(o.Date)}
	if len(r.Tests) == 0 && len(r.Logs) > 0 {
		return r.upkeep(Answer{Title: "Upkeep by the operating log", Place: r.logged(), When: dated(o.Date)}, o)
	}
	laws := 0
	for _, g := range r.Groups {
		laws += either(g.Model.OK, 1, 0)
	}
	switch {
	case len(r.Water) == 0:
		a.Numbers = []Number{r.toldOf(laws)}
		a.Order = either(laws > 0, `Measure today's water, and ask for its dose with --raw, such as --raw "85 NTU".`, "Run more tests, each of another water: below is how many there are.")
		return r.upkeep(a, o)
	case len(r.Predictions) == 0:
		a.Numbers = []Number{{For: o.Say("Dose for water of %s", ntu("", quantity.Cloudiness(r.Water[jartest.Turbidity]))), Words: "No dose", Under: "too few tests tell one"}}
		a.Order = "Run a jar test of today's water."
		return r.upkeep(a, o)
	}
	for _, x := range r.Predictions {
		g := r.Groups[x.Group]
		d := r.predictionData(x)
		n := Number{For: o.Say("Planning dose of %s, water of %s", r.goalOf(g), waterPhrase(x.Raw, x.Model))}
		if x.Planning.OK {
			n.Value, n.Under = d.Fig("planning_dose").NoBasis(), either(g.Chemical.Basis == quantity.NotStated, "basis not stated", g.Chemical.Basis.String())
		} else {
			n.Words, n.Under = "No dose", "no test had such water"
		}
		a.Numbers = append(a.Numbers, n)
	}
	several := len(r.Predictions) > 1
	planned := slices.DeleteFunc(slices.Clone(r.Predictions), func(x GroupPrediction) bool { return !x.Planning.OK })
	if len(planned) == 0 {
		x := r.Predictions[0]
		a.Order = o.Say("Run a jar test of today's water. %s", r.outside(x))
		if several {
			a.Order = o.Say("Run a jar test of today's water. %s: past tests do not reach it: %s.", upperFirst(o.Show(r.goalOf(r.Groups[x.Group]))), r.Reach(x, "today's"))
		}
		return r.upkeep(a, o)
	}
	var says []string
	for _, x := range planned[:min(len(planned), mostSure)] {
		i, _ := r.predictionData(x).Get("dose").(figure.Interval)
		low, high := i.Ends()
		says = append(says, o.Say("%s such water needs %s; nine in ten such waters need %s to %s.", either(several, upperFirst(r.Groups[x.Group].Chemical.Name)+": by the law", "By the law"), i.Figure.NoBasis(), unitless(low), high.NoBasis()))
	}
	a.Sure = o.Say("%s %s is enough for %s of them.", strings.Join(says, " "), either(len(says) > 1, "Each planning dose", "The planning dose"), sure("", float64(r.Sure)))
	what := either(len(planned) > 1, "the one that you use", either(several, r.Groups[planned[0].Group].Chemical.Name, "it"))
	a.Order = o.Say("Dose %s, look at the water, and run a jar test as soon as you can.", what)
	for _, x := range planned {
		if first, ok := x.First(); ok {
			a.Order = o.Say("%s. Till then the dose of %s is in doubt.", first, r.Groups[x.Group].Chemical.Name)
			break
		}
	}
	return r.upkeep(a, o)
}

// toldOf is how far past tests tell a dose: of one chemical its name, of several how many.
func (r TrackReport) toldOf(laws int) Number {
	if i := slices.IndexFunc(r.Groups, func(g history.Group) bool { return g.Model.OK }); laws == 1 {
		return Number{For: either(len(r.Groups) == 1, "The tests tell the dose of", fmt.Sprintf("Of %d chemicals the tests tell the dose of", len(r.Groups))), Words: upperFirst(r.Groups[i].Chemical.Name)}
	}
	if len(r.Groups) == 1 {
		return Number{For: "Dose of " + r.Groups[0].Chemical.Name, Words: "Not told", Under: "by so few tests"}
	}
	return Number{For: "Chemicals whose dose the tests tell", Words: fmt.Sprintf("%d of %d", laws, len(r.Groups))}
}

// mostSure is of how many chemicals a headline tells how sure their doses are; the others stand below.
const mostSure = 2

// waterPhrase is today's water as far as the law goes by it.
func waterPhrase(w history.Water, m history.Model) figure.Phrase {
	p := figure.Say("%s", ntu("", quantity.Cloudiness(w[jartest.Turbidity])))
	for _, k := range m.Terms {
		p = p.And(" and %s", read("", k, w[k]))
	}
	return p
}

// outside says that no test had such water.
func (r TrackReport) outside(x GroupPrediction) figure.Phrase {
	return figure.Say("Past tests do not reach it: %s.", r.Reach(x, "today's"))
}

// Reach says how far past tests go, and where a water lies, and whose it is.
func (r TrackReport) Reach(x GroupPrediction, whose string) figure.Phrase {
	var parts []any
	for _, k := range x.Outside {
		s := x.Model.Range[k]
		parts = append(parts, figure.Say("the %s of past tests is %s to %s, %s %s", k.Info().Label, unitless(read("", k, s.Low)), read("", k, s.High), whose, read("", k, x.Raw[k])))
	}
	return figure.And("; ", parts...)
}

// span is how many tests there are, and from when.
func (r TrackReport) span(o Options) string {
	first, last := "", ""
	for _, t := range r.Tests {
		if !t.Day.Date.IsZero() {
			if first == "" {
				first = t.Day.String()
			}
			last = t.Day.String()
		}
	}
	return joined(", ", fmt.Sprintf("%d test%s", len(r.Tests), either(len(r.Tests) == 1, "", "s")), either(first == last, datedText(first), datedText(first)+" to "+datedText(last)))
}

// group is the law of a group, its classes of water, and what to test next.
func (r TrackReport) group(t *Text, o Options, g history.Group) {
	d := r.groupData(g)
	t.Head(upperFirst(o.Show(r.goalOf(g))))
	if !g.Model.OK {
		t.Say("No law: %s.", g.Refused)
		t.Notes(g.Notes)
		return
	}
	m := g.Model.V
	l := facts{{"Law", figure.Say("dose = %s", lawPhrase(d, m))}}
	l.add("Tests", figure.Say("%s of %s, of water from %s to %s", d.Fig("points"), d.Fig("tests"), unitless(d.Fig("range.turbidity.low")), d.Fig("range.turbidity.high")))
	l.add("Misses by", figure.Say("%s of the dose, each test left out in turn", d.Fig("miss")))
	l.add("Waters differ by", figure.Say("%s of the dose at one turbidity", d.Fig("scatter")))
	t.Facts(l)
	t.Blank()
	t.each(cols("raw water", ">tests", ">planning dose"), d.Objects("classes"), func(_ int, c *figure.Object) []any {
		at := c.Fig("planning_dose").NoBasis()
		return []any{figure.Say("%s to %s", unitless(c.Fig("from")), c.Fig("to")), c.Fig("tests"), either[any](at.Known(), at, "test it first")}
	})
	law := r.tableLaw(g)
	t.Say("%s", figure.Say("Planning dose: enough for %s of the dirtiest waters of the class", sure("", float64(r.Sure))).
		If(len(law.Terms) > 0, ", of %s", alikeWords(d.Objects("classes_for"))).If(len(law.Terms) < len(m.Terms), ", by the readings told of today's water alone").And("."))
	if d.Has("next") {
		t.Say("%s", testNext(d))
	}
	t.Notes(g.Notes)
	if o.Explain {
		r.working(t, d)
	}
}

// lawPhrase is a law as one writes it.
func lawPhrase(d *figure.Object, m history.Model) figure.Phrase {
	c := d.Objects("coefficients")
	v := func(i int) figure.Figure { return c[i].Fig("value").To(3) }
	var p figure.Phrase
	switch m.Form {
	case history.SquareRoot:
		p = figure.Say("%s + %s·√NTU", v(0), v(1))
	case history.Power:
		p = figure.Say("%s·NTU^%s", v(0), v(1))
	default:
		p = figure.Say("%s", v(0))
	}
	for i, k := range m.Terms {
		at := len(c) - len(m.Terms) + i
		unit := either(k.Info().Unit == "", k.Info().Label, k.Info().Label+" in "+k.Info().Unit)
		if m.Form == history.SquareRoot {
			p = p.And(" + %s·(%s)", v(at), unit)
		} else {
			p = p.And("·exp(%s·(%s))", v(at), unit)
		}
	}
	return p.And(" mg/L").If(d.Said("basis") != quantity.NotStated.String(), " %s", d.Said("basis"))
}

// working is how the law was found.
func (r TrackReport) working(t *Text, d *figure.Object) {
	t.Head("Working: the laws tried")
	t.each(cols("law", "with", ">tests", ">misses by"), d.Objects("tried"), func(_ int, x *figure.Object) []any {
		return []any{x.Said("form"), x.Said("terms"), x.Fig("tests"), x.Fig("miss")}
	})
	again, alone := worked("", upkeep.Seldom.RunLength(0), "", 3).In(figure.Brief), worked("", upkeep.Dating.RunLength(0), "", 3).In(figure.Brief)
	t.steps("Working: how a law is found", []string{
		"each test counts by the inverse of its variance: that of its own dose, from its 90 % interval, and the scatter between waters",
		"the scatter is drawn from a grid by restricted likelihood, held by half a normal distribution of 25 % of the dose",
		"each test is left out in turn, and the law that misses by least is taken; a law of turbidity before a constant only where it misses 5 % less, a further reading likewise",
		"the range of nine in ten holds the doubt of the law's numbers, of the scatter, and of the form: the other forms count by how likely they make tests that are left out",
		t.opt.Say("whether the latest tests have left the law is told by their moving average (EWMA, 0.2, limit 2.859), which cries out over nothing once in %s tests; since when, by the step of least squares between where their cumulative sum (CUSUM, 0.5, limit 5, once in %s) was last nothing and the first test beyond", again, alone),
	})
}

// tests is one line each, the latest last.
func (r TrackReport) tests(t *Text) {
	list := r.Tests[max(0, len(r.Tests)-mostPast):]
	t.Head("Tests")
	if n := len(r.Tests); n > len(list) {
		t.Para(fmt.Sprintf("The last %d of %d; all stand in --format csv, --format json and the workbook.", len(list), n))
	}
	has := func(k jartest.Key) string {
		head := map[jartest.Key]string{jartest.TemperatureKey: t.opt.readUnit(k), jartest.PH: "pH", jartest.AlkalinityKey: "alk.", jartest.UV254: "UV254"}[k]
		return either(slices.ContainsFunc(list, func(x history.Test) bool { _, ok := x.Raw[k]; return ok }), ">"+head, absent)
	}
	names, bases := map[string]bool{}, map[string]bool{}
	for _, x := range list {
		names[x.Chemical.Name], bases[x.Chemical.Basis.String()] = true, true
	}
	counted := either(len(bases) == 1, " "+list[0].Chemical.Basis.String(), "")
	t.each(cols("day", either(len(names) > 1, "chemical", absent), ">NTU", has(jartest.TemperatureKey), has(jartest.PH), has(jartest.AlkalinityKey), has(jartest.UV254), "dose mg/L"+counted+" (90 % interval)", either(len(bases) > 1, "counted", absent)),
		objects(list, pastData), func(i int, d *figure.Object) []any {
			dose := any(outcomeWords(list[i].Outcome))
			if list[i].Pair {
				dose = "two things varied"
			}
			if e := d.Sub("lowest_effective_dose"); e.Has("value") {
				iv := interval(e)
				iv.Figure = unitless(iv.Figure)
				dose = iv
			}
			raw := func(key string) any { return or(unitless(d.Fig("raw."+key)), "") }
			turbid := raw("turbidity")
			if list[i].Control {
				turbid = figure.Say("%s*", turbid)
			}
			return []any{datedText(d.Said("date")), list[i].Chemical.Name, turbid, raw("temperature"), raw("ph"), raw("alkalinity"), raw("uv254"), dose, list[i].Chemical.Basis.String()}
		})
	if slices.ContainsFunc(list, func(x history.Test) bool { return x.Control }) {
		t.Para("* Of the jar without chemical, after settling: the sheet does not tell the raw water.")
	}
}

// files is what was not read.
func (r TrackReport) files(t *Text) {
	if len(r.Skipped)+len(r.Others) == 0 {
		return
	}
	t.Head("Files left out")
	if n := len(r.skippedFiles()); n > 0 {
		t.Para(fmt.Sprintf("%d of %d files skipped:", n, r.Files))
		t.Notes(r.Skipped[:min(len(r.Skipped), mostPast)])
	}
	if n := len(r.Others); n > 0 {
		t.Para(fmt.Sprintf("Left alone, since no bench sheet: %s%s.", strings.Join(r.Others[:min(n, 5)], ", "), either(n > 5, fmt.Sprintf(" and %d more", n-5), "")))
	}
}

// Drawing shows dose against raw water, one panel a group that has a law.
func (r TrackReport) Drawing(o Options) draw.Drawing {
	d := o.drawing(either(len(r.Tests) == 0, "Upkeep by the operating log", "Dose by raw water"), "")
	for _, j := range r.Logs {
		for _, c := range j.Charts {
			if c.Ready() && len(d.Panels)+1 < mostPanels {
				d.Panels = append(d.Panels, logPanels(o, j, c)...)
				d.Description = joined(" ", d.Description, describeLog(c))
			}
		}
	}
	for i, g := range r.Groups {
		if p, ok := r.panel(o, i); ok && len(d.Panels) < mostPanels {
			d.Panels = append(d.Panels, p)
			d.Description = joined(" ", d.Description, r.describe(o, g))
		}
	}
	if len(d.Panels) == 1 {
		d.Title, d.Panels[0].Title = d.Panels[0].Title, ""
	}
	return d
}

// describe tells a panel to those who cannot see it.
func (r TrackReport) describe(o Options, g history.Group) string {
	d := r.groupData(g)
	return o.Say("%s: by %s tests the dose is %s.", upperFirst(o.Show(r.goalOf(g))), d.Fig("points"), lawPhrase(d, g.Model.V))
}

// panel is the picture of a group: tests with their intervals, the law with its band, today's water.
func (r TrackReport) panel(o Options, at int) (draw.Panel, bool) {
	g := r.Groups[at]
	if !g.Model.OK {
		return draw.Panel{}, false
	}
	m, like := g.Model.V, r.Water
	i := slices.IndexFunc(r.Predictions, func(x GroupPrediction) bool { return x.Group == at })
	if i >= 0 {
		m = r.Predictions[i].Model
	}
	s := m.Range[jartest.Turbidity]
	wide := s.High > 8*s.Low
	unit := "mg/L"
	if g.Chemical.Basis != quantity.NotStated {
		unit += " " + string(g.Chemical.Basis)
	}
	p := draw.Panel{Title: o.Say("Dose of %s by raw water", g.Chemical.Name), X: draw.Axis{Name: "raw turbidity", Unit: "NTU", Log: wide, Zero: !wide, Note: either(wide, "log scale", "")},
		Y: draw.Axis{Name: "lowest effective dose", Unit: unit, Zero: true}}
	var line []draw.XY
	var band []draw.Span
	const steps = 48
	for k := range steps + 1 {
		f := float64(k) / steps
		x := either(wide, s.Low*math.Pow(s.High/s.Low, f), s.Low+(s.High-s.Low)*f)
		v, low, high := m.Band(quantity.Cloudiness(x), like)
		line, band = append(line, draw.XY{X: x, Y: float64(v)}), append(band, draw.Span{X: x, Low: float64(low), High: float64(high)})
	}
	points := draw.Points{Name: "past test", Quiet: true}
	for _, x := range g.Used[max(0, len(g.Used)-mostDrawn):] {
		q := draw.Point{XY: draw.XY{X: x.Raw[jartest.Turbidity], Y: float64(x.Effective.Value)}}
		if x.Effective.HasLow && x.Effective.HasHigh {
			q.Low, q.High = float64(x.Effective.Low), float64(x.Effective.High)
		}
		points.At = append(points.At, q)
	}
	p.Layers = []draw.Layer{draw.Band{Name: "nine waters in ten", Smooth: true, At: band}, draw.Line{Name: "law of the tests", Smooth: true, At: line}, points}
	if beyond := r.unreached(g); len(beyond.At) > 0 {
		p.Layers = append(p.Layers, beyond)
	}
	if i >= 0 && r.Predictions[i].Planning.OK {
		x := r.Predictions[i]
		d := r.predictionData(x)
		p.Layers = append(p.Layers, draw.Marker{Label: o.Say("today, %s", ntu("", quantity.Cloudiness(x.Raw[jartest.Turbidity]))), Vertical: true, At: x.Raw[jartest.Turbidity], Stroke: draw.Dashed, Tone: draw.Plain},
			draw.Points{Shape: draw.Diamond, Tone: draw.Limit, At: []draw.Point{{XY: draw.XY{X: x.Raw[jartest.Turbidity], Y: float64(x.Planning.V)}, Label: o.Say("planning dose %s", d.Fig("planning_dose").NoBasis())}}})
	}
	return p, true
}

// unreached are tests that needed more than their highest dose, which stand in no law.
func (r TrackReport) unreached(g history.Group) draw.Points {
	out := draw.Points{Name: "needed more than this", Shape: draw.Triangle, Tone: draw.Aside}
	for _, x := range g.Tests {
		if v, ok := x.Raw[jartest.Turbidity]; ok && x.Outcome == curve.StillImproving {
			out.At = append(out.At, draw.Point{XY: draw.XY{X: v, Y: float64(x.TestedHigh)}, Censor: draw.Over})
		}
	}
	return out
}
