package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// Drawing shows the day on one board: the jobs of the list, what each pump feeds where
// that changes, and what stands in tanks and bin.
func (p Plan) Drawing(o Options) draw.Drawing {
	d := o.drawing(joined(" at ", "The day", p.Site), "")
	if len(p.Hours) == 0 {
		return d
	}
	d.Multiples = true
	from, to := clockOn(p, 0), clockOn(p, len(p.Hours))
	clock := draw.Axis{Name: "clock", Clock: true, Step: 3, Least: &from, Most: &to}
	add := func(y draw.Axis, layers ...draw.Layer) {
		d.Panels = append(d.Panels, draw.Panel{X: clock, Y: y, Layers: layers, High: lowPanel})
	}
	var words []string
	for k, f := range p.Feeds {
		if !f.Fed {
			continue
		}
		words = append(words, fmt.Sprintf("%s is fed at %s on average.", upperFirst(f.Name), o.Show(rate("", f.Rate, 3).In(figure.Full))))
		if steps, even := p.feedSteps(o, k); !even || f.Tank == nil {
			add(draw.Axis{Name: f.Name + " feed", Unit: unitOf(quantity.FeedRate(1), o), Zero: true}, steps)
		}
		if level, fills := p.levelOf(o, k); len(level.At) > 0 {
			add(draw.Axis{Name: f.Tank.Name, Unit: tankUnit(o), Zero: true}, append(fills, level)...)
		}
	}
	if contents, ok := p.binCourse(o); ok {
		room := p.Solids.Bin.Room()
		full := draw.Marker{Label: o.Say("full at %s", litres("", room, 3)), At: room.In(tankUnit(o)), Stroke: draw.Dashed, Tone: draw.Limit}
		add(draw.Axis{Name: p.Solids.Bin.Name, Unit: tankUnit(o), Zero: true}, contents, full)
	}
	if times := p.jobTimes(); len(times) > 0 && len(d.Panels) > 0 {
		stops := draw.Stops{}
		var clocks []string
		for _, t := range times {
			stops.At = append(stops.At, float64(t))
			clocks = append(clocks, clockOf(t))
		}
		d.Panels[0].Layers = append(d.Panels[0].Layers, stops)
		d.Title = "Be there at " + listed(clocks)
		if len(clocks) > mostClocks {
			d.Title = fmt.Sprintf("Be there %d times, first at %s, last at %s", len(clocks), clocks[0], clocks[len(clocks)-1])
		}
	}
	d.Description = strings.Join(words, " ")
	return d
}

// mostClocks is how many times of the clock a title names.
const mostClocks = 6

// clockOn gives the beginning of a row in hours that never fall back, so that a
// day that begins at six runs on to thirty.
func clockOn(p Plan, i int) float64 { return float64(p.Hours[0].From) + float64(i) }

// within brings a time of the clock into the picture's day.
func (p Plan) within(t quantity.Time) float64 {
	from := clockOn(p, 0)
	return from + math.Mod(math.Mod(float64(t)-from, 24)+24, 24)
}

// listsJobs reports that the day has a list of jobs: the setting of a single pump stands above by itself.
func (p Plan) listsJobs() bool {
	return len(p.todo) > 0 && (len(p.Feeds) > 1 || len(p.todo) > 1 || slices.ContainsFunc(p.todo, func(t dosing.Task) bool { return t.Kind == dosing.FeedByHand }))
}

// jobTimes are when somebody has to do something, each once and in order.
func (p Plan) jobTimes() (out []quantity.Time) {
	if !p.listsJobs() { // a mark would be a number of nothing
		return nil
	}
	for _, k := range p.todo {
		if k.Kind != dosing.Stands {
			out = append(out, quantity.Time(p.within(k.At)))
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, sameTime)
}

// sameTime is within half a minute.
func sameTime(a, b quantity.Time) bool { return math.Abs(float64(a-b)) < 1.0/120 }

// jobNumbers are the numbers on the day's board of the tasks of the list, 0 for what is not on it.
func (p Plan) jobNumbers() []int {
	if len(p.Hours) == 0 {
		return nil
	}
	times, out := p.jobTimes(), make([]int, len(p.todo))
	for i, k := range p.todo {
		if k.Kind != dosing.Stands {
			at := quantity.Time(p.within(k.At))
			out[i] = 1 + slices.IndexFunc(times, func(t quantity.Time) bool { return sameTime(t, at) })
		}
	}
	return out
}

// feedSteps is what a pump feeds by the hour, and whether that is the same all day.
func (p Plan) feedSteps(o Options, k int) (s draw.Steps, even bool) {
	s, even = draw.Steps{Filled: true}, true
	for i, h := range p.Hours {
		v, _ := h.Feeds[k].Rate.Show(o.Units)
		s.At = append(s.At, draw.XY{X: clockOn(p, i), Y: v})
		even = even && v == s.At[0].Y
	}
	s.At = append(s.At, draw.XY{X: clockOn(p, len(p.Hours))})
	return s, even
}

// levelOf is what stands in the tank of a feed through the day: down with what is drawn, up where stock comes in.
func (p Plan) levelOf(o Options, k int) (l draw.Line, fills []draw.Layer) {
	in := func(v quantity.Volume) float64 { return v.In(tankUnit(o)) }
	l.Filled = true
	for i, h := range p.Hours {
		if h.Feeds[k].HasLevel {
			l.At = append(l.At, draw.XY{X: clockOn(p, i) + 1, Y: in(h.Feeds[k].Level)})
		}
	}
	if len(l.At) == 0 {
		return l, nil
	}
	for _, t := range p.todo {
		if b := t.Batch; t.Feed == k && b.Full > 0 && (t.Kind == dosing.MoveStock || t.Kind == dosing.ChangeDrum || t.Kind == dosing.MakeUp && b.Moved <= b.Made+1e-6) {
			x := p.within(b.Moved)
			l.At = append(l.At, draw.XY{X: x, Y: in(b.Left)}, draw.XY{X: x, Y: in(b.Full)})
			fills = append(fills, draw.Riser{Label: o.Show(litres("", b.Volume, 3)), X: x, From: in(b.Left), To: in(b.Full)})
		}
	}
	slices.SortStableFunc(l.At, func(a, b draw.XY) int { return cmp.Compare(a.X, b.X) })
	if v, ok := p.Level(p.Feeds[k], p.Hours[0].From); ok {
		l.At = slices.Insert(l.At, 0, draw.XY{X: clockOn(p, 0), Y: in(v)})
	}
	l.End = o.style().Number(tankLevel(litres("", p.Hours[len(p.Hours)-1].Feeds[k].Level, 3), o))
	return l, fills
}

// binCourse is what stands in the bin through the day; nothing where none is known, or it is emptied too often to draw.
func (p Plan) binCourse(o Options) (l draw.Line, ok bool) {
	s := p.Solids
	if s == nil || s.Bin == nil || p.Running <= 0 || s.Volume.Likely <= 0 {
		return l, false
	}
	begin, end := clockOn(p, 0), clockOn(p, len(p.Hours))
	in := func(v quantity.Volume) float64 { return v.In(tankUnit(o)) }
	// until the unit begins nothing comes in
	comes := func(from, to float64) quantity.Volume {
		starts := float64(p.UnitBegins())
		return s.Load.Between(p.Day, quantity.Time(max(from, starts)), quantity.Time(max(to, starts)))
	}
	var emptied []dosing.Task
	for _, k := range p.todo {
		if k.Kind == dosing.EmptyBin {
			emptied = append(emptied, k)
		}
	}
	if slices.ContainsFunc(emptied, func(k dosing.Task) bool { return k.Every > 0 }) {
		return l, false
	}
	slices.SortFunc(emptied, func(a, b dosing.Task) int { return cmp.Compare(p.within(a.At), p.within(b.At)) })
	now, at := s.Bin.Now, begin
	if len(emptied) > 0 {
		now = max(0, emptied[0].Emptying.Contents-comes(begin, p.within(emptied[0].At)))
	}
	add := func(to float64) {
		for x := at; x < to; x = math.Floor(x+1e-9) + 1 {
			l.At = append(l.At, draw.XY{X: x, Y: in(now + comes(at, x))})
		}
		now += comes(at, to)
		at = to
		l.At = append(l.At, draw.XY{X: to, Y: in(now)})
	}
	for _, k := range emptied {
		add(p.within(k.At))
		now = 0
		l.At = append(l.At, draw.XY{X: at})
	}
	add(end)
	l.Filled, l.End = true, o.style().Number(tankLevel(litres("", now, 3), o))
	return l, true
}

// tankUnit is the unit of all tank levels, whatever their size.
func tankUnit(o Options) string { return either(o.Units == quantity.US, "gal", "L") }
