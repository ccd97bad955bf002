package flow

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// amounts turns volumes into flows: a running total by its rise, the water of an
// interval by the interval's length. Which of the two a column is, its heading says
// or its course; where neither does, it is asked.
func (w *walk) amounts() error {
	const remedy = `head it "totaliser (m3)" or "volume each interval (m3)", or say so as log unit: "m3 totaliser", "m3 each interval"`
	c := w.course()
	counter, interval := w.head().says(counterSense), w.head().says(intervalSense)
	often := c.falls > 1 && (c.falls*4 > c.rises+c.falls || c.slight*2 > c.falls)
	switch {
	case interval && c.surely && c.rises > 20:
		return w.ask("counter-unclear", w.flow, "the heading speaks of the volume of an interval, but the column never falls", remedy)
	case counter && often && !interval:
		return w.ask("counter-unclear", w.flow,
			"the heading speaks of a running total, but the column falls in %d of %d steps", remedy, c.falls, c.rises+c.falls)
	case interval, often:
		w.intervals()
	case counter, c.surely, w.head().says(totalSense) && !c.long:
		w.total()
	default:
		return w.ask("counter-unclear", w.flow, "the column can be a running total or the volume of each interval", remedy)
	}
	return nil
}

// course is how a column of volumes goes on.
type course struct {
	rises, falls int
	slight       int     // falls to more than half, which no reset is
	steady       float64 // mean rise over the first value
	surely       bool    // a running total by its course alone
	long         bool    // steps of a day or more
}

func (w *walk) course() (c course) {
	points := slices.DeleteFunc(slices.Clone(w.log.points), func(p point) bool { return math.IsNaN(p.flow) })
	n := len(points)
	if n < 2 {
		return c
	}
	first, last := points[0].flow, points[n-1].flow
	c.long = points[1].at-points[0].at >= 20*3600e3
	c.steady = (last - first) / float64(n-1) / first
	for i, p := range points[1:] {
		before := points[i].flow
		switch {
		case p.flow > before:
			c.rises++
		case p.flow < before:
			c.falls++
			if p.flow > before/2 {
				c.slight++
			}
		}
	}
	// No volume of an interval rises fifty times on end, nor keeps to one in two hundred while it rises.
	if c.falls == 0 {
		c.surely = c.rises >= 50 || c.rises >= 1 && c.steady < 1.0/200 || c.rises >= 12 && last > 10*first
	} else {
		c.surely = c.rises > 50*c.falls && c.slight < 2
	}
	return c
}

// intervals takes each volume for the water since the row before; with even steps
// it stands from its own time on, as a flow does.
func (w *walk) intervals() {
	points := w.log.points
	steps := make([]int64, 0, len(points))
	for i := 1; i < len(points); i++ {
		steps = append(steps, points[i].at-points[i-1].at)
	}
	step := int64(3600e3)
	if len(steps) > 0 {
		slices.Sort(steps)
		step = steps[len(steps)/2]
	}
	even := 0
	for _, s := range steps {
		if s == step || s%step == 0 {
			even++
		}
	}
	if even*10 >= len(steps)*9 {
		for i := range points {
			points[i].flow /= float64(step) / ms
		}
		w.say(note.New(note.Info, "interval-volumes", "each number is the water of one interval of %s, not a running total",
			quantity.Time(float64(step)/ms)), cell(w.flow, 0))
		return
	}
	for i := range points {
		points[i].flow = math.NaN()
		if i+1 < len(points) {
			points[i].flow = points[i+1].flow / (float64(points[i+1].at-points[i].at) / ms)
		}
	}
	w.say(note.New(note.Caution, "interval-volumes",
		"each number is taken for the water since the row before, not for a running total; the steps are uneven"), cell(w.flow, 0))
}

// total turns counter readings (m3) into flows that stand until the next one.
func (w *walk) total() {
	w.glitches()
	l := &w.log
	resets := tally{}
	for i := range l.points {
		p := &l.points[i]
		next := math.NaN()
		if i+1 < len(l.points) {
			q := l.points[i+1]
			next = (q.flow - p.flow) / (float64(q.at-p.at) / ms)
		}
		if next < 0 {
			resets.add(w.flow, int(l.points[i+1].row), "")
			next = math.NaN()
		}
		p.flow = next
	}
	w.say(note.New(note.Info, "counter", "the column is a running total; flow is its rise between readings"), "")
	if resets.n > 0 {
		w.say(note.New(note.Caution, "counter-reset", "the running total falls %s; that step counts as a gap", count(resets.n,
			"once", "times")), resets.first())
	}
}

// glitches leaves out single readings of a counter from which it comes back.
func (w *walk) glitches() {
	p := w.log.points
	for i := 1; i < len(p); i++ {
		if !(p[i].flow < p[i-1].flow) {
			continue
		}
		bad := -1
		if i+1 < len(p) && p[i+1].flow >= p[i-1].flow {
			bad = i
		} else if i >= 2 && p[i].flow >= p[i-2].flow {
			bad = i - 1
		}
		if bad >= 0 {
			w.doubts.add(w.place, note.Fault("counter-glitch", "the running total jumps and comes back"), w.log.placeOf(p[bad].row).Cell)
			w.log.points = slices.Delete(p, bad, bad+1)
			p = w.log.points
			i = max(0, bad-1)
		}
	}
}
