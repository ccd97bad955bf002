package draw

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"jarwright/templates/plain"
)

// Text gives the drawing in plain characters, at most width columns wide, with a
// legend below. Each plot is height rows high. No colour is needed to read it.
func (d Drawing) Text(width, height int) []string {
	width, height = max(width, 40), max(height, 6)
	var out []string
	if d.Title != "" {
		out = append(out, cutColumns(plain.Line(d.Title), width))
	}
	legend := &keys{}
	for i, p := range d.Panels {
		if i > 0 {
			out = append(out, "")
		}
		out = append(out, p.text(width, height, d.DecimalComma, legend)...)
	}
	return append(out, legend.lines(width)...)
}

// keys collects the legend while plots are drawn.
type keys struct {
	rows []string
	next int
}

// add explains a character, once.
func (k *keys) add(mark, name string) {
	if name == "" {
		return
	}
	if row := mark + "  " + plain.Line(name); !slices.Contains(k.rows, row) {
		k.rows = append(k.rows, row)
	}
}

// letter gives the next free capital, for markers and contours.
func (k *keys) letter() byte {
	c := byte('A' + k.next%26)
	k.next++
	return c
}

func (k *keys) lines(width int) []string {
	var out []string
	line := ""
	for _, r := range k.rows {
		r = cutColumns(r, width-1)
		switch {
		case line == "":
			line = " " + r
		case utf8.RuneCountInString(line)+3+utf8.RuneCountInString(r) <= width:
			line += "   " + r
		default:
			out = append(out, line)
			line = " " + r
		}
	}
	if line != "" {
		out = append(out, line)
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

// pixels is a plot as characters.
type pixels struct {
	cols, rows int
	at         [][]byte
	x, y       scale
	comma      bool
}

// nearest gives the character of n along an axis at which a value stands, and whether it is on the plot.
func (s scale) nearest(v float64, n int) (int, bool) {
	f, half := s.at(v), 0.5/float64(n)
	return int(math.Round(f * float64(n-1))), f > -half && f < 1+half
}

func (p *pixels) col(v float64) (int, bool) { return p.x.nearest(v, p.cols) }

func (p *pixels) row(v float64) (int, bool) {
	r, ok := p.y.nearest(v, p.rows)
	return p.rows - 1 - r, ok
}

func (p *pixels) set(c, r int, b byte) {
	if c >= 0 && c < p.cols && r >= 0 && r < p.rows {
		p.at[r][c] = b
	}
}

// column sets a character in a column from one row to another.
func (p *pixels) column(c, from, to int, mark byte) {
	for r := min(from, to); r <= max(from, to); r++ {
		p.set(c, r, mark)
	}
}

// value gives what stands at the middle of a character.
func (p *pixels) value(c, r int) XY {
	return XY{p.x.value(float64(c) / float64(p.cols-1)), p.y.value(1 - float64(r)/float64(p.rows-1))}
}

func (p Panel) text(width, height int, comma bool, legend *keys) []string {
	xs, ys := p.extent()
	px := &pixels{rows: height, comma: comma, y: newScale(p.Y, ys, max(height/4, 2), comma)}
	left := 0
	for _, t := range px.y.ticks {
		left = max(left, utf8.RuneCountInString(plain.Line(t.text)))
	}
	left = min(left, width/3)
	px.cols = width - left - 3
	px.x = newScale(p.X, xs, px.cols/11, comma)
	px.at = make([][]byte, px.rows)
	for i := range px.at {
		px.at[i] = []byte(strings.Repeat(" ", px.cols))
	}
	for _, l := range p.Layers {
		px.layer(l, legend)
	}
	for _, l := range p.Layers { // points go over everything
		if pts, ok := l.(Points); ok {
			px.points(pts, legend)
		}
	}
	return px.frame(p, left, width)
}

// frame writes axes and ticks around the plot.
func (p *pixels) frame(panel Panel, left, width int) []string {
	var out []string
	if n := plain.Line(panel.Y.Label()); n != "" {
		out = append(out, cutColumns(n, width))
	}
	ticks := map[int]string{}
	for _, t := range p.y.ticks {
		if r, ok := p.row(t.at); ok {
			ticks[r] = cutColumns(plain.Line(t.text), left)
		}
	}
	for r := range p.at {
		label, side := ticks[r], " |"
		if label != "" {
			side = " +"
		}
		out = append(out, strings.TrimRight(strings.Repeat(" ", left-utf8.RuneCountInString(label))+label+side+string(p.at[r]), " "))
	}
	base := []byte(strings.Repeat("-", p.cols))
	names := []rune(strings.Repeat(" ", p.cols+left+2))
	free := 0
	for _, t := range p.x.ticks {
		c, ok := p.col(t.at)
		if !ok {
			continue
		}
		base[min(max(c, 0), p.cols-1)] = '+'
		text := []rune(plain.Line(t.text))
		from := min(left+2+c-len(text)/2, len(names)-len(text))
		if from >= free && from >= 0 {
			copy(names[from:], text)
			free = from + len(text) + 1
		}
	}
	out = append(out, strings.Repeat(" ", left)+" +"+string(base), strings.TrimRight(string(names), " "))
	if n := plain.Line(panel.X.Label()); n != "" {
		n = cutColumns(n, width)
		out = append(out, strings.Repeat(" ", max(0, (left+2+width-utf8.RuneCountInString(n))/2))+n)
	}
	return out
}

func (p *pixels) layer(l Layer, legend *keys) {
	mark := byte('#')
	switch l := l.(type) {
	case Band:
		mark = ':'
		p.band(l)
	case Hatched:
		mark = '/'
		for r := range p.rows {
			for c := range p.cols {
				if v := p.value(c, r); (c+r)%2 == 0 && l.in(v.X, v.Y) {
					p.set(c, r, mark)
				}
			}
		}
	case Line:
		mark = [...]byte{Solid: '*', Dashed: '-', Dotted: '.'}[l.Stroke]
		p.line(l.At, mark)
	case Steps:
		if !l.Filled {
			mark = '='
		}
		p.steps(l, mark)
	case Bars:
		if l.Hatch {
			mark = '%'
		}
		p.bars(l, mark)
		legend.add(string(mark), l.Name)
		if slices.ContainsFunc(l.At, func(b Bar) bool { return b.High > b.Low }) {
			legend.add("I", "range")
		}
		return
	case Contours:
		p.contours(l, legend)
		return
	case Marker:
		p.marker(l, legend)
	default: // points go over everything; jars and boards stand below
		return
	}
	legend.add(string(mark), l.name())
}

func (p *pixels) marker(l Marker, legend *keys) {
	c, r, ok := p.cols-1, 0, false // where its letter stands
	if l.Vertical {
		if c, ok = p.col(l.At); !ok {
			return
		}
		for k := range p.rows {
			if strings.IndexByte(" :-/", p.at[k][min(max(c, 0), p.cols-1)]) >= 0 {
				p.set(c, k, '|')
			}
		}
	} else {
		if r, ok = p.row(l.At); !ok {
			return
		}
		for k := range p.cols {
			if p.at[r][k] != '|' {
				p.set(k, r, '-')
			}
		}
	}
	if l.Label != "" {
		b := legend.letter()
		p.set(c, r, b)
		legend.add(string(b), l.Label)
	}
}

// line draws by stepping through columns, so that steep parts stay joined.
func (p *pixels) line(at []XY, mark byte) {
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		x0, x1, y0, y1 := p.x.at(a.X), p.x.at(b.X), p.y.at(a.Y), p.y.at(b.Y)
		if math.IsNaN(x0 + x1 + y0 + y1) {
			continue
		}
		n := int(math.Max(math.Abs(x1-x0)*float64(p.cols), math.Abs(y1-y0)*float64(p.rows))) + 1
		n = min(n, 4*(p.cols+p.rows))
		for k := range n + 1 {
			f := float64(k) / float64(n)
			x, y := x0+f*(x1-x0), y0+f*(y1-y0)
			if x < 0 || x > 1 || y < 0 || y > 1 {
				continue
			}
			p.set(int(math.Round(x*float64(p.cols-1))), p.rows-1-int(math.Round(y*float64(p.rows-1))), mark)
		}
	}
}

func (p *pixels) band(l Band) {
	for c := range p.cols {
		x := p.value(c, 0).X
		for i := 1; i < len(l.At); i++ {
			a, b := l.At[i-1], l.At[i]
			if x < a.X || x > b.X || b.X == a.X {
				continue
			}
			f := (x - a.X) / (b.X - a.X)
			lo, hi := p.y.at(a.Low+f*(b.Low-a.Low)), p.y.at(a.High+f*(b.High-a.High))
			if math.IsNaN(hi) {
				break
			}
			if math.IsNaN(lo) {
				lo = 0
			}
			for r := range p.rows {
				if g := 1 - float64(r)/float64(p.rows-1); g >= lo && g <= hi {
					p.set(c, r, ':')
				}
			}
			break
		}
	}
}

func (p *pixels) steps(l Steps, mark byte) {
	for i := 1; i < len(l.At); i++ {
		a, b := l.At[i-1], l.At[i]
		c0, _ := p.col(a.X)
		c1, _ := p.col(b.X)
		r, ok := p.row(a.Y)
		if !ok {
			continue
		}
		for c := max(c0, 0); c < min(max(c1, c0+1), p.cols) || c == c1 && i == len(l.At)-1 && c < p.cols; c++ {
			zero, ok := p.row(0)
			switch {
			case !l.Filled:
				zero = r
			case !ok:
				zero = p.rows - 1
			}
			p.column(c, r, zero, mark)
		}
	}
}

func (p *pixels) bars(l Bars, mark byte) {
	for _, b := range l.At {
		c0, _ := p.col(b.X - l.width()/2)
		c1, _ := p.col(b.X + l.width()/2)
		r0, ok0 := p.row(b.Base)
		r1, ok1 := p.row(b.Y)
		if !ok0 {
			r0 = p.rows - 1
		}
		if !ok1 {
			continue
		}
		for c := max(c0, 0); c <= min(max(c1-1, c0), p.cols-1); c++ {
			p.column(c, r0, r1, mark)
		}
		if b.High > b.Low {
			c, _ := p.col(b.X)
			lo, _ := p.row(b.Low)
			hi, _ := p.row(b.High)
			p.column(c, hi, lo, 'I')
		}
	}
}

func (p *pixels) contours(l Contours, legend *keys) {
	for i, level := range l.Levels {
		chains := l.Grid.contour(level)
		if len(chains) == 0 {
			continue
		}
		b := legend.letter()
		for _, c := range chains {
			p.line(c, b)
		}
		legend.add(string(b), strings.TrimSpace(l.Name+" "+l.level(i, p.comma)))
	}
}

func (p *pixels) points(l Points, legend *keys) {
	shape := [...]byte{Round: 'o', Square: 's', Triangle: 't', Diamond: 'd', Cross: 'x', Plus: '+'}[l.Shape%(Plus+1)]
	for _, a := range l.At {
		c, okc := p.col(a.X)
		r, okr := p.row(a.Y)
		if okc && okr {
			mark := [...]byte{Exact: shape, Under: 'v', Over: '^'}[a.Censor]
			p.set(c, r, mark)
			legend.add(string(mark), l.Name+a.Censor.Words())
		}
	}
}
