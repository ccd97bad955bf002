package logbook

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A year that was slipped is asked about with its cell and left out, wherever its rows stand; a log of two seasons is one, with its gap told.
func TestYearsThatSlipped(t *testing.T) {
	log := func(days ...string) string {
		s := "Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3)\n"
		for _, d := range days {
			s += d + ",60,4,16,87\n"
		}
		return s
	}
	of := func(format string, from, to int) (out []string) {
		for i := from; i <= to; i++ {
			out = append(out, fmt.Sprintf(format, i))
		}
		return out
	}
	join := func(all ...[]string) (out []string) {
		for _, l := range all {
			out = append(out, l...)
		}
		return out
	}
	for name, x := range map[string]struct {
		days []string
		left int
		note string
	}{
		"one of many":        {join(of("2026-01-%02d", 5, 21), []string{"2062-01-22"}, of("2026-01-%02d", 23, 31)), 26, "day-far@A19: Sun 22 January 2062 stands far from the days of the rows beside it; it is left out: correct the year: was it 2026?"},
		"the last":           {join(of("2026-01-%02d", 5, 21), []string{"2062-01-22"}), 17, "day-far@A19: Sun 22 January 2062 stands far from the days of the rows beside it; it is left out: correct the year: was it 2026?"},
		"after a new year":   {join(of("2025-12-%02d", 15, 31), of("2025-01-%02d", 1, 3)), 17, "day-far@A19: 3 rows from Wed 1 January 2025 on stand far from the days of the rows beside them; they are left out: correct the year: was it 2026?"},
		"and right again":    {join(of("2025-12-%02d", 15, 31), of("2025-01-%02d", 1, 6), of("2026-01-%02d", 7, 20)), 31, "day-far@A19: 6 rows from Wed 1 January 2025 on stand far from the days of the rows beside them; they are left out: correct the year: was it 2026?"},
		"two seasons":        {join(of("2025-01-%02d", 1, 20), of("2026-01-%02d", 1, 25)), 45, "log-gap@A22: no rows stand between Mon 20 January 2025 and Thu 1 January 2026, 346 days: "},
		"a holiday":          {join(of("2025-01-%02d", 1, 20), of("2025-03-%02d", 1, 25)), 45, "log-gap@A22: no rows stand between Mon 20 January 2025 and Sat 1 March 2025, 40 days: "},
		"a week is no gap":   {join(of("2026-01-%02d", 1, 9), of("2026-01-%02d", 17, 25)), 18, ""},
		"not in their order": {join(of("2026-02-%02d", 1, 9), of("2026-01-%02d", 1, 25)), 34, ""},
	} {
		j := Judge(read(t, "log.csv", log(x.days...)), Plan{}, nil)
		got := ""
		for _, n := range j.Notes {
			if n.Code == "day-far" || n.Code == "log-gap" {
				got += n.Code + "@" + n.Cell + ": " + n.Message + ": " + n.Remedy
			}
		}
		if len(j.Days) != x.left || got != x.note {
			t.Errorf("%s: %d rows, %q, want %d, %q", name, len(j.Days), got, x.left, x.note)
		}
	}
}

// A column of stock alone is what was used where it rises as often as it falls, and what is left where it falls; either by hand of 100 g/L: 16 L in 87 m3 are 18.4 mg/L.
func TestStockUsedOrLeft(t *testing.T) {
	used, left, part := "Date,Stock (L),Water treated (m3)\n", "Date,Stock (L),Water treated (m3)\n", "Date,Stock tank level (%),Water treated (m3)\n"
	for i := range 12 {
		used += fmt.Sprintf("%s,%.2f,87\n", dayText(i), 16*(1+ripple(i)))
		left += fmt.Sprintf("%s,%.2f,87\n", dayText(i), 200-16*float64(i))
		part += fmt.Sprintf("%s,%.2f,87\n", dayText(i), (200-16*float64(i))/2)
	}
	p := tenth
	p.Tank = quantity.Some[quantity.Volume](200)
	for _, x := range []struct {
		text  string
		p     Plan
		notes string
		fed   float64
	}{
		{used, tenth, "used-or-left@B1", 18.4}, {left, tenth, "", 18.4},
		{part, tenth, "level-of-what@B1", 0}, {part, p, "level-of-tank@A2", 18.4},
	} {
		j := Judge(read(t, "log.csv", x.text), x.p, nil)
		if got := strings.Join(codes(j.Notes), " "); got != x.notes || math.Abs(float64(j.Late().Fed.V)-x.fed) > 0.4 {
			t.Errorf("%q, want %q: %v", got, x.notes, j.Late().Fed)
		}
		for _, d := range j.Drift {
			if d.Advice == MakeFresh {
				t.Errorf("%+v", d)
			}
		}
	}
}

// A stroke that somebody turned from 100 to 80 explains a fifth less; a flow of the dosing pump is its drawdown, and no water.
func TestStrokeAndFlowOfThePump(t *testing.T) {
	text, pumped := "Date,Pump setting (%),Pump stroke (%),Stock used (L),Water treated (m3)\n", "Date,Débit mesuré pompe (mL/min),Volume de stock utilisé (L),Eau traitée (m3)\n"
	for i := range 40 {
		stroke := step(28, 100, 80)(i)
		text += fmt.Sprintf("%s,38,%g,%.2f,87\n", dayText(i), stroke, 0.16*stroke*(1+ripple(i)/2))
		pumped += fmt.Sprintf("%s,11.1,16,87\n", dayText(i))
	}
	l := read(t, "log.csv", text)
	d, ok := driftOf(Judge(l, Plan{}, nil), string(OfDose))
	if !ok || d.Advice != SetPump || d.Since.String() != dayText(28) || !strings.HasSuffix(d.Reason.String(), ", as its stroke is set to 80 in place of 100") {
		t.Errorf("%+v %s", d, d.Reason)
	}
	if len(l.Notes) > 0 {
		t.Errorf("%v", l.Notes)
	}
	l = read(t, "log.csv", pumped)
	if e := l.Entries[0]; e.Flow.OK || !e.Drawdown.OK || e.Drawdown.V != 11.1 || !e.Water.OK {
		t.Errorf("%+v", e)
	}
}

// What a log says and nobody goes by is told: how long stock keeps, of what strength it was made, rows of nothing, stock without water.
func TestWhatIsSaidAndNotUsed(t *testing.T) {
	p := tenth
	p.Keeps = quantity.Some[quantity.Time](24)
	for _, x := range []struct{ text, note string }{
		{"Alum stock keeps 30 days\nDate,Stock used (L),Water treated (m3)\n2026-03-01,16,87\n", "log-or-site@A1: the log says that its stock keeps 30 d, the site 24 h; that of the site is taken"},
		{"Date,Stock used (L),Water treated (m3),Remark\n2026-03-01,16,87,\n2026-03-02,16,87,new stock made at 50 g/L\n", "remark-strength@A3: the remark of Mon 2 March 2026 says a stock of 50 g/L, and 100 g/L is counted on"},
		{"Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3)\n2026-03-01,60,4,16,87\n2026-03-02,,,0,0\n2026-03-03,,,0,0\n", "nothing-treated@A3: in 2 rows no water was treated and nothing fed, the first on Mon 2 March 2026; no chart counts them"},
		{"Date,Raw (NTU),Treated (NTU),Alum stock used (L)\n2026-03-01,60,4,16\n", "no-water@D2: the log counts stock and no water, so it tells no dose"},
	} {
		j := Judge(read(t, "log.csv", x.text), p, nil)
		got := ""
		for _, n := range j.Notes {
			got += n.Code + "@" + n.Cell + ": " + n.Message
		}
		if got != x.note {
			t.Errorf("%q, want %q", got, x.note)
		}
	}
}
