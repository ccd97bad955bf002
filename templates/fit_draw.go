package templates

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// mostPanels is how many series one picture holds.
const mostPanels = 6

// Drawing shows jars, fitted curve with its band, target and planning dose, one
// panel a series.
func (f FitReport) Drawing(o Options) draw.Drawing {
	d := o.drawing("Jar tests", "")
	list := f.data()
	add := func(title, words string, panels ...draw.Panel) {
		if len(d.Panels) >= mostPanels {
			return
		}
		d.Panels = append(d.Panels, panels[:min(len(panels), mostPanels-len(d.Panels))]...)
		d.Description = strings.TrimSpace(d.Description + " " + words)
		if len(list) == 1 {
			d.Title = title
		}
	}
	for i, r := range f.Results {
		if s := (fitSeries{r, list[i]}); len(r.Curve) > 0 {
			add(s.head(), s.words(o), s.panel(o))
		}
	}
	for i, r := range f.Surfaces {
		s := surfaceSeries{r, list[len(f.Results)+i]}
		if p, ok := s.panel(o); ok {
			panels := []draw.Panel{p}
			if p, ok := s.slicePanel(o); ok {
				panels = append(panels, p)
			}
			add(s.head(), s.words(o), panels...)
		}
	}
	return d
}

// drawing begins a picture, with words for those who cannot see it.
func (o Options) drawing(title, words string) draw.Drawing {
	return draw.Drawing{Title: title, Description: words, DecimalComma: o.DecimalComma, Foot: civil(o.Date)}
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

func (r fitSeries) panel(o Options) draw.Panel {
	shown, unit := o.shown(r.Response)
	p := draw.Panel{X: draw.Axis{Name: upperFirst(factorText(r.Result)) + " dose", Unit: "mg/L", Zero: true}, Y: readAxis(r.Response, unit)}
	if r.Factor == "ph" {
		p.X = draw.Axis{Name: "pH"}
	} else if r.Chemical.Name == "" {
		p.X.Name = "Dose"
	}
	var line []draw.XY
	var band []draw.Span
	for _, c := range r.Curve {
		line = append(line, draw.XY{X: float64(c.Dose), Y: shown(c.Fit)})
		band = append(band, draw.Span{X: float64(c.Dose), Low: shown(c.Low), High: shown(c.High)})
	}
	var used, left []draw.Point
	for _, j := range r.Jars {
		switch pt := jarPoint(float64(j.Dose), j.State, shown(j.Reading)); {
		case j.State == jartest.Missing:
		case j.Used && !j.Outlier:
			used = append(used, pt)
		default:
			left = append(left, pt)
		}
	}
	p.Layers = append(p.Layers, draw.Band{Name: "90 % of the curves", At: band}, draw.Line{Name: "fitted curve", At: line})
	if g := targetLevel(r.Result); g != nil {
		p.Layers = append(p.Layers, targetMarker(o, r.Response, *g))
	}
	if r.HasPlanning {
		p.Layers = append(p.Layers, draw.Marker{Label: "planning " + o.Show(r.plan()), Vertical: true, At: float64(r.Planning.Concentration),
			Tone: draw.Doubt})
	}
	p.Layers = append(p.Layers, draw.Points{Name: "jar", At: used})
	if len(left) > 0 {
		p.Layers = append(p.Layers, draw.Points{Name: "jar left out or far off", Shape: draw.Cross, Tone: draw.Aside, At: left})
	}
	return p
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
	g := r.Targets[r.Binding]
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
