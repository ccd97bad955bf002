package flow

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// minutes is a day written out a second time: the flow of each of its 1440 minutes.
type minutes [1440]float64

func (m *minutes) volume(from, to int) float64 { // m3
	v := 0.0
	for _, q := range m[from:to] {
		v += q / 60
	}
	return v
}

func (m *minutes) running(from, to int) float64 { // h
	n := 0.0
	for _, q := range m[from:to] {
		if q > 0 {
			n++
		}
	}
	return n / 60
}

// TestDayByMinutes: flow tables and operating hours at whole minutes, against a count of the minutes.
func TestDayByMinutes(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 17))
	for range 100 {
		var steps []Step
		used := map[int]bool{}
		for range 1 + r.IntN(6) {
			if from := r.IntN(1440); !used[from] {
				used[from] = true
				steps = append(steps, Step{From: quantity.Time(from) / 60, Flow: quantity.Flow(r.IntN(5)) * 1.7})
			}
		}
		var hours Hours
		open := func(int) bool { return true }
		if r.IntN(3) > 0 {
			a := r.IntN(600)
			b, c := a+1+r.IntN(300), a+301+r.IntN(200)
			d := c + 1 + r.IntN(1440-c)
			hours = Hours{{quantity.Time(a) / 60, quantity.Time(b) / 60}, {quantity.Time(c) / 60, quantity.Time(d) / 60}}
			open = func(i int) bool { return i >= a && i < b || i >= c && i < d }
			near(t, "length", float64(hours.Length()), float64(b-a+d-c)/60, 1e-9)
		}
		var m minutes
		peak, least := 0.0, 0.0
		for i := range m {
			// the row that began last, going back over midnight
			q, best := 0.0, 1441
			for _, s := range steps {
				if back := (i - int(math.Round(float64(s.From)*60)) + 1440) % 1440; back < best {
					q, best = float64(s.Flow), back
				}
			}
			if !open(i) {
				q = 0
			}
			m[i] = q
			peak = max(peak, q)
			if q > 0 && (least == 0 || q < least) {
				least = q
			}
		}
		d, err := ByHour(steps, hours)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volume", d.Volume().In("m3"), m.volume(0, 1440), 1e-8)
		near(t, "running", float64(d.Running()), m.running(0, 1440), 1e-9)
		near(t, "peak", float64(d.Peak()), peak, 1e-12)
		near(t, "least", float64(d.Least()), least, 1e-12)
		if run := m.running(0, 1440); run > 0 {
			near(t, "average", float64(d.Average()), m.volume(0, 1440)/run, 1e-8)
		} else {
			near(t, "average of none", float64(d.Average()), 0, 0)
		}
		a := r.IntN(1400)
		b := a + r.IntN(1440-a)
		near(t, "between", d.Between(quantity.Time(a)/60, quantity.Time(b)/60).In("m3"), m.volume(a, b), 1e-8)
		near(t, "at", float64(d.At(quantity.Time(float64(a)+0.5)/60)), m[a], 1e-12)
		for i, h := range d.Hours() {
			v, run := m.volume(60*i, 60*i+60), m.running(60*i, 60*i+60)
			near(t, "from", float64(h.From), float64(i), 0)
			near(t, "an hour's water", h.Volume.In("m3"), v, 1e-8)
			near(t, "an hour's running", float64(h.Running), run, 1e-9)
			if run > 0 {
				near(t, "an hour's flow", float64(h.Flow), v/run, 1e-7)
			} else {
				near(t, "an idle hour's flow", float64(h.Flow), 0, 0)
			}
		}
		want := m.volume(0, 1440) * r.Float64()
		when, ok := d.When(quantity.Volume(want * 1000))
		if want > 0 && (!ok || math.Abs(d.Between(0, when).In("m3")-want) > 1e-8 || d.At(when-1e-7) == 0) {
			t.Errorf("%g m3 by %v (%v)", want, when, ok)
		}
		for i, s := range d.Segments() {
			if s.To < s.From || i > 0 && s.From < d.Segments()[i-1].To-1e-9 {
				t.Errorf("segments out of order: %v", d.Segments())
			}
		}
	}
}

// TestWhen: 2 m3/h from 6 to 10 and 5 m3/h from 12 to 14: 8 m3, a pause, 10 m3.
func TestWhen(t *testing.T) {
	d, err := FromSegments([]Segment{{Span{12, 14}, 5}, {Span{6, 10}, 2}, {Span{10, 11}, 0}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		litres quantity.Volume
		at     float64
		ok     bool
	}{{-1, 0, true}, {0, 0, true}, {0.5, 6.00025, true}, {3000, 7.5, true}, {8000, 10, true}, {8500, 12.1, true}, {18000, 14, true},
		{18001, 24, false}} {
		got, ok := d.When(c.litres)
		near(t, "when", float64(got), c.at, 1e-9)
		if ok != c.ok {
			t.Errorf("%v L: %v", c.litres, ok)
		}
	}
	near(t, "first minute of noon", float64(d.At(12)), 5, 0)
	near(t, "the end is not in it", float64(d.At(14)), 0, 0)
	near(t, "a segment", (Segment{Span{6, 10}, 2}).Volume().In("m3"), 8, 1e-12)
	near(t, "its length", float64(Span{6, 10.5}.Length()), 4.5, 0)
	var none Day
	near(t, "no day", float64(none.Volume()), 0, 0)
	if got, ok := none.When(1); ok || got != 24 {
		t.Errorf("%v %v", got, ok)
	}
}

// TestRange: a wider range stands, a narrower changes nothing, and zero is no flow.
func TestRange(t *testing.T) {
	d, err := Constant(3, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ least, peak, wantLeast, wantPeak quantity.Flow }{
		{2, 5, 2, 5}, {3.5, 2.5, 3, 3}, {0, 9, 3, 9}, {0.4, 0, 0.4, 3}, {-1, 4, 3, 4},
	} {
		got := d.WithRange(c.least, c.peak)
		near(t, "least", float64(got.Least()), float64(c.wantLeast), 0)
		near(t, "peak", float64(got.Peak()), float64(c.wantPeak), 0)
		near(t, "volume stays", got.Volume().In("m3"), 72, 1e-9)
	}
	if d, err = FromSegments([]Segment{{Span{0, 5}, 0.6}, {Span{5, 5}, 9}, {Span{6, 8}, 0.2}, {Span{8, 9}, 0},
		{Span{9, 10}, 0.4}}); err != nil {
		t.Fatal(err)
	}
	near(t, "least of several", float64(d.Least()), 0.2, 0)
	near(t, "a segment without length has no peak", float64(d.Peak()), 0.6, 0)
}

// TestBadDays: what is no day, by the code of its note.
func TestBadDays(t *testing.T) {
	inf := quantity.Flow(math.Inf(1))
	for _, c := range []struct {
		code  string
		steps []Step
	}{
		{"no-flow", nil}, {"negative-flow", []Step{{Flow: -0.1}}}, {"negative-flow", []Step{{Flow: inf}}},
		{"bad-hour", []Step{{From: -0.1, Flow: 1}}},
		{"bad-hour", []Step{{From: 24, Flow: 1}}}, {"bad-hour", []Step{{From: quantity.Time(math.NaN()), Flow: 1}}},
		{"hour-twice", []Step{{From: 6, Flow: 1}, {From: 6, Flow: 2}}},
		{"negative-flow hour-twice", []Step{{From: 6, Flow: -1}, {From: 6, Flow: 2}}},
	} {
		_, err := ByHour(c.steps, nil)
		var got []string
		for _, n := range note.Of(err, "other") {
			got = append(got, n.Code)
		}
		if strings.Join(got, " ") != c.code {
			t.Errorf("%v: %v, want %s", c.steps, got, c.code)
		}
	}
	if _, err := ByHour([]Step{{Flow: 1}, {From: 23.9, Flow: 0}}, nil); err != nil {
		t.Error(err)
	}
	for _, s := range [][]Segment{
		{{Span{-0.1, 5}, 1}}, {{Span{0, 24.1}, 1}}, {{Span{5, 4}, 1}}, {{Span{0, 5}, -0.1}}, {{Span{0, 5}, inf}}, {{Span{0, 5}, 1},
			{Span{4.9, 6}, 1}},
	} {
		if _, err := FromSegments(s); err == nil {
			t.Errorf("%v passes", s)
		}
	}
	if _, err := FromSegments([]Segment{{Span{0, 5}, 1}, {Span{5, 24}, 0}}); err != nil {
		t.Error(err)
	}
}

// TestClockTimes: clock times as people write them, in hours after midnight.
func TestClockTimes(t *testing.T) {
	for text, want := range map[string]float64{
		"6": 6, "06:30": 6.5, "6.5": 6.5, "18h": 18, "6:30 pm": 18.5, "12 am": 0, "12:15 a.m.": 0.25, "12 pm": 12, "12:59 p.m.": 12 + 59.0/60,
		"1 am":  1,
		"00:00": 0, "24:00": 24, "6:30:36": 6.51, "7 Uhr": 7, "8 hrs": 8, "11:59:59 pm": 24 - 1.0/3600,
	} {
		got, err := ParseClock(text)
		if err != nil {
			t.Error(err)
		}
		near(t, text, float64(got), want, 1e-9)
	}
	for _, text := range []string{"", "x", "-1", "25", "24:01", "6:60", "6:30:60", "6.5:30", "6:30.5:10", "13 pm", "0 am", "0:59 pm",
		"6::30", "6:30:10:5", "inf", "nan", "6:"} {
		if got, err := ParseClock(text); err == nil || got != 0 {
			t.Errorf("%q passes as %v", text, got)
		}
	}
	for at, want := range map[quantity.Time]string{
		0: "00:00", 6.5: "06:30", 23.99: "23:59", 24: "00:00 the day after", 24.25: "00:15 the day after", 30.5: "06:30 the day after", 72 + 7.75: "07:45 3 days after",
		6.0083: "06:00", 6.0084: "06:01", -25: "23:00 2 days before", -0.25: "23:45 the day before",
	} {
		if got := Clock(at); got != want {
			t.Errorf("%v: %s, want %s", at, got, want)
		}
	}
}

// TestClockAfter: what is begun on one day and ends on another says how many days on, counted from its own beginning:
// 21:15 the evening before is -2.75 h, and 24.5 h on from it is 21:45 of the list's day.
func TestClockAfter(t *testing.T) {
	for _, c := range []struct {
		at, from quantity.Time
		want     string
	}{{21.75, -2.75, "21:45 of the next day"}, {-0.25, -2.75, "23:45"}, {-0.0001, -2.75, "midnight at the end of that day"}, {45.25, -2.75, "21:15 2 days later"},
		{6.5, 6, "06:30"}, {24, 6, "midnight at the end of that day"}, {24, -0.25, "midnight at the end of the next day"},
		{72, 6, "midnight at the end of the day, 2 days later"}, {0, 0, "00:00"}} {
		if got := ClockAfter(c.at, c.from); got != c.want {
			t.Errorf("%v after %v: %q, want %q", c.at, c.from, got, c.want)
		}
	}
}

// TestCovers: From is in a span, To is not.
func TestCovers(t *testing.T) {
	h, err := ParseHours("22-06; 12-13:30")
	if err != nil || h.String() != "00:00-06:00, 12:00-13:30, 22:00-24:00" {
		t.Fatal(h, err)
	}
	for at, want := range map[quantity.Time]bool{0: true, 5.99: true, 6: false, 12: true, 13.5: false, 21.9: false, 22: true, 23.9: true} {
		if h.Covers(at) != want {
			t.Errorf("%v: %v", at, !want)
		}
	}
	var all Hours
	if !all.Covers(0) || !all.Covers(23.99) || all.Covers(24) {
		t.Error("no hours are the whole day")
	}
	for text, want := range map[string]string{
		"0.5 h": "00:00-00:30", "24": "00:00-24:00", "16 hours/d": "00:00-16:00", "6 to 12": "06:00-12:00", "6−12": "06:00-12:00",
		"6—12": "06:00-12:00",
		"18-0": "18:00-24:00", "24-6": "00:00-06:00", "6-12,12-14": "06:00-12:00, 12:00-14:00",
	} {
		if h, err := ParseHours(text); err != nil || h.String() != want {
			t.Errorf("%q: %v %v", text, h, err)
		}
	}
	for _, text := range []string{"24.1 h", "-1", "0 h", "6 m3", "6:30", "6-12, 11:59-14", "20-06, 5-7"} {
		if h, err := ParseHours(text); err == nil {
			t.Errorf("%q passes as %v", text, h)
		}
	}
}

// TestRuns: the stretches with water; none where it flows round the clock.
func TestRuns(t *testing.T) {
	for want, steps := range map[string][]Step{
		"":                         {{From: 0, Flow: 3}, {From: 12, Flow: 5}},
		"05:00-24:00":              {{From: 0, Flow: 0}, {From: 5, Flow: 25}, {From: 9, Flow: 60}},
		"00:00-06:00, 22:00-24:00": {{From: 6, Flow: 0}, {From: 22, Flow: 4}},
	} {
		d, err := ByHour(steps, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Runs(); want == "" && got != nil || want != "" && got.String() != want {
			t.Errorf("%v, want %q", got, want)
		}
	}
}
