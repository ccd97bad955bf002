package flow

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const stamp = "2006-01-02 15:04"

var firstOfMay = time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)

// made is a log at whole minutes, with the flow of each minute beside it: NaN where no reading stands.
type made struct {
	text  strings.Builder
	start int // minutes after the first of May
	flow  []float64
}

// makeLog writes readings at random steps of 1 to 9 minutes, one in few empty and one in few far apart.
// Hold is 12 minutes.
func makeLog(r *rand.Rand, n, few int) *made {
	m := &made{start: r.IntN(1440)}
	m.text.WriteString("time,flow (m3/h)\n")
	var at []int
	var flow []float64
	now := m.start
	for range n {
		q := []float64{0, 0.5, 1.25, 2, 4}[r.IntN(5)]
		text := fmt.Sprint(q)
		if r.IntN(few) == 0 {
			q, text = math.NaN(), ""
		}
		fmt.Fprintf(&m.text, "%s,%s\n", firstOfMay.Add(time.Duration(now)*time.Minute).Format(stamp), text)
		at, flow = append(at, now), append(flow, q)
		step := 1 + r.IntN(9)
		if r.IntN(2*few) == 0 {
			step = 10 + r.IntN(200)
		}
		now += step
	}
	var steps []int
	for i := 1; i < n; i++ {
		steps = append(steps, at[i]-at[i-1])
	}
	slices.Sort(steps)
	usual := min(steps[len(steps)/2], 12)
	for i, q := range flow {
		stands := usual
		if i+1 < n && at[i+1]-at[i] <= 12 {
			stands = at[i+1] - at[i]
		}
		for k := range stands {
			for len(m.flow) <= at[i]+k-m.start {
				m.flow = append(m.flow, math.NaN())
			}
			m.flow[at[i]+k-m.start] = q
		}
	}
	if math.IsNaN(flow[n-1]) { // an empty reading ends the log where it stands
		m.flow = m.flow[:at[n-1]-m.start]
	}
	return m
}

func (m *made) each(f func(minute int, q float64)) {
	for i, q := range m.flow {
		if !math.IsNaN(q) {
			f(m.start+i, q)
		}
	}
}

// TestLogByMinutes: totals, days, gaps and the mean day of made-up logs, against a count of their minutes.
func TestLogByMinutes(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 4))
	days := 0
	for i := range 60 {
		m := makeLog(r, 300+r.IntN(500), []int{6, 60}[i%2])
		l := logText(t, m.text.String(), Options{Hold: 12.0 / 60})
		volume, covered, peak, least := 0.0, 0.0, 0.0, math.Inf(1)
		var sum, run, seen [24]float64
		dates := map[int]*Date{}
		m.each(func(i int, q float64) {
			volume += q / 60
			covered += 1.0 / 60
			peak = max(peak, q)
			d := dates[i/1440]
			if d == nil {
				d = &Date{}
				dates[i/1440] = d
			}
			d.Volume += quantity.Volume(q / 60 * 1000)
			d.Covered += 1.0 / 60
			d.Peak = max(d.Peak, quantity.Flow(q))
			h := i % 1440 / 60
			seen[h]++
			if q > 0 {
				least = min(least, q)
				sum[h] += q
				run[h]++
			}
		})
		near(t, "volume", l.Volume().In("m3"), volume, 1e-6)
		near(t, "covered", float64(l.Covered()), covered, 1e-6)
		near(t, "peak", float64(l.Peak()), peak, 0)
		near(t, "least", float64(l.Least()), least, 0)
		if want := firstOfMay.Add(time.Duration(m.start+len(m.flow)) * time.Minute); !l.Last().Equal(want) {
			t.Errorf("ends %v, want %v", l.Last(), want)
		}
		gap, gaps := false, 0
		lost := 0.0
		for _, q := range m.flow {
			if math.IsNaN(q) {
				lost += 1.0 / 60
				if !gap {
					gaps++
				}
			}
			gap = math.IsNaN(q)
		}
		without := 0.0
		for _, g := range l.Gaps() {
			without += float64(g.Length())
		}
		near(t, "gaps", float64(len(l.Gaps())), float64(gaps), 0)
		near(t, "time without reading", without, lost, 1e-6)
		usual := 0.0
		for _, d := range l.Dates() {
			days++
			want := dates[int(d.Date.Sub(firstOfMay).Hours())/24]
			near(t, "a date's water", float64(d.Volume), float64(want.Volume), 1e-3)
			near(t, "a date's cover", float64(d.Covered), float64(want.Covered), 1e-6)
			near(t, "a date's peak", float64(d.Peak), float64(want.Peak), 0)
			usual += float64(d.Usual)
		}
		near(t, "the usual water of all dates", usual, float64(l.Volume()), 1) // each hour's mean, as often as the hour was read
		day, err := l.Day(nil)
		if err != nil { // some hour was never read
			if slices.Min(seen[:]) > 0 {
				t.Error(err)
			}
			continue
		}
		for h, got := range day.Hours() {
			near(t, "an hour's running", float64(got.Running), run[h]/seen[h], 1e-9)
			if run[h] > 0 {
				near(t, "an hour's flow", float64(got.Flow), sum[h]/run[h], 1e-9)
			}
		}
		near(t, "peak of the day", float64(day.Peak()), peak, 0)
		near(t, "least of the day", float64(day.Least()), least, 0)
	}
	if days < 100 {
		t.Errorf("only %d days were compared", days)
	}
}

// TestHold: how long a reading stands, by hand.
func TestHold(t *testing.T) {
	const head = "time,flow (m3/h)\n"
	for _, c := range []struct {
		what, text           string
		hold                 quantity.Time
		step, covered, water float64 // h, h, m3
		gaps                 string
	}{
		// Steps 10, 10, 40 min: usual 10, so a reading stands up to 30; the one at 00:20 for 10, and 30 to 60 is a gap.
		{"three usual steps", head + "2026-05-01 00:00,6\n2026-05-01 00:10,12\n2026-05-01 00:20,6\n2026-05-01 01:00,12\n",
			0, 1.0 / 6, 4.0 / 6, 6, "00:30-01:00 B4"},
		{"just three steps", head + "2026-05-01 00:00,6\n2026-05-01 00:10,12\n2026-05-01 00:20,6\n2026-05-01 00:50,12\n",
			0, 1.0 / 6, 1, 1 + 2 + 3 + 2, ""},
		{"told to hold", head + "2026-05-01 00:00,6\n2026-05-01 00:10,12\n2026-05-01 00:20,6\n2026-05-01 01:00,12\n",
			40.0 / 60, 1.0 / 6, 7.0 / 6, 1 + 2 + 4 + 2, ""},
		{"held shorter than a step", head + "2026-05-01 00:00,6\n2026-05-01 00:10,12\n2026-05-01 00:20,6\n",
			0.1, 1.0 / 6, 0.3, 2.4, "00:06-00:10 B2 00:16-00:20 B3"},
		{"one reading", head + "2026-05-01 00:00,6\n", 0, 1, 1, 6, ""},
		// An empty reading stands for nothing, and joins the gap that follows it.
		{"an empty one", head + "2026-05-01 00:00,6\n2026-05-01 00:10,\n2026-05-01 00:20,6\n2026-05-01 00:30,6\n",
			0, 1.0 / 6, 0.5, 3, "00:10-00:20 B3"},
		{"two empty ones", head + "2026-05-01 00:00,6\n2026-05-01 00:10,-\n2026-05-01 00:20,n/a\n2026-05-01 00:30,6\n",
			0, 1.0 / 6, 2.0 / 6, 2, "00:10-00:30 B3"},
	} {
		l := logText(t, c.text, Options{Hold: c.hold})
		near(t, c.what+": step", float64(l.Step()), c.step, 1e-9)
		near(t, c.what+": covered", float64(l.Covered()), c.covered, 1e-6)
		near(t, c.what+": water", l.Volume().In("m3"), c.water, 1e-6)
		var gaps []string
		for _, g := range l.Gaps() {
			gaps = append(gaps, g.From.Format("15:04")+"-"+g.To.Format("15:04")+" "+g.Place.Cell)
		}
		if got := strings.Join(gaps, " "); got != c.gaps {
			t.Errorf("%s: gaps %q, want %q", c.what, got, c.gaps)
		}
	}
	// A meter that writes changes only: 40 steps, of which 36 are 1 min, 4 are 9; nineteen in twenty is the 38th, so 18 min are held.
	changes := func(ones, nines, then int) Log {
		at := firstOfMay
		text := head
		for i := range ones + nines + 1 {
			text += at.Format(stamp) + ",6\n"
			step := time.Minute
			if i >= ones {
				step = 9 * time.Minute
			}
			at = at.Add(step)
		}
		at = at.Add(time.Duration(then-9) * time.Minute)
		return logText(t, text+at.Format(stamp)+",6\n", Options{})
	}
	if l := changes(36, 4, 18); len(l.Gaps()) != 0 {
		t.Errorf("18 min are held: %v", l.Gaps())
	}
	if l := changes(36, 4, 19); len(l.Gaps()) != 1 {
		t.Errorf("19 min are not: %v", l.Gaps())
	}
	if l := changes(38, 2, 18); len(l.Gaps()) != 0 { // of 41 steps the 39th is the first long one, and tells
		t.Errorf("the 39th is not looked at: %v", l.Gaps())
	}
	if l := changes(39, 1, 9); len(l.Gaps()) != 2 {
		t.Errorf("the 40th is looked at: %v", l.Gaps())
	}
	if l := changes(34, 3, 9); len(l.Gaps()) != 4 { // 38 steps: too few to judge, so 3 min are held
		t.Errorf("few steps: %v", l.Gaps())
	}
	if l := changes(39, 0, 3); len(l.Gaps()) != 0 {
		t.Errorf("three steps: %v", l.Gaps())
	}
	if l := changes(39, 0, 4); len(l.Gaps()) != 1 {
		t.Errorf("four steps: %v", l.Gaps())
	}
	var none Log
	if !none.First().IsZero() || !none.Last().IsZero() || none.Least() != 0 || none.Peak() != 0 || none.Volume() != 0 {
		t.Error("a log without readings")
	}
}

// TestUsualOfPartOfADay: two days of 6 m3/h by night and 12 by day, the second without
// the last four hours of the night: what it had is what the average day has in the
// hours that were read, although it is less than a day at the mean of its own hours.
func TestUsualOfPartOfADay(t *testing.T) {
	table := "time,flow m3/h\n"
	for h := range 44 {
		q := 6
		if h%24 >= 8 && h%24 < 20 {
			q = 12
		}
		table += fmt.Sprintf("2026-05-%02d %02d:00,%d\n", 1+h/24, h%24, q)
	}
	l, err := Read("log.csv", strings.NewReader(table), Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := l.Dates()
	near(t, "a whole day", float64(d[0].Usual), 216000, 1e-6)
	near(t, "20 hours of it", float64(d[1].Usual), 192000, 1e-6)
	near(t, "had", float64(d[1].Volume), 192000, 1e-6)
}

// TestPoints: what a single reading says of itself.
func TestPoints(t *testing.T) {
	l := logText(t, "time,flow (L/s)\n2026-05-01 00:00,0.5\n2026-05-01 00:30,1\n2026-05-01 00:40,0.25\n", Options{})
	if l.Len() != 3 {
		t.Fatal(l.Len())
	}
	for i, want := range [][3]float64{{0, 1.8, 0.5}, {30, 3.6, 1.0 / 6}, {40, 0.9, 0.5}} { // the last stands for the usual half hour
		p := l.Point(i)
		near(t, "at", p.At.Sub(firstOfMay).Minutes(), want[0], 0)
		near(t, "flow", float64(p.Flow), want[1], 1e-9)
		near(t, "for", float64(p.For), want[2], 1e-9)
	}
	if !l.First().Equal(firstOfMay) || !l.Last().Equal(firstOfMay.Add(70*time.Minute)) {
		t.Errorf("%v to %v", l.First(), l.Last())
	}
}

// TestLogHours: operating hours that begin within a clock hour, and those that were never read.
func TestLogHours(t *testing.T) {
	var b strings.Builder
	b.WriteString("time,flow (m3/h)\n")
	for h := range 24 {
		fmt.Fprintf(&b, "2026-05-01 %02d:00,%d\n", h, h)
	}
	l := logText(t, b.String(), Options{})
	d, err := l.Day(Hours{{6.5, 8.25}})
	if err != nil {
		t.Fatal(err)
	}
	// half of hour 6, hour 7, a quarter of hour 8
	near(t, "water", d.Volume().In("m3"), 0.5*6+7+0.25*8, 1e-9)
	// No reading between 10 and 12: the place is the row before the gap; later than the log, its last row.
	lines := strings.SplitAfter(b.String(), "\n")
	l = logText(t, strings.Join(lines[:11], "")+strings.Join(lines[13:20], ""), Options{Hold: 1})
	_, err = l.Day(Hours{{6, 20}})
	var got []string
	for _, n := range note.Of(err, "other") {
		got = append(got, n.Cell+" "+n.Message)
	}
	want := "B11 no reading between 10:00 and 11:00 on any day|B11 no reading between 11:00 and 12:00 on any day|" +
		"B18 no reading between 19:00 and 20:00 on any day"
	if strings.Join(got, "|") != want {
		t.Errorf("got %q\nwant %q", strings.Join(got, "|"), want)
	}
	if _, err = l.Day(Hours{{9, 11}}); len(note.Of(err, "other")) != 1 || note.Of(err, "other")[0].Code != "hour-without-flow" {
		t.Errorf("one hour that was never read: %v", err)
	}
	// An hour in which nothing flows is no error; a log in which nothing flows is.
	l = logText(t, "time,flow (m3/h)\n2026-05-01 00:00,0\n2026-05-01 01:00,5\n2026-05-01 02:00,0\n", Options{})
	if d, err = l.Day(Hours{{0, 2}}); err != nil || d.Volume() != 5000 || d.Running() != 1 {
		t.Errorf("%v %v", d, err)
	}
	// 2 m3 in the hours kept and 5 outside them
	l = logText(t, "time,flow (m3/h)\n2026-05-01 00:00,2\n2026-05-01 01:00,5\n", Options{})
	if d, err = l.Day(Hours{{0, 1}}); err != nil || d.Volume() != 2000 {
		t.Errorf("%v %v", d, err)
	}
	l = logText(t, "time,flow (m3/h)\n2026-05-01 00:00,0\n2026-05-01 01:00,0\n", Options{})
	if _, err = l.Day(Hours{{0, 2}}); err == nil || note.Of(err, "")[0].Code != "no-flow" {
		t.Error(err)
	}
}

// TestCounter: a running total of m3 by hand, with a fall and an empty cell.
func TestCounter(t *testing.T) {
	l := logText(t, "time,total (m3)\n2026-05-01 00:00,100\n2026-05-01 00:30,101\n2026-05-01 01:00,104\n2026-05-01 01:30,2\n"+
		"2026-05-01 02:00,3.5\n2026-05-01 02:30,\n2026-05-01 03:00,9\n2026-05-01 03:30,9.25\n", Options{})
	want := []float64{2, 6, math.NaN(), 3, math.NaN(), math.NaN(), 0.5, math.NaN()}
	if l.Len() != len(want) {
		t.Fatalf("%d readings", l.Len())
	}
	for i, q := range want {
		if got := float64(l.Point(i).Flow); math.IsNaN(q) != math.IsNaN(got) || math.Abs(got-q) > 1e-9 {
			t.Errorf("flow %d is %g, want %g", i, got, q)
		}
	}
	near(t, "water", l.Volume().In("m3"), 1+3+1.5+0.25, 1e-9)
	reset := 0
	for _, n := range l.Notes {
		if n.Code == "counter-reset" {
			reset++
			if n.Cell != "B5" || n.Message != "the running total falls once; that step counts as a gap" {
				t.Errorf("%v", n)
			}
		}
	}
	if reset != 1 {
		t.Errorf("%v", l.Notes)
	}
}

// TestTimes: times as loggers write them, read back as the wall clock of the first time zone.
func TestTimes(t *testing.T) {
	for _, c := range []struct{ first, second, want string }{ // the second is an hour later
		{"2026-05-01 06:15", "2026-05-01 07:15", "2026-05-01 06:15:00.000"},
		{"2026-05-01T06:15:30.5", "2026-05-01T07:15:30.5", "2026-05-01 06:15:30.500"},
		{"2026/05/01 06:15:07", "2026/05/01 07:15:07", "2026-05-01 06:15:07.000"},
		{"2026-5-1 6:15", "2026-5-1 7:15", "2026-05-01 06:15:00.000"}, {"1 May 2026 6:15", "1 May 2026 7:15", "2026-05-01 06:15:00.000"},
		{"28-Feb-2028 23:30", "29-Feb-2028 00:30", "2028-02-28 23:30:00.000"},
		{"28-Feb-2027 23:30", "1-Mar-2027 00:30", "2027-02-28 23:30:00.000"},
		{"31.12.26 23:30", "01.01.27 00:30", "2026-12-31 23:30:00.000"}, {"29.02.2000 10:00", "29.02.2000 11:00", "2000-02-29 10:00:00.000"},
		{"13/05/2026 06:15", "13/05/2026 07:15", "2026-05-13 06:15:00.000"},
		{"05/13/2026 06:15", "05/13/2026 07:15", "2026-05-13 06:15:00.000"},
		{"2026-05-01 12:15 AM", "2026-05-01 1:15 am", "2026-05-01 00:15:00.000"},
		{"2026-05-01 12:15 PM", "2026-05-01 1:15 p.m.", "2026-05-01 12:15:00.000"},
		{"2026-05-01 11:15 am", "2026-05-01 12:15 pm", "2026-05-01 11:15:00.000"},
		{"2026-05-01 23:00", "2026-05-01 24:00", "2026-05-01 23:00:00.000"},
		{"2026-03-29T01:30:00+01:00", "2026-03-29T03:30:00+02:00", "2026-03-29 01:30:00.000"}, // summer time begins
		{"2026-05-01T06:15Z", "2026-05-01T07:15 UTC", "2026-05-01 06:15:00.000"},
		{"2026-05-01T06:15-0330", "2026-05-01T07:15-0330", "2026-05-01 06:15:00.000"},
		{"2026-05-01T06:15+05:30", "2026-05-01T01:45Z", "2026-05-01 06:15:00.000"},
		{"2026-05-01T06:15+02", "2026-05-01T05:15Z", "2026-05-01 06:15:00.000"},
		{"2026-05-01T06:15-02:30", "2026-05-01T09:45Z", "2026-05-01 06:15:00.000"},
		{"46143.25", "46143.2916666667", "2026-05-01 06:00:00.000"}, {"1777616100", "1777619700", "2026-05-01 06:15:00.000"},
		{"2026-05-01 06.15", "2026-05-01 07.15", "2026-05-01 06:15:00.000"},
		{"1900-01-01 00:00", "1900-01-01 01:00", "1900-01-01 00:00:00.000"},
		{"2100-02-28 23:00", "2100-03-01 00:00", "2100-02-28 23:00:00.000"},
		{"15 September 2026 06:00", "15 September 2026 07:00", "2026-09-15 06:00:00.000"},
		{"2026-05-01 23:59:60", "2026-05-02 01:00:00", "2026-05-02 00:00:00.000"}, // a leap second
	} {
		l, err := Read("m.csv", strings.NewReader("time;flow (m3/h)\n"+c.first+";2\n"+c.second+";3\n"), Options{Hold: 2})
		if err != nil {
			t.Errorf("%s: %v", c.first, err)
			continue
		}
		if got := l.First().Format("2006-01-02 15:04:05.000"); got != c.want {
			t.Errorf("%s is read as %s, want %s", c.first, got, c.want)
		}
		near(t, c.first+" to "+c.second, l.Point(0).For.In("min"), 60, 1e-6)
	}
	for _, bad := range []string{"2026-13-01 06:15", "2026-00-01 06:15", "2026-04-31 06:15", "2027-02-29 06:15", "2100-02-29 06:15",
		"2026-05-00 06:15", "2026-06-31 06:15",
		"2026-09-31 06:15", "2026-11-31 06:15", "2026-05-32 06:15", "2026-05-01 25:00", "2026-05-01 24:01", "2026-05-01 24:00:01",
		"2026-05-01 06:60", "2026-05-01 06:15:61",
		"2026-05-01 13:15 pm", "2026-05-01 0:15 am", "2026-05-01 6", "2026-05-01 06:15 CET", "2026-05-01 06:15+1", "1899-05-01 06:15",
		"2201-05-01 06:15", "1-5-2 06:15",
		"1.5.026 06:15", "900", "5e7", "2e10", "2026-05 06:15", "3/4", "12/", "2026-05-", "2026-05/01 06:15", "1 Mai", "15 Foo 2026 06:15",
		"006:15"} {
		if _, err := Read("m.csv",
			strings.NewReader("time;flow (m3/h)\n2026-01-01 00:00;1\n"+bad+";2\n"), Options{}); err == nil || !strings.Contains(err.Error(),
			"m.csv: A3: time") {
			t.Errorf("%q: %v", bad, err)
		}
	}
	// Date and time of day in two columns, as text and as numbers.
	for _, text := range []string{
		"date;time;flow (m3/h)\n2026-05-01;06:15;2\n", "date;time;flow (m3/h)\n2026-05-01 00:00:00;06:15;2\n",
		"date;time;flow (m3/h)\n46143;0.2604166667;2\n",
		"date;time;flow (m3/h)\n46143.4;6:15 am;2\n", "time;date;flow (m3/h)\n06:15;01/05/2026;2\n",
	} {
		if got := logText(t, text, Options{}).First().Format(stamp); got != "2026-05-01 06:15" {
			t.Errorf("%q: %s", text, got)
		}
	}
	for _, bad := range []string{"2026-05-01 06:00;06:15", "2026-05-01;1.75", "2026-05-01;-0.1", "900;06:15", "x;06:15", "2026-05-01;1"} {
		if _, err := Read("m.csv", strings.NewReader("date;time;flow (m3/h)\n2026-01-01;0:00;1\n"+bad+";2\n"), Options{}); err == nil {
			t.Errorf("%q passes", bad)
		}
	}
	// Time since the start in its unit.
	for unit, want := range map[string]float64{"min": 0.5, "h": 30, "s": 30.0 / 3600, "d": 720} {
		l := logText(t, "elapsed ("+unit+");flow (m3/h)\n0;1\n30;1\n60;0\n", Options{Hold: 1000})
		near(t, unit, float64(l.Point(1).For), want, 1e-6)
	}
}

// TestDateOrder: day or month first, by what the column can mean.
func TestDateOrder(t *testing.T) {
	const head = "time;flow (m3/h)\n"
	for _, c := range []struct{ what, text, first, code string }{
		{"the one date", "03/04/2026 00:00;1\n", "2026-04-03", ""},
		{"days follow each other", "01/05/2026 00:00;1\n02/05/2026 00:00;1\n03/05/2026 00:00;1\n", "2026-05-01", ""},
		{"months follow each other", "05/01/2026 00:00;1\n05/02/2026 00:00;1\n05/03/2026 00:00;1\n", "2026-05-01", ""},
		{"over new year", "31/12/2026 00:00;1\n01/01/2027 00:00;1\n", "2026-12-31", ""},
		{"over new year, month first", "12/11/2026 00:00;1\n12/12/2026 00:00;1\n01/01/2027 00:00;1\n", "2026-12-11", ""},
		{"only so in order", "04/03/2026 00:00;1\n03/04/2026 00:00;1\n03/05/2026 00:00;1\n", "2026-03-04", ""},
		{"a day over twelve", "01/02/2026 00:00;1\n13/02/2026 00:00;1\n", "2026-02-01", ""},
		{"a second over twelve", "01/02/2026 00:00;1\n01/13/2026 00:00;1\n", "2026-01-02", ""},
		{"points", "01.02.2026 00:00;1\n02.02.2026 00:00;1\n", "2026-02-01", ""},
		{"no telling", "01/01/2026 00:00;1\n02/02/2026 00:00;1\n", "", "date-unclear"},
		{"both", "13/01/2026 00:00;1\n01/13/2026 00:00;1\n", "", "dates-mixed"},
	} {
		l, err := Read("m.csv", strings.NewReader(head+c.text), Options{})
		if c.code != "" {
			if n := note.Of(err, ""); len(n) != 1 || n[0].Code != c.code {
				t.Errorf("%s: %v", c.what, err)
			}
			continue
		}
		if err != nil || l.First().Format("2006-01-02") != c.first {
			t.Errorf("%s: begins %s (%v), want %s", c.what, l.First().Format("2006-01-02"), err, c.first)
		}
		told := ""
		for _, n := range l.Notes {
			if n.Code == "date-order" {
				told = n.Message
			}
		}
		if want := map[string]string{
			"the one date":               "the one date 3/4 is read day first",
			"only so in order":           "dates are read day first, because only so do they stand in order",
			"days follow each other":     "dates are read day first, because the days then follow each other",
			"months follow each other":   "dates are read month first, because the days then follow each other",
			"over new year, month first": "dates are read month first, because the days then follow each other",
		}[c.what]; told != want {
			t.Errorf("%s: told %q, want %q", c.what, told, want)
		}
	}
}

// TestDateOrderOfTwoColumns: the date column tells the order, not the time beside it.
func TestDateOrderOfTwoColumns(t *testing.T) {
	l := logText(t, "date;time;flow (m3/h)\n05/01/2026;06:15;1\n05/13/2026;06:15;2\n", Options{})
	if got := l.First().Format(stamp); got != "2026-05-01 06:15" {
		t.Error(got)
	}
}

// TestNumbers: flows with points, commas and blanks.
func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		flows string
		want  float64 // of the first
		code  string
	}{
		{"2.5 3", 2.5, ""}, {"2,5 3,25", 2.5, ""}, {"1.234,5 3,25", 1234.5, ""}, {"1,234.5 3.25", 1234.5, ""}, {"1e3 2", 1000, ""},
		{"1'250 2", 1250, ""},
		{"0,125 3", 0.125, ""}, {"12345,678 3", 12345.678, ""}, {"1,234 2,5", 1.234, ""}, {"1,234 2", 0, "comma-unclear"},
		{"12,5 1,250", 12.5, ""},
		{"0.000000000000001 2", 1e-15, ""}, {"1234567890.12345 2", 1234567890.12345, ""}, {"1,2,3 4", 123, ""}, {"007 2", 7, ""},
		{".5 2", 0.5, ""},
		{"5. 2", 5, ""}, {"1.2.3 2", 0, "bad-flow"}, {"+4 2", 4, ""}, {"Inf 2", 0, "bad-flow"}, {". 2", 0, "bad-flow"}, {"-0 2", 0, ""},
		{"1234567890123456 1", 1234567890123456, ""},
	} {
		a, b, _ := strings.Cut(c.flows, " ")
		l, err := Read("m.csv", strings.NewReader("time;flow (m3/h)\n2026-05-01 00:00;"+a+"\n2026-05-01 01:00;"+b+"\n"), Options{})
		if c.code != "" {
			if n := note.Of(err, ""); len(n) != 1 || n[0].Code != c.code || n[0].Cell != "B2" {
				t.Errorf("%q: %v", c.flows, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", c.flows, err)
			continue
		}
		near(t, c.flows, float64(l.Point(0).Flow), c.want, 1e-15*max(1, c.want))
	}
	near(t, "blank for thousands", float64(logText(t, "time;flow (m3/h)\n2026-05-01 00:00;1 250\n", Options{}).Point(0).Flow), 1250, 0)
}

// TestIntervalsByTheirEnd: a log that gives the end of each interval alone has its times there, and one
// whose columns are not found says that the site can name them.
func TestIntervalsByTheirEnd(t *testing.T) {
	l := logText(t, "Interval end,Volume in interval (L)\n2026-03-01 00:15,500\n2026-03-01 00:30,480\n2026-03-01 00:45,520\n2026-03-01 01:00,500\n", Options{})
	if got := l.First().Format(stamp); got != "2026-03-01 00:15" {
		t.Error(got)
	}
	if _, err := Read("m.csv", strings.NewReader("a,b\n1,2\n"), Options{}); err == nil || !strings.Contains(err.Error(), "log flow column") {
		t.Error(err)
	}
}

// TestLeftOutReadingsAreNamed: where the one reading of an hour was left out, the error that asks for one
// names it, with its cell.
func TestLeftOutReadingsAreNamed(t *testing.T) {
	for bad, want := range map[string]string{"-3": "the flow is -3 m3/h; it is left out (B7)", "9999": "9999 m3/h, far above all others; it is left out (B7)"} {
		text := "time,flow (m3/h)\n"
		for h := range 24 {
			v := "2." + strconv.Itoa(h%5)
			if h == 5 {
				v = bad
			}
			text += fmt.Sprintf("2026-03-01 %02d:00,%s\n", h, v)
		}
		if _, err := logText(t, text, Options{}).Day(nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", bad, err)
		}
	}
}
