package templates

import (
	"fmt"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/templates/draw"
)

// mostPanels is how many series one picture holds.
const mostPanels = 6

// Drawing shows jars, fitted curve with its band, target and planning dose, one
// panel a series.
func (f FitReport) Drawing(o Options) draw.Drawing {
	d := draw.Drawing{Title: "Jar tests", DecimalComma: o.DecimalComma}
	for _, r := range f.Results {
		if len(r.Curve) == 0 || len(d.Panels) == mostPanels {
			continue
		}
		d.Panels = append(d.Panels, fitPanel(r, o))
		if d.Description != "" {
			d.Description += " "
		}
		d.Description += fitWords(r, o)
	}
	for _, r := range f.Surfaces {
		p, ok := surfacePanel(r, o)
		if !ok || len(d.Panels) == mostPanels {
			continue
		}
		d.Panels = append(d.Panels, p)
		if p, ok := surfaceSlicePanel(r, o); ok && len(d.Panels) < mostPanels {
			d.Panels = append(d.Panels, p)
		}
		d.Description = strings.TrimSpace(d.Description + " " + surfaceWords(r, o))
	}
	if len(f.Results)+len(f.Surfaces) == 1 {
		for _, r := range f.Results {
			if len(r.Curve) > 0 {
				d.Title = seriesName(r.Series, r.Place) + ": " + factorText(r) + " against " + r.Response.Info().Label
			}
		}
		for _, r := range f.Surfaces {
			if len(r.Grid.First) > 0 {
				d.Title = surfaceHead(r)
			}
		}
	}
	if !o.Date.IsZero() {
		d.Foot = o.Date.Format("2006-01-02")
	}
	return d
}

// fitWords describes a picture to those who cannot see it.
func fitWords(r curve.Result, o Options) string {
	s := fmt.Sprintf("%s: %s, fitted from %s to %s.", seriesName(r.Series, r.Place), r.Response.Info().Label,
		readingText(o, r, r.Curve[0].Fit), readingText(o, r, r.Curve[len(r.Curve)-1].Fit))
	if r.HasPlanning {
		s += " Planning dose " + o.Quantity(r.Planning.Concentration, doseDigits(r)) + "."
	} else {
		s += " " + upperFirst(outcomeWords(r.Outcome)) + "."
	}
	return s
}

func fitPanel(r curve.Result, o Options) draw.Panel {
	i := r.Response.Info()
	p := draw.Panel{X: draw.Axis{Name: upperFirst(factorText(r)) + " dose", Unit: "mg/L", Zero: true}, Y: draw.Axis{Name: upperFirst(i.Label), Unit: i.Unit, Zero: !i.Signed}}
	if r.Factor == "ph" {
		p.X = draw.Axis{Name: "pH"}
	}
	if r.Factor == "dose" && r.Chemical.Name == "" {
		p.X.Name = "Dose"
	}
	var line []draw.XY
	var band []draw.Span
	for _, c := range r.Curve {
		line = append(line, draw.XY{X: float64(c.Dose), Y: c.Fit})
		band = append(band, draw.Span{X: float64(c.Dose), Low: c.Low, High: c.High})
	}
	var used, left []draw.Point
	for _, j := range r.Jars {
		if j.State == jartest.Missing {
			continue
		}
		pt := draw.Point{XY: draw.XY{X: float64(j.Dose), Y: j.Reading}}
		switch j.State {
		case jartest.Below:
			pt.Censor = draw.Under
		case jartest.Above:
			pt.Censor = draw.Over
		}
		if j.Used && !j.Outlier {
			used = append(used, pt)
		} else {
			left = append(left, pt)
		}
	}
	p.Layers = append(p.Layers, draw.Band{Name: "90 % of the curves", At: band}, draw.Line{Name: "fitted curve", At: line})
	if g := targetLevel(r); g != nil {
		p.Layers = append(p.Layers, draw.Marker{Label: strings.TrimSpace("target " + asWritten(o, *g) + " " + r.Response.Info().Unit), At: *g, Stroke: draw.Dashed, Tone: draw.Rust})
	}
	if r.HasPlanning {
		p.Layers = append(p.Layers, draw.Marker{Label: "planning " + o.Quantity(r.Planning.Concentration, doseDigits(r)), Vertical: true, At: float64(r.Planning.Concentration), Tone: draw.Plum})
	}
	p.Layers = append(p.Layers, draw.Points{Name: "jar", At: used})
	if len(left) > 0 {
		p.Layers = append(p.Layers, draw.Points{Name: "jar left out or far off", Shape: draw.Cross, Tone: draw.Grey, At: left})
	}
	return p
}

// targetLevel is the reading that the deciding target stands for, if it is one.
func targetLevel(r curve.Result) *float64 {
	if len(r.Targets) == 0 {
		return nil
	}
	g := r.Targets[r.Binding]
	v := g.Value
	switch {
	case g.Kind == jartest.Absolute && g.Key == r.Response:
	case g.Kind == jartest.Removal && g.Key != r.Response: // the sheet holds the removal itself
	case g.Kind == jartest.Removal && r.Reference.What != "":
		v = (1 - g.Value/100) * r.Reference.Value
	default:
		return nil
	}
	return &v
}
