package templates

import (
	"math"
	"slices"

	"jarwright/jartest/surface"
	"jarwright/templates/draw"
)

// words describes the picture to those who cannot see it.
func (r surfaceSeries) words(o Options) string {
	s := o.Say("%s: lines of equal %s over %s and %s; the untested part is hatched.", seriesName(r.Series, r.Place),
		r.Response.Info().Label, r.First.Name, r.Second.Name)
	if r.HasPlanning {
		return s + o.Say(" Planning pair %s.", pairPhrase(r.Result, r.Planning.Pair))
	}
	return s + " " + upperFirst(outcomeWords(r.Outcome)) + "."
}

// says is the answer as the title of a picture.
func (r surfaceSeries) says(o Options) string {
	if slices.ContainsFunc(r.Notes, doubtsUnit) {
		return "Is the unit right? No pair is taken before that is settled"
	}
	if r.HasPlanning {
		return upperFirst(o.Say("%s meets the target", pairPhrase(r.Result, r.Planning.Pair)))
	}
	return "No pair: " + outcomeWords(r.Outcome)
}

// panel is the contour picture: tested jars, target line, chosen pair,
// and hatching where nothing was tested.
func (r surfaceSeries) panel(o Options) (draw.Panel, bool) {
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
		return either(zero, max(lo, 0), lo), hi
	}
	x0, x1 := margin(g.First, true)
	y0, y1 := margin(g.Second, !r.Second.PH)
	p := draw.Panel{X: draw.Axis{Name: upperFirst(r.First.Name), Unit: "mg/L", Least: &x0, Most: &x1}, Y: second}
	p.Y.Least, p.Y.Most = &y0, &y1
	shown, unit := o.shown(r.Response)
	fit := each(g.Fit, shown)
	target, hasTarget := surfaceTarget(r.Result)
	if levels := contourLevels(fit, shown(target), hasTarget); len(levels) > 0 {
		p.Layers = append(p.Layers, draw.Contours{Name: r.Response.Info().Label, Unit: unit, Tone: draw.Aside,
			Grid: draw.Grid{X: g.First, Y: g.Second, Z: fit}, Levels: levels})
	}
	p.Layers = append(p.Layers, draw.Hatched{Name: "not tested", Tone: draw.Aside, Grid: untested(r.Result, x0, x1, y0, y1), Limit: 0.5,
		AtLeast: true})
	if hasTarget {
		p.Layers = append(p.Layers, draw.Contours{Name: "target met", Unit: "% sure", Tone: draw.Limit,
			Grid: draw.Grid{X: g.First, Y: g.Second, Z: each(g.Confidence, func(v float64) float64 { return 100 * v })}, Levels: slices.Compact([]float64{50, r.Asked().In("%")})})
	}
	var used, left []draw.Point
	for _, j := range r.Jars {
		pt := draw.Point{XY: surfaceXY(r.Result, j.Pair)}
		if j.Used {
			used = append(used, pt)
		} else {
			left = append(left, pt)
		}
	}
	p.Layers = append(p.Layers, draw.Points{Name: "jar", Shape: draw.Round, At: used})
	if len(left) > 0 {
		p.Layers = append(p.Layers, draw.Points{Name: "jar left out", Shape: draw.Cross, Tone: draw.Aside, At: left})
	}
	if r.HasPlanning {
		p.Layers = append(p.Layers, draw.Points{Name: "planning pair", Shape: draw.Diamond, At: []draw.Point{{XY: surfaceXY(r.Result, r.Planning.Pair)}}})
	}
	return p, true
}

// mostSlices is how many levels of the second factor one picture tells apart.
const mostSlices = 4

// slicePanel shows the reading against the first factor, one line a tested
// level of the second, with the jars of that level.
func (r surfaceSeries) slicePanel(o Options) (draw.Panel, bool) {
	shown, unit := o.shown(r.Response)
	p := draw.Panel{X: draw.Axis{Name: upperFirst(r.First.Name), Unit: "mg/L", Zero: true}, Y: readAxis(r.Response, unit)}
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
	strokes := [...]draw.Stroke{draw.Solid, draw.Dashed, draw.Dotted, draw.Solid}
	shapes := [...]draw.Shape{draw.Round, draw.Square, draw.Triangle, draw.Diamond}
	for k, s := range levels {
		level := along("", r.Second.PH, s.Level)
		var line []draw.XY
		for _, c := range s.Curve {
			line = append(line, draw.XY{X: float64(c.Dose), Y: shown(c.Fit)})
		}
		p.Layers = append(p.Layers, draw.Line{Name: r.Second.Name + " " + o.Show(level), Stroke: strokes[k], At: line})
		var pts []draw.Point
		for _, j := range r.Jars {
			xy := surfaceXY(r.Result, j.Pair)
			if !j.Used || math.Abs(xy.Y-s.Level) > 1e-9*math.Max(1, math.Abs(s.Level)) {
				continue
			}
			pts = append(pts, jarPoint(xy.X, j.State, shown(j.Reading)))
		}
		p.Layers = append(p.Layers, draw.Points{Name: "jars at " + o.Show(unitless(level)), Quiet: true, Shape: shapes[k], At: pts})
	}
	if g, ok := surfaceTarget(r.Result); ok {
		p.Layers = append(p.Layers, targetMarker(o, r.Response, g))
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

// each applies a function to every value of a surface.
func each(z [][]float64, f func(float64) float64) [][]float64 {
	out := make([][]float64, len(z))
	for j, row := range z {
		for _, v := range row {
			out[j] = append(out[j], f(v))
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
		return out[max(0, len(out)-6):]
	}
	if !(hi > lo) {
		return nil
	}
	step := thirdOf(hi - lo)
	for v := math.Ceil(lo/step) * step; v < hi; v += step {
		add(v)
	}
	return out
}

// thirdOf is the largest of the series 1, 2, 5 that goes into a range three times.
func thirdOf(span float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(span/3)))
	for _, m := range [...]float64{5, 2} {
		if m*step*3 <= span {
			return m * step
		}
	}
	return step
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
