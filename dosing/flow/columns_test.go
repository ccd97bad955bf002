package flow

import (
	"fmt"
	"runtime"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestHeadings: which columns a heading names, and the first flow in m3/h. Units by definition: 1 L/s is 3.6 m3/h,
// a US gallon 3.785411784 L (NIST SP 811, appendix B).
func TestHeadings(t *testing.T) {
	const a, b = "2026-05-01 00:00", "2026-05-01 00:30"
	two := func(head string, rows ...string) string { return head + "\n" + strings.Join(rows, "\n") + "\n" }
	for _, c := range []struct {
		what, text string
		opt        Options
		want       float64
	}{
		{"L/s", two("time;flow (L/s)", a+";2", b+";2"), Options{}, 7.2},
		{"square brackets", two("time;Q [L/min]", a+";100", b+";2"), Options{}, 6},
		{"unit behind the word", two("time;flow m3/d", a+";48", b+";2"), Options{}, 2},
		{"squashed", two("time;inflow (m3h)", a+";48", b+";2"), Options{}, 48},
		{"squashed litres", two("time;discharge (ls)", a+";1", b+";2"), Options{}, 3.6},
		{"underscores", two("time_logged;flow_rate (gpm)", a+";10", b+";2"), Options{}, 10 * 3.785411784 * 0.06},
		{"unit in the row below", two("time;flow", ";(L/s)", a+";2", b+";2"), Options{}, 7.2},
		{"unit told", two("time;flow", a+";2", b+";2"), Options{Unit: "L/s"}, 7.2},
		{"the heading's unit before the one told", two("time;flow (m3/h)", a+";2", b+";2"), Options{Unit: "L/s"}, 2},
		{"columns told", two("when;A;B", a+";9;2", b+";9;2"), Options{FlowColumn: " b ", TimeColumn: "When", Unit: "m3/h"}, 2},
		{"one flow in two units", two("time;flow (m3/h);flow (L/s)", a+";3.6;1", b+";7.2;2"), Options{}, 3.6},
		{"the flow before the counter", two("time;total (m3);flow (m3/h)", a+";100;2", b+";101;2"), Options{}, 2},
		{"a total in m3", two("time;total flow (m3)", a+";100", b+";101"), Options{}, 2},
		{"volume in L", two("time;volume (L)", a+";200000", b+";200500"), Options{}, 1},
		{"flow in m3 is a total", two("time;flow (m3)", a+";1000", b+";1001"), Options{}, 2},
		{"a total's unit below", two("time;counter", ";m3", a+";100", b+";101"), Options{}, 2},
		{"a total in m3/h is none", two("time;index (m3/h)", a+";2", b+";2"), Options{}, 2},
		{"no heading", a + ";2\n" + b + ";3\n", Options{Unit: "m3/h"}, 2},
		{"title and names before it", two("Beck intake\n2026;4711\n\nname;value\ntime;flow (m3/h)", a+";2", b+";2"), Options{}, 2},
		{"first date and time, not the second", two("date;time;date;flow (m3/h)", "2026-05-01;00:00;2020-01-01;2"), Options{}, 2},
		{"the first time column", two("time;time;flow (m3/h)", a+";x;2"), Options{}, 2},
		{"bars", two("time|flow (m3/h)", a+"|2", b+"|2"), Options{}, 2},
		{"commas in quotes", two(`"time","flow (m3/h)","note, long"`, a+`,"1,234.5","x"`, b+`,2,y`), Options{}, 1234.5},
		{"UTF-16", "\xff\xfe" + utf16le(two("time;flow (m3/h)", a+";2", b+";2")), Options{}, 2},
		{"decimal comma in commas", two(`time,flow (m3/h)`, a+`,"2.5"`, b+`,2`), Options{}, 2.5},
	} {
		l, err := Read("m.csv", strings.NewReader(c.text), c.opt)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		near(t, c.what, float64(l.Point(0).Flow), c.want, 1e-9)
	}
	for _, c := range []struct {
		what, text string
		opt        Options
		code, cell string
	}{
		{"asked for another", two("time;flow (m3/h)", a+";2"), Options{FlowColumn: "flow (m3/d)"}, "no-flow-column", ""},
		{"two flows", two("time;flow (m3/h);flow (L/s)", a+";2;9", b+";2;9"), Options{}, "flow-columns", "B1"},
		{"a total or the volume of each step", two("time;volume (L)", a+";1000", b+";1500"), Options{}, "counter-unclear", "B"},
		{"no time", two("flow (m3/h);level", "2;3"), Options{}, "no-flow-column", ""},
		{"beyond 60 lines", strings.Repeat("x\n", 60) + two("time;flow (m3/h)", a+";2"), Options{}, "no-flow-column", ""},
		{"no unit", two("time;x;flow", a+";0;2"), Options{}, "unit-missing", "C1"},
		{"unknown unit", two("time;flow (buckets)", a+";2"), Options{}, "unit-unknown", "B1"},
		{"no row", two("time;flow (m3/h)"), Options{}, "empty-log", ""},
		{"no time in a row", two("flow (m3/h);time", "2"), Options{}, "no-time", "B2"},
		{"letters", two("time;flow (m3/h)", a+";2", b+";wet"), Options{}, "bad-flow", "B3"},
		{"below zero", two("time;flow (m3/h)", a+";2", b+";-0.1"), Options{}, "negative-flow", "B3"},
	} {
		_, err := Read("m.csv", strings.NewReader(c.text), c.opt)
		if n := note.Of(err, "other"); len(n) != 1 || n[0].Code != c.code || n[0].Cell != c.cell || n[0].File != "m.csv" {
			t.Errorf("%s: %v", c.what, err)
		}
	}
	if _, err := Read("m.csv", strings.NewReader(strings.Repeat("x\n", 59)+two("time;flow (m3/h)", a+";2")), Options{}); err != nil {
		t.Errorf("line 60: %v", err)
	}
	_, err := Read("m.csv", strings.NewReader(two("time;Outflow;level", a+";2;3")), Options{FlowColumn: "Outflwo", Unit: "m3/h"})
	if err == nil || !strings.Contains(err.Error(), `("Outflwo"), did you mean`) && !strings.Contains(err.Error(), `"Outflow"`) {
		t.Errorf("a name misspelt: %v", err)
	}
	// Columns beyond Z are named as a workbook does.
	wide := strings.Repeat("x;", 27)
	_, err = Read("m.csv", strings.NewReader(two(wide+"time;flow (m3/h)", wide+a+";wet")), Options{})
	if n := note.Of(err, ""); len(n) != 1 || n[0].Cell != "AC2" {
		t.Errorf("the 29th column: %v", err)
	}
}

func utf16le(s string) string {
	var b strings.Builder
	for _, r := range s {
		b.WriteByte(byte(r))
		b.WriteByte(byte(r >> 8))
	}
	return b.String()
}

// TestLogNotes: what a log tells of itself, with the first cell and the count.
func TestLogNotes(t *testing.T) {
	const head = "time;flow (m3/h)\n"
	row := func(h, m int, flow string) string { return fmt.Sprintf("2026-05-01 %02d:%02d;%s\n", h, m, flow) }
	for _, c := range []struct{ text, code, cell, message string }{
		{row(0, 0, "2") + row(0, 10, "") + row(0, 20, "bad") + row(0, 30, "N/A") + row(0, 40, "2"), "flow-missing", "B3",
			`readings that are empty or say "bad", "N/A" count as gaps: B3, B4, B5`},
		{row(0, 0, "2") + row(0, 10, "N/A") + row(0, 20, "2"), "flow-missing", "B3", `readings that are empty or say "N/A" count as gaps: B3`},
		{row(0, 0, "2") + row(0, 10, "-0.01") + row(0, 20, "-0.04") + row(0, 30, "2") + row(0, 40, "2") + row(0, 50, "2") + row(1, 0, "2"),
			"flow-below-zero", "B3", "readings a little below zero are taken for no flow: B3, B4"},
		{row(0, 0, "2") + row(0, 10, "2") + row(0, 10, "3") + row(0, 5, "4") + row(0, 20, "2"), "clock-back", "A4",
			"left out, because their time was already there (clock set back, or rows twice): A4"},
		{row(0, 0, "2") + row(0, 10, "2") + row(0, 20, "2") + row(2, 0, "2") + row(2, 10, "2") + row(3, 0, "2") + row(3, 10, "2"),
			"log-gaps", "B4",
			"2 gaps without reading, 2.167 h in all; the longest is 1.5 h from 2026-05-01 00:30. Gaps count nothing in averages"},
		// of two as long the first is named
		{row(0, 0, "2") + row(0, 10, "2") + row(0, 20, "2") + row(1, 0, "2") + row(1, 10, "2") + row(1, 20, "2") + row(2, 0, "2"),
			"log-gaps", "B4",
			"2 gaps without reading, 1 h in all; the longest is 30 min from 2026-05-01 00:30. Gaps count nothing in averages"},
		{row(0, 0, "2") + row(0, 10, "2") + row(0, 20, "2") + row(1, 0, "2") + row(1, 10, "2"), "log-gaps", "B4",
			"1 gap without reading, 30 min in all; the longest is 30 min from 2026-05-01 00:30. Gaps count nothing in averages"},
	} {
		l := logText(t, head+c.text, Options{})
		found := false
		for _, n := range l.Notes {
			if n.Code != c.code {
				continue
			}
			if found = true; n.Cell != c.cell || n.Message != c.message || n.File != "meter.csv" {
				t.Errorf("%s at %s: %s", n.Code, n.Cell, n.Message)
			}
		}
		if !found {
			t.Errorf("%s is not told: %v", c.code, l.Notes)
		}
	}
	// Closing lines count nothing; a number in their place does.
	l := logText(t, head+row(0, 0, "2")+row(0, 10, "3")+"total;5\nmean;2.5\nend of file\n;\n", Options{})
	if l.Len() != 2 || len(l.Notes) != 0 {
		t.Errorf("%d readings, %v", l.Len(), l.Notes)
	}
	for _, bad := range []string{"remark;3", "12 stuck;", "9 total;4"} {
		if _, err := Read("m.csv", strings.NewReader(head+row(0, 0, "2")+bad+"\n"), Options{}); err == nil {
			t.Errorf("%q passes for a closing line", bad)
		}
	}
	// The row as it stands: readings left out keep nothing, newest first turns round.
	l = logText(t, head+row(0, 0, "2")+row(0, 10, "4")+row(0, 10, "9")+row(0, 20, "0"), Options{})
	near(t, "the first of two counts", l.Volume().In("m3"), (2+4.0)/6, 1e-9)
	l = logText(t, head+row(0, 20, "0")+row(0, 10, "4")+row(0, 0, "2"), Options{})
	near(t, "newest first", l.Volume().In("m3"), (2+4.0)/6, 1e-9)
}

// TestLongLineAbove: two million signs above a table are no note on its unit, and cost no more than to hold them.
func TestLongLineAbove(t *testing.T) {
	text := strings.Repeat("#", 2_000_000) + "\ntime,flow m3/h\n2026-03-01 00:00,5\n2026-03-01 12:00,7\n"
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := Read("log.csv", strings.NewReader(text), Options{}); err != nil {
		t.Error(err)
	}
	if runtime.ReadMemStats(&after); after.TotalAlloc-before.TotalAlloc > 60<<20 {
		t.Errorf("%d MB were taken", (after.TotalAlloc-before.TotalAlloc)>>20)
	}
}
