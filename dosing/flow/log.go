package flow

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// point is one reading of a flow meter, packed for a year of minutes: milliseconds,
// m3/h, table row. It stands until the next one; where that is further off than the
// log's hold time, it stands for one usual step.
// A missing reading has NaN as flow.
type point struct {
	at   int64
	flow float64
	row  int32
}

// Gap is a stretch of the log without reading.
type Gap struct {
	From, To time.Time
	// Place is the row after which the readings stop.
	Place note.Place
}

// Length gives how long the gap is.
func (g Gap) Length() quantity.Time { return quantity.Time(g.To.Sub(g.From).Hours()) }

// Log is a meter's record: readings in order of time.
type Log struct {
	Place  note.Place // file and sheet
	points []point
	hold   int64 // ms
	step   int64 // median step, ms
	gaps   []Gap
	column string // letter of the flow column
	// Notes tell what was inferred, left out or doubtful.
	Notes note.List
}

const ms = 3600e3 // milliseconds in an hour

func wall(at int64) time.Time { return time.UnixMilli(at).UTC() }

// span gives how long point i stands, in hours; zero for a missing reading.
func (l Log) span(i int) float64 {
	if math.IsNaN(l.points[i].flow) {
		return 0
	}
	if i+1 < len(l.points) {
		if d := l.points[i+1].at - l.points[i].at; d <= l.hold {
			return float64(d) / ms
		}
	}
	return float64(min(l.step, l.hold)) / ms
}

// finish sorts out hold time and gaps once all points are there.
func (l *Log) finish() {
	n := len(l.points)
	if n == 1 {
		l.step, l.hold = 3600e3, 3600e3
		return
	}
	steps := make([]int64, n-1)
	for i := range steps {
		steps[i] = l.points[i+1].at - l.points[i].at
	}
	slices.Sort(steps)
	l.step = steps[len(steps)/2]
	if l.hold == 0 {
		// A reading stands for three usual steps; a meter that writes only changes
		// has uneven steps, so twice the step that nineteen in twenty keep to counts too.
		l.hold = 3 * l.step
		if len(steps) >= 40 {
			l.hold = max(l.hold, 2*steps[len(steps)*19/20])
		}
	}
	for i := 1; i < n; i++ {
		from := l.points[i-1].at + int64(math.Round(l.span(i-1)*ms))
		if to := l.points[i].at; to > from {
			if k := len(l.gaps); k > 0 && l.gaps[k-1].To.Equal(wall(from)) {
				l.gaps[k-1].To = wall(to)
				continue
			}
			l.gaps = append(l.gaps, Gap{wall(from), wall(to), l.placeOf(l.points[i-1].row)})
		}
	}
}

func (l Log) placeOf(row int32) note.Place {
	p := l.Place
	p.Cell = fmt.Sprintf("%s%d", l.column, row)
	return p
}

// Peak gives the highest flow.
func (l Log) Peak() quantity.Flow { _, peak := l.extremes(); return peak }

// Least gives the lowest flow above zero.
func (l Log) Least() quantity.Flow { least, _ := l.extremes(); return least }

func (l Log) extremes() (least, peak quantity.Flow) {
	for _, p := range l.points {
		if f := quantity.Flow(p.flow); f > 0 {
			least, peak = cmp.Or(min(least, f), f), max(peak, f)
		}
	}
	return least, peak
}

// Date is the water of one calendar day of the log.
type Date struct {
	Date    time.Time
	Volume  quantity.Volume // as read, gaps left out
	Covered quantity.Time
	// Usual is what the log's average day has in the hours that are covered.
	Usual quantity.Volume
	Peak  quantity.Flow
}

// Dates lists the calendar days of the log in order.
func (l Log) Dates() []Date {
	var volume, seen [24]float64
	clock := func(at int64) int { return int(floorMod(at, 24*3600e3) / 3600e3) }
	l.each(func(at int64, hours, flow float64) {
		volume[clock(at)] += flow * hours
		seen[clock(at)] += hours
	})
	var out []Date
	l.each(func(at int64, hours, flow float64) {
		day := at - floorMod(at, 24*3600e3)
		if len(out) == 0 || !out[len(out)-1].Date.Equal(wall(day)) {
			out = append(out, Date{Date: wall(day)})
		}
		d, h := &out[len(out)-1], clock(at)
		d.Volume += quantity.Volume(flow * hours * 1000)
		d.Usual += quantity.Volume(volume[h] / seen[h] * hours * 1000)
		d.Covered += quantity.Time(hours)
		d.Peak = max(d.Peak, quantity.Flow(flow))
	})
	return out
}

// each calls f for every reading, cut at full hours: start, hours, flow.
func (l Log) each(f func(at int64, hours, flow float64)) {
	for i, p := range l.points {
		left := int64(math.Round(l.span(i) * ms))
		for at := p.at; left > 0; {
			part := min(left, 3600e3-floorMod(at, 3600e3))
			f(at, float64(part)/ms, p.flow)
			at += part
			left -= part
		}
	}
}

func floorMod(a, m int64) int64 { return ((a % m) + m) % m }

// Day gives the average day of the log: for each clock hour the mean flow while
// water flows and the share of the hour that it does, over all days. Peak and
// Least stay those of the readings. An operating hour that the log never saw is
// an error; an hour that some days lack is not.
func (l Log) Day(hours Hours) (Day, error) {
	var volume, running, seen [24]float64
	var inside, outside float64
	l.each(func(at int64, h, flow float64) {
		hour := int(floorMod(at, 24*3600e3) / 3600e3)
		if !hours.Covers(quantity.Time(hour)) && !hours.Covers(quantity.Time(float64(hour)+0.999)) {
			outside += flow * h
			return
		}
		inside += flow * h
		seen[hour] += h
		if flow > 0 {
			volume[hour] += flow * h
			running[hour] += h
		}
	})
	var segments []Segment
	var errs note.List
	for h := range 24 {
		for _, s := range hours.spans() {
			from, to := max(s.From, quantity.Time(h)), min(s.To, quantity.Time(h+1))
			if to <= from {
				continue
			}
			if seen[h] == 0 {
				errs.Add(note.Fault("hour-without-flow", "no reading between %s and %s on any day%s", Clock(from), Clock(to), l.leftOut()).
					Do("add readings for that hour, or give operating hours without it").At(l.missingPlace(h)))
				continue
			}
			if running[h] == 0 {
				continue
			}
			length := quantity.Time(running[h]/seen[h]) * (to - from)
			segments = append(segments, Segment{Span{from, from + length}, quantity.Flow(volume[h] / running[h])})
		}
	}
	if len(errs) > 0 {
		return Day{}, errs
	}
	if inside+outside <= 0 {
		return Day{}, note.Fault("no-flow", "the log has no flow above zero").Do("check the flow column and its unit").At(l.Place)
	}
	d, err := FromSegments(segments)
	if err != nil {
		return Day{}, err
	}
	d = d.WithRange(l.Least(), l.Peak())
	d.low, d.high = 1, 1
	l.each(func(at int64, _, flow float64) {
		if h := int(floorMod(at, 24*3600e3) / 3600e3); flow > 0 && running[h] > 0 {
			of := quantity.Fraction(flow * running[h] / volume[h])
			d.low, d.high = min(d.low, of), max(d.high, of)
		}
	})
	return d, nil
}

// rejecting are the notes on readings that were left out.
var rejecting = []string{"negative-flow", "flow-spike", "counter-reset", "counter-glitch"}

// leftOut tells which readings were left out and why, where an hour has none for it.
func (l Log) leftOut() string {
	var out strings.Builder
	for _, n := range l.Notes {
		if slices.Contains(rejecting, n.Code) {
			fmt.Fprintf(&out, "; %s (%s)", n.Message, n.Cell)
		}
	}
	return out.String()
}

// missingPlace is the row before a gap that holds that clock hour.
func (l Log) missingPlace(hour int) note.Place {
	for _, g := range l.gaps {
		for t := g.From; t.Before(g.To); t = t.Add(30 * time.Minute) {
			if t.Hour() == hour {
				return g.Place
			}
		}
	}
	if n := len(l.points); n > 0 {
		return l.placeOf(l.points[n-1].row)
	}
	return l.Place
}
