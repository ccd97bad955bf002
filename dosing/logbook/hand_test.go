package logbook

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func read(t testing.TB, name, text string) Log {
	t.Helper()
	l, err := Read(name, strings.NewReader(text))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return l
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-3*math.Max(math.Abs(want), 1e-3) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// tenth is 40 mg/L as product planned, fed from 100 g of product in a litre of stock.
var tenth = Plan{Chemical: "alum", Dose: quantity.Some(quantity.Dose{Concentration: 40, Basis: quantity.AsProduct}), Strength: quantity.Some(quantity.Concentration(1e5))}

// Levels and a meter, by hand: from the second day on 100 - 60 = 40 L in 100 m3, so 0.4 L x 100 g/L in a cubic metre, 40 mg/L; 32 L, so 32 mg/L;
// 28 + 80 - 68 = 40 L again; a tank that rose and nobody wrote it tells nothing, and is fresh; over a missing day 98 - 18 = 80 L in 200 m3, 40 mg/L.
// Of late: 192 L in 500 m3, 38.4 mg/L, 96 % of the 40 planned, 384 mL to a cubic metre. Removal 1 - 5/50, and so on: 0.9, 0.9, 0.9, 0.9, 0.8, 0.7, mean 0.85.
func TestLevelsByHand(t *testing.T) {
	l := read(t, "log.csv", `Date,Raw (NTU),Treated (NTU),Tank level (L),Stock added (L),Water meter (m3)
2026-03-01,50,5,100,,1000
2026-03-02,40,4,60,,1100
2026-03-03,40,4,28,,1200
2026-03-04,40,4,68,80,1300
2026-03-05,40,8,98,,1400
2026-03-07,40,12,18,,1600
`)
	j := Judge(l, tenth, []Bench{{Day: "2025-01-01", Raw: 45, Left: 5}, {Day: "2025-02-01", Raw: 200, Left: 5}})
	for i, want := range []float64{0, 40, 32, 40, 0, 40} {
		if d := j.Days[i]; d.Fed.OK != (want > 0) || math.Abs(float64(d.Fed.V)-want) > 1e-9 {
			t.Errorf("day %d: %+v, want %v", i, d.Fed, want)
		}
	}
	if !j.Days[3].Fresh || !j.Days[4].Fresh || j.Days[2].Fresh {
		t.Error("fresh stock")
	}
	late := j.Late()
	near(t, "fed", float64(late.Fed.V), 38.4)
	near(t, "of planned", float64(late.OfPlanned.V), 0.96)
	near(t, "per water", float64(late.PerWater.V), 0.384e-3)
	near(t, "removal", float64(late.Removal.V), 0.85)
	near(t, "bench", float64(j.Bench.V.Removal()), 1-5.0/45)
	if len(j.Notes) != 1 || j.Notes[0].Code != "level-rose" || j.Notes[0].Place != (note.Place{File: "log.csv", Cell: "D6"}) {
		t.Errorf("%v", j.Notes)
	}
	for _, c := range j.Charts {
		if c.Ready() {
			t.Errorf("%s tells something of six entries", c.What)
		}
	}
}

// lossText is ten days, of which the last three use a fifth less: 4 L in 10 m3 is 40 mg/L, 3.2 L is 32.
const lossText = `Date,Stock used (L),Water treated (m3)
2026-03-01,4,10
2026-03-02,4,10
2026-03-03,4,10
2026-03-04,4,10
2026-03-05,4,10
2026-03-06,4,10
2026-03-07,4,10
2026-03-08,3.2,10
2026-03-09,3.2,10
2026-03-10,3.2,10
`

// The chart by hand: neighbours differ by ln(0.8) = 0.22314 once in nine times, so the scatter is 0.22314 / 9 / 1.128 = 0.021980, and the last three
// lie 10.152 of it low. The averages are 0.2 x 10.152 = 2.030, 3.655, 4.954; the limit is 2.859 x sqrt(0.2/1.8 x (1 - 0.8^20)) = 0.9475 at
// the last. So it is off at the eighth, the very first of them, by exp(-0.22314) - 1 = -20 %.
func TestChartByHand(t *testing.T) {
	j := Judge(read(t, "log.csv", lossText), tenth, nil)
	if len(j.Charts) != 1 || len(j.Drift) != 1 {
		t.Fatalf("%+v", j)
	}
	c, d := j.Charts[0], j.Drift[0]
	near(t, "scatter", c.SD, 0.021980)
	for i, want := range []float64{-2.0304, -3.6547, -4.9541} {
		near(t, "average", c.Average[7+i], want)
	}
	near(t, "limit", c.Limit[9], 0.9475)
	for i, want := range []float64{9.652, 19.304, 28.956} { // 10.152 less the slack of 0.5, each added to those before
		near(t, "sum below", c.Sums.Down[7+i], want)
		near(t, "sum above", c.Sums.Up[7+i], 0)
	}
	near(t, "size", float64(d.Size), -0.2)
	if d.Since.String() != "2026-03-08" || d.Seen.String() != "2026-03-08" || d.Readings != 3 || d.Advice != CheckPump || d.What != "dose fed" || d.Place.Cell != "A9" {
		t.Errorf("%+v", d)
	}
	if got := d.Reason.String(); got != "the dose fed is about 20 % less than planned" {
		t.Error(got)
	}
}

// The pump by its drawdown: at 50 % its line gives 60 mL/min, by two readings that lie on 1.2 mL/min for each per cent; without a
// calibration it is held against the log's own first twenty.
func TestDrawdownByHand(t *testing.T) {
	text := "Date,Pump setting (%),Drawdown (mL/min)\n"
	for i := range 31 {
		rate := 60.0
		if i%2 == 1 {
			rate = 62
		}
		if i >= 26 {
			rate *= 0.8
		}
		text += dayText(i) + ",50," + quantity.To(quantity.Number(rate), 4).String() + "\n"
	}
	j := Judge(read(t, "log.csv", text), Plan{}, nil)
	if len(j.Drift) != 1 || j.Drift[0].What != "pump" || j.Drift[0].Since.String() != dayText(26) || j.Drift[0].Advice != CheckPump {
		t.Fatalf("%+v", j.Drift)
	}
	// The first twenty are 60 and 62 in turn, whose middle is sqrt(60 x 62); the last five 48, 49.6, 48, 49.6, 48.
	want := math.Pow(48*49.6*48*49.6*48, 0.2)/math.Sqrt(60*62) - 1
	near(t, "size", float64(j.Drift[0].Size), want)
	if got := j.Drift[0].Reason.String(); got != "at its setting it gives about 20 % less than in the log's first weeks" {
		t.Error(got)
	}
}

func dayText(i int) string { return Entry{Time: quantity.Time(24 * (20500 + i))}.Day().String() }

func saidDay(i int) string { return Entry{Time: quantity.Time(24 * (20500 + i))}.Day().Spelled() }

// worse is a log of 40 days whose raw water is 40 and 44 NTU in turn and whose treated water is a tenth of it, and from the 31st on more.
// The dose is fed as before, or from that day on a fifth less.
func worse(t *testing.T, less bool, remark string) Log {
	text := "Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3),Remark\n"
	for i := range 40 {
		raw, used, share := "40", "4", []string{"4", "6"}
		if i%2 == 1 {
			raw, share = "44", []string{"4.4", "6.6"}
		}
		if i >= 30 && less {
			used = "3.2"
		}
		said := ""
		if i == 20 {
			said = remark
		}
		text += dayText(i) + "," + raw + "," + share[map[bool]int{true: 1}[i >= 30]] + "," + used + ",10," + said + "\n"
	}
	return read(t, "log.csv", text)
}

// Worse water has one advice of three: the pump while too little is fed, fresh stock where it had gone off, else a test of the water.
func TestWhyTheWaterIsWorse(t *testing.T) {
	keeps := tenth
	keeps.Keeps = quantity.Some(quantity.Time(7 * 24))
	for _, x := range []struct {
		name   string
		log    Log
		plan   Plan
		advice Advice
		says   string
	}{
		{"water", worse(t, false, ""), keeps, TestAgain, "of the same raw water about 50 % more is left than in the log's first weeks, and the dose is fed as before: the water has changed"},
		{"pump", worse(t, true, ""), keeps, CheckPump, "of the same raw water about 50 % more is left than in the log's first weeks, while too little is fed"},
		{"stock", worse(t, false, "fresh stock made"), keeps, MakeFresh, "of the same raw water about 50 % more is left than in the log's first weeks; the stock was made on " + saidDay(20) + " and keeps 7 d"},
		{"nobody knows the dose", unfed(worse(t, true, "")), keeps, TestAgain, "of the same raw water about 50 % more is left than in the log's first weeks; the log does not tell what was fed: look at the pump too"},
		{"stock that keeps", worse(t, false, "fresh stock made"), tenth, TestAgain, "of the same raw water about 50 % more is left than in the log's first weeks, and the dose is fed as before: the water has changed"},
	} {
		j := Judge(x.log, x.plan, nil)
		d, ok := driftOf(j, "treated water")
		if !ok || d.Advice != x.advice || d.Reason.String() != x.says || d.Since.String() != dayText(30) || math.Abs(float64(d.Size)-0.5) > 1e-3 {
			t.Errorf("%s: %+v %s", x.name, d, d.Reason)
		}
	}
}

// unfed is a log in which nobody wrote of stock, flow or pump.
func unfed(l Log) Log {
	for i, e := range l.Entries {
		l.Entries[i] = Entry{Time: e.Time, Place: e.Place, Raw: e.Raw, Treated: e.Treated}
	}
	return l
}

// Stock of the 21st day keeps a week, to the 28th; on the 30th it is nine days old, so 2/7 over its time.
func TestStaleStock(t *testing.T) {
	l := worse(t, false, "new batch of stock")
	l.Entries = l.Entries[:30]
	keeps := tenth
	keeps.Keeps = quantity.Some(quantity.Time(7 * 24))
	d, ok := driftOf(Judge(l, keeps, nil), "stock")
	if !ok || d.Advice != MakeFresh || d.Reason.String() != "it is older than it keeps: made on "+saidDay(20)+", it is good for 7 d" || d.Since.String() != dayText(27) || math.Abs(float64(d.Size)-2.0/7) > 1e-9 {
		t.Errorf("%+v", d)
	}
	l.Entries = l.Entries[:27]
	if _, ok := driftOf(Judge(l, keeps, nil), "stock"); ok {
		t.Error("stock of six days")
	}
}

// A pump that never fed as planned is told, and so is what it lost later.
func TestNeverAsPlannedAndThenLess(t *testing.T) {
	plan := tenth
	plan.Dose.V.Concentration = 30
	j := Judge(worse(t, true, ""), plan, nil)
	var got []string
	for _, d := range j.Drift {
		if d.What == "dose fed" {
			got = append(got, d.Since.String()+" "+d.Reason.String())
		}
	}
	// 40 mg/L for thirty days and 32 for ten, of 30 planned: exp of the mean of their logarithms, (1.333)^0.75 x (1.0667)^0.25 = 1.261.
	want := []string{dayText(0) + " the dose fed is about 26 % more than planned", dayText(30) + " the dose fed is about 20 % less than in the log's first weeks"}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("%q, want %q", got, want)
	}
}
