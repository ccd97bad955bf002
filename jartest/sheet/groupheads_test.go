package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest"
)

// merged makes a workbook of rows with merged cells.
func merged(t *testing.T, rows [][]any, spans ...[2]string) []byte {
	t.Helper()
	f := excelize.NewFile()
	for r, row := range rows {
		for c, x := range row {
			if x == nil {
				continue
			}
			at, _ := excelize.CoordinatesToCellName(c+1, r+1)
			if err := f.SetCellValue("Sheet1", at, x); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, s := range spans {
		if err := f.MergeCell("Sheet1", s[0], s[1]); err != nil {
			t.Fatal(err)
		}
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A merged heading speaks for all columns under it: a dose and a reading under each of two are two tests,
// and what it states in brackets is a fact of them.
func TestMergedHeadingsOfTwoTests(t *testing.T) {
	for _, x := range []struct{ left, right, want, speaks string }{
		{"Alum (raw 75 NTU)", "PACl (raw 75 NTU)", "alum 0:72 15:33 30:11 raw 75; PACl 0:73 5:25 10:7 raw 75", ""},
		{"Alum", "PACl", "alum 0:72 15:33 30:11 raw 0; PACl 0:73 5:25 10:7 raw 0", ""},
		{"Alum (raw 75 NTU)", "Ferric chloride (raw 60 NTU)", "alum 0:72 15:33 30:11 raw 0; ferric chloride 0:73 5:25 10:7 raw 0", "group-facts"},
	} {
		book := merged(t, [][]any{{nil, x.left, nil, x.right, nil}, {"Jar", "mg/L", "NTU", "mg/L", "NTU"},
			{1, 0, 72, 0, 73}, {2, 15, 33, 5, 25}, {3, 30, 11, 10, 7}}, [2]string{"B1", "C1"}, [2]string{"D1", "E1"})
		r, err := Read("s.xlsx", bytes.NewReader(book), Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range r.Series {
			got = append(got, fmt.Sprintf("%s %s raw %g", s.Chemicals[0].Name, pairsOf(Result{Series: []jartest.Series{s}}), s.Raw[jartest.Turbidity].Value))
		}
		if strings.Join(got, "; ") != x.want || strings.Join(loud(r), " ") != x.speaks {
			t.Errorf("%s and %s: %s %v", x.left, x.right, strings.Join(got, "; "), r.Notes)
		}
	}
}

// A name and its unit in cells of their own are one heading, whichever way the jars stand; a reading of
// its own takes its name, never its unit.
func TestNamesAndUnitsInCellsOfTheirOwn(t *testing.T) {
	rows := [][]string{{"Parameter", "Unit", "1", "2", "3"}, {"Alum", "mg/L", "10", "20", "30"}, {"Turbidity", "NTU", "30", "13", "5"},
		{"Aluminium", "µg/L", "160", "120", "90"}, {"Krypton", "mg/L", "7", "5", "3"}}
	for _, rows := range [][][]string{rows, turn(rows)} {
		var text strings.Builder
		for _, r := range rows {
			text.WriteString(strings.Join(r, ",") + "\n")
		}
		r := mustRead(t, "s.csv", text.String(), Options{})
		got := pairsOf(r)
		for i, want := range []float64{0.16, 0.12, 0.09} {
			if x := r.Series[0].Jars[i].Readings.Of(jartest.ResidualAl).Value; x != want {
				t.Errorf("%s: aluminium of jar %d is %g, want %g", text.String(), i+1, x, want)
			}
		}
		for _, x := range r.Series[0].Jars[0].Readings {
			if strings.HasPrefix(string(x.Key), "mg") || strings.HasPrefix(string(x.Key), "ug") || strings.HasPrefix(string(x.Key), "µg") {
				t.Errorf("%s: a reading is called %q", text.String(), x.Key)
			}
		}
		if got != "10:30 20:13 30:5" {
			t.Errorf("%s: %s %v", text.String(), got, r.Notes)
		}
	}
}
