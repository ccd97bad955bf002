package templates

import (
	"jarwright/dosing/clarify"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// heldDrawing draws a day of a tank that is held: the reading about its level, over the hours in which the unit runs.
// A stopped one, or one that is not held, has none.
func (r ClarifyReport) heldDrawing(d draw.Drawing, o Options) draw.Drawing {
	if r.Hold == nil || r.Stopped || r.Outcome != clarify.Held {
		return d
	}
	h := *r.Hold
	day := h.Day()
	if day == nil {
		return d
	}
	d.Multiples = true
	from, to := float64(h.Begins), float64(h.Begins)+24
	x := draw.Axis{Name: "clock", Clock: true, Least: &from, Most: &to, Step: 4}
	d.Title = o.Say("Held at %s by %s of the unit a day", r.read("", h.At), hours("", h.PerDay.V, 3).In(figure.Long))
	var reading draw.Line
	running, rests := draw.Steps{Filled: true}, 0.0
	for i, c := range day {
		reading.At = append(reading.At, draw.XY{X: float64(c.At), Y: c.Reading})
		if i+1 < len(day) && day[i+1].Reading < c.Reading {
			rests = float64(r.Tank().Flow)
		} else {
			rests = 0
		}
		flow, _ := quantity.Flow(rests).Show(o.Units)
		running.At = append(running.At, draw.XY{X: float64(c.At), Y: flow})
	}
	level := draw.Marker{Label: "hold at " + o.Show(r.read("", h.At)), At: h.At, Stroke: draw.Dashed, Tone: draw.Limit}
	d.Panels = []draw.Panel{
		{X: x, Y: draw.Axis{Name: "tank reads", Unit: r.Tank().Key.Info().Unit}, Layers: []draw.Layer{reading, level}},
		{X: x, Y: draw.Axis{Name: "through the unit", Unit: unitOf(r.Tank().Flow, o), Zero: true}, Layers: []draw.Layer{running}, High: lowPanel},
	}
	return d
}
