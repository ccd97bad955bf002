package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestWatersOfSheets: a column that says of what water the jars are parts them into
// series, whichever role the column was read in, and a copy of it under the next dose
// does not.
func TestWatersOfSheets(t *testing.T) {
	for _, c := range []struct{ heading, a, b, names string }{
		{"humic acid mg/L", "0", "5", "bench, humic acid 0 mg/L; bench, humic acid 5 mg/L"},
		{"humic_acid_mg_per_L", "2", "9", "bench, humic acid 2 mg/L; bench, humic acid 9 mg/L"},
		{"clay mg/L", "50", "100", "bench, clay 50 mg/L; bench, clay 100 mg/L"},
		{"temperature C", "8", "18", "bench, temperature 8 C; bench, temperature 18 C"},
		{"raw turbidity NTU", "60", "160", "bench, raw turbidity 60 NTU; bench, raw turbidity 160 NTU"},
		{"initial pH", "6.5", "7.5", "bench, raw pH 6.5; bench, raw pH 7.5"},
		{"lake", "A", "B", "bench, lake A; bench, lake B"},
		{"storm", "1", "2", "bench, storm 1; bench, storm 2"},
		{"pond", "north", "south", "north; south"},
		{"date", "2026-03-04", "2026-03-11", "2026-03-04; 2026-03-11"},
		{"lake", "A", "A", "bench"},
	} {
		text := "jar," + c.heading + ",alum mg/L,turbidity NTU\n"
		for i, v := range []float64{60, 30, 12, 4, 2.5, 2.4, 62, 55, 30, 15, 4.5, 2.6} {
			text += fmt.Sprintf("%d,%s,%d,%g\n", i+1, []string{c.a, c.b}[i/6], 10*(i%6), v)
		}
		r, err := Read("bench.csv", strings.NewReader(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, s := range r.Series {
			names = append(names, s.Name)
			if len(s.Chemicals) != 1 || s.Chemicals[0].Name != "alum" {
				t.Errorf("%s: the chemicals of %s are %v", c.heading, s.Name, s.Chemicals)
			}
		}
		if got := strings.Join(names, "; "); got != c.names {
			t.Errorf("%s: series %q, want %q", c.heading, got, c.names)
		}
		for _, n := range r.Notes {
			if n.Code == "raw-varies" || n.Code == "chemical-unknown" { // nor is it a chemical, in the same breath
				t.Errorf("%s: %s", c.heading, n.Message)
			}
		}
	}
}

// TestSettlingTimes: every settling time of a sheet can be asked for, whether the times
// stand side by side or line by line.
func TestSettlingTimes(t *testing.T) {
	for name, text := range map[string]string{
		"beside":  "jar,alum mg/L,turbidity 10 min NTU,turbidity 30 min NTU\n1,0,60,55\n2,10,50,30\n3,20,35,12\n4,30,20,6\n",
		"by line": "jar,alum mg/L,settling time min,turbidity NTU\n1,0,10,60\n1,0,30,55\n2,10,10,50\n2,10,30,30\n3,20,10,35\n3,20,30,12\n4,30,10,20\n4,30,30,6\n",
	} {
		r, err := Read("times.csv", strings.NewReader(text), Options{})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
			t.Fatalf("%s: %v, %+v", name, err, r.Series)
		}
		for i, j := range r.Series[0].Jars {
			late, early := j.Readings.Of(jartest.Turbidity), j.Readings.Of("turbidity_10_min")
			if late.Value != []float64{55, 30, 12, 6}[i] || late.Minutes != 30 || early.Value != []float64{60, 50, 35, 20}[i] || early.Minutes != 10 {
				t.Errorf("%s: jar %s has %+v and %+v", name, j.Label, late, early)
			}
		}
	}
}
