package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestWhatTheSiteAsksFor: 20 mg/L of alum 14-hydrate take 20 x 6 x 50.04 / 594.4 = 10.1 mg/L as CaCO3 of 70, so that 59.9
// are left: enough where 50 are usual, or the site asks for 55, and a caution where it asks for 65.
func TestWhatTheSiteAsksFor(t *testing.T) {
	for floor, says := range map[quantity.Alkalinity]string{0: "", 55: "", 65: "from 70 to 59.9 mg/L CaCO3; the site should have 65"} {
		w := with(beck(), func(w *Water) {
			w.Alkalinity = quantity.Some(quantity.Alkalinity(70))
			w.Floor = quantity.Known[quantity.Alkalinity]{V: floor, OK: floor > 0, At: note.Place{Cell: "B7"}}
		})
		got := note.Note{}
		for _, n := range Review(Situation{Purpose: Drinking, Water: w, Doses: []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)}}).Notes {
			if n.Code == "alkalinity-low" {
				got = n
			}
		}
		if (got.Message == "") != (says == "") || !strings.Contains(got.Message, says) || says != "" && got.Cell != "B7" {
			t.Errorf("%v asked for: %q at %q, want %q", floor, got.Message, got.Cell, says)
		}
	}
}
