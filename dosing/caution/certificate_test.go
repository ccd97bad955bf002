package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestCationicPolymerAsksForItsCertificate: NSF/ANSI/CAN 60 and EN 1408 to 1410 (from memory, not checked) let cationic polymers into drinking water
// up to a most dose and with so much monomer at most. It is said once for all of them, in drinking water alone, and not of what is not dosed, is
// anionic, or has the monomer content of its certificate entered.
func TestCationicPolymerAsksForItsCertificate(t *testing.T) {
	aid := func(id string, mgL float64) Dose { return dose(t, id, mgL, quantity.AsProduct) }
	known := aid("polydadmac", 1.5)
	known.Monomer = quantity.Some(quantity.Fraction(0.0002))
	for _, x := range []struct {
		name    string
		purpose Purpose
		doses   []Dose
		want    string
	}{
		{"one", Drinking, []Dose{aid("polydadmac", 1.5)}, "polydadmac solution: "},
		{"two", Drinking, []Dose{aid("polydadmac", 1.5), aid("cpam-dry", 0.1)}, "polydadmac solution and cationic polyacrylamide powder: "},
		{"anionic", Drinking, []Dose{aid("apam-dry", 0.1)}, ""},
		{"alum", Drinking, []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)}, ""},
		{"not dosed", Drinking, []Dose{aid("polydadmac", 0)}, ""},
		{"certificate entered", Drinking, []Dose{known}, ""},
		{"not for drinking", Situation{}.Purpose, []Dose{aid("polydadmac", 1.5)}, ""},
	} {
		var said []string
		for _, n := range Review(Situation{Purpose: x.purpose, Rules: "US", Water: beck(), Doses: x.doses}).Notes {
			if n.Code == "dw-polymer-certificate" {
				said = append(said, n.Message)
				if n.Level != note.Caution || !strings.Contains(n.Source, "NSF/ANSI/CAN 60") {
					t.Errorf("%s: %v", x.name, n)
				}
			}
		}
		if x.want == "" && said != nil || x.want != "" && (len(said) != 1 || !strings.HasPrefix(strings.ToLower(said[0]), x.want)) {
			t.Errorf("%s: %q", x.name, said)
		}
	}
}
