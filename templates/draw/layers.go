package draw

import (
	"math"
	"slices"
	"strings"

	"jarwright/templates/plain"
)

const (
	curveWidth = 2.4
	limitWidth = 1.8
)

// runs maps places to paper and breaks the line where one has no place.
func (p *plot) runs(at []XY) [][]XY {
	places := make([]XY, len(at))
	for i, a := range at {
		places[i] = p.to(a)
	}
	return stretches(places, XY.finite)
}

// behind draws what lies behind everything: hatching.
func (p *plot) behind(l Layer) {
	switch l := l.(type) {
	case Gap:
		x0, x1 := p.atX(l.From), p.atX(l.To)
		p.s.hatch(box{x0, p.box.y0, x1, p.box.y1}, softHatch)
		var spots []spot
		for k := range 8 {
			y := p.box.y0 + float64(k)*(p.box.y1-p.box.y0)/9
			for _, ax := range [...]float64{0.5, 0, 1} {
				spots = append(spots, spot{at: XY{(x0 + x1) / 2, y}, ax: ax, cost: float64(k) + 4*math.Abs(ax-0.5)})
			}
		}
		p.names = append(p.names, label{[][]run{styled(l.Label, p.s.small, false, Muted)}, spots})
	case Marker:
		y := p.atY(l.At)
		switch {
		case l.Vertical || l.Unsafe == Neither || math.IsNaN(y):
		case l.Unsafe == Above:
			p.s.hatch(box{p.box.x0, p.box.y0, p.box.x1, y}, redHatch)
		default:
			p.s.hatch(box{p.box.x0, y, p.box.x1, p.box.y1}, redHatch)
		}
	case Hatched:
		p.hatched(l)
	}
}

func (p *plot) layer(l Layer) {
	switch l := l.(type) {
	case Band:
		p.band(l)
	case Bars:
		p.bars(l)
	case Steps:
		p.line(Line{Name: l.Name, Stroke: l.Stroke, Tone: l.Tone, At: l.Path(), Begin: l.Begin, End: l.End, Filled: l.Filled})
	case Line:
		p.line(l)
	case Riser:
		p.riser(l)
	case Contours:
		p.contours(l)
	case Marker:
		p.marker(l)
	case Points:
		p.points(l)
	case Remark:
		if q := p.to(l.XY); q.finite() {
			spots := slices.Concat(around(q, 30, 0), around(q, 56, 20), around(q, 80, 40))
			for i := range spots {
				spots[i].lead = true
			}
			p.names = append(p.names, label{[][]run{styled(l.Label, p.s.text, false, Ink)}, spots})
		}
	}
}

// line draws a line, with its name beside it and words at its ends.
func (p *plot) line(l Line) {
	var longest []XY
	for _, r := range p.runs(l.At) {
		if l.Smooth {
			r = smooth(r)
		}
		if l.Filled && len(r) > 1 {
			base := p.atY(0)
			if math.IsNaN(base) || base > p.box.y1 {
				base = p.box.y1
			}
			poly := append([]XY{{r[0].X, base}}, r...)
			p.s.area(append(poly, XY{r[len(r)-1].X, base}), l.Tone.Tint())
		}
		p.s.stroke(r, l.Tone.Hex(), curveWidth, dashes(l.Stroke))
		for _, part := range cutLine(r, p.s.clip) {
			p.s.curves = append(p.s.curves, part)
			if length(part) > length(longest) {
				longest = part
			}
		}
	}
	if longest == nil {
		return
	}
	color := l.Tone.Hex()
	if l.Name != "" {
		p.names = append(p.names, label{[][]run{styled(l.Name, p.s.text, false, color)}, along(longest, 7)})
	}
	if l.Begin != "" {
		p.names = append(p.names, label{[][]run{styled(l.Begin, p.s.text, true, color)}, around(longest[0], 7, 0)})
	}
	if l.End == "" {
		return
	}
	end := longest[len(longest)-1]
	if end.X > p.box.x1-2 && p.s.ending(l.End) != "" {
		p.beside = append(p.beside, side{at: end.Y, rows: wrapped(l.End, p.s.text, true, color, 130)})
		return
	}
	p.names = append(p.names, label{[][]run{styled(l.End, p.s.text, true, color)}, around(end, 6, 0)})
}

func (p *plot) band(l Band) {
	known := func(a Span) bool { return !math.IsNaN(p.atX(a.X)) && !math.IsNaN(a.Low) && !math.IsNaN(a.High) }
	var upper []XY
	for _, run := range stretches(l.At, known) {
		if len(run) < 2 {
			continue
		}
		var up, down []XY
		for _, a := range run {
			up, down = append(up, p.clampY(a.X, a.High)), append(down, p.clampY(a.X, a.Low))
		}
		if l.Smooth {
			up, down = smooth(up), smooth(down)
		}
		back := slices.Clone(down)
		slices.Reverse(back)
		p.s.area(slices.Concat(up, back), Pale)
		p.s.fills = append(p.s.fills, slices.Concat(up, back))
		p.s.stroke(up, bandEdge, 0.9, nil)
		p.s.stroke(down, bandEdge, 0.9, nil)
		p.s.curves = slices.Concat(p.s.curves, cutLine(up, p.s.clip), cutLine(down, p.s.clip))
		for _, part := range cutLine(up, p.s.clip) {
			if length(part) > length(upper) {
				upper = part
			}
		}
	}
	if upper != nil && l.Name != "" {
		p.names = append(p.names, label{[][]run{styled(l.Name, p.s.text, false, Doubt.Hex())}, along(upper, 6)})
	}
}

const bandEdge = "#7E9DB5"

// clampY places a bound of a band; one beyond the axis stands just outside it.
func (p *plot) clampY(x, y float64) XY {
	v := p.atY(y)
	if math.IsNaN(v) { // zero or less on a logarithmic axis
		v = p.box.y1 + 20
	}
	return XY{p.atX(x), math.Max(p.box.y0-20, math.Min(p.box.y1+20, v))}
}

func (p *plot) marker(l Marker) {
	color := l.Tone.Hex()
	name := [][]run{styled(l.Label, p.s.text, !l.Vertical, color)}
	at := p.to(XY{l.At, l.At})
	switch {
	case l.Vertical && !math.IsNaN(at.X) && at.X >= p.box.x0-0.5 && at.X <= p.box.x1+0.5:
		line := []XY{{at.X, p.box.y0}, {at.X, p.box.y1}}
		p.s.stroke(line, color, 1.3, dashes(l.Stroke))
		p.s.curves = append(p.s.curves, line)
		if l.Label != "" {
			p.names = append(p.names, label{name, along(line, 5)})
		}
	case !l.Vertical && !math.IsNaN(at.Y) && p.within(at.Y):
		line := []XY{{p.rules, at.Y}, {p.box.x1, at.Y}}
		p.s.items = append(p.s.items, stroke{at: line, color: color, width: limitWidth, dash: dashes(l.Stroke)})
		p.s.curves = append(p.s.curves, line)
		switch {
		case l.Label == "":
		case p.inside:
			p.names = append(p.names, label{name, onLine(line)})
		default:
			p.beside = append(p.beside, side{at: at.Y, rows: wrapped(l.Label, p.s.text, true, color, p.s.side)})
		}
	}
}

// onLine gives spots above and below a level line, from its right end leftwards.
func onLine(line []XY) (out []spot) {
	a, z := line[0], line[1]
	for k := range 20 {
		x := z.X + (a.X-z.X)*float64(k)/24
		for i, side := range [...]float64{-1, 1} {
			for far := range 4 {
				y, cost := z.Y+side*(3+14*float64(far)), float64(k)+3*float64(i)+14*float64(far)
				out = append(out, spot{at: XY{x, y}, ax: 1, ay: 0.5 - side/2, cost: cost, of: &XY{x, z.Y}},
					spot{at: XY{a.X + z.X - x + 4, y}, ay: 0.5 - side/2, cost: cost + 12, of: &XY{a.X + z.X - x + 4, z.Y}})
			}
		}
	}
	return out
}

func (p *plot) riser(l Riser) {
	a, z := p.to(XY{l.X, l.From}), p.to(XY{l.X, l.To})
	if !a.finite() || !z.finite() {
		return
	}
	p.s.stroke([]XY{a, z}, Ink, 4.5, nil)
	p.s.curves = append(p.s.curves, []XY{a, z})
	if l.Label != "" {
		p.names = append(p.names, label{[][]run{styled(l.Label, p.s.text, true, Ink)}, around(z, 6, 0)})
	}
}

func (p *plot) bars(l Bars) {
	for _, b := range l.At {
		a, z := p.to(XY{b.X - l.width()/2, b.Base}), p.to(XY{b.X + l.width()/2, b.Y})
		if !a.finite() || !z.finite() {
			continue
		}
		rect := box{a.X, a.Y, z.X, z.Y}.corners()
		fill := l.Tone.Tint()
		if l.Hatch {
			fill = White
		}
		p.s.area(rect, fill)
		p.s.stroke(append(rect, rect[0]), Ink, 1, nil)
		if b.High > b.Low {
			lo, hi := p.to(XY{b.X, b.Low}), p.to(XY{b.X, b.High})
			blue := Doubt.Hex()
			p.s.stroke([]XY{lo, hi}, blue, 5, nil)
			p.s.stroke([]XY{{lo.X - 6, lo.Y}, {lo.X + 6, lo.Y}}, blue, 2, nil)
			p.s.stroke([]XY{{hi.X - 6, hi.Y}, {hi.X + 6, hi.Y}}, blue, 2, nil)
		}
	}
	if n := len(l.At); n > 0 && l.Name != "" {
		b := l.At[n-1]
		p.names = append(p.names, label{[][]run{styled(l.Name, p.s.text, false, Ink)}, around(p.to(XY{b.X, math.Max(b.Y, b.High)}), 8, 0)})
	}
}

// hatched strokes the part of the plot where the condition holds.
func (p *plot) hatched(l Hatched) {
	gx, gy := l.Grid.X, l.Grid.Y
	if len(gx) < 2 || len(gy) < 2 {
		return
	}
	c := p.s.clip
	x0, x1 := p.atX(gx[0]), p.atX(gx[len(gx)-1])
	y0, y1 := p.atY(gy[0]), p.atY(gy[len(gy)-1])
	if math.IsNaN(x0 + x1 + y0 + y1) {
		return
	}
	in := func(q XY) bool { // the axes of surfaces are linear
		return l.in(gx[0]+(q.X-x0)/(x1-x0)*(gx[len(gx)-1]-gx[0]), gy[0]+(q.Y-y0)/(y1-y0)*(gy[len(gy)-1]-gy[0]))
	}
	color := softHatch
	if l.Tone == Limit {
		color = redHatch
	}
	const gap, step = 9, 1.5
	var inside []XY
	for k := math.Floor((c.x0+c.y0)/gap) * gap; k < c.x1+c.y1; k += gap {
		var slant []XY
		for y := c.y0; y <= c.y1; y += step {
			slant = append(slant, XY{k - y, y})
		}
		for _, run := range stretches(slant, in) {
			if len(run) > 1 {
				p.s.stroke([]XY{run[0], run[len(run)-1]}, color, 0.9, nil)
				inside = append(inside, run[len(run)/2])
			}
		}
	}
	if l.Name != "" && len(inside) > 0 {
		var spots []spot
		for i, q := range inside {
			spots = append(spots, spot{at: q, ax: 0.5, ay: 0.5, cost: float64(i) * 0.2})
		}
		p.names = append(p.names, label{[][]run{styled(l.Name, p.s.small, false, Muted)}, spots})
	}
}

// contours draws lines of equal value; each has its level beside it.
func (p *plot) contours(l Contours) {
	named := false
	for i, level := range l.Levels {
		best := []XY(nil)
		for _, c := range l.Grid.contour(level) {
			for _, r := range p.runs(c) {
				for _, part := range cutLine(r, p.s.clip) {
					p.s.items = append(p.s.items, stroke{at: part, color: l.Tone.Hex(), width: 1.4, dash: dashes(Stroke(i % 2))})
					p.s.curves = append(p.s.curves, part)
					if length(part) > length(best) {
						best = part
					}
				}
			}
		}
		if best == nil {
			continue
		}
		var spots []spot
		const stations = 24
		for k := 1; k < stations; k++ {
			share := float64(k) / stations
			spots = append(spots, spot{at: at(best, share*length(best)), ax: 0.5, ay: 0.5, cost: 20 * math.Abs(share-0.5)})
		}
		name := l.level(i, p.s.comma)
		if !named && l.Name != "" { // the first says what the lines are
			name, named = l.Name+", "+name, true
		}
		p.names = append(p.names, label{[][]run{styled(name, p.s.small, false, l.Tone.Hex())}, append(spots, along(best, 5)...)})
	}
}

// level writes a level with its unit.
func (l Contours) level(i int, comma bool) string {
	return strings.TrimSpace(number(l.Levels[i], decimalsOf(l.Levels[i]), comma) + " " + plain.Told(l.Unit))
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
	var last *XY
	for _, a := range l.At {
		q := p.to(a.XY)
		if !q.finite() || q.X < c.x0-slack || q.X > c.x1+slack || q.Y < c.y0-slack || q.Y > c.y1+slack {
			continue
		}
		if low, high, ok := a.bar(); ok {
			lo, hi := p.to(XY{a.X, low}), p.to(XY{a.X, high})
			if math.IsNaN(lo.Y) {
				lo = XY{q.X, c.y1}
			}
			p.s.stroke([]XY{lo, hi}, l.Tone.Hex(), 1.2, nil)
			for _, e := range [...]XY{lo, hi} {
				p.s.stroke([]XY{{e.X - 4, e.Y}, {e.X + 4, e.Y}}, l.Tone.Hex(), 1.2, nil)
			}
		}
		p.late = append(p.late, symbol(l.Shape, q, p.s.ring, l.Tone.Hex(), a.Censor, math.Max(9, math.Min(15, c.y1+4-q.Y)))...)
		p.s.taken = append(p.s.taken, box{q.X, q.Y, q.X, q.Y}.grown(p.s.ring+1))
		last = &q
		if a.Label != "" {
			p.names = append(p.names, label{[][]run{styled(a.Label, p.s.small, false, l.Tone.Hex())}, around(q, p.s.ring+3, 0)})
		}
	}
	if l.Name != "" && !l.Quiet && last != nil {
		p.names = append(p.names, label{[][]run{styled(l.Name, p.s.text, false, l.Tone.Hex())}, around(*last, p.s.ring+4, 0)})
	}
}

// symbol draws the mark of a point, open so that those beneath stay seen. A censored
// one has an arrow of that length towards where the true value lies.
func symbol(shape Shape, q XY, r float64, color string, c Censor, arrow float64) []any {
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
	k := box{q.X - r, q.Y - r, q.X + r, q.Y + r}.corners()
	outline := k
	switch shape {
	case Cross:
		return append(out, stroke{at: []XY{k[0], k[2]}, color: color, width: 1.8}, stroke{at: []XY{k[3], k[1]}, color: color, width: 1.8})
	case Plus:
		return append(out, stroke{at: []XY{{q.X - r, q.Y}, {q.X + r, q.Y}}, color: color, width: 1.8},
			stroke{at: []XY{{q.X, q.Y - r}, {q.X, q.Y + r}}, color: color, width: 1.8})
	case Triangle:
		outline = []XY{{q.X, q.Y - r - 1}, {q.X + r + 0.5, q.Y + r - 0.5}, {q.X - r - 0.5, q.Y + r - 0.5}}
	case Diamond:
		outline = []XY{{q.X, q.Y - r - 1.5}, {q.X + r + 1.5, q.Y}, {q.X, q.Y + r + 1.5}, {q.X - r - 1.5, q.Y}}
	case Round:
		outline = ring(q, r, 24)
	}
	return append(out, stroke{at: outline, color: color, width: 1.6, fill: Paper})
}
