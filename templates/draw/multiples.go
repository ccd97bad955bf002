package draw

import (
	"cmp"
	"math"
	"slices"

	"jarwright/templates/plain"
)

// multiples draws small multiples under one board, each named at its left, or above
// itself where the paper is narrow, and gives where they end.
func (s *scene) multiples(panels []Panel, y float64) float64 {
	var xs []float64
	left, right := 0.0, s.ring+8
	scales := make([]scale, len(panels))
	for i, p := range panels {
		px, ys := p.extent()
		xs = append(xs, px...)
		scales[i] = newScale(p.Y, ys, max(2, int(cmp.Or(p.High, s.low)/34)), s.comma)
		left, right = math.Max(left, s.margin(p, scales[i])), math.Max(right, s.room(p, false))
	}
	left += s.heads + 6
	x := newScale(panels[0].X, xs, int((s.width-right-left)/(4.6*s.text)), s.comma)
	top := &plot{s: s, p: panels[0], x: x, box: box{x0: left, x1: s.width - right}, rules: left}
	y += 1.5 * s.text
	if name := plain.Told(panels[0].X.Label()); s.narrow() {
		y = s.para(name, y-1.5*s.text, s.small, false, Muted) + 1.6*s.text
	} else {
		s.words(0, y+0.9*boardHigh, "start", s.small, Muted, cutWords(name, s.small, s.heads-6))
	}
	board := y
	s.strip(x, left, top.box.x1, board)
	first := len(s.items)
	var stops []Stops
	for _, p := range panels {
		for _, l := range p.Layers {
			if k, ok := l.(Stops); ok {
				stops = append(stops, k)
			}
		}
	}
	top.ticks(board, -1)
	y += boardHigh + s.apart
	for i, p := range panels {
		y = s.multiple(p, x, scales[i], box{left, y, top.box.x1, 0}) + s.apart
	}
	rest := slices.Clone(s.items[first:])
	s.items = s.items[:first]
	for _, k := range stops { // their lines lie behind all panels
		s.stops(k, top.atX, left, top.box.x1, board, y-s.apart)
	}
	s.items = append(s.items, rest...)
	return y - s.apart + 0.4*s.text // the lowest number of an axis reaches below it
}

// multiple draws one of them with its top at the top of the box, and gives where it ends.
func (s *scene) multiple(p Panel, x, y scale, b box) float64 {
	high := cmp.Or(p.High, s.low)
	if s.narrow() {
		head := []run{{plain.Told(p.Y.Name), s.text, true, Ink}, {" " + plain.Told(p.Y.Unit), s.small, false, Muted}}
		l := label{lines: [][]run{head}}
		if w, _ := l.size(); w > s.width {
			l.lines = append(wrapped(p.Y.Name, s.text, true, Ink, s.width), wrapped(p.Y.Unit, s.small, false, Muted, s.width)...)
		}
		w, h := l.size()
		s.put(l, spot{at: XY{0, b.y0}}, w, h)
		b.y0 += h + 6
	} else {
		l := label{lines: append(wrapped(p.Y.Name, s.text, true, Ink, s.heads-8), wrapped(p.Y.Unit, s.small, false, Muted, s.heads-8)...)}
		w, h := l.size()
		high = math.Max(high, h)
		s.put(l, spot{at: XY{0, b.y0 + (high-h)/2}}, w, h)
	}
	b.y1 = b.y0 + high
	pl := &plot{s: s, p: p, x: x, y: y, box: b, rules: b.x0 - 6, inside: s.narrow()}
	pl.layers()
	s.line(b.x0, b.y1, b.x1, b.y1, Ink, 1)
	return math.Max(b.y1, pl.name())
}

// cutWords is as many whole words as fit the width.
func cutWords(text string, size, width float64) string {
	if l := breakWords(text, size, false, width); len(l) > 0 {
		return l[0]
	}
	return ""
}
