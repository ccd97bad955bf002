package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A strength and a density of the product both count: volumes of it are the product, or what is in it
// where a stock is said to be of that strength by mass. A share by mass without a density is asked about.
func TestStrengthBesideADensity(t *testing.T) {
	doses := "\n\nJar;Dose (µL/L);NTU\n1;0;42\n2;10;12\n3;20;5\n4;30;4\n"
	read := func(facts string) (float64, quantity.Basis, []string) {
		r, err := Read("s.csv", strings.NewReader(facts+doses), Options{})
		if err != nil || len(r.Series) == 0 {
			return 0, quantity.NotStated, loud(r)
		}
		s := r.Series[0]
		return float64(s.Jars[1].Doses[0].Concentration), s.Chemicals[0].Basis, loud(r)
	}
	for _, name := range each("Ferric chloride | Alum | PACl") {
		for _, form := range []string{"%s solution %g %%", "%s solution %g %% w/w", "%s %g %%", "Product: %s solution %g %%"} {
			for _, strength := range []float64{18, 40, 48} {
				for _, density := range []float64{1.2, 1.42} {
					facts := fmt.Sprintf(form, name, strength) + fmt.Sprintf("\nDensity %g kg/L", density)
					// 10 µL of a liquid of so many kg/L in each litre
					if dose, basis, says := read(facts); len(says) == 0 && (math.Abs(dose-10*density) > 1e-6 || basis != quantity.AsProduct) {
						t.Errorf("%s: %g %v", facts, dose, basis)
					} else if dose != 0 && math.Abs(dose-10*density) > 1e-6 && math.Abs(dose-10*density*strength/100) > 1e-6 {
						t.Errorf("%s: %g, the density is lost", facts, dose)
					}
				}
				if dose, _, says := read(fmt.Sprintf("%s stock solution %g %% w/w", name, strength)); dose != 0 || len(says) == 0 {
					t.Errorf("%s %g %% w/w: %g without a density, %v", name, strength, dose, says)
				}
			}
		}
	}
}
