package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/templates/plain"
)

// A scene is the drawing laid out on paper: strokes, areas and words at places
// in points from the top left. SVG and PNG both show the same scene.
type scene struct {
	width, height float64
	items         []any // area, stroke, words
	clip          box   // what strokes and areas are cut to, while a plot is drawn
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
	halo   bool // a white edge, for words over lines
}

const (
	pictureWidth = 760.0
	textSize     = 13.0
	smallSize    = 12.0
	titleSize    = 16.0
	edge         = 14.0
)

func (s *scene) words(x, y float64, anchor string, size float64, color, text string) {
	s.items = append(s.items, words{x: x, y: y, anchor: anchor, size: size, color: color, text: text})
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

func dashes(s Stroke) []float64 {
	switch s {
	case Dashed:
		return []float64{7, 4}
	case Dotted:
		return []float64{1.5, 3.5}
	}
	return nil
}

// layout places a drawing on paper.
func (d Drawing) layout() *scene {
	s := &scene{width: pictureWidth, clip: everywhere()}
	y := edge
	for _, l := range breakWords(plain.Line(d.Title), titleSize, true, pictureWidth-2*edge) {
		y += titleSize
		s.items = append(s.items, words{x: edge, y: y, anchor: "start", size: titleSize, bold: true, color: Ink, text: l})
		y += 5
	}
	high := 320.0
	if len(d.Panels) > 1 {
		high = 210
	}
	m := margins{left: 0, right: pictureWidth - edge - 10}
	for _, p := range d.Panels {
		m = p.margins(m, high, d.DecimalComma)
	}
	for _, p := range d.Panels {
		y = s.panel(p, m, y+6, high, d.DecimalComma)
	}
	y = s.legend(d, y+8)
	for _, l := range breakWords(plain.Line(d.Foot), 11, false, pictureWidth-2*edge) {
		y += 15
		s.words(edge, y, "start", 11, Muted, l)
	}
	s.height = math.Ceil(y + edge)
	return s
}

func everywhere() box { return box{-1e6, -1e6, 1e6, 1e6} }

// margins are where plots begin and end across the paper, the same for all panels.
type margins struct{ left, right float64 }

// margins widens m to what the panel's ticks and markers need at the sides.
func (p Panel) margins(m margins, high float64, comma bool) margins {
	_, ys := p.extent()
	for _, t := range newScale(p.Y, ys, int(high/45), comma).ticks {
		m.left = math.Max(m.left, TextWidth(plain.Line(t.text), smallSize, false)+edge+8)
	}
	m.left = math.Min(m.left, pictureWidth/3)
	for _, l := range p.Layers {
		if k, ok := l.(Marker); ok && !k.Vertical {
			for _, w := range breakWords(plain.Line(k.Label), smallSize, false, sideMost) {
				m.right = math.Min(m.right, pictureWidth-edge-8-TextWidth(w, smallSize, false))
			}
		}
	}
	return m
}

// sideMost is the widest that words right of a plot may be.
const sideMost = 128

// panel draws one plot with its top at y and gives where it ends.
func (s *scene) panel(p Panel, m margins, y, high float64, comma bool) float64 {
	xs, ys := p.extent()
	vertical := newScale(p.Y, ys, int(high/45), comma)
	left, right := m.left, m.right
	horizontal := newScale(p.X, xs, int((right-left)/82), comma)
	atX := func(v float64) float64 { return left + horizontal.at(v)*(right-left) }

	if n := plain.Line(p.Y.Label()); n != "" {
		y += textSize
		s.words(edge, y, "start", textSize, Ink, n)
		y += 9
	}
	over, rows := signs(p, atX)
	top := y + float64(rows)*16 + 4
	bottom := top + high
	atY := func(v float64) float64 { return bottom - vertical.at(v)*(bottom-top) }

	for _, t := range vertical.ticks {
		ty := atY(t.at)
		s.stroke([]XY{{left, ty}, {right, ty}}, Rule, 1, nil)
		s.words(left-7, ty+4, "end", smallSize, Muted, plain.Line(t.text))
	}
	for _, t := range horizontal.ticks {
		tx := atX(t.at)
		s.stroke([]XY{{tx, bottom}, {tx, bottom + 5}}, Ink, 1, nil)
		s.words(tx, bottom+18, "middle", smallSize, Muted, plain.Line(t.text))
	}
	s.clip = box{left, top, right, bottom}
	pl := plot{s: s, x: atX, y: atY, comma: comma}
	for _, l := range p.Layers {
		pl.layer(l)
	}
	s.clip = everywhere()
	s.stroke([]XY{{left, top}, {left, bottom}, {right, bottom}}, Ink, 1.2, nil)
	s.above(over, rows, top)
	s.beside(p, atY, box{left, top, right, bottom})
	s.items = append(s.items, pl.late...) // words and points over the frame
	if n := plain.Line(p.X.Label()); n != "" {
		s.words((left+right)/2, bottom+36, "middle", textSize, Ink, n)
		return bottom + 42
	}
	return bottom + 24
}

// sign is a vertical marker's words above the plot, in one of the rows there.
type sign struct {
	Marker
	layer, row  int // rows count from the plot upwards
	x           float64
	begin, wide float64 // of the words
}

// signs finds room for the words of vertical markers: centred over the line where
// they fit, else leaning away from the neighbour, else in a row higher up. It
// gives how many rows they take.
func signs(p Panel, atX func(float64) float64) (list []sign, rows int) {
	for i, l := range p.Layers {
		if m, ok := l.(Marker); ok && m.Vertical && m.Label != "" && !math.IsNaN(atX(m.At)) {
			x, wide := atX(m.At), TextWidth(plain.Line(m.Label), smallSize, false)
			list = append(list, sign{Marker: m, layer: i, x: x, begin: x - wide/2, wide: wide})
		}
	}
	slices.SortStableFunc(list, func(a, b sign) int { return cmp.Compare(a.x, b.x) })
	const gap, lean = 10, 4
	for i := 1; i < len(list); i++ {
		a, b := &list[i-1], &list[i]
		if a.begin+a.wide+gap > b.begin {
			a.begin, b.begin = math.Min(a.begin, a.x+lean-a.wide), b.x-lean
		}
	}
	for i := range list {
		g := &list[i]
		g.begin = math.Max(edge, math.Min(g.begin, pictureWidth-edge-g.wide))
		crowded := func(o sign) bool {
			return o.row == g.row && g.begin <= o.begin+o.wide+gap-1 && g.begin+g.wide >= o.begin-gap+1
		}
		for slices.ContainsFunc(list[:i], crowded) {
			g.row++
		}
		rows = max(rows, g.row+1)
	}
	slices.SortFunc(list, func(a, b sign) int { return cmp.Compare(a.layer, b.layer) })
	return list, rows
}

// above writes the words of vertical markers over the plot, the first row on top.
func (s *scene) above(list []sign, rows int, top float64) {
	for _, g := range list {
		up := float64(rows-1-g.row) * 16
		base := top - 7 - up
		s.words(g.begin, base, "start", smallSize, g.Tone.Hex(), plain.Line(g.Label))
		if up > 0 { // a leader to the words in a higher row
			s.stroke([]XY{{g.x, base + 3}, {g.x, top}}, g.Tone.Hex(), 0.8, nil)
		}
	}
}

// beside writes the words of horizontal markers right of the plot, below each other.
func (s *scene) beside(p Panel, atY func(float64) float64, plot box) {
	var taken [][2]float64
	for _, l := range p.Layers {
		m, ok := l.(Marker)
		y := atY(m.At)
		if !ok || m.Vertical || m.Label == "" || !(y >= plot.y0-1 && y <= plot.y1+1) {
			continue
		}
		lines := breakWords(plain.Line(m.Label), smallSize, false, sideMost)
		h := float64(len(lines)) * 15
		y0 := math.Max(y-h/2, plot.y0-8)
		for moved := true; moved; {
			moved = false
			for _, t := range taken {
				if y0 < t[1] && y0+h > t[0] {
					y0, moved = t[1], true
				}
			}
		}
		taken = append(taken, [2]float64{y0, y0 + h})
		for k, w := range lines {
			s.words(plot.x1+7, y0+11.5+float64(k)*15, "start", smallSize, m.Tone.Hex(), w)
		}
	}
}

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

// plot draws layers between the axes.
type plot struct {
	s     *scene
	x, y  func(float64) float64
	comma bool
	late  []any
}

func (p *plot) to(a XY) XY { return XY{p.x(a.X), p.y(a.Y)} }

// runs maps places to paper and breaks the line where one has no place.
func (p *plot) runs(at []XY) [][]XY {
	places := make([]XY, len(at))
	for i, a := range at {
		places[i] = p.to(a)
	}
	return stretches(places, XY.finite)
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

func (p *plot) layer(l Layer) {
	switch l := l.(type) {
	case Band:
		p.band(l)
	case Hatched:
		p.hatched(l)
	case Bars:
		p.bars(l)
	case Steps:
		p.steps(l)
	case Line:
		for _, r := range p.runs(l.At) {
			p.s.stroke(r, l.Tone.Hex(), 2, dashes(l.Stroke))
		}
	case Contours:
		p.contours(l)
	case Marker:
		c, at := p.s.clip, p.to(XY{l.At, l.At})
		across := []XY{{c.x0, at.Y}, {c.x1, at.Y}}
		if l.Vertical {
			across = []XY{{at.X, c.y0}, {at.X, c.y1}}
		}
		p.s.stroke(across, l.Tone.Hex(), 1.5, dashes(l.Stroke))
	case Points:
		p.points(l)
	}
}

func (p *plot) band(l Band) {
	known := func(a Span) bool { return !math.IsNaN(p.x(a.X)) && !math.IsNaN(a.Low) && !math.IsNaN(a.High) }
	for _, run := range stretches(l.At, known) {
		if len(run) < 2 {
			continue
		}
		var up, down []XY
		for _, a := range run {
			up, down = append(up, p.clampY(a.X, a.High)), append(down, p.clampY(a.X, a.Low))
		}
		back := slices.Clone(down)
		slices.Reverse(back)
		p.s.area(slices.Concat(up, back), l.Tone.Tint())
		p.s.stroke(up, l.Tone.Hex(), 0.8, []float64{2, 2})
		p.s.stroke(down, l.Tone.Hex(), 0.8, []float64{2, 2})
	}
}

// clampY places a bound of a band; one beyond the axis stands just outside it.
func (p *plot) clampY(x, y float64) XY {
	c := p.s.clip
	v := p.y(y)
	if math.IsNaN(v) { // zero or less on a logarithmic axis
		v = c.y1 + 20
	}
	return XY{p.x(x), math.Max(c.y0-20, math.Min(c.y1+20, v))}
}

func (p *plot) steps(l Steps) {
	for _, r := range p.runs(l.Path()) {
		if l.Filled && len(r) > 1 {
			base := math.Min(p.s.clip.y1, p.y(0))
			if math.IsNaN(base) {
				base = p.s.clip.y1
			}
			poly := append([]XY{{r[0].X, base}}, r...)
			p.s.area(append(poly, XY{r[len(r)-1].X, base}), l.Tone.Tint())
		}
		p.s.stroke(r, l.Tone.Hex(), 2, dashes(l.Stroke))
	}
}

func (p *plot) bars(l Bars) {
	for _, b := range l.At {
		a, z := p.to(XY{b.X - l.width()/2, b.Base}), p.to(XY{b.X + l.width()/2, b.Y})
		if !a.finite() || !z.finite() {
			continue
		}
		rect := box{a.X, a.Y, z.X, z.Y}.corners()
		if l.Hatch {
			p.s.area(rect, Paper)
			p.hatchBox(box{math.Min(a.X, z.X), math.Min(a.Y, z.Y), math.Max(a.X, z.X), math.Max(a.Y, z.Y)}, l.Tone.Hex())
		} else {
			p.s.area(rect, l.Tone.Tint())
		}
		p.s.stroke(append(rect, rect[0]), l.Tone.Hex(), 1.2, nil)
		if b.High > b.Low {
			lo, hi := p.to(XY{b.X, b.Low}), p.to(XY{b.X, b.High})
			for _, at := range [...][]XY{{lo, hi}, {{lo.X - 5, lo.Y}, {lo.X + 5, lo.Y}}, {{hi.X - 5, hi.Y}, {hi.X + 5, hi.Y}}} {
				for _, part := range cutLine(at, p.s.clip) { // over the bars of other layers
					p.late = append(p.late, stroke{at: part, color: Ink, width: 1.4})
				}
			}
		}
	}
}

// hatchBox strokes a box with slanting lines.
func (p *plot) hatchBox(b box, color string) {
	keep := p.s.clip
	p.s.clip = box{math.Max(b.x0, keep.x0), math.Max(b.y0, keep.y0), math.Min(b.x1, keep.x1), math.Min(b.y1, keep.y1)}
	const gap = 7
	for c := math.Floor((b.x0+b.y0)/gap) * gap; c < b.x1+b.y1; c += gap {
		p.s.stroke([]XY{{c - b.y0, b.y0}, {c - b.y1, b.y1}}, color, 1, nil)
	}
	p.s.clip = keep
}

// hatched strokes the part of the plot where the condition holds.
func (p *plot) hatched(l Hatched) {
	gx, gy := l.Grid.X, l.Grid.Y
	if len(gx) < 2 || len(gy) < 2 {
		return
	}
	c := p.s.clip
	x0, x1 := p.x(gx[0]), p.x(gx[len(gx)-1])
	y0, y1 := p.y(gy[0]), p.y(gy[len(gy)-1])
	if math.IsNaN(x0 + x1 + y0 + y1) {
		return
	}
	in := func(q XY) bool { // the axes of surfaces are linear
		return l.in(gx[0]+(q.X-x0)/(x1-x0)*(gx[len(gx)-1]-gx[0]), gy[0]+(q.Y-y0)/(y1-y0)*(gy[len(gy)-1]-gy[0]))
	}
	const gap, step = 9, 1.5
	for k := math.Floor((c.x0+c.y0)/gap) * gap; k < c.x1+c.y1; k += gap {
		var slant []XY
		for y := c.y0; y <= c.y1; y += step {
			slant = append(slant, XY{k - y, y})
		}
		for _, run := range stretches(slant, in) {
			if len(run) > 1 {
				p.s.stroke([]XY{run[0], run[len(run)-1]}, l.Tone.Hex(), 0.9, nil)
			}
		}
	}
}

func (p *plot) contours(l Contours) {
	for i, level := range l.Levels {
		best := []XY(nil)
		for _, c := range l.Grid.contour(level) {
			for _, r := range p.runs(c) {
				p.s.stroke(r, l.Tone.Hex(), 1.5, dashes(Stroke(i%2)))
				if length(r) > length(best) {
					best = r
				}
			}
		}
		if len(best) > 1 {
			text := l.level(i, p.comma)
			w := TextWidth(text, smallSize, false)/2 + 3
			if m, ok := p.roomOn(best, w); ok {
				p.late = append(p.late, area{box{m.X - w, m.Y - 8, m.X + w, m.Y + 8}.corners(), Paper},
					words{x: m.X, y: m.Y + 4, anchor: "middle", size: smallSize, color: l.Tone.Hex(), text: text})
			}
		}
	}
}

// roomOn finds the place of a line nearest to its middle where words of half
// that width stand within the plot.
func (p *plot) roomOn(at []XY, half float64) (XY, bool) {
	c := p.s.clip
	for k := range at {
		i := len(at)/2 + (k+1)/2*(1-2*(k%2))
		if i < 0 || i >= len(at) {
			continue
		}
		if q := at[i]; q.X-half > c.x0 && q.X+half < c.x1 && q.Y-10 > c.y0 && q.Y+10 < c.y1 {
			return q, true
		}
	}
	return XY{}, false
}

func length(at []XY) float64 {
	sum := 0.0
	for i := 1; i < len(at); i++ {
		sum += math.Hypot(at[i].X-at[i-1].X, at[i].Y-at[i-1].Y)
	}
	return sum
}

// level writes a level with its unit.
func (l Contours) level(i int, comma bool) string {
	return strings.TrimSpace(number(l.Levels[i], decimalsOf(l.Levels[i]), comma) + " " + plain.Line(l.Unit))
}

// decimalsOf is how many decimals a plain number needs, at most four.
func decimalsOf(v float64) int {
	for d := range 4 {
		if p := v * math.Pow10(d); math.Abs(p-math.Round(p)) < 1e-9*math.Max(1, math.Abs(p)) {
			return d
		}
	}
	return 4
}

func (p *plot) points(l Points) {
	c := p.s.clip
	const slack = 6
	for _, a := range l.At {
		q := p.to(a.XY)
		if !q.finite() || q.X < c.x0-slack || q.X > c.x1+slack || q.Y < c.y0-slack || q.Y > c.y1+slack {
			continue
		}
		if a.Spread > 0 {
			lo, hi := p.to(XY{a.X, a.Y - a.Spread}), p.to(XY{a.X, a.Y + a.Spread})
			if math.IsNaN(lo.Y) {
				lo = XY{q.X, c.y1}
			}
			p.s.stroke([]XY{lo, hi}, l.Tone.Hex(), 1.2, nil)
			for _, e := range [...]XY{lo, hi} {
				p.s.stroke([]XY{{e.X - 4, e.Y}, {e.X + 4, e.Y}}, l.Tone.Hex(), 1.2, nil)
			}
		}
		p.late = append(p.late, symbol(l.Shape, q, l.Tone.Hex(), a.Censor, math.Max(9, math.Min(16, c.y1+4-q.Y)))...)
		if a.Label != "" {
			p.late = append(p.late, words{x: q.X + 8, y: q.Y - 6, anchor: "start", size: 11, color: Ink, text: plain.Line(a.Label), halo: true})
		}
	}
}

// symbol draws the mark of a point. Censored marks are hollow, with an arrow
// of that length towards where the true value lies.
func symbol(shape Shape, q XY, color string, c Censor, arrow float64) []any {
	const r = 5.0
	var out []any
	if c != Exact {
		dir := 1.0
		if c == Over {
			dir = -1
		}
		tip := XY{q.X, q.Y + dir*arrow}
		for _, at := range [...][]XY{{{q.X, q.Y + dir*r}, tip}, {{tip.X - 3.5, tip.Y - dir*4.5}, tip, {tip.X + 3.5, tip.Y - dir*4.5}}} {
			out = append(out, stroke{at: at, color: color, width: 1.4})
		}
	}
	var outline []XY
	k := box{q.X - r, q.Y - r, q.X + r, q.Y + r}.corners()
	switch shape {
	case Cross:
		return append(out, stroke{at: []XY{k[0], k[2]}, color: color, width: 2}, stroke{at: []XY{k[3], k[1]}, color: color, width: 2})
	case Plus:
		return append(out, stroke{at: []XY{{q.X - r, q.Y}, {q.X + r, q.Y}}, color: color, width: 2},
			stroke{at: []XY{{q.X, q.Y - r}, {q.X, q.Y + r}}, color: color, width: 2})
	case Square:
		outline = k
	case Triangle:
		outline = []XY{{q.X, q.Y - r - 1}, {q.X + r + 0.5, q.Y + r - 0.5}, {q.X - r - 0.5, q.Y + r - 0.5}}
	case Diamond:
		outline = []XY{{q.X, q.Y - r - 1.5}, {q.X + r + 1.5, q.Y}, {q.X, q.Y + r + 1.5}, {q.X - r - 1.5, q.Y}}
	default:
		outline = ring(q, r, 24)
	}
	fill := color
	if c != Exact {
		fill = Paper
	}
	return append(out, stroke{at: outline, color: color, width: 1.8, fill: fill})
}
