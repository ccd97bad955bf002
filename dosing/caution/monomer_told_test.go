package caution

import (
	"testing"

	"jarwright/jartest/quantity"
)

// What a polymer brings of its monomer stands beside its limit where it passes too: 0.2 mg/L of product at 0.025 % are 0.05 ug/L of acrylamide, of
// the 0.10 that the EU lets it bring (Directive (EU) 2020/2184, Annex I B), and 12 mg/L at 0.012 % are 1.44 of 2 (40 CFR 141.111).
func TestPassingMonomerIsToldInItsOwnUnit(t *testing.T) {
	for _, x := range []struct {
		id, rules    string
		mgL, percent float64
		want         string
	}{
		{"apam-dry", "EU", 0.2, 0.025, "drinking water by its monomer, EU: it brings 0.05 ug/L of acrylamide, and 0.1 is the limit"},
		{"polyamine", "US", 12, 0.012, "drinking water by its monomer, US: it brings 1.44 ug/L of epichlorohydrin, and 2 is the limit"},
	} {
		d := dose(t, x.id, x.mgL, quantity.AsProduct)
		d.Monomer = known(quantity.Fraction(x.percent / 100))
		f := Review(Situation{Purpose: Drinking, Rules: x.rules, Water: beck(), Doses: []Dose{d}})
		if r := f.Residuals[0]; r.LimitName.String() != x.want || f.Stopped {
			t.Errorf("%s: %q, stopped %v", x.id, r.LimitName, f.Stopped)
		}
	}
}
