package sheet

import (
	"fmt"
	"testing"

	"jarwright/jartest"
)

// A column that is as many times another as its heading says was corrected already; where it is not,
// the factor is asked about and no other column takes its place.
func TestCorrectedColumns(t *testing.T) {
	for _, heads := range [][2]string{{"Meter reading, diluted (NTU)", "Turbidity, corrected x5 (NTU)"}, {"Turbidity as read (NTU)", "Turbidity x 5 (NTU)"}, {"NTU of 1:5 sample", "Turbidity × 5 (NTU)"}} {
		sheet := fmt.Sprintf("Jar,Alum (mg/L),%s,%s\n1,20,19.2,96\n2,40,12.4,62\n3,60,6.3,31.5\n4,80,2.2,11\n", quoted(heads[0]), quoted(heads[1]))
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{96, 62, 31.5, 11}) {
			t.Errorf("%s: %v", sheet, r.Notes)
		}
		sheet = fmt.Sprintf("Jar,Alum (mg/L),%s,%s\n1,20,19.2,96\n2,40,12.4,62\n3,60,6.3,30\n4,80,2.2,9\n", quoted(heads[0]), quoted(heads[1]))
		if r := mustRead(t, "s.csv", sheet, Options{}); len(loud(r)) == 0 {
			t.Errorf("%s: silent, %v", sheet, r.Notes)
		}
	}
}
