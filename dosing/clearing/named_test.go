package clearing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// What names set beyond counts and days: repeats have one choice, settings have two, whatever language and figures.
func TestWhatNamesSet(t *testing.T) {
	for _, x := range []struct {
		a, b string
		same bool
	}{
		{"with polymer", "without polymer", false}, {"polymer", "no polymer", false}, {"skimmer on", "skimmer off", false}, {"PAC 10 mg/L", "PAC 5 mg/L", false},
		{"with", "without", false}, {"mit Polymer", "ohne Polymer", false}, {"alum", "ferric", false}, {"trial_with", "trial_without", false},
		{"run 1", "run 2", true}, {"Run no. 1", "Run no. 2", true}, {"A", "B", true}, {"Monday", "Tuesday", true}, {"4 March", "5 March", true}, {"with polymer", "with polymer (2)", true},
		{"polymer, again", "with polymer", true}, {"PAC 10 mg/L", "10 mg/L PAC", true}, {"2026-03-02", "2026-03-09", true}, {"Versuch 1", "Versuch 2", true},
	} {
		r := func(name string) Result {
			f := facts{Run: Run{Name: name, Named: true}}
			f.byName(name, f.At)
			return Result{Run: f.Run}
		}
		if a, b := r(x.a), r(x.b); (a.chosen() == b.chosen()) != x.same {
			t.Errorf("%q and %q: %+v, %+v", x.a, x.b, a.chosen(), b.chosen())
		}
	}
	// What a figure tells is no setting of its own.
	r := Run{Name: "fast, 0.2 mg/L polymer, 8 m3/h, skimmed every 30 min", Named: true, Settings: Settings{Polymer: quantity.Some[quantity.Concentration](0.2), Flow: quantity.Some[quantity.Flow](8), Skim: quantity.Some[quantity.Time](0.5)}}
	if got := r.byName(); got != "every fast" {
		t.Errorf("%q", got)
	}
}

// twoSettings are the course of 60 % to a floor of 4 NTU and that of 35 % to one of 5, of 80 NTU in 60 m3 at 12 m3/h, as E·Q/V tells: k = 0.12 and 0.07 1/h.
func twoSettings(names ...string) string {
	text := "Volume,60 m3\nFlow,12 m3/h\nRun,Time (h),Tank (NTU)\n"
	for i, name := range names {
		e, f := 0.6, 4.0
		if strings.Contains(name, "without") || strings.Contains(name, "off") || strings.Contains(name, "5 mg/L") {
			e, f = 0.35, 5
		}
		for k, h := range []float64{0, 5, 10, 15, 20, 30, 40, 60} {
			text += fmt.Sprintf("%s,%g,%.3f\n", name, h, (f+(80-f)*math.Exp(-e*0.2*h))*(1+0.02*float64((i+k)%3-1)))
		}
	}
	return text
}

// Two settings that names alone tell are never one mean: the better of them is offered by its name, with the other beside it; in the order A, B, B, A each has its own mean.
func TestNamedSettingsAreNoMean(t *testing.T) {
	for _, names := range [][]string{{"with polymer", "without polymer"}, {"skimmer on", "skimmer off"}, {"PAC 10 mg/L", "PAC 5 mg/L"}} {
		got, err := Read("log.csv", strings.NewReader(twoSettings(names...)))
		if err != nil {
			t.Fatal(err)
		}
		j := Judge(got)
		e, ok := j.Enter()
		if !ok || len(e.Runs) != 1 || j.Results[e.Run].Name != names[0] || math.Abs(float64(e.Capture)-0.6) > 0.04 || len(e.Others) != 1 || math.Abs(float64(e.Others[0].Capture.V)-0.35) > 0.04 {
			t.Errorf("%v: %+v", names, e)
		}
		if c := j.Comparisons[0]; c.Verdict != More || c.Differs[0] != ByName {
			t.Errorf("%v: %+v", names, c)
		}
	}
	got, err := Read("log.csv", strings.NewReader(twoSettings("skimmer on first", "skimmer off first", "skimmer off second", "skimmer on second")))
	if err != nil {
		t.Fatal(err)
	}
	j := Judge(got)
	e, ok := j.Enter()
	if !ok || fmt.Sprint(e.Runs) != "[0 3]" || math.Abs(float64(e.Capture)-0.6) > 0.04 || len(j.Groups) != 1 || j.Groups[0].Confounded || j.Groups[0].Verdict != More {
		t.Errorf("%+v %+v", e, j.Groups)
	}
}
