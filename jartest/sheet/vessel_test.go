package sheet

import (
	"slices"
	"testing"
)

// TestStockAndWorkingSolution: the strength is that of the solution which the column names; where
// only the other one's is known, or the column names none, it asks.
func TestStockAndWorkingSolution(t *testing.T) {
	for _, c := range []struct {
		facts, head string
		dose        float64 // mg/L in the first jar of 1 L, 1 mL; 0 where it asks
	}{
		{"Stock: 5 g polymer per litre\nWorking solution: 10 mL stock made up to 100 mL\n", "Working solution (mL)", 0.5}, // 5 g/L x 10/100
		{"Alum stock 50 g/L\nWorking solution: 10 mL of it made up to 100 mL\n", "Working solution (mL)", 5},
		{"Alum stock 50 g/L\nWorking solution: 5 g/L\n", "Working solution (mL)", 5},
		{"Alum stock 50 g/L\nWorking solution: 5 g/L\n", "Stock (mL)", 50},
		{"Alum stock 50 g/L\nWorking solution: 5 g/L\n", "mL added", 0},
		{"Alum stock 50 g/L\n", "Working solution (mL)", 0},
		{"Alum stock 50 g/L\n", "Stock (mL)", 50},
		{"Stammlösung Alaun 50 g/L\nGebrauchslösung: 5 g/L\n", "Gebrauchslösung (mL)", 5},
		{"Alum working solution 5 g/L\n", "Working solution (mL)", 5},
		{"Alum working solution 5 g/L\n", "Stock (mL)", 5},
	} {
		r := mustRead(t, "s.csv", c.facts+"Jars 1 L\n\nJar,"+c.head+",NTU\n1,1,20\n2,2,12\n3,3,8\n", Options{})
		if c.dose == 0 {
			if !slices.ContainsFunc(loud(r), func(s string) bool { return s == "solution-of-which" || s == "facts-disagree" }) {
				t.Errorf("%q, %s: does not ask: %v", c.facts, c.head, r.Notes)
			}
			continue
		}
		if len(r.Series) != 1 || !same(float64(r.Series[0].Jars[0].Doses[0].Concentration), c.dose) {
			t.Errorf("%q, %s: want %v: %v %v", c.facts, c.head, c.dose, r.Series, r.Notes)
		}
	}
}
