package draw

import (
	"math"

	"jarwright/templates/plain"
)

// stacks draws lying bars over one board, and gives where they end.
func (s *scene) stacks(p Panel, y float64) float64 {
	xs, _ := p.extent()
	right := 0.0
	for _, l := range p.Layers {
		if k, ok := l.(Stack); ok && !s.narrow() {
			right = math.Max(right, math.Max(TextWidth(plain.Told(k.Total), s.number*1.2, true), TextWidth(plain.Told(k.Remark), s.text, false))+14)
		}
	}
	p.X.Zero = true
	x := newScale(p.X, xs, int((s.width-right)/(5.5*s.text)), s.comma)
	// The board may reach under the words right of the bars, which end where the longest does.
	longest := 0.0
	for _, l := range p.Layers {
		if k, ok := l.(Stack); ok {
			longest = math.Max(longest, math.Max(k.whole(), 0))
		}
	}
	end := s.width - 0.5*TextWidth(x.ticks[len(x.ticks)-1].text, s.text, false) - 1
	if longest > 0 {
		end = math.Min(end, (s.width-right)/x.at(longest))
	}
	pl := &plot{s: s, p: p, x: x, box: box{x0: 1, x1: end, y1: y}, rules: 1, inside: s.narrow()}
	for _, l := range p.Layers {
		if k, ok := l.(Stack); ok {
			y = s.stack(k, pl, y) + 18
		}
	}
	pl.board = y
	s.strip(x, pl.box.x0, pl.box.x1, pl.board)
	return pl.named(pl.ticks(y+boardHigh, 1))
}

// stack draws one lying bar with its top at y and gives where it ends.
func (s *scene) stack(k Stack, p *plot, y float64) float64 {
	room := s.width - s.narrowTotal(k)
	head := label{lines: wrapped(k.Name, s.text+2, true, Ink, room)}
	if note := plain.Told(k.Note); note != "" {
		note := run{"  " + note, s.small, false, Muted}
		if w, _ := head.size(); len(head.lines) == 1 && w+note.wide() < room {
			head.lines[0] = append(head.lines[0], note)
		} else {
			head.lines = append(head.lines, wrapped(k.Note, s.small, false, Muted, room)...)
		}
	}
	w, h := head.size()
	if k.Name != "" {
		s.put(head, spot{at: XY{0, y}}, w, h)
	}
	if s.narrow() {
		total := label{lines: [][]run{styled(k.Total, s.number, true, Ink)}}
		if k.Remark != "" {
			total.lines = append(total.lines, styled(k.Remark, s.small, false, Ink))
		}
		tw, th := total.size()
		s.put(total, spot{at: XY{s.width, y}, ax: 1}, tw, th)
		h = math.Max(h, th)
	}
	y += h + 2
	if k.High > k.Low {
		y = s.over(k, p, y)
	}
	top, high := y+3, 3.3*s.text
	end := p.atX(k.whole())
	from := 0.0
	var small []pending
	for _, part := range k.Parts {
		x0, x1 := p.atX(from), p.atX(from+part.Value)
		from += part.Value
		fill, color := part.Tone.Tint(), Ink
		switch {
		case part.Open:
			fill = White
		case part.Tone == Mud || part.Tone == Doubt:
			fill, color = part.Tone.Hex(), White
		}
		b := box{x0, top, x1, top + high}
		s.items = append(s.items, stroke{at: b.corners(), color: Ink, width: 1, fill: fill})
		name, figure := plain.Told(part.Name), plain.Told(part.Figure)
		if math.Max(TextWidth(name, s.text, false), TextWidth(figure, s.text, true))+14 > x1-x0 {
			small = append(small, pending{part, (x0 + x1) / 2})
			continue
		}
		s.words(x0+8, top+1.45*s.text, "start", s.text, color, name)
		s.write(words{x: x0 + 8, y: top + 2.7*s.text, anchor: "start", size: s.text, bold: true, color: color, text: figure})
	}
	if !s.narrow() {
		s.write(words{x: end + 12, y: top + 0.45*high, anchor: "start", size: s.number * 1.2, bold: true, color: Ink, text: plain.Told(k.Total)})
		s.words(end+12, top+0.45*high+1.3*s.text, "start", s.text, Ink, plain.Told(k.Remark))
	}
	return s.below(small, top+high, p)
}

// narrowTotal is what the whole takes of the heading where there is no room right of the bar.
func (s *scene) narrowTotal(k Stack) float64 {
	if !s.narrow() {
		return 0
	}
	return math.Max(TextWidth(plain.Told(k.Total), s.number, true), TextWidth(plain.Told(k.Remark), s.small, false)) + 10
}

// pending is a part too short for its words, with its middle.
type pending struct {
	Part
	x float64
}

// below writes the parts too short for their words under the bar, a line from each to it.
func (s *scene) below(list []pending, y float64, p *plot) float64 {
	if len(list) == 0 {
		return y
	}
	x, bar := list[0].x-14, y
	var lines []label
	for _, q := range list {
		l := label{lines: [][]run{{{plain.Told(q.Name) + " ", s.text, false, Ink}, {plain.Told(q.Figure), s.text, true, Ink}}}}
		w, _ := l.size()
		x = math.Max(x, w)
		lines = append(lines, l)
	}
	after := x+4 > list[0].x // no room at the left: the words stand at the right
	if after {
		x = math.Min(list[len(list)-1].x+14, s.width)
	}
	for i := range list {
		q, l := list[i], lines[i]
		if after {
			q, l = list[len(list)-1-i], lines[len(list)-1-i]
		}
		w, h := l.size()
		mid := y + 6 + h/2
		ax, edge := 1.0, x+4
		if after {
			ax, edge = 0, x-4
		}
		if after && x+w > s.width { // neither side has room: below, at the left
			ax, x = 0, 0
			s.put(l, spot{at: XY{0, y + 6}}, w, h)
		} else {
			s.items = append(s.items, stroke{at: []XY{{edge, mid}, {q.x, mid}, {q.x, bar}}, color: Ink, width: 0.9})
			s.put(l, spot{at: XY{x, y + 6}, ax: ax}, w, h)
		}
		y += h
	}
	return y + 6
}

// over draws the range of the whole above the bar, and gives where it ends.
func (s *scene) over(k Stack, p *plot, y float64) float64 {
	blue := Doubt.Hex()
	x0, x1 := p.atX(k.Low), math.Min(p.atX(k.High), s.width-1)
	l := label{lines: [][]run{styled(k.Range, s.text, false, blue)}}
	w, h := l.size()
	mid := y + h/2
	switch {
	case x0-8-w >= 0:
		s.put(l, spot{at: XY{x0 - 8, y}, ax: 1}, w, h)
	case x1+8+w <= s.width:
		s.put(l, spot{at: XY{x1 + 8, y}}, w, h)
	default:
		l.lines = wrapped(k.Range, s.text, false, blue, s.width)
		w, h = l.size()
		s.put(l, spot{at: XY{0, y}}, w, h)
		mid = y + h + 6
	}
	s.line(x0, mid, x1, mid, blue, 4)
	for _, x := range [...]float64{x0, x1} {
		s.line(x, mid-5, x, mid+5, blue, 2)
	}
	if k.Mid > 0 {
		s.items = append(s.items, area{box{p.atX(k.Mid) - 1.4, mid - 3, p.atX(k.Mid) + 1.4, mid + 3}.corners(), Paper})
	}
	return math.Max(y+h, mid+6)
}
