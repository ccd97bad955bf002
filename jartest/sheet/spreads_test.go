package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// TestReadingsWithTheirDeviations: a heading that names both is that of the readings.
func TestReadingsWithTheirDeviations(t *testing.T) {
	for _, head := range []string{"NTU ± SD", "Turbidity ± SD (NTU)", "Turbidity (NTU) ± s.d.", "NTU (+/- SD)"} {
		r, err := Read("s.csv", strings.NewReader("Jar,Alum (mg/L),"+head+"\n1,0,41 ± 2\n2,10,24 ± 1\n3,20,12 ± 1\n4,30,6 ± 0.4\n"), Options{})
		if err != nil || len(r.Series) != 1 || r.Notes.Worst() >= note.Caution {
			t.Fatalf("%s: %v %v", head, err, r.Notes)
		}
		for i, want := range [][2]float64{{41, 2}, {24, 1}, {12, 1}, {6, .4}} {
			x := r.Series[0].Jars[i].Readings.Of(jartest.Turbidity)
			if x.State != jartest.Number || x.Value != want[0] || x.SD != want[1] {
				t.Errorf("%s: jar %d reads %v ± %v, want %v", head, i+1, x.Value, x.SD, want)
			}
		}
	}
	r, _ := Read("s.csv", strings.NewReader("Jar,Alum (mg/L),NTU,SD\n1,0,41,2\n2,10,24,1\n3,20,12,1\n"), Options{})
	if x := r.Series[0].Jars[0].Readings.Of(jartest.Turbidity); x.Value != 41 || x.SD != 2 {
		t.Errorf("a deviation in a column of its own: %v ± %v", x.Value, x.SD)
	}
}
