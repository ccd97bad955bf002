package logbook

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// fedLog is a log of so many days from 5 January 2026: 25 L of stock into 100 m3, off by 3 % to either side, changed by a function of the day.
func fedLog(t *testing.T, days int, change func(i int, used, water, setting, raw *float64)) Log {
	t.Helper()
	var b strings.Builder
	b.WriteString("Date,Raw (NTU),Treated (NTU),Pump setting (%),Stock used (L),Water treated (m3)\n")
	l := read(t, "day.csv", "Date,Raw (NTU),Treated (NTU),Stock used (L)\n2026-01-05,50,5,4\n")
	for i := range days {
		used, water, setting, raw := 25*(1+0.03*float64(1-2*(i%2))), 100.0, 50.0, 40.0
		if change != nil {
			change(i, &used, &water, &setting, &raw)
		}
		day := dayOf(l.Entries[0].Time + quantity.Time(24*i))
		fmt.Fprintf(&b, "%s,%g,%g,%g,%g,%g\n", day, raw, 3*(1+0.02*float64(1-2*(i/2%2))), setting, used, water)
	}
	return read(t, "log.csv", b.String())
}

func noteOf(j Judged, code string) (n note.Note) {
	if i := slices.IndexFunc(j.Notes, func(n note.Note) bool { return n.Code == code }); i >= 0 {
		n = j.Notes[i]
	}
	return n
}

// TestIdleDays: two days without stock among the first twenty are named and left out, so that a pump 20 % low from the 42nd day on reads as
// 20 % less since that day; one that stands at the end is the first order.
func TestIdleDays(t *testing.T) {
	loss := func(i int, used, _, _, _ *float64) {
		switch {
		case i == 9 || i == 10:
			*used = 0
		case i >= 41:
			*used *= 0.8
		}
	}
	j := Judge(fedLog(t, 47, loss), Plan{}, nil)
	d, ok := driftOf(j, "dose fed")
	if !ok || d.Since.String() != "2026-02-15" || d.Advice != CheckPump || math.Abs(float64(d.Size)+0.2) > 0.02 || len(j.Drift) != 1 {
		t.Errorf("%+v", j.Drift)
	}
	if n := noteOf(j, "pump-stood"); n.Cell != "A11" || !strings.Contains(n.Message, "in 2 rows: Wed 14 January 2026 to Thu 15 January 2026") {
		t.Errorf("%v", n)
	}
	j = Judge(fedLog(t, 30, func(i int, used, _, _, _ *float64) {
		if i >= 28 {
			*used = 0
		}
	}), Plan{}, nil)
	if len(j.Drift) != 1 || j.Drift[0].Advice != CheckPump || j.Drift[0].Since.String() != "2026-02-02" || j.Drift[0].Size != -1 || j.Drift[0].Readings != 2 {
		t.Errorf("%+v", j.Drift)
	}
	if j = Judge(fedLog(t, 47, nil), Plan{}, nil); len(j.Drift) != 0 || len(j.Notes) != 0 {
		t.Errorf("%+v %v", j.Drift, j.Notes)
	}
}

// TestWhatWasSet: a dose that moved with the pump's setting, or because more water goes, is no fault of the pump.
func TestWhatWasSet(t *testing.T) {
	for says, change := range map[string]func(i int, used, water, setting, raw *float64){
		"as the pump is set to 60 in place of 50": func(i int, used, _, setting, _ *float64) {
			if i >= 30 {
				*used, *setting = *used*1.2, 60
			}
		},
		"as the water is 6.67 m3/h in place of 4.17 m3/h and the pump runs as before": func(i int, _, water, _, _ *float64) {
			if i >= 31 {
				*water = 160
			}
		},
	} {
		j := Judge(fedLog(t, 50, change), Plan{}, nil)
		if d, ok := driftOf(j, "dose fed"); !ok || d.Advice != SetPump || !strings.Contains(d.Reason.String(), says) {
			t.Errorf("%s: %+v %s", says, d, d.Reason)
		}
	}
}

// TestFarOff: 4000 NTU where the highest of all others is 40 is asked about and left out; a storm of 350 is not.
func TestFarOff(t *testing.T) {
	for raw, want := range map[float64]bool{4000: true, 350: false} {
		j := Judge(fedLog(t, 40, func(i int, _, _, _, r *float64) {
			if i == 30 {
				*r = raw
			}
		}), Plan{}, nil)
		if n := noteOf(j, "reading-far"); (n.Code != "") != want || want && (n.Cell != "B32" || !strings.Contains(n.Message, "4000 NTU on Wed 4 February 2026")) || j.Days[30].Removal.OK == want {
			t.Errorf("%v: %v", raw, n)
		}
	}
}

// weekly is a log of drawdowns once a week, 17.5 mL/min that scatter by 3 %, losing so much each week after the sixth.
func weekly(t *testing.T, r *rand.Rand, weeks int, loss float64) Judged {
	t.Helper()
	text := "Date,Pump setting (%),Drawdown (mL/min),Water treated (m3)\n"
	start := read(t, "day.csv", "Date,Raw (NTU),Treated (NTU),Stock used (L)\n2026-01-05,50,5,4\n").Entries[0].Time
	for i := range weeks {
		gives := 17.5 * math.Exp(0.03*r.NormFloat64()) * (1 - loss*float64(max(0, i-6)))
		text += fmt.Sprintf("%s,50,%.2f,100\n", dayOf(start+quantity.Time(24*7*i)), gives)
	}
	return Judge(read(t, "log.csv", text), Plan{}, nil)
}

// TestFewDrawdowns: of drawdowns once a week the first six are the middle, and ten are judged; a pump that loses 3 % a week is found
// by the twentieth, and pumps that lose nothing are blamed in no more logs than the run length of the chart says, 14/370.
func TestFewDrawdowns(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 12))
	const logs = 300
	found, falsely := 0, 0
	for range logs {
		if d, ok := driftOf(weekly(t, r, 20, 0.03), "pump"); ok && d.Advice == CheckPump && d.Size < 0 {
			found++
		}
		if _, ok := driftOf(weekly(t, r, 20, 0), "pump"); ok {
			falsely++
		}
	}
	stated := 14.0 / 370
	t.Logf("found %d, falsely %d of %d, stated %.3f", found, falsely, logs, stated)
	if limit := stated + 2*math.Sqrt(stated/logs); found < logs*9/10 || float64(falsely)/logs > limit {
		t.Errorf("found %d, falsely %d of %d", found, falsely, logs)
	}
	for weeks, ready := range map[int]bool{9: false, 10: true} {
		if c := weekly(t, r, weeks, 0).Charts[0]; c.Ready() != ready || c.First != 6 || c.Needed() != 10 {
			t.Errorf("%d weeks: %v, first %d, needed %d", weeks, c.Ready(), c.First, c.Needed())
		}
	}
}

// TestLinesOfTheLog: what stands above the table tells the strength of the stock, the planned dose and what a centimetre of the tank is, with
// the days below each other or across: 10 cm of 2.5 L are 25 L of 50 g/L in 100 m3, 12.5 mg/L.
func TestLinesOfTheLog(t *testing.T) {
	const above = "Stock strength,50,g/L\nPlanned dose,12.5,mg/L\n"
	down := "Date,Raw (NTU),Treated (NTU),Stock level (cm),Water treated (m3)\n2026-01-05,40,4,78,100\n2026-01-06,40,4,68,100\n2026-01-07,40,4,58,100\n"
	across := "Date,2026-01-05,2026-01-06,2026-01-07\nRaw (NTU),40,40,40\nTreated (NTU),4,4,4\nStock level (cm),78,68,58\nWater treated (m3),100,100,100\n"
	for _, tank := range []string{"Stock tank,1 cm = 2.5 L\n", "Tank: 2.5 L per cm\n", "Stock tank: 200 L at 80 cm\n"} {
		for _, table := range []string{down, across} {
			j := Judge(read(t, "log.csv", above+tank+table), Plan{}, nil)
			if len(j.Days) != 3 || !j.Days[2].Fed.OK || math.Abs(float64(j.Days[2].Fed.V)-12.5) > 1e-6 || math.Abs(float64(j.Late().OfPlanned.V)-1) > 1e-6 {
				t.Errorf("%q %q: %+v", tank, table, j.Days)
			}
			for _, n := range j.Notes {
				if n.Level != note.Info {
					t.Errorf("%q %q: %v", tank, table, n)
				}
			}
		}
	}
	site := Plan{Chemical: "alum", Strength: quantity.Some[quantity.Concentration](100000), Dose: quantity.Some(quantity.Dose{Concentration: 12.5, Basis: quantity.AsProduct})}
	j := Judge(read(t, "log.csv", above+"Tank: 2.5 L per cm\n"+down), site, nil)
	if n := noteOf(j, "log-or-site"); !strings.Contains(n.Message, "a stock strength of 50000 mg/L, the site 100000 mg/L") && !strings.Contains(n.Message, "a stock strength of 50 g/L, the site 100 g/L") || math.Abs(float64(j.Days[2].Fed.V)-25) > 1e-6 {
		t.Errorf("%v %+v", n, j.Days[2].Fed)
	}
}
