package sheet

import (
	"strings"
	"testing"
)

// TestDoseUnitBeside: what a sheet says of the unit of the doses is applied to a bare heading,
// and held against one that has a unit.
func TestDoseUnitBeside(t *testing.T) {
	for _, c := range []struct {
		above, head string
		dose        float64 // mg/L of the jar with 20
		says        string
	}{
		{"All doses are in mg/L.", "Dose", 20, ""},
		{"Dose units,mg/L", "Dose", 20, ""},
		{"Unidad de dosis,mg/L", "Dosis", 20, ""},
		{"Doses in µg/L.", "Dose", 0.02, ""},
		{"Dose in,mg per 500 mL", "Dose", 40, ""}, // 20 mg in half a litre
		{"Doses are in grains per gallon.", "Dose", 342.361220904, ""},
		{"Dose unit,mL/L", "Dose", 0, "dose-unit"},
		{"Dose unit,kg/d", "Dose", 0, "dose-unit"},
		{"Dose units,mg/L", "Dose (mg/L)", 20, ""},
		{"Unit of dose,ppm", "Dose (mg/L)", 20, ""},
		{"Dose units,mL/L", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Einheit der Dosis,g/L", "Dosis (mg/L)", 20, "dose-unit-twice"},
		{"Units,mg per 2 L", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Dose unit,mL of 1 % stock", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"mL of 1% alum", "Dose (mg/L)", 20, "dose-unit-twice"},
		{"Turbidity unit,NTU", "Dose (mg/L)", 20, ""},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", c.above, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		got := 0.0
		if len(r.Series) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		if said := cautionsOf(r); !equal([]float64{got}, []float64{c.dose}) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s above %s: %g mg/L, says %q; want %g, %q\n%v", c.above, c.head, got, said, c.dose, c.says, r.Notes)
		}
	}
}
