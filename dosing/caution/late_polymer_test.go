package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestPolymerThatPassesItsLimitLate: 20 m3 a day through a unit, of which what stays brings a loop of 20 m3 so much a day, and 0.4 m3 of new water a
// day draw it to fifty times that: the level is 50 d (1 - exp(-t/50)). Of 0.1 mg/L at a pass 5 are come to in the long run, and the 3.5 of the Environment
// Agency after -50 ln(1 - 0.7) = 60.2 days, on day 61; 0.069 comes to 3.45 and never passes it, of 0.2 it does after -50 ln(1 - 0.35) = 21.5 days.
func TestPolymerThatPassesItsLimitLate(t *testing.T) {
	for _, x := range []struct {
		mgL  float64
		says string
	}{{0.1, "past the limit on day 61"}, {0.069, ""}, {0.2, "past the limit on day 22"}} {
		s := Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "apam-dry", x.mgL, quantity.AsActive)}, Stock: stock(t, "trout"),
			Flow: quantity.Some(quantity.Flow(20.0 / 24)), Hours: 24, Loop: &Loop{Volume: 20000, Exchange: quantity.Some(quantity.Flow(0.4 / 24))}}
		said := ""
		for _, n := range Review(s).Notes {
			if n.Code == "anionic-high" {
				if said = n.Message; n.Level != note.Caution || !strings.Contains(said, quantity.To(quantity.Number(50*x.mgL), 3).String()+" mg/L may stay in the water in the long run") {
					t.Errorf("%v", n)
				}
			}
		}
		if (said == "") != (x.says == "") || !strings.Contains(said, x.says) {
			t.Errorf("%g mg/L: %q", x.mgL, said)
		}
	}
}
