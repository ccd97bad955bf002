package dosing

import (
	"strings"
	"testing"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// muddyTank is a tank of 120 m3 cleared from 80 to 5 NTU, dosed by its turbidity; the pump gives 10 L/h and no less than 3.
const muddyTank = `
place: {name: "Shed", purpose: "other", water_passes: "batch", example_values: "no"}
water: {temperature: "20 C", ph: "7.6", alkalinity: "300 mg/L CaCO3", turbidity: "80 NTU"}
flow: {average_flow: "12 m3/h"}
tanks: [{name: "tank", use: "other", volume: "120 m3"}, {name: "drum", use: "stock", volume: "200 L"}]
stocks: [{name: "alum stock", product_in_stock: "100 g/L", tank: "drum"}]
chemicals: [{name: "alum", product: "%PRODUCT", dose: "%DOSE", basis: "%BASIS", stock: "alum stock", pump: "P1", dose_by_turbidity: "%TABLE"}]
pumps: [{name: "P1", largest_rate: "10 L/h", least_rate: "3 L/h", knob_step: "5 %"%PUMP}]
%DRAWDOWN
solids: {tank_to_clean_up: "tank", tank_turbidity: "80 NTU", clear_enough_at: "5 NTU", solids_caught: "70 %"}
`

func byTable(t *testing.T, change ...string) (site.Site, Given) {
	t.Helper()
	text := strings.NewReplacer(append(change, "%PRODUCT", "alum-liquid", "%DOSE", "12 mg/L", "%BASIS", "as alum 14-hydrate", "%PUMP", "", "%DRAWDOWN", "",
		"%TABLE", "80 NTU=20 mg/L; 30 NTU=12 mg/L; 5 NTU=6 mg/L")...).Replace(strings.ReplaceAll(muddyTank, "\t", ""))
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s, Given{Catalogue: product.Default()}
}

// TestTableSlips: of a table 80 NTU=20, 30 NTU=12, 5 NTU=6 mg/L every figure is slipped tenfold, up and down; each is asked about in
// the plan and in the clean-up, with what may have been meant. The table as it is, and others as jars find them, are not.
func TestTableSlips(t *testing.T) {
	for _, x := range []struct{ table, dose, asks string }{
		{"80 NTU=20 mg/L; 30 NTU=12 mg/L; 5 NTU=6 mg/L", "12 mg/L", ""},
		{"30 NTU=12 mg/L; 0 NTU=6 mg/L", "12 mg/L", ""},
		{"200 NTU=60 mg/L; 0 NTU=6 mg/L", "12 mg/L", ""},
		{"80 NTU=20 mg/L; 30 NTU=21 mg/L; 5 NTU=0 mg/L", "12 mg/L", ""}, // jars scatter
		{"80 NTU=200 mg/L; 30 NTU=12 mg/L; 5 NTU=6 mg/L", "12 mg/L", "did you mean 20 mg/L as alum 14-hydrate?"},
		{"80 NTU=2 mg/L; 30 NTU=12 mg/L; 5 NTU=6 mg/L", "12 mg/L", "did you mean 20 mg/L at 80 NTU?"},
		{"80 NTU=20 mg/L; 30 NTU=120 mg/L; 5 NTU=6 mg/L", "12 mg/L", "did you mean 12 mg/L at 30 NTU?"},
		{"80 NTU=20 mg/L; 30 NTU=1.2 mg/L; 5 NTU=6 mg/L", "12 mg/L", "did you mean 12 mg/L as alum 14-hydrate?"},
		{"80 NTU=20 mg/L; 30 NTU=12 mg/L; 5 NTU=60 mg/L", "12 mg/L", "did you mean 6 mg/L at 5 NTU?"},
		{"80 NTU=20 mg/L; 30 NTU=12 mg/L; 5 NTU=0.6 mg/L", "12 mg/L", "did you mean 6 mg/L as alum 14-hydrate?"},
		{"8 NTU=20 mg/L; 30 NTU=12 mg/L; 5 NTU=6 mg/L", "12 mg/L", "did you mean 20 mg/L at 80 NTU?"},
		{"30 NTU=120 mg/L; 0 NTU=6 mg/L", "12 mg/L", "did you mean 12 mg/L at 30 NTU, or 60 mg/L at 0 NTU?"},
		{"80 NTU=100 mg/L; 30 NTU=60 mg/L; 5 NTU=30 mg/L", "12 mg/L", "by its doses by turbidity water of 80 NTU gets 100 mg/L, and its dose is 12 mg/L"},
		{"80 NTU=10 mg/L; 30 NTU=6 mg/L; 5 NTU=3 mg/L", "50 mg/L", "by its doses by turbidity water of 80 NTU gets 10 mg/L, and its dose is 50 mg/L"},
	} {
		s, g := byTable(t, "%TABLE", x.table, "%DOSE", x.dose)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		for where, l := range map[string]note.List{"clean-up": c.Notes, "plan": Asked(s, g)} {
			var asked note.List
			for _, n := range l {
				if n.Code == "dose-table-odd" || n.Code == "dose-unusual" {
					asked.Add(n)
				}
			}
			if x.asks == "" && len(asked) > 0 || x.asks != "" && (len(asked) != 1 || !strings.Contains(asked[0].Message, x.asks) || asked[0].Level != note.Caution || asked[0].Place.Cell == "") {
				t.Errorf("%s of %s: %v, want %q", where, x.table, asked, x.asks)
			}
		}
	}
}

// TestCleanUpTellsItsPumps: 20 mg/L of alum 14-hydrate are 41.2 of product, 82.5 mL/min of 100 g/L at 12 m3/h; the 10.2 and less that the
// last three of six settings ask for are 42.2 mL/min and less, where the pump gives no less than 50. A stock of half the strength brings
// all within reach. The plate is told where there is nothing else, and calibrated pumps have nothing to tell.
func TestCleanUpTellsItsPumps(t *testing.T) {
	calibrated := `drawdown: [{pump: "P1", setting: "20 %", rate: "33 mL/min"}, {pump: "P1", setting: "50 %", rate: "83 mL/min"}, {pump: "P1", setting: "100 %", rate: "166 mL/min"}]`
	for _, x := range []struct {
		what   string
		change []string
		told   []string // begins of code and message
		unset  bool
	}{
		{"as it is", nil, []string{"not-calibrated P1: the setting comes from the nameplate",
			"feed-too-small alum: 3 of the 6 settings of the list are out of the pump's reach, the first at"}, false},
		{"half as strong", []string{`"100 g/L"`, `"50 g/L"`, `"5 %"`, `"1 %"`}, []string{"not-calibrated"}, false},
		{"a coarse knob", []string{`"100 g/L"`, `"50 g/L"`, `"5 %"`, `"10 %"`}, []string{"not-calibrated", "knob-coarse alum: the setting, 50 %"}, false},
		{"calibrated", []string{`"100 g/L"`, `"50 g/L"`, `"5 %"`, `"1 %"`, "%DRAWDOWN", calibrated}, nil, false},
		{"far too strong", []string{`"100 g/L"`, `"600 g/L"`}, []string{"not-calibrated", "feed-too-small alum: 6 of the 6 settings"}, true},
		{"far too weak", []string{`"100 g/L"`, `"5 g/L"`}, []string{"not-calibrated", "feed-too-large alum: 6 of the 6 settings"}, true},
	} {
		s, g := byTable(t, x.change...)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range c.Notes {
			if strings.HasPrefix(n.Code, "feed-too") || n.Code == "range-too-wide" || n.Code == "not-calibrated" || n.Code == "knob-coarse" || n.Code == "outside-drawdown" {
				got = append(got, n.Code+" "+n.Message)
				if n.Level != note.Caution || n.Place.Cell == "" {
					t.Errorf("%s: %+v", x.what, n)
				}
			}
		}
		ok := len(got) == len(x.told)
		for i := range got {
			ok = ok && strings.HasPrefix(got[i], x.told[i])
		}
		if !ok || c.Unset != x.unset || c.Unanswered() != x.unset {
			t.Errorf("%s: %q, unset %v", x.what, got, c.Unset)
		}
	}
}
