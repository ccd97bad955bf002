package templates

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/clearing"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// clearingTable is two runs on one tank. The readings of the first are the closed course 4 + 76·exp(−0.12·t), E = 0.12·60/12 = 60 %, of
// the second 5 + 75·exp(−0.08·t), 40 %; every other one is 3 % high, the others 3 % low.
const clearingTable = `Rearing tank
Volume,60 m3
Flow,12 m3/h
Goal,10 NTU
Date,2026-03-05
Polymer (mg/L),0.2,none
Coagulant (mg/L),none,none
Float weighed (kg),200,
Dry solids of the float (%),3,
Time (h),with polymer (NTU),without polymer (NTU)
0,82.4,82.4
5,44.34,53.62
10,27.7,39.86
15,16.06,26.76
20,11.22,20.75
30,5.87,11.45
40,4.764,8.298
50,4.063,6.182
60,,5.786
`

func clearingReport(t *testing.T, text string) ClearingReport {
	t.Helper()
	trial, err := clearing.Read("trial.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return Clearing(clearing.Judge(trial), "trial.csv")
}

// TestClearingForms holds the document against the truth that the readings were made of, and the other forms against the document.
func TestClearingForms(t *testing.T) {
	r := clearingReport(t, clearingTable)
	b, err := json.Marshal(r.JSON())
	if err != nil {
		t.Fatal(err)
	}
	type interval struct {
		Value, Low, High, Confidence float64
		Unit                         string
	}
	var doc struct {
		Schema, Of string
		Runs       []struct {
			Name, Outcome                          string
			Flow, Volume                           struct{ Value float64 }
			Capture, Floor, Cleared                interval
			TimeConstant                           interval `json:"time_constant"`
			IfUnmixed, HalfTime, FloorShare, Start struct{ Value float64 }
			Readings                               []struct{ At, Tank, Fitted struct{ Value float64 } }
			TimeTo                                 struct {
				interval
				Reading struct {
					Value float64
					Unit  string
				}
				Reached bool
			} `json:"time_to"`
			Closure struct {
				Gone, Made, Weighed, Share struct{ Value float64 }
				Fits                       struct{ Value float64 }
			}
		}
		Comparisons []struct {
			Runs       []string
			Difference interval
			Verdict    string
			Differs    []string
			OrderAlone bool `json:"order_alone"`
		}
		Enter struct {
			Capture, Bare, Floor struct{ Value float64 }
			Low                  struct{ Value float64 } `json:"capture_low"`
			Trial                string
		}
	}
	if err := json.Unmarshal(b, &doc); err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s %v, want %v within %v", what, got, want, within)
		}
	}
	a, w := doc.Runs[0], doc.Runs[1]
	if doc.Schema != "jarwright.trial/1" || doc.Of != "unit" || a.Name != "with polymer" || a.Outcome != "found" || a.Capture.Confidence != 0.9 || a.Capture.Unit != "%" {
		t.Errorf("%s %s %+v", doc.Schema, doc.Of, a)
	}
	near("capture", a.Capture.Value, 60, 2) // the scatter of 3 % may move it by two of its standard errors
	near("capture, without", w.Capture.Value, 40, 1.5)
	near("floor", a.Floor.Value, 4, 0.2)
	near("floor, without", w.Floor.Value, 5, 0.5)
	near("cleared", a.Cleared.Value, a.Capture.Value/100*12, 1e-9)                 // E·Q
	near("time constant", a.TimeConstant.Value, 60/(a.Capture.Value/100*12), 1e-7) // V/(E·Q)
	near("to 10 NTU", a.TimeTo.Value, math.Log(76.0/6)/0.12, 0.5)                  // ln((C0 − F)/(goal − F))/k
	near("to 10 NTU, without", w.TimeTo.Value, math.Log(75.0/5)/0.08, 1)
	near("weighed", a.Closure.Weighed.Value, 6, 1e-9) // 200 kg at 3 %
	near("made", a.Closure.Made.Value, 0.12, 1e-9)    // 0.2 mg/L × 12 m3/h × 50 h
	near("gone", a.Closure.Gone.Value, (a.Readings[0].Fitted.Value-a.Readings[7].Fitted.Value)*1.5*60/1000, 1e-6)
	near("share", a.Closure.Share.Value, 100*6/(a.Closure.Gone.Value+0.12), 1e-6)
	near("fits", a.Closure.Fits.Value, 1.5*(6-0.12)/a.Closure.Gone.Value, 1e-6)
	if !(a.Capture.Low < 60 && 60 < a.Capture.High) || !(a.Floor.Low < 4 && 4 < a.Floor.High) || !(a.TimeTo.Low < a.TimeTo.Value && a.TimeTo.Value < a.TimeTo.High) || a.TimeTo.Reading.Value != 10 || a.TimeTo.Unit != "h" {
		t.Errorf("%+v %+v %+v", a.Capture, a.Floor, a.TimeTo)
	}
	c := doc.Comparisons[0]
	near("difference", c.Difference.Value, a.Capture.Value-w.Capture.Value, 1e-7)
	if c.Verdict != "more" || !c.OrderAlone || c.Runs[1] != "without polymer" || c.Differs[0] != "polymer" || c.Difference.Confidence != 0.95 || c.Difference.Unit != "points" {
		t.Errorf("%+v", c)
	}
	near("to enter", doc.Enter.Capture.Value, a.Capture.Value, 1e-9)
	near("to enter, low", doc.Enter.Low.Value, a.Capture.Low, 1e-9)
	near("to enter, undosed", doc.Enter.Bare.Value, w.Capture.Value, 1e-9)
	near("to enter, floor", doc.Enter.Floor.Value, a.Floor.Value, 1e-9)
	if doc.Enter.Trial != "Rearing tank, trial.csv, 2026-03-05" {
		t.Errorf("%q", doc.Enter.Trial)
	}
	tab := r.Table()
	if len(tab.Rows) != 17 { // eight readings and nine
		t.Errorf("%d rows", len(tab.Rows))
	}
	if got := tab.Cell(0, 11); got != a.Capture.Value {
		t.Errorf("capture of the table %v", got)
	}
	if d := r.Drawing(Options{}); len(d.Panels) != 2 || len(d.Panels[0].Layers) != 4 || !strings.HasPrefix(d.Title, "A pass takes out ") {
		t.Errorf("%d panels, %q", len(d.Panels), d.Title)
	}
}

// clearingText is the report as people read it, its lines joined.
func clearingText(t *testing.T, text string, o Options) string {
	t.Helper()
	var b strings.Builder
	w := NewText(&b, o)
	clearingReport(t, text).Text(w, o)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// run is a log with flow and volume above it.
func logOf(rows string) string {
	return "Volume,60 m3\nFlow,12 m3/h\nTime (h),NTU\n" + strings.ReplaceAll(rows, ";", "\n") + "\n"
}

// TestClearingWords: what each outcome says. Set A's figures are those of the tests of dosing/clearing: E 59.75 %, Cb 3.972; with t of
// 2.132 for 90 % its ends are 59.2 and 60.3 %, 3.91 and 4.04 NTU (se of ln k 0.0045, of ln Cb 0.0078).
// The short blank falls by 2.69 % an hour with a standard error of 1.585, so by (2.69 + 2.920 × 1.585) = 7.3 % at most; of the 0.1195 of the run
// that leaves 0.0463, and 0.0463 × 60/12 is 23 %.
func TestClearingWords(t *testing.T) {
	const setA = "0,80;5,46;10,27;15,16.5;20,11;30,6.1;40,4.6"
	for _, x := range []struct {
		name, text string
		o          Options
		says       []string
		not        string
	}{
		{"set A", logOf(setA), Options{Explain: true}, []string{"A pass takes out 60 %", "59 to 60 %, with 90 % confidence.", "and 4 NTU (3.9 to 4) never comes out at this flow (5 % of the start)", "12 m3/h 60 % (59 to 60) 5.8 h 4 NTU (3.9 to 4)",
			"One flow does not tell the two apart", "solids caught 60 %; or 59 %, the lower end", "outlet at best 4 NTU, what comes in counted in", "a pass would take out 45 % in place of 60 %", "by 0.57 %", "1. A mixed tank clears as"}, "CAUTION"},
		{"decimal comma, US units", logOf(setA), Options{DecimalComma: true, Units: 1}, []string{"52,8 gpm", "5,8 h", "by 0,57 %"}, "m3/h"},
		{"compared", clearingTable, Options{}, []string{"With 0.2 mg/L of polymer a pass takes out 60 % (", "without polymer 41 % (", "points more (", "Only one order was run", "Time to 10 NTU", "- With polymer: 21", "the bin held 6 kg of dry solids",
			"and the 120 g of polymer", "caught undosed 41 %", "clearing trial Rearing tank, trial.csv, 2026-03-05"}, "not compared"},
		{"too few", logOf("0,80;5,46"), Options{}, []string{"From end to end, a pass takes out at least 55 % no interval: too few readings", "no more than a guess", "Nothing: no run tells for sure what a pass takes out."}, "solids caught"}, // ln(80/46)/5·5
		{"one reading", logOf("0,80"), Options{}, []string{"Not told", "Too few readings"}, "guess"},
		{"too short", logOf("0,80;1,79;2,81;3,80;4,79"), Options{}, []string{"Not told", "> Run it longer", "fall no more than they scatter"}, "The runs"},
		{"rises", logOf("0,10;1,12;2,14;3,16;4,18"), Options{}, []string{"> Find what muddies the tank", "The readings rise"}, "The runs"},
		{"falls and rises", logOf("0,80;3,44;6,25.2;9,15.1;12,10.2;15,8;18,7.6;21,8.1;24,9.3;27,10.6;30,12.2"), Options{}, []string{"> Hold what comes in steady", "falls and rises again"}, "solids caught"},
		{"ended too soon", logOf("0,80;2,63;4,50;6,40;8,31"), Options{}, []string{"A pass takes out at least 56 %", "> Go by the lower end", "at most 73 %", "anything from 0 to 9.3 NTU", "solids caught 56 % clearing trial", "leave outlet at best as it is"}, "or 5"},
		{"not mixed", logOf("0,80;5,20;10,5.4;15,1.6;20,.5;25,.14"), Options{}, []string{"What a pass takes out Not told > Look at flow, volume and mixing", "faster than the unit can clear a mixed one", "a pass takes out at least 70 %", "Nothing: no run tells for sure"}, "solids caught"},
		{"a step", logOf("0,81.2;3,55.6;6,41.8;9,30.9;11,49.8;13,42.8;16,32.9;20,21.7;25,14.5;32,7.4;40,5.1"), Options{}, []string{"Not told > Run it again without feeding", "The reading steps up from 30.9 NTU to 49.8 NTU at 11 h"}, "solids caught"},
		{"a volume in litres", strings.Replace(logOf(setA), "60 m3", "60 L", 1), Options{}, []string{"Not told > Look at volume and flow", "CAUTION With 60 L going round at 12 m3/h all of it passes the unit every 18 s, and the readings fall far too slowly for that", "Did you mean a volume of 60 m3? Then a pass takes out 60 %"}, "solids caught"},
		{"undosed, perhaps", strings.Replace(clearingTable, "Coagulant (mg/L),none,none\n", "", 1), Options{}, []string{"CAUTION Without polymer does not say the coagulant", "Write \"Coagulant: none\" beside the run"}, "caught undosed 4"},
		{"by a short blank", "Volume,60 m3,,\nFlow,12 m3/h,,\nRun,Unit,Time (h),NTU\nblank,by-passed,0,80\nblank,by-passed,0.7,81\nblank,by-passed,1.4,76\nblank,by-passed,2,77\non,running,0,80\non,running,5,46\non,running,10,27\non,running,15,16.5\non,running,20,11\non,running,30,6.1\non,running,40,4.6\n", Options{},
			[]string{"CAUTION Most of the doubt of what a pass takes out is that of the run with the unit off", "between 0 % and 7.3 % in an hour", "A pass takes out: on 60 %", "23 to 60 %, with 90 % confidence."}, "or 60 %"},
		{"no volume", "Time (h),NTU\n" + strings.ReplaceAll(setA, ";", "\n") + "\n", Options{}, []string{"Not told", "> Give the flow", "falls to half in 5.8 h"}, "solids caught"},
		{"blank", "Run: unit by-passed\n" + logOf("0,20;2,19;4,18.1;6,17.2"), Options{}, []string{"Without the unit Not told", "> Now run the same water with the unit on.", "clears by itself by 2.5 %/h (2.5 to 2.6)"}, "Rises"}, // ln(20/17.2)/6 = 2.51 %/h
		{"blank that rises", "Run: unit by-passed\n" + logOf("0,20;2,21;4,22;6,23.1"), Options{}, []string{"With the unit off the reading rises by 0.52 NTU/h (0.49 to 0.54): that is what comes in."}, ""},
		{"blank that stands", "Run: unit by-passed\n" + logOf("0,20;2,20.2;4,19.9;6,20.1"), Options{}, []string{"nothing is shown to settle (no more than", "or to come in (no more than"}, ""},
		{"pairs", "Flow,12 m3/h\nTime (h),Inlet (NTU),Outlet (NTU)\n0,50,20\n1,55,22.5\n2,60,23.5\n3,52,21\n", Options{}, []string{"By inlet and outlet a pass takes out 60 % (", "(4 pairs). Six pairs or more tell it better."}, "The tank is mixed"},
		{"flows", "Volume,60 m3\nFlow (m3/h),12,6\nTime (h),fast (NTU),slow (NTU)\n0,80,82\n5,46,61\n10,30.1,48\n15,19.9,38.8\n20,15.2,30\n30,10.3,22.4\n40,8.6,18.1\n60,8.3,13.5\n80,,12.2\n", Options{},
			[]string{"At 12 m3/h a pass takes out 59 %", "no difference is shown", "so the tank is clear sooner at 12 m3/h.", "By runs at two flows: the reading would rise by 0.51 NTU/h", "turbidity coming in 0.51 NTU/h", "By the flow"}, "One flow does not"},
		{"never", strings.Replace(logOf(setA), "Volume", "Goal,3.5 NTU\nVolume", 1), Options{}, []string{"Time to 3.5 NTU", "- Run 1: never: 4 NTU never comes out at that flow."}, "as it looks"},
		{"never, perhaps", strings.Replace(logOf(setA), "Volume", "Goal,3.95 NTU\nVolume", 1), Options{}, []string{"- Run 1: never, as it looks: 4 NTU never comes out at that flow. It would take 6"}, ""},
		{"a stray", logOf("0,80;5,46;10,27;15,16.5;20,11;25,80;30,6.1;40,4.6;50,4.2"), Options{}, []string{"Look at this first", "CAUTION The reading 80 at 25 h lies far off the course of all others"}, ""},
	} {
		got := clearingText(t, x.text, x.o)
		for _, want := range x.says {
			if !strings.Contains(got, want) {
				t.Errorf("%s lacks %q:\n%s", x.name, want, got)
			}
		}
		if x.not != "" && strings.Contains(got, x.not) {
			t.Errorf("%s says %q:\n%s", x.name, x.not, got)
		}
	}
}

// fourRuns is with polymer, without, without, with, on one tank: the courses of clearingTable, those of the third and the fourth run with
// their scatter the other way round.
const fourRuns = `Volume,60 m3
Flow,12 m3/h
Polymer (mg/L),0.2,none,none,0.2
Time (h),A (NTU),B (NTU),C (NTU),D (NTU)
0,82.4,82.4,77.6,77.6
5,44.34,53.62,56.94,47.08
10,27.7,39.86,37.54,26.09
15,16.06,26.76,28.42,17.05
20,11.22,20.75,19.55,10.57
30,5.87,11.45,12.15,6.233
40,4.764,8.298,7.815,4.487
50,4.063,6.182,6.565,4.314
`

// TestGroupsOfRuns: two runs with and two without are one comparison, in words and in the document: 60 and 40 % are the truth, and the
// figures are the means of the runs' own. The pairs stand in the document alone.
func TestGroupsOfRuns(t *testing.T) {
	r := clearingReport(t, fourRuns)
	d := r.JSON().(*figure.Object)
	g := d.Objects("groups")
	if len(g) != 1 || g[0].Said("verdict") != "more" || len(d.Objects("comparisons")) != 6 || g[0].Get("order_alone") != false || g[0].Get("runs_differ") != false {
		t.Fatalf("%v", g)
	}
	runs, settings := d.Objects("runs"), g[0].Objects("settings")
	e := func(i int) float64 {
		v, _ := runs[i].Get("capture").(figure.Interval).Figure.Document()
		return v
	}
	for i, want := range []float64{(e(0) + e(3)) / 2, (e(1) + e(2)) / 2} {
		truth := []float64{60, 40}[i]
		if v, _ := settings[i].Fig("capture").Document(); math.Abs(v-want) > 1e-6 || math.Abs(v-truth) > 1.5 {
			t.Errorf("capture %v, want %v, in truth %v", v, want, truth)
		}
	}
	i := g[0].Get("difference").(figure.Interval)
	low, high := i.Ends()
	at, _ := i.Figure.Document()
	least, _ := low.Document()
	most, _ := high.Document()
	if math.Abs(at-(e(0)+e(3)-e(1)-e(2))/2) > 1e-6 || !(least < 20 && 20 < most) || i.Confidence != 0.95 {
		t.Errorf("%v, %v to %v", at, least, most)
	}
	// The headline and the site have the setting's mean, with its own ends, and name it with its runs.
	a := r.answer(Options{}, d)
	if n := a.Numbers[0]; n.For != "A pass takes out with 0.2 mg/L of polymer" || n.Under != "the mean of 2 runs: A, D" {
		t.Errorf("%+v", n)
	} else if v, _ := n.Value.Document(); math.Abs(v-(e(0)+e(3))/2) > 1e-6 {
		t.Errorf("%v", v)
	}
	enter := d.Sub("enter")
	least, _ = enter.Fig("capture_low").Document()
	most, _ = enter.Fig("capture_high").Document()
	if !(least < 60 && 60 < most) || most-least > 8 || enter.Said("run") != "A, D" {
		t.Errorf("%v to %v, %s", least, most, enter.Said("run"))
	}
	var b strings.Builder
	w := NewText(&b, Options{})
	r.Text(w, Options{})
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(b.String()), " ")
	if !strings.Contains(said, "- With 0.2 mg/L of polymer a pass takes out ") || !strings.Contains(said, " over 2 runs, without polymer ") || strings.Count(said, "a pass takes out") != 1 ||
		!strings.Contains(said, "Dose as in the better runs") {
		t.Error(b.String())
	}
}

// TestClearingForSite: what the site is to be told is what the report says under that heading, field by field, and nothing where no
// run tells it.
func TestClearingForSite(t *testing.T) {
	const twoFlows = "Volume,60 m3\nFlow (m3/h),12,6\nTime (h),fast (NTU),slow (NTU)\n0,80,82\n5,46,61\n10,30.1,48\n15,19.9,38.8\n20,15.2,30\n30,10.3,22.4\n40,8.6,18.1\n60,8.3,13.5\n80,,12.2\n"
	for _, x := range []struct {
		text string
		o    Options
		want map[string]string
	}{
		{logOf("0,80;5,46;10,27;15,16.5;20,11;30,6.1;40,4.6"), Options{}, map[string]string{"solids caught": "60 %", "outlet at best": "4 NTU", "turbidity coming in": ""}},
		{twoFlows, Options{DecimalComma: true}, map[string]string{"turbidity coming in": "0,51 NTU/h"}},
		{logOf("0,80;5,46"), Options{}, map[string]string{"solids caught": "", "clearing trial": ""}},
	} {
		r := clearingReport(t, x.text)
		got := map[string]string{}
		for _, f := range r.ForSite(x.o) {
			got[f[0]] = f[1]
			if f[0] != "clearing trial" && !strings.Contains(clearingText(t, x.text, x.o), f[0]+" "+f[1]) {
				t.Errorf("the report does not say %s %s", f[0], f[1])
			}
		}
		for field, want := range x.want {
			if got[field] != want {
				t.Errorf("%s is %q, want %q", field, got[field], want)
			}
		}
	}
}

// TestNamesOfRuns: a run that nothing but its name sets apart is named in a sentence that reads, whatever the name begins with.
func TestNamesOfRuns(t *testing.T) {
	for name, want := range map[string]string{"with polymer": "in run “with polymer”", "A": "in run “A”", "Run 2": "in Run 2", "running hot": "in run “running hot”"} {
		x := clearing.Result{Run: clearing.Run{Name: name}}
		if got := (Options{}).Show((ClearingReport{}).with(x, nil)); got != want {
			t.Errorf("%q: %s, want %s", name, got, want)
		}
		x.Polymer = quantity.Some[quantity.Concentration](0.2)
		if got := (Options{}).Show((ClearingReport{}).with(x, []clearing.Differs{clearing.ByPolymer})); got != "with 0.2 mg/L of polymer" {
			t.Errorf("%q: %s", name, got)
		}
	}
}

// What has to be looked at first stands in the action, where the fit refuses too; what was written beside the rows is shown.
func TestClearingLooksFirst(t *testing.T) {
	const setA = "0,80;5,46;10,27;15,16.5;20,11;30,6.1;40,4.6"
	beside := func(remark string) string {
		return strings.Replace(strings.Replace(logOf(setA), "(h),NTU", "(h),NTU,Remark", 1), "15,16.5", "15,16.5,"+remark, 1)
	}
	for name, x := range map[string]struct {
		text string
		says []string
	}{
		"refused":      {logOf(strings.Replace(setA, "16.5", "9999", 1)), []string{"Not told", "> Look first at the reading 9999 at 15 h (B7): was it written right?"}},
		"changed":      {"Time (h),Inlet (NTU),Outlet (NTU)\n0,40,44\n1,41,43\n2,39,45\n3,40,41\n", []string{"> Look first whether inlet and outlet are changed round"}},
		"fed":          {beside("fed 2 kg"), []string{"> Look first at what was written at C7: something was put in or changed", "What was written beside them", "Run 1, at 15 h: “fed 2 kg”"}},
		"harmless":     {beside("foam thin"), []string{"> Put the figures into the site", "Run 1, at 15 h: “foam thin”"}},
		"water came":   {"Flow,12 m3/h\nTime (h),Volume (m3),Tank (NTU)\n0,60,80\n5,60,46\n10,60,27\n15,75,16\n20,75,11\n30,75,6\n", []string{"> Give the readings before or after the water came in as a run of their own.", "The volume rises while the unit runs."}},
		"alike":        {"Volume,60 m3\nFlow,12 m3/h\nTime (h),2 mg/L (NTU),4 mg/L (NTU)\n0,80.71,78.54\n5,51.81,51.79\n10,35.35,35.82\n15,20.72,19.99\n20,13.85,12.65\n30,8.81,8.05\n40,5.01,5.25\n", []string{"of 4 mg/L and 2 mg/L, which are not shown to differ, they are the lower.", "solids caught 48 %"}},
		"not counted":  {"Coagulant,12 mg/L\nFloat weighed,300 kg\nDry solids of the float,2 %\n" + logOf(setA), []string{"what the coagulant made not counted. That closes.", "12 m3/h 12 mg/L 60 %"}},
		"below by now": {"Clear enough at,100 NTU\n" + logOf(setA), []string{"Run 1: it is below already, 80.1 NTU at the start."}},
	} {
		said := clearingText(t, x.text, Options{})
		for _, want := range x.says {
			if !strings.Contains(said, want) {
				t.Errorf("%s: no %q in %s", name, want, said)
			}
		}
		if name == "not counted" && strings.Contains(said, "put that into the site") {
			t.Errorf("%s: %s", name, said)
		}
	}
}
