package templates

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
)

// madePair is a result of two chemicals whose every number is typed here.
func madePair() surface.Result {
	pair := func(a, b float64) surface.Pair {
		return surface.Pair{First: quantity.Concentration(a), Second: quantity.Concentration(b)}
	}
	eur := func(v float64) quantity.Money { return quantity.Money{Amount: v, Currency: "EUR"} }
	r := surface.Result{
		Series: "grid", Place: note.Place{File: "beck.csv", Cell: "A1:D10"},
		Sample: jartest.Sample{Date: "2026-03-02", Turbidity: jartest.Num(46, "NTU")}, Response: jartest.Turbidity,
		Targets: []jartest.Target{{Key: jartest.Turbidity, Value: 5.5, Unit: "NTU"},
			{Key: jartest.Turbidity, Kind: jartest.Removal, AtLeast: true, Value: 90, Unit: "%"}}, Binding: 1,
		Reference: curve.Reference{What: "raw water", Value: 46, Unit: "NTU"},
		First: surface.Factor{Name: "alum", Chemical: jartest.Chemical{Name: "alum", Basis: quantity.AsProduct},
			Levels: []float64{10, 0.1 + 0.2}},
		Second:           surface.Factor{Name: "polymer", Chemical: jartest.Chemical{Name: "polymer"}, Levels: []float64{0, 0.4, 0.8}},
		OnlyLevelsSecond: true,
		Design:           surface.FullGrid, Outcome: curve.Found, Rule: "the cheapest pair", Scale: "logarithm", Scatter: 0.0834, Relative: true,
		Planning: surface.Choice{Pair: pair(14.16, 0.8), Fit: 10.096, Confidence: 0.9, Cost: eur(9.547)}, HasPlanning: true,
		Estimate: surface.Choice{Pair: pair(12.5, 0.8), Fit: 12, Confidence: 0.5}, HasEstimate: true,
		LeastLeft: surface.Choice{Pair: pair(40, 0.019), Fit: 9, Confidence: 0.95, Cost: eur(16.8)}, HasLeastLeft: true,
		Clearest:      surface.Choice{Pair: pair(40, 0.8), Fit: 2.086, Confidence: 1},
		LowestPassing: surface.JarUse{Label: "5", Pair: pair(25, 0.4), State: jartest.Number, Reading: 9, Used: true}, HasLowestPassing: true,
		Saving: surface.Saving{Verdict: surface.Pays, Has: true, OfCost: true, Share: 0.437, Low: 0.07, High: 0.61, HasHigh: true,
			Chance: 0.97, HasAlone: true, Alone: surface.Choice{Pair: pair(38.11, 0), Cost: eur(16.0)}, BreakEven: 12.34},
		Slices: []surface.Slice{{Level: 0, Tested: true}, {Level: 0.4, Tested: true, Reached: true,
			Effective: curve.Interval{Value: 21.73, Low: 19.9, HasLow: true, Confidence: 0.9}, Planning: 23.2, HasPlanning: true,
			Curve: []curve.Point{{Dose: 10, Fit: 30}, {Dose: 40, Fit: 4.5}}},
			{Level: 0.8, Reached: true, Effective: curve.Interval{Value: 12.5, Low: 10.9, High: 14.84, HasLow: true, HasHigh: true,
				Confidence: 0.9}}},
		Jars: []surface.JarUse{{Label: "1", Pair: pair(10, 0), State: jartest.Number, Reading: 38.425, Used: true, Fit: 40.04,
			At: note.Place{Cell: "D2"}}, {Label: "2", Pair: pair(25, 0.4), State: jartest.Below, Reading: 0.5, Used: true, Fit: 0.4},
			{Label: "3", Pair: pair(40, 0.4), State: jartest.Above, Reading: 1000, Why: "over range"}, {Label: "4", Pair: pair(40, 0.8)}},
		Curve: []curve.Point{{Dose: 10, Fit: 17, Low: 15, High: 19}},
		Hull:  []surface.Pair{pair(10, 0), pair(40, 0), pair(40, 0.8), pair(10, 0.8)},
		Grid: surface.Grid{First: []float64{10, 40}, Second: []float64{0, 0.8}, Fit: [][]float64{{60, 11}, {17, math.NaN()}},
			Confidence: [][]float64{{0, 0.1 + 0.2}, {0.4, 1}}},
		Models: []surface.ModelWeight{{Name: "needed dose shifts", Weight: 0.7, Params: []surface.Param{{Name: "log rate", Value: 1.5}}},
			{Name: "interpolation", Weight: 0.2}, {Name: "a plane", Weight: 0.0001}},
		Limits: []string{"polymer at most 0.8 mg/L"}, Method: []string{"jars are weighed"},
		Notes: note.List{note.New(note.Caution, "two-levels", "two levels only")},
	}
	return r
}

// phPair is the same with the pH as second factor.
func phPair() surface.Result {
	r := madePair()
	r.Second = surface.Factor{Name: "pH", PH: true, Levels: []float64{6, 7}}
	for _, p := range []*surface.Pair{&r.Planning.Pair, &r.Estimate.Pair, &r.Clearest.Pair, &r.LowestPassing.Pair} {
		p.Second, p.PH = 0, 6.52
	}
	r.Saving, r.Slices[1].Level = surface.Saving{Verdict: surface.NotCompared}, 6.52
	for i := range r.Jars {
		r.Jars[i].Pair.Second, r.Jars[i].Pair.PH = 0, 6.4
	}
	return r
}

func TestSurfaceDocument(t *testing.T) {
	none := madePair()
	none.HasPlanning, none.HasEstimate, none.HasLeastLeft, none.HasLowestPassing, none.Outcome, none.Relative = false, false, false, false,
		curve.NotReached, false
	none.Slices, none.Limits, none.Models, none.OnlyLevelsSecond, none.OnlyLevelsFirst = nil, nil, nil, false, true
	doc := document(t, FitReport{Surfaces: []surface.Result{madePair(), phPair(), none}})
	for path, want := range map[string]string{
		"series/0/name":                        `"grid"`,
		"series/0/factor":                      `"pair"`,
		"series/0/date":                        `"2026-03-02"`,
		"series/0/raw_turbidity":               `{"unit":"NTU","value":46}`,
		"series/0/chemical":                    `"alum"`,
		"series/0/basis":                       `"as product"`,
		"series/0/units":                       `{"dose":"mg/L","reading":"NTU"}`,
		"series/0/outcome":                     `"found"`,
		"series/0/binding_target":              `"turbidity removal \u003e= 90 %"`,
		"series/0/lowest_effective_dose":       `{"basis":"as product","confidence":0.9,"high":14.84,"low":10.9,"unit":"mg/L","value":12.5}`,
		"series/0/planning_dose":               `{"basis":"as product","confidence":0.9,"rule":"the cheapest pair","unit":"mg/L","value":14.16}`,
		"series/0/reference":                   `{"unit":"NTU","value":46,"what":"raw water"}`,
		"series/0/lowest_passing_jar":          `{"dose":25,"label":"5","reading":9}`,
		"series/0/best":                        `{"dose":40,"reading":2.086}`,
		"series/0/overdose":                    `{"seen":false}`,
		"series/0/model":                       `{"name":"needed dose shifts","parameters":{"first_divided_by":0,"log rate":1.5,"second_divided_by":0,"second_less":0},"scale":"logarithm","weights":{"a plane":0.0001,"interpolation":0.2,"needed dose shifts":0.7}}`,
		"series/0/scatter":                     `{"unit":"%","value":8.34}`,
		"series/0/curve":                       `[[10,17,15,19]]`,
		"series/0/jars/0":                      `{"cell":"D2","dose":10,"doses":{"alum":10,"polymer":0},"fitted":40.04,"label":"1","reading":38.425,"used":true}`,
		"series/0/jars/1":                      `{"below":0.5,"dose":25,"doses":{"alum":25,"polymer":0.4},"fitted":0.4,"label":"2","used":true}`,
		"series/0/jars/2":                      `{"above":1000,"dose":40,"doses":{"alum":40,"polymer":0.4},"label":"3","used":false,"why":"over range"}`,
		"series/0/jars/3":                      `{"dose":40,"doses":{"alum":40,"polymer":0.8},"label":"4","used":false}`,
		"series/0/surface/factors":             `[{"basis":"as product","levels":[10,0.3],"name":"alum","unit":"mg/L"},{"basis":"not stated","levels":[0,0.4,0.8],"name":"polymer","only_tested_levels":true,"unit":"mg/L"}]`,
		"series/0/surface/design":              `"full grid"`,
		"series/0/surface/planning_pair":       `{"confidence":0.9,"cost_per_1000m3":{"unit":"EUR","value":9.547},"doses":{"alum":14.16,"polymer":0.8},"fit":10.096}`,
		"series/0/surface/estimate_pair":       `{"confidence":0.5,"doses":{"alum":12.5,"polymer":0.8},"fit":12}`,
		"series/0/surface/least_residual_pair": `{"confidence":0.95,"cost_per_1000m3":{"unit":"EUR","value":16.8},"doses":{"alum":40,"polymer":0.019},"fit":9}`,
		"series/0/surface/best_pair":           `{"confidence":1,"doses":{"alum":40,"polymer":0.8},"fit":2.086}`,
		"series/0/surface/lowest_passing_pair": `{"doses":{"alum":25,"polymer":0.4},"label":"5","reading":9}`,
		"series/0/surface/saving":              `{"alone":{"confidence":0,"cost_per_1000m3":{"unit":"EUR","value":16},"doses":{"alum":38.11,"polymer":0},"fit":0},"break_even_price_ratio":12.34,"chance":0.97,"high":61,"low":7,"of":"cost","unit":"%","value":43.7,"verdict":"pays"}`,
		"series/0/surface/slices": `[{"level":0,"tested":true},{"level":0.4,"lowest_effective_dose":{"confidence":0.9,"low":19.9,"unit":"mg/L","value":21.73},"planning_dose":23.2,"tested":true},` +
			`{"level":0.8,"lowest_effective_dose":{"confidence":0.9,"high":14.84,"low":10.9,"unit":"mg/L","value":12.5},"tested":false}]`,
		"series/0/surface/tested_region":                `[[10,0],[40,0],[40,0.8],[10,0.8]]`,
		"series/0/surface/grid":                         `{"confidence":[[0,0.3],[0.4,1]],"first":[10,40],"fit":[[60,11],[17,null]],"second":[0,0.8]}`,
		"series/0/surface/limits":                       `["polymer at most 0.8 mg/L"]`,
		"series/0/method":                               `["jars are weighed"]`,
		"series/1/surface/factors/1":                    `{"levels":[6,7],"name":"pH","only_tested_levels":true,"unit":"pH"}`,
		"series/1/surface/planning_pair/doses":          `{"alum":14.16}`,
		"series/1/surface/planning_pair/ph":             `6.52`,
		"series/1/surface/saving":                       `null`,
		"series/1/jars/0/ph":                            `6.4`,
		"series/1/lowest_effective_dose/value":          `21.73`,
		"series/2/lowest_effective_dose":                `null`,
		"series/2/planning_dose":                        `null`,
		"series/2/best":                                 `null`,
		"series/2/model":                                `null`,
		"series/2/binding_target":                       `null`,
		"series/2/jars/0/fitted":                        `null`,
		"series/2/surface/factors/0/only_tested_levels": `true`,
		"series/2/surface/slices":                       `[]`,
		"series/2/surface/tested_region":                `[]`,
		"series/2/surface/grid":                         `null`,
		"series/2/surface/best_pair":                    `null`,
		"series/2/surface/limits":                       `null`,
		"notes/0":                                       `{"cell":"A1:D10","code":"two-levels","file":"beck.csv","level":"caution","message":"two levels only"}`,
		"notes/1":                                       `none`,
	} {
		if got := member(doc, path); got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
}

func TestSurfaceTable(t *testing.T) {
	none := madePair()
	none.HasPlanning, none.Rule = false, ""
	rows := FitReport{Surfaces: []surface.Result{madePair(), phPair(), none}}.Table().Strings()
	common := "turbidity <= 5.5 NTU and turbidity removal >= 90 %"
	want := [][]string{
		{"grid", "turbidity", "alum + polymer", "as product", common, "found", "12.5", "10.9", "14.84", "14.16",
			"the cheapest pair; with 0.80 mg/L polymer", "25", "40", "2.086", "", "two-levels", "NTU", "polymer", "0.8", "", "beck.csv", "",
			"2026-03-02", "46"},
		{"grid", "turbidity", "alum + pH", "as product", common, "found", "21.73", "19.9", "", "14.16", "the cheapest pair; at pH 6.5", "25",
			"40", "2.086", "", "two-levels", "NTU", "", "", "6.52", "beck.csv", "", "2026-03-02", "46"},
		{"grid", "turbidity", "alum", "as product", common, "found", "12.5", "10.9", "14.84", "", "", "25", "40", "2.086", "", "two-levels",
			"NTU", "", "", "", "beck.csv", "", "2026-03-02", "46"},
	}
	for r := range want {
		for c := range want[r] {
			if got := rows[r+1][c]; got != want[r][c] {
				t.Errorf("row %d, %s: %q, want %q", r, rows[0][c], got, want[r][c])
			}
		}
	}
}

func TestSurfaceText(t *testing.T) {
	r := FitReport{Surfaces: []surface.Result{madePair()}}
	holds(t, shownText(t, r, Options{Explain: true}), "The pair to dose grid", "Mon 2 March 2026 Planning dose of alum for turbidity of 5.5 NTU at most and 14.2 mg/L as product turbidity removal of 90 % at least with polymer 0.80 mg/L",
		"The pair meets the target with 90 % confidence. > Dose both, look at the water, then test again.",
		"Planning pair alum 14.2 mg/L (as product) with polymer 0.80 mg/L Expected there 10.1 NTU",
		"Cost 9.55 EUR per 1000 m3", "Chosen as the cheapest pair",
		"Against alum alone saves 44 % of the cost (90 % interval 7 to 61 %); alone it takes 38.1 mg/L to be as sure, 16.0 EUR per 1000 m3",
		"As likely as not at alum 12.5 mg/L (as product) with polymer 0.80 mg/L",
		"Least left in the water alum 40.0 mg/L (as product) with polymer 0.019 mg/L, 16.8 EUR per 1000 m3",
		"Cheapest jar that passes jar 5: alum 25.0 mg/L (as product) with polymer 0.40 mg/L, read 9 NTU",
		"Target turbidity of 5.5 NTU at most and turbidity removal of 90 % at least Target that decides turbidity removal of 90 % at least",
		"Removal counted from raw water, 46 NTU", "Best of the tested region alum 40.0 mg/L (as product) with polymer 0.80 mg/L, fitted 2.09 "+
			"NTU", "Jars laid out as full grid",
		"polymer (mg/L) alum needed (90 % interval) to plan with 0 not met within the tested doses - 0.4 21.7 mg/L (19.9 to beyond the range) "+
			"23.2 mg/L planned 0.80 12.5 mg/L (10.9 to 14.8) -",
		"jar alum (mg/L) polymer (mg/L) turbidity (NTU) fitted remark 1 10 0 38.425 40.0 2 25 0.4 < 0.5 0.400 3 40 0.4 > 1000 - left out: over "+
			"range 4 40 0.8 - - left out:",
		"CAUTION Two levels only", "Working: grid", "1. Jars are weighed.",
		"model share of the answer needed dose shifts 70.0 % interpolation 20.0 %",
		"Scatter of a jar about the surface: 8.3 %. Cost is dose times price (1 mg/L is 1 kg per 1000 m3)")
	// 16 EUR/1000 m3 is 16/264.172 EUR/1000 gal; 1000 gal are 3785.4 L (NIST SP 811).
	holds(t, shownText(t, r, Options{Explain: true, Units: quantity.US}), "Cost 0.0361 EUR per 1000 gal",
		"as sure, 0.0606 EUR per 1000 gal", "(1 mg/L is 3.785 g per 1000 gal)")
	holds(t, shownText(t, r, Options{DecimalComma: true}), "alum 14,2 mg/L (as product) with polymer 0,80 mg/L", "9,55 EUR per 1000 m3",
		"(10,9 to 14,8)", "38,425 40,0", "turbidity of 5,5 NTU at most")
	holds(t, shownText(t, FitReport{Surfaces: []surface.Result{phPair()}}, Options{}),
		"Planning pair alum 14.2 mg/L (as product) at pH 6.5", "pH alum needed (90 % interval)",
		"jar alum (mg/L) pH turbidity (NTU) fitted remark 1 10 6.4 38.425")
	holds(t, shownText(t, FitReport{Surfaces: []surface.Result{madePair(), phPair()}}, Options{}),
		"grid found 14.2 + 0.80 mg/L 12.5 + 0.80 mg/L grid found 14.2 mg/L at pH 6.5 12.5 mg/L at pH 6.5")
	if !r.Planned() {
		t.Error("a planning pair is a plan")
	}
}

// TestSurfaceAnswers goes through what a series without a plain answer says.
func TestSurfaceAnswers(t *testing.T) {
	saving := func(change func(*surface.Saving)) func(*surface.Result) {
		return func(r *surface.Result) { r.Saving.HasAlone, r.Saving.OfCost = false, false; change(&r.Saving) }
	}
	for _, c := range []struct {
		what   string
		change func(*surface.Result)
		want   []string
	}{
		{"no upper end", saving(func(s *surface.Saving) { s.HasHigh = false }),
			[]string{"polymer can save 44 % of the alum (90 % interval 7 % and up); the pair is cheaper while a kilogram of polymer costs less " +
				"than 12 times one of alum"}},
		{"no share", saving(func(s *surface.Saving) { s.Has = false }), []string{"Against alum alone polymer pays; the pair is cheaper"}},
		{"nothing added", saving(func(s *surface.Saving) { s.Verdict, s.BreakEven = surface.AddsNothing, 0 }),
			[]string{"polymer adds nothing here As likely"}},
		{"cannot tell", saving(func(s *surface.Saving) { s.Verdict, s.BreakEven = surface.CannotTell, 0 }),
			[]string{"these jars cannot tell whether polymer pays: 44 % of the alum"}},
		{"cannot tell at all", saving(func(s *surface.Saving) { s.Verdict, s.Has, s.BreakEven = surface.CannotTell, false, 0 }),
			[]string{"these jars cannot tell whether polymer pays As likely"}},
		{"needed", saving(func(s *surface.Saving) { s.Verdict = surface.Needed }),
			[]string{"alum alone does not meet the target within the tested doses As likely"}},
		{"not sure enough", func(r *surface.Result) { r.HasPlanning = false }, []string{"Pair of alum and polymer for turbidity of 5.5 NTU at most and turbidity removal of 90 % at least Mon 2 March 2026 No pair no tested pair is sure enough"}},
		{"not reached", func(r *surface.Result) { r.HasPlanning, r.Outcome = false, curve.NotReached },
			[]string{"No pair target not reached > Dose nothing by this test: change the pH, the chemical or the target, and test again."}},
		{"none of the second", func(r *surface.Result) { r.Planning.Pair.Second = 0 },
			[]string{"Planning pair alum 14.2 mg/L (as product), no polymer"}},
		{"a jar without a label", func(r *surface.Result) { r.LowestPassing.Label = "" }, []string{"Cheapest jar that passes a jar: alum"}},
		{"scatter in the reading's unit", func(r *surface.Result) { r.Relative = false }, []string{"about the surface: 0.083 NTU."}},
		{"no name", func(r *surface.Result) { r.First.Name = "" }, []string{"The pair to dose grid"}},
	} {
		r := madePair()
		c.change(&r)
		t.Run(c.what, func(t *testing.T) {
			holds(t, shownText(t, FitReport{Surfaces: []surface.Result{r}}, Options{Explain: true}), c.want...)
		})
	}
	r := madePair()
	r.Saving.Verdict, r.LeastLeft, r.Planning.Cost, r.Reference, r.Method = surface.NotCompared, r.Planning, quantity.Money{},
		curve.Reference{}, nil
	text := shownText(t, FitReport{Surfaces: []surface.Result{r}}, Options{Explain: true})
	for _, no := range []string{"Against", "Least left", "Cost ", "Removal", "Working"} {
		if strings.Contains(text, no) {
			t.Errorf("%q is told without reason:\n%s", no, text)
		}
	}
}

// gridFit is a grid fitted by the program itself.
var gridFit = sync.OnceValue(func() surface.Result {
	s := jartest.Series{Name: "grid", Place: note.Place{File: "grid.csv"}, JarVolume: 1,
		Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct, Stock: 10000},
			{Name: "polymer", Basis: quantity.AsProduct, Stock: 500}}}
	for i, v := range [...]float64{60, 25, 11, 30, 9, 4.5, 17, 4.2, 2} {
		s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1),
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(v, "NTU")}},
			Doses: []jartest.JarDose{{Concentration: quantity.Concentration(10 + 15*(i%3)), Known: true},
				{Concentration: quantity.Concentration(0.4 * float64(i/3)), Known: true}}})
	}
	return surface.Analyse(s, []jartest.Target{{Key: jartest.Turbidity, Value: 12, Unit: "NTU"}}, surface.Options{})
})

func TestSurfaceDrawing(t *testing.T) {
	r := gridFit()
	d := FitReport{Surfaces: []surface.Result{r}}.Drawing(Options{})
	if len(d.Panels) != 2 || d.Title != "Alum 40.0 mg/L (as product) with polymer 0.015 mg/L (as product) meets the target" ||
		!strings.HasPrefix(d.Description, "grid: lines of equal turbidity over alum and polymer; the untested part is hatched. Planning pair "+
			"alum ") {
		t.Fatalf("%d panels, %q, %q", len(d.Panels), d.Title, d.Description)
	}
	p := d.Panels[0]
	// The picture reaches 6 % beyond what was tested, but not below nothing.
	if p.X.Label() != "Alum, mg/L" || p.Y.Label() != "Polymer, mg/L" || math.Abs(*p.X.Least-8.2) > 1e-9 ||
		math.Abs(*p.X.Most-41.8) > 1e-9 || *p.Y.Least != 0 || math.Abs(*p.Y.Most-0.848) > 1e-9 {
		t.Errorf("axes %q %v to %v, %q %v to %v", p.X.Label(), *p.X.Least, *p.X.Most, p.Y.Label(), *p.Y.Least, *p.Y.Most)
	}
	equal, sure := p.Layers[0].(draw.Contours), p.Layers[2].(draw.Contours)
	if fmt.Sprint(equal.Levels) != "[5 20 50]" || equal.Unit != "NTU" { // 10 lies beside the target of 12; 2 and less, 60 and more, outside
		t.Errorf("levels %v %s", equal.Levels, equal.Unit)
	}
	if fmt.Sprint(sure.Levels) != "[50 90]" || sure.Grid.Z[0][0] != 100*r.Grid.Confidence[0][0] {
		t.Errorf("the target's lines %v", sure.Levels)
	}
	hatch := p.Layers[1].(draw.Hatched).Grid
	if len(hatch.X) != 73 || len(hatch.Y) != 49 || hatch.Z[0][0] != 1 || hatch.Z[24][36] != 0 || math.Abs(hatch.X[72]-41.8) > 1e-9 ||
		math.Abs(hatch.Y[48]-0.848) > 1e-9 || hatch.Z[48][36] != 1 || hatch.Z[24][72] != 1 {
		t.Errorf("hatched %d x %d", len(hatch.X), len(hatch.Y))
	}
	jars, plan := p.Layers[3].(draw.Points), p.Layers[4].(draw.Points)
	if len(jars.At) != 9 || jars.At[4].XY != (draw.XY{X: 25, Y: 0.4}) ||
		plan.At[0].XY != (draw.XY{X: float64(r.Planning.Pair.First), Y: float64(r.Planning.Pair.Second)}) {
		t.Errorf("jars %v, plan %v", jars.At, plan.At)
	}
	p = d.Panels[1]
	if p.X.Label() != "Alum, mg/L" || p.Y.Label() != "Turbidity, NTU" || len(p.Layers) != 7 {
		t.Fatalf("slices: %q, %q, %d layers", p.X.Label(), p.Y.Label(), len(p.Layers))
	}
	for k, want := range [...]string{"polymer 0 mg/L", "polymer 0.4 mg/L", "polymer 0.8 mg/L"} {
		line, pts := p.Layers[2*k].(draw.Line), p.Layers[2*k+1].(draw.Points)
		if line.Name != want || len(pts.At) != 3 || pts.At[0].X != 10 || pts.At[0].Y != [...]float64{60, 30, 17}[k] ||
			pts.Name != strings.TrimSuffix(strings.Replace(want, "polymer", "jars at", 1), " mg/L") {
			t.Errorf("slice %q with %q %v", line.Name, pts.Name, pts.At)
		}
	}
	if m := p.Layers[6].(draw.Marker); math.Abs(m.At-12) > 1e-9 || m.Label != "target 12 NTU" {
		t.Errorf("target %+v", m)
	}
	many := FitReport{Surfaces: []surface.Result{r, r, r, r}}.Drawing(Options{})
	if len(many.Panels) != 6 || many.Title != "Jar tests" {
		t.Errorf("%d panels of %q", len(many.Panels), many.Title)
	}
	left := r
	left.Jars = append([]surface.JarUse(nil), r.Jars...)
	left.Jars[0].Used, left.HasPlanning = false, false
	s := surfaceSeries{left, surfaceData(left)}
	p, _ = s.panel(Options{})
	if pts := p.Layers[4].(draw.Points); pts.Name != "jar left out" || len(pts.At) != 1 || len(p.Layers) != 5 {
		t.Errorf("left out %v", pts)
	}
	if !strings.HasSuffix(s.words(Options{}), " Found.") {
		t.Errorf("%q", s.words(Options{}))
	}
	for _, c := range []struct {
		n    int
		want string
	}{{5, "0 1 2 4"}, {7, "0 2 4 6"}, {4, "0 1 2 3"}} {
		many := r
		many.Slices = nil
		for i := range c.n {
			v := r.Slices[0]
			v.Level, v.Tested = float64(i), true
			many.Slices = append(many.Slices, v)
		}
		p, _ := surfaceSeries{many, surfaceData(many)}.slicePanel(Options{})
		var got []string
		for k := range 4 {
			got = append(got, strings.TrimSuffix(strings.TrimPrefix(p.Layers[2*k].(draw.Line).Name, "polymer "), " mg/L"))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("of %d levels %v are shown, want %s", c.n, got, c.want)
		}
	}
	single := madePair()
	single.Slices = single.Slices[:1]
	if d := surfacePart(single); !d.Has("grid") || !d.Has("best_pair") || len(d.Objects("slices")) != 1 {
		t.Error("one level is a slice too")
	}
	one := madeNext()
	one.Choices = one.Choices[:1]
	if d := nextData(one); len(d.Objects("choices")) != 1 || !d.Has("interval_expected") {
		t.Error("one choice is a choice too")
	}
	even := madePair()
	even.Saving.BreakEven = 0
	if savingData(even).Has("break_even_price_ratio") {
		t.Error("a ratio that cannot be told is told")
	}
	ph := phPair()
	ph.Slices = ph.Slices[:1]
	if p, ok := (surfaceSeries{ph, surfaceData(ph)}).panel(Options{}); !ok || p.Y.Label() != "pH" || math.Abs(*p.Y.Least+0.048) > 1e-9 {
		t.Errorf("against pH: %+v", p.Y)
	}
	if _, ok := (surfaceSeries{ph, surfaceData(ph)}).slicePanel(Options{}); ok {
		t.Error("a level without a curve has no picture")
	}
	ph.Grid = surface.Grid{}
	if _, ok := (surfaceSeries{ph, surfaceData(ph)}).panel(Options{}); ok {
		t.Error("no grid, no picture")
	}
}

// TestContourLevels: 1, 2, 5 where the surface spans much, even steps where it does not.
func TestContourLevels(t *testing.T) {
	for _, c := range []struct {
		lo, hi, target float64
		has            bool
		want           string
	}{
		{1.5, 60, 0, false, "[2 5 10 20 50]"}, {1.5, 60, 10, true, "[2 5 20 50]"}, {1.5, 60, 8, true, "[2 5 10 20 50]"},
		{0.01, 300, 0, false, "[5 10 20 50 100 200]"}, {40, 70, 0, false, "[50 60]"}, {-20, 30, 0, false, "[-10 0 10 20]"},
		{5, 5, 0, false, "[]"}, {0, 100, 0, false, "[20 40 60 80]"}, {0, 160, 0, false, "[50 100 150]"},
		{10, 30.1, 0, false, "[20]"}, {10, 30, 0, false, "[15 20 25]"}, // 30 is not more than three times 10: steps of 5 there
	} {
		if got := fmt.Sprint(contourLevels([][]float64{{c.lo, math.NaN()}, {c.hi, (c.lo + c.hi) / 2}}, c.target, c.has)); got != c.want {
			t.Errorf("%v to %v: %s, want %s", c.lo, c.hi, got, c.want)
		}
	}
}

func TestInsideHull(t *testing.T) {
	r := madePair()
	for at, want := range map[draw.XY]bool{{X: 25, Y: 0.4}: true, {X: 10, Y: 0}: true, {X: 9.9, Y: 0.4}: false, {X: 25, Y: 0.81}: false,
		{X: 25, Y: -0.01}: false, {X: 40.1, Y: 0.4}: false} {
		if insideHull(r, at.X, at.Y) != want {
			t.Errorf("%v is inside: %v", at, !want)
		}
	}
	r.Hull = r.Hull[:2]
	if insideHull(r, 25, 0) {
		t.Error("two jars enclose nothing")
	}
	if sliceNear(madePair(), 0.4+1e-8) == nil || sliceNear(madePair(), 0.41) != nil {
		t.Error("a slice is found at its level only")
	}
}

func TestWaterCost(t *testing.T) {
	m := quantity.Money{Amount: 264.172052, Currency: "EUR"}
	c := namedCost("", m).Q.(perWater) // 1000 m3 are 264.172 thousand US gallons (NIST SP 811)
	if v, u := c.Show(quantity.US); math.Abs(v-1) > 1e-6 || u != "EUR per 1000 gal" {
		t.Errorf("%v %s", v, u)
	}
	if c.In("EUR") != m.Amount || !math.IsNaN(c.In("USD")) {
		t.Error("an amount stands in its currency")
	}
}

func TestSurfaceBook(t *testing.T) {
	var b bytes.Buffer
	if err := WriteBook(&b, FitReport{Surfaces: []surface.Result{madePair()}}, Options{Units: quantity.US}); err != nil {
		t.Fatal(err)
	}
	got := cells(t, b.Bytes())
	for _, want := range []string{`"EUR per 1000 gal"`, `"alum needed (90 % interval) (mg/L)"`, `"from (mg/L)"`, `"21.73"`, `"19.9"`,
		`"beyond the range"`, `"14.84"`, `"to plan with (mg/L)"`, `"23.2"`, `"second_dose_mg_per_l"`} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s", want)
		}
	}
}

// madeNext is a next test with typed numbers.
func madeNext() curve.Next {
	return curve.Next{Series: "storm", Place: note.Place{File: "beck.csv", Sheet: "Tue"},
		Sample: jartest.Sample{Date: "2026-03-02", Turbidity: jartest.Num(46, "NTU")}, Chemical: "alum", Outcome: curve.Found, Factor: "dose",
		Basis:  quantity.AsAlum14,
		Before: curve.Interval{Value: 12.345, Low: 11.1, High: 14.04, HasLow: true, HasHigh: true, Confidence: 0.9},
		Doses: []curve.NextDose{{Dose: 0, Jars: 1, Why: "control"}, {Dose: 11.5, Jars: 2, Stock: 0.00115, Why: "below"},
			{Dose: 13.25, Jars: 3, Why: "above"}}, Rule: "equal steps",
		Choices: []curve.Expectation{{Name: "again", Jars: 6, Doses: []quantity.Concentration{10, 0.1 + 0.2}, Shrink: 0.714,
			After: curve.Interval{Value: 12.345, Low: 11.44, High: 13.52, HasLow: true, HasHigh: true, Confidence: 0.9}, Taken: true},
			{Name: "wide", Jars: 5, Shrink: 0.9, After: curve.Interval{High: 13.9, HasHigh: true}}, {Name: "none", After: curve.Interval{}}},
		Notes: note.List{note.New(note.Info, "no-stock", "no stock")}}
}

func TestNext(t *testing.T) {
	ph := madeNext()
	ph.Series, ph.Factor, ph.Basis, ph.Chemical, ph.Choices, ph.Notes = "", "ph", quantity.NotStated, "", nil, nil
	ph.Doses, ph.Before = []curve.NextDose{{Dose: 6.3, Jars: 2, Why: "about the best"}}, curve.Interval{}
	r := NextReport{Series: []curve.Next{madeNext(), ph}, Notes: note.List{note.New(note.Info, "read", "as read")}}
	holds(t, shownText(t, r, Options{}), "What to test next after storm", "Fill jars of alum 0, 11.5, 13.25 mg/L as alum 14-hydrate > Fill 6 jars from the same water",
		"jars dose (mg/L as alum 14-hydrate) stock (mL a jar) why 1 0 0 control 2-3 11.5 1.15 below 4-6 13.25 - above", "Rule: equal steps.",
		"Today's interval is 12.3 mg/L (11.1 to 14.0). With these 6 jars on the same water it should become about 11.4 to 13.5, 71 % of its "+
			"width.",
		"choice jars width left interval (mg/L) again 6 71 % 11.4 to 13.5 taken wide 5 90 % below to 13.9 none 0 0 % below to beyond",
		"note No stock", "What to test next after Tue", "Fill jars at pH 6.3 > Fill 2 jars", "jars pH why 1-2 6.3 about the best", "Reading the sheets", "note As read")
	r.Series[1].Rule = "each 1.3 times the last"
	holds(t, shownText(t, r, Options{DecimalComma: true}), "Rule: each 1,3 times the last.", "2-3 11,5 1,15 below",
		"12,3 mg/L (11,1 to 14,0)", "11,4 to 13,5")
	r.Series[1].Rule = "equal steps"
	doc := document(t, r)
	for path, want := range map[string]string{
		"schema":                     `"jarwright.next/1"`,
		"series/0/name":              `"storm"`,
		"series/0/sheet":             `"Tue"`,
		"series/0/date":              `"2026-03-02"`,
		"series/0/raw_turbidity":     `{"unit":"NTU","value":46}`,
		"series/0/outcome":           `"found"`,
		"series/0/factor":            `"dose"`,
		"series/0/chemical":          `"alum"`,
		"series/0/basis":             `"as alum 14-hydrate"`,
		"series/0/rule":              `"equal steps"`,
		"series/0/units":             `{"dose":"mg/L"}`,
		"series/0/doses/0":           `{"dose":0,"jars":1,"unit":"mg/L","why":"control"}`,
		"series/0/doses/1":           `{"dose":11.5,"jars":2,"stock":{"unit":"mL","value":1.15},"unit":"mg/L","why":"below"}`,
		"series/0/interval_now":      `{"confidence":0.9,"high":14.04,"low":11.1,"unit":"mg/L","value":12.345}`,
		"series/0/interval_expected": `{"confidence":0.9,"high":13.52,"low":11.44,"unit":"mg/L","value":12.345}`,
		"series/0/choices/0":         `{"doses":[10,0.3],"interval_expected":{"confidence":0.9,"high":13.52,"low":11.44,"unit":"mg/L","value":12.345},"jars":6,"name":"again","taken":true,"width_left":0.714}`,
		"series/0/choices/1":         `{"interval_expected":{"confidence":0,"high":13.9,"unit":"mg/L","value":0},"jars":5,"name":"wide","taken":false,"width_left":0.9}`,
		"series/0/notes":             `null`,
		"series/1/name":              `"Tue"`,
		"series/1/units":             `{"dose":"pH"}`,
		"series/1/doses":             `[{"dose":6.3,"jars":2,"unit":"pH","why":"about the best"}]`,
		"series/1/interval_now":      `null`,
		"series/1/choices":           `null`,
		"series/1/interval_expected": `null`,
		"notes":                      `[{"code":"read","level":"note","message":"as read"},{"code":"no-stock","file":"beck.csv","level":"note","message":"no stock","sheet":"Tue"}]`,
	} {
		if got := member(doc, path); got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
	want := [][]string{{"series", "jar", "jars", "dose_mg_per_l", "stock_ml", "why", "rule", "ph", "chemical", "file", "sheet", "date",
		"raw_turbidity_ntu"},
		{"storm", "1", "1", "0", "", "control", "equal steps", "", "alum", "beck.csv", "Tue", "2026-03-02", "46"},
		{"storm", "2", "2", "11.5", "1.15", "below", "equal steps", "", "alum", "beck.csv", "Tue", "2026-03-02", "46"},
		{"storm", "4", "3", "13.25", "", "above", "equal steps", "", "alum", "beck.csv", "Tue", "2026-03-02", "46"},
		{"Tue", "1", "2", "", "", "about the best", "equal steps", "6.3", "", "beck.csv", "Tue", "2026-03-02", "46"}}
	if got := fmt.Sprint(r.Table().Strings()); got != fmt.Sprint(want) {
		t.Errorf("rows\n%s\nwant\n%s", got, want)
	}
}

// TestNextPairs holds the next test of a grid against what the domain proposes.
func TestNextPairs(t *testing.T) {
	g := gridFit()
	r := NextReport{Surfaces: []surface.Result{g}, Jars: 6}
	list, _ := g.Next(6)
	rows := r.Table().Strings()[1:]
	text := strings.Join(strings.Fields(shownText(t, r, Options{})), " ")
	doc := document(t, r)
	if len(list) < 2 || len(rows) != 2*len(list) {
		t.Fatalf("%d proposals, %d rows", len(list), len(rows))
	}
	jar := 1
	for i, p := range list {
		if fmt.Sprint(rows[2*i]) != fmt.Sprint([]string{"grid", fmt.Sprint(jar), fmt.Sprint(p.Jars), fmt.Sprint(float64(p.Pair.First)),
			fmt.Sprint(quantity.RoundSig(p.FirstStock.In("mL"), 12)), p.Why, "pair", "", "alum", "grid.csv", "", "", ""}) {
			t.Errorf("row %v for %+v", rows[2*i], p)
		}
		if rows[2*i+1][3] != fmt.Sprint(float64(p.Pair.Second)) || rows[2*i+1][8] != "polymer" || rows[2*i+1][1] != fmt.Sprint(jar) {
			t.Errorf("row %v for %+v", rows[2*i+1], p)
		}
		at := fmt.Sprintf("series/0/doses/%d/", i)
		doses, _ := json.Marshal(map[string]float64{"alum": float64(p.Pair.First), "polymer": float64(p.Pair.Second)})
		if member(doc, at+"doses") != string(doses) || member(doc, at+"dose") != fmt.Sprint(float64(p.Pair.First)) ||
			member(doc, at+"jars") != fmt.Sprint(p.Jars) || member(doc, at+"unit") != `"mg/L"` ||
			member(doc, at+"stocks/alum/value") != fmt.Sprint(quantity.RoundSig(p.FirstStock.In("mL"), 12)) || p.SecondStock > 0 &&
			member(doc, at+"stocks/polymer/unit") != `"mL"` {
			t.Errorf("proposal %d: %s for %+v", i, member(doc, strings.TrimSuffix(at, "/")), p)
		}
		label := fmt.Sprint(jar)
		if p.Jars > 1 {
			label += fmt.Sprintf("-%d", jar+p.Jars-1)
		}
		stock := func(v quantity.Volume) string {
			if v == 0 {
				return "0"
			}
			return quantity.Brief(v.In("mL"), 6)
		}
		want := fmt.Sprintf("%s %v %s %v %s", label, float64(p.Pair.First), stock(p.FirstStock), float64(p.Pair.Second), stock(p.SecondStock))
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
		jar += p.Jars
	}
	if want := "Today's planning pair is " + (Options{}).Show(pairPhrase(g, g.Planning.Pair)) + "."; !strings.Contains(text, want) ||
		member(doc, "series/0/factor") != `"pair"` || member(doc, "series/0/basis") != `"as product"` {
		t.Errorf("no %q in %s", want, text)
	}
	g.HasPlanning, g.Outcome = false, curve.NoResponse
	holds(t, shownText(t, NextReport{Surfaces: []surface.Result{g}, Jars: 6}, Options{}), "Today's answer: no response to the dose.")
	ph := phPair()
	d := nextPairsData(ph, []surface.Proposal{{Pair: surface.Pair{First: 10, PH: 6.4}, Jars: 2, Why: "look", FirstStock: 0.001}})
	if got, _ := json.Marshal(d.Objects("doses")[0]); string(got) != `{"dose":10,"doses":{"alum":10},"ph":6.4,"stocks":{"alum":{"value":1,"unit":"mL"}},"unit":"mg/L","jars":2,"why":"look"}` {
		t.Errorf("a pair at a pH: %s", got)
	}
}
