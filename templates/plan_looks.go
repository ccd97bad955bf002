package templates

import (
	"fmt"
	"strings"

	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// Drawing shows the day: what each pump feeds by the hour, and what stands in
// the tanks.
func (p Plan) Drawing(o Options) draw.Drawing {
	d := o.drawing(joined(" at ", "The day", p.Site), "")
	if len(p.Hours) == 0 {
		return d
	}
	var words []string
	from, to := clockOn(p, 0), clockOn(p, len(p.Hours))
	clock := draw.Axis{Clock: true, Step: 3, Least: &from, Most: &to}
	feeds := draw.Panel{X: clock, Y: draw.Axis{Name: "Stock feed rate", Unit: unitOf(quantity.FeedRate(1), o), Zero: true}}
	tanks := draw.Panel{X: clock, Y: draw.Axis{Name: "Usable stock in the tank", Unit: tankUnit(o), Zero: true}}
	for k, f := range p.Feeds {
		if !f.Fed {
			continue
		}
		tone, stroke := draw.Tone(k%5), draw.Stroke(k%3)
		var steps, level []draw.XY
		for i, h := range p.Hours {
			x := clockOn(p, i)
			v, _ := h.Feeds[k].Rate.Show(o.Units)
			steps = append(steps, draw.XY{X: x, Y: v})
			if h.Feeds[k].HasLevel {
				level = append(level, draw.XY{X: x + 1, Y: h.Feeds[k].Level.In(tankUnit(o))})
			}
		}
		steps = append(steps, draw.XY{X: clockOn(p, len(p.Hours)-1) + 1})
		feeds.Layers = append(feeds.Layers, draw.Steps{Name: f.Name, Tone: tone, Stroke: stroke, Filled: len(p.Feeds) == 1, At: steps})
		words = append(words, fmt.Sprintf("%s is fed at %s on average.", upperFirst(f.Name), o.Show(rate("", f.Rate, 3).In(figure.Full))))
		if len(level) > 0 {
			tanks.Layers = append(tanks.Layers, draw.Line{Name: f.Name + " in the tank", Tone: tone, Stroke: stroke, At: level})
		}
	}
	for _, pan := range []draw.Panel{feeds, tanks} {
		if len(pan.Layers) > 0 {
			d.Panels = append(d.Panels, pan)
		}
	}
	if n := len(d.Panels); n > 0 {
		d.Panels[n-1].X.Name = "Time of day"
	}
	d.Description = strings.Join(words, " ")
	return d
}

// tankUnit is the unit of all tank levels, whatever their size.
func tankUnit(o Options) string { return either(o.Units == quantity.US, "gal", "L") }

// clockOn gives the beginning of a row in hours that never fall back, so that a
// day that begins at six runs on to thirty.
func clockOn(p Plan, i int) float64 { return float64(p.Hours[0].From) + float64(i) }
