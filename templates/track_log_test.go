package templates

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/logbook"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// lossLog is ten days of 50 NTU in and 5 out, of which the last three use a fifth less stock, held against 40 mg/L of a stock of 100 g/L.
func lossLog(t *testing.T) TrackReport {
	t.Helper()
	text := "Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3),Remark\n"
	for i, used := range []string{"4", "4", "4", "4", "4", "4", "4", "3.2", "3.2", "3.2"} {
		text += "2026-03-" + []string{"01", "02", "03", "04", "05", "06", "07", "08", "09", "10"}[i] + ",50,5," + used + ",10,hose looked at\n"
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	p := logbook.Plan{Chemical: "alum", Dose: quantity.Some(quantity.Dose{Concentration: 40, Basis: quantity.AsProduct}), Strength: quantity.Some(quantity.Concentration(1e5))}
	return TrackReport{Logs: []logbook.Judged{logbook.Judge(l, p, []logbook.Bench{{Day: "2026-01-10", Raw: 40, Left: 5}})}}
}

// TestLogFigures: every number of an operating log, by hand. Of the last seven days four used 4 L and three 3.2 L in 10 m3 each: 25.6 L
// in 70 m3, 365.7 mL to a cubic metre, 36.57 mg/L of the 40 planned, 91.43 %. Of 50 NTU 5 are left, so 90 % is removed; of the bench's 40, 87.5 %.
// Neighbours differ by ln 0.8 once in nine times, a scatter of 0.22314/9/1.128 = 2.198 %; the average is 4.9541 scatters low, exp(-0.10889) - 1
// = -10.317 %, the limit 0.94749 of them, -2.0611 %. Each of the last three lies 10.152 scatters low, of which 9.652 beyond the slack go
// into the sum below: 28.955; once in 465 is printed by Lucas and Crosier 1982.
func TestLogFigures(t *testing.T) {
	r := lossLog(t)
	d := r.JSON().(*figure.Object)
	is := func(path string, got figure.Figure, want float64) {
		t.Helper()
		if v, _ := got.Document(); !got.Known() || math.Abs(v-want) > 2e-4*math.Abs(want) {
			t.Errorf("%s: %v, want %v", path, v, want)
		}
	}
	l := d.Objects("logs")[0]
	c := l.Objects("charts")
	day := l.Objects("days")[9]
	drift := d.Objects("drift")[0]
	for _, x := range []struct {
		of   *figure.Object
		path string
		want float64
	}{
		{l, "entries", 10}, {l, "dose_planned", 40}, {l, "latest.entries", 7}, {l, "latest.dose_fed", 36.571}, {l, "latest.of_planned", 91.429},
		{l, "latest.stock_per_water", 365.71}, {l, "latest.removal", 90}, {l, "bench.raw", 40}, {l, "bench.left", 5}, {l, "bench.removal", 87.5},
		{c[0], "readings", 10}, {c[0], "needed", 8}, {c[0], "average", -10.317}, {c[0], "limit", -2.0611}, {c[0], "scatter", 2.198}, {c[0], "sum_above", 0}, {c[0], "sum_below", 28.955}, {c[0], "sum_limit", 5},
		{c[1], "readings", 10}, {c[1], "needed", 28},
		{day, "raw", 50}, {day, "treated", 5}, {day, "removal", 90}, {day, "stock_used", 3.2}, {day, "water_treated", 10}, {day, "dose_fed", 32}, {day, "dose_planned", 40}, {day, "stock_per_water", 320},
		{drift, "readings", 3}, {drift, "size", -20},
	} {
		is(x.path, x.of.Fig(x.path), x.want)
	}
	for path, want := range map[string]float64{"run_length": 370, "sum_run_length": 465} { // their limits are printed to four digits
		if v, _ := c[0].Fig(path).Document(); math.Abs(v-want) > 1 {
			t.Errorf("%s: %v", path, v)
		}
	}
	for path, want := range map[string]string{"what": "dose fed", "since": "2026-03-08", "seen": "2026-03-08", "advice": "check the pump"} {
		if got := drift.Said(path); got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
	var csv strings.Builder
	if err := WriteCSV(&csv, r.Table(), Options{}); err != nil || strings.Count(csv.String(), "\n") != 11 || !strings.Contains(csv.String(), ",5,90,3.2,10,32,40,320,,,hose looked at\n") {
		t.Errorf("%v\n%s", err, csv.String())
	}
}

// TestLogAnswer: what is to be done comes first, and a log in which nothing has moved says so.
func TestLogAnswer(t *testing.T) {
	r := lossLog(t)
	a := r.answer(Options{})
	if want := "Check the pump: since Sun 8 March 2026 the dose fed is about 20 % less than planned."; a.Order != want {
		t.Errorf("%q, want %q", a.Order, want)
	}
	if len(a.Numbers) != 2 || a.Numbers[0].Under != "as product; planned 40 mg/L" || a.Numbers[1].Under != "the bench took out 87.5 %" || a.Place != "10 entries, Sun 1 March 2026 to Tue 10 March 2026" {
		t.Errorf("%+v", a)
	}
	p := r.Logs[0].Plan
	l := r.Logs[0].Log
	l.Entries = l.Entries[:7]
	if a = (TrackReport{Logs: []logbook.Judged{logbook.Judge(l, p, nil)}}).answer(Options{}); a.Order != "Go on writing the log: it is too short yet to tell a drift." {
		t.Error(a.Order)
	}
	p.Dose.V.Concentration = 36.6
	q := lossLog(t).Logs[0].Log
	for i := range q.Entries {
		q.Entries[i].Used.V = 3.66
	}
	if a = (TrackReport{Logs: []logbook.Judged{logbook.Judge(q, p, nil)}}).answer(Options{}); a.Order != "Of what can be judged nothing has moved off: go on, and write the log. Not judged yet: treated water (10 of 28 readings)." {
		t.Error(a.Order)
	}
	q.Aside = []string{"Pump 2 setting (%)", "Polymer used (L)"}
	if a = (TrackReport{Logs: []logbook.Judged{logbook.Judge(q, p, nil)}}).answer(Options{}); !strings.HasSuffix(a.Order, `(10 of 28 readings). Not looked at: "Pump 2 setting (%)", "Polymer used (L)".`) {
		t.Error(a.Order)
	}
}

// TestLogPicture: each entry, the average within its limits, the sums within theirs, and the day on which it moved off.
func TestLogPicture(t *testing.T) {
	d := lossLog(t).Drawing(Options{})
	if len(d.Panels) != 2 || len(d.Panels[0].Layers) != 4 || len(d.Panels[1].Layers) != 5 || !strings.Contains(d.Description, "beyond its limits") {
		t.Errorf("%+v", d)
	}
}

// A log of US units: 1 gal in 5 kgal each day is 200 gal for a million gallons, as many as mL for a cubic metre; the table is in gallons.
func TestLogInUSUnits(t *testing.T) {
	text := "Date,Raw (NTU),Treated (NTU),Stock used (gal),Water treated (kgal),Remark\n"
	for i := range 9 {
		text += fmt.Sprintf("2026-03-0%d,50,5,1,5,%s\n", i+1, either(i == 3, "new stock 3/2", ""))
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(l.Units, " "); got != "1 NTU 1 NTU 1 gal 1 kgal" {
		t.Errorf("units %q", got)
	}
	r := TrackReport{Logs: []logbook.Judged{logbook.Judge(l, logbook.Plan{}, nil)}}
	us := Options{Units: quantity.US}
	var b strings.Builder
	w := NewText(&b, us)
	r.Text(w, us)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"200 gal", "for a million gallons of water, by the last 7 entries", "made on Mon 2 March 2026, 7 d old at the last entry"} {
		if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
			t.Errorf("lacks %q:\n%s", want, b.String())
		}
	}
	b.Reset()
	if err := WriteCSV(&b, r.Table(), us); err != nil || !strings.Contains(b.String(), "stock_used_gal,water_treated_gal,") || !strings.Contains(b.String(), ",5,90,1,5000,,,200,") {
		t.Errorf("%v %s", err, b.String())
	}
}

// A raw water that changed to one that past tests reach points to them; 45 NTU for 20 days, then 120 of which a fifth is left. Of one that they do
// not reach, or of another chemical, nothing is said of them.
func TestChangedWaterPointsToPastTests(t *testing.T) {
	text := "Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3)\n"
	for i := range 26 {
		raw, share := 45.0, 0.1
		if i >= 20 {
			raw, share = 120, 0.2
		}
		raw *= []float64{1, 1.05, 0.95}[i%3]
		text += fmt.Sprintf("2026-03-%02d,%.2f,%.3f,4,10\n", i+1, raw, share*raw)
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	points := `: it has to be found for this water; past tests reach such water: until then ask for its dose with --raw "120 NTU".`
	for chemical, want := range map[string]bool{"": true, "Alum": true, "ferric chloride": false} {
		r := trackReport(nil)
		r.Logs = []logbook.Judged{logbook.Judge(l, logbook.Plan{Chemical: chemical}, nil)}
		if got := r.answer(Options{}).Order; strings.Contains(got, points) != want || !strings.HasPrefix(got, "Test again: since Sat 21 March 2026 the raw water reads about 120 NTU in place of 45 NTU") {
			t.Errorf("%q: %s", chemical, got)
		}
	}
}

// Charts of one thing against two yardsticks are told apart, and a log that lacks what it would be judged by is told what to write.
func TestLogNames(t *testing.T) {
	text := "Date,Stock used (L),Water treated (m3)\n"
	for i := range 40 {
		text += fmt.Sprintf("2026-03-%02d,%g,10\n", i+1, []float64{4, 4.1}[i%2])
		if i == 29 {
			break
		}
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	p := logbook.Plan{Dose: quantity.Some(quantity.Dose{Concentration: 30, Basis: quantity.AsProduct}), Strength: quantity.Some(quantity.Concentration(1e5))}
	j := logbook.Judge(l, p, nil)
	if len(j.Charts) != 2 || chartName(j, 0) != "dose fed, against plan" || chartName(j, 1) != "dose fed, against first weeks" {
		t.Errorf("%q", chartName(j, 0))
	}
	if alone := lossLog(t).Logs[0]; chartName(alone, 0) != "dose fed" {
		t.Errorf("%q", chartName(alone, 0))
	}
	bare, err := logbook.Read("log.csv", strings.NewReader("Date,Raw turbidity,Treated turbidity,Stock tank level (L)\n2026-03-01,40,4,90\n2026-03-02,40,4,80\n"))
	if err != nil {
		t.Fatal(err)
	}
	a := TrackReport{Logs: []logbook.Judged{logbook.Judge(bare, logbook.Plan{}, nil)}}.answer(Options{})
	if want := "Nothing of this log can be judged, however long it is: write raw and treated turbidity with their unit, and the water treated, or the flow, beside the stock."; a.Order != want {
		t.Errorf("%q", a.Order)
	}
}

// The planned dose of a log whose site goes by past tests is that of its own raw water, and says so: 4·√36 = 24 mg/L.
func TestLogPlannedByPastTests(t *testing.T) {
	text := "Date,Raw (NTU),Stock used (L),Water treated (m3)\n"
	for i := range 9 {
		text += fmt.Sprintf("2026-03-0%d,36,2.4,10\n", i+1)
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	p := logbook.Plan{Dose: quantity.Some(quantity.Dose{Concentration: 40, Basis: quantity.AsProduct}), Strength: quantity.Some(quantity.Concentration(1e5)),
		Law: &logbook.Law{Low: 10, High: 90, Dose: func(q quantity.Cloudiness) (quantity.Concentration, bool) {
			return quantity.Concentration(4 * math.Sqrt(float64(q))), true
		}}}
	r := TrackReport{Logs: []logbook.Judged{logbook.Judge(l, p, nil)}}
	o := r.JSON().(*figure.Object).Objects("logs")[0]
	for path, want := range map[string]float64{"dose_planned": 24, "latest.of_planned": 100} {
		if v, _ := o.Fig(path).Document(); math.Abs(v-want) > 1e-9 {
			t.Errorf("%s: %v", path, v)
		}
	}
	var b strings.Builder
	w := NewText(&b, Options{})
	r.Text(w, Options{})
	if err := w.Flush(); err != nil || !strings.Contains(strings.Join(strings.Fields(b.String()), " "), "24 mg/L as product, by the last 7 entries; planned 24 mg/L for such water by past tests, so 100 % of it") {
		t.Errorf("%v\n%s", err, b.String())
	}
}
