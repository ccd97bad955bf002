package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// column writes one cell of a column for each jar.
func column(head string, cells ...any) []string {
	out := []string{head}
	for _, c := range cells {
		out = append(out, fmt.Sprint(c))
	}
	return out
}

// sheetOf puts columns beside each other, lines above them.
func sheetOf(above []string, columns ...[]string) string {
	rows := slices.Clone(above)
	for r := range columns[0] {
		row := []string{}
		for _, c := range columns {
			row = append(row, c[r])
		}
		rows = append(rows, strings.Join(row, ","))
	}
	return strings.Join(rows, "\n") + "\n"
}

// cautionsOf gives the codes of cautions and errors of a file and its series, each once.
func cautionsOf(r Result) string {
	var out []string
	for _, n := range r.Notes {
		if n.Level != note.Info && !slices.Contains(out, n.Code) {
			out = append(out, n.Code)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

// TestSameDoseOnceMore: two columns are one dose where they are equal once converted; 8.345 lb/MG
// is 1 mg/L (453.59237 g in 3.785411784 million L), 17.118 mg/L one grain per gallon, 9.08 % of alum
// with 14.3 waters is aluminium (2 × 26.982 / 600). Others stay two doses, and are asked about.
func TestSameDoseOnceMore(t *testing.T) {
	tens := []any{0, 10, 20, 30}
	ntu := column("NTU", 48, 30, 14, 6)
	for _, c := range []struct {
		name string
		text string
		want []float64 // the doses; none where it must ask
	}{
		{"another name of the unit", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum (g/m3)", tens...), ntu), []float64{0, 10, 20, 30}},
		{"to the digits written", sheetOf(nil, column("Alum (mg/L)", 0, 12.4, 24.8, 37.2), column("Alum (g/L)", 0, "0.012", "0.025", "0.037"), ntu), []float64{0, 12.4, 24.8, 37.2}},
		{"pounds", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum (lb/MG)", 0, 83.5, 166.9, 250.4), ntu), []float64{0, 10, 20, 30}},
		{"by jar", sheetOf([]string{"Jar volume,2 L"}, column("Alum (mg/L)", tens...), column("Alum (mg per jar)", 0, 20, 40, 60), ntu), []float64{0, 10, 20, 30}},
		{"as Al", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum (mg Al/L)", 0, 0.91, 1.82, 2.72), ntu), []float64{0, 10, 20, 30}},
		{"liquid and dry", sheetOf(nil, column("Liquid alum (mg/L)", tens...), column("Dry alum (mg/L)", 0, 4.85, 9.7, 14.55), ntu), []float64{0, 10, 20, 30}},
		{"planned", sheetOf(nil, column("Planned alum (mg/L)", tens...), column("Actual alum (mg/L)", 0, 9, 21, 33), ntu), []float64{0, 9, 21, 33}},
		{"a sum", sheetOf(nil, column("Alum 1 (mg/L)", 0, 5, 10, 15), column("Alum 2 (mg/L)", 0, 5, 10, 15), column("Total alum (mg/L)", tens...), ntu), []float64{0, 10, 20, 30}},

		{"half", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum (mg/L)", 0, 5, 10, 15), ntu), nil},
		{"corrected", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum corrected (mg/L)", 0, 8, 16, 24), ntu), nil},
		{"numbered", sheetOf(nil, column("Alum 1 (mg/L)", tens...), column("Alum 2 (mg/L)", tens...), ntu), nil},
		{"booster", sheetOf(nil, column("PAC (mg/L)", tens...), column("PAC booster (mg/L)", tens...), ntu), nil},
		{"at two speeds", sheetOf(nil, column("PAC rapid mix (mg/L)", tens...), column("PAC slow mix (mg/L)", tens...), ntu), nil},
		{"two unequal units", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum (ppm)", 0, 8, 16, 24), ntu), nil},
		{"the jars say otherwise", sheetOf([]string{"Jar volume,2 L"}, column("Alum (mg/L)", tens...), column("Alum (mg per jar)", tens...), ntu), nil},
		{"no salt is all metal", sheetOf(nil, column("Alum (mg/L)", tens...), column("Alum as Al (mg/L)", tens...), ntu), nil},
		{"a sum of something else", sheetOf(nil, column("Alum (mg/L)", tens...), column("Total alum (mg/L)", 15, 25, 35, 45), ntu), nil},
	} {
		r := mustRead(t, "t.csv", c.text, Options{})
		if asks := strings.Contains(cautionsOf(r), "dose-twofold"); asks != (c.want == nil) {
			t.Errorf("%s: asks %v: %v", c.name, asks, r.Notes)
			continue
		}
		if c.want == nil {
			continue
		}
		if said := cautionsOf(r); said != "" || len(r.Series) != 1 || len(r.Series[0].Chemicals) != 1 || !equal(doses(r.Series[0], 0), c.want) {
			t.Errorf("%s: %q, %+v", c.name, said, r.Series)
		}
	}
}

// TestTwofoldNamesBothColumns: the error names both columns, and what it proposes works.
func TestTwofoldNamesBothColumns(t *testing.T) {
	text := sheetOf(nil, column("Jar", 1, 2, 3, 4), column("Alum (mg/L)", 0, 10, 20, 30), column("Alum (mg/L)", 0, 5, 10, 15), column("NTU", 48, 30, 14, 6))
	r := mustRead(t, "t.csv", text, Options{})
	i := slices.IndexFunc(r.Notes, func(n note.Note) bool { return n.Code == "dose-twofold" })
	if i < 0 || !strings.Contains(r.Notes[i].Remedy, `"B=ignore"`) || !strings.Contains(r.Notes[i].Remedy, `"C=ignore"`) {
		t.Fatalf("%v", r.Notes)
	}
	r = mustRead(t, "t.csv", text, Options{Columns: []Override{{Header: "B", Meaning: "ignore"}}})
	if cautionsOf(r) != "" || !equal(doses(r.Series[0], 0), []float64{0, 5, 10, 15}) {
		t.Errorf("without B: %v", r.Notes)
	}
}

// TestPondsSideBySide: a dose with readings of its own is another test's, equal in ratio or not.
func TestPondsSideBySide(t *testing.T) {
	r := mustRead(t, "t.csv", sheetOf(nil, column("Jar", 1, 2, 3), column("Pond A alum (mg/L)", 0, 10, 20), column("Pond A NTU", 48, 30, 14),
		column("Pond B alum (mg/L)", 0, 20, 40), column("Pond B NTU", 90, 40, 12)), Options{})
	if len(r.Series) != 2 || cautionsOf(r) != "" || !equal(doses(r.Series[0], 0), []float64{0, 10, 20}) || !equal(doses(r.Series[1], 0), []float64{0, 20, 40}) {
		t.Fatalf("%d series, %v", len(r.Series), r.Notes)
	}
	if a, b := r.Series[0].Name, r.Series[1].Name; !strings.Contains(a, "Pond A") || !strings.Contains(b, "Pond B") {
		t.Errorf("named %q and %q", a, b)
	}
}

// TestVolumesOfNoRatio: one stock cannot have given doses that are in no ratio to its volumes.
func TestVolumesOfNoRatio(t *testing.T) {
	for _, c := range []struct {
		mL   []any
		want string
	}{{[]any{0, 1, 2, 3.1}, ""}, {[]any{0, 1, 3, 3}, "stock-uneven"}} {
		r := mustRead(t, "t.csv", sheetOf(nil, column("Alum (mg/L)", 0, 10, 20, 30), column("Alum stock (mL)", c.mL...), column("NTU", 48, 30, 14, 6)), Options{})
		if got := cautionsOf(r); got != c.want {
			t.Errorf("%v: %q, want %q", c.mL, got, c.want)
		}
	}
}
