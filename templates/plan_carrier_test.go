package templates

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// A carrier that has more alkalinity than the coagulant has acidity says by how much: 0.19 and 1.85 times it.
func TestCarrierBeyondAllAcidity(t *testing.T) {
	for share, want := range map[quantity.Fraction]string{0.19: "takes 19 % of its acidity", 1: "takes 100 % of its acidity",
		1.85: "could take 185 % of its acidity"} {
		c := figure.New(acidityUsed(share), figure.Of("most", figure.Fixed{Q: quantity.Flow(0.1), Unit: "L/h"}, "L/h", 2),
			figure.Of("litre_of_line", quantity.Time(0.01), "s", 2))
		if got := (Options{}).Show(carrierWords(c)); !strings.Contains(got, want) {
			t.Errorf("%g: %s", share, got)
		}
	}
}
