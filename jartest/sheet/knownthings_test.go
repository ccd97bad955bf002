package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestLeftOverUnitsSpeak: a unit or a factor that is known and that nothing has used is asked about wherever
// a dose, a reading, a jar or the raw water has its words, although the answer stays.
func TestLeftOverUnitsSpeak(t *testing.T) {
	for _, unit := range []string{"mL", "m3", "ppb", "kg/ha", "×10", "÷10", "ln", "cfu"} {
		for _, c := range []struct{ sheet, cell, of string }{
			{"Jar,Alum # (mg/L),NTU", "B1", "a dose"}, {"Jar,Alum (mg/L #),NTU", "B1", "a dose"}, {"Jar,Alum (mg/L),Turbidity # (NTU)", "C1", "a reading"}, {"Jar,Alum (mg/L),Turbidity (NTU) #", "C1", "a reading"},
			{"Jar #,Alum (mg/L),NTU", "A1", "the labels"}, {"# Jar,Alum (mg/L),NTU", "A1", "the labels"},
			{"Raw # turbidity,41 NTU\nJar,Alum (mg/L),NTU", "A1", "the raw water"}, {"Raw turbidity,41 # NTU\nJar,Alum (mg/L),NTU", "B1", "the raw water"}, {"Raw turbidity 41 NTU #,\nJar,Alum (mg/L),NTU", "A1", "the raw water"},
		} {
			sheet := strings.ReplaceAll(c.sheet, "#", unit) + "\n1,0,41\n2,10,24\n3,20,12\n4,30,6\n"
			r := mustRead(t, "s.csv", sheet, Options{})
			row := c.cell[1:]
			if !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Level >= note.Caution && strings.HasSuffix(n.Place.Cell, row) }) {
				t.Errorf("%q beside %s is silent: %v\n%s", unit, c.of, r.Notes, sheet)
			}
		}
	}
}
