package draw

import (
	"slices"

	"jarwright/templates/plain"
)

// entry is one line of the legend: a sample and its name.
type entry struct {
	name   string
	layer  Layer
	censor Censor
}

// entries lists what the legend must explain, each name once.
func (d Drawing) entries() []entry {
	var out []entry
	seen := map[string]bool{}
	add := func(e entry) {
		if e.name != "" && !seen[e.name] {
			seen[e.name] = true
			out = append(out, e)
		}
	}
	for _, p := range d.Panels {
		for _, l := range p.Layers {
			pts, isPoints := l.(Points)
			if !isPoints {
				add(entry{name: plain.Line(l.name()), layer: l})
				continue
			}
			for c := Exact; c <= Over; c++ {
				if slices.ContainsFunc(pts.At, func(a Point) bool { return a.Censor == c }) {
					add(entry{plain.Line(pts.Name) + c.Words(), l, c})
				}
			}
		}
	}
	return out
}

// legend draws the legend with its top at y and gives where it ends.
func (s *scene) legend(d Drawing, y float64) float64 {
	const sample, gap, row = 30.0, 22.0, 20.0
	x := edge
	list := d.entries()
	if len(list) == 0 {
		return y
	}
	y += row - 4
	for _, e := range list {
		w := sample + 7 + TextWidth(e.name, smallSize, false)
		if x > edge && x+w > pictureWidth-edge {
			x, y = edge, y+row
		}
		s.sample(e, box{x, y - 13, x + sample, y + 3})
		lines := breakWords(e.name, smallSize, false, pictureWidth-2*edge-sample-7)
		for i, l := range lines {
			if i > 0 {
				y += 15
			}
			s.words(x+sample+7, y, "start", smallSize, Ink, l)
		}
		x += w + gap
	}
	return y + 4
}

// sample draws how a layer looks into a small box.
func (s *scene) sample(e entry, b box) {
	p := plot{s: s, x: func(v float64) float64 { return b.x0 + v*(b.x1-b.x0) }, y: func(v float64) float64 { return b.y1 - v*(b.y1-b.y0) }}
	keep := s.clip
	s.clip = b
	mid := (b.y0 + b.y1) / 2
	switch l := e.layer.(type) {
	case Points:
		c := XY{(b.x0 + b.x1) / 2, mid}
		switch e.censor { // room for the arrow
		case Under:
			c.Y -= 5
		case Over:
			c.Y += 5
		}
		s.items = append(s.items, symbol(l.Shape, c, l.Tone.Hex(), e.censor, 16)...)
	case Line:
		s.stroke([]XY{{b.x0, mid}, {b.x1, mid}}, l.Tone.Hex(), 2, dashes(l.Stroke))
	case Band:
		p.band(Band{Tone: l.Tone, At: []Span{{0, 0.05, 0.95}, {1, 0.05, 0.95}}})
	case Steps:
		p.steps(Steps{Stroke: l.Stroke, Tone: l.Tone, Filled: l.Filled, At: []XY{{0, 0.4}, {0.5, 0.9}, {1, 0.9}}})
	case Bars:
		p.bars(Bars{Tone: l.Tone, Hatch: l.Hatch, Width: 0.8, At: []Bar{{XY: XY{0.5, 0.95}, Base: 0.02}}})
	case Contours:
		s.stroke([]XY{{b.x0, b.y1}, {b.x0 + 10, b.y0 + 4}, {b.x1, b.y0 + 2}}, l.Tone.Hex(), 1.5, nil)
	case Hatched:
		p.hatchBox(b, l.Tone.Hex())
	}
	s.clip = keep
}
