package flow

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/jartest/note"
)

// hourly is a log under a heading, a row for each text, from midnight on.
func hourly(head string, rows ...string) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	for i, r := range rows {
		b.WriteString(firstOfMay.Add(time.Duration(i)*time.Hour).Format(stamp) + r + "\n")
	}
	return b.String()
}

// times is a row n times, then others.
func times(n int, row string, then ...string) []string {
	return append(slices.Repeat([]string{row}, n), then...)
}

// TestColumnsTold: every note of a log with odd columns, from first to last, with its cell; and the flow of the first
// reading, m3/h.
func TestColumnsTold(t *testing.T) {
	long := "flow (m3/h) " + strings.Repeat("a ", 94) // 200 signs
	for _, c := range []struct {
		what, text string
		opt        Options
		first      float64
		told       string
	}{
		{"all used", hourly("time;flow (m3/h)", ";2", ";3"), Options{}, 2, ""},
		{"columns over", hourly("time;level;flow (m3/h);;pH", ";1;2;x;7"), Options{}, 2, "columns-unused A1 not used: level, pH"},
		{"an empty column is no state", hourly("time;flow (m3/h);door", ";2;"), Options{}, 2, "columns-unused A1 not used: door"},
		{"a state by what it says", hourly("time;flow (m3/h);door", ";2;run", ";;off", ";3", ";3;run"), Options{}, 2,
			`flow-off C3 cells that say "off" count as no flow: C3`},
		{"a number among it", hourly("time;flow (m3/h);door", ";2;run", ";3;7"), Options{}, 2, "columns-unused A1 not used: door"},
		{"a number after a thousand rows", hourly("time;flow (m3/h);door", times(999, ";2;run", ";2;7")...), Options{}, 2,
			"columns-unused A1 not used: door"},
		{"and one later", hourly("time;flow (m3/h);door", times(1000, ";2;run", ";2;7")...), Options{}, 2,
			`status-unread C1002 rows say "7", which is not understood; their flow is taken: C1002`},
		{"no heading, no state", hourly("time;flow (m3/h);", ";2;run", ";3;off"), Options{}, 2, ""},
		{"a flow in a row that is off", hourly("time;flow (m3/h);status", ";2;run", ";3;off", ";0;off"), Options{}, 2,
			`status-clash C3 rows that say "off" have a flow, which is taken: C3`},
		{"a word of two letters", hourly("time;flow xy (m3/h)", ";2"), Options{}, 2, ""},
		{"of three", hourly("time;flow xyz (m3/h)", ";2"), Options{}, 2,
			`flow-heading B1 "flow xyz (m3/h)" is taken for the flow of the water to be treated; "xyz" in it is not known`},
		{"of three with a figure", hourly("time;flow ft1 (m3/h)", ";2"), Options{}, 2, ""},
		{"an hour before the unit", hourly("time;flow in 1 h L/s", ";2"), Options{}, 7.2, ""},
		{"nothing but a unit", hourly("time;_m3h", ";2"), Options{}, 2, ""},
		{"two hundred signs", hourly("time;"+long[:200], ";2"), Options{}, 2, ""},
		{"units in some rows", hourly("time;flow;unit", ";2;m3/h", ";;", ";3;m3/h"), Options{}, 0, "unit-missing B1 the flow column has no unit"},
		{"a row too short for its unit", hourly("time;flow;unit", ";2;m3/h", ";3"), Options{}, 0, "unit-missing B1 the flow column has no unit"},
		{"two units in the cells", hourly("time;flow", ";2 m3/h", ";3 L/s"), Options{}, 0, "unit-missing B1 the flow column has no unit"},
		{"a word between units", hourly("time;flow", ";OFF", ";5 L/s", ";36 L/s"), Options{}, 0, `flow-off B2 cells that say "OFF" count as no flow: B2`},
		{"one in thousands and in litres", hourly("time;flow (m3/h);flow (L/s)", ";1,234.5;342.9", ";1,400.5;389.0"), Options{}, 1234.5,
			"columns-unused A1 not used: flow (L/s)"},
		{"a hundredth apart", hourly("time;flow (m3/h);flow (m3/d)", ";100;2423", ";100;2377"), Options{}, 100, "columns-unused A1 not used: flow (m3/d)"},
		{"more above", hourly("time;flow (m3/h);flow (m3/d)", ";100;2425"), Options{}, 0,
			`flow-columns B1 2 columns can be the flow: B "flow (m3/h)", C "flow (m3/d)"`},
		{"more below", hourly("time;flow (m3/h);flow (m3/d)", ";100;2375"), Options{}, 0,
			`flow-columns B1 2 columns can be the flow: B "flow (m3/h)", C "flow (m3/d)"`},
		{"a date that is missing", "time;flow (m3/h);date\n06:15;2;2026-05-01\n07:15;2\n", Options{}, 0,
			`bad-time A3 time "07:15" is not understood`},
		{"the unit in its own row, and none", "time;flow\n;\n" + hourly("", ";2")[1:], Options{}, 0, "unit-missing B1 the flow column has no unit"},
		{"four meters", hourly("tag;flow (m3/h);time", times(0, "")...) + "c;2;2026-05-01 00:00\na;3;2026-05-01 00:00\nb;4;2026-05-01 00:00\nd;5;2026-05-01 00:00\n",
			Options{}, 0, "meters-mixed A the rows are of several meters: c, a, b"},
		{"times twice", hourly("time;flow (m3/h)", ";2") + hourly("", ";3")[1:] + hourly("", ";4")[1:], Options{}, 0,
			"times-twice A rows stand at a time that was already there, with another flow: A3, A4"},
		{"a pair out of order", "time;flow (m3/h)\n2026-05-01 01:00;2\n2026-05-01 00:00;4\n2026-05-01 02:00;3\n", Options{}, 4,
			"rows-unsorted A3 rows earlier than the row above them, put in order of time: A3"},
		{"half of them", "time;flow (m3/h)\n2026-05-01 03:00;2\n2026-05-01 02:00;4\n2026-05-01 01:00;3\n2026-05-01 05:00;3\n", Options{}, 3,
			"rows-unsorted A3 rows earlier than the row above them, put in order of time: A3, A4"},
		{"newest first", "time;flow (m3/h)\n2026-05-01 03:00;2\n2026-05-01 02:00;4\n2026-05-01 01:00;3\n", Options{}, 3, ""},
		{"times alone, over two midnights", "time;flow (m3/h)\n22:00;2\n06:00;3\n14:00;4\n22:00;3\n06:00;3\n", Options{Hold: 9}, 2,
			"days-counted A the times have no date; where they begin anew, a day is counted: 3 days"},
		{"a time empty in five rows", hourly("time;flow (m3/h)", ";2", ";2", ";2", ";2") + ";2\n" + hourly("", ";2")[1:], Options{Hold: 1}, 2,
			"rows-unsorted A7 rows earlier than the row above them, put in order of time: A7|" +
				`clock-back A7 left out, because their time was already there (clock set back, or rows twice): A7|` +
				`bad-time A6 time "" is not understood; it is left out`},
		{"and in four", hourly("time;flow (m3/h)", ";2", ";2", ";2") + ";2\n", Options{Hold: 1}, 0, `bad-time A5 time "" is not understood`},
		{"a litre's unit in a counter", "time;counter (m3)\n2026-05-01 00:00;100\n2026-05-01 01:00;102000 L\n2026-05-01 02:00;103\n", Options{}, 2,
			"counter  the column is a running total; flow is its rise between readings|" +
				`unit-of-cell B3 cells with a unit of their own ("L") are read in it: B3`},
		{"a signal with its unit", "time;flow (mA)\n2026-05-01 00:00;12 mA\n2026-05-01 01:00;4\n", Options{Full: 10}, 5, ""},
		{"a counter that is off", "time;counter (m3)\n2026-05-01 00:00;100\n2026-05-01 01:00;off\n", Options{}, 0, `bad-flow B3 flow "off" is no volume`},
		{"an empty one", hourly("time;flow (m3/h)", ";2", ";", ";2", ";2"), Options{Hold: 1}, 2,
			"flow-missing B3 empty readings count as gaps: B3|log-gaps B3 1 gap without reading, 1 h in all; the longest is 1 h from 2026-05-01 01:00. " +
				"Gaps count nothing in averages"},
	} {
		l, err := Read("m.csv", strings.NewReader(c.text), c.opt)
		list := l.Notes
		if err != nil {
			list = note.Of(err, "other")
		} else {
			near(t, c.what, float64(l.Point(0).Flow), c.first, 1e-9)
		}
		var told []string
		for _, n := range list {
			told = append(told, n.Code+" "+n.Cell+" "+n.Message)
		}
		if got := strings.Join(told, "|"); got != c.told {
			t.Errorf("%s:\n%s\nwant\n%s", c.what, got, c.told)
		}
	}
	if _, err := Read("m.csv", strings.NewReader(hourly("time;"+long[:200]+"b", ";2")), Options{}); err == nil {
		t.Error("a heading of 201 signs is read")
	}
	// A day begins anew after more than twelve hours back, not after twelve.
	for text, want := range map[string]float64{"18:00;2\n05:59;3\n": 11.0 + 59.0/60, "18:00;2\n06:00;3\n": -12} {
		l := logText(t, "time;flow (m3/h)\n12:00;1\n"+text, Options{Hold: 24})
		var at []float64
		for i := range l.Len() {
			at = append(at, l.Point(i).At.Sub(l.First()).Hours())
		}
		step := at[2] - at[1]
		if want < 0 { // put in order of time: 6, 12, 18
			want, step = 6, at[1]-at[0]
		}
		near(t, text, step, want, 1e-9)
	}
	if math.IsNaN(float64(logText(t, hourly("time;flow (m3/h)", ";2"), Options{}).Point(0).Flow)) {
		t.Error("one reading")
	}
}

// TestSegments: a day's parts one by one; what has no length is none.
func TestSegments(t *testing.T) {
	d, err := ByHour([]Step{{From: 0, Flow: 2}, {From: 6, Flow: 3}, {From: 22, Flow: 1}}, Hours{{6, 12}, {12, 22}})
	if err != nil {
		t.Fatal(err)
	}
	if want := []Segment{{Span{6, 12}, 3}, {Span{12, 22}, 3}}; !slices.Equal(d.Segments(), want) {
		t.Errorf("%v, want %v", d.Segments(), want)
	}
	d, err = Constant(2, nil)
	if want := []Segment{{Span{0, 24}, 2}}; err != nil || !slices.Equal(d.Segments(), want) {
		t.Errorf("%v, want %v", d.Segments(), want)
	}
	if _, err := FromSegments([]Segment{{Span{0, 5}, 1}, {Span{5 - 0.9e-9, 6}, 1}}); err != nil { // rounding is no overlap
		t.Error(err)
	}
	if _, err := FromSegments([]Segment{{Span{0, 5}, 1}, {Span{5 - 1.05e-9, 6}, 1}}); err == nil {
		t.Error("an overlap passes")
	}
	if at, ok := d.When(d.Volume() + 1e-6); at != 24 || ok {
		t.Errorf("more than the day has by %v, %v", at, ok)
	}
}
