package logbook

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ripple is a small scatter that comes again every eight rows, as a share.
func ripple(i int) float64 { return []float64{0, 3, -2, 4, -3, 1, -4, 2}[i%8] / 100 }

// rows is a log of 87 m3 a day, of which the functions give each row.
func rows(n int, raw, left, used, drawdown func(i int) float64) string {
	text := "Date,Raw (NTU),Treated (NTU),Pump setting (%),Stock used (L),Water treated (m3),Drawdown (mL/min)\n"
	for i := range n {
		w := ripple(i)
		text += fmt.Sprintf("%s,%.1f,%.2f,38,%.2f,87,%.2f\n", dayText(i), raw(i)*(1+w), left(i)*(1-w), used(i)*(1+w/2), drawdown(i)*(1+w/4))
	}
	return text
}

func always(v float64) func(int) float64 { return func(int) float64 { return v } }

// step is one value before a row and another from it on.
func step(at int, before, after float64) func(int) float64 {
	return func(i int) float64 {
		if i < at {
			return before
		}
		return after
	}
}

// Past tests ask 4 mg/L by the root of each NTU: 28.28 at 50 and 35.78 at 80. A pump that feeds 16 L of 100 g/L into 87 m3 a day, 18.39 mg/L, all the while is not
// what moved: its own chart is steady, and the water asks more since the 21st row. One that follows until then is told the same; one that fell by a fifth is blamed.
func TestWaterThatAsksMore(t *testing.T) {
	p := tenth
	p.Law = &Law{Low: 10, High: 200, Dose: func(q quantity.Cloudiness) (quantity.Concentration, bool) {
		return quantity.Concentration(4 * math.Sqrt(float64(q))), q >= 10 && q <= 200
	}}
	for name, x := range map[string]struct {
		raw, used func(int) float64
		want      []string
	}{
		"never as planned": {step(20, 50, 80), always(16), []string{"check the pump: the dose fed is about 42 % less than past tests ask of its raw water", "set the pump anew: the water asks 35.8 mg/L by past tests in place of 28.3 mg/L, and the pump still feeds 18.4 mg/L"}},
		"as planned first": {step(20, 50, 80), always(24.6), []string{"set the pump anew: the water asks 35.8 mg/L by past tests in place of 28.3 mg/L, and the pump still feeds 28.3 mg/L"}},
		"less is fed":      {always(50), step(20, 24.6, 19.7), []string{"check the pump: the dose fed is about 20 % less than past tests ask of its raw water"}},
	} {
		j := Judge(read(t, "log.csv", strings.ReplaceAll(rows(40, x.raw, always(4), x.used, always(11)), ",Drawdown (mL/min)", ",Quux")), p, nil)
		var got []string
		for _, d := range j.Drift {
			got = append(got, string(d.Advice)+": "+d.Reason.String())
			if strings.HasPrefix(d.Reason.String(), "the water asks") && d.Since.String() != dayText(20) {
				t.Errorf("%s: since %s", name, d.Since)
			}
		}
		if strings.Join(got, "\n") != strings.Join(x.want, "\n") {
			t.Errorf("%s:\n%s\nwant\n%s", name, strings.Join(got, "\n"), strings.Join(x.want, "\n"))
		}
		for _, c := range j.Charts {
			if c.What == OfDose && c.Own && c.Off {
				t.Errorf("%s: the feed's own chart is off: %+v", name, c.Move)
			}
		}
	}
}

// One slipped entry names its cell and what it may have been, and changes no day and no size: a tenfold stock, a tenfold drawdown in the first weeks, a tenfold
// meter reading of one day. By hand of late: 12.8 L of 100 g/L in 87 m3 are 14.7 mg/L, and the last seven ripple 0.07 % above it.
func TestOneEntryFarOff(t *testing.T) {
	plain := rows(40, always(60), always(4.2), step(28, 16, 12.8), step(28, 11.1, 8.88))
	of := func(text string) Judged { return Judge(read(t, "log.csv", text), Plan{Strength: tenth.Strength}, nil) }
	want := of(plain)
	if len(want.Drift) != 2 || math.Abs(float64(want.Drift[0].Size)+0.2) > 0.01 {
		t.Fatalf("%+v", want.Drift)
	}
	near(t, "of late", float64(want.Late().Fed.V), 14.722)
	line := func(row int, from, to string) string {
		all := strings.Split(plain, "\n")
		if !strings.Contains(all[row], from) {
			t.Fatalf("row %d: %s", row, all[row])
		}
		all[row] = strings.Replace(all[row], from, to, 1)
		return strings.Join(all, "\n")
	}
	for _, x := range []struct{ text, cell, says, remedy string }{
		{line(18, ",38,16.24,", ",38,160,"), "E19", "160 L of stock on " + saidDay(17) + ", where the entries around it are about 15.9 L; it is left out", "look whether it was written right: was it 16 L?"},
		{line(4, ",11.21", ",112.1"), "G5", "a drawdown of 112 mL/min on " + saidDay(3) + ", where those around it are about 11.1 mL/min at that setting; it is left out", "look whether it was written right: was it 11.2 mL/min?"},
		{line(39, ",12.54,", ",125,"), "E40", "125 L of stock on " + saidDay(38) + ", where the entries around it are about 12.9 L; it is left out", "look whether it was written right: was it 12.5 L?"},
		{line(10, ",87,", ",8.7,"), "F11", "8700 L of water on " + saidDay(9) + ", where the entries around it are about 87 m3; it is left out", "look whether it was written right: was it 87 m3?"},
	} {
		j := of(x.text)
		n := noteOf(j, "entry-far")
		if n.Cell != x.cell || n.Message != x.says || n.Remedy != x.remedy {
			t.Errorf("%s: %q, %q", n.Cell, n.Message, n.Remedy)
		}
		if len(j.Drift) != len(want.Drift) || j.Drift[0].Since != want.Drift[0].Since || j.Drift[0].Advice != CheckPump || math.Abs(float64(j.Drift[0].Size-want.Drift[0].Size)) > 0.01 {
			t.Errorf("%s: %+v", x.cell, j.Drift)
		}
		if got := noteOf(j, "first-weeks"); got.Code != "" {
			t.Errorf("%s: %s", x.cell, got.Message)
		}
		if got := float64(j.Late().Fed.V); math.Abs(got-14.72) > 0.1 {
			t.Errorf("%s: of late %v", x.cell, got)
		}
	}
}

// A move is no stray, and neither are two storms for which the setting, or the plan, was moved; three days of double use are a move that ended.
func TestWhatIsNoStray(t *testing.T) {
	for name, x := range map[string]struct {
		of   []float64
		want int
	}{
		"a step":       {[]float64{1, 1, 1, 1, 1, 3, 3, 3, 3}, 0},
		"its last":     {[]float64{1, 1, 1, 1, 1, 1, 1, 1, 3}, 0},
		"a stray last": {[]float64{1, 1, 1, 1, 1, 1, 1, 1, 10}, 1},
		"one between":  {[]float64{1, 1, 1, 1, 3, 1, 1, 1, 1}, 1},
		"three":        {[]float64{1, 1, 1, 1, 3, 3, 3, 1, 1, 1, 1}, 0},
		"wide scatter": {[]float64{1, 2, 1, 2, 1, 3, 1, 2, 1, 2, 1}, 0},
		"few":          {[]float64{1, 1, 9, 1, 1}, 0},
	} {
		var logs []float64
		for _, v := range x.of {
			logs = append(logs, math.Log(v))
		}
		if got := strays(logs); len(got) != x.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	text := rows(40, always(60), always(4), func(i int) float64 { return 16 * step(25, 1, 3)(i) / step(26, 1, 3)(i) }, always(11))
	all := strings.Split(text, "\n")
	all[26] = strings.Replace(all[26], ",38,", ",76,", 1)
	for _, text := range []string{text, strings.Join(all, "\n")} {
		n := noteOf(Judge(read(t, "log.csv", text), Plan{}, nil), "entry-far")
		if asked := n.Code != ""; asked != !strings.Contains(text, ",76,") {
			t.Errorf("%+v", n)
		}
	}
}

// Stock of three days over water of one, as where weekends are not written, tells no dose and says why.
func TestStockOverAWeekend(t *testing.T) {
	text := "Date,Stock used (L),Water treated (m3)\n"
	for i := range 40 {
		switch i % 7 {
		case 5, 6:
		case 0:
			text += fmt.Sprintf("%s,%.2f,87\n", dayText(i), 48*(1+ripple(i)))
		default:
			text += fmt.Sprintf("%s,%.2f,87\n", dayText(i), 16*(1+ripple(i)))
		}
	}
	j := Judge(read(t, "log.csv", text), tenth, nil)
	n := 0
	for _, x := range j.Notes {
		if x.Code == "rows-missing" {
			n++
		}
	}
	late := j.Late()
	if n != 1 || math.Abs(float64(late.Fed.V)-18.4) > 0.5 || noteOf(j, "entry-far").Cell != "B2" { // the first Monday has no row before it
		t.Errorf("%v %+v", j.Notes, late)
	}
}

// A column that only grows is a total: by hand 16 L between two rows, 85 m3 between two readings. Columns that tell a dose a hundred times too large or too small tell none.
func TestTotalsAndNoSuchDose(t *testing.T) {
	text, stock := "Date,Stock used (L),Water (m3)\n", "Date,Stock used (L),Water treated (m3)\n"
	feed := "Date,Stock used (L),Flow (m3/h)\n"
	for i := range 20 {
		text += fmt.Sprintf("%s,16,%d\n", dayText(i), 12432+85*i)
		stock += fmt.Sprintf("%s,%d,87\n", dayText(i), 16*(i+1))
		feed += fmt.Sprintf("%s,16,0.004\n", dayText(i))
	}
	for _, x := range []struct {
		text, code, cell string
		fed              float64
	}{{text, "running-total", "C2", 16e5 / 85e3}, {stock, "running-total", "B2", 16e5 / 87e3}, {feed, "no-such-dose", "B3", 0}} {
		j := Judge(read(t, "log.csv", x.text), tenth, nil)
		n := noteOf(j, x.code)
		if n.Cell != x.cell || n.Level != note.Caution {
			t.Errorf("%v", j.Notes)
		}
		if late := j.Late(); late.Fed.OK != (x.fed > 0) || x.fed > 0 && math.Abs(float64(late.Fed.V)-x.fed) > 1e-6 {
			t.Errorf("%s: %+v", x.code, late)
		}
		for _, d := range j.Drift {
			if x.fed == 0 {
				t.Errorf("%+v", d)
			}
			if strings.Contains(d.Reason.String(), "900 %") {
				t.Errorf("%s", d.Reason)
			}
		}
	}
	if got := Judge(read(t, "log.csv", feed), tenth, nil).Lacks(); len(got) != 2 || !strings.Contains(got[1], "columns of stock and water count") {
		t.Errorf("%q", got)
	}
}

// A day of floc gone over counts by what it left: 6 x 50 + 4.1 NTU came, 6 x 4 + 39 were left.
func TestRemovalBySums(t *testing.T) {
	text := "Date,Raw (NTU),Treated (NTU),Stock used (L),Flow (m3/h)\n"
	for i := range 7 {
		raw, left := 50.0, 4.0
		if i == 3 {
			raw, left = 4.1, 39
		}
		text += fmt.Sprintf("%s,%g,%g,4,4\n", dayText(i), raw, left)
	}
	near(t, "removal", float64(Judge(read(t, "log.csv", text), Plan{}, nil).Late().Removal.V), 1-63/304.1)
}

// The raw water has its limit: from 50 to 80 NTU is 60 % more, by 50 % at least; half of it is less than two thirds. Steady water moved by nothing of that.
func TestRawWaterIsWatched(t *testing.T) {
	for _, x := range []struct{ to, now, limit float64 }{{80, 0.6, 0.5}, {25, -0.5, -1.0 / 3}, {50, 0, 0.5}} {
		w, ok := Judge(read(t, "log.csv", rows(40, step(30, 50, x.to), always(4), always(16), always(11))), Plan{}, nil).Watched()
		if !ok || w.Readings != 40 || math.Abs(float64(w.Now)-x.now) > 0.05 || x.now != 0 && math.Abs(float64(w.Limit)-x.limit) > 1e-9 {
			t.Errorf("%+v", w)
		}
	}
	if _, ok := Judge(read(t, "log.csv", rows(10, always(50), always(4), always(16), always(11))), Plan{}, nil).Watched(); ok {
		t.Error("ten readings tell no change")
	}
	// A log of raw and treated water alone is one.
	if l := read(t, "log.csv", "Date,Raw (NTU),Treated (NTU)\n2026-03-01,60,4\n"); len(l.Entries) != 1 {
		t.Errorf("%+v", l)
	}
}
