package flow

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// walked is a log under way: these numbers in the flow column at equal steps of so many hours, rows from 2.
func walked(form form, step float64, flows ...float64) *walk {
	w := &walk{columns: columns{time: 0, flow: 1, form: form, scale: 1, unit: "m3/h", heads: make([]heading, 2)}, clock: &clock{}}
	w.log.column = "B"
	for i, q := range flows {
		w.log.points = append(w.log.points, point{at: int64(float64(i) * step * ms), flow: q, row: int32(i + 2)})
	}
	return w
}

func (w *walk) left() (out []float64) {
	for _, p := range w.log.points {
		out = append(out, p.flow)
	}
	return out
}

// series gives n numbers from first on, each so much more than the one before.
func series(n int, first, step float64) (out []float64) {
	for i := range n {
		out = append(out, first+float64(i)*step)
	}
	return out
}

// TestCourse: how a column of volumes goes on, counted by hand, on either side of every limit.
func TestCourse(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		what                 string
		step                 float64
		flows                []float64
		rises, falls, slight int
		surely, long         bool
	}{
		{"nothing", 1, nil, 0, 0, 0, false, false},
		{"one", 1, []float64{5}, 0, 0, 0, false, false},
		{"equal is neither", 1, []float64{5, 5, 6}, 1, 0, 0, false, false},
		{"empty cells do not count", 1, []float64{nan, 5, nan, 6, nan}, 1, 0, 0, false, false},
		{"to half is a reset", 1, []float64{10, 5}, 0, 1, 0, false, false},
		{"to more than half is none", 1, []float64{10, 5.1}, 0, 1, 1, false, false},
		{"fifty rises", 1, series(51, 100, 10), 50, 0, 0, true, false},
		{"forty-nine", 1, series(50, 100, 10), 49, 0, 0, false, false},
		{"one in two hundred", 1, []float64{1000, 1005}, 1, 0, 0, false, false},
		{"less", 1, []float64{1000, 1004}, 1, 0, 0, true, false},
		{"no rise at all", 1, []float64{1000, 1000}, 0, 0, 0, false, false},
		{"twelve rises to more than ten times", 1, series(13, 1, 0.76), 12, 0, 0, true, false}, // 10.12
		{"to just ten times", 1, series(13, 1, 0.75), 12, 0, 0, false, false},
		{"eleven", 1, series(12, 1, 0.9), 11, 0, 0, false, false}, // 10.9
		{"a fall in fifty-one", 1, append(series(52, 1, 1), 1), 51, 1, 0, true, false},
		{"a fall in fifty", 1, append(series(51, 1, 1), 1), 50, 1, 0, false, false},
		{"one slight of two", 1, slices.Concat(series(52, 1, 1), series(52, 1, 1), []float64{39}), 102, 2, 1, true, false},
		{"two slight", 1, slices.Concat(series(103, 100, 1), series(2, 150, 0), series(1, 120, 0)), 102, 2, 2, false, false},
		{"days", 24, []float64{5, 6}, 1, 0, 0, false, true},
		{"twenty hours", 20, []float64{5, 6}, 1, 0, 0, false, true},
		{"less than twenty", 19.9, []float64{5, 6}, 1, 0, 0, false, false},
	} {
		got := walked(amountForm, c.step, c.flows...).course()
		if got.rises != c.rises || got.falls != c.falls || got.slight != c.slight || got.surely != c.surely || got.long != c.long {
			t.Errorf("%s: %+v, want %d rises, %d falls, %d slight, surely %v, long %v", c.what, got, c.rises, c.falls, c.slight, c.surely, c.long)
		}
	}
	near(t, "steady", walked(amountForm, 1, 200, 203, 206).course().steady, 0.015, 1e-15) // 6 in two steps, of 200
}

// TestAmountsChosen: a running total, the water of intervals, or a question.
func TestAmountsChosen(t *testing.T) {
	for _, c := range []struct {
		what  string
		is    sense
		step  float64
		flows []float64
		code  string
	}{
		{"a counter", counterSense, 1, []float64{1, 2, 3}, "counter"},
		{"a counter that falls twice in eight steps", counterSense, 1, []float64{5, 6, 7, 1, 2, 3, 4, 0, 1}, "counter"},
		{"twice in seven", counterSense, 1, []float64{5, 6, 7, 1, 2, 3, 0, 1}, "counter-unclear"},
		{"two falls, one of them slight", counterSense, 1, []float64{6, 7, 8, 5, 6, 7, 1, 2, 3}, "counter"},
		{"two slight falls", counterSense, 1, []float64{6, 7, 8, 6, 7, 8, 6, 7, 8}, "counter-unclear"},
		{"an interval", intervalSense, 1, []float64{1, 2, 3}, "interval-volumes"},
		{"an interval beside a counter", intervalSense | counterSense, 1, []float64{5, 6, 7, 1, 2, 3, 0, 1}, "interval-volumes"},
		{"an interval that rises twenty times", intervalSense, 1, series(21, 1, 1), "interval-volumes"},
		{"twenty-one times", intervalSense, 1, series(22, 1, 1), "counter-unclear"},
		{"neither, falling", 0, 1, []float64{5, 6, 7, 1, 2, 3, 0, 1}, "interval-volumes"},
		{"neither, falling once", 0, 1, []float64{5, 4, 7}, "counter-unclear"},
		{"neither, surely", 0, 1, []float64{1000, 1001}, "counter"},
		{"neither", 0, 1, []float64{5, 6}, "counter-unclear"},
		{"a sum", totalSense, 1, []float64{5, 6}, "counter"},
		{"a sum of each day", totalSense, 24, []float64{5, 6}, "counter-unclear"},
	} {
		w := walked(amountForm, c.step, c.flows...)
		w.heads[1].is = c.is
		err := w.amounts()
		got := w.log.Notes
		if err != nil {
			got = note.Of(err, "other")
		}
		if len(got) == 0 || got[0].Code != c.code {
			t.Errorf("%s: %v, want %s", c.what, got, c.code)
		}
	}
	w := walked(amountForm, 1, 5, 6, 7, 1, 2, 3, 0, 1)
	w.heads[1].is = counterSense
	if err := w.amounts(); err == nil || !strings.Contains(err.Error(), "falls in 2 of 7 steps") {
		t.Error(err)
	}
}

// TestIntervalsUneven: the water since the row before, over the time since then. By hand: 2 m3 in half an hour are 4 m3/h,
// 3 in an hour and a quarter 2.4, 1 in a quarter 4; the last number of the log has nothing behind it.
func TestIntervalsUneven(t *testing.T) {
	const text = "time;hourly volume (m3)\n2026-05-01 00:00;1\n2026-05-01 00:30;2\n2026-05-01 01:45;3\n2026-05-01 02:00;1\n"
	l := logText(t, text, Options{})
	for i, want := range []float64{4, 2.4, 4} {
		near(t, "uneven", float64(l.Point(i).Flow), want, 1e-9)
	}
	if !math.IsNaN(float64(l.Point(3).Flow)) || l.Notes[0].Code != "interval-volumes" || l.Notes[0].Level != note.Caution {
		t.Errorf("%v %v", l.Point(3), l.Notes)
	}
	for _, c := range []struct {
		what  string
		hours []float64 // of the readings, each of 6 m3
		step  float64   // 0: uneven
	}{
		{"one reading is of an hour", []float64{0}, 1},
		{"a step of two is two left out", []float64{0, 0.5, 1, 2, 2.5}, 0.5},
		{"nine in ten", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 9.3}, 1},
		{"eight in nine", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 8.3}, 0},
	} {
		w := walked(amountForm, 1, slices.Repeat([]float64{6}, len(c.hours))...)
		for i, h := range c.hours {
			w.log.points[i].at = int64(math.Round(h * ms))
		}
		w.intervals()
		if uneven := w.log.Notes[0].Level == note.Caution; uneven != (c.step == 0) {
			t.Errorf("%s: uneven %v", c.what, uneven)
		}
		if c.step > 0 {
			near(t, c.what, w.log.points[0].flow, 6/c.step, 1e-12)
			if want := fmt.Sprintf("of one interval of %s", quantity.Time(c.step)); !strings.Contains(w.log.Notes[0].Message, want) {
				t.Errorf("%s: %s", c.what, w.log.Notes[0].Message)
			}
		}
	}
}

// TestGlitches: single readings from which a counter comes back are left out, a reset is not.
func TestGlitches(t *testing.T) {
	for _, c := range []struct {
		flows, want []float64
		doubts      string
	}{
		{[]float64{1, 2, 3}, []float64{1, 2, 3}, ""},
		{[]float64{1, 2, 0, 3}, []float64{1, 2, 3}, "B4"},             // too low for once
		{[]float64{1, 2, 0, 2}, []float64{1, 2, 2}, "B4"},             // and back to just where it was
		{[]float64{1, 2, 9, 3, 4}, []float64{1, 2, 3, 4}, "B4"},       // too high for once
		{[]float64{1, 3, 9, 3, 4}, []float64{1, 3, 3, 4}, "B4"},       // and back to just where it was
		{[]float64{2, 9, 3, 4}, []float64{2, 3, 4}, "B3"},             // the second row
		{[]float64{9, 3, 4}, []float64{9, 3, 4}, ""},                  // the first has none before it
		{[]float64{5, 6, 1, 2}, []float64{5, 6, 1, 2}, ""},            // a reset
		{[]float64{1, 2, 0, 0, 3}, []float64{1, 2, 0, 0, 3}, ""},      // two rows are no glitch
		{[]float64{1, 2, 0, 3, 9, 4}, []float64{1, 2, 3, 4}, "B4 B6"}, // one of each
		{[]float64{1, 2, 1}, []float64{1, 1}, "B3"},                   // the last
	} {
		w := walked(amountForm, 1, c.flows...)
		w.glitches()
		var cells []string
		for _, n := range w.doubts.list {
			cells = append(cells, n.Cell)
		}
		if got := strings.Join(cells, " "); !slices.Equal(w.left(), c.want) || got != c.doubts {
			t.Errorf("%v: %v, %q, want %v, %q", c.flows, w.left(), got, c.want, c.doubts)
		}
	}
}

// TestUnlikely: spikes, readings below zero and jumps, on either side of their limits. Nine in ten readings are 2 m3/h.
func TestUnlikely(t *testing.T) {
	twos := func(n int, odd ...float64) []float64 { return append(slices.Repeat([]float64{2}, n), odd...) }
	for _, c := range []struct {
		what  string
		flows []float64
		want  []float64 // of the odd ones, -1 for left out
		codes string
		told  string
	}{
		{"a spike", twos(10, 20.1), []float64{-1}, "flow-spike", ""},
		{"ten times is none, and is spoken of", twos(10, 20), []float64{20}, "", "flow-jump B12"},
		{"six times is nothing", twos(10, 12), []float64{12}, "", ""},
		{"two together", twos(10, 21, 22), []float64{-1, -1}, "flow-spike flow-spike", ""},
		{"three together stand", twos(30, 21, 22, 23), []float64{21, 22, 23}, "", "flow-jump B32, B33, B34"},
		{"nines for as long as they like", twos(30, 99.9, 99.9, 99.9), []float64{-1, -1, -1}, "flow-spike flow-spike flow-spike", ""},
		{"below zero by a fiftieth", twos(10, -0.04), []float64{0}, "", ""},
		{"by more", twos(10, -0.041), []float64{-1}, "negative-flow", ""},
		{"four readings tell no usual one", []float64{2, 2, 2, 2, 999}, []float64{-1}, "flow-spike", ""},
		{"too few for any", []float64{2, 2, 2, 999}, []float64{999}, "", ""},
		{"too few to forgive", []float64{2, 2, 2, 2, -0.001}, []float64{-1}, "negative-flow", ""},
	} {
		w := walked(rateForm, 1, c.flows...)
		w.unlikely()
		got := w.left()[len(c.flows)-len(c.want):]
		for i, want := range c.want {
			if got[i] != want && !(want == -1 && math.IsNaN(got[i])) {
				t.Errorf("%s: %v, want %v", c.what, got, c.want)
			}
		}
		var codes []string
		for _, n := range w.doubts.list {
			codes = append(codes, n.Code)
		}
		told := ""
		for _, n := range w.log.Notes {
			_, where, _ := strings.Cut(n.Message, "stand: ")
			told += n.Code + " " + where
		}
		if strings.Join(codes, " ") != c.codes || told != c.told {
			t.Errorf("%s: %v, %q", c.what, w.doubts.list, told)
		}
	}
	// The middle of 1, 1, 1, 5, 5, 5, 5 is 5, of 1, 1, 1, 1, 5, 5, 5 it is 1; the usual of seven is the sixth.
	for _, c := range []struct {
		flows []float64
		jump  bool
	}{{[]float64{1, 1, 1, 5, 5, 5, 5, 34}, false}, {[]float64{1, 1, 1, 5, 5, 5, 5, 36}, true}, {[]float64{1, 1, 1, 1, 1, 5, 5, 34}, true}} {
		w := walked(rateForm, 1, c.flows...)
		w.unlikely()
		if (len(w.log.Notes) > 0) != c.jump || len(w.doubts.list) > 0 {
			t.Errorf("%v: %v %v", c.flows, w.log.Notes, w.doubts.list)
		}
	}
}

// TestNines: three nines or more and nothing else, in the unit of the cell.
func TestNines(t *testing.T) {
	w := walked(rateForm, 1)
	for q, want := range map[float64]bool{99: false, 9.9: false, 999: true, 99.9: true, 999.9: true, 9999999: true, 998: false, 99.95: false,
		math.NaN(): false, 0: false} {
		if w.nines(q) != want {
			t.Errorf("%g: %v", q, !want)
		}
	}
	w.scale = 3.6 // L/s
	if !w.nines(999.9*3.6) || w.nines(999.9) || w.shown(7.2) != "2 m3/h" {
		t.Error("in the cell's unit")
	}
	w.form = amountForm
	if w.nines(999) || w.shown(7.2) != "7.2 m3/h" {
		t.Error("of a counter")
	}
}

// TestDoubts: at most one row in ten of five or more is left out, and twenty are named.
func TestDoubts(t *testing.T) {
	for _, c := range []struct {
		total, rows int
		fatal       bool
		left, bad   int // notes, faults
		last        string
	}{
		{0, 0, false, 0, 0, ""}, {1, 4, false, 0, 1, "odd"}, {1, 5, false, 1, 0, "odd; it is left out"}, {2, 19, false, 0, 2, "odd"},
		{2, 20, false, 2, 0, "odd; it is left out"}, {1, 50, true, 0, 1, "odd"}, {20, 200, false, 20, 0, "odd; it is left out"},
		{20, 199, false, 0, 20, "odd"}, {23, 230, false, 21, 0, "3 more readings like these are left out"},
		{23, 229, false, 0, 21, "and 3 more cells like these"},
	} {
		var d doubts
		for i := range c.total {
			add := d.add
			if c.fatal {
				add = d.never
			}
			add(note.Place{File: "f"}, note.Fault("x", "odd"), cell(1, i+2))
		}
		left, err := d.settle(c.rows)
		all := left
		if err != nil {
			all = note.Of(err, "")
		}
		if len(left) != c.left || err == nil && c.bad > 0 || err != nil && len(all) != c.bad {
			t.Errorf("%d of %d: %v, %v", c.total, c.rows, left, err)
		} else if len(all) > 0 && (all[len(all)-1].Message != c.last || all[0].Cell != "B2" || all[len(all)-1].File != "f") {
			t.Errorf("%d of %d: %+v", c.total, c.rows, all[len(all)-1])
		}
	}
	var x tally
	for i := range 7 {
		x.add(0, i+1, fmt.Sprint("t", i%6))
	}
	if x.n != 7 || x.first() != "A1" || x.where() != "A1, A2, A3, A4, A5 and 2 more" || x.quoted() != `"t0", "t1", "t2", "t3", "t4"` {
		t.Errorf("%+v", x)
	}
}

// TestNumbersOfTime: day numbers and seconds at their bounds, long digits, names of months. 25569 is the first of January 1970.
func TestNumbersOfTime(t *testing.T) {
	for text, want := range map[string]int64{
		"1001": (1001 - 25569) * 86_400_000, "25569": 0, "25569.5": 43_200_000, "199999": (199999 - 25569) * 86_400_000,
		"100000001": 100_000_001_000, "1777616100.25": 1_777_616_100_250, "9999999999": 9_999_999_999_000,
	} {
		if got, err := new(clock).serial([]byte(text)); err != nil || got != want {
			t.Errorf("%s: %d, %v, want %d", text, got, err, want)
		}
	}
	if got, err := (&clock{date1904: true}).serial([]byte("24107")); err != nil || got != 0 { // 1462 days later
		t.Errorf("1904: %d, %v", got, err)
	}
	for _, text := range []string{"1000", "200000", "100000000", "10000000000", "nan", "x", ""} {
		if got, err := new(clock).serial([]byte(text)); err == nil || got != 0 {
			t.Errorf("%s is read as %d, %v", text, got, err)
		}
	}
	for text, want := range map[string][2]int{"1234567890": {123456789, 9}, "12:3": {12, 2}, "x": {0, 0}, "": {0, 0}, "/": {0, 0}, "9": {9, 1}} {
		if v, n := digits([]byte(text)); v != want[0] || n != want[1] {
			t.Errorf("%q: %d, %d digits", text, v, n)
		}
	}
	for text, want := range map[string][2]int{"may": {5, 3}, "December 26": {12, 8}, "Sept 26": {9, 3}, "JAN": {1, 3}, "ma": {0, 0}, "": {0, 0}} {
		if m, n := monthName([]byte(text)); m != want[0] || n != want[1] {
			t.Errorf("%q: month %d, %d letters", text, m, n)
		}
	}
	for text, ok := range map[string]bool{"1900-01-01": true, "2200-12-31": true, "1899-12-31": false, "2201-01-01": false, "1-5-26": true,
		"1-5-026": false, "12": false, "1-": false, "1-x-2026": false} {
		if day, rest, err := new(clock).day([]byte(text)); (err == nil) != ok || !ok && (day != 0 || rest != nil) {
			t.Errorf("%q: %d, %q, %v", text, day, rest, err)
		}
	}
}

// TestStuck: a run of equal readings is doubted only where it is long and the others
// change.
func TestStuck(t *testing.T) {
	changing := func(n int) (out []float64) {
		for i := range n {
			out = append(out, 2+float64(i%7)/10)
		}
		return out
	}
	same := func(n int, v float64) (out []float64) {
		for range n {
			out = append(out, v)
		}
		return out
	}
	for _, c := range []struct {
		what  string
		flows []float64
		speak bool
	}{
		{"twelve among changing ones", append(changing(30), same(12, 3)...), true},
		{"eleven", append(changing(30), same(11, 3)...), false},
		{"no flow", append(changing(30), same(20, 0)...), false},
		{"a constant flow", same(60, 3), false},
		{"too few others", append(changing(11), same(12, 3)...), false},
		{"a flow that often stays", append(append(same(9, 2), append(same(9, 2.5), same(9, 2.2)...)...), same(12, 3)...), false},
	} {
		w := walked(rateForm, 1, c.flows...)
		w.stuck()
		if (len(w.log.Notes) > 0) != c.speak {
			t.Errorf("%s: %v", c.what, w.log.Notes)
		}
	}
	// of two runs as long the first is named
	w := walked(rateForm, 1, append(append(changing(60), same(12, 3)...), append(changing(20), same(12, 4)...)...)...)
	if w.stuck(); len(w.log.Notes) != 1 || !strings.HasPrefix(w.log.Notes[0].Message, "12 readings in a row are the same, 3 m3/h,") {
		t.Errorf("%v", w.log.Notes)
	}
}
