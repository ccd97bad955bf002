package templates

import (
	"jarwright/dosing"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
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
	lines := u.Unit.Lines(u.At[0].Flow, u.Solids)
	for _, l := range lines[:min(len(lines), 3)] { // those that end it far above the peak tell nothing
		pan := draw.Panel{X: x, Y: draw.Axis{Name: upperFirst(l.Name) + ", dashed: " + l.Limit, Zero: true}}
		line, limit := draw.Line{Tone: draw.Teal}, draw.Line{Stroke: draw.Dashed, Tone: draw.Rust}
		points := draw.Points{Tone: draw.Plum}
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
		d.Description = o.Say("How the unit goes with the flow. Good for flows: %s.", windowWords(windowObject(u.Window), "of any size, as far as is known"))
	}
	return d
}

// inUnit gives a quantity in a unit of its kind.
func inUnit(q quantity.Quantity, unit string) float64 {
	return q.(interface{ In(string) float64 }).In(unit)
}
