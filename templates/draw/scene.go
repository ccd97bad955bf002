package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/templates/plain"
)

// A scene is the drawing laid out on paper: strokes, areas and words at places
// in points from the top left. SVG and PNG both show the same scene.
type scene struct {
	form
	width, height float64
	comma         bool
	items         []any  // area, stroke, words
	clip          box    // what strokes and areas are cut to, while a plot is drawn
	taken         []box  // words, readings and marks: nothing may cover them
	curves        [][]XY // lines that words should keep off
	fills         [][]XY // bands that they should rather not stand in
}

type box struct{ x0, y0, x1, y1 float64 }

func (b box) corners() []XY { return []XY{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}} }

type area struct {
	at   []XY
	fill string
}

type stroke struct {
	at    []XY
	color string
	width float64
	dash  []float64
	fill  string // inside of a closed stroke, "" for one that is open
}

type words struct {
	x, y   float64 // of the baseline
	anchor string  // start, middle, end
	size   float64
	bold   bool
	color  string
	text   string
	halo   bool  // an edge of paper, for words over lines
	more   []run // of the same line, in other styles
}

// runs are all pieces of the line.
func (w words) runs() []run { return append([]run{{w.text, w.size, w.bold, w.color}}, w.more...) }

// box is the room that the words take, whichever face they are shown in.
func (w words) box() box {
	l, high := lineSize(w.runs())
	high /= lineHigh
	x := w.x
	switch w.anchor {
	case "middle":
		x -= l / 2
	case "end":
		x -= l
	}
	return box{x, w.y - 0.76*high, x + l, w.y + 0.24*high}
}

// write puts words down, and nothing else will cover them.
func (s *scene) write(w words) {
	if w.text != "" {
		s.items, s.taken = append(s.items, w), append(s.taken, w.box())
	}
}

func (s *scene) words(x, y float64, anchor string, size float64, color, text string) {
	s.write(words{x: x, y: y, anchor: anchor, size: size, color: color, text: text})
}

// para writes lines of words below each other and gives where they end.
func (s *scene) para(text string, y, size float64, bold bool, color string) float64 {
	for _, l := range evenly(plain.Told(text), size, bold, s.width) {
		y += size * 1.3
		s.write(words{y: y - 0.3*size, anchor: "start", size: size, bold: bold, color: color, text: l})
	}
	return y
}

// area fills a polygon, cut to the plot.
func (s *scene) area(at []XY, fill string) {
	if cut := cutPolygon(at, s.clip); len(cut) > 2 {
		s.items = append(s.items, area{cut, fill})
	}
}

// stroke draws a line through the places, cut to the plot.
func (s *scene) stroke(at []XY, color string, width float64, dash []float64) {
	for _, part := range cutLine(at, s.clip) {
		s.items = append(s.items, stroke{at: part, color: color, width: width, dash: dash})
	}
}

// line draws a straight line, whatever the plot.
func (s *scene) line(x0, y0, x1, y1 float64, color string, width float64, dash ...float64) {
	s.items = append(s.items, stroke{at: []XY{{x0, y0}, {x1, y1}}, color: color, width: width, dash: dash})
}

// hatch strokes a box with slanting lines.
func (s *scene) hatch(b box, color string) {
	keep := s.clip
	s.clip = box{math.Max(b.x0, keep.x0), math.Max(b.y0, keep.y0), math.Min(b.x1, keep.x1), math.Min(b.y1, keep.y1)}
	const gap = 7
	for c := math.Floor((b.x0+b.y0)/gap) * gap; c < b.x1+b.y1; c += gap {
		s.stroke([]XY{{c - b.y0, b.y0}, {c - b.y1, b.y1}}, color, 1, nil)
	}
	s.clip = keep
}

func dashes(s Stroke) []float64 {
	switch s {
	case Dashed:
		return []float64{9, 4}
	case Dotted:
		return []float64{1.5, 3.5}
	}
	return nil
}

// layout places a drawing on paper of that width.
func (d Drawing) layout(width float64) *scene {
	s := &scene{form: formOf(width), width: width, comma: d.DecimalComma, clip: everywhere()}
	y := s.para(d.Title, 0, s.title, true, Ink)
	y = s.para(d.Note, y, s.small, false, Muted)
	if y > 0 {
		y += 10
	}
	if d.Multiples && len(d.Panels) > 0 {
		y = s.multiples(d.Panels, y)
	} else {
		for i, p := range d.Panels {
			if i > 0 {
				y += 22
			}
			y = s.panel(p, y, len(d.Panels) > 1)
		}
	}
	if d.Foot != "" {
		y = s.para(d.Foot, y+8, s.small, false, Muted)
	}
	s.height = math.Ceil(y + 4)
	return s
}

func everywhere() box { return box{-1e6, -1e6, 1e6, 1e6} }

// joined splits text into words that may stand apart: a number keeps its unit.
func joined(text string) []string {
	var out []string
	number := false
	for _, w := range strings.Fields(text) {
		if number && len(w) <= 8 {
			out[len(out)-1] += " " + w
		} else {
			out = append(out, w)
		}
		_, err := strconv.ParseFloat(strings.Replace(w, ",", ".", 1), 64)
		number = err == nil
	}
	return out
}

// evenly wraps text into as few lines as fit the width, of nearly the same length, so
// that none ends in a lone word.
func evenly(text string, size float64, bold bool, width float64) []string {
	lines := breakWords(text, size, bold, width)
	for narrower := width; len(lines) > 1; {
		narrower *= 0.96
		next := breakWords(text, size, bold, narrower)
		if len(next) > len(lines) {
			break
		}
		lines = next
	}
	return lines
}

// breakWords wraps text to a width in points.
func breakWords(text string, size float64, bold bool, width float64) []string {
	var out []string
	line := ""
	for _, w := range joined(text) {
		for TextWidth(w, size, bold) > width && len([]rune(w)) > 1 {
			r := []rune(w)
			n := len(r) - 1
			for n > 1 && TextWidth(string(r[:n]), size, bold) > width {
				n--
			}
			if line != "" {
				out, line = append(out, line), ""
			}
			out = append(out, string(r[:n]))
			w = string(r[n:])
		}
		switch {
		case line == "":
			line = w
		case TextWidth(line+" "+w, size, bold) <= width:
			line += " " + w
		default:
			out, line = append(out, line), w
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// stretches are the parts of a list between the items that do not belong.
func stretches[T any](list []T, belongs func(T) bool) (out [][]T) {
	from := 0
	for i, v := range list {
		if !belongs(v) {
			out, from = append(out, list[from:i:i]), i+1
		}
	}
	out = append(out, list[from:])
	return slices.DeleteFunc(out, func(part []T) bool { return len(part) == 0 })
}

func length(at []XY) float64 {
	sum := 0.0
	for i := 1; i < len(at); i++ {
		sum += math.Hypot(at[i].X-at[i-1].X, at[i].Y-at[i-1].Y)
	}
	return sum
}
