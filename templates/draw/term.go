package draw

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/templates/plain"
)

// Signs are the characters that a terminal shows pictures in.
type Signs int

const (
	// ASCII are the plain characters of any terminal and of a mail.
	ASCII Signs = iota
	// Blocks are block and line characters, for terminals that write UTF-8.
	Blocks
)

// glyphSet is the characters of one kind of picture.
type glyphSet struct {
	curve                       [3]rune // whole, upper half, lower half
	dashed, dotted, band, hatch rune
	ring, under, over           rune
	points                      [6]rune // by shape
	limit, upright              rune
	filled, open, spread        rune
	black, white, mark          rune      // of the board
	from, to, notch, along      rune      // of an interval
	tones                       []rune    // of a jar, from muddy to clear
	jar                         [4]string // an upright side, the bottom; dashed ones
}

var glyphSets = [...]glyphSet{
	ASCII: {curve: [3]rune{'*', '*', '*'}, dashed: '+', dotted: '.', band: ':', hatch: '/', ring: 'o', under: 'v', over: '^',
		points: [6]rune{'o', 's', 't', 'd', 'x', '+'}, limit: '-', upright: '|', filled: '#', open: '=', spread: 'I', black: '=', white: '-', mark: '#',
		from: '[', to: ']', notch: '+', along: '=', tones: []rune("#%:. "), jar: [4]string{"|", "_", ":", "."}},
	Blocks: {curve: [3]rune{'█', '▀', '▄'}, dashed: '╍', dotted: '·', band: '░', hatch: '╱', ring: '○', under: '↓', over: '↑',
		points: [6]rune{'○', '□', '△', '◇', '×', '+'}, limit: '╌', upright: '┆', filled: '▒', open: '▬', spread: '┃',
		black: '▀', white: '▔', mark: '█', from: '┣', to: '┫', notch: '╋', along: '━', tones: []rune("█▓▒░ "), jar: [4]string{"│", "─", "┆", "╌"}},
}

// Text gives the drawing in characters, at most width columns wide; each plot is height
// rows high. Names stand at what they name where there is room, else in a line below. No
// colour is needed to read it.
func (d Drawing) Text(width, height int, signs Signs) []string {
	width, height = max(width, 40), max(height, 6)
	var out []string
	if d.Title != "" {
		out = append(out, cutColumns(plain.Line(d.Title), width))
	}
	if d.Note != "" {
		out = append(out, cutColumns(plain.Line(d.Note), width))
	}
	for i, p := range d.Panels {
		if i > 0 || d.Title != "" && signs == Blocks {
			out = append(out, "")
		}
		if p.Title != "" {
			out = append(out, cutColumns(plain.Line(p.Title), width))
		}
		t := &terminal{glyphSet: glyphSets[signs], panel: p, width: width, comma: d.DecimalComma, halves: signs == Blocks, next: 'A'}
		out = append(out, t.draw(height)...)
	}
	return out
}

func cutColumns(s string, width int) string {
	r := []rune(s)
	if len(r) <= width {
		return s
	}
	return string(r[:max(width-3, 0)]) + "..."
}

// terminal is one panel as characters.
type terminal struct {
	glyphSet
	panel      Panel
	width      int
	left       int // columns before the plot
	cols, rows int
	at         [][]rune
	x, y       scale
	comma      bool
	halves     bool
	names      []spoken
	below      []string // names that found no room, and marks explained
	next       rune     // the next free letter, for contours
}

// spoken is a name that looks for room near a character.
type spoken struct {
	text     string
	col, row int
}

// draw gives the lines of the panel.
func (t *terminal) draw(height int) []string {
	var out []string
	if slices.ContainsFunc(t.panel.Layers, func(l Layer) bool { _, is := l.(Stack); return is }) {
		return t.stacks()
	}
	p := &t.panel
	if p.Closeup != nil && p.positive() { // the close-up's job, on one log scale
		p.Y.Log, p.Y.Zero, p.Y.Note = true, false, joinNote("log scale", p.Y.Note)
	}
	xs, ys := p.extent()
	t.rows = height
	t.y = newScale(p.Y, ys, max(height/4, 2), t.comma)
	for _, k := range t.y.ticks {
		t.left = max(t.left, len([]rune(plain.Line(k.text)))+1)
	}
	t.left = min(t.left, t.width/3)
	t.cols = t.width - t.left - 4
	t.x = newScale(p.X, xs, t.cols/11, t.comma)
	t.at = make([][]rune, t.rows)
	for i := range t.at {
		t.at[i] = []rune(strings.Repeat(" ", t.cols))
	}
	for _, pass := range [...]func(Layer){t.behind, t.layer, t.readings} {
		for _, l := range p.Layers {
			pass(l)
		}
	}
	if name := joinNote(p.Y.Label(), p.Y.Note); name != "" {
		if slices.ContainsFunc(p.Layers, func(l Layer) bool {
			pts, is := l.(Points)
			return is && (pts.Quiet || pts.Name == "") && len(pts.At) > 0
		}) {
			name += "; " + string(t.ring) + " a reading"
		}
		out = append(out, cutColumns(plain.Line(name), t.width))
	}
	t.write()
	out = append(out, t.framed()...)
	out = append(out, t.board()...)
	if name := plain.Line(p.X.Label()); name != "" {
		out = append(out, cutColumns(strings.Repeat(" ", t.left+1)+name, t.width))
	}
	for _, l := range flow(t.below, t.width-t.left-1) {
		out = append(out, strings.Repeat(" ", t.left+1)+l)
	}
	return out
}

func joinNote(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + ", " + b
}

// positive tells that the readings of a panel have logarithms.
func (p Panel) positive() bool {
	for _, l := range p.Layers {
		if pts, ok := l.(Points); ok && slices.ContainsFunc(pts.At, func(a Point) bool { return a.Y <= 0 }) {
			return false
		}
	}
	return true
}

// flow sets words after each other into lines of a width.
func flow(words []string, width int) (out []string) {
	line := ""
	for _, w := range words {
		w = cutColumns(w, width)
		switch {
		case line == "":
			line = w
		case len([]rune(line))+3+len([]rune(w)) <= width:
			line += "   " + w
		default:
			out, line = append(out, line), w
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// nearest gives the character of n along an axis at which a value stands, and whether it is on the plot.
func (s scale) nearest(v float64, n int) (int, bool) {
	f, half := s.at(v), 0.5/float64(n)
	return int(math.Round(f * float64(n-1))), f > -half && f < 1+half
}

func (t *terminal) col(v float64) (int, bool) { return t.x.nearest(v, t.cols) }

func (t *terminal) row(v float64) (int, bool) {
	r, ok := t.y.nearest(v, t.rows)
	return t.rows - 1 - r, ok
}

func (t *terminal) set(c, r int, sign rune) {
	if c >= 0 && c < t.cols && r >= 0 && r < t.rows {
		t.at[r][c] = sign
	}
}

// column sets a character in a column from one row to another.
func (t *terminal) column(c, from, to int, sign rune) {
	for r := min(from, to); r <= max(from, to); r++ {
		t.set(c, r, sign)
	}
}

// value gives what stands at the middle of a character.
func (t *terminal) value(c, r int) XY {
	return XY{t.x.value(float64(c) / float64(t.cols-1)), t.y.value(1 - float64(r)/float64(t.rows-1))}
}

// name says words near a character, later, when all is drawn.
func (t *terminal) name(text string, c, r int) {
	if text = plain.Line(text); text != "" {
		t.names = append(t.names, spoken{text, c, r})
	}
}

// explain says below what a character stands for, once.
func (t *terminal) explain(sign rune, text string) {
	if row := string(sign) + " " + plain.Line(text); text != "" && !slices.Contains(t.below, row) {
		t.below = append(t.below, row)
	}
}

// behind draws what all else lies over.
func (t *terminal) behind(l Layer) {
	switch l := l.(type) {
	case Band:
		t.band(l)
	case Hatched:
		for r := range t.rows {
			for c := range t.cols {
				if v := t.value(c, r); (c+r)%2 == 0 && l.in(v.X, v.Y) {
					t.set(c, r, t.hatch)
				}
			}
		}
		t.explain(t.hatch, l.Name)
	case Marker:
		t.marker(l)
	}
}

func (t *terminal) layer(l Layer) {
	switch l := l.(type) {
	case Line:
		t.stroke(l.At, l.Stroke)
		t.nameLine(l.Name, l.At)
		if n := len(l.At); n > 0 {
			t.nameAt(l.Begin, l.At[0])
			t.nameAt(l.End, l.At[n-1])
		}
	case Steps:
		t.steps(l)
		t.nameLine(l.Name, l.Path())
		if n := len(l.At); n > 0 {
			t.nameAt(l.Begin, l.At[0])
			t.nameAt(l.End, XY{l.At[n-1].X, l.At[max(n-2, 0)].Y})
		}
	case Bars:
		t.bars(l)
	case Riser:
		c, _ := t.col(l.X)
		from, _ := t.row(l.From)
		to, _ := t.row(l.To)
		t.column(c, from, to, t.mark)
		t.nameAt(l.Label, XY{l.X, l.To})
	case Contours:
		t.contours(l)
	case Remark:
		t.nameAt(l.Label, l.XY)
	}
}

func (t *terminal) nameAt(text string, at XY) {
	c, okc := t.col(at.X)
	r, okr := t.row(at.Y)
	if okc && okr {
		t.name(text, c, r)
	}
}

// nameLine names a line near its middle.
func (t *terminal) nameLine(text string, at []XY) {
	for k := range len(at) {
		i := len(at)/2 + (k+1)/2*(1-2*(k%2))
		if i >= 0 && i < len(at) {
			if _, ok := t.row(at[i].Y); ok && at[i].finite() {
				t.nameAt(text, at[i])
				return
			}
		}
	}
}

// readings go over everything.
func (t *terminal) readings(l Layer) {
	pts, ok := l.(Points)
	if !ok {
		return
	}
	sign := t.points[pts.Shape%(Plus+1)]
	for _, a := range pts.At {
		c, okc := t.col(a.X)
		r, okr := t.row(a.Y)
		if !okc || !okr {
			continue
		}
		mark := [...]rune{Exact: sign, Under: t.under, Over: t.over}[a.Censor]
		t.set(c, r, mark)
		t.name(a.Label, c, r)
		switch {
		case a.Censor != Exact:
			t.explain(mark, cmp.Or(pts.Name, "reading")+a.Censor.Words())
		case !pts.Quiet:
			t.explain(mark, pts.Name)
		}
	}
}

func (t *terminal) marker(l Marker) {
	if l.Vertical {
		c, ok := t.col(l.At)
		if !ok {
			return
		}
		for r := range t.rows {
			t.set(c, r, t.upright)
		}
		t.name(l.Label, c, 0)
		return
	}
	r, ok := t.row(l.At)
	if !ok {
		return
	}
	sign := [...]rune{Solid: t.along, Dashed: t.limit, Dotted: t.dotted}[l.Stroke]
	for c := range t.cols {
		t.set(c, r, sign)
	}
	t.name(l.Label, t.cols-1, r)
}

// stroke draws a line by small steps, so that steep parts stay joined. Where a terminal can, each
// character tells in which of its halves the line runs.
func (t *terminal) stroke(at []XY, s Stroke) {
	half := 1
	if t.halves && s == Solid {
		half = 2
	}
	tall := t.rows * half
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		x0, x1, y0, y1 := t.x.at(a.X), t.x.at(b.X), t.y.at(a.Y), t.y.at(b.Y)
		if math.IsNaN(x0 + x1 + y0 + y1) {
			continue
		}
		n := min(int(math.Max(math.Abs(x1-x0)*float64(t.cols), math.Abs(y1-y0)*float64(tall)))+1, 4*(t.cols+tall))
		for k := range n + 1 {
			f := float64(k) / float64(n)
			x, y := x0+f*(x1-x0), y0+f*(y1-y0)
			if x < 0 || x > 1 || y < 0 || y > 1 {
				continue
			}
			c := int(math.Round(x * float64(t.cols-1)))
			if half == 1 {
				t.set(c, t.rows-1-int(math.Round(y*float64(t.rows-1))), [...]rune{Solid: t.curve[0], Dashed: t.dashed, Dotted: t.dotted}[s])
				continue
			}
			step := int(math.Round((1-y)*float64(t.rows-1)*2 + 0.5)) // in halves from the top
			t.setHalf(c, step/2, step%2)
		}
	}
}

// setHalf fills the upper or lower half of a character.
func (t *terminal) setHalf(c, r, half int) {
	if c < 0 || c >= t.cols || r < 0 || r >= t.rows {
		return
	}
	sign, other := t.curve[1+half], t.curve[2-half]
	if now := t.at[r][c]; now == other || now == t.curve[0] {
		sign = t.curve[0]
	}
	t.at[r][c] = sign
}

func (t *terminal) band(l Band) {
	last := XY{math.NaN(), 0}
	for c := range t.cols {
		x := t.value(c, 0).X
		for i := 1; i < len(l.At); i++ {
			a, b := l.At[i-1], l.At[i]
			if x < a.X || x > b.X || b.X == a.X {
				continue
			}
			f := (x - a.X) / (b.X - a.X)
			lo, hi := t.y.at(a.Low+f*(b.Low-a.Low)), t.y.at(a.High+f*(b.High-a.High))
			if math.IsNaN(hi) {
				break
			}
			if math.IsNaN(lo) {
				lo = 0
			}
			for r := range t.rows {
				if g := 1 - float64(r)/float64(t.rows-1); g >= lo && g <= hi {
					t.set(c, r, t.glyphSet.band)
				}
			}
			if c < t.cols/3 {
				last = XY{x, a.High + f*(b.High-a.High)}
			}
			break
		}
	}
	if !math.IsNaN(last.X) {
		t.nameAt(l.Name, last)
	}
}

func (t *terminal) steps(l Steps) {
	sign := t.filled
	if !l.Filled {
		sign = [...]rune{Solid: t.open, Dashed: t.dashed, Dotted: t.dotted}[l.Stroke]
	}
	for i := 1; i < len(l.At); i++ {
		a, b := l.At[i-1], l.At[i]
		c0, _ := t.col(a.X)
		c1, _ := t.col(b.X)
		r, ok := t.row(a.Y)
		if !ok {
			continue
		}
		for c := max(c0, 0); c < min(max(c1, c0+1), t.cols) || c == c1 && i == len(l.At)-1 && c < t.cols; c++ {
			zero, ok := t.row(0)
			switch {
			case !l.Filled:
				zero = r
			case !ok:
				zero = t.rows - 1
			}
			t.column(c, r, zero, sign)
		}
	}
}

func (t *terminal) bars(l Bars) {
	sign := t.filled
	if l.Hatch {
		sign = t.hatch
	}
	for _, b := range l.At {
		c0, _ := t.col(b.X - l.width()/2)
		c1, _ := t.col(b.X + l.width()/2)
		r0, ok0 := t.row(b.Base)
		r1, ok1 := t.row(b.Y)
		if !ok0 {
			r0 = t.rows - 1
		}
		if !ok1 {
			continue
		}
		for c := max(c0, 0); c <= min(max(c1-1, c0), t.cols-1); c++ {
			t.column(c, r0, r1, sign)
		}
		if b.High > b.Low {
			c, _ := t.col(b.X)
			lo, _ := t.row(b.Low)
			hi, _ := t.row(b.High)
			t.column(c, hi, lo, t.spread)
			t.explain(t.spread, "range")
		}
	}
	t.explain(sign, l.Name)
}

func (t *terminal) contours(l Contours) {
	for i, level := range l.Levels {
		chains := l.Grid.contour(level)
		if len(chains) == 0 {
			continue
		}
		for _, c := range chains {
			for k := 1; k < len(c); k++ {
				t.trace(c[k-1], c[k], t.next)
			}
		}
		t.explain(t.next, strings.TrimSpace(l.Name+" "+l.level(i, t.comma)))
		if t.next++; t.next > 'Z' {
			t.next = 'A'
		}
	}
}

// trace sets a character along a straight line.
func (t *terminal) trace(a, b XY, sign rune) {
	x0, x1, y0, y1 := t.x.at(a.X), t.x.at(b.X), t.y.at(a.Y), t.y.at(b.Y)
	n := int(math.Max(math.Abs(x1-x0)*float64(t.cols), math.Abs(y1-y0)*float64(t.rows))) + 1
	for k := range n + 1 {
		f := float64(k) / float64(n)
		t.set(int(math.Round((x0+f*(x1-x0))*float64(t.cols-1))), t.rows-1-int(math.Round((y0+f*(y1-y0))*float64(t.rows-1))), sign)
	}
}

// write puts names on blank characters near what they name; what finds none is said below.
func (t *terminal) write() {
	const far = 14
	for _, n := range t.names {
		text := []rune(n.text)
		best, bestC, bestR := math.Inf(1), 0, 0
		for r := max(0, n.row-6); r < min(t.rows, n.row+7); r++ {
			for c := max(0, n.col-len(text)-far); c <= min(t.cols-len(text), n.col+far); c++ {
				off := max(c-n.col, n.col-c-len(text)+1, 0)
				cost := math.Abs(float64(off)-2) + 2.5*math.Abs(float64(r-n.row)) + either(c < n.col, 0.5, 0)
				if cost < best && t.blank(c, r, len(text)) {
					best, bestC, bestR = cost, c, r
				}
			}
		}
		if math.IsInf(best, 1) {
			t.below = append(t.below, n.text)
			continue
		}
		copy(t.at[bestR][bestC:], text)
	}
}

// blank tells whether characters of a row are free, with one to spare on either side.
func (t *terminal) blank(c, r, n int) bool {
	for k := c - 1; k <= c+n; k++ {
		if k >= 0 && k < t.cols && t.at[r][k] != ' ' {
			return false
		}
	}
	return c >= 0 && c+n <= t.cols
}

// framed is the plot with the numbers of y.
func (t *terminal) framed() (out []string) {
	ticks := map[int]string{}
	for _, k := range t.y.ticks {
		if r, ok := t.row(k.at); ok {
			ticks[r] = cutColumns(plain.Line(k.text), t.left)
		}
	}
	for _, l := range t.panel.Layers {
		if m, ok := l.(Marker); ok && !m.Vertical && m.Number != "" {
			if r, ok := t.row(m.At); ok && len([]rune(m.Number)) < t.left {
				ticks[r] = plain.Line(m.Number)
			}
		}
	}
	for r := range t.at {
		label := ticks[r]
		out = append(out, strings.TrimRight(strings.Repeat(" ", t.left-len([]rune(label)))+label+" "+string(t.at[r]), " "))
	}
	return out
}
