package templates

import (
	"math"
	"strings"

	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// Drawing implements [DrawReport]: the jars to fill, dashed under the board, with the
// curve that they are to tell more of.
func (n NextReport) Drawing(o Options) draw.Drawing {
	n = n.doubted()
	d := o.drawing("What to test next", "")
	add := func(name, says string, p draw.Panel) {
		if len(d.Panels) == mostPanels {
			return
		}
		p.Title = name + ": " + says
		if len(n.Series)+len(n.Surfaces) == 1 {
			d.Title, p.Title = says, ""
		}
		d.Panels = append(d.Panels, p)
		d.Description = strings.TrimSpace(d.Description + " " + name + ": " + says + ".")
	}
	for i, s := range n.Series {
		if len(s.Doses) == 0 {
			continue
		}
		var fit curve.Result
		if i < len(n.Fits) {
			fit = n.Fits[i]
		}
		add(seriesName(s.Series, s.Place), nextSays(s, o), nextPanel(s, fit, o))
	}
	for _, r := range n.Surfaces {
		list, _ := nextOf(r, n.Jars)
		p, ok := surfaceSeries{r, surfaceData(r)}.panel(o)
		if !ok || len(list) == 0 {
			continue
		}
		next := draw.Points{Name: "next jars", Shape: draw.Diamond}
		for _, x := range list {
			next.At = append(next.At, draw.Point{XY: surfaceXY(r, x.Pair)})
		}
		p.Layers = append(p.Layers, next)
		add(seriesName(r.Series, r.Place), o.Say("%s more pairs of %s and %s", figure.Count("", len(list)), r.First.Name, r.Second.Name), p)
	}
	return d
}

// nextSays is the next test as a title.
func nextSays(s curve.Next, o Options) string {
	jars := 0
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range s.Doses {
		jars += v.Jars
		low, high = math.Min(low, float64(v.Dose)), math.Max(high, float64(v.Dose))
	}
	dose := func(v float64) figure.Figure { return unitless(along("", s.Factor == "ph", v)) }
	return o.Say("Fill %s jars, %s to %s%s", figure.Count("", jars), either(s.Factor == "ph", o.Say("pH %s", dose(low)), o.Show(dose(low))), dose(high),
		either(s.Factor == "ph", "", " mg/L"))
}

// nextPanel is the doses of one series on their board, over that part of the curve.
func nextPanel(s curve.Next, fit curve.Result, o Options) draw.Panel {
	jars := draw.Jars{}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range s.Doses {
		low, high = math.Min(low, float64(v.Dose)), math.Max(high, float64(v.Dose))
		under := o.Show(stockVolume("", v.Stock).If(v.Stock > 0))
		label := o.Show(unitless(along("", s.Factor == "ph", float64(v.Dose))))
		for range v.Jars {
			jars.At = append(jars.At, draw.Jar{X: float64(v.Dose), Empty: true, Label: label, Under: either(v.Stock > 0, under, "")})
		}
	}
	r := fitSeries{fit, fitData(fit)}
	p := draw.Panel{X: draw.Axis{Name: "dose", Unit: "mg/L"}, High: 1}
	if fit.Response != "" {
		p.X = r.doses()
	}
	if s.Basis != quantity.NotStated && fit.Response == "" {
		p.X.Unit += " " + string(s.Basis)
	}
	if fit.Outcome == curve.Found && fit.Factor == "dose" {
		if fit.Effective.HasLow {
			low = math.Min(low, float64(fit.Effective.Low))
		}
		if fit.Effective.HasHigh {
			high = math.Max(high, float64(fit.Effective.High))
		}
	}
	wide := math.Max(high-low, 0.2*math.Abs(high))
	from, to := low-0.4*wide, high+0.4*wide
	if s.Factor != "ph" {
		from = math.Max(0, from)
	}
	p.X.Least, p.X.Most, p.X.Zero, p.X.Ends = &from, &to, false, false
	if len(fit.Curve) > 0 {
		p.Y, p.High = r.readings(o), 0
		most := math.Inf(-1)
		for _, l := range r.evidence(o) {
			switch l := l.(type) {
			case draw.Band:
				for _, a := range l.At {
					if a.X >= from && a.X <= to {
						most = math.Max(most, a.High)
					}
				}
			case draw.Marker:
				most = math.Max(most, l.At)
			}
			p.Layers = append(p.Layers, l)
		}
		if !math.IsInf(most, 0) && p.Y.Zero {
			p.Y.Most = &most
		}
	}
	for _, l := range r.board(o) {
		if i, ok := l.(draw.Interval); ok {
			p.Layers = append(p.Layers, i)
		}
	}
	p.Layers = append(p.Layers, jars)
	return p
}
