package templates

import (
	"fmt"
	"math"
	"strings"

	"jarwright/templates/draw"
)

// drawn writes a drawing in lines; of long rows of places the first two, the last
// and the middle of all.
func drawn(d draw.Drawing) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n%s\nfoot %q, decimal comma %t\n", d.Title, d.Note, d.Description, d.Foot, d.DecimalComma)
	axis := func(a draw.Axis) string {
		end := func(v *float64) string {
			if v == nil {
				return "data"
			}
			return fmt.Sprintf("%.6g", *v)
		}
		return fmt.Sprintf("%s, %s to %s, zero %t, log %t, step %g, clock %t, labels %q", a.Label(), end(a.Least), end(a.Most), a.Zero, a.Log, a.Step, a.Clock, a.Labels)
	}
	for _, p := range d.Panels {
		fmt.Fprintf(&b, "panel\n x: %s\n y: %s\n", axis(p.X), axis(p.Y))
		for _, l := range p.Layers {
			fmt.Fprintf(&b, " %s\n", layer(l))
		}
	}
	return b.String()
}

func layer(l draw.Layer) string {
	switch l := l.(type) {
	case draw.Points:
		return fmt.Sprintf("points %q shape %d tone %d: %s", l.Name, l.Shape, l.Tone, places(l.At, func(p draw.Point) string {
			return strings.TrimSpace(fmt.Sprintf("%s censor %d spread %.6g %s", xy(p.XY), p.Censor, p.Spread, p.Label))
		}, func(p draw.Point) draw.XY { return p.XY }))
	case draw.Line:
		return fmt.Sprintf("line %q stroke %d tone %d filled %t, %q to %q: %s", l.Name, l.Stroke, l.Tone, l.Filled, l.Begin, l.End, places(l.At, xy, same))
	case draw.Steps:
		return fmt.Sprintf("steps %q stroke %d tone %d filled %t: %s", l.Name, l.Stroke, l.Tone, l.Filled, places(l.At, xy, same))
	case draw.Band:
		return fmt.Sprintf("band %q tone %d: %s", l.Name, l.Tone, places(l.At, func(s draw.Span) string { return fmt.Sprintf("%.6g: %.6g to %.6g", s.X, s.Low, s.High) },
			func(s draw.Span) draw.XY { return draw.XY{X: s.Low, Y: s.High} }))
	case draw.Bars:
		return fmt.Sprintf("bars %q tone %d width %g hatch %t: %s", l.Name, l.Tone, l.Width, l.Hatch, places(l.At, func(v draw.Bar) string {
			return fmt.Sprintf("%s from %.6g, %.6g to %.6g", xy(v.XY), v.Base, v.Low, v.High)
		}, func(v draw.Bar) draw.XY { return v.XY }))
	case draw.Marker:
		return fmt.Sprintf("marker %q at %.6g, vertical %t, stroke %d tone %d", l.Label, l.At, l.Vertical, l.Stroke, l.Tone)
	case draw.Contours:
		return fmt.Sprintf("contours %q %s tone %d at %.6g: %s", l.Name, l.Unit, l.Tone, l.Levels, surfaceOf(l.Grid))
	case draw.Hatched:
		return fmt.Sprintf("hatched %q tone %d limit %g at least %t: %s", l.Name, l.Tone, l.Limit, l.AtLeast, surfaceOf(l.Grid))
	}
	return strings.TrimPrefix(fmt.Sprintf("%T %+v", l, l), "draw.")
}

func xy(p draw.XY) string { return fmt.Sprintf("(%.6g, %.6g)", p.X, p.Y) }

func same(p draw.XY) draw.XY { return p }

func places[T any](all []T, show func(T) string, at func(T) draw.XY) string {
	var words []string
	var mid draw.XY
	for i, p := range all {
		if len(all) <= 12 || i < 2 || i == len(all)-1 {
			words = append(words, show(p))
		}
		mid.X += at(p).X / float64(len(all))
		mid.Y += at(p).Y / float64(len(all))
	}
	return fmt.Sprintf("%d, middle %s: %s", len(all), xy(mid), strings.Join(words, " "))
}

// surfaceOf tells a grid by its size, its corners and the sum of what it holds.
func surfaceOf(g draw.Grid) string {
	nx, ny := len(g.X), len(g.Y)
	sum := 0.0
	for _, row := range g.Z {
		for _, v := range row {
			if !math.IsNaN(v) {
				sum += v
			}
		}
	}
	return fmt.Sprintf("%d x %d from %s to %s, corners %.6g %.6g %.6g %.6g, sum %.6g", nx, ny, xy(draw.XY{X: g.X[0], Y: g.Y[0]}), xy(draw.XY{X: g.X[nx-1], Y: g.Y[ny-1]}),
		g.Z[0][0], g.Z[0][nx-1], g.Z[ny-1][0], g.Z[ny-1][nx-1], sum)
}
