package sheet

import (
	"slices"
	"testing"
)

// Doses on the rows of a table that was taken: joined, said once more, or spoken of; never gone.
func TestDosesBesideATable(t *testing.T) {
	for _, c := range []struct {
		name, sheet string
		chemicals   int
		apart       bool
	}{
		{"an empty column", "Jar,Lime (mg/L),,Alum (mg/L),NTU\n1,0,,10,50\n2,5,,20,12\n3,9,,30,5\n", 2, false},
		{"an empty column and lines left free", "Jar,Lime (mg/L),,Alum (mg/L),NTU\n1,0,,10,50\n\n2,5,,20,12\n\n3,9,,30,5\n", 2, false},
		{"a list of two doses", "Jar,Alum (mg/L),NTU,,Lime (mg/L),Polymer (mg/L)\n1,10,50,,0,1\n2,20,12,,5,2\n3,30,5,,7,3\n", 1, true},
		{"a list that says the dose once more", "Jar,Alum (mg/L),NTU,,Alum (mg/L),Alum (mg/L)\n1,10,50,,10,10\n2,20,12,,20,20\n3,30,5,,30,30\n", 1, false},
		{"doses of other rows", "Jar,Alum (mg/L),NTU\n1,10,50\n2,20,12\n3,30,5\n\n\nJar,Lime (mg/L)\n1,3\n2,4\n3,5\n", 1, false},
	} {
		r := mustRead(t, "s.csv", c.sheet, Options{})
		if len(r.Series) == 0 || len(r.Series[0].Chemicals) != c.chemicals || len(r.Series[0].Jars) != 3 {
			t.Errorf("%s: %+v", c.name, r.Series)
			continue
		}
		if got := slices.Contains(loud(r), "doses-apart"); got != c.apart {
			t.Errorf("%s: says %v", c.name, loud(r))
		}
	}
}
