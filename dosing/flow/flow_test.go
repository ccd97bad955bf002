package flow

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tol)
	}
}

// TestPublishedFlows holds published figures whose flow must come out right in our units.
func TestPublishedFlows(t *testing.T) {
	for _, c := range []struct {
		source, flow string
		days         float64
		litres       float64
		tol          float64
	}{
		// WATER plant operator training (Canada), "Dosage Calculations": 8500 m3/d at 15 mg/L is 127.5 kg/d.
		{"operator training", "8500 m3/d", 1, 127.5 / 15 * 1e6, 1},
		// Exam question, alum for 30 days: 35 m3/min at 25 mg/L is 37,800 kg.
		{"exam question", "35 m3/min", 30, 37800.0 / 25 * 1e6, 1},
		// Flow times dose (common practice, no source): 120 m3/h at 45 mg/L is 129.6 kg/d (printed 130).
		{"common practice, no source", "120 m3/h", 1, 129.6 / 45 * 1e6, 1},
		// UFC 3-280-03 design example 2: 117,040 L/d by 4 pumps in 8 cycles of 1200 s is 3.05 L/s each.
		{"UFC 3-280-03", "3.04792 L/s", 1.0 / 24 / 3600 * 8 * 1200 * 4, 117040, 1},
	} {
		q, err := quantity.Parse[quantity.Flow](c.flow)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Constant(q, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.source, float64(d.Volume())*c.days, c.litres, c.tol)
	}
}

func TestDay(t *testing.T) {
	hours, err := ParseHours("06:00-22:00")
	if err != nil {
		t.Fatal(err)
	}
	d, err := ByHour([]Step{{From: 12, Flow: 3}, {From: 8, Flow: 1}, {From: 20.5, Flow: 0}}, hours)
	if err != nil {
		t.Fatal(err)
	}
	// 06–08 still the 0 of yesterday evening, 08–12 at 1, 12–20:30 at 3
	near(t, "volume", float64(d.Volume()), (4*1+8.5*3)*1000, 1e-9)
	near(t, "running", float64(d.Running()), 12.5, 1e-12)
	near(t, "average", float64(d.Average()), 29.5/12.5, 1e-12)
	near(t, "peak", float64(d.Peak()), 3, 0)
	near(t, "least", float64(d.Least()), 1, 0)
	near(t, "at noon", float64(d.At(12)), 3, 0)
	near(t, "at night", float64(d.At(23)), 0, 0)
	sum := 0.0
	for _, h := range d.Hours() {
		sum += float64(h.Volume)
	}
	near(t, "hours", sum, float64(d.Volume()), 1e-6)
	when, ok := d.When(quantity.Volume(5500))
	near(t, "when", float64(when), 12.5, 1e-12)
	if _, beyond := d.When(1e9); !ok || beyond {
		t.Error("When beyond the day's water")
	}
	for _, bad := range [][]Step{nil, {{Flow: -1}}, {{Flow: 1}, {Flow: 2}}, {{From: 25, Flow: 1}}, {{Flow: quantity.Flow(math.NaN())}}} {
		if _, err := ByHour(bad, nil); err == nil {
			t.Errorf("%v passes", bad)
		}
	}
}

func TestHours(t *testing.T) {
	for _, c := range []struct {
		in   string
		want quantity.Time
		out  string
	}{
		{"", 24, "00:00-24:00"}, {"16 h", 16, "00:00-16:00"}, {"24", 24, "00:00-24:00"}, {"6-12, 14-20", 12, "06:00-12:00, 14:00-20:00"},
		{"22-06", 8, "00:00-06:00, 22:00-24:00"}, {"6:30 am - 5 pm", 10.5, "06:30-17:00"}, {"06:00–24:00", 18, "06:00-24:00"},
	} {
		h, err := ParseHours(c.in)
		if err != nil || math.Abs(float64(h.Length()-c.want)) > 1e-9 || h.String() != c.out {
			t.Errorf("%q: %v, %v, want %s", c.in, h, err, c.out)
		}
		again, err := ParseHours(h.String())
		if err != nil || again.String() != h.String() {
			t.Errorf("%q does not read back: %v", h, err)
		}
	}
	for _, bad := range []string{"25 h", "0", "6-6", "6-12, 10-14", "x", "6:70-8", "-3", "13 pm - 4"} {
		if h, err := ParseHours(bad); err == nil {
			t.Errorf("%q passes as %v", bad, h)
		}
	}
	if got := Clock(30.5); got != "06:30 the day after" {
		t.Error(got)
	}
}

// TestSplit: cutting a row of a flow table in two changes nothing.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "rows")
		var steps, cut []Step
		for i := range n {
			from := quantity.Time(24*i)/quantity.Time(n) + quantity.Time(rapid.Float64Range(0, 23.9/float64(n)).Draw(t, "from"))
			f := quantity.Flow(rapid.Float64Range(0, 500).Draw(t, "flow"))
			steps = append(steps, Step{From: from, Flow: f})
		}
		for i, s := range steps {
			cut = append(cut, s)
			to := quantity.Time(24)
			if i+1 < n {
				to = steps[i+1].From
			}
			if mid := s.From + (to-s.From)*quantity.Time(rapid.Float64Range(0.1, 0.9).Draw(t, "cut")); mid > s.From && mid < to {
				cut = append(cut, Step{From: mid, Flow: s.Flow})
			}
		}
		hours := Hours{{3, 11.25}, {13, 23}}
		a, err := ByHour(steps, hours)
		if err != nil {
			t.Fatal(err)
		}
		b, err := ByHour(cut, hours)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(a.Volume()-b.Volume())) > 1e-6*(1+float64(a.Volume())) || a.Peak() != b.Peak() || a.Least() != b.Least() {
			t.Fatalf("cut rows differ: %v %v", a, b)
		}
		var sum quantity.Volume
		for _, h := range a.Hours() {
			sum += h.Volume
		}
		if math.Abs(float64(sum-a.Volume())) > 1e-6*(1+float64(sum)) {
			t.Fatalf("hours add up to %v, the day has %v", sum, a.Volume())
		}
	})
}

func logText(t *testing.T, text string, opt Options) Log {
	t.Helper()
	l, err := Read("meter.csv", strings.NewReader(text), opt)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestLogForms: one log, as many loggers write it.
func TestLogForms(t *testing.T) {
	for name, text := range map[string]string{
		"iso":          "time,flow (m3/h)\n2026-03-01 00:00,2\n2026-03-01 01:00,4\n2026-03-01 02:00,6\n",
		"zone":         "timestamp,flow m3/h\n2026-03-01T00:00:00+01:00,2\n2026-03-01T01:00:00+01:00,4\n2026-03-01T02:00:00+01:00,6\n",
		"two columns":  "Date;Time;Flow [L/s]\n01.03.2026;00:00;0,5555555556\n01.03.2026;01:00;1,1111111111\n01.03.2026;02:00;1,6666666667\n",
		"units below":  "logger 7\nserial 4711\n\ntime\tflow\n\tm3/d\n1-Mar-2026 00:00\t48\n1-Mar-2026 01:00\t96\n1-Mar-2026 02:00\t144\n",
		"am pm":        "\ufeffDate/Time,Flow (m3/h)\r\n3/1/2026 12:00:00 AM,2\r\n3/1/2026 1:00:00 AM,4\r\n3/1/2026 2:00:00 AM,6\r\n3/13/2026 2:00 AM,\r\n",
		"serial":       "time,flow (m3/h)\n46082,2\n46082.0416666667,4\n46082.0833333333,6\n",
		"newest first": "time,flow (m3/h)\n2026-03-01 02:00,6\n2026-03-01 01:00,4\n2026-03-01 00:00,2\n",
		"counter":      "time,totaliser (m3)\n2026-03-01 00:00,100\n2026-03-01 01:00,102\n2026-03-01 02:00,106\n2026-03-01 03:00,112\n",
		"quoted":       "\"time\",\"flow (m3/h)\"\n\"2026-03-01 00:00\",\"2.0\"\n\"2026-03-01 01:00\",\"4.0\"\n\"2026-03-01 02:00\",\"6.0\"\ntotal,12\n",
		"clock alone":  "time,flow (m3/h)\n00:00,2\n01:00,4\n02:00,6\n",
		"elapsed":      "elapsed (min),flow (m3/h)\n0,2\n60,4\n120,6\n",
	} {
		t.Run(name, func(t *testing.T) {
			l := logText(t, text, Options{})
			near(t, "volume", float64(l.Volume()), 12000, 1e-3)
			near(t, "peak", float64(l.Peak()), 6, 1e-6)
			near(t, "least", float64(l.Least()), 2, 1e-6)
			if name != "clock alone" && name != "elapsed" && !l.First().Equal(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)) {
				t.Errorf("begins %v", l.First())
			}
		})
	}
	cells := func(list ...string) (row []grid.Cell) {
		for _, s := range list {
			row = append(row, grid.Cell{Kind: grid.Textual, Text: s})
		}
		return row
	}
	rows := [][]grid.Cell{cells("Pump house"), cells("time", "flow (m3/h)"), cells("46082", "2"), cells("46082.0416666667", "4"), cells("46082.0833333333", "6")}
	s := &grid.Sheet{File: "site.xlsx", Name: "Log", Rows: rows}
	l, err := readSheet(s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rows", float64(l.Volume()), 12000, 1e-3)
	rows[3][1].Text = "-4"
	_, err = readSheet(s, Options{})
	if got := fmt.Sprint(err); !strings.HasPrefix(got, "site.xlsx: Log!B4: the flow is -4 m3/h") {
		t.Error(got)
	}
	rows[3][1] = grid.Cell{Formula: true, Hollow: true}
	_, err = readSheet(s, Options{})
	if got := fmt.Sprint(err); !strings.HasPrefix(got, "site.xlsx: Log!B4: the formula has no stored result") {
		t.Error(got)
	}
}

func TestLogFaults(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"negative":  {"time,flow (m3/h)\n2026-03-01 00:00,2\n2026-03-01 01:00,-4\n", "meter.csv: B3: the flow is -4 m3/h"},
		"no unit":   {"time,flow\n2026-03-01 00:00,2\n", "meter.csv: B1: the flow column has no unit"},
		"bad unit":  {"time,flow (hands)\n2026-03-01 00:00,2\n", `the unit "hands"`},
		"no column": {"a,b\n1,2\n", "no row has a time and a flow heading"},
		"text":      {"time,flow (m3/h)\n2026-03-01 00:00,lots\n", `meter.csv: B2: flow "lots" is no number`},
		"bad time":  {"time,flow (m3/h)\n2026-02-30 00:00,2\n", "meter.csv: A2: time"},
		"point":     {"time;flow (L/h)\n2026-03-01 00:00;2.500\n2026-03-01 01:00;2.750\n", `meter.csv: B2: "2.500" can mean 2500 or 2.500`},
		"factor":    {"time;flow (m3/h) x10\n2026-03-01 00:00;2.5\n2026-03-01 01:00;2.7\n", `the unit "x 10" of the flow column is not known`},
		"comma":     {"time;flow (m3/h)\n2026-03-01 00:00;1,234\n2026-03-01 01:00;1,250\n", `meter.csv: B2: "1,234" can mean 1234 or 1.234`},
		"mixed":     {"time,flow (m3/h)\n13/01/2026 00:00,2\n01/13/2026 01:00,2\n", "the day first, some the month"},
		"workbook":  {"PK\x03\x04", "damaged or incomplete"},
		"quote":     {"time,flow (m3/h)\n2026-03-01 00:00,2\n\"2026-03-01 01:00,4\n2026-03-01 02:00,6\n", "meter.csv: line 3: a quote opens a field here"},
		"empty":     {"time,flow (m3/h)\n", "no reading"},
	} {
		_, err := Read("meter.csv", strings.NewReader(c.text), Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// many faults: twenty and a count
	var b strings.Builder
	b.WriteString("time,flow (m3/h)\n")
	for i := range 50 {
		fmt.Fprintf(&b, "2026-03-01 %02d:%02d,-1\n", i/60, i%60)
	}
	_, err := Read("meter.csv", strings.NewReader(b.String()), Options{})
	if n := len(note.Of(err, "")); n != 21 || !strings.Contains(err.Error(), "and 30 more") {
		t.Errorf("%d faults: %v", n, err)
	}
}

func TestGapsAndDays(t *testing.T) {
	// Three days of ten-minute readings: 3.6 m3/h by day (5.4 on day three), 0 from 22 to 6; day two lacks 10:00–14:00.
	var b strings.Builder
	b.WriteString("time,flow (m3/h)\n")
	start := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	for m := 0; m < 3*1440; m += 10 {
		at := start.Add(time.Duration(m) * time.Minute)
		if at.Day() == 2 && at.Hour() >= 10 && at.Hour() < 14 {
			continue
		}
		f := 3.6
		if at.Day() == 3 {
			f = 5.4
		}
		if at.Hour() >= 22 || at.Hour() < 6 {
			f = 0
		}
		fmt.Fprintf(&b, "%s,%g\n", at.Format("2006-01-02 15:04"), f)
	}
	l := logText(t, b.String(), Options{})
	if g := l.Gaps(); len(g) != 1 || g[0].From.Hour() != 10 || g[0].To.Hour() != 14 || g[0].Place.Cell != "B205" {
		t.Errorf("gaps %v", g)
	}
	if l.Notes.Worst() != note.Caution {
		t.Error("the gap is not told")
	}
	d, err := l.Day(nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "running", float64(d.Running()), 16, 1e-9)
	near(t, "mean at 8", float64(d.Hours()[8].Flow), (3.6+3.6+5.4)/3, 1e-12)
	near(t, "mean at 11", float64(d.Hours()[11].Flow), 4.5, 1e-12) // mean of two days
	near(t, "peak", float64(d.Peak()), 5.4, 0)
	if n := len(l.Dates()); n != 3 {
		t.Errorf("%d dates", n)
	}
	// hours the log never saw
	l = logText(t, "time,flow (m3/h)\n2026-05-01 06:00,2\n2026-05-01 07:00,2\n2026-05-01 08:00,2\n", Options{})
	if _, err := l.Day(nil); err == nil || !strings.Contains(err.Error(), "meter.csv: B4: no reading between 00:00 and 01:00") {
		t.Errorf("missing hours: %v", err)
	}
	if d, err := l.Day(Hours{{6, 9}}); err != nil || d.Volume() != 6000 {
		t.Errorf("with hours: %v %v", d, err)
	}
}

// TestLogSplit: writing a reading twice (half-way again) changes no total.
func TestLogSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "n")
		var a, b strings.Builder
		a.WriteString("time,flow (m3/h)\n")
		b.WriteString("time,flow (m3/h)\n")
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		for range n {
			f := rapid.SampledFrom([]int{0, 100, 250, 900}).Draw(t, "flow")
			step := rapid.IntRange(1, 5).Draw(t, "step")
			fmt.Fprintf(&a, "%s,%d\n", at.Format("2006-01-02 15:04:05"), f)
			fmt.Fprintf(&b, "%s,%d\n", at.Format("2006-01-02 15:04:05"), f)
			fmt.Fprintf(&b, "%s,%d\n", at.Add(time.Duration(step)*30*time.Second).Format("2006-01-02 15:04:05"), f)
			at = at.Add(time.Duration(step) * time.Minute)
		}
		// a last reading without flow fixes the end
		fmt.Fprintf(&a, "%s,0\n", at.Format("2006-01-02 15:04:05"))
		fmt.Fprintf(&b, "%s,0\n", at.Format("2006-01-02 15:04:05"))
		x, err := Read("a.csv", strings.NewReader(a.String()), Options{Hold: 1})
		if err != nil {
			t.Fatal(err)
		}
		y, err := Read("b.csv", strings.NewReader(b.String()), Options{Hold: 1})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(x.Volume()-y.Volume())) > 1e-6*(1+float64(x.Volume())) {
			t.Fatalf("%v against %v", x.Volume(), y.Volume())
		}
		sum := 0.0
		for _, d := range x.Dates() {
			sum += float64(d.Volume)
		}
		if math.Abs(sum-float64(x.Volume())) > 1e-6*(1+sum) {
			t.Fatalf("days add up to %g, the log has %v", sum, x.Volume())
		}
	})
}

func year() []byte {
	var b bytes.Buffer
	b.WriteString("time,flow (m3/h)\n")
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	var line []byte
	for i := range 525600 {
		line = append(at.AppendFormat(line[:0], "2006-01-02 15:04:05"), ',')
		line = append(strconv.AppendFloat(line, 10+4*math.Sin(float64(i)/229)+float64(i%7)/10, 'f', 2, 64), '\n')
		b.Write(line)
		at = at.Add(time.Minute)
	}
	return b.Bytes()
}

func TestYear(t *testing.T) {
	l, err := Read("year.csv", bytes.NewReader(year()), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if l.Len() != 525600 || len(l.Gaps()) != 0 || len(l.Dates()) != 365 {
		t.Errorf("%d readings, %d gaps, %d days", l.Len(), len(l.Gaps()), len(l.Dates()))
	}
	near(t, "covered", float64(l.Covered()), 8760, 1e-6)
	d, err := l.Day(nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean day", float64(d.Volume())*365, float64(l.Volume()), 1e-3*float64(l.Volume()))
}

func BenchmarkYearOfMinutes(b *testing.B) {
	raw := year()
	b.SetBytes(int64(len(raw)))
	b.ReportAllocs()
	for b.Loop() {
		l, err := Read("year.csv", bytes.NewReader(raw), Options{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := l.Day(nil); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add("time,flow (m3/h)\n2026-03-01 00:00,2\n2026-03-01 01:00,4\n")
	f.Add("Date;Time;Flow [L/s]\n01.03.2026;00:00;0,5\n")
	f.Add("time,totaliser (m3)\n46082,100\n46083,90\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read("f.csv", strings.NewReader(text), Options{})
		if err != nil {
			return
		}
		if v := float64(l.Volume()); math.IsNaN(v) || v < 0 {
			t.Fatalf("volume %g", v)
		}
		if d, err := l.Day(nil); err == nil && (d.Running() > 24+1e-9 || math.IsNaN(float64(d.Volume()))) {
			t.Fatalf("day %v", d)
		}
	})
}
