// Package flow describes the water that is treated: at one flow, by the hour, or
// as a meter logged it. A [Day] is what a plan is made for; a [Log] is read from
// a meter's table and gives the average day, the busiest day, and the range.
//
// Clock times are hours after midnight, from 0 to 24.
package flow

import (
	"iter"
	"math"
	"slices"
	"sort"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Span is a part of the day, From included, To not.
type Span struct{ From, To quantity.Time }

// Length gives how long the span is.
func (s Span) Length() quantity.Time { return s.To - s.From }

// Segment is a part of the day with one flow.
type Segment struct {
	Span
	Flow quantity.Flow
}

// Volume gives the water of the segment.
func (s Segment) Volume() quantity.Volume {
	return quantity.Volume(float64(s.Flow) * float64(s.Length()) * 1000)
}

// Day is the flow over one day: segments in order that do not overlap. Time that
// no segment covers is idle. The zero value is a day without water.
type Day struct {
	segments []Segment
	// peak and least are wider than the segments where a log gave hourly averages.
	peak, least quantity.Flow
	// low and high are how far single readings of a log fall below and rise above the
	// average of their hour, as shares of it; zero without a log.
	low, high quantity.Fraction
}

// Constant gives a day at one flow during the operating hours.
func Constant(f quantity.Flow, hours Hours) (Day, error) {
	return ByHour([]Step{{Flow: f}}, hours)
}

// Step is a row of a flow table: the flow from that clock time on.
type Step struct {
	From quantity.Time
	Flow quantity.Flow
	At   note.Place
}

// ByHour gives a day from a flow table. Each row stands until the next one; the
// last stands over midnight until the first. Rows may come in any order and at
// any clock time; operating hours cut what lies outside them.
func ByHour(steps []Step, hours Hours) (Day, error) {
	var errs note.List
	rows := append([]Step(nil), steps...)
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].From < rows[j].From })
	for i, r := range rows {
		switch {
		case !quantity.Finite(r.Flow) || r.Flow < 0:
			errs.Add(note.Fault("negative-flow", "the flow at %s is %s", Clock(r.From), r.Flow).Do("a flow is zero or more").At(r.At))
		case r.From < 0 || r.From >= 24 || math.IsNaN(float64(r.From)):
			errs.Add(note.Fault("bad-hour", "hour %s is outside the day", quantity.Full(quantity.Number(r.From), 4)).
				Do("hours run from 0:00 to 23:59").At(r.At))
		case i > 0 && rows[i-1].From == r.From:
			errs.Add(note.Fault("hour-twice", "%s stands twice in the flow table", Clock(r.From)).
				Do("leave one of the two rows out").At(r.At))
		}
	}
	if len(rows) == 0 {
		errs.Add(note.Fault("no-flow", "no flow is given").Do(`give one flow, such as "3.6 m3/h", a table by hour or a meter log`))
	}
	if err := errs.Err(); err != nil {
		return Day{}, err
	}
	var d Day
	add := func(from, to quantity.Time, f quantity.Flow) {
		for _, h := range hours.spans() {
			if a, b := max(from, h.From), min(to, h.To); b > a {
				d.segments = append(d.segments, Segment{Span{a, b}, f})
			}
		}
	}
	last := rows[len(rows)-1].Flow
	add(0, rows[0].From, last)
	for i, r := range rows {
		to := quantity.Time(24)
		if i+1 < len(rows) {
			to = rows[i+1].From
		}
		add(r.From, to, r.Flow)
	}
	d.bound()
	return d, nil
}

// FromSegments gives a day of these segments, which must not overlap.
func FromSegments(segments []Segment) (Day, error) {
	s := append([]Segment(nil), segments...)
	sort.SliceStable(s, func(i, j int) bool { return s[i].From < s[j].From })
	for i, x := range s {
		bad := x.From < 0 || x.To > 24 || x.To < x.From || x.Flow < 0 || !quantity.Finite(x.Flow)
		if bad || i > 0 && x.From < s[i-1].To-1e-9 {
			return Day{}, note.Fault("bad-segment", "flow %s from %s to %s does not fit the day", x.Flow, Clock(x.From), Clock(x.To)).
				Do("hours from 0 to 24 that do not overlap, flow zero or more")
		}
	}
	d := Day{segments: s}
	d.bound()
	return d, nil
}

// bound sets peak and least from the segments.
func (d *Day) bound() {
	d.peak, d.least = 0, 0
	for _, s := range d.segments {
		if s.Flow > 0 && s.Length() > 0 {
			d.peak = max(d.peak, s.Flow)
			if d.least == 0 || s.Flow < d.least {
				d.least = s.Flow
			}
		}
	}
}

// WithRange gives the same day with a wider range of flow, such as the highest
// and lowest reading behind an hourly average. A narrower range changes nothing.
func (d Day) WithRange(least, peak quantity.Flow) Day {
	d.peak = max(d.peak, peak)
	if least > 0 {
		d.least = min(d.least, least)
	}
	return d
}

// Swing gives the flow that may be met in an hour, as shares of the hour's own: as a log
// read it, else the ends of the day's range beside its lowest and highest hour.
func (d Day) Swing() (low, high quantity.Fraction, logged bool) {
	if d.low > 0 {
		return d.low, d.high, true
	}
	hours := Day{segments: d.segments}
	if hours.bound(); hours.least <= 0 {
		return 1, 1, false
	}
	return quantity.Fraction(d.least / hours.least), quantity.Fraction(d.peak / hours.peak), false
}

// Segments lists the parts of the day in order.
func (d Day) Segments() []Segment { return append([]Segment(nil), d.segments...) }

// All goes through the parts of the day in order.
func (d Day) All() iter.Seq[Segment] { return slices.Values(d.segments) }

// Volume gives the water of the whole day.
func (d Day) Volume() quantity.Volume { return d.Between(0, 24) }

// Between gives the water that passes between two clock times of the day.
func (d Day) Between(from, to quantity.Time) quantity.Volume {
	var v quantity.Volume
	for _, s := range d.segments {
		if a, b := max(from, s.From), min(to, s.To); b > a {
			v += Segment{Span{a, b}, s.Flow}.Volume()
		}
	}
	return v
}

// Running gives how long water flows on that day.
func (d Day) Running() quantity.Time { return d.running(0, 24) }

func (d Day) running(from, to quantity.Time) quantity.Time {
	var t quantity.Time
	for _, s := range d.segments {
		if a, b := max(from, s.From), min(to, s.To); b > a && s.Flow > 0 {
			t += b - a
		}
	}
	return t
}

// Runs gives the hours in which water flows; nil is round the clock, or never.
func (d Day) Runs() Hours {
	var out Hours
	for _, s := range d.segments {
		switch n := len(out); {
		case s.Flow <= 0 || s.Length() <= 0:
		case n > 0 && s.From <= out[n-1].To+1e-9:
			out[n-1].To = s.To
		default:
			out = append(out, s.Span)
		}
	}
	if len(out) == 1 && out[0] == (Span{0, 24}) {
		return nil
	}
	return out
}

// Average gives the mean flow while water flows; zero on a day without.
func (d Day) Average() quantity.Flow { return average(d.Volume(), d.Running()) }

func average(v quantity.Volume, t quantity.Time) quantity.Flow {
	if t <= 0 {
		return 0
	}
	return quantity.Flow(v.In("m3") / float64(t))
}

// Peak gives the highest flow, and Least the lowest that is not zero.
func (d Day) Peak() quantity.Flow  { return d.peak }
func (d Day) Least() quantity.Flow { return d.least }

// At gives the flow at a clock time; zero when idle.
func (d Day) At(t quantity.Time) quantity.Flow {
	for _, s := range d.segments {
		if t >= s.From && t < s.To {
			return s.Flow
		}
	}
	return 0
}

// Hour is one clock hour of the day.
type Hour struct {
	From    quantity.Time
	Flow    quantity.Flow // mean while water flows
	Running quantity.Time // how much of the hour that is
	Volume  quantity.Volume
}

// Hours gives the 24 clock hours. Their volumes add up to the day's.
func (d Day) Hours() [24]Hour {
	var out [24]Hour
	for i := range out {
		from, to := quantity.Time(i), quantity.Time(i+1)
		h := Hour{From: from, Volume: d.Between(from, to), Running: d.running(from, to)}
		h.Flow = average(h.Volume, h.Running)
		out[i] = h
	}
	return out
}

// When gives the clock time by which so much water has passed since midnight,
// and false when the day has less.
func (d Day) When(v quantity.Volume) (quantity.Time, bool) {
	if v <= 0 {
		return 0, true
	}
	for _, s := range d.segments {
		if w := s.Volume(); w >= v && s.Flow > 0 {
			return s.From + quantity.Time(v.In("m3")/float64(s.Flow)), true
		} else {
			v -= w
		}
	}
	return 24, v <= 1e-9
}
