package draw

import (
	"cmp"
	"math"
	"slices"

	"jarwright/templates/plain"
)

// plot is one pair of axes on the paper, while it is drawn.
type plot struct {
	s     *scene
	p     Panel
	x, y  scale
	box   box     // where values are drawn
	rules float64 // where the hairlines begin, left of the box
	board float64 // top of the board of x
	// inside puts the names of limits into the plot, for lack of room beside it.
	inside bool
	floor  float64 // what words under the board may reach down to, 0 for no end
	beside []side  // words that stand right of the plot
	names  []label // words that look for a place
	late   []any   // readings, over all lines
}

// side is words right of a plot, at a height.
type side struct {
	at   float64
	rows [][]run
}

func (p *plot) atX(v float64) float64 { return p.box.x0 + p.x.at(v)*(p.box.x1-p.box.x0) }
func (p *plot) atY(v float64) float64 { return p.box.y1 - p.y.at(v)*(p.box.y1-p.box.y0) }
func (p *plot) to(a XY) XY            { return XY{p.atX(a.X), p.atY(a.Y)} }

// styled is one line of words.
func styled(text string, size float64, bold bool, color string) []run {
	return []run{{plain.Told(text), size, bold, color}}
}

// wrapped is lines of words of at most that width.
func wrapped(text string, size float64, bold bool, color string, width float64) (out [][]run) {
	for _, l := range breakWords(plain.Told(text), size, bold, width) {
		out = append(out, []run{{l, size, bold, color}})
	}
	return out
}

// room is how far words reach right of a plot: the names of limits, the ends of lines and the name of x.
func (s *scene) room(p Panel, named bool) (w float64) {
	add := func(text string, bold bool, most float64) {
		for _, l := range breakWords(plain.Told(text), s.text, bold, most) {
			w = math.Max(w, TextWidth(l, s.text, bold)+12)
		}
	}
	for _, l := range p.Layers {
		switch l := l.(type) {
		case Marker:
			if !l.Vertical && !s.narrow() {
				add(l.Label, true, s.side)
			}
		case Line:
			add(s.ending(l.End), true, 130)
		case Steps:
			add(s.ending(l.End), true, 130)
		}
	}
	if named && !s.narrow() {
		add(p.X.Label(), false, s.side)
	}
	return w
}

// ending is the words at the end of a line if they may stand right of the plot: on narrow paper
// long ones go into it.
func (s *scene) ending(text string) string {
	if s.narrow() && TextWidth(plain.Told(text), s.text, true) > 40 {
		return ""
	}
	return text
}

// margin is what the numbers of y take left of a plot.
func (s *scene) margin(p Panel, y scale) (w float64) {
	for _, t := range y.ticks {
		w = math.Max(w, TextWidth(plain.Told(t.text), s.text, false)+8)
	}
	for _, l := range p.Layers {
		if m, ok := l.(Marker); ok && !m.Vertical {
			w = math.Max(w, TextWidth(plain.Told(m.Number), s.text, true)+8)
		}
	}
	return math.Min(w, s.width/3)
}

// panel draws one plot that stands alone, with its top at y, and gives where it ends.
func (s *scene) panel(p Panel, y float64, several bool) float64 {
	if p.Title != "" {
		y = s.para(p.Title, y, s.text+2, true, Ink) + 6
	}
	if slices.ContainsFunc(p.Layers, func(l Layer) bool { _, is := l.(Stack); return is }) {
		return s.stacks(p, y)
	}
	name := p.Y.Label()
	if p.Y.Note != "" {
		name += ", " + p.Y.Note
	}
	y = s.para(name, y, s.small, false, Muted) + 10
	high := cmp.Or(p.High, s.high)
	if several && p.High == 0 {
		high *= 0.75
	}
	xs, ys := p.extent()
	pl := &plot{s: s, p: p, inside: s.narrow(), y: newScale(p.Y, ys, int(high/48), s.comma)}
	pl.rules = s.margin(p, pl.y)
	pl.box = box{pl.rules + 2*s.ring + 4, y, s.width - math.Max(s.room(p, true), s.ring+8), y + high}
	pl.x = newScale(p.X, xs, int((pl.box.x1-pl.box.x0)/(5*s.text)), s.comma)
	return pl.draw()
}

// draw draws the plot, what stands under it and its close-up, and gives where it ends.
func (p *plot) draw() float64 {
	p.board = p.box.y1 + 7
	if slices.ContainsFunc(p.p.Layers, func(l Layer) bool { _, is := l.(Interval); return is }) {
		p.board += 9 // room for what stands on it
	}
	p.layers()
	y := p.under()
	apart := p.closeup()
	y = math.Max(y, p.name())
	if apart {
		y = p.s.panel(*p.p.Closeup, y+16, false)
	}
	return y
}

// layers draws what lies between the axes: hatching first, then hairlines, then the
// layers in their order, readings last.
func (p *plot) layers() {
	s := p.s
	s.clip = p.box
	for _, l := range p.p.Layers {
		p.behind(l)
	}
	s.clip = everywhere()
	for _, t := range p.y.ticks {
		s.line(p.rules, p.atY(t.at), p.box.x1, p.atY(t.at), Rule, 1)
	}
	s.clip = p.box
	for _, l := range p.p.Layers {
		p.layer(l)
	}
	s.clip = everywhere()
	p.numbers()
	s.items = append(s.items, p.late...)
}

// numbers writes the numbers of y; that of a target takes the place of those beside it.
func (p *plot) numbers() {
	size := p.s.text
	write := func(at float64, text string, bold bool, color string) {
		p.s.write(words{x: p.rules - 8, y: p.atY(at) + 0.33*size, anchor: "end", size: size, bold: bold, color: color, text: plain.Told(text)})
	}
	var told []float64
	for _, l := range p.p.Layers {
		if m, ok := l.(Marker); ok && !m.Vertical && m.Number != "" && p.within(p.atY(m.At)) {
			if !slices.ContainsFunc(told, func(v float64) bool { return math.Abs(v-p.atY(m.At)) < size*1.1 }) {
				write(m.At, m.Number, true, m.Tone.Hex())
				told = append(told, p.atY(m.At))
			}
		}
	}
	for _, t := range p.y.ticks {
		if !slices.ContainsFunc(told, func(v float64) bool { return math.Abs(v-p.atY(t.at)) < size*1.1 }) {
			write(t.at, t.text, false, Ink)
			told = append(told, p.atY(t.at))
		}
	}
}

func (p *plot) within(y float64) bool { return y >= p.box.y0-0.5 && y <= p.box.y1+0.5 }

// name finds the words of the plot a place: first beside it, then at what they name.
// What finds none is said in a line below; it gives where that ends.
func (p *plot) name() float64 {
	s := p.s
	p.sides()
	room := box{0, p.box.y0 - 2, s.width, p.box.y1 + 2}
	room.x0, room.x1 = p.rules, math.Max(p.box.x1, s.width)
	if p.inside {
		room.x1 = p.box.x1
	}
	var left string
	for _, l := range p.names {
		if !s.place(l, room) {
			for _, line := range l.lines {
				for _, r := range line {
					left = joinWords(left, r.text)
				}
			}
		}
	}
	if left == "" || p.floor > 0 { // a close-up names again what the plot around it names
		return 0
	}
	y := p.box.y1
	for _, t := range s.taken {
		y = math.Max(y, t.y1)
	}
	return s.para(left, y+4, s.small, false, Muted)
}

func joinWords(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

// sides writes the words right of the plot below each other, each as near to its
// height as the others let it be.
func (p *plot) sides() {
	slices.SortStableFunc(p.beside, func(a, b side) int { return cmp.Compare(a.at, b.at) })
	var want, high []float64
	for _, d := range p.beside {
		_, h := label{lines: d.rows}.size()
		want, high = append(want, d.at), append(high, h)
	}
	for i, y := range spread(want, high, p.box.y0-p.s.text, math.Max(p.box.y1, p.box.y0+sum(high)-p.s.text)) {
		l := label{lines: p.beside[i].rows}
		w, h := l.size()
		p.s.put(l, spot{at: XY{p.box.x1 + p.s.ring + 6, y}, ay: 0.5}, w, h)
	}
}

func sum(list []float64) (all float64) {
	for _, v := range list {
		all += v
	}
	return all
}

// spread moves ascending places apart, so that things of those sizes centred on them
// touch at most; all stay between the ends where they can.
func spread(at, size []float64, from, to float64) []float64 {
	n := len(at)
	up, down := make([]float64, n), make([]float64, n)
	least := func(i int) float64 { return (size[i-1] + size[i]) / 2 }
	for i := range n {
		up[i] = math.Max(at[i], from+size[i]/2)
		if i > 0 {
			up[i] = math.Max(up[i], up[i-1]+least(i))
		}
	}
	for i := n - 1; i >= 0; i-- {
		down[i] = math.Min(at[i], to-size[i]/2)
		if i < n-1 {
			down[i] = math.Min(down[i], down[i+1]-least(i+1))
		}
	}
	out := make([]float64, n)
	for i := range n { // halfway between pushing all one way and all the other keeps the distances
		out[i] = (up[i] + down[i]) / 2
	}
	for i := n - 1; i >= 0; i-- {
		most := to - size[i]/2
		if i < n-1 {
			most = out[i+1] - least(i+1)
		}
		out[i] = math.Min(out[i], most)
	}
	for i := range n {
		low := from + size[i]/2
		if i > 0 {
			low = out[i-1] + least(i)
		}
		out[i] = math.Max(out[i], low)
	}
	return out
}

// closeup draws the close-up into the plot where it hides nothing, and tells whether
// it has to stand below.
func (p *plot) closeup() (below bool) {
	c := p.p.Closeup
	if c == nil {
		return false
	}
	s := p.s
	wide := p.box.x1 - p.box.x0
	w, y0 := math.Min(math.Max(0.42*wide, 252), 0.5*wide), p.box.y0-s.small
	for _, high := range [...]float64{0.86, 0.76, 0.66} {
		for _, x0 := range [...]float64{p.box.x1 - w, (p.box.x0 + p.box.x1 - w) / 2, p.box.x0} {
			b := box{x0, y0, x0 + w, y0 + high*(p.box.y1-p.box.y0)}
			if p.inside || w < 220 || s.blocked(b) || s.crossing(b.grown(6)) > 0 {
				continue
			}
			frame := p.shown(c)
			outline := append(frame.corners(), XY{frame.x0, frame.y0})
			s.items = append(s.items, stroke{at: outline, color: Muted, width: 0.9})
			s.curves = append(s.curves, outline)
			s.clear(b)
			in := p.inset(c, b)
			for _, l := range [...][]XY{{{frame.x0, frame.y0}, {in.x0, in.y1}}, {{frame.x1, frame.y0}, {in.x1, in.y1}}} {
				s.items = append(s.items, stroke{at: l, color: Muted, width: 0.9, dash: dashes(Dotted)})
				s.curves = append(s.curves, l)
			}
			s.taken = append(s.taken, b)
			return false
		}
	}
	return true
}

// clear ends hairlines at a box.
func (s *scene) clear(b box) {
	var out []any
	for _, it := range s.items {
		l, ok := it.(stroke)
		if !ok || l.color != Rule || l.at[0].Y < b.y0 || l.at[0].Y > b.y1 {
			out = append(out, it)
			continue
		}
		for _, end := range [...]box{{-1e6, -1e6, b.x0 - 10, 1e6}, {b.x1 + 10, -1e6, 1e6, 1e6}} {
			for _, part := range cutLine(l.at, end) {
				out = append(out, stroke{at: part, color: l.color, width: l.width})
			}
		}
	}
	s.items = out
}

// shown is the part of the plot that a close-up shows.
func (p *plot) shown(c *Panel) box {
	f := c.Frame()
	a, z := p.to(XY{f.X0, f.Y1}), p.to(XY{f.X1, f.Y0})
	return box{math.Max(a.X, p.box.x0), math.Max(a.Y, p.box.y0), math.Min(z.X, p.box.x1), math.Min(z.Y, p.box.y1)}
}

// inset draws a close-up into a box, with what stands under its board, and gives where
// it stands down to its board.
func (p *plot) inset(c *Panel, b box) box {
	s := p.s
	y := b.y0
	for _, l := range breakWords(plain.Told(c.Title), s.small, true, b.x1-b.x0) {
		y += 1.3 * s.small
		s.write(words{x: b.x0, y: y - 0.3*s.small, anchor: "start", size: s.small, bold: true, color: Ink, text: l})
	}
	xs, ys := c.extent()
	in := &plot{s: s, p: *c, inside: true, y: newScale(c.Y, ys, 5, s.comma)}
	in.rules = b.x0 + s.margin(*c, in.y)
	in.box = box{in.rules + 4, y + 8, b.x1, b.y1 - 16 - boardHigh - 5 - 1.15*s.text - 2.2*s.number}
	in.floor = b.y1
	in.x = newScale(c.X, xs, int((in.box.x1-in.box.x0)/(4*s.text)), s.comma)
	if n := len(in.x.ticks); n > 0 { // the last number stays within
		in.box.x1 -= TextWidth(plain.Told(in.x.ticks[n-1].text), s.text, false) / 2
	}
	in.board = in.box.y1 + 16
	in.layers()
	in.under()
	in.name()
	return box{in.box.x0, in.box.y0, in.box.x1, in.board + boardHigh}
}
