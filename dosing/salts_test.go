package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestSaltsOfARun: 2.24 passes of 200 mg/L of gypsum are 448 mg/L in the tank, by formula weights (CaSO4.2H2O 172.17, SO4 96.06,
// Ca 40.08) 0.9 x 250.0 = 225 mg/L of sulfate and 0.9 x 104.3 = 94 of calcium at the 90 % that its bags hold.
func TestSaltsOfARun(t *testing.T) {
	gypsum, err := product.Default().Find("gypsum")
	if err != nil {
		t.Fatal(err)
	}
	c := Cleaning{CleaningInput: CleaningInput{Products: []product.Product{gypsum}, Tank: clarify.Tank{Chemicals: []clarify.Chemical{{Name: "gypsum", Basis: quantity.AsProduct}}}}}
	pure := float64(gypsum.Strength.V)
	for ion, want := range map[string]float64{"sulfate": 448 * pure * 96.06 / 172.17, "calcium": 448 * pure * 40.08 / 172.17} {
		found := 0.0
		for _, s := range caution.IonsOf(c.until(clarify.Moment{Residuals: []clarify.Residual{{Worst: 448}}})) {
			if s.Ion == ion {
				found = float64(s.PerPass)
			}
		}
		if !(math.Abs(found-want) < 0.005*want) {
			t.Errorf("%s %g, want %g", ion, found, want)
		}
	}
}
