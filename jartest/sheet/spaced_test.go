package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// Wherever an empty column stands among the columns of a table, and an empty row among its jars,
// the answer is that of the table without them, or something speaks.
func TestEmptyColumnsAndRowsPartNothing(t *testing.T) {
	heads := []string{"Jar", "Lime (mg/L)", "Ferric chloride (mg/L)", "Turbidity (NTU)", "pH"}
	rows := [][]string{{"A", "0", "10", "18", "6.9"}, {"B", "0", "20", "7", "6.5"}, {"C", "10", "20", "6.2", "7"}, {"D", "10", "30", "2.4", "6.8"}, {"E", "20", "30", "2.1", "7.2"}}
	sheet := func(mask int, spaced bool) string {
		var b strings.Builder
		for i, r := range append([][]string{heads}, rows...) {
			for c, x := range r {
				if c > 0 {
					b.WriteString(",")
				}
				if c > 0 && mask>>(c-1)&1 == 1 {
					b.WriteString(",")
				}
				b.WriteString(x)
			}
			b.WriteString("\n")
			if spaced && i > 0 {
				b.WriteString(",,,,\n")
			}
		}
		return b.String()
	}
	answer := func(s string) (string, bool) {
		r := mustRead(t, "s.csv", s, Options{})
		out := ""
		for _, x := range r.Series {
			for _, j := range x.Jars {
				out += fmt.Sprint(j.Label, " ")
				for i := range j.Doses {
					out += fmt.Sprint(x.Chemicals[i].Name, " ", j.Doses[i].Concentration, " ")
				}
				read := map[jartest.Key]jartest.Reading{}
				j.Readings.Into(read)
				out += readingsText(read) + "\n"
			}
		}
		return out, len(loud(r)) > 0
	}
	want, _ := answer(sheet(0, false))
	for mask := range 16 {
		for _, spaced := range []bool{false, true} {
			if got, speaks := answer(sheet(mask, spaced)); got != want && !speaks {
				t.Errorf("%s:\n%s\nwant\n%s", sheet(mask, spaced), got, want)
			} else if got != want && mask&(mask-1) == 0 {
				t.Errorf("one empty column, and the table is not read: %s", sheet(mask, spaced))
			}
		}
	}
	for _, beside := range []string{",Bag,Polymer (mg/L)\n|,a,0.1\n|,b,0.2\n|,c,0.3\n", ",Jar,Polymer (mg/L)\n|,1,0.1\n|,2,0.2\n|,3,0.3\n"} {
		right := strings.Split(beside, "|")
		file := "Jar,Alum (mg/L),NTU," + right[0] + "1,10,30," + right[1] + "2,20,12," + right[2] + "3,30,5," + right[3]
		if r := mustRead(t, "s.csv", file, Options{}); len(r.Series) == 1 && len(r.Series[0].Chemicals) == 1 && len(loud(r)) == 0 {
			t.Errorf("doses beside the jars are silent: %s", file)
		}
	}
}
