package book

import (
	"fmt"
	"math"

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
		if i == 0 {
			c.Title = d.Title
		}
		w := &plotter{data: data, chart: &c, frame: p.Frame(), col: data.used().ToCol + 2}
		if len(data.cells) == 0 {
			w.col = 1
		}
		if len(p.X.Labels) > 0 {
			w.columns(p)
		} else {
			w.scatter(p)
		}
		if len(c.Series) == 0 {
			continue
		}
		s.Chart(row, col, width, height, c)
		row = s.below(row, height) + 1
	}
	return row
}

// below gives the first row free of a chart that begins in the row.
func (s *Sheet) below(row, height int) int {
	for high := float64(height) / pixelPoint; high > 0; row++ {
		high -= 15
	}
	return row + 1
}

// plotter writes the columns of one panel.
type plotter struct {
	data  *Sheet
	chart *Chart
	frame draw.Frame
	col   int
	day   bool // x is a time of day, kept as a share of a day
}

// plotHead is the row of headings on a sheet of plot data.
const plotHead = 3

// put writes columns of equal length under headings and gives their ranges.
func (w *plotter) put(heads []string, cols ...[]float64) []Range {
	out := make([]Range, len(cols))
	for k, values := range cols {
		w.data.Put(plotHead, w.col, Cell{Kind: Head, Value: plain.Line(heads[k])})
		for i, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				continue
			}
			w.data.Put(plotHead+1+i, w.col, Cell{Kind: Value, Value: v, Format: "General"})
		}
		out[k] = w.data.Block(plotHead+1, w.col, plotHead+max(len(values), 1), w.col)
		w.col++
	}
	w.col++ // a gap
	return out
}

func (w *plotter) xy(at []draw.XY) (xs, ys []float64) {
	for _, p := range at {
		xs, ys = append(xs, w.x(p.X)), append(ys, p.Y)
	}
	return xs, ys
}

// x gives a place along the axis as the chart takes it.
func (w *plotter) x(v float64) float64 {
	if w.day {
		return v / 24
	}
	return v
}

func (w *plotter) scatter(p draw.Panel) {
	f := w.frame
	if p.X.Clock {
		w.day, w.chart.XFormat, w.chart.XStep = true, "hh:mm", p.X.Step/24
		f.X0, f.X1 = f.X0/24, f.X1/24
	}
	w.chart.XMin, w.chart.XMax, w.chart.YMin, w.chart.YMax = &f.X0, &f.X1, &f.Y0, &f.Y1
	add := func(s Series) { w.chart.Series = append(w.chart.Series, s) }
	line := func(name string, at []draw.XY, s Series) {
		if len(at) == 0 {
			return
		}
		xs, ys := w.xy(at)
		r := w.put([]string{p.X.Label(), name + ", " + p.Y.Label()}, xs, ys)
		s.X, s.Y = r[0], r[1]
		add(s)
	}
	for _, l := range p.Layers {
		switch l := l.(type) {
		case draw.Line:
			line(l.Name, l.At, Series{Name: l.Name, Tone: l.Tone, Stroke: l.Stroke})
		case draw.Steps:
			var at []draw.XY
			for i, a := range l.At {
				if i > 0 {
					at = append(at, draw.XY{X: a.X, Y: l.At[i-1].Y})
				}
				if i < len(l.At)-1 {
					at = append(at, a)
				}
			}
			line(l.Name, at, Series{Name: l.Name, Tone: l.Tone, Stroke: l.Stroke})
		case draw.Band:
			var xs, low, high []float64
			for _, a := range l.At {
				xs, low, high = append(xs, w.x(a.X)), append(low, a.Low), append(high, a.High)
			}
			if len(xs) == 0 {
				continue
			}
			r := w.put([]string{p.X.Label(), l.Name + ", low", l.Name + ", high"}, xs, low, high)
			add(Series{Name: l.Name, X: r[0], Y: r[1], Tone: l.Tone, Stroke: draw.Dashed, Thin: true})
			add(Series{X: r[0], Y: r[2], Tone: l.Tone, Stroke: draw.Dashed, Thin: true})
		case draw.Marker:
			at := []draw.XY{{X: f.X0, Y: l.At}, {X: f.X1, Y: l.At}}
			if l.Vertical {
				at = []draw.XY{{X: w.x(l.At), Y: f.Y0}, {X: w.x(l.At), Y: f.Y1}}
			}
			if w.day {
				for i := range at {
					at[i].X *= 24
				}
			}
			line(l.Label, at, Series{Name: l.Label, Tone: l.Tone, Stroke: l.Stroke})
		case draw.Contours:
			for i, chains := range l.Lines() {
				name := fmt.Sprintf("%s %g %s", l.Name, l.Levels[i], l.Unit)
				for k, at := range chains {
					s := Series{Tone: l.Tone, Stroke: draw.Stroke(i % 3)}
					if k == 0 {
						s.Name = name
					}
					line(name, at, s)
				}
			}
		case draw.Points:
			w.points(p, l, add)
		}
	}
}

// points writes the points of a layer, censored ones as a series of their own.
func (w *plotter) points(p draw.Panel, l draw.Points, add func(Series)) {
	for _, c := range [...]struct {
		censor draw.Censor
		words  string
	}{{draw.Exact, ""}, {draw.Under, ": below this value"}, {draw.Over, ": above this value"}} {
		var xs, ys, spread []float64
		spreads := false
		for _, a := range l.At {
			if a.Censor == c.censor {
				xs, ys, spread = append(xs, w.x(a.X)), append(ys, a.Y), append(spread, a.Spread)
				spreads = spreads || a.Spread > 0
			}
		}
		if len(xs) == 0 {
			continue
		}
		name := l.Name + c.words
		s := Series{Name: name, Mark: Dots, Tone: l.Tone, Shape: l.Shape, Hollow: c.censor != draw.Exact}
		if spreads {
			r := w.put([]string{p.X.Label(), name, "±"}, xs, ys, spread)
			s.X, s.Y, s.Up = r[0], r[1], r[2]
		} else {
			r := w.put([]string{p.X.Label(), name}, xs, ys)
			s.X, s.Y = r[0], r[1]
		}
		add(s)
	}
}

// columns writes bars over names. Bars that stand on others are stacked; the
// range of the uppermost is drawn as error bars.
func (w *plotter) columns(p draw.Panel) {
	n := len(p.X.Labels)
	for i, l := range p.X.Labels {
		w.data.Put(plotHead+1+i, w.col, Cell{Kind: Value, Value: l})
	}
	w.data.Put(plotHead, w.col, Cell{Kind: Head, Value: plain.Line(p.X.Label())})
	names := w.data.Block(plotHead+1, w.col, plotHead+n, w.col)
	w.col++
	w.chart.Kind = Columns
	w.chart.YMin = nil
	for _, l := range p.Layers {
		b, ok := l.(draw.Bars)
		if !ok {
			continue
		}
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
		s := Series{Name: b.Name, X: names, Tone: b.Tone, Hatch: b.Hatch}
		if ranged {
			r := w.put([]string{b.Name + ", " + p.Y.Label(), "range up", "range down"}, high, up, down)
			s.Y, s.Up, s.Down = r[0], r[1], r[2]
		} else {
			s.Y = w.put([]string{b.Name + ", " + p.Y.Label()}, high)[0]
		}
		w.chart.Series = append(w.chart.Series, s)
	}
	for _, l := range p.Layers {
		if m, ok := l.(draw.Marker); ok && !m.Vertical {
			flat := make([]float64, n)
			for i := range flat {
				flat[i] = m.At
			}
			w.chart.Series = append(w.chart.Series, Series{Name: m.Label, X: names, Y: w.put([]string{m.Label}, flat)[0], Tone: m.Tone, Stroke: m.Stroke, Over: true})
		}
	}
}
