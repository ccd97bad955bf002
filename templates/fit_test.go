package templates

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"jarwright/dosing/caution"
	chem "jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// madeFit is a result whose every number is typed here, so that what the reports show
// can be held against it. The place, the sample and the jars are invented.
func madeFit() curve.Result {
	jar := func(label string, dose, read float64, s jartest.State, used bool, why string) curve.JarUse {
		return curve.JarUse{Label: label, Dose: quantity.Concentration(dose), Reading: read, State: s, Used: used, Why: why,
			At: note.Place{Cell: "C" + label}}
	}
	jars := []curve.JarUse{jar("1", 0, 38.425, jartest.Number, true, ""), jar("2", 5, 40.0/3, jartest.Number, true, "far off"),
		jar("3", 10, 0.5, jartest.Below, true, ""), jar("4", 17, 1000, jartest.Above, false, "over range"),
		jar("5", 24, 0, jartest.Missing, false, "no reading"), jar("6", 30, 3, jartest.Number, true, "")}
	jars[0].Fit, jars[0].Residual = 37.91, -0.04
	jars[1].Fit, jars[1].Residual, jars[1].Outlier = 12.3456, 2.26, true
	return curve.Result{
		Series: "storm", Place: note.Place{File: "beck.csv", Sheet: "Tue", Cell: "A5:F11"},
		Sample:   jartest.Sample{Date: "2026-03-02", Turbidity: jartest.Num(46, "NTU")},
		Response: jartest.Turbidity, Factor: "dose", Chemical: jartest.Chemical{Name: "alum", Basis: quantity.AsAlum14},
		Targets: []jartest.Target{{Key: jartest.Turbidity, Value: 5.5, Unit: "NTU"},
			{Key: jartest.Turbidity, Kind: jartest.Removal, AtLeast: true, Value: 90, Unit: "%"}}, Binding: 1,
		Reference: curve.Reference{What: "raw water", Value: 46, Unit: "NTU"}, Outcome: curve.Found,
		Effective: curve.Interval{Value: 12.345, Low: 11.1, High: 14.04, HasLow: true, HasHigh: true, Confidence: 0.9},
		Planning:  quantity.Dose{Concentration: 13.37, Basis: quantity.AsAlum14}, HasPlanning: true, Rule: "on the safe side",
		Sure: 0.9, NextJar: quantity.Known[quantity.Fraction]{V: 0.78, OK: true},
		LowestPassing: jars[5], HasLowestPassing: true, PassingJars: 1, Best: curve.Spot{Dose: 18.55, Reading: 3.046},
		Overdose:  curve.Overdose{Seen: true, From: 22.04},
		TestedLow: 0, TestedHigh: 24.5, Curve: []curve.Point{{Dose: 0, Fit: 38, Low: 36, High: 40},
			{Dose: 10, Fit: 8, Low: 7, High: 0.1 + 0.2}, {Dose: 24.5, Fit: 3.2, Low: 2.8, High: 4}},
		Jars: jars, Scale: "logarithm", Scatter: 0.0834, Relative: true,
		Readings: []curve.ReadingCurve{{Key: jartest.Turbidity}, {Key: jartest.PH, Scale: "as it is", Jars: jars[:2],
			Curve: []curve.Point{{Dose: 0, Fit: 7.4}, {Dose: 24, Fit: 6.7}}, Best: curve.Spot{Dose: 1.5, Reading: 7.35},
			AtPlanning: &curve.Point{Dose: 13.37, Fit: 7.041, Low: 6.98, High: 7.1}},
			{Key: jartest.TemperatureKey, AtPlanning: &curve.Point{Fit: 10, Low: 9, High: 11}}, {Key: "smell"}},
		Models: []curve.ModelWeight{
			{Name: "shape only", Weight: 0.25, RSS: 0.5, Criterion: math.Inf(1), Status: "converged"},
			{Name: "fall", Formula: "a exp(-x/b)", Weight: 0.7, RSS: 1.2345, Criterion: -10.26, Dose: 12.3456, HasDose: true, Status: "converged",
				Profile: curve.Interval{Low: 11, HasLow: true, Confidence: 0.9},
				Params: []curve.ParamValue{{Name: "a", Meaning: "start", Unit: "NTU", Value: 38.0449, SE: 1.26},
					{Name: "b", Meaning: "reach", Unit: "mg/L", Value: 6.5}}},
			{Name: "rise", Weight: 0.05, Criterion: 0, Status: "stopped", Params: []curve.ParamValue{{Name: "c", Value: 1}}}},
		Method: []string{"jars are weighed"}, Notes: note.List{note.New(note.Caution, "wide-interval", "the interval is wide"),
			note.New(note.Info, "here", "in its cell").At(note.Place{Cell: "C7"})},
	}
}

// shownText is a report as text with the working.
func shownText(t *testing.T, r Report, o Options) string {
	t.Helper()
	var b bytes.Buffer
	w := NewText(&b, o)
	r.Text(w, o)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// holds looks for lines of text, blanks counting once.
func holds(t *testing.T, text string, lines ...string) {
	t.Helper()
	flat := strings.Join(strings.Fields(text), " ")
	for _, l := range lines {
		if !strings.Contains(flat, l) {
			t.Errorf("no %q in\n%s", l, text)
		}
	}
}

// document is a report's JSON, taken apart again.
func document(t *testing.T, r Report) map[string]any {
	t.Helper()
	data, err := json.Marshal(r.JSON())
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// member finds what stands at a path such as "series.0.best.dose" and writes it as JSON.
func member(doc any, path string) string {
	for _, k := range strings.Split(path, "/") {
		switch x := doc.(type) {
		case map[string]any:
			doc = x[k]
		case []any:
			i := 0
			if _, err := fmt.Sscan(k, &i); err != nil || i >= len(x) {
				return "none"
			}
			doc = x[i]
		default:
			return "none"
		}
	}
	data, _ := json.Marshal(doc)
	return string(data)
}

func TestFitDocument(t *testing.T) {
	pond := madeFit()
	pond.Series, pond.Chemical, pond.Sample = "", jartest.Chemical{Name: "ferric"},
		jartest.Sample{Turbidity: jartest.Reading{State: jartest.Above, Value: 1000}}
	pond.Outcome, pond.HasPlanning, pond.HasLowestPassing, pond.Overdose, pond.Relative = curve.NotReached, false, false, curve.Overdose{},
		false
	pond.Targets, pond.Reference, pond.Notes = pond.Targets[:1], curve.Reference{}, pond.Notes[:1]
	doc := document(t, FitReport{Results: []curve.Result{madeFit(), pond},
		Notes: note.List{note.New(note.Info, "read", "as read"), note.New(note.Info, "read", "as read")}})
	for path, want := range map[string]string{
		"schema":                         `"jarwright.fit/1"`,
		"series/0/name":                  `"storm"`,
		"series/0/file":                  `"beck.csv"`,
		"series/0/sheet":                 `"Tue"`,
		"series/0/range":                 `"A5:F11"`,
		"series/0/date":                  `"2026-03-02"`,
		"series/0/raw_turbidity":         `{"unit":"NTU","value":46}`,
		"series/0/response":              `"turbidity"`,
		"series/0/factor":                `"dose"`,
		"series/0/chemical":              `"alum"`,
		"series/0/basis":                 `"as alum 14-hydrate"`,
		"series/0/targets":               `["turbidity \u003c= 5.5 NTU","turbidity removal \u003e= 90 %"]`,
		"series/0/binding_target":        `"turbidity removal \u003e= 90 %"`,
		"series/0/reference":             `{"unit":"NTU","value":46,"what":"raw water"}`,
		"series/0/outcome":               `"found"`,
		"series/0/units":                 `{"dose":"mg/L","reading":"NTU"}`,
		"series/0/lowest_effective_dose": `{"basis":"as alum 14-hydrate","confidence":0.9,"high":14.04,"low":11.1,"unit":"mg/L","value":12.345}`,
		"series/0/planning_dose":         `{"basis":"as alum 14-hydrate","chance_next_jar":0.78,"confidence":0.9,"rule":"on the safe side","unit":"mg/L","value":13.37}`,
		"series/0/lowest_passing_jar":    `{"dose":30,"label":"6","reading":3}`,
		"series/0/best":                  `{"dose":18.55,"reading":3.046}`,
		"series/0/tested":                `{"high":24.5,"low":0}`,
		"series/0/overdose":              `{"from":22.04,"seen":true}`,
		"series/0/trade_off/0":           `{"chance":0.05}`,
		"series/0/trade_off/5":           `{"chance":0.95}`,
		"series/0/curve":                 `[[0,38,36,40],[10,8,7,0.3],[24.5,3.2,2.8,4]]`,
		// On the curve at 5 mg/L: half way from 38 to 8.
		"series/0/jars/0":                      `{"cell":"C1","dose":0,"fitted":37.91,"label":"1","on_curve":38,"reading":38.425,"residual":-0.04,"used":true}`,
		"series/0/jars/1":                      `{"cell":"C2","dose":5,"fitted":12.3456,"label":"2","on_curve":23,"outlier":true,"reading":13.3333333333,"residual":2.26,"used":true,"why":"far off"}`,
		"series/0/jars/2":                      `{"below":0.5,"cell":"C3","dose":10,"label":"3","on_curve":8,"used":true}`,
		"series/0/jars/3":                      `{"above":1000,"cell":"C4","dose":17,"label":"4","used":false,"why":"over range"}`,
		"series/0/jars/4":                      `{"cell":"C5","dose":24,"label":"5","used":false,"why":"no reading"}`,
		"series/0/jars/5":                      `{"cell":"C6","dose":30,"label":"6","reading":3,"used":true}`,
		"series/0/model":                       `{"name":"fall","parameters":{"a":38.0449,"b":6.5},"scale":"logarithm","weights":{"fall":0.7,"rise":0.05,"shape only":0.25}}`,
		"series/0/models/0":                    `{"formula":"","name":"shape only","status":"converged","sum_of_squares":0.5,"weight":0.25}`,
		"series/0/models/1/aicc":               `-10.26`,
		"series/0/models/1/dose":               `12.3456`,
		"series/0/models/1/formula":            `"a exp(-x/b)"`,
		"series/0/models/1/profile_low":        `11`,
		"series/0/models/1/profile_high":       `null`,
		"series/0/models/1/parameters":         `[{"meaning":"start","name":"a","standard_error":1.26,"unit":"NTU","value":38.0449},{"meaning":"reach","name":"b","unit":"mg/L","value":6.5}]`,
		"series/0/models/2":                    `{"formula":"","name":"rise","parameters":[{"meaning":"","name":"c","value":1}],"status":"stopped","sum_of_squares":0,"weight":0.05}`,
		"series/0/scatter":                     `{"unit":"%","value":8.34}`,
		"series/0/readings/0/reading":          `"ph"`,
		"series/0/readings/0/units":            `{"dose":"mg/L","reading":""}`,
		"series/0/readings/0/best":             `{"dose":1.5,"reading":7.35}`,
		"series/0/readings/0/at_planning_dose": `{"fit":7.041,"high":7.1,"low":6.98}`,
		"series/0/readings/0/jars_used/value":  `2`,
		"series/0/readings/0/curve":            `[[0,7.4,0,0],[24,6.7,0,0]]`,
		"series/0/readings/1/unit":             `"C"`,
		"series/0/readings/1/at_planning_dose": `{"fit":10,"high":11,"low":9}`,
		"series/0/readings/1/best":             `null`,
		"series/0/readings/2/reading":          `"smell"`,
		"series/0/readings/2/at_planning_dose": `null`,
		"series/0/method":                      `["jars are weighed"]`,
		"series/0/notes":                       `null`,
		"series/1/name":                        `"Tue"`,
		"series/1/raw_turbidity":               `{"above":1000,"unit":"NTU"}`,
		"series/1/basis":                       `"not stated"`,
		"series/1/binding_target":              `null`,
		"series/1/reference":                   `null`,
		"series/1/lowest_effective_dose":       `null`,
		"series/1/planning_dose":               `null`,
		"series/1/lowest_passing_jar":          `null`,
		"series/1/trade_off":                   `null`,
		"series/1/overdose":                    `{"seen":false}`,
		"series/1/scatter":                     `{"unit":"NTU","value":0.0834}`,
		// Gravest first, each once, the series' place where a note has none of its own.
		"notes/0": `{"cell":"A5:F11","code":"wide-interval","file":"beck.csv","level":"caution","message":"the interval is wide","sheet":"Tue"}`,
		"notes/1": `{"code":"read","level":"note","message":"as read"}`,
		"notes/2": `{"cell":"C7","code":"here","level":"note","message":"in its cell"}`,
		"notes/3": `none`,
	} {
		if got := member(doc, path); got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
}

func TestFitTable(t *testing.T) {
	ph := phFit()
	pond := madeFit()
	pond.Outcome, pond.HasPlanning, pond.Rule, pond.HasLowestPassing, pond.Notes = curve.StillImproving, false, "", false, nil
	window := madeFit()
	window.Window = curve.Window{Seen: true, Low: window.Effective, High: curve.Interval{Value: 20.5}}
	rows := FitReport{Results: []curve.Result{window, ph, pond}}.Table().Strings()
	want := [][]string{
		strings.Split("series,response,chemical,basis,targets,outcome,lowest_effective_dose_mg_per_l,low_mg_per_l,high_mg_per_l,planning_dose_mg_per_l,rule,lowest_passing_dose_mg_per_l,"+
			"best_dose_mg_per_l,best_reading,overdose_from_mg_per_l,notes,reading_unit,second_chemical,second_dose_mg_per_l,ph,file,sheet,date,raw_turbidity_ntu,"+
			"window_low_mg_per_l,window_high_mg_per_l", ","),
		{"storm", "turbidity", "alum", "as alum 14-hydrate", "turbidity <= 5.5 NTU and turbidity removal >= 90 %", "found", "12.345", "11.1",
			"14.04", "13.37", "on the safe side", "30",
			"18.55", "3.046", "22.04", "wide-interval here", "NTU", "", "", "", "beck.csv", "Tue", "2026-03-02", "46", "12.345", "20.5"},
		{"pH run", "turbidity", "alum", "not stated", "turbidity <= 5.5 NTU", "found", "", "", "", "", "", "", "", "3.046", "", "", "NTU", "",
			"", "6.48", "beck.csv", "Tue", "2026-03-02", "46"},
		{"storm", "turbidity", "alum", "as alum 14-hydrate", "turbidity <= 5.5 NTU and turbidity removal >= 90 %", "still-improving", "", "",
			"", "", "", "",
			"18.55", "3.046", "22.04", "", "NTU", "", "", "", "beck.csv", "Tue", "2026-03-02", "46"},
	}
	for r := range want {
		for c := range want[r] {
			if rows[r][c] != want[r][c] {
				t.Errorf("row %d, %s: %q, want %q", r, want[0][c], rows[r][c], want[r][c])
			}
		}
	}
}

// phFit is a series at one dose and several pH, with typed numbers.
func phFit() curve.Result {
	r := madeFit()
	r.Series, r.Factor, r.Chemical, r.Targets, r.Binding, r.Notes = "pH run", "ph", jartest.Chemical{Name: "alum"}, r.Targets[:1], 0, nil
	r.Optimum = curve.Interval{Value: 6.48, Low: 6.3, HasLow: true, Confidence: 0.9}
	r.HasPlanning, r.HasLowestPassing, r.Overdose, r.Best = false, false, curve.Overdose{}, curve.Spot{Dose: 6.48, Reading: 3.046}
	r.Curve = []curve.Point{{Dose: 5, Fit: 20}, {Dose: 8, Fit: 9}}
	r.Jars = []curve.JarUse{{Label: "a", Dose: 6.5, Reading: 4, State: jartest.Number, Used: true}}
	return r
}

// TestCommaInPictures: the legend of a terminal's contours has the reader's mark too.
func TestCommaInPictures(t *testing.T) {
	d := draw.Drawing{DecimalComma: true, Panels: []draw.Panel{{Layers: []draw.Layer{draw.Contours{Unit: "NTU", Levels: []float64{2.5},
		Grid: draw.Grid{X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 5}, {0, 5}}}}}}}}
	if got := strings.Join(d.Text(60, 10, draw.ASCII), "\n"); !strings.Contains(got, "2,5 NTU") {
		t.Errorf("no comma in\n%s", got)
	}
}

func TestFitAgainstPH(t *testing.T) {
	r := phFit()
	d := fitData(r)
	for path, want := range map[string]string{"units.dose": `"pH"`, "optimum_ph": `{"value":6.48,"low":6.3,"confidence":0.9,"unit":"pH"}`,
		"tested": `{"low":0,"high":24.5}`, "best": `{"dose":6.48,"reading":3.046}`} {
		if got, _ := json.Marshal(d.Get(path)); string(got) != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
	text := shownText(t, FitReport{Results: []curve.Result{r}}, Options{})
	holds(t, text, "The best pH pH run", "Best pH for turbidity of 5.5 NTU at most Mon 2 March 2026 6.48 6.48 (6.30 to beyond the range), 90 % interval.",
		"Fitted reading there 3.05 NTU", "Target turbidity of 5.5 NTU at most", "jar pH turbidity (NTU) fitted remark a 6.5 4 14.5")
	r.Window = curve.Window{Seen: true, Low: curve.Interval{Value: 5}, High: curve.Interval{Value: 7.24, Low: 7.07, High: 7.34, HasLow: true, HasHigh: true, Confidence: 0.9}}
	if got, _ := json.Marshal(fitData(r).Get("ph_window")); string(got) != `{"low":5,"high":7.24,"confidence":0,"low_interval":{},"high_interval":{"low":7.07,"high":7.34},"unit":"pH"}` {
		t.Errorf("window of pH: %s", got)
	}
	holds(t, shownText(t, FitReport{Results: []curve.Result{r}}, Options{}), "Targets are met from pH 5.00 (the lowest tested) to 7.24 (7.07 to 7.34), 90 % intervals")
	r.Outcome, r.Targets = curve.NoResponse, nil
	text = shownText(t, FitReport{Results: []curve.Result{r}}, Options{})
	holds(t, text, "No best pH no response to the dose")
	if strings.Contains(text, "Target") || strings.Contains(text, "Planning") {
		t.Errorf("nobody asked for it:\n%s", text)
	}
	if !(FitReport{Results: []curve.Result{phFit()}}).Planned() || (FitReport{Results: []curve.Result{r}}).Planned() {
		t.Error("a best pH is an answer, no response is none")
	}
	if a := (acidity(6.5)); a.In("pH") != 6.5 || !math.IsNaN(a.In("mg/L")) {
		t.Error("a pH stands in no other unit")
	}
	if c := chance(0.25); c.In("share") != 0.25 || !math.IsNaN(c.In("mg/L")) {
		t.Error("a chance stands as a share")
	}
}

// beckFit is a series fitted by the program itself: the storm jars of the scripts.
var beckFit = sync.OnceValue(func() curve.Result {
	s := jartest.Series{Name: "beck", Place: note.Place{File: "beck.csv"}, Chemicals: []jartest.Chemical{{Name: "alum"}},
		Raw: map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(46, "NTU")}}
	for i, v := range [...]float64{24.1, 14.9, 8.2, 5.6, 3.9, 3.5} {
		s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1),
			Doses:    []jartest.JarDose{{Concentration: quantity.Concentration(10 * (i + 1)), Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(v, "NTU")}, {Key: jartest.PH, Reading: jartest.Num(7.4-0.1*float64(i), "")}}})
	}
	return curve.AnalyseAll([]jartest.Series{s}, []jartest.Target{{Key: jartest.Turbidity, Value: 6, Unit: "NTU"}},
		curve.Options{ForNext: true})[0]
})

// TestFitText holds the sentences against the typed numbers.
func TestFitText(t *testing.T) {
	holds(t, shownText(t, FitReport{Results: []curve.Result{madeFit()}, Notes: note.List{note.New(note.Info, "x", "as read")}},
		Options{Explain: true}),
		"Lowest dose that works storm", "Planning dose of alum for turbidity of 5.5 NTU at most and turbidity removal of 90 % at least Mon 2 March 2026 13.4 mg/L as alum 14-hydrate", "Chosen as on the safe side",
		"Lowest effective dose 12.3 mg/L (11.1 to 14.0), 90 % interval",
		"Lowest jar that passes jar 6, 30 mg/L, read 3 NTU", "Target turbidity of 5.5 NTU at most and turbidity removal of 90 % at least",
		"Target that decides turbidity removal of 90 % at least",
		"Removal counted from raw water, 46 NTU", "Best of the tested range 18.6 mg/L, fitted reading 3.05 NTU",
		"Over-dose seen: worse again from 22.0 mg/L on",
		"13.4 mg/L meets it 9 times in 10. > Dose 13.4 mg/L, look at the water, then test again.", "One further jar at 13.4 mg/L passes with a chance of 78 %: single jars scatter about the curve", "jar dose (mg/L) turbidity (NTU) fitted remark",
		"1 0 38.425 38.0 2 5 13.33 23.0 far off 3 10 < 0.5 8.00 4 17 > 1000 - left out: over range 5 24 - - left out: no reading 6 30 3 -",
		"CAUTION The interval is wide", "Working: storm", "1. Jars are weighed.",
		"confidence that this dose is enough dose 5 % beyond the range 25 % beyond the range",
		"model weight sum of squares AICc meets target at profile 90 % shape only 25.0 % 0.500 - - - fall 70.0 % 1.23 -10.3 12.35 mg/L 11.0 to "+
			"beyond rise 5.0 % 0 - - -",
		"fall: a exp(-x/b)", "a 38.04 1.3 NTU start b 6.500 - mg/L reach", "rise: parameter",
		"jar dose read fitted residual 1 0 38.425 37.91 0 2 5 13.33 12.35 +2.3 3 10 < 0.5 - - 6 30 3 - -",
		"pH 2 7.04 (6.98 to 7.10)", "temperature C 0 10.0 (9.00 to 11.0)", "smell 0 -", "Reading the sheets", "note As read")
	holds(t, shownText(t, FitReport{Results: []curve.Result{madeFit()}}, Options{Explain: true, Units: quantity.US}),
		"temperature F 0 50.0 (48.2 to 51.8)", "13.4 mg/L")
	worded := madeFit()
	worded.Method = []string{"about 9.6 % in 4.0 jars."}
	comma := shownText(t, FitReport{Results: []curve.Result{worded}}, Options{Explain: true, DecimalComma: true})
	holds(t, comma, "1. About 9,6 % in 4,0 jars.")
	holds(t, comma, "12,3 mg/L (11,1 to 14,0)", "turbidity of 5,5 NTU at most", "5,0 %", "-10,3", "38,425", "11,0 to beyond", "+2,3",
		"target: 4,6 NTU at most", "13,4 mg/L, planning dose", "lowest effective 12,3 (11,1 to 14,0)", "7,04 (6,98 to 7,10)")
	if strings.Contains(comma, "Basis of the dose") || strings.Contains(shownText(t, FitReport{Results: []curve.Result{madeFit()}},
		Options{}), "Working") {
		t.Error("the basis is stated, and nobody asked for the working")
	}
}

// TestFitAnswers goes through what a series without a plain answer says.
func TestFitAnswers(t *testing.T) {
	for _, c := range []struct {
		what   string
		change func(*curve.Result)
		want   []string
	}{
		{"no interval above", func(r *curve.Result) { r.Effective.HasHigh = false },
			[]string{"12.3 mg/L (11.1 to beyond the range), 90 % interval"}},
		{"no planning dose", func(r *curve.Result) {
			r.HasPlanning = false
			r.Notes.Add(note.New(note.Caution, "planning-beyond-range", "beyond").Do("test %s", "78.0 mg/L"))
		}, []string{"No dose none is sure enough", "CAUTION Beyond. Test 78.0 mg/L"}},
		{"no planning dose and no reason", func(r *curve.Result) { r.HasPlanning = false }, []string{"No dose none is sure enough > Dose nothing by this test: fill jars above the highest dose, two of each."}},
		{"no dose", func(r *curve.Result) { r.HasPlanning, r.Outcome = false, curve.TooFewJars }, []string{"No dose too few jars > Fill six jars or more, one without chemical, and test again."}},
		{"mean of jars", func(r *curve.Result) { r.PassingJars = 2 }, []string{"Lowest jar that passes 30 mg/L, mean of 2 jars 3 NTU"}},
		{"a jar without a label", func(r *curve.Result) { r.LowestPassing.Label = "" }, []string{"Lowest jar that passes 30 mg/L, read 3 NTU"}},
		{"a dose in grams", func(r *curve.Result) { r.LowestPassing.Dose = 6000 }, []string{"jar 6, 6000 mg/L, read 3 NTU"}},
		{"basis unknown", func(r *curve.Result) { r.Chemical.Basis, r.Planning.Basis = quantity.NotStated, quantity.NotStated },
			[]string{" 13.4 mg/L 13.4 mg/L meets it 9 times in 10.", "Basis of the dose not stated in the sheet; plan will ask for it"}},
		{"beside another", func(r *curve.Result) {
			r.Beside = []curve.Fixed{{Chemical: jartest.Chemical{Name: "polymer", Basis: quantity.AsProduct}, Dose: 0.25}}
		}, []string{"Beside 0.25 mg/L as product of polymer"}},
		{"nothing but a dose", func(r *curve.Result) { r.Chemical.Name = "" }, []string{"Planning dose of the chemical for turbidity"}},
		{"no name", func(r *curve.Result) { r.Series, r.Place = "", note.Place{} }, []string{"Lowest dose that works jar test"}},
		{"one target", func(r *curve.Result) { r.Targets, r.Binding = r.Targets[:1], 0 },
			[]string{"target: 5.5 NTU at most", "Target turbidity of 5.5 NTU at most"}},
	} {
		r := madeFit()
		c.change(&r)
		t.Run(c.what, func(t *testing.T) {
			holds(t, shownText(t, FitReport{Results: []curve.Result{r}}, Options{}), c.want...)
		})
	}
	for o, want := range map[curve.Outcome]string{curve.Found: "found", curve.UntreatedPasses: "the untreated jar passes",
		curve.LowestDosePasses: "the lowest dose passes already", curve.NotReached: "target not reached",
		curve.StillImproving: "still improving at the top dose", curve.NoResponse: "no response to the dose",
		curve.TooFewJars: "too few jars", curve.Ambiguous: "cannot be told", "": "no answer"} {
		if got := outcomeWords(o); got != want {
			t.Errorf("%s: %q", o, got)
		}
	}
}

// TestDoseDigits: a dose is told to about a tenth of its interval's half width.
func TestDoseDigits(t *testing.T) {
	for _, c := range []struct {
		v, low, high float64
		hasHigh      bool
		want         int
	}{{12.345, 11.1, 14.04, true, 3}, {12.345, 12.3, 12.4, true, 4}, {12.345, 0.1, 60, true, 2}, {12.345, 11.1, 0, false, 3},
		{123.4, 120, 126, true, 3}, {0, -1, 1, true, 3}, {5, 5, 5, true, 3}, {0.5, 0.45, 0.56, true, 2}} {
		r := curve.Result{Effective: curve.Interval{Value: quantity.Concentration(c.v), Low: quantity.Concentration(c.low),
			High: quantity.Concentration(c.high), HasLow: true, HasHigh: c.hasHigh}}
		if got := doseDigits(r); got != c.want {
			t.Errorf("%+v: %d digits", c, got)
		}
	}
	if got := doseDigits(curve.Result{Effective: curve.Interval{Value: 12.345, High: 14.04, HasHigh: true}}); got != 3 {
		t.Errorf("with an upper end alone %d digits", got)
	}
	if got := doseDigits(curve.Result{Effective: curve.Interval{Value: 12}}); got != 3 {
		t.Errorf("without an interval %d digits", got)
	}
}

// TestFitChances holds the chances against the fitted result's own functions.
func TestFitChances(t *testing.T) {
	r := beckFit()
	d := fitData(r)
	for i, p := range [...]float64{0.05, 0.25, 0.5, 0.75, 0.9, 0.95} {
		c := d.Objects("trade_off")[i]
		want, _ := r.Quantile(p)
		if got, unit := c.Fig("dose").Document(); math.Abs(got-float64(want)) > 1e-9 || unit != "mg/L" {
			t.Errorf("the dose with chance %v is %v %s, want %v", p, got, unit, want)
		}
		if got := (Options{}).Show(c.Fig("chance")); got != fmt.Sprintf("%.0f %%", 100*p) {
			t.Errorf("chance %v is written %s", p, got)
		}
	}
	if got, _ := d.Fig("planning_dose.confidence").Document(); got != 0.9 {
		t.Errorf("the planning dose is %v sure", got)
	}
	at := func(p float64) string {
		q, _ := r.Quantile(p)
		return quantity.Sig(float64(q), doseDigits(r)) + " mg/L"
	}
	plan := quantity.Sig(float64(r.Planning.Concentration), doseDigits(r)) + " mg/L"
	want := plan + " meets it 9 times in 10; " + at(0.75) + " fails one time in four; " + at(0.5) + " fails every second time."
	jar := "One further jar at " + plan + " passes with a chance of " + (Options{}).Show(sure("", float64(r.NextJar.V)))
	text := shownText(t, FitReport{Results: []curve.Result{r}}, Options{Explain: true})
	holds(t, text, want, jar, "25 % "+func() string { q, _ := r.Quantile(0.25); return quantity.Sig(float64(q), 4) + " mg/L" }())
}

func TestFitOverview(t *testing.T) {
	other := madeFit()
	other.Outcome, other.HasPlanning = curve.NoResponse, false
	two := FitReport{Results: []curve.Result{madeFit(), other}, Surfaces: nil}
	text := shownText(t, two, Options{})
	holds(t, text, "2 jar tests", "test answer planning dose lowest effective dose (90 % interval) storm found 13.4 mg/L 12.3 mg/L (11.1 to "+
		"14.0) storm no response to the dose - -")
	if a := two.several(Options{}, 2); a.Numbers[0].Words != "" || (Options{}).Show(a.Numbers[0].Value) != "13.4 mg/L" || !strings.HasPrefix(a.Sure, "Of 2 tests only “storm” gives an answer. ") ||
		a.Order != "Take it where the water of that test is today's; else test again." {
		t.Errorf("where one of two tests answers, its answer stands there: %+v", a)
	}
	if a := (FitReport{Results: []curve.Result{madeFit(), madeFit(), other}}).several(Options{}, 3); a.Numbers[0].Words != "2 of 3" {
		t.Errorf("%+v", a.Numbers)
	}
	if !two.Planned() || (FitReport{Results: two.Results[1:]}).Planned() {
		t.Error("one series of two has a plan")
	}
	var many FitReport
	for range 9 {
		many.Results = append(many.Results, madeFit())
	}
	text = shownText(t, many, Options{})
	holds(t, text, "9 jar tests", "use --format json (9 tests)")
	if strings.Contains(text, "Lowest jar") {
		t.Error("nine series are not shown in full")
	}
	many.Results = many.Results[:8]
	if !strings.Contains(shownText(t, many, Options{}), "Lowest jar") {
		t.Error("eight series are")
	}
}

// TestFitOfBoth: series of one factor come first, those of two after them, in every form.
func TestFitOfBoth(t *testing.T) {
	one, two := madeFit(), madePair()
	one.Models = one.Models[:1]
	r := FitReport{Results: []curve.Result{one, one}, Surfaces: []surface.Result{two}}
	rows := r.Table().Strings()
	if len(rows) != 4 || rows[1][0] != "storm" || rows[1][15] != "wide-interval here" || rows[3][0] != "grid" ||
		rows[3][15] != "two-levels" || rows[3][2] != "alum + polymer" {
		t.Errorf("rows %v", rows)
	}
	doc := document(t, r)
	if member(doc, "series/2/factor") != `"pair"` || member(doc, "series/1/name") != `"storm"` ||
		member(doc, "series/0/model/name") != `"shape only"` {
		t.Errorf("series %s, %s", member(doc, "series/1/name"), member(doc, "series/2/factor"))
	}
	five := FitReport{Results: []curve.Result{one, one, one, one, one}, Surfaces: []surface.Result{two, two}}
	if d := five.Drawing(Options{}); len(d.Panels) != 6 || strings.Count(d.Description, "hatched") != 1 {
		t.Errorf("%d panels: %s", len(d.Panels), d.Description)
	}
	if d := r.Drawing(Options{}); len(d.Panels) != 4 || d.Panels[2].Y.Label() != "Polymer, mg/L" || d.Title != "Jar tests" {
		t.Errorf("%d panels of %q", len(d.Panels), d.Title)
	}
	holds(t, shownText(t, r, Options{}), "3 jar tests", "grid found 14.2 + 0.80 mg/L", "Lowest dose that works storm",
		"The pair to dose grid", "Tests that give an answer 3 of 3")
}

func TestFitDrawing(t *testing.T) {
	o := Options{DecimalComma: true, Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}
	d := FitReport{Results: []curve.Result{madeFit()}}.Drawing(o)
	if d.Title != "13,4 mg/L of alum meets every target nine times in ten" || d.Foot != "Mon 2 March 2026" || !d.DecimalComma || len(d.Panels) != 1 ||
		d.Description != "storm: turbidity, fitted from 38,0 NTU to 3,20 NTU. Planning dose 13,4 mg/L." {
		t.Errorf("the picture is %q, %q, %q", d.Title, d.Foot, d.Description)
	}
	p := d.Panels[0]
	if p.X.Label() != "dose of alum, mg/L as alum 14-hydrate" || p.Y.Label() != "turbidity, NTU" || !p.X.Zero || !p.Y.Zero || *p.X.Most != 30 {
		t.Errorf("axes %q and %q", p.X.Label(), p.Y.Label())
	}
	band, line := p.Layers[0].(draw.Band), p.Layers[1].(draw.Line)
	if band.At[1] != (draw.Span{X: 10, Low: 7, High: 0.1 + 0.2}) || line.At[2] != (draw.XY{X: 24.5, Y: 3.2}) {
		t.Errorf("band %v, line %v", band.At, line.At)
	}
	for i, want := range []draw.Marker{{Label: "target: 5,5 NTU at most", At: 5.5, Number: "5,5"}, {Label: "target: 4,6 NTU at most", At: 4.6, Number: "4,6"}} { // 90 % off 46 NTU
		got := p.Layers[2+i].(draw.Marker)
		if got.Label != want.Label || math.Abs(got.At-want.At) > 1e-9 || got.Vertical || got.Number != want.Number || got.Tone != draw.Limit {
			t.Errorf("target %+v", got)
		}
	}
	used, left := p.Layers[4].(draw.Points).At, p.Layers[5].(draw.Points).At
	if len(used) != 3 || used[0].XY != (draw.XY{X: 0, Y: 38.425}) || used[1].Censor != draw.Under || used[2].X != 30 {
		t.Errorf("jars %v", used)
	}
	if len(left) != 2 || left[0].X != 5 || left[1].Censor != draw.Over || left[1].X != 17 {
		t.Errorf("jars left out %v", left)
	}
	for _, l := range p.Closeup.Layers { // which has no room for more than the figure at each line
		if m, ok := l.(draw.Marker); ok && m.Label != "target: "+m.Number+" NTU" {
			t.Errorf("the close-up says %q", m.Label)
		}
	}
	if gap := p.Closeup.Layers[0].(draw.Gap); gap.From != 10 || gap.To != 30 || gap.Label != "no jar between 10 and 30" { // jar 4, at 17, does not count
		t.Errorf("gap %+v", gap)
	}
	if i := p.Layers[6].(draw.Interval); i != (draw.Interval{Low: 11.1, At: 12.345, High: 14.04, Label: "lowest effective 12,3 (11,1 to 14,0)", Short: "lowest 12,3"}) {
		t.Errorf("interval %+v", i)
	}
	if m := p.Layers[7].(draw.Mark); m != (draw.Mark{At: 13.37, Number: "13,4", Label: "mg/L, planning dose", Short: "planning"}) {
		t.Errorf("planning dose %+v", m)
	}
	row := p.Layers[8].(draw.Jars)
	if len(row.At) != 5 || row.At[0] != (draw.Jar{X: 0, Mud: 1, Label: "1"}) || row.At[2].Mud != 0 || row.At[3].Mud != 1 {
		t.Errorf("jars %+v", row.At)
	}
	// 38, 13.3 and, above 1000, the fourth miss a target; the third, under 0.5, and the last, 3, do not.
	want := []draw.Brace{{From: 0, To: 5, Label: "a target missed"}, {From: 10, To: 10, Label: "passes", Strong: true}, {From: 17, To: 17, Label: "a target missed"},
		{From: 30, To: 30, Label: "passes", Strong: true}}
	if !slices.Equal(row.Braces, want) {
		t.Errorf("braces %+v", row.Braces)
	}
	ph := fitSeries{phFit(), fitData(phFit())}.panel(Options{})
	if ph.X.Label() != "pH" || ph.X.Most != nil {
		t.Errorf("against pH: %q", ph.X.Label())
	}
	nameless := madeFit()
	nameless.Chemical.Name, nameless.HasPlanning = "", false
	none := madeFit()
	none.Curve = nil
	d = FitReport{Results: []curve.Result{nameless, none, none, nameless, nameless, nameless, nameless, nameless,
		nameless}}.Drawing(Options{})
	if len(d.Panels) != 6 || d.Title != "Jar tests" || d.Foot != "" || d.Panels[0].X.Label() != "dose, mg/L as alum 14-hydrate" ||
		d.Panels[0].Title != "storm: 12.3 mg/L of the chemical is the lowest dose that works; none is sure enough to plan with" ||
		!strings.HasPrefix(d.Description, "storm: turbidity, fitted from 38.0 NTU to 3.20 NTU. Found. storm:") {
		t.Errorf("%d panels of %q, %q: %s", len(d.Panels), d.Title, d.Panels[0].Title, d.Description)
	}
}

// TestFitTitles: the title of a picture says the answer.
func TestFitTitles(t *testing.T) {
	for want, change := range map[string]func(*curve.Result){
		"13.4 mg/L of alum brings turbidity to 5.5 NTU or less nine times in ten": func(r *curve.Result) { r.Targets = r.Targets[:1] },
		"13.4 mg/L of alum takes out 90 % of turbidity seven times in ten":        func(r *curve.Result) { r.Targets, r.Binding, r.Sure = r.Targets[1:], 0, 0.71 },
		"13.4 mg/L of alum meets the target nine times in ten": func(r *curve.Result) {
			r.Targets, r.Binding = []jartest.Target{{Key: jartest.Turbidity, Kind: jartest.WithinBest, Value: 10}}, 0
		},
		"No dose: turbidity comes to 3.05 NTU at best; the target is 2 NTU": func(r *curve.Result) {
			r.HasPlanning, r.Outcome, r.Binding, r.Targets = false, curve.NotReached, 0, []jartest.Target{{Key: jartest.Turbidity, Value: 2, Unit: "NTU"}}
		},
		"No dose: turbidity comes to 3.05 NTU at best":                         func(r *curve.Result) { r.HasPlanning, r.Outcome = false, curve.NotReached },
		"No dose: turbidity comes to 3.05 NTU at best, and more may do better": func(r *curve.Result) { r.HasPlanning, r.Outcome = false, curve.StillImproving },
		"No dose: no response to the dose":                                     func(r *curve.Result) { r.HasPlanning, r.Outcome = false, curve.NoResponse },
	} {
		r := madeFit()
		change(&r)
		if got := (fitSeries{r, fitData(r)}).says(Options{}); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestFitCloseup: where the target lies low, the picture shows the decision again on a log scale.
func TestFitCloseup(t *testing.T) {
	r := madeFit()
	r.Targets, r.Binding = []jartest.Target{{Key: jartest.Turbidity, Value: 5, Unit: "NTU"}}, 0
	r.Jars = slices.Clone(r.Jars[:2])
	r.Jars[0].Reading, r.Jars[0].Repeats = 40, []float64{38, 42}
	r.Jars[1].Outlier = false
	r.Jars = append(r.Jars, curve.JarUse{Label: "3", Dose: 14.5, Reading: 3, State: jartest.Number, Used: true, Repeats: []float64{2.9, 3.1}})
	p := fitSeries{r, fitData(r)}.panel(Options{})
	c := p.Closeup
	if c == nil {
		t.Fatal("no close-up")
	}
	// From 11.1 to 14.04 is 2.94: from 11.1 - 1.76 down to 9, to 14.04 + 2.65 up to 17.
	if *c.X.Least != 9 || *c.X.Most != 17 || !c.Y.Log || c.Title != "Close up, 9 to 17 mg/L, log scale" {
		t.Errorf("from %g to %g, %q", *c.X.Least, *c.X.Most, c.Title)
	}
	if gap := c.Layers[0].(draw.Gap); gap.From != 5 || gap.To != 14.5 {
		t.Errorf("%+v", gap)
	}
	pts := p.Layers[3].(draw.Points)
	if len(pts.At) != 5 || pts.At[0].Y != 38 || pts.At[1].Y != 42 { // two, one and two readings
		t.Errorf("readings %v", pts.At)
	}
	if p.Y.Note != "every reading a ring" {
		t.Errorf("%q", p.Y.Note)
	}
	r.Outcome, r.HasPlanning, r.Targets[0].Value = curve.NotReached, false, 2
	if p := (fitSeries{r, fitData(r)}).panel(Options{}); p.Closeup != nil || !p.Y.Log || math.Abs(*p.Y.Least-2/1.35) > 1e-9 {
		t.Errorf("a refusal stands on a log scale: %+v", p.Y)
	}
}

// TestTargetLevel: a removal counts from its reference, a removal that the sheet holds
// itself is a reading, and others have no line.
func TestTargetLevel(t *testing.T) {
	for _, c := range []struct {
		g    jartest.Target
		ref  float64
		want float64
	}{
		{jartest.Target{Key: jartest.Turbidity, Value: 5}, 0, 5},
		{jartest.Target{Key: jartest.Turbidity, Kind: jartest.Removal, Value: 90}, 50, 5},
		{jartest.Target{Key: jartest.Turbidity, Kind: jartest.Removal, Value: 90}, 0, -1},
		{jartest.Target{Key: jartest.TSS, Kind: jartest.Removal, Value: 90}, 50, 90},
		{jartest.Target{Key: jartest.TSS, Value: 5}, 0, -1},
		{jartest.Target{Key: jartest.Turbidity, Kind: jartest.WithinBest, Value: 10}, 50, -1},
	} {
		r := curve.Result{Response: jartest.Turbidity, Targets: []jartest.Target{c.g}}
		if c.ref > 0 {
			r.Reference = curve.Reference{What: "raw water", Value: c.ref}
		}
		got := targetLevel(r)
		if (got == nil) != (c.want < 0) || got != nil && math.Abs(*got-c.want) > 1e-9 {
			t.Errorf("%v from %v: %v", c.g, c.ref, got)
		}
	}
	if targetLevel(curve.Result{}) != nil {
		t.Error("no target has no line")
	}
	timed := curve.Result{Response: "turbidity_10_min", Targets: []jartest.Target{{Key: jartest.Turbidity, Minutes: 10, Value: 12}}}
	if v := targetLevel(timed); v == nil || *v != 12 {
		t.Errorf("a target at a settling time: %v", v)
	}
}

// TestFitReadingsInFahrenheit: a reading of temperature is the one reading whose unit
// US readers see otherwise. 10 C x 1.8 + 32 = 50 F.
func TestFitReadingsInFahrenheit(t *testing.T) {
	r := madeFit()
	r.Response, r.Targets, r.Binding = jartest.TemperatureKey, []jartest.Target{{Key: jartest.TemperatureKey, Value: 10, Unit: "C"}}, 0
	r.Jars, r.Curve = []curve.JarUse{{Label: "1", Dose: 5, Reading: 15, State: jartest.Number, Used: true}},
		[]curve.Point{{Fit: 20, Low: 15, High: 25}, {Dose: 10, Fit: 10, Low: 5, High: 15}}
	o := Options{Units: quantity.US}
	p := fitSeries{r, fitData(r)}.panel(o)
	if p.Y.Label() != "temperature, F" || p.Y.Zero || p.Layers[0].(draw.Band).At[0] != (draw.Span{X: 0, Low: 59, High: 77}) ||
		p.Layers[1].(draw.Line).At[1].Y != 50 || p.Layers[2].(draw.Marker).At != 50 ||
		p.Layers[2].(draw.Marker).Label != "target: 50 F at most" || p.Layers[3].(draw.Points).At[0].Y != 59 {
		t.Errorf("%+v", p)
	}
	holds(t, shownText(t, FitReport{Results: []curve.Result{r}}, o), "temperature (F) fitted remark 1 5 59 59.0")
}

// TestBenchWater holds the water along a series against typed numbers.
// madeWater is the water of jars with every number typed.
func madeWater() caution.BenchReview {
	state := func(ph, alk, co2 float64) chem.State {
		return chem.State{PH: quantity.PH(ph), Alkalinity: quantity.Alkalinity(alk), CO2: quantity.Concentration(co2)}
	}
	return caution.BenchReview{Computed: true, HasPlanning: true, Planned: caution.Chemistry{HasPH: true, AlkalinityLeft: 57.24, Closed: state(7.066, 57.24, 12.04),
		Spread: chem.Spread{Aged: state(7.066, 57.24, 12.04)}},
		Notes: note.List{note.New(note.Caution, "alkalinity-low", "little is left")},
		BenchWater: caution.BenchWater{Raw: state(7.4, 64, 5), Read: 2, MeanGap: 0.064, WorstGap: -0.11, Jars: []caution.JarWater{
			{Label: "1", PH: 7.404, Aged: 7.404, Alkalinity: 64, CO2: 6.46, ReadPH: quantity.Some(quantity.PH(7.41)),
				ReadAlkalinity: quantity.Some(quantity.Alkalinity(63.2))}, {Label: "2", PH: 7.26, Aged: 7.26, Alkalinity: 61.5, CO2: 8.7}}}}
}

func TestBenchWater(t *testing.T) {
	b := madeWater()
	r := FitReport{Results: []curve.Result{madeFit()}, Water: []caution.BenchReview{b}}
	doc := document(t, r)
	want := `{"alkalinity":{"unit":"mg/L CaCO3","value":57.24},"alkalinity_raw":{"unit":"mg/L CaCO3","value":64},"co2":{"unit":"mg/L","value":12.04},` +
		`"jars":[{"alkalinity":64,"alkalinity_read":63.2,"co2":6.46,"label":"1","ph":7.404,"ph_read":7.41},{"alkalinity":61.5,"co2":8.7,"label":"2","ph":7.26}],"jars_read":2,` +
		`"ph":7.066,"ph_raw":7.4,"ph_read_less_computed":0.064,"ph_read_less_computed_at_most":-0.11,"ph_uncertainty":0.1,"units":{"alkalinity":"mg/L CaCO3","co2":"mg/L"}}`
	if got := member(doc, "series/0/water"); got != want {
		t.Errorf("the water is\n%s\nwant\n%s", got, want)
	}
	if got := member(doc, "notes/1"); !strings.Contains(got, `"alkalinity-low"`) || !strings.Contains(got, `"A5:F11"`) {
		t.Errorf("the water's note Is %s", got)
	}
	holds(t, shownText(t, r, Options{}), "Water: raw pH 7.40, alkalinity 64.0 mg/L CaCO3. At the planning dose pH 7.07, alkalinity 57.2 "+
		"mg/L CaCO3, carbon dioxide 12 mg/L before aeration. Computed pH is good to about 0.1. "+
		"The pH read on 2 jars differs from the computed one by +0.06 on average, -0.11 at most.", "1 7.40 7.41 64.0 63.2 6.5 2 7.26 - 61.5 - 8.7",
		"CAUTION Little is left")
	holds(t, shownText(t, r, Options{DecimalComma: true}), "raw pH 7,40", "by +0,06 on average, -0,11 at most", "1 7,40 7,41 64,0 63,2 6,5")
	b.Computed = false
	r.Water[0] = b
	text := shownText(t, r, Options{})
	holds(t, text, "CAUTION Little is left")
	if strings.Contains(text, "Water:") || member(document(t, r), "series/0/water") != "null" {
		t.Error("water that was not computed is shown")
	}
	b.Computed, b.Read, b.HasPlanning, b.Notes = true, 0, false, nil
	r.Water[0] = b
	text = shownText(t, r, Options{})
	if strings.Contains(text, "differs") || strings.Contains(text, "At the planning dose") ||
		strings.Contains(member(document(t, r), "series/0/water"), "gap") {
		t.Errorf("nothing was read and nothing planned:\n%s", text)
	}
	b.Read = 1
	r.Water[0] = b
	holds(t, shownText(t, r, Options{}), "read on 1 jar differs")
	if got := member(document(t, r), "series/0/water/jars_read"); got != "1" {
		t.Errorf("%s jars were read", got)
	}
}

// TestPlanningDoses: fixed doses come along, one not known makes the water unknown.
func TestPlanningDoses(t *testing.T) {
	jar := func(d ...float64) jartest.Jar {
		var j jartest.Jar
		for _, v := range d {
			j.Doses = append(j.Doses, jartest.JarDose{Concentration: quantity.Concentration(v), Known: v >= 0})
		}
		return j
	}
	two := jartest.Series{Chemicals: make([]jartest.Chemical, 2), Jars: []jartest.Jar{jar(10, -1), jar(20, 0.3)}}
	r := madeFit()
	if got := fmt.Sprint(planningDoses(two, r)); got != "[13.37 mg/L 0.3 mg/L]" && got != "[13.4 mg/L 0.300 mg/L]" {
		t.Errorf("planning doses %s", got)
	}
	two.Jars = two.Jars[:1]
	if got := planningDoses(two, r); got != nil {
		t.Errorf("a dose nobody told: %v", got)
	}
	if got := planningDoses(jartest.Series{Chemicals: make([]jartest.Chemical, 1), Jars: two.Jars}, r); len(got) != 1 || got[0] != 13.37 {
		t.Errorf("one chemical: %v", got)
	}
	r.HasPlanning = false
	if planningDoses(two, r) != nil {
		t.Error("without a planning dose there is none")
	}
	known := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}}, Jars: []jartest.Jar{jar(0), jar(10)},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.4, ""), jartest.AlkalinityKey: jartest.Num(64, "mg/L CaCO3")}}
	// 1 mg/L of alum 14-hydrate (594.4 g/mol, 6 equivalents) takes 6 x 50.0435/594.4 = 0.505 mg/L CaCO3.
	if got := FitWater([]jartest.Series{known, known}, []curve.Result{madeFit(), phFit()}); !got[0].Computed ||
		math.Abs(float64(got[0].Planned.AlkalinityLeft)-(64-0.505*13.37)) > 0.02 || got[1].Computed {
		t.Errorf("reviews %v", got)
	}
	if got := FitWater([]jartest.Series{two}, []curve.Result{phFit(), madeFit()}); len(got) != 2 || got[0].Computed || got[1].Computed {
		t.Errorf("reviews %v", got)
	}
}

// TestTrySheet works the live sheet out a second time, from the typed curve.
func TestTrySheet(t *testing.T) {
	var b bytes.Buffer
	flat := madeFit()
	flat.Curve = flat.Curve[:1]
	if err := WriteBook(&b, FitReport{Results: []curve.Result{flat, phFit(), madeFit()}}, Options{DecimalComma: true}); err != nil {
		t.Fatal(err)
	}
	got := strings.ReplaceAll(cells(t, b.Bytes()), "'Try storm'!", "")
	if strings.Contains(got, "Try_dose_2") || strings.Count(got, "Try a dose:") != 1 {
		t.Error("only a curve against dose can be tried")
	}
	// 13.37 lies (13.37 - 10)/14.5 = 0.232413793... of the way from 10 to 24.5 mg/L.
	share := 3.37 / 14.5
	near := func(at string, want float64) {
		t.Helper()
		for _, l := range strings.Split(got, "\n") {
			if !strings.HasPrefix(l, "Try storm!"+at+" ") {
				continue
			}
			var v float64
			if _, err := fmt.Sscanf(l[strings.LastIndex(l[:len(l)-1], `"`):], `"%g"`, &v); err != nil ||
				math.Abs(v-want) > 1e-9*math.Max(1, math.Abs(want)) {
				t.Errorf("%s, want %v", l, want)
			}
			return
		}
		t.Errorf("%s is empty", at)
	}
	near("B5", 13.37)
	near("B6", 2)
	near("B7", share)
	near("B8", 8+share*(3.2-8))
	near("B9", 7+share*(2.8-7))
	near("B10", 0.3+share*(4-0.3))
	near("B11", 0)
	near("B15", 13.37)
	near("B16", 12.345)
	near("B17", 11.1)
	near("B18", 14.04)
	near("F7", 24.5)
	near("H7", 2.8)
	near("I6", 0.3)
	near("J6", 0)
	// Jars below the curve: used ones, then those left out or far off, then the target.
	for at, want := range map[string]float64{"F11": 0, "G11": 38.425, "F13": 30, "G13": 3, "F14": 5, "G14": 40.0 / 3, "F15": 17,
		"G15": 1000, "H16": 4.6, "H17": 4.6, "F16": 0} {
		near(at, want)
	}
	for _, want := range []string{
		`Try storm!A1 "Try a dose: storm"`, `Try storm!C5 "mg/L as alum 14-hydrate"`, `Try storm!C8 "NTU"`, `Try storm!G4 "Fit (NTU)"`,
		`Try storm!C17 "mg/L"`, `Try storm!B21 "turbidity of 5,5 NTU at most and turbidity removal of 90 % at least"`,
		`Try storm!G10 "Turbidity (NTU)"`, `Try storm!I13 "jar"`, `Try storm!I14 "jar left out or far off"`,
		`Try storm!A8 "Turbidity to expect"`,
		`Try storm!B6 FORMULA =MAX(1,MIN(MATCH(Try_dose_1,$F$5:$F$7,1),2)) "2"`,
		`Try storm!B7 FORMULA =(Try_dose_1-INDEX($F$5:$F$7,Try_point_1))/(INDEX($F$5:$F$7,Try_point_1+1)-INDEX($F$5:$F$7,Try_point_1))`,
		`Try storm!B8 FORMULA =INDEX($G$5:$G$7,Try_point_1)+Try_share_1*(INDEX($G$5:$G$7,Try_point_1+1)-INDEX($G$5:$G$7,Try_point_1))`,
		`B11 FORMULA =INDEX($J$5:$J$7`, `IF(OR(Try_dose_1<0,Try_dose_1>24.5),"outside the tested range",IF(ROUND(B11,6)>=90,"safe side",IF(ROUND(B11,6)>=50`, `"more likely to fail"`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in the workbook", want)
		}
	}
	for sure, want := range map[float64]string{90: "safe side", 90 - 4e-7: "safe side", 50 - 4e-7: "as likely as not, or better",
		89.99: "as likely as not, or better", 50: "as likely as not, or better", 49.99: "more likely to fail"} {
		if got := verdict(sure, 90); got != want {
			t.Errorf("%v %%: %s", sure, got)
		}
	}
	b.Reset()
	var nine FitReport
	for range 9 {
		nine.Results = append(nine.Results, madeFit())
	}
	nine.Results[0].Curve = nine.Results[0].Curve[:2]
	if err := WriteBook(&b, nine, Options{}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(cells(t, b.Bytes()), `"Try a dose: storm"`); n != 8 {
		t.Errorf("%d sheets to try a dose", n)
	}
	b.Reset()
	refused := madeFit()
	refused.HasPlanning = false
	if tried(refused) != 12.345 {
		t.Error("without a planning dose the lowest effective one is tried")
	}
	if refused.Outcome = curve.NotReached; tried(refused) != 18.55 {
		t.Error("without either the best one is")
	}
	b.Reset()
	if err := WriteBook(&b, FitReport{Results: []curve.Result{refused}}, Options{}); err != nil {
		t.Fatal(err)
	}
	if got := cells(t, b.Bytes()); !strings.Contains(got, `Try storm!B15 "target not reached"`) ||
		strings.Contains(got, `Try storm!A16 "Lowest`) {
		t.Error("a series without an answer says so on its sheet")
	}
}

// TestFitSummarySheet: numbers stand as numbers, units and words beside them.
func TestFitSummarySheet(t *testing.T) {
	var b bytes.Buffer
	if err := WriteBook(&b, FitReport{Results: []curve.Result{madeFit(), madeFit()}}, Options{}); err != nil {
		t.Fatal(err)
	}
	got := cells(t, b.Bytes())
	for _, want := range []string{
		`Summary!C5 "planning dose (mg/L)"`, `Summary!D5 "lowest effective dose (90 % interval) (mg/L)"`, `Summary!E5 "from (mg/L)"`,
		`Summary!F5 "to (mg/L)"`, `Summary!C6 "13.37"`, `Summary!D6 "12.345"`, `Summary!E6 "11.1"`, `Summary!F6 "14.04"`,
		`"Planning dose"`, `"as alum 14-hydrate"`, `"as alum 14-hydrate, 11.1 mg/L to 14.0 mg/L; 90 % interval"`,
		`Data!G2 "12.345"`, `Data!X2 "46"`, `Data!W2 "2026-03-02"`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	open := figure.Interval{Figure: along("", false, 5)}
	b1 := apart(Block{Cols: []Col{{Head: "a"}, {Head: "b"}}, Cells: [][]any{{"x", open}, {"y", "words"}}})
	if len(b1.Cols) != 4 || b1.Cols[2].Head != "from" || b1.Cells[0][2] != "no lower end" || b1.Cells[0][3] != "beyond the range" ||
		b1.Cells[1][1] != "words" || b1.Cells[1][3] != "" {
		t.Errorf("%v %v", b1.Cols, b1.Cells)
	}
	for v, want := range map[float64]string{38: "0", 13.33: "0.00", 0.0000123: "0.0000000", 123456: "#,##0"} {
		if got := format(figure.Written("", v, ""), v); got != want {
			t.Errorf("%v has the format %s, want %s", v, got, want)
		}
	}
}
