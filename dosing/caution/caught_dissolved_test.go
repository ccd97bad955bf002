package caution

import (
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestStatedCaptureIsOneAccount: 10 mg/L of alum 14-hydrate hold 2 x 26.982 / 594.37 x 10 = 0.908 mg/L of aluminium, which a pH of 7.3 can keep in
// solution: more than the criterion of soft water lets stand. Where nine tenths leave with the floc 0.0908 stays, below it: nothing is then said of
// what dissolves, as nothing is of what stays.
func TestStatedCaptureIsOneAccount(t *testing.T) {
	alum, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	for capture, says := range map[quantity.Fraction]bool{0: true, 0.9: false} {
		s := Situation{Water: Water{PH: known(quantity.PH(7.6)), Alkalinity: known(quantity.Alkalinity(100)), Temperature: known(quantity.Temperature(28)),
			Hardness: known(quantity.Concentration(100)), DOC: known(quantity.Concentration(4)), Salinity: known(quantity.Salinity(0))},
			Doses: []Dose{{Name: "alum", Product: alum, Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsAlum14},
				Capture: quantity.Known[quantity.Fraction]{V: capture, OK: capture > 0}}}}
		f := Review(s)
		if _, ok := codes(f.Notes)["al-dissolved"]; ok != says {
			t.Errorf("capture %v: %v", capture, f.Notes)
		}
	}
}
