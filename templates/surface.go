package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
)

func surfaceHead(r surface.Result) string {
	if r.First.Name == "" {
		return seriesName(r.Series, r.Place)
	}
	return fmt.Sprintf("%s: %s with %s against %s", seriesName(r.Series, r.Place), r.First.Name, r.Second.Name, r.Response.Info().Label)
}

// pairText writes a pair with its units and bases.
func pairText(o Options, r surface.Result, p surface.Pair) string {
	part := func(f surface.Factor, c quantity.Concentration, digits int) string {
		s := f.Name + " " + o.Quantity(c, digits)
		if f.Chemical.Basis != quantity.NotStated {
			s += " (" + string(f.Chemical.Basis) + ")"
		}
		return s
	}
	if r.Second.PH {
		return part(r.First, p.First, 3) + " at pH " + o.Number(p.PH, 2)
	}
	if p.Second == 0 {
		return part(r.First, p.First, 3) + ", no " + r.Second.Name
	}
	return part(r.First, p.First, 3) + " with " + part(r.Second, p.Second, 2)
}

// surfaceCost writes what a choice costs; empty without prices.
func surfaceCost(o Options, c surface.Choice) string {
	if c.Cost.Currency == "" {
		return ""
	}
	return o.Quantity(c.Cost, 3) + " per 1000 m3"
}

// surfaceBlock shows one series of two factors: the pair first, then the
// picture, the needed dose at each level, and the jars.
func surfaceBlock(t *Text, o Options, r surface.Result) {
	t.Head(surfaceHead(r))
	surfaceAnswer(t, o, r)
	if p, ok := surfacePanel(r, o); ok {
		t.Blank()
		t.Picture(draw.Drawing{Panels: []draw.Panel{p}, DecimalComma: o.DecimalComma, Description: surfaceWords(r, o)}, 18)
	}
	surfaceSlices(t, o, r)
	surfaceJars(t, o, r)
	if len(r.Notes) > 0 {
		t.Blank()
		t.Notes(r.Notes)
	}
	if o.Explain {
		surfaceWorking(t, o, r)
	}
}

func surfaceAnswer(t *Text, o Options, r surface.Result) {
	var rows [][2]string
	add := func(name, format string, args ...any) {
		rows = append(rows, [2]string{name, fmt.Sprintf(format, args...)})
	}
	reading := func(v float64) string { return strings.TrimSpace(o.Number(v, 3) + " " + r.Response.Info().Unit) }
	switch {
	case r.HasPlanning:
		add("Planning pair", "%s", pairText(o, r, r.Planning.Pair))
		add("Expected there", "%s; meets the target %s", reading(r.Planning.Fit), timesInTen(float64(r.Planning.Confidence)))
		if c := surfaceCost(o, r.Planning); c != "" {
			add("Cost", "%s", c)
		}
		add("Chosen as", "%s", r.Rule)
	case r.Outcome == curve.Found:
		add("Planning pair", "none: no tested pair is sure enough")
	default:
		add("Answer", "no pair: %s", outcomeWords(r.Outcome))
	}
	if s := savingText(o, r); s != "" {
		add("Against "+r.First.Name+" alone", "%s", s)
	}
	if r.HasEstimate {
		add("As likely as not at", "%s", pairText(o, r, r.Estimate.Pair))
	}
	if r.HasLeastLeft && !r.Second.PH && r.LeastLeft.Pair != r.Planning.Pair {
		s := pairText(o, r, r.LeastLeft.Pair)
		if c := surfaceCost(o, r.LeastLeft); c != "" {
			s += ", " + c
		}
		add("Least left in the water", "%s", s)
	}
	if r.HasLowestPassing {
		add("Cheapest jar that passes", "%s: %s, read %s", jarName(r.LowestPassing.Label), pairText(o, r, r.LowestPassing.Pair), reading(r.LowestPassing.Reading))
	}
	if len(r.Targets) > 0 {
		var g []string
		for _, x := range r.Targets {
			g = append(g, x.String())
		}
		add("Target", "%s", strings.Join(g, " and "))
		if len(r.Targets) > 1 && r.Outcome == curve.Found {
			add("Target that decides", "%s", r.Targets[r.Binding].String())
		}
	}
	if r.Reference != "" {
		add("Removal counted from", "%s", r.Reference)
	}
	if len(r.Slices) > 0 {
		add("Best of the tested region", "%s, fitted %s", pairText(o, r, r.Clearest.Pair), reading(r.Clearest.Fit))
		add("Jars laid out as", "%s", r.Design)
	}
	t.Pairs(rows)
}

func jarName(label string) string {
	if label == "" {
		return "a jar"
	}
	return "jar " + label
}

// savingText says what the second chemical is worth.
func savingText(o Options, r surface.Result) string {
	s := r.Saving
	what := "of the " + r.First.Name
	if s.OfCost {
		what = "of the cost"
	}
	share := func() string {
		pct := func(f quantity.Fraction) string { return o.Number(math.Round(f.In("%")), 2) }
		if !s.HasHigh {
			return fmt.Sprintf("%s %% %s (90 %% interval %s %% and up)", pct(s.Share), what, pct(s.Low))
		}
		return fmt.Sprintf("%s %% %s (90 %% interval %s to %s %%)", pct(s.Share), what, pct(s.Low), pct(s.High))
	}
	var out string
	switch s.Verdict {
	case surface.Pays:
		switch {
		case s.Has && s.OfCost:
			out = "saves " + share()
		case s.Has:
			out = r.Second.Name + " can save " + share()
		default:
			out = r.Second.Name + " pays"
		}
	case surface.AddsNothing:
		out = r.Second.Name + " adds nothing here"
	case surface.CannotTell:
		out = "these jars cannot tell whether " + r.Second.Name + " pays"
		if s.Has {
			out += ": " + share()
		}
	case surface.Needed:
		return r.First.Name + " alone does not meet the target within the tested doses"
	default:
		return ""
	}
	if s.HasAlone {
		out += fmt.Sprintf("; alone it takes %s to be as sure", o.Quantity(s.Alone.Pair.First, 3))
		if c := surfaceCost(o, s.Alone); c != "" {
			out += ", " + c
		}
	}
	if s.BreakEven > 0 && !s.OfCost {
		out += fmt.Sprintf("; the pair is cheaper while a kilogram of %s costs less than %s times one of %s", r.Second.Name, o.Number(s.BreakEven, 2), r.First.Name)
	}
	return out
}

func surfaceSlices(t *Text, o Options, r surface.Result) {
	if len(r.Slices) == 0 || r.Outcome != curve.Found {
		return
	}
	head := r.Second.Name
	if !r.Second.PH {
		head += " (mg/L)"
	}
	var rows [][]string
	for _, s := range r.Slices {
		need, plan := "not met within the tested doses", "-"
		if s.Reached {
			need = intervalText(o, s.Effective, 3)
		}
		if s.HasPlanning {
			plan = o.Quantity(s.Planning, 3)
		}
		level := o.Number(s.Level, 2)
		if s.Tested {
			level = asWritten(o, s.Level)
		}
		if !s.Tested {
			level = "planned " + level
		}
		rows = append(rows, []string{level, need, plan})
	}
	t.Blank()
	t.Table([]Col{{Head: head, Right: true}, {Head: r.First.Name + " needed (90 % interval)", Right: true}, {Head: "to plan with", Right: true}}, rows)
}

func surfaceJars(t *Text, o Options, r surface.Result) {
	if len(r.Jars) == 0 {
		return
	}
	second := r.Second.Name
	if !r.Second.PH {
		second += " (mg/L)"
	}
	head := r.Response.Info().Label
	if u := r.Response.Info().Unit; u != "" {
		head += " (" + u + ")"
	}
	var rows [][]string
	for _, j := range r.Jars {
		read := "-"
		switch j.State {
		case jartest.Number:
			read = asWritten(o, j.Reading)
		case jartest.Below:
			read = "< " + asWritten(o, j.Reading)
		case jartest.Above:
			read = "> " + asWritten(o, j.Reading)
		}
		fitted, remark := "-", j.Why
		if j.Used && len(r.Slices) > 0 {
			fitted = o.Number(j.Fit, 3)
		}
		if !j.Used {
			remark = "left out: " + j.Why
		}
		level := float64(j.Pair.Second)
		if r.Second.PH {
			level = j.Pair.PH
		}
		rows = append(rows, []string{j.Label, asWritten(o, float64(j.Pair.First)), asWritten(o, level), read, fitted, remark})
	}
	t.Blank()
	t.Table([]Col{{Head: "jar"}, {Head: r.First.Name + " (mg/L)", Right: true}, {Head: second, Right: true}, {Head: head, Right: true}, {Head: "fitted", Right: true}, {Head: "remark"}}, rows)
}

func surfaceWorking(t *Text, o Options, r surface.Result) {
	if len(r.Method) == 0 {
		return
	}
	t.Head("Working: " + seriesName(r.Series, r.Place))
	for i, m := range r.Method {
		t.Item(fmt.Sprintf("%d.", i+1), upperFirst(m)+".")
	}
	t.Blank()
	var rows [][]string
	for _, m := range r.Models {
		if m.Weight >= 0.001 {
			rows = append(rows, []string{m.Name, fmt.Sprintf("%.1f %%", 100*m.Weight)})
		}
	}
	t.Table([]Col{{Head: "model"}, {Head: "share of the answer", Right: true}}, rows)
	scatter := o.Number(100*r.Scatter, 2) + " %"
	if !r.Relative {
		scatter = strings.TrimSpace(o.Number(r.Scatter, 2) + " " + r.Response.Info().Unit)
	}
	t.Blank()
	t.Para("Scatter of a jar about the surface: " + scatter + ". Cost is dose times price (1 mg/L is 1 kg per 1000 m3), and what the notes say is counted beside.")
}

// surfaceWords describes a picture to those who cannot see it.
func surfaceWords(r surface.Result, o Options) string {
	s := fmt.Sprintf("%s: lines of equal %s over %s and %s; the untested part is hatched.", seriesName(r.Series, r.Place), r.Response.Info().Label, r.First.Name, r.Second.Name)
	if r.HasPlanning {
		return s + " Planning pair " + pairText(o, r, r.Planning.Pair) + "."
	}
	return s + " " + upperFirst(outcomeWords(r.Outcome)) + "."
}

// surfacePanel is the contour picture: tested jars, target line, chosen pair,
// and hatching where nothing was tested.
func surfacePanel(r surface.Result, o Options) (draw.Panel, bool) {
	g := r.Grid
	if len(g.First) == 0 {
		return draw.Panel{}, false
	}
	second := draw.Axis{Name: upperFirst(r.Second.Name), Unit: "mg/L"}
	if r.Second.PH {
		second = draw.Axis{Name: "pH"}
	}
	margin := func(v []float64, zero bool) (lo, hi float64) {
		w := 0.06 * (v[len(v)-1] - v[0])
		lo, hi = v[0]-w, v[len(v)-1]+w
		if zero && lo < 0 {
			lo = 0
		}
		return lo, hi
	}
	x0, x1 := margin(g.First, true)
	y0, y1 := margin(g.Second, !r.Second.PH)
	p := draw.Panel{X: draw.Axis{Name: upperFirst(r.First.Name), Unit: "mg/L", Least: &x0, Most: &x1}, Y: second}
	p.Y.Least, p.Y.Most = &y0, &y1
	grid := draw.Grid{X: g.First, Y: g.Second, Z: g.Fit}
	target, hasTarget := surfaceTarget(r)
	if levels := contourLevels(g.Fit, target, hasTarget); len(levels) > 0 {
		p.Layers = append(p.Layers, draw.Contours{Name: r.Response.Info().Label, Unit: r.Response.Info().Unit, Tone: draw.Grey, Grid: grid, Levels: levels})
	}
	p.Layers = append(p.Layers, draw.Hatched{Name: "not tested", Tone: draw.Grey, Grid: untested(r, x0, x1, y0, y1), Limit: 0.5, AtLeast: true})
	if hasTarget {
		p.Layers = append(p.Layers, draw.Contours{Name: "target met", Unit: "% sure", Tone: draw.Rust, Grid: draw.Grid{X: g.First, Y: g.Second, Z: percent(g.Confidence)}, Levels: []float64{50, 90}})
	}
	var used, left []draw.Point
	for _, j := range r.Jars {
		pt := draw.Point{XY: surfaceXY(r, j.Pair)}
		if j.Used {
			used = append(used, pt)
		} else {
			left = append(left, pt)
		}
	}
	p.Layers = append(p.Layers, draw.Points{Name: "jar", Shape: draw.Round, At: used})
	if len(left) > 0 {
		p.Layers = append(p.Layers, draw.Points{Name: "jar left out", Shape: draw.Cross, Tone: draw.Grey, At: left})
	}
	if r.HasPlanning {
		p.Layers = append(p.Layers, draw.Points{Name: "planning pair", Shape: draw.Diamond, Tone: draw.Plum, At: []draw.Point{{XY: surfaceXY(r, r.Planning.Pair)}}})
	}
	return p, true
}

// mostSlices is how many levels of the second factor one picture tells apart.
const mostSlices = 4

// surfaceSlicePanel shows the reading against the first factor, one line a tested
// level of the second, with the jars of that level.
func surfaceSlicePanel(r surface.Result, o Options) (draw.Panel, bool) {
	i := r.Response.Info()
	p := draw.Panel{X: draw.Axis{Name: upperFirst(r.First.Name), Unit: "mg/L", Zero: true}, Y: draw.Axis{Name: upperFirst(i.Label), Unit: i.Unit, Zero: !i.Signed}}
	var levels []surface.Slice
	for _, s := range r.Slices {
		if s.Tested && len(s.Curve) > 1 {
			levels = append(levels, s)
		}
	}
	if len(levels) == 0 {
		return p, false
	}
	if len(levels) > mostSlices { // the ends and what lies evenly between
		var few []surface.Slice
		for k := range mostSlices {
			few = append(few, levels[k*(len(levels)-1)/(mostSlices-1)])
		}
		levels = few
	}
	tones := [...]draw.Tone{draw.Teal, draw.Plum, draw.Olive, draw.Grey}
	strokes := [...]draw.Stroke{draw.Solid, draw.Dashed, draw.Dotted, draw.Solid}
	shapes := [...]draw.Shape{draw.Round, draw.Square, draw.Triangle, draw.Diamond}
	for k, s := range levels {
		name := r.Second.Name + " " + asWritten(o, s.Level)
		if !r.Second.PH {
			name += " mg/L"
		}
		var line []draw.XY
		for _, c := range s.Curve {
			line = append(line, draw.XY{X: float64(c.Dose), Y: c.Fit})
		}
		p.Layers = append(p.Layers, draw.Line{Name: name, Tone: tones[k], Stroke: strokes[k], At: line})
		var pts []draw.Point
		for _, j := range r.Jars {
			xy := surfaceXY(r, j.Pair)
			if !j.Used || math.Abs(xy.Y-s.Level) > 1e-9*math.Max(1, math.Abs(s.Level)) {
				continue
			}
			pt := draw.Point{XY: draw.XY{X: xy.X, Y: j.Reading}}
			switch j.State {
			case jartest.Below:
				pt.Censor = draw.Under
			case jartest.Above:
				pt.Censor = draw.Over
			}
			pts = append(pts, pt)
		}
		p.Layers = append(p.Layers, draw.Points{Name: "jars at " + asWritten(o, s.Level), Shape: shapes[k], Tone: tones[k], At: pts})
	}
	if g, ok := surfaceTarget(r); ok {
		p.Layers = append(p.Layers, draw.Marker{Label: strings.TrimSpace("target " + asWritten(o, g) + " " + i.Unit), At: g, Stroke: draw.Dashed, Tone: draw.Rust})
	}
	return p, true
}

func surfaceXY(r surface.Result, q surface.Pair) draw.XY {
	y := float64(q.Second)
	if r.Second.PH {
		y = q.PH
	}
	return draw.XY{X: float64(q.First), Y: y}
}

// percent turns chances into percent.
func percent(z [][]float64) [][]float64 {
	out := make([][]float64, len(z))
	for j, row := range z {
		out[j] = make([]float64, len(row))
		for i, v := range row {
			out[j][i] = 100 * v
		}
	}
	return out
}

// surfaceTarget is the reading at the target line, where the target is one.
func surfaceTarget(r surface.Result) (float64, bool) {
	if len(r.Slices) == 0 {
		return 0, false
	}
	return r.Goal(), true
}

// contourLevels picks readings for lines: of the series 1, 2, 5 those within the
// surface, but for any that would lie beside the target line.
func contourLevels(z [][]float64, target float64, hasTarget bool) []float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, row := range z {
		for _, v := range row {
			if !math.IsNaN(v) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	var out []float64
	add := func(v float64) {
		if v <= lo || v >= hi || hasTarget && math.Abs(v-target) < 0.25*math.Max(math.Abs(target), 1e-12) {
			return
		}
		out = append(out, v)
	}
	if lo > 0 && hi > 3*lo {
		for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
			for _, m := range [...]float64{1, 2, 5} {
				add(m * math.Pow(10, e))
			}
		}
		for len(out) > 6 {
			out = out[1:]
		}
		return out
	}
	if !(hi > lo) {
		return nil
	}
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/3)))
	for _, m := range [...]float64{5, 2} {
		if m*step*3 <= hi-lo {
			step *= m
			break
		}
	}
	for v := math.Ceil(lo/step) * step; v < hi; v += step {
		add(v)
	}
	return out
}

// untested marks with 1 what lies outside the tested pairs, over the whole picture.
func untested(r surface.Result, x0, x1, y0, y1 float64) draw.Grid {
	const nx, ny = 72, 48
	g := draw.Grid{Z: make([][]float64, ny+1)}
	for i := 0; i <= nx; i++ {
		g.X = append(g.X, x0+(x1-x0)*float64(i)/nx)
	}
	for j := 0; j <= ny; j++ {
		g.Y = append(g.Y, y0+(y1-y0)*float64(j)/ny)
		for i := 0; i <= nx; i++ {
			v := 1.0
			if insideHull(r, g.X[i], g.Y[j]) {
				v = 0
			}
			g.Z[j] = append(g.Z[j], v)
		}
	}
	return g
}

// insideHull reports that a place lies within the border of the tested region.
func insideHull(r surface.Result, x, y float64) bool {
	n := len(r.Hull)
	for i := range r.Hull {
		a, b := surfaceXY(r, r.Hull[i]), surfaceXY(r, r.Hull[(i+1)%n])
		if (b.X-a.X)*(y-a.Y)-(b.Y-a.Y)*(x-a.X) < -1e-9*math.Abs((b.X-a.X)*(b.Y-a.Y)+1) {
			return false
		}
	}
	return n > 2
}

// surfaceOverview is a series' line where there are several.
func surfaceOverview(o Options, r surface.Result) []string {
	plan, need := "-", "-"
	if r.HasPlanning {
		plan = surfaceShort(o, r, r.Planning.Pair)
	}
	if r.HasEstimate {
		need = surfaceShort(o, r, r.Estimate.Pair)
	}
	return []string{seriesName(r.Series, r.Place), outcomeWords(r.Outcome), plan, need}
}

// surfaceShort writes a pair as "18.8 + 0.80 mg/L", first chemical first.
func surfaceShort(o Options, r surface.Result, p surface.Pair) string {
	if r.Second.PH {
		return o.Quantity(p.First, 3) + " at pH " + o.Number(p.PH, 2)
	}
	return bare(o, p.First, 3) + " + " + o.Quantity(p.Second, 2)
}

// surfaceRow is a series' row of the CSV: the first chemical at the chosen level
// of the second; the chemicals' names and the rule carry the second.
func surfaceRow(r surface.Result) []string {
	var targets []string
	for _, g := range r.Targets {
		targets = append(targets, g.String())
	}
	num := func(v float64, ok bool) string {
		if !ok {
			return ""
		}
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	chemical := r.First.Name
	rule := r.Rule
	if r.HasPlanning {
		chemical = r.First.Name + " + " + r.Second.Name
		if r.Second.PH {
			rule += "; at pH " + num(r.Planning.Pair.PH, true)
		} else {
			rule += "; with " + num(float64(r.Planning.Pair.Second), true) + " mg/L " + r.Second.Name
		}
	}
	row := []string{seriesName(r.Series, r.Place), string(r.Response), chemical, r.First.Chemical.Basis.String(), strings.Join(targets, " and "), string(r.Outcome)}
	var e curve.Interval
	if r.HasPlanning {
		if s := sliceNear(r, surfaceXY(r, r.Planning.Pair).Y); s != nil && s.Reached {
			e = s.Effective
		}
	}
	row = append(row, num(float64(e.Value), e.Confidence > 0), num(float64(e.Low), e.HasLow), num(float64(e.High), e.HasHigh),
		num(float64(r.Planning.Pair.First), r.HasPlanning), rule, num(float64(r.LowestPassing.Pair.First), r.HasLowestPassing),
		num(float64(r.Clearest.Pair.First), len(r.Slices) > 0), num(r.Clearest.Fit, len(r.Slices) > 0), "")
	var codes []string
	for _, n := range r.Notes {
		codes = append(codes, n.Code)
	}
	return append(row, strings.Join(codes, " "))
}
