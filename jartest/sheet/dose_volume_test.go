package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// Volumes of a product per volume of water need its density, whatever share the heading gives it
// and however the unit is written; with the density they are what it weighs.
func TestVolumesOfAProductNeedItsDensity(t *testing.T) {
	for unit, litres := range map[string]float64{"mL/m3": 1e-6, "ml/m³": 1e-6, "L/1000 m3": 1e-6, "µL/L": 1e-6, "mL/100 L": 1e-5, "ppm v/v": 1e-6} {
		for _, name := range []string{"PAC 18%", "PACl 18 %", "Alum 48 %"} {
			sheet := "Jar," + name + " (" + unit + "),NTU\n1,0,23\n2,10,12\n3,20,4.5\n4,30,2.2\n"
			if r := mustRead(t, "s.csv", sheet, Options{}); len(r.Series) > 0 || !slices.Contains(loud(r), "density-missing") {
				t.Errorf("%s without density: %d series, %v", sheet, len(r.Series), r.Notes)
			}
			r := mustRead(t, "s.csv", sheet, Options{Density: quantity.Density(1.2)})
			if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 10 * litres * 1.2e6, 20 * litres * 1.2e6, 30 * litres * 1.2e6}) || r.Series[0].Chemicals[0].Basis != quantity.AsProduct {
				t.Errorf("%s with 1.2 kg/L: %v", sheet, r)
			}
		}
	}
}
