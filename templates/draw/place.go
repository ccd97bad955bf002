package draw

import (
	"math"
	"slices"
)

// run is a piece of a line of words in one style.
type run struct {
	text  string
	size  float64
	bold  bool
	color string
}

func (r run) wide() float64 { return TextWidth(r.text, r.size, r.bold) }

// label is words that look for a place: at the first of its spots that costs least.
type label struct {
	lines [][]run
	spots []spot
}

// spot is a place for a label: where its box hangs from (share of its width and
// height), what taking it costs, and whether a thin line leads from them to
// what they name.
type spot struct {
	at     XY
	ax, ay float64
	cost   float64
	of     *XY  // what the words name, nil where they need not say it
	lead   bool // draw a line from them to it
}

const (
	lineHigh  = 1.25 // of a line of words, in sizes
	overWords = 0.95 // from its top to where the letters stand
	apart     = 2.0  // least distance of words from anything
	crossCost = 40.0 // of a curve under the words
	fillCost  = 14.0 // of a band under them
	ruleCost  = 16.0 // of a hairline through them
)

// size is the box that the label takes.
func (l label) size() (w, h float64) {
	for _, line := range l.lines {
		wide, high := lineSize(line)
		w, h = math.Max(w, wide), h+high
	}
	return w, h
}

func lineSize(line []run) (w, h float64) {
	for _, r := range line {
		w, h = w+r.wide(), math.Max(h, r.size*lineHigh)
	}
	return w, h
}

// place puts the label on the cheapest of its spots that is free within the room. It
// never covers other words, a reading or a mark; it gives false where it would have to.
func (s *scene) place(l label, room box) bool {
	w, h := l.size()
	best, least := spot{}, math.Inf(1)
	for _, p := range l.spots {
		if !p.at.finite() || p.cost >= least {
			continue
		}
		if p.lead { // words with a line to what they name may shift
			x := p.at.X - p.ax*w
			p.at.X += math.Max(0, room.x0-x) - math.Max(0, x+w-room.x1)
		}
		b := p.box(w, h)
		seen := b // the letters of the first line begin a little lower
		seen.y0 += 0.15 * h / float64(len(l.lines))
		if !room.holds(seen) || s.blocked(seen) {
			continue
		}
		cost := p.cost + s.crossing(b)
		if cost < least { // no part of it is below zero, and these are looked at one by one
			cost += s.ruled(b)
		}
		if cost >= least {
			continue
		}
		if slices.ContainsFunc(s.fills, func(f []XY) bool { return within(XY{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}, f) }) {
			cost += fillCost
		}
		if p.of != nil && cost < least {
			cost += s.obstructed(p.leader(b))
		}
		if cost < least {
			best, least = p, cost
		}
	}
	if math.IsInf(least, 1) {
		return false
	}
	s.put(l, best, w, h)
	return true
}

func (p spot) box(w, h float64) box {
	x, y := p.at.X-p.ax*w, p.at.Y-p.ay*h
	return box{x, y, x + w, y + h}
}

// leader is the line from the words to what they name.
func (p spot) leader(b box) []XY {
	from := XY{math.Max(b.x0, math.Min(b.x1, p.of.X)), math.Max(b.y0, math.Min(b.y1, p.of.Y))}
	if from.Y > b.y0 && from.Y < b.y1 {
		from.Y = (b.y0 + b.y1) / 2
	}
	return []XY{from, from.toward(*p.of, 0.94)}
}

// put writes the label there.
func (s *scene) put(l label, p spot, w, h float64) {
	b := p.box(w, h)
	if p.lead {
		s.items = append(s.items, stroke{at: p.leader(b), color: l.lines[0][0].color, width: 0.9})
	}
	y := b.y0
	for _, line := range l.lines {
		wide, high := lineSize(line)
		w := words{x: b.x0 + p.ax*(b.x1-b.x0), y: y + overWords*high/lineHigh, anchor: "start", size: line[0].size, bold: line[0].bold, color: line[0].color,
			text: line[0].text, halo: true, more: line[1:]}
		switch { // another face may be narrower: words hang from the side that matters
		case p.ax == 1:
			w.anchor = "end"
		case p.ax == 0.5:
			w.anchor = "middle"
		default:
			w.x = b.x0 + p.ax*(b.x1-b.x0-wide)
		}
		s.write(w)
		y += high
	}
}

// blocked tells whether words in the box would cover what must be seen.
func (s *scene) blocked(b box) bool {
	wide := box{b.x0 - apart, b.y0 - apart/2, b.x1 + apart, b.y1 + apart/2}
	for _, t := range s.taken {
		if wide.meets(t) {
			return true
		}
	}
	return false
}

// crossing is what the curves under a box cost.
func (s *scene) crossing(b box) (cost float64) {
	for _, line := range s.curves {
		under := 0.0
		for i := 1; i < len(line); i++ {
			p, q := line[i-1], line[i]
			if math.Max(p.X, q.X) < b.x0 || math.Min(p.X, q.X) > b.x1 || math.Max(p.Y, q.Y) < b.y0 || math.Min(p.Y, q.Y) > b.y1 {
				continue
			}
			if p, q, ok := cutSegment(p, q, b); ok {
				under += math.Hypot(q.X-p.X, q.Y-p.Y)
			}
		}
		if under > 0 {
			cost += crossCost + 2*under
		}
	}
	return cost
}

// ruled is what hairlines through the letters cost: between two words they read as hyphens.
func (s *scene) ruled(b box) (cost float64) {
	high := b.y1 - b.y0
	letters := box{b.x0, b.y0 + 0.2*high, b.x1, b.y1 - 0.15*high}
	for _, it := range s.items {
		if l, ok := it.(stroke); ok && l.color == Rule && l.at[0].Y == l.at[len(l.at)-1].Y && len(cutLine(l.at, letters)) > 0 {
			cost += ruleCost
		}
	}
	return cost
}

// within tells whether a place lies in a polygon: a line from it crosses the edge an odd number of times.
func within(p XY, at []XY) (in bool) {
	for i, a := range at {
		b := at[(i+len(at)-1)%len(at)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// obstructed is what other words and curves between words and what they name cost.
func (s *scene) obstructed(line []XY) (cost float64) {
	for _, t := range s.taken {
		if len(cutLine(line, t)) > 0 {
			cost += crossCost
		}
	}
	for _, c := range s.curves {
		for i := 1; i < len(c); i++ {
			if cross(line[0], line[1], c[i-1], c[i]) {
				cost += crossCost
				break
			}
		}
	}
	return cost
}

// cross tells whether two straight pieces cross.
func cross(a, b, c, d XY) bool {
	side := func(p, q, r XY) bool { return (q.X-p.X)*(r.Y-p.Y) > (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

func (b box) meets(o box) bool { return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 }

func (b box) holds(o box) bool { return b.x0 <= o.x0 && b.y0 <= o.y0 && b.x1 >= o.x1 && b.y1 >= o.y1 }

func (b box) grown(d float64) box { return box{b.x0 - d, b.y0 - d, b.x1 + d, b.y1 + d} }

// sides are the eight sides of a place: the way there, and by which part words hang.
var sides = [...][4]float64{{1, -1, 0, 1}, {1, 1, 0, 0}, {-1, -1, 1, 1}, {-1, 1, 1, 0}, {0, -1, 0.5, 1}, {0, 1, 0.5, 0}, {1, 0, 0, 0.5}, {-1, 0, 1, 0.5}}

// around gives spots beside a place, near ones first, with a leader from far ones.
func around(at XY, gap, cost float64) (out []spot) {
	for _, far := range [...]float64{gap, gap + 10, gap + 22, gap + 38, gap + 58} {
		for k, d := range sides {
			step := far
			if d[0]*d[1] != 0 {
				step *= 0.75
			}
			out = append(out, spot{at: XY{at.X + d[0]*step, at.Y + d[1]*step}, ax: d[2], ay: d[3], cost: cost + far + float64(k)*0.3,
				of: &at, lead: far > gap+10})
		}
	}
	return out
}

// along gives spots beside a line, dearer towards its ends.
func along(line []XY, gap float64) (out []spot) {
	const stations = 14
	whole := length(line)
	for k := 1; k < stations; k++ {
		share := float64(k) / stations
		out = append(out, around(at(line, share*whole), gap, 14*math.Abs(share-0.4))...)
	}
	return out
}

// at is the place that far along a line.
func at(line []XY, far float64) XY {
	for i := 1; i < len(line); i++ {
		d := math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
		if d >= far && d > 0 {
			return line[i-1].toward(line[i], far/d)
		}
		far -= d
	}
	return line[len(line)-1]
}
