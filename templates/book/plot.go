package book

import (
	"fmt"
	"math"
	"slices"

	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Plot puts a drawing on a sheet as charts of the spreadsheet program's own, one
// a panel and below each other, with what they show in columns of the data
// sheet. It gives the row below the last chart. Hatched areas are left to the
// contours around them.
func (s *Sheet) Plot(row, col, width, height int, data *Sheet, d draw.Drawing) int {
	for i, p := range d.Panels {
		c := Chart{Alt: d.Description, XName: p.X.Label(), YName: p.Y.Label(), LogY: p.Y.Log}
		if len(p.Y.Labels) > 0 {
			c.YFormat = ";;;" // no numbers where positions have names
		}
		if p.X.Clock && i+1 < len(d.Panels) { // the last says it for all
			c.XName = ""
		}
		high := height
		if i == 0 && d.Title != "" {
			c.Title = d.Title
			if len(d.Panels) > 1 { // each panel is as high as the next
				high += titleHigh
			}
		}
		w := &plotter{data: data, chart: &c, panel: p, frame: p.Frame(), col: data.used().ToCol + 2}
		if len(data.cells) == 0 {
			w.col = 1
		}
		if len(p.X.Labels) > 0 {
			w.columns()
		} else {
			w.scatter()
		}
		if len(c.Series) == 0 {
			continue
		}
		s.Chart(row, col, width, high, c)
		row = s.below(row, high) + 1
	}
	return row
}

// titleHigh is what a title takes of the height of its chart, in pixels.
const titleHigh = 36

// below gives the first row free of a chart that begins in the row.
func (s *Sheet) below(row, height int) int {
	return row + int(math.Ceil(float64(height)/pixelPoint/15)) + 1
}

// plotter writes the columns of one panel.
type plotter struct {
	data  *Sheet
	chart *Chart
	panel draw.Panel
	frame draw.Frame
	col   int
}

// plotHead is the row of headings on a sheet of plot data.
const plotHead = 3

// put writes columns of equal length under headings and gives their ranges.
func (w *plotter) put(heads []string, cols ...[]float64) []Range {
	out := make([]Range, len(cols))
	for k, values := range cols {
		w.data.Put(plotHead, w.col, Cell{Kind: Head, Value: plain.Line(heads[k])})
		for i, v := range values {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				w.data.Put(plotHead+1+i, w.col, Num(v, "General"))
			}
		}
		out[k] = w.data.Block(plotHead+1, w.col, plotHead+max(len(values), 1), w.col)
		w.col++
	}
	w.col++ // a gap
	return out
}

// x gives a place along the axis as the chart takes it.
func (w *plotter) x(v float64) float64 {
	if w.panel.X.Clock {
		return v / 24
	}
	return v
}

func (w *plotter) add(s Series) { w.chart.Series = append(w.chart.Series, s) }

// line adds a series that joins places.
func (w *plotter) line(name string, at []draw.XY, s Series) {
	if len(at) == 0 {
		return
	}
	var xs, ys []float64
	for _, p := range at {
		xs, ys = append(xs, w.x(p.X)), append(ys, p.Y)
	}
	r := w.put([]string{w.panel.X.Label(), name + ", " + w.panel.Y.Label()}, xs, ys)
	s.X, s.Y = r[0], r[1]
	w.add(s)
}

func (w *plotter) scatter() {
	f, c := w.frame, w.chart
	x0, x1 := w.x(f.X0), w.x(f.X1)
	c.XMin, c.XMax, c.YMin, c.YMax = &x0, &x1, &f.Y0, &f.Y1
	if w.panel.X.Clock {
		c.XFormat, c.XStep = "hh:mm", w.x(w.panel.X.Step)
	}
	for _, l := range w.panel.Layers {
		switch l := l.(type) {
		case draw.Line:
			w.line(l.Name, l.At, Series{Name: l.Name, Tone: l.Tone, Stroke: l.Stroke})
		case draw.Steps:
			w.line(l.Name, l.Path(), Series{Name: l.Name, Tone: l.Tone, Stroke: l.Stroke})
		case draw.Band:
			w.band(l)
		case draw.Marker:
			at := []draw.XY{{X: f.X0, Y: l.At}, {X: f.X0 + 0.75*(f.X1-f.X0), Y: l.At}, {X: f.X1, Y: l.At}}
			if l.Vertical {
				at = []draw.XY{{X: l.At, Y: f.Y0}, {X: l.At, Y: f.Y0 + 0.9*(f.Y1-f.Y0)}, {X: l.At, Y: f.Y1}}
			}
			w.line(l.Label, at, Series{Name: l.Label, Tone: l.Tone, Stroke: l.Stroke, Tag: true})
		case draw.Contours:
			for i, chains := range l.Lines() {
				name := fmt.Sprintf("%s %g %s", l.Name, l.Levels[i], l.Unit)
				s := Series{Name: name, Tone: l.Tone, Stroke: draw.Stroke(i % 3)}
				for _, at := range chains {
					w.line(name, at, s)
					s.Name = "" // the legend has it once
				}
			}
		case draw.Points:
			w.points(l)
		}
	}
}

// bandStrokes is in how many upright strokes a band is filled: so close that they touch in a chart of a page's width.
const bandStrokes = 160

// band fills an area in the tone of what is uncertain. An area of a spreadsheet program shares no axis of numbers with
// points and curves in every program; a sheer line up and down between the edges does.
func (w *plotter) band(l draw.Band) {
	if len(l.At) < 2 {
		return
	}
	var at []draw.XY
	first, last := l.At[0].X, l.At[len(l.At)-1].X
	k := 0
	for i := range bandStrokes + 1 {
		x := first + (last-first)*float64(i)/bandStrokes
		for k < len(l.At)-2 && l.At[k+1].X < x {
			k++
		}
		a, b := l.At[k], l.At[k+1]
		share := 0.0
		if b.X > a.X {
			share = min(1, (x-a.X)/(b.X-a.X))
		}
		ends := []draw.XY{{X: x, Y: a.Low + share*(b.Low-a.Low)}, {X: x, Y: a.High + share*(b.High-a.High)}}
		if i%2 == 1 {
			slices.Reverse(ends)
		}
		at = append(at, ends...)
	}
	w.line(l.Name, at, Series{Name: l.Name, Tone: draw.Doubt, Band: true})
}

// points writes the points of a layer, censored ones as a series of their own.
func (w *plotter) points(l draw.Points) {
	if l.Name == "" && len(l.At) == 1 && l.At[0].Label != "" { // a point that names what it stands on
		at := l.At[0]
		w.line(at.Label, []draw.XY{at.XY}, Series{Name: at.Label, Mark: Dots, Tone: l.Tone, Shape: l.Shape, Tag: true})
		return
	}
	for censor := draw.Exact; censor <= draw.Over; censor++ {
		var xs, ys, spread []float64
		spreads := false
		for _, a := range l.At {
			if a.Censor == censor {
				xs, ys, spread = append(xs, w.x(a.X)), append(ys, a.Y), append(spread, a.Spread)
				spreads = spreads || a.Spread > 0
			}
		}
		if len(xs) == 0 {
			continue
		}
		s := Series{Name: l.Name + censor.Words(), Mark: Dots, Tone: l.Tone, Shape: l.Shape, Hollow: censor != draw.Exact}
		cols := [][]float64{xs, ys}
		if spreads {
			cols = append(cols, spread)
		}
		r := w.put([]string{w.panel.X.Label(), s.Name, "±"}, cols...)
		s.X, s.Y = r[0], r[1]
		if spreads {
			s.Up = r[2]
		}
		w.add(s)
	}
}

// columns writes bars over names, and limits as lines over the bars.
func (w *plotter) columns() {
	labels := w.panel.X.Labels
	for i, l := range labels {
		w.data.Put(plotHead+1+i, w.col, Cell{Kind: Value, Value: l})
	}
	w.data.Put(plotHead, w.col, Cell{Kind: Head, Value: plain.Line(w.panel.X.Label())})
	names := w.data.Block(plotHead+1, w.col, plotHead+len(labels), w.col)
	w.col++
	w.chart.Kind = Columns
	for _, l := range w.panel.Layers {
		if b, ok := l.(draw.Bars); ok {
			w.bars(b, names)
		}
	}
	for _, l := range w.panel.Layers {
		if m, ok := l.(draw.Marker); ok && !m.Vertical {
			flat := slices.Repeat([]float64{m.At}, len(labels))
			w.add(Series{Name: m.Label, X: names, Y: w.put([]string{m.Label}, flat)[0], Tone: m.Tone, Stroke: m.Stroke, Over: true})
		}
	}
}

// bars adds a series of bars. Bars that stand on others are stacked; the range of
// the uppermost is drawn as error bars.
func (w *plotter) bars(b draw.Bars, names Range) {
	n := len(w.panel.X.Labels)
	high, up, down := make([]float64, n), make([]float64, n), make([]float64, n)
	ranged := false
	for _, a := range b.At {
		i := int(math.Round(a.X))
		if i < 0 || i >= n {
			continue
		}
		if a.Base != 0 {
			w.chart.Kind = Stacked
		}
		high[i] = a.Y - a.Base
		if a.High > a.Low {
			ranged = true
			up[i], down[i] = max(0, a.High-a.Y), max(0, a.Y-a.Low)
		}
	}
	cols := [][]float64{high}
	if ranged {
		cols = append(cols, up, down)
	}
	r := w.put([]string{b.Name + ", " + w.panel.Y.Label(), "range up", "range down"}, cols...)
	s := Series{Name: b.Name, X: names, Y: r[0], Tone: b.Tone}
	if ranged {
		s.Up, s.Down = r[1], r[2]
	}
	w.add(s)
}
