package templates

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/history"
	"jarwright/dosing/logbook"
	"jarwright/templates/figure"
)

// muddier is a log of 40 days whose raw water goes from 50 to 80 NTU on the 21st, of which 4 NTU are left all the while.
func muddier(t *testing.T) TrackReport {
	t.Helper()
	text := "Date,Raw (NTU),Treated (NTU),Stock used (L),Water treated (m3)\n"
	for i := range 40 {
		w := 1 + []float64{0, 3, -2, 4, -3, 1, -4, 2}[i%8]/100
		raw := 50.0
		if i >= 20 {
			raw = 80
		}
		text += fmt.Sprintf("2026-%02d-%02d,%.1f,%.2f,%.2f,87\n", 1+i/28, 1+i%28, raw*w, 4/w, 16*w)
	}
	l, err := logbook.Read("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return TrackReport{Logs: []logbook.Judged{logbook.Judge(l, logbook.Plan{}, nil)}}
}

// The raw water's watch stands in the document and the table: from 50 to 80 NTU 60 % more, of 50 % that make another water. The log's verdict stays beside past tests.
func TestRawWaterInItsReport(t *testing.T) {
	r := muddier(t)
	w := r.JSON().(*figure.Object).Objects("logs")[0].Sub("raw_water")
	for path, want := range map[string]float64{"readings": 40, "average": 60, "limit": 50} {
		if v, _ := w.Fig(path).Document(); math.Abs(v-want) > 5 || path != "average" && v != want {
			t.Errorf("%s: %v, want %v", path, v, want)
		}
	}
	if w.Said("since") != "2026-01-21" || w.Get("off") != true {
		t.Errorf("%v %v", w.Said("since"), w.Get("off"))
	}
	o := Options{}
	if got := r.upkeep(Answer{}, o).Order; got != "Nothing but the raw water has moved off, and no less of it is taken out: go on, and write the log." {
		t.Error(got)
	}
	r.History = history.History{}
	if got := r.upkeep(Answer{Order: "Run more tests."}, o).Order; got != "Run more tests. By the log nothing has moved off." {
		t.Error(got)
	}
}

// A trial's advice never speaks against its cautions: a bin of 18 % is weighed before figures go into the site, one that closes badly once more before its solids do, and
// readings in mg/L say in what the site's tank has to be read. 76 NTU less 0.06 left of them, of 60 m3, are 6.83 kg at 1.5 mg/L for each: 1.23 kg are 18 %, 3.62 kg 53 %.
func TestTrialAdviceAgrees(t *testing.T) {
	log := func(unit, dry string) string {
		s := "Volume,60 m3\nFlow,12 m3/h\n" + dry + "Time (h),Tank (" + unit + ")\n"
		for _, h := range []float64{0, 5, 10, 15, 20, 30, 40, 60} {
			s += fmt.Sprintf("%g,%.3f\n", h, 4+76*math.Exp(-0.12*h))
		}
		return s
	}
	const put, weigh = "> Put the figures into the site as said below.", "> Weigh the bin again before the figures go into the site"
	for _, x := range []struct {
		text      string
		says, not string
	}{
		{log("NTU", "Float weighed,12.3 kg\nDry solids of the float,10 %\n"), weigh, put},
		{log("NTU", "Float weighed,36.2 kg\nDry solids of the float,10 %\n"), "where a second weighing says the same, put that into the site", "was taken: put that"},
		{log("NTU", ""), put, "in mg/L too"},
		{log("mg/L", ""), "of a tank whose readings in the site are in mg/L too", "Weigh"},
	} {
		got := strings.Join(strings.Fields(clearingText(t, x.text, Options{})), " ")
		if !strings.Contains(got, x.says) || strings.Contains(got, x.not) {
			t.Errorf("lacks %q or says %q:\n%s", x.says, x.not, got)
		}
	}
}

// Two settings that their names tell head by the better one, with the other's figure beside it for the site, in words and in the document.
func TestNamedSettingsInTheReport(t *testing.T) {
	text := "Volume,60 m3\nFlow,12 m3/h\nRun,Time (h),Tank (NTU)\n"
	for i, name := range []string{"with polymer", "without polymer"} {
		for k, h := range []float64{0, 5, 10, 15, 20, 30, 40, 60} {
			text += fmt.Sprintf("%s,%g,%.3f\n", name, h, (4+76*math.Exp(-[]float64{0.12, 0.07}[i]*h))*(1+0.01*float64(k%3-1)))
		}
	}
	r := clearingReport(t, text)
	d := r.JSON().(*figure.Object)
	n := r.answer(Options{}, d).Numbers[0]
	if v, _ := n.Value.Document(); n.For != "A pass takes out: with polymer" || math.Abs(v-60) > 2 || n.Under != "" {
		t.Errorf("%+v %v", n, v)
	}
	others := d.Sub("enter").Objects("others")
	if len(others) != 1 || others[0].Said("run") != "without polymer" {
		t.Fatalf("%v", others)
	}
	if v, _ := others[0].Fig("capture").Document(); math.Abs(v-35) > 2 {
		t.Errorf("%v", v)
	}
	if got := strings.Join(strings.Fields(clearingText(t, text, Options{})), " "); !strings.Contains(got, `These are of "with polymer". Where the unit will run as in "without polymer", solids caught is 35 %.`) {
		t.Error(got)
	}
}
