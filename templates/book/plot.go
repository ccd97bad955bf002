package book

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
		switch {
		case len(p.X.Labels) > 0:
			w.columns()
		case slices.ContainsFunc(p.Layers, isStack):
			w.stacked()
		default:
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
	r := w.put([]string{w.panel.X.Label(), strings.TrimPrefix(name+", "+w.panel.Y.Label(), ", ")}, xs, ys)
	s.X, s.Y = r[0], r[1]
	w.add(s)
}

func (w *plotter) scatter() {
	c := w.chart
	if step := w.frame.Step; step > 0 && !w.panel.X.Clock { // a spreadsheet program counts its ticks from the end of the axis
		x0, x1 := math.Floor(w.frame.X0/step+1e-9)*step, math.Ceil(w.frame.X1/step-1e-9)*step
		if x0 != w.frame.X0 || x1 != w.frame.X1 {
			w.frame.X0, w.frame.X1, c.XStep = x0, x1, step
		}
	}
	f := w.frame
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
	first, last := max(l.At[0].X, w.frame.X0), min(l.At[len(l.At)-1].X, w.frame.X1) // the strokes are for what is seen
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
	names := w.words(w.panel.X.Label(), labels)
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

func isStack(l draw.Layer) bool { _, is := l.(draw.Stack); return is }

// stacked writes bars that lie, each named with its total and made of parts; a part has the same tone in all of them.
func (w *plotter) stacked() {
	var names, parts []string
	looks, sizes := map[string]draw.Part{}, map[string][]float64{}
	for _, l := range w.panel.Layers {
		bar, ok := l.(draw.Stack)
		if !ok {
			continue
		}
		names = append(names, bar.Name+": "+bar.Total)
		for _, p := range bar.Parts {
			if _, seen := looks[p.Name]; !seen {
				parts, looks[p.Name] = append(parts, p.Name), p
			}
			sizes[p.Name] = append(sizes[p.Name], make([]float64, len(names)-len(sizes[p.Name]))...)
			sizes[p.Name][len(names)-1] = p.Value
		}
	}
	at := w.words("bar", names)
	w.chart.Kind, w.chart.Lying, w.chart.XName, w.chart.YName = Stacked, true, "", w.panel.X.Label()
	for _, name := range parts {
		of := append(sizes[name], make([]float64, len(names)-len(sizes[name]))...)
		w.add(Series{Name: name, X: at, Y: w.put([]string{name + ", " + w.panel.X.Label()}, of)[0], Tone: looks[name].Tone, Open: looks[name].Open})
	}
}

// words writes a column of names and gives their range.
func (w *plotter) words(head string, names []string) Range {
	w.data.Put(plotHead, w.col, Cell{Kind: Head, Value: plain.Line(head)})
	for i, n := range names {
		w.data.Put(plotHead+1+i, w.col, Cell{Kind: Value, Value: n})
	}
	w.col++
	return w.data.Block(plotHead+1, w.col-1, plotHead+len(names), w.col-1)
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
