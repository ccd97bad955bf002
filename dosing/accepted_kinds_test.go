package dosing

import (
	"slices"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestAcceptedByChemical: an acceptance that names its chemical counts for the stops
// about it, of polymers as of the water that all of them make, in a day and in a clean-up, which
// stops by the same code; one that names another chemical does not.
func TestAcceptedByChemical(t *testing.T) {
	for _, x := range []struct {
		day, tank, chemical, other string
		change                     func(s *site.Site)
	}{
		{"cationic-lethal", "polymer-stocked", "polymer", "alum", func(s *site.Site) {
			s.Chemicals[1].Product, s.Chemicals[1].Dose = quantity.Some("cpam-dry"), quantity.Some(quantity.Concentration(2))
			s.Chemicals[1].DoseLow.OK, s.Chemicals[1].DoseHigh.OK, s.Chemicals[1].Storm.OK = false, false, false
			s.Chemicals[1].Capture = quantity.Some(quantity.Fraction(0))
		}},
		{"alkalinity-gone", "alkalinity-gone", "alum", "", func(s *site.Site) { // all of them make what the water has: then no other is
			s.Water.Alkalinity = quantity.Some(quantity.Alkalinity(12))
		}},
	} {
		for _, accepted := range []string{"", x.chemical, x.other} {
			s := crossing(t)
			x.change(&s)
			for _, code := range []string{x.day, x.tank} {
				if accepted != "" {
					s.Accepted = append(s.Accepted, site.Acceptance{Code: quantity.Some(code), Chemical: quantity.Some(accepted),
						By: quantity.Some("the manager"), Reason: quantity.Some("a trial")})
				}
			}
			r, c := judged(t, s)
			day, tank := slices.Contains(stopCodes(r.Notes), x.day), slices.Contains(stopCodes(c.Notes), x.tank)
			if want := accepted != x.chemical; day != want || tank != want {
				t.Errorf("%s accepted for %q: day stopped %v, clean-up %v", x.day, accepted, day, tank)
			}
		}
	}
}

// stopCodes are the codes of the stops in a list.
func stopCodes(l note.List) (codes []string) {
	for _, n := range l.Only(note.Stop) {
		codes = append(codes, n.Code)
	}
	return codes
}
