package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// A row of names and their values above the headings is facts, with colons or without, on the
// line before them or beyond a blank one; a heading far above a blank line heads no column.
func TestRowOfFactsAboveTheHeadings(t *testing.T) {
	const jars = "Jar,Dose (mg/L),Turbidity (NTU),pH\n1,0,28,7.4\n2,20,15,7.2\n3,40,7,7.0\n4,60,3,6.9\n5,80,2.5,6.7\n6,100,3.5,6.5\n"
	for _, row := range []string{
		"Chemical:,Ferric sulfate,Dose basis:,as product",
		"Chemical,Ferric sulfate,Dose basis,as product",
		"Dose basis:,as product,Chemical:,Ferric sulfate",
	} {
		for _, gap := range []string{"\n", "\n\n"} {
			r := mustRead(t, "s.csv", row+gap+jars, Options{})
			if len(r.Series) != 1 || len(r.Series[0].Chemicals) != 1 || len(loud(r)) > 0 {
				t.Errorf("%q: %d series, %v", row+gap, len(r.Series), r.Notes)
				continue
			}
			s := r.Series[0]
			if c := s.Chemicals[0]; c.Name != "ferric sulfate" || c.Basis != quantity.AsProduct {
				t.Errorf("%q: %s as %s", row+gap, c.Name, c.Basis)
			}
			var labels []string
			for _, j := range s.Jars {
				labels = append(labels, j.Label)
			}
			if got := doses(s, 0); !slices.Equal(got, []float64{0, 20, 40, 60, 80, 100}) || !slices.Equal(labels, []string{"1", "2", "3", "4", "5", "6"}) {
				t.Errorf("%q: doses %v of jars %v", row+gap, got, labels)
			}
		}
	}
	r := mustRead(t, "s.csv", "Turbidity,pH,Alum,Dose\n\n"+jars, Options{})
	if len(r.Series) != 1 || !slices.Equal(doses(r.Series[0], 0), []float64{0, 20, 40, 60, 80, 100}) || r.Series[0].Jars[1].Readings.Of(jartest.Turbidity).Value != 15 {
		t.Errorf("headings beyond a blank line: %v", r.Notes)
	}
}
