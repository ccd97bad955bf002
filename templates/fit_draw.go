package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// mostPanels is how many series one picture holds.
const mostPanels = 6

// Drawing shows jars, fitted curve with its band, target and planning dose, one
// panel a series.
func (f FitReport) Drawing(o Options) draw.Drawing {
	d := o.drawing("Jar tests", "")
	f = f.doubted()
	list := f.data()
	add := func(name, says, words string, panels ...draw.Panel) {
		if len(d.Panels) >= mostPanels {
			return
		}
		if len(list) == 1 {
			d.Title = says
		} else {
			panels[0].Title = name + ": " + says
		}
		d.Panels = append(d.Panels, panels[:min(len(panels), mostPanels-len(d.Panels))]...)
		d.Description = strings.TrimSpace(d.Description + " " + words)
	}
	for i, r := range f.Results {
		if s := (fitSeries{r, list[i]}); len(r.Curve) > 0 {
			add(seriesName(r.Series, r.Place), s.says(o), s.words(o), s.panel(o))
		}
	}
	for i, r := range f.Surfaces {
		s := surfaceSeries{r, list[len(f.Results)+i]}
		if p, ok := s.panel(o); ok {
			panels := []draw.Panel{p}
			if p, ok := s.slicePanel(o); ok {
				panels = append(panels, p)
			}
			add(seriesName(r.Series, r.Place), s.says(o), s.words(o), panels...)
		}
	}
	return d
}

// drawing begins a picture, with words for those who cannot see it.
func (o Options) drawing(title, words string) draw.Drawing {
	return draw.Drawing{Title: title, Description: words, DecimalComma: o.DecimalComma, Foot: dated(o.Date)}
}

// words describes the picture to those who cannot see it.
func (r fitSeries) words(o Options) string {
	at := func(c curve.Point) figure.Figure { return workedOut(read("", r.Response, c.Fit), 3) }
	s := o.Say("%s: %s, fitted from %s to %s.", seriesName(r.Series, r.Place), r.Response.Info().Label, at(r.Curve[0]),
		at(r.Curve[len(r.Curve)-1]))
	if r.HasPlanning {
		return s + o.Say(" Planning dose %s.", r.plan())
	}
	return s + " " + upperFirst(outcomeWords(r.Outcome)) + "."
}

// shown gives readings of a kind as numbers in the reader's unit, and that unit.
func (o Options) shown(k jartest.Key) (func(float64) float64, string) {
	return func(v float64) float64 { v, _ = readingOf(k, v).Show(o.Units); return v }, o.readUnit(k)
}

// readUnit is the reader's unit for readings of a kind.
func (o Options) readUnit(k jartest.Key) string { return unitOf(readingOf(k, 0), o) }

// readAxis is an axis of readings of a kind.
func readAxis(k jartest.Key, unit string) draw.Axis {
	i := k.Info()
	return draw.Axis{Name: upperFirst(i.Label), Unit: unit, Zero: !i.Signed}
}

// jarPoint is what a jar read, in a picture.
func jarPoint(x float64, s jartest.State, y float64) draw.Point {
	censor := map[jartest.State]draw.Censor{jartest.Below: draw.Under, jartest.Above: draw.Over}
	return draw.Point{XY: draw.XY{X: x, Y: y}, Censor: censor[s]}
}

// panel is the picture of a series: the jars as read, the curve with its band, every target at its
// line, and on the board of doses the interval, the planning dose and the row of jars.
func (r fitSeries) panel(o Options) draw.Panel {
	p := draw.Panel{X: r.doses(), Y: r.readings(o)}
	_, top := r.extent(o)
	p.Layers = r.evidence(o)
	if low, ok := r.lowest(o); ok && low < lowDecision*top {
		if c, ok := r.closeup(o, p); ok {
			p.Closeup = &c
		} else if !r.HasPlanning && r.positive(o) {
			least := low / 1.35 // its line stands clear of the board
			p.Y.Log, p.Y.Zero, p.Y.Least, p.Y.Note = true, false, &least, joined(", ", "log scale", p.Y.Note)
		}
	}
	if gap, ok := r.gap(o); ok && p.Closeup == nil {
		p.Layers = append([]draw.Layer{gap}, p.Layers...)
	}
	p.Layers = append(p.Layers, r.board(o)...)
	return p
}

// lowDecision is the share of the highest reading below which a target is hard to see.
const lowDecision = 0.15

// doses is the axis of what differs between the jars, over what was tested.
func (r fitSeries) doses() draw.Axis {
	a := draw.Axis{Name: "dose", Unit: "mg/L", Zero: true, Ends: true}
	if r.Chemical.Name != "" {
		a.Name = "dose of " + r.Chemical.Name
	}
	if r.Chemical.Basis != quantity.NotStated {
		a.Unit += " " + string(r.Chemical.Basis)
	}
	if r.Factor == "ph" {
		return draw.Axis{Name: "pH"}
	}
	most := float64(r.Planning.Concentration)
	for _, j := range r.Jars {
		most = math.Max(most, float64(j.Dose))
	}
	for _, c := range r.Curve {
		most = math.Max(most, float64(c.Dose))
	}
	a.Most = &most
	return a
}

// readings is the axis of what was read.
func (r fitSeries) readings(o Options) draw.Axis {
	_, unit := o.shown(r.Response)
	a := readAxis(r.Response, unit)
	a.Name = r.Response.Info().Label
	least, most := math.MaxInt, 0
	for _, j := range r.Jars {
		if j.State == jartest.Number && j.Used {
			least, most = min(least, max(1, len(j.Repeats))), max(most, len(j.Repeats))
		}
	}
	if most > 1 {
		a.Note = either(least == most, fmt.Sprintf("%s readings a jar", spelt(most)), "every reading a ring")
	}
	return a
}

// spelt writes a small number as a word.
func spelt(n int) string {
	if words := [...]string{2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine"}; n < len(words) && words[n] != "" {
		return words[n]
	}
	return fmt.Sprint(n)
}

// evidence is what was read and what was fitted, with the targets.
func (r fitSeries) evidence(o Options) []draw.Layer {
	shown, _ := o.shown(r.Response)
	var line []draw.XY
	var band []draw.Span
	for _, c := range r.Curve {
		line = append(line, draw.XY{X: float64(c.Dose), Y: shown(c.Fit)})
		band = append(band, draw.Span{X: float64(c.Dose), Low: shown(c.Low), High: shown(c.High)})
	}
	out := []draw.Layer{draw.Band{Name: "nine curves in ten", Smooth: true, At: band}, draw.Line{Name: "fitted curve", Smooth: true, At: line}}
	for _, g := range r.Targets {
		if v := levelOf(r.Result, g); v != nil {
			out = append(out, r.limit(o, g, *v))
		}
	}
	var used, left []draw.Point
	for _, j := range r.Jars {
		var at []draw.Point
		for _, v := range j.Repeats {
			at = append(at, draw.Point{XY: draw.XY{X: float64(j.Dose), Y: shown(v)}})
		}
		if j.State != jartest.Number || len(at) == 0 {
			at = []draw.Point{jarPoint(float64(j.Dose), j.State, shown(j.Reading))}
		}
		switch {
		case j.State == jartest.Missing:
		case j.Used && !j.Outlier:
			used = append(used, at...)
		default:
			left = append(left, at...)
		}
	}
	out = append(out, draw.Points{Name: "jar", Quiet: true, At: used})
	if len(left) > 0 {
		out = append(out, draw.Points{Name: "jar left out or far off", Shape: draw.Cross, Tone: draw.Aside, At: left})
	}
	return out
}

// limit is the line of a target, named in words.
func (r fitSeries) limit(o Options, g jartest.Target, v float64) draw.Marker {
	shown, _ := o.shown(r.Response)
	at := workedOut(read("", r.Response, v), 4).In(figure.Brief)
	words := o.Say("target: %s at %s", at, sideWord(g, r.Response))
	return draw.Marker{Label: words, At: shown(v), Stroke: draw.Dashed, Tone: draw.Limit, Number: o.Show(unitless(at))}
}

// sideWord says on which side of its level a target is met.
func sideWord(g jartest.Target, k jartest.Key) string {
	left := g.Kind == jartest.Removal && g.Key.Base() == k.Base() // a removal asks for little to be left
	return either(g.AtLeast && !left, "least", "most")
}

// board is what stands on the board of doses and under it.
func (r fitSeries) board(o Options) []draw.Layer {
	var out []draw.Layer
	if r.Outcome == curve.Found {
		d, at, name := r.d.Sub("lowest_effective_dose"), r.Effective, "lowest effective"
		if r.Factor == "ph" {
			d, at, name = r.d.Sub("optimum_ph"), r.Optimum, "best pH"
		}
		out = append(out, stand(o, d, at, name))
	} else if len(r.Curve) > 0 && r.d.Has("best.reading") {
		shown, _ := o.shown(r.Response)
		out = append(out, draw.Remark{XY: draw.XY{X: float64(r.Best.Dose), Y: shown(r.Best.Reading)},
			Label: o.Say("best fitted: %s at %s", r.d.Fig("best.reading"), r.d.Fig("best.dose").NoBasis())})
	}
	if r.HasPlanning {
		out = append(out, draw.Mark{At: float64(r.Planning.Concentration), Number: o.Show(unitless(r.plan())), Label: "mg/L, planning dose", Short: "planning"})
	}
	return append(out, r.bench(o))
}

// stand is an interval as it stands on the board.
func stand(o Options, d *figure.Object, at curve.Interval, name string) draw.Interval {
	i := draw.Interval{Low: math.Inf(-1), At: float64(at.Value), High: math.Inf(1)}
	if at.HasLow {
		i.Low = float64(at.Low)
	}
	if at.HasHigh {
		i.High = float64(at.High)
	}
	whole := interval(d)
	whole.Figure = unitless(whole.Figure)
	i.Label = o.Say("%s %s", name, whole)
	i.Short = o.Say("%s %s", strings.Fields(name)[0], unitless(d.Fig("value")))
	return i
}

// goalLine is a target as a reading that must not be passed.
type goalLine struct {
	level   float64
	atLeast bool
}

func (g goalLine) met(v float64) bool { return either(g.atLeast, v >= g.level, v <= g.level) }

// goals are the targets that stand at a reading of the picture.
func (r fitSeries) goals() (out []goalLine) {
	for _, g := range r.Targets {
		if v := levelOf(r.Result, g); v != nil {
			out = append(out, goalLine{*v, sideWord(g, r.Response) == "least"})
		}
	}
	return out
}

// bench is the row of jars, toned by what they read, gathered by whether they pass.
func (r fitSeries) bench(o Options) draw.Jars {
	row := draw.Jars{Word: "jar"}
	var list []curve.JarUse
	least, most := math.Inf(1), math.Inf(-1)
	for _, j := range r.Jars {
		if j.State == jartest.Missing {
			continue
		}
		list = append(list, j)
		if j.Used {
			least, most = math.Min(least, j.Reading), math.Max(most, j.Reading)
		}
	}
	slices.SortStableFunc(list, func(a, b curve.JarUse) int { return cmp.Compare(a.Dose, b.Dose) })
	info := r.Response.Info()
	mud := func(v float64) float64 {
		v = math.Max(least, math.Min(most, v))
		share := (v - least) / (most - least)
		switch {
		case !(most > least):
			return 0
		case info.LowIsGood && !info.Signed && least > 0:
			return math.Log(v/least) / math.Log(most/least)
		case info.LowIsGood:
			return share
		}
		return 1 - share
	}
	for _, j := range list {
		row.At = append(row.At, draw.Jar{X: float64(j.Dose), Mud: mud(j.Reading), Label: jarNumber(j.Label)})
	}
	row.Braces = r.braces(o, list)
	return row
}

// jarNumber is the number of a jar without what its label says beside it: "1 (control)" is 1.
func jarNumber(label string) string { return strings.TrimSpace(strings.SplitN(label, "(", 2)[0]) }

// mostBraces is how often jars may change between passing and failing before braces say nothing.
const mostBraces = 4

// braces gather neighbouring doses whose jars, as read, all meet the targets or do not.
func (r fitSeries) braces(o Options, list []curve.JarUse) (out []draw.Brace) {
	goals := r.goals()
	if len(goals) == 0 || len(goals) < len(r.Targets) {
		return nil
	}
	side := either(goals[0].atLeast, "under", "over")
	fails := o.Say("%s %s", side, workedOut(read("", r.Response, goals[0].level), 3).In(figure.Brief))
	if len(goals) > 1 {
		fails = "a target missed"
	}
	for i := 0; i < len(list); {
		sum, n := 0.0, 0
		for ; i+n < len(list) && list[i+n].Dose == list[i].Dose; n++ {
			sum += list[i+n].Reading
		}
		passes := !slices.ContainsFunc(goals, func(g goalLine) bool { return !g.met(sum / float64(n)) })
		dose := float64(list[i].Dose)
		if k := len(out) - 1; k >= 0 && out[k].Strong == passes {
			out[k].To = dose
		} else {
			out = append(out, draw.Brace{From: dose, To: dose, Label: either(passes, "passes", fails), Strong: passes})
		}
		i += n
	}
	if len(out) > mostBraces {
		return nil
	}
	if len(out) == 1 {
		out[0].Label, out[0].Strong = "all "+strings.Replace(out[0].Label, "passes", "pass", 1), true
	}
	return out
}

// extent is the range of readings that the picture shows.
func (r fitSeries) extent(o Options) (least, most float64) {
	shown, _ := o.shown(r.Response)
	least, most = math.Inf(1), math.Inf(-1)
	add := func(v float64) { least, most = math.Min(least, shown(v)), math.Max(most, shown(v)) }
	for _, c := range r.Curve {
		add(c.Fit)
	}
	for _, j := range r.Jars {
		if j.Used && j.State != jartest.Missing {
			add(j.Reading)
		}
	}
	return least, most
}

// lowest is the lowest target that a reading must stay under.
func (r fitSeries) lowest(o Options) (float64, bool) {
	shown, _ := o.shown(r.Response)
	low, ok := math.Inf(1), false
	for _, g := range r.goals() {
		if !g.atLeast {
			low, ok = math.Min(low, shown(g.level)), true
		}
	}
	return low, ok
}

// positive tells that every reading has a logarithm.
func (r fitSeries) positive(o Options) bool {
	least, _ := r.extent(o)
	return least > 0 && !r.Response.Info().Signed
}

// gap is the doses around the lowest effective one between which no jar stood.
func (r fitSeries) gap(o Options) (draw.Gap, bool) {
	low, high := math.Inf(-1), math.Inf(1)
	at := float64(r.Effective.Value)
	for _, j := range r.Jars {
		if d := float64(j.Dose); j.Used && j.State != jartest.Missing {
			if d <= at {
				low = math.Max(low, d)
			} else {
				high = math.Min(high, d)
			}
		}
	}
	if r.Outcome != curve.Found || r.Factor == "ph" || math.IsInf(low, 0) || math.IsInf(high, 0) {
		return draw.Gap{}, false
	}
	dose := func(v float64) figure.Figure { return unitless(along("", false, v)) }
	return draw.Gap{From: low, To: high, Label: o.Say("no jar between %s and %s", dose(low), dose(high))}, true
}

// closeup is the part of the picture where the decision lies, readings on a log scale.
func (r fitSeries) closeup(o Options, whole draw.Panel) (draw.Panel, bool) {
	if r.Outcome != curve.Found || r.Factor == "ph" || !r.positive(o) || !r.Effective.HasLow {
		return draw.Panel{}, false
	}
	low, high := float64(r.Effective.Low), math.Max(float64(r.Effective.Value), float64(r.Planning.Concentration))
	if r.Effective.HasHigh {
		high = math.Max(high, float64(r.Effective.High))
	}
	wide := high - low
	step := math.Pow(10, math.Floor(math.Log10(wide)))
	step = either(wide >= 2*step, step, step/2)
	from, to := math.Max(0, math.Floor((low-0.6*wide)/step)*step), math.Min(*whole.X.Most, math.Ceil((high+0.9*wide)/step)*step)
	least, most := math.Inf(1), math.Inf(-1)
	add := func(x, y float64) {
		if x >= from && x <= to && y > 0 {
			least, most = math.Min(least, y/1.08), math.Max(most, y*1.08)
		}
	}
	c := draw.Panel{X: draw.Axis{Least: &from, Most: &to, Ends: true}, Y: draw.Axis{Log: true}}
	if g, ok := r.gap(o); ok {
		c.Layers = append(c.Layers, g)
	}
	for _, l := range whole.Layers {
		switch k := l.(type) {
		case draw.Band:
			for _, s := range k.At {
				add(s.X, s.Low)
				add(s.X, s.High)
			}
			l = draw.Band{Smooth: true, At: k.At}
		case draw.Line:
			l = draw.Line{Smooth: true, At: k.At}
		case draw.Marker:
			add(from, k.At)
			k.Label, _, _ = strings.Cut(k.Label, " at ") // the whole picture says on which side; of two targets each name has to find room at its own line
			l = k
		case draw.Points:
			for _, p := range k.At {
				add(p.X, p.Y)
			}
			k.Name = ""
			l = k
		}
		c.Layers = append(c.Layers, l)
	}
	if !(to > from) || !(most > least) {
		return draw.Panel{}, false
	}
	c.Y.Least, c.Y.Most = &least, &most
	c.Title = o.Say("Close up, %s to %s mg/L, log scale", worked("", from, "", 3).In(figure.Brief), worked("", to, "", 3).In(figure.Brief))
	for _, l := range r.board(o) {
		switch k := l.(type) {
		case draw.Interval:
			whole := interval(r.d.Sub("lowest_effective_dose"))
			whole.Figure = unitless(whole.Figure)
			k.Label, k.Short = o.Show(whole), ""
			c.Layers = append(c.Layers, k)
		case draw.Mark:
			k.Label, k.Short = "", ""
			c.Layers = append(c.Layers, k)
		}
	}
	return c, true
}

// usuallySure is the confidence of most planning doses, which is told as nine times in ten.
const usuallySure = 0.9

// says is the answer as the title of a picture.
func (r fitSeries) says(o Options) string {
	label := r.Response.Info().Label
	switch {
	case r.HasPlanning && slices.ContainsFunc(r.Notes, doubtsUnit):
		return o.Say("Is the unit right? As it stands the planning dose is %s", r.plan())
	case r.Factor == "ph" && r.Outcome == curve.Found:
		return o.Say("%s is best at pH %s", upperFirst(label), r.d.Fig("optimum_ph.value"))
	case r.HasPlanning:
		often := spelt(min(9, int(10*float64(r.Sure)+1e-9))) + " times in ten"
		if r.Sure > usuallySure {
			often = o.Say("with %s confidence", r.d.Fig("planning_dose.confidence"))
		}
		return o.Say("%s of %s %s %s", r.plan(), cmp.Or(r.Chemical.Name, "the chemical"), r.does(o), often)
	case r.Outcome == curve.Found:
		return o.Say("%s of %s is the lowest dose that works; none is sure enough to plan with", r.d.Fig("lowest_effective_dose.value").NoBasis(),
			cmp.Or(r.Chemical.Name, "the chemical"))
	case (r.Outcome == curve.NotReached || r.Outcome == curve.StillImproving) && len(r.Curve) > 0:
		at := o.Say("No dose: %s comes to %s at best", label, r.d.Fig("best.reading"))
		switch {
		case r.Outcome == curve.StillImproving:
			return at + ", and more may do better"
		case len(r.goals()) == 1 && len(r.Targets) == 1:
			return at + o.Say("; the target is %s", workedOut(read("", r.Response, r.goals()[0].level), 3).In(figure.Brief))
		}
		return at
	}
	return "No dose: " + outcomeWords(r.Outcome)
}

// does says what a planning dose does, as its target asks.
func (r fitSeries) does(o Options) string {
	if len(r.Targets) != 1 {
		return "meets every target"
	}
	g := r.Targets[0]
	label := g.Key.Info().Label
	switch {
	case g.Kind == jartest.Absolute:
		return o.Say("brings %s to %s or %s", label, read("", g.Key, g.Value), either(g.AtLeast, "more", "less"))
	case g.Kind == jartest.Removal:
		return o.Say("takes out %s %% of %s", figure.Figure{Q: figure.Plain{V: g.Value}, Digits: 12}, label)
	}
	return "meets the target"
}

// picture is the series' own picture.
func (r fitSeries) picture(o Options) draw.Drawing {
	d := o.drawing(r.says(o), r.words(o))
	d.Foot = ""
	d.Panels = []draw.Panel{r.panel(o)}
	return d
}

// targetMarker is the line of the target.
func targetMarker(o Options, k jartest.Key, v float64) draw.Marker {
	shown, _ := o.shown(k)
	return draw.Marker{Label: "target " + o.Show(read("", k, v)), At: shown(v), Stroke: draw.Dashed, Tone: draw.Limit}
}

// targetLevel is the reading that the deciding target stands for, if it is one.
func targetLevel(r curve.Result) *float64 {
	if len(r.Targets) == 0 {
		return nil
	}
	return levelOf(r, r.Targets[r.Binding])
}

// levelOf is the reading that a target stands for, if it is one.
func levelOf(r curve.Result, g jartest.Target) *float64 {
	v, same := g.Value, g.Key.Base() == r.Response.Base() // whatever settling time it was read at
	switch {
	case g.Kind == jartest.Absolute && same:
	case g.Kind == jartest.Removal && !same: // the sheet holds the removal itself
	case g.Kind == jartest.Removal && r.Reference.What != "":
		v = (1 - g.Value/100) * r.Reference.Value
	default:
		return nil
	}
	return &v
}
