package sheet

import (
	"fmt"
	"strings"
	"testing"
)

// A column that is a reading times a dilution is what the jars had, and is multiplied by nothing; one
// that is not is another reading, and something speaks.
func TestProductsOfColumns(t *testing.T) {
	meter, factor := []float64{21, 23, 18, 12, 9.5}, []int{20, 10, 5, 2, 1}
	for _, heads := range [][3]string{
		{"Meter reading (NTU)", "Dilution factor", "Turbidity corrected for dilution (NTU)"}, {"Meter NTU", "Dilution", "NTU"},
		{"Read turbidity (NTU)", "Dilution factor", "Turbidity (NTU)"}, {"Turbidity of diluted sample (NTU)", "Dilution factor", "Corrected turbidity (NTU)"},
	} {
		for _, order := range [][3]int{{0, 1, 2}, {1, 0, 2}, {2, 0, 1}, {2, 1, 0}} {
			for _, product := range []bool{true, false} {
				text := "Jar,Alum (mg/L)"
				for _, o := range order {
					text += "," + heads[o]
				}
				var want []string
				for i := range meter {
					y := meter[i] * float64(factor[i])
					want = append(want, fmt.Sprintf("%d:%g", 20*i, y))
					if !product {
						y *= 1 + 0.2*float64(i)
					}
					cells := [3]string{fmt.Sprint(meter[i]), fmt.Sprint(factor[i]), fmt.Sprint(y)}
					text += fmt.Sprintf("\n%d,%d,%s,%s,%s", i+1, 20*i, cells[order[0]], cells[order[1]], cells[order[2]])
				}
				r, err := Read("s.csv", strings.NewReader(text+"\n"), Options{})
				read := err == nil && len(r.Series) == 1 && pairsOf(r) == strings.Join(want, " ")
				if product && !read {
					t.Errorf("%s\nread as %s (%d series) %v", text, pairsOf(r), len(r.Series), r.Notes)
				}
				if !product && len(loud(r)) == 0 {
					t.Errorf("%s\nread as %s without a word", text, pairsOf(r))
				}
			}
		}
	}
}
