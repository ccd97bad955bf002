package flow

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// ofHour is the flow by the hour, m3/h: 60 m3 in 24 hours.
func ofHour(i int) float64 { return []float64{2.0, 2.2, 2.4, 2.6, 2.8, 3.0}[i%6] }

// logged writes hours of a log from 2 March 2026: %t the time, %q the flow, %l the
// flow in L/s, %c a counter, %x what at says for that hour, or the flow.
func logged(head, row string, hours int, at map[int]string) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	counter := 12000.0
	for i := range hours {
		x, ok := at[i]
		if !ok {
			x = fmt.Sprint(ofHour(i))
		}
		r := strings.NewReplacer("%t", fmt.Sprintf("2026-03-%02d %02d:00", 2+i/24, i%24), "%q", fmt.Sprint(ofHour(i)), "%l",
			fmt.Sprintf("%.5f", ofHour(i)/3.6),
			"%d", fmt.Sprintf("2026-03-%02d", 2+i/24), "%h", fmt.Sprint(i%24+1), "%k", fmt.Sprintf("%02d:00", i%24), "%c",
			fmt.Sprintf("%.1f", counter), "%x", x,
			"%m", fmt.Sprintf("%.4f", 4+16*ofHour(i)/5), "%n", fmt.Sprint(60+i))
		b.WriteString(r.Replace(row) + "\n")
		counter += ofHour(i)
	}
	return b.String()
}

// TestLogTable: logs with traps, the water of their mean day, and what they are told to look at.
func TestLogTable(t *testing.T) {
	off := map[int]string{2: "OFF", 3: "off", 26: "Pump stopped", 27: "OFF"}
	for _, c := range []struct {
		what, text string
		opt        Options
		m3         float64 // of the mean day; 0 for a question
		codes      string  // of the cautions, or of the error
		cell       string  // of the first
	}{
		{"plain", logged("time;flow (m3/h)", "%t;%q", 48, nil), Options{}, 60, "", ""},
		{"other quantities beside it", logged("Timestamp;Influent Flow (L/s);Temp (F);pH", "%t;%l;55;7.1", 24, nil), Options{}, 60, "", ""},
		{"set point", logged("time;setpoint (m3/h);flow (m3/h)", "%t;5;%q", 24, nil), Options{}, 60, "", ""},
		{"backwash", logged("time;backwash flow (m3/h);flow (m3/h)", "%t;0;%q", 24, nil), Options{}, 60, "", ""},
		{"backwash alone", logged("time;backwash flow (m3/h)", "%t;%q", 24, nil), Options{}, 60, "flow-heading", "B1"},
		{"low, mean, high", logged("time;flow min (m3/h);flow avg (m3/h);flow max (m3/h)", "%t;1;%q;4", 24, nil), Options{}, 60, "", ""},
		{"in and out", logged("time;inflow (m3/h);outflow (m3/h)", "%t;%q;1", 24, nil), Options{}, 0, "flow-columns", "B1"},
		{"in and out, named", logged("time;inflow (m3/h);outflow (m3/h)", "%t;1;%q", 24, nil),
			Options{FlowColumn: "Outflow (m3/h)"}, 60, "", ""},
		{"one in two units", logged("time;flow (m3/h);flow (L/s)", "%t;%q;%l", 24, nil), Options{}, 60, "", ""},
		{"flow beside a total", logged("time;total (m3);flow (L/s)", "%t;%c;%l", 24, nil), Options{}, 60, "", ""},
		{"one negative", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "-3.1"}), Options{}, 60, "log-gaps negative-flow", "B32"},
		{"one 9999", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "9999"}), Options{}, 60, "flow-spike log-gaps", "B32"},
		{"9999 for a while", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "999.9", 31: "999.9", 32: "999.9"}), Options{}, 60,
			"flow-spike flow-spike flow-spike log-gaps", "B32"},
		{"texts of a sensor", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "ERR", 50: "---"}), Options{}, 60,
			"log-gaps", "B32"},
		{"below a limit", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "<0.5"}), Options{}, 60, "bad-flow log-gaps", "B32"},
		{"off at night", logged("time;flow (m3/h)", "%t;%x", 48, off), Options{}, 60 - 2.4 - 2.6, "flow-off", "B4"},
		{"a state beside it", logged("time;pump;flow (m3/h)", "%t;RUN;%q", 24, nil), Options{}, 60, "", ""},
		{"marked bad", logged("time;flow (m3/h);quality", "%t;%q;%x", 72, goodBut(72, 30, "BAD")), Options{}, 60,
			"log-gaps status-bad", "C32"},
		{"a remark", logged("time;flow (m3/h);remark", "%t;%q;%x", 72, goodBut(72, 30, "heron on the weir")), Options{}, 60,
			"status-unread", "C32"},
		{"counter", logged("time;meter (m3)", "%t;%c", 25, nil), Options{}, 60, "", ""},
		{"counter with a slip", logged("time;counter (m3)", "%t;%x", 73, counterBut(73, 30, "99999.9")), Options{}, 60,
			"counter-glitch", "B32"},
		{"water of each hour", logged("time;volume (m3)", "%t;%q", 48, nil), Options{}, 60, "", ""},
		{"a volume that only grows", logged("time;volume (m3)", "%t;%n", 10, nil), Options{}, 0, "counter-unclear", "B"},
		{"the same, as log unit", logged("time;volume (m3)", "%t;%n", 24, nil), Options{Unit: "m3 each interval"}, 24*60 + 23*12, "", ""},
		{"a counter that falls", logged("time;totaliser (m3)", "%t;%q", 48, nil), Options{}, 0, "counter-unclear", "B"},
		{"a signal", logged("time;signal (mA)", "%t;%m", 24, nil), Options{Full: 5}, 60, "", ""},
		{"a signal of no range", logged("time;signal (mA)", "%t;%m", 24, nil), Options{}, 0, "signal-range", "B1"},
		{"a dead signal", logged("time;signal (mA)", "%t;%x", 48, signalBut(48, 30, "0.02")), Options{Full: 5}, 60,
			"log-gaps signal-fault", "B32"},
		{"unit in each cell", logged("time;flow", "%t;%q m3/h", 24, nil), Options{}, 60, "", ""},
		{"another unit in one cell", logged("time;flow (m3/h)", "%t;%x", 24, map[int]string{5: "50 L/min"}), Options{}, 60,
			"unit-of-cell", "B7"},
		{"unit column", logged("time;tag;value;unit", "%t;FT1;%q;m3/h", 24, nil), Options{}, 60, "", ""},
		{"two meters", logged("time;tag;value;unit", "%t;FT1;%q;m3/h\n%t;FT2;%q;m3/h", 24, nil), Options{}, 0, "meters-mixed", "B"},
		{"unit above", "Unit: m3/h\n" + logged("time;flow", "%t;%q", 24, nil), Options{}, 60, "", ""},
		{"ten times", logged("time;flow (m3/h x 10)", "%t;%q", 24, nil), Options{}, 0, "unit-unknown", "B1"},
		{"a second heading", logged("time;flow (m3/h)", "%t;%q", 24, nil) + "time;flow (L/s)\n", Options{}, 0, "heading-again", "B26"},
		{"the heading twice", logged("time;flow (m3/h)", "%t;%q", 24, nil) + "time;flow (m3/h)\n", Options{}, 60, "", ""},
		{"no dates", logged("time;flow (m3/h)", "%k;%q", 48, nil), Options{}, 60, "", ""},
		{"numbers of hours", logged("Date;Hour;flow (m3/h)", "%d;%h;%q", 48, nil), Options{}, 60, "", ""},
		{"start and end", logged("start;end;flow (m3/h)", "%t;%t;%q", 24, nil), Options{}, 60, "", ""},
		{"two clocks", logged("local time;time UTC;flow (m3/h)", "%t;%t;%q", 24, nil), Options{}, 60, "time-columns", "A1"},
		{"a name in brackets", logged("time;flow (Mill Beck) m3/h", "%t;%q", 24, nil), Options{}, 60, "flow-heading", "B1"},
		{"a logarithm", logged("time;ln flow (ln m3/h)", "%t;%q", 24, nil), Options{}, 0, "unit-unknown", "B1"},
		{"a strange word", logged("time;flow zweig (m3/h)", "%t;%q", 24, nil), Options{}, 60, "flow-heading", "B1"},
		{"half a day in another unit", logged("time;flow (m3/h)", "%t;%x", 72, map[int]string{30: "144", 31: "156", 32: "168",
			33: "180"}), Options{}, 0, "flow-jump", "B32"},
	} {
		l, err := Read("t.csv", strings.NewReader(c.text), c.opt)
		list := l.Notes.Only(note.Caution)
		if err != nil {
			list = note.Of(err, "other")
		}
		var codes []string
		for _, n := range list {
			codes = append(codes, n.Code)
		}
		slices.Sort(codes)
		first := ""
		if len(list) > 0 {
			first = list[0].Cell
		}
		if got := strings.Join(codes, " "); got != c.codes || first != c.cell {
			t.Errorf("%s: %q at %q, want %q at %q: %v", c.what, got, first, c.codes, c.cell, list)
		}
		if c.m3 == 0 {
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		d, err := l.Day(nil)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		near(t, c.what, d.Volume().In("m3"), c.m3, 1e-3*c.m3)
	}
}

func goodBut(hours, at int, says string) map[int]string {
	m := map[int]string{}
	for i := range hours {
		m[i] = "good"
	}
	m[at] = says
	return m
}

func counterBut(hours, at int, says string) map[int]string {
	m, total := map[int]string{}, 12000.0
	for i := range hours {
		m[i] = fmt.Sprintf("%.1f", total)
		total += ofHour(i)
	}
	m[at] = says
	return m
}

func signalBut(hours, at int, says string) map[int]string {
	m := map[int]string{}
	for i := range hours {
		m[i] = fmt.Sprint(4 + 16*ofHour(i)/5)
	}
	m[at] = says
	return m
}
