package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/templates/plain"
)

// strip is a row of characters under the plot.
type strip []rune

func (t *terminal) strip() strip { return strip(strings.Repeat(" ", t.left+1+t.cols+3)) }

// put writes words from a column on where all is blank, and tells whether they found room.
func (s strip) put(c int, text string) bool {
	r := []rune(text)
	if c < 0 || c+len(r) > len(s) {
		return false
	}
	for k := max(c-1, 0); k < min(c+len(r)+1, len(s)); k++ {
		if s[k] != ' ' {
			return false
		}
	}
	copy(s[c:], r)
	return true
}

// force writes a character whatever stands there.
func (s strip) force(c int, sign rune) {
	if c >= 0 && c < len(s) {
		s[c] = sign
	}
}

func (s strip) line() string { return strings.TrimRight(string(s), " ") }

// board is what stands on the board of x, the board, its numbers, and the row of jars.
func (t *terminal) board() []string {
	if len(t.panel.X.Labels) > 0 {
		return []string{t.ticks(nil).line()}
	}
	col := func(v float64) (int, bool) {
		c, ok := t.col(v)
		return t.left + 1 + c, ok
	}
	on, board, marks := t.strip(), t.strip(), map[int]bool{}
	const block = 3
	for c := range t.cols {
		board.force(t.left+1+c, [...]rune{t.black, t.white}[c/block%2])
	}
	for _, l := range t.panel.Layers {
		if i, ok := l.(Interval); ok {
			t.interval(i, on)
		}
	}
	for _, l := range t.panel.Layers {
		switch l := l.(type) {
		case Mark:
			if c, ok := col(l.At); ok {
				on.force(c, t.mark)
				board.force(c, t.mark)
				marks[c] = true
			}
		case Stops:
			for i, v := range l.At {
				if c, ok := col(v); ok {
					n := i + 1
					if i < len(l.Numbers) {
						n = l.Numbers[i]
					}
					board.force(c, []rune(strconv.Itoa(n))[0])
				}
			}
		}
	}
	var out []string
	if l := on.line(); l != "" {
		out = append(out, l)
	}
	numbers := t.ticks(marks)
	for c := range marks {
		numbers.force(c, t.mark)
	}
	out = append(out, board.line(), numbers.line())
	out = append(out, t.said()...)
	for _, l := range t.panel.Layers {
		if j, ok := l.(Jars); ok && len(j.At) > 0 {
			out = append(out, t.jars(j)...)
		}
	}
	return out
}

// ticks is the numbers of x, but those that marks cover.
func (t *terminal) ticks(marks map[int]bool) strip {
	s := t.strip()
	for c := range marks {
		s.force(c, t.mark)
	}
	for _, k := range t.x.ticks {
		if c, ok := t.col(k.at); ok {
			text := []rune(plain.Line(k.text))
			at := t.left + 1 + c - len(text)/2
			s.put(max(0, min(at, len(s)-len(text))), string(text))
		}
	}
	return s
}

// interval stands on the board.
func (t *terminal) interval(l Interval, s strip) {
	if t.x.at(l.Low) > 1 || t.x.at(l.High) < 0 {
		return
	}
	c0, low := t.col(math.Max(l.Low, t.x.lo))
	c1, high := t.col(math.Min(l.High, t.x.hi))
	for c := max(c0, 0); c <= min(c1, t.cols-1); c++ {
		s.force(t.left+1+c, t.along)
	}
	if low && l.Low >= t.x.lo {
		s.force(t.left+1+c0, t.from)
	}
	if high && l.High <= t.x.hi {
		s.force(t.left+1+c1, t.to)
	}
	if c, ok := t.col(l.At); ok {
		s.force(t.left+1+c, t.notch)
	}
}

// said is what the mark and the interval say, in one row or two.
func (t *terminal) said() []string {
	rows := []strip{t.strip(), t.strip(), t.strip()}
	put := func(text string, c int, before bool) {
		n := len([]rune(text))
		for _, s := range rows {
			for _, at := range [...]int{either(before, c-n+1, c), either(before, c, c-n+1), max(0, min(c-n/2, len(s)-n))} {
				if s.put(at, text) {
					return
				}
			}
		}
		t.below = append(t.below, text)
	}
	for _, l := range t.panel.Layers {
		if m, ok := l.(Mark); ok && m.Number != "" {
			if c, ok := t.col(m.At); ok {
				put(strings.TrimSpace(plain.Line(m.Number+" "+m.Label)), t.left+1+c, false)
			}
		}
	}
	for _, l := range t.panel.Layers {
		if i, ok := l.(Interval); ok && i.Label != "" {
			if c, ok := t.col(math.Max(t.x.lo, math.Min(t.x.hi, i.At))); ok {
				put(plain.Line(i.Label), t.left+1+c, true)
			}
		}
	}
	var out []string
	for _, s := range rows {
		if l := s.line(); l != "" {
			out = append(out, l)
		}
	}
	return out
}

func either[T any](holds bool, one, other T) T {
	if holds {
		return one
	}
	return other
}

// jars is the row of jars, each as near to its dose as its neighbours let it stand.
func (t *terminal) jars(row Jars) []string {
	list := slices.Clone(row.At)
	slices.SortStableFunc(list, func(a, b Jar) int { return cmp.Compare(a.X, b.X) })
	want, size := make([]float64, len(list)), make([]float64, len(list))
	for i, j := range list {
		c, _ := t.col(j.X)
		want[i] = float64(t.left + 1 + c)
		size[i] = float64(max(3, len([]rune(j.Label)), len([]rune(j.Under))) + 1)
	}
	body, floor, label, under := t.strip(), t.strip(), t.strip(), t.strip()
	if sum(size) > float64(len(body)) {
		return nil // more jars than the terminal is wide: the table has them
	}
	at := spread(want, size, 0, float64(len(body)))
	centre := func(s strip, i int, text string) { s.put(int(math.Round(at[i]))-len([]rune(text))/2, text) }
	for i, j := range list {
		side, bottom, water := t.jar[0], t.jar[1], " "
		if j.Empty {
			side, bottom = t.jar[2], t.jar[3]
		} else {
			steps := float64(len(t.tones))
			water = string(t.tones[min(len(t.tones)-1, int((1-math.Max(0, math.Min(1, j.Mud)))*steps))])
		}
		left, right := side, side
		if !j.Empty && t.halves {
			left, right = "└", "┘"
		}
		c := int(math.Round(at[i])) - 1
		for k, r := range []rune(side + water + side) {
			body.force(c+k, r)
		}
		for k, r := range []rune(left + bottom + right) {
			floor.force(c+k, r)
		}
		centre(label, i, plain.Line(j.Label))
		centre(under, i, plain.Line(j.Under))
	}
	braces := t.strip()
	for _, b := range row.Braces {
		first, last := math.Inf(1), math.Inf(-1)
		for i, j := range list {
			if j.X >= b.From-1e-9 && j.X <= b.To+1e-9 {
				first, last = math.Min(first, at[i]), math.Max(last, at[i])
			}
		}
		if first <= last {
			text := plain.Line(b.Label)
			braces.put(max(0, int((first+last)/2)-len([]rune(text))/2), text)
		}
	}
	out := []string{body.line(), floor.line()}
	for _, s := range []strip{label, under, braces} {
		if l := s.line(); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// stacks is lying bars, their parts told apart by their characters and named below.
func (t *terminal) stacks() (out []string) {
	xs, _ := t.panel.extent()
	t.panel.X.Zero = true
	t.left, t.cols = 0, t.width-4
	t.x = newScale(t.panel.X, xs, t.cols/11, t.comma)
	fills := append([]rune{t.filled, t.hatch, t.open, t.dotted, t.curve[0]}, []rune("abcdefghijklmnopqrstuvwxyz")...)
	for _, l := range t.panel.Layers {
		k, ok := l.(Stack)
		if !ok {
			continue
		}
		head, total := joinNote(plain.Line(k.Name), plain.Line(k.Note)), strings.TrimSpace(plain.Line(k.Total+"  "+k.Remark))
		room := t.width - len([]rune(total)) - 2
		head = cutColumns(head, room)
		out = append(out, strings.TrimRight(head+strings.Repeat(" ", max(1, room+1-len([]rune(head))))+total, " "))
		if k.High > k.Low {
			s := t.strip()
			t.interval(Interval{Low: k.Low, At: cmp.Or(k.Mid, math.NaN()), High: k.High}, s)
			if from, _ := t.col(k.Low); k.Range != "" && !s.put(from-len([]rune(k.Range)), plain.Line(k.Range)) {
				t.below = append(t.below, plain.Line(k.Range))
			}
			out = append(out, s.line())
		}
		bar, from := t.strip(), 0.0
		var parts []string
		for i, p := range k.Parts {
			sign := fills[i%len(fills)]
			c0, _ := t.col(from)
			from += p.Value
			c1, _ := t.col(from)
			for c := c0; c < max(c1, c0+1); c++ {
				bar.force(t.left+1+c, sign)
			}
			parts = append(parts, string(sign)+" "+plain.Line(p.Name+" "+p.Figure))
		}
		out = append(out, bar.line())
		for _, l := range flow(append(parts, t.below...), t.width-1) {
			out = append(out, " "+l)
		}
		t.below = nil
	}
	board := t.strip()
	for c := range t.cols {
		board.force(t.left+1+c, [...]rune{t.black, t.white}[c/3%2])
	}
	out = append(out, board.line(), t.ticks(nil).line())
	if n := plain.Line(t.panel.X.Label()); n != "" {
		out = append(out, " "+cutColumns(n, t.width-1))
	}
	return out
}
