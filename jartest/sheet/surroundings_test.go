package sheet

import (
	"testing"

	"jarwright/jartest"
)

// TestSurroundings: the air, the balance and purified water touch no jar and are quiet; what is
// like them and touches one speaks. Nothing of it is the water's.
func TestSurroundings(t *testing.T) {
	for line, speaks := range map[string]bool{
		"Ambient 18.5 C": false, "Ambient,18.5 C": false, "Ambient: 18.5 °C": false, "Room temperature 18.5 C": false, "Ambient temperature,18": false, "Ambient,18.5,C": false,
		"Scale 0.1 g": false, "Scale,0.1 g": false, "Balance resolution,0.1 g": false, "Balance,0.01,g": false, "Scale reads to 0.1 g": false,
		"Reversed osmosis,yes": false, "Reversed osmosis water in the stock": false,
		"Scale,0.1": true, "Scale: 10": true, "Balance reads 0.5 g": true, "Scale reads 0.2 g empty": true, "Reversed order": true, "Jars reversed": true,
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", line, ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		if said := cautionsOf(r); (said != "") != speaks {
			t.Errorf("%s: says %q, want it quiet: %v\n%v", line, said, !speaks, r.Notes)
		}
		if x, ok := r.Series[0].Raw[jartest.TemperatureKey]; ok {
			t.Errorf("%s: raw water at %g", line, x.Value)
		}
	}
}
