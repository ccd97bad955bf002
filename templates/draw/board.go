package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"jarwright/templates/plain"
)

// The gauge board is the scale that is read off, as the staff in the water: blocks
// of black and white, one a step, with what is read standing on it and through it.
const (
	boardHigh  = 9.0
	markUp     = 20.0 // how far the planning mark rises over the board, and how far below it ends
	markDown   = 16.0
	markHalf   = 3.5
	blockLeast = 7.0 // of a block along the board
)

// blocks are the ends of the blocks along a scale: parts of its tick steps, as small as stay clear.
func (s scale) blocks(wide float64) (out []float64) {
	if s.axis.Log {
		for e := math.Floor(math.Log10(s.lo)); e <= math.Ceil(math.Log10(s.hi)); e++ {
			for m := 1.0; m < 10; m++ {
				if v := m * math.Pow(10, e); v > s.lo && v < s.hi {
					out = append(out, v)
				}
			}
		}
		return slices.Concat([]float64{s.lo}, out, []float64{s.hi})
	}
	step := s.step
	for _, parts := range [...]float64{5, 4, 3, 2} {
		part := step / parts
		if math.Abs(part-niceStep(part*0.999)) < 1e-9*part && part/(s.hi-s.lo)*wide >= blockLeast { // 1, 2 or 5, and clear
			step = part
			break
		}
	}
	for i := math.Floor(s.lo/step+1e-9) + 1; i*step < s.hi-step*1e-9; i++ {
		out = append(out, i*step)
	}
	return slices.Concat([]float64{s.lo}, out, []float64{s.hi})
}

// strip draws the blocks of a board with its top at y.
func (s *scene) strip(x scale, x0, x1, y float64) {
	frame := box{x0, y, x1, y + boardHigh}
	s.items = append(s.items, stroke{at: frame.corners(), color: Ink, width: 1, fill: White})
	at := x.blocks(x1 - x0)
	black := true
	for i := 1; i < len(at); i++ {
		if black {
			s.items = append(s.items, area{box{x0 + x.at(at[i-1])*(x1-x0), y, x0 + x.at(at[i])*(x1-x0), y + boardHigh}.corners(), Ink})
		}
		black = !black
	}
}

// under draws the board with what stands on it, its numbers, the row of jars and the
// name of x, and gives where they end.
func (p *plot) under() float64 {
	s := p.s
	if len(p.p.X.Labels) > 0 {
		return p.kinds()
	}
	s.strip(p.x, p.box.x0, p.box.x1, p.board)
	for _, l := range p.p.Layers {
		if i, ok := l.(Interval); ok && p.shows(i) {
			p.interval(i)
		}
	}
	for _, l := range p.p.Layers { // through what stands on the board
		if m, ok := l.(Mark); ok && p.along(m.At) {
			x := p.atX(m.At)
			bar := box{x - markHalf, p.board - markUp, x + markHalf, p.board + boardHigh + markDown}
			s.items = append(s.items, area{box{bar.x0 - 2, bar.y0, bar.x1 + 2, bar.y1}.corners(), Paper}, area{bar.corners(), Ink})
			s.taken = append(s.taken, bar.grown(2))
		}
	}
	y := p.ticks(p.board+boardHigh, 1)
	y = p.said(y)
	return p.jars(y)
}

// along tells whether a value of x lies on the board, and shows whether any of an interval does.
func (p *plot) along(v float64) bool {
	f := p.x.at(v)
	return f >= -1e-9 && f <= 1+1e-9
}

func (p *plot) shows(l Interval) bool { return p.x.at(l.Low) < 1 && p.x.at(l.High) > 0 }

// ticks writes the numbers of x below a board, or above it where dir is -1; a number that a mark
// covers is left out.
func (p *plot) ticks(y, dir float64) float64 {
	s := p.s
	for _, t := range p.x.ticks {
		x := p.atX(t.at)
		w := words{x: x, y: y + 4 + 0.95*s.text, anchor: "middle", size: s.text, color: Ink, text: plain.Told(t.text)}
		if dir < 0 {
			w.y = y - 7
		}
		b := w.box()
		if b.x1 > s.width { // the outer numbers stay on the paper
			w.x, w.anchor = s.width, "end"
		}
		if b.x0 < 0 {
			w.x, w.anchor = 0, "start"
		}
		if s.blocked(w.box().grown(2)) {
			continue
		}
		s.line(x, y, x, y+dir*5, Ink, 1.2)
		s.write(w)
	}
	return y + dir*(5+1.15*s.text)
}

// kinds writes the names of kinds below upright bars.
func (p *plot) kinds() float64 {
	s := p.s
	y := p.box.y1
	s.line(p.rules, y, p.box.x1, y, Ink, 1)
	each := (p.box.x1 - p.box.x0) / float64(len(p.p.X.Labels))
	low := y
	for i, l := range p.p.X.Labels {
		for k, w := range breakWords(plain.Told(l), s.text, false, each-8) {
			at := y + float64(k+1)*1.2*s.text + 3
			s.words(p.atX(float64(i)), at, "middle", s.text, Ink, w)
			low = math.Max(low, at+0.3*s.text)
		}
	}
	return p.named(low)
}

// interval stands on the board: a bar with ticks at its ends and a notch at the likeliest.
func (p *plot) interval(l Interval) {
	s, blue := p.s, Doubt.Hex()
	const high = 7
	clip := func(v float64) float64 { return math.Max(p.box.x0, math.Min(p.box.x1, p.atX(v))) }
	x0, x1 := clip(l.Low), clip(l.High)
	s.items = append(s.items, area{box{x0, p.board - high, x1, p.board}.corners(), blue})
	for _, v := range [...]float64{l.Low, l.High} {
		if x := p.atX(v); x >= p.box.x0-0.5 && x <= p.box.x1+0.5 {
			s.line(x, p.board-high-4, x, p.board, blue, 2)
		}
	}
	if at := p.atX(l.At); at >= x0 && at <= x1 {
		s.items = append(s.items, area{box{at - 1.6, p.board - high - 1, at + 1.6, p.board}.corners(), Paper})
	}
	s.taken = append(s.taken, box{x0, p.board - high - 4, x1, p.board})
}

// said writes what the mark and the interval say, in rows under the numbers: each as near as it can be.
func (p *plot) said(y float64) float64 {
	s := p.s
	row := s.number * 1.1
	room := box{0, y, s.width, y + 6*row}
	if p.inside && p.box.x0-p.rules < 10 { // a close-up keeps to its own part
		room.x0, room.x1 = p.rules-20, p.box.x1+6
	}
	if p.floor > 0 {
		room.y1 = p.floor
	}
	low := y
	put := func(line []run, x, gap, high float64, sides ...float64) {
		l := label{lines: [][]run{line}}
		w, h := l.size()
		for k := range 6 {
			for i, ax := range sides {
				at := x + gap*(1-2*ax)
				for _, v := range [...]float64{at, math.Max(room.x0+ax*w, math.Min(room.x1-(1-ax)*w, at))} {
					l.spots = append(l.spots, spot{at: XY{v, y + float64(k)*row + (row-h)/2}, ax: ax, cost: float64(10*k+3*i) + math.Abs(v-at)/20})
				}
			}
		}
		if s.place(l, room) {
			low = math.Max(low, s.taken[len(s.taken)-1].y1+3)
		}
	}
	for _, l := range p.p.Layers {
		if m, ok := l.(Mark); ok && p.along(m.At) {
			line := []run{{plain.Told(m.Number), s.number, true, Ink}}
			if m.Label != "" && s.narrow() {
				m.Label = cmp.Or(m.Short, m.Label)
			}
			if m.Label != "" {
				line = append(line, run{" " + plain.Told(m.Label), s.text, false, Ink})
			}
			put(line, p.atX(m.At), -markHalf, s.number, 0, 1, 0.5)
		}
	}
	for _, l := range p.p.Layers {
		if i, ok := l.(Interval); ok && p.shows(i) {
			name := i.Label
			if i.Short != "" && (s.narrow() || TextWidth(name, s.text, false) > p.box.x1-p.box.x0) {
				name = i.Short
			}
			put(styled(name, s.text, false, Doubt.Hex()), math.Max(p.box.x0, math.Min(p.atX(i.At), p.box.x1)), 3, s.text, 1, 0, 0.5)
		}
	}
	return low
}

// named writes the name of x right of the board, or below all where there is no room.
func (p *plot) named(y float64) float64 {
	s := p.s
	name := p.p.X.Label()
	if name == "" {
		return y
	}
	gap := s.jar/2 + 7
	if n := len(p.x.ticks); n > 0 {
		gap = math.Max(gap, TextWidth(plain.Told(p.x.ticks[n-1].text), s.text, false)/2+9)
	}
	if rows := len(breakWords(plain.Told(name), s.small, false, s.width-p.box.x1-gap)); !p.inside && s.width-p.box.x1 > 80 && rows <= 3 {
		l := label{lines: wrapped(name, s.small, false, Muted, s.width-p.box.x1-gap)}
		_, h := l.size()
		for k := range 8 {
			l.spots = append(l.spots, spot{at: XY{p.box.x1 + gap, p.board - 3 + float64(k)*5}, cost: float64(k)})
		}
		if s.place(l, box{p.box.x1, p.box.y1 - 8, s.width, p.board + 30 + h}) {
			return math.Max(y, s.taken[len(s.taken)-1].y1+2)
		}
	}
	for _, l := range wrapped(name, s.small, false, Muted, s.width) {
		y += 1.3 * s.small
		s.words(0, y, "start", s.small, Muted, l[0].text)
	}
	return y + 4
}

// jars draws the row of jars under the board, each at its dose or as near as its neighbours let it
// stand, with a tick on the board where that is.
func (p *plot) jars(y float64) float64 {
	s := p.s
	for _, l := range p.p.Layers {
		row, ok := l.(Jars)
		if !ok || len(row.At) == 0 {
			continue
		}
		list := slices.Clone(row.At)
		slices.SortStableFunc(list, func(a, b Jar) int {
			return int(math.Copysign(1, a.X-b.X)) * map[bool]int{true: 0, false: 1}[a.X == b.X]
		})
		wide := math.Min(s.jar, 0.72*(p.box.x1-p.box.x0+2*s.jar)/float64(len(list)))
		size := make([]float64, len(list))
		want := make([]float64, len(list))
		word := plain.Told(row.Word)
		fits := func(w string) bool { // the word before each number
			return !s.narrow() && w != "" && !slices.ContainsFunc(list, func(j Jar) bool {
				return TextWidth(w+" "+j.Label, s.text, false) > (p.box.x1-p.box.x0)/float64(len(list))*0.8
			})
		}
		if !fits(word) {
			word = ""
		}
		name := func(j Jar) string {
			if word != "" && j.Label != "" {
				return word + " " + plain.Told(j.Label)
			}
			return plain.Told(j.Label)
		}
		for i, j := range list {
			want[i] = p.atX(j.X)
			size[i] = math.Max(wide+6, math.Max(TextWidth(name(j), s.text, j.Empty), TextWidth(plain.Told(j.Under), s.small, false))+5)
		}
		at := spread(want, size, 0, s.width)
		top := y + 8
		high := 1.2 * wide
		for i, j := range list {
			s.line(want[i], p.board+boardHigh, want[i], p.board+boardHigh+3, Ink, 1.2)
			s.jarAt(at[i], top, wide, j)
			s.write(words{x: at[i], y: top + high + 1.05*s.text, anchor: "middle", size: s.text, bold: j.Empty, color: Ink, text: name(j)})
			s.write(words{x: at[i], y: top + high + 1.05*s.text + 1.2*s.small, anchor: "middle", size: s.small, color: Muted, text: plain.Told(j.Under)})
		}
		y = top + high + 1.35*s.text
		if slices.ContainsFunc(list, func(j Jar) bool { return j.Under != "" }) {
			y += 1.2 * s.small
		}
		y = p.braces(row.Braces, list, at, wide, y)
	}
	return p.named(y)
}

// braces gather neighbouring jars under words.
func (p *plot) braces(list []Brace, jars []Jar, at []float64, wide, y float64) float64 {
	s := p.s
	low := y
	for _, b := range list {
		x0, x1 := math.Inf(1), math.Inf(-1)
		for i, j := range jars {
			if j.X >= b.From-1e-9 && j.X <= b.To+1e-9 {
				x0, x1 = math.Min(x0, at[i]-wide/2-1), math.Max(x1, at[i]+wide/2+1)
			}
		}
		if x0 > x1 {
			continue
		}
		s.items = append(s.items, stroke{at: []XY{{x0, y + 2}, {x0, y + 7}, {x1, y + 7}, {x1, y + 2}}, color: Ink, width: 1})
		l := label{lines: [][]run{styled(b.Label, s.text, b.Strong, Ink)}}
		w, _ := l.size()
		for k := range 3 {
			mid := math.Max(w/2, math.Min(s.width-w/2, (x0+x1)/2))
			l.spots = append(l.spots, spot{at: XY{mid, y + 10 + float64(k)*1.3*s.text}, ax: 0.5, cost: float64(k)})
		}
		if s.place(l, box{0, y, s.width, y + 99}) {
			low = math.Max(low, s.taken[len(s.taken)-1].y1)
		}
	}
	return low + 4
}

// jarAt draws a jar of that width, its lip at the top.
func (s *scene) jarAt(x, y, wide float64, j Jar) {
	h := wide / 2
	high := 1.2 * wide
	lip, r := 0.1*wide, 0.16*wide
	corner := func(cx, cy, from float64) (out []XY) {
		for k := range 5 {
			a := from + float64(k)*math.Pi/8
			out = append(out, XY{cx + r*math.Cos(a), cy + r*math.Sin(a)})
		}
		return out
	}
	bottom := slices.Concat(corner(x+h-r, y+high-r, 0), corner(x-h+r, y+high-r, math.Pi/2))
	level := y + 0.22*high
	if !j.Empty {
		s.items = append(s.items, area{slices.Concat([]XY{{x - h, level}, {x + h, level}}, bottom), muddy(j.Mud)})
		s.line(x-h, level, x+h, level, Ink, 0.9)
	}
	outline := slices.Concat([]XY{{x + h + lip, y}, {x + h, y + 1.3*lip}}, bottom, []XY{{x - h, y + 1.3*lip}, {x - h - lip, y}})
	var dash []float64
	if j.Empty {
		dash = []float64{3, 2.5}
	}
	s.items = append(s.items, stroke{at: outline, color: Ink, width: 1.3, dash: dash})
	s.taken = append(s.taken, box{x - h - lip, y, x + h + lip, y + high})
}

// stops draws numbered moments on a board, with dotted lines down to the end of all panels.
func (s *scene) stops(l Stops, atX func(float64) float64, x0, x1, board, low float64) {
	const r = 9.5
	size := make([]float64, len(l.At))
	want := make([]float64, len(l.At))
	for i, v := range l.At {
		want[i], size[i] = atX(v), 2*r+1
	}
	for i, x := range spread(want, size, math.Max(x0-r, 0), math.Min(x1+r, s.width)) {
		n := i + 1
		if i < len(l.Numbers) {
			n = l.Numbers[i]
		}
		s.line(want[i], board+boardHigh+4, want[i], low, Muted, 1, 2, 3)
		c := XY{x, board + boardHigh/2}
		s.items = append(s.items, area{ring(c, r+1.5, 28), Paper}, area{ring(c, r, 28), Ink})
		s.write(words{x: x, y: c.Y + 0.34*s.small, anchor: "middle", size: s.small, bold: true, color: White, text: strconv.Itoa(n)})
		s.taken = append(s.taken, box{x - r, c.Y - r, x + r, c.Y + r})
	}
}
