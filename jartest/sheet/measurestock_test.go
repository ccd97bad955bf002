package sheet

import (
	"slices"
	"testing"
)

// TestThingsOfAStock: a line that gives a thing a volume of a stock states the strength of that as well, and more behind it. By hand: 2 mL of
// 10 g/L in 1 L are 20 mg/L.
func TestThingsOfAStock(t *testing.T) {
	for line, want := range map[string]struct {
		head string
		dose float64 // of the jar that got 2; 0 where it must ask
	}{
		"1 lid = 2 mL of alum stock 10 g/L; jars 1 L":                           {"Lids", 40},
		"1 lid = 2 mL; alum stock 10 g/L; jars 1 L":                             {"Lids", 40},
		"1 pump stroke = 0.5 mL of alum stock at 10 g/L; jars 1 L":              {"Strokes", 10},
		"1 lid = 2 mL of raw water; alum stock 10 g/L; jars 1 L":                {"Lids", 0},
		"stock dose = 2 mL; alum stock 10 g/L; jars 1 L":                        {"Dose", 0},
		"1 stroke = 0.5 mL of ferric at 10 g/L; 1 lid = 2 mL of alum at 10 g/L": {"Strokes", 0},
	} {
		r := mustRead(t, "s.csv", "Jar test\n"+line+"\nJar,"+want.head+",Turbidity (NTU)\n1,0,44\n2,2,30\n3,4,12\n4,6,4.5\n", Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = doses(r.Series[0], 0)[1]
		}
		if got != want.dose || (want.dose == 0) != (len(loud(r)) > 0) || want.dose > 0 && !slices.Equal([]string{r.Series[0].Chemicals[0].Name}, []string{"alum"}) {
			t.Errorf("%s: %g mg/L, want %g; says %v", line, got, want.dose, r.Notes)
		}
	}
}
