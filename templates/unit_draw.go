package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/flotation"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// unitDrawing shows how loading, air and time in the unit go with the flow, each against what the
// trade holds it to: where a line passes its limit, the flows that the unit is good for end.
func unitDrawing(u dosing.UnitDay, o Options) draw.Drawing {
	d := o.drawing("The unit at every flow", "")
	n := len(u.At)
	if n == 0 {
		return d
	}
	x := draw.Axis{Unit: unitOf(quantity.Flow(1), o), Zero: true}
	d.Panels = append(d.Panels, windowPanel(u, x))
	lines := u.Unit.Lines(u.At[0].Flow, u.Solids)
	for _, l := range lines[:min(len(lines), 3)] { // those that end it far above the peak tell nothing
		pan := draw.Panel{X: x, Y: draw.Axis{Name: upperFirst(l.Name) + ", dashed: " + l.Limit, Zero: true}}
		line, limit := draw.Line{Tone: draw.Plain}, draw.Line{Stroke: draw.Dashed, Tone: draw.Limit}
		points := draw.Points{Tone: draw.Doubt}
		at := func(q quantity.Flow) (is, bound draw.XY) {
			i, b := l.At(u.Unit, u.Unit.At(q, u.Solids))
			_, pan.Y.Unit = b.Show(o.Units)
			f := q.In(x.Unit)
			return draw.XY{X: f, Y: inUnit(i, pan.Y.Unit)}, draw.XY{X: f, Y: inUnit(b, pan.Y.Unit)}
		}
		// from half the least flow to a quarter above the peak: what a day may bring, and some more
		const steps = 40
		from, to := u.At[0].Flow/2, u.At[n-1].Flow*1.25
		for k := range steps + 1 {
			is, bound := at(from + (to-from)*quantity.Flow(k)/steps)
			line.At, limit.At = append(line.At, is), append(limit.At, bound)
		}
		for _, s := range u.At {
			is, _ := at(s.Flow)
			points.At = append(points.At, draw.Point{XY: is})
		}
		pan.Layers = append(pan.Layers, line, limit, points)
		d.Panels = append(d.Panels, pan)
	}
	if n := len(d.Panels); n > 0 {
		d.Panels[n-1].X.Name = "Flow; the points are the least, average and peak of the day"
		d.Description = o.Say("How the unit goes with the flow. %s: %s.",
			either(len(u.Unit.Unjudged()) == 0, "Good for flows", "Good for flows as far as is judged"), windowWords(windowObject(u.Window), "of any size"))
		for _, h := range u.Unit.Holds(u.At[0].Flow, u.Solids) {
			d.Description += o.Say(" %s harms nothing at flows %s.", upperFirst(h.Name), holdWords(h))
		}
	}
	return d
}

// holdWords say at which flows a figure harms nothing.
func holdWords(h flotation.Hold) figure.Phrase {
	low, high := quantity.To(h.Low.V, 3), quantity.To(h.High.V, 3)
	switch {
	case h.Never:
		return figure.Say("of no size")
	case h.Low.OK && h.High.OK:
		return figure.Say("of %s to %s", low, high)
	case h.High.OK:
		return figure.Say("up to %s", high)
	case h.Low.OK:
		return figure.Say("from %s", low)
	}
	return figure.Say("of any size")
}

// windowPanel is the flows in which each figure harms nothing, as a line for each, over the
// least, average and peak flow of the day.
func windowPanel(u dosing.UnitDay, x draw.Axis) draw.Panel {
	first, last := u.At[0].Flow, u.At[len(u.At)-1].Flow
	holds := u.Unit.Holds(first, u.Solids)
	edge := last * 1.25
	for _, h := range holds {
		edge = max(edge, min(h.High.V, 2*last)*1.05)
	}
	pan := draw.Panel{X: x, Y: draw.Axis{Name: "Flows at which each figure harms nothing"}}
	for i, h := range holds {
		pan.Y.Labels = append(pan.Y.Labels, "")
		low, high := h.Low.Or(0), min(h.High.Or(edge), edge)
		if h.Never {
			high = low
		}
		y := float64(i)
		pan.Layers = append(pan.Layers, draw.Line{Tone: draw.Plain, At: []draw.XY{{X: low.In(x.Unit), Y: y}, {X: high.In(x.Unit), Y: y}}},
			draw.Points{Tone: draw.Plain, At: []draw.Point{{XY: draw.XY{X: low.In(x.Unit), Y: y}, Label: upperFirst(h.Name)}}})
	}
	names := [...]string{"least", "average", "peak"}
	for i, s := range u.At {
		label := names[i]
		if first == last {
			label = "flow"
		}
		pan.Layers = append(pan.Layers, draw.Marker{Label: label, Vertical: true, At: s.Flow.In(x.Unit), Stroke: draw.Dashed, Tone: draw.Doubt})
		if first == last {
			break
		}
	}
	return pan
}

// inUnit gives a quantity in a unit of its kind.
func inUnit(q quantity.Quantity, unit string) float64 {
	return q.(interface{ In(string) float64 }).In(unit)
}
