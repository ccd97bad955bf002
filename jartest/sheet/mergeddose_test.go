package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/note"
)

// A dose that is merged over several rows is the dose of each of their jars, also where the first of them
// is left out: one test, whose labels number the repeats of each dose.
func TestMergedDoses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		levels := []float64{0, 15, 30, 45, 60}[:rapid.IntRange(2, 5).Draw(rt, "doses")]
		repeats := rapid.IntRange(2, 3).Draw(rt, "repeats")
		spilt := rapid.IntRange(-1, len(levels)*repeats-1).Draw(rt, "jar that was spilt")
		rows := [][]any{{"Alum (mg/L)", "Jar", "Turbidity (NTU)", "Remarks"}}
		var spans [][2]string
		var want []float64
		for i, x := range levels {
			for k := range repeats {
				row := []any{nil, string(rune('a' + k)), 60/float64(i+1) + float64(k), nil}
				if k == 0 {
					row[0] = x
				}
				if i*repeats+k == spilt {
					row[3] = "spilt, do not use"
				} else {
					want = append(want, x)
				}
				rows = append(rows, row)
			}
			spans = append(spans, [2]string{fmt.Sprintf("A%d", 2+i*repeats), fmt.Sprintf("A%d", 1+(i+1)*repeats)})
		}
		r, err := Read("s.xlsx", bytes.NewReader(merged(t, rows, spans...)), Options{})
		if err != nil || len(r.Series) != 1 {
			rt.Fatalf("%d series, %v, %v", len(r.Series), r.Notes, err)
		}
		if got := doses(r.Series[0], 0); !slices.Equal(got, want) {
			rt.Errorf("doses %v, want %v", got, want)
		}
		for _, n := range r.Notes {
			if n.Level > note.Info && n.Code != "jar-voided" {
				rt.Errorf("says %v", n)
			}
		}
	})
}
