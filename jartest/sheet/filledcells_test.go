package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestEveryFilledCellCounts: of a column of readings or doses each filled cell gives a number or is named.
func TestEveryFilledCellCounts(t *testing.T) {
	for _, cell := range []string{"? 12", "÷10 12", "/100 12", "spilled 12", "12 /120", "12 /10", "ignore 12", "12 (ignore)", "x10 12", "half 12", "12 twice", "mL 12", "12 kg/ha", "verschüttet 12", "12 & 60", "wrong 12", "about half of 12"} {
		for column, place := range map[string]string{"Jar,Alum (mg/L),NTU\n1,0,41\n2,10,24\n3,20,#\n4,30,6\n5,40,4\n": "C4", "Jar,Alum (mg/L),NTU\n1,0,41\n2,10,24\n3,#,12\n4,30,6\n5,40,4\n": "B4"} {
			sheet := strings.ReplaceAll(column, "#", cell)
			r, err := Read("s.csv", strings.NewReader(sheet), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Level >= note.Caution && n.Place.Cell == place }) {
				t.Errorf("nothing is said of %q at %s: %v\n%s", cell, place, r.Notes, answer(r))
			}
		}
	}
}
