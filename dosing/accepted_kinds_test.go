package dosing

import (
	"testing"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestAcceptedByChemical: an acceptance that names its chemical counts for the stops
// about it, of polymers as of the water that all of them make, in a day and in a clean-up;
// one that names another chemical does not.
func TestAcceptedByChemical(t *testing.T) {
	for _, x := range []struct {
		code, chemical, other string
		change                func(s *site.Site)
	}{
		{"cationic-lethal", "polymer", "alum", func(s *site.Site) {
			s.Chemicals[1].Product, s.Chemicals[1].Dose = quantity.Some("cpam-dry"), quantity.Some(quantity.Concentration(2))
			s.Chemicals[1].DoseLow.OK, s.Chemicals[1].DoseHigh.OK, s.Chemicals[1].Capture.OK, s.Chemicals[1].Storm.OK = false, false, false, false
		}},
		{"alkalinity-gone", "alum", "", func(s *site.Site) {
			s.Water.Alkalinity = quantity.Some(quantity.Alkalinity(12))
		}},
	} {
		stops := func(chemical string) (day, cleaning bool) {
			s := crossing(t)
			x.change(&s)
			if chemical != "" {
				s.Accepted = []site.Acceptance{{Code: quantity.Some(x.code), Chemical: quantity.Some(chemical), By: quantity.Some("the manager"), Reason: quantity.Some("a trial")}}
			}
			in, err := FromSite(s, Given{Catalogue: product.Default()})
			if err != nil {
				t.Fatal(err)
			}
			p, err := Make(in)
			if err != nil {
				t.Fatal(err)
			}
			_, r := p.Reviewed(s, time.Time{})
			has := func(l note.List) bool {
				for _, n := range l.Only(note.Stop) {
					if n.Code == x.code {
						return true
					}
				}
				return false
			}
			c, err := CleaningFromSite(s, Given{Catalogue: product.Default()}, time.Time{})
			if err != nil {
				t.Fatal(err)
			}
			done, err := Clean(c)
			if err != nil {
				t.Fatal(err)
			}
			return has(r.Notes), has(done.Notes)
		}
		if day, _ := stops(""); !day {
			t.Errorf("%s does not stop the day at all", x.code)
		}
		if day, cleaning := stops(x.chemical); day || cleaning {
			t.Errorf("%s accepted for %s: day stopped %v, cleaning %v", x.code, x.chemical, day, cleaning)
		}
		if day, _ := stops(x.other); !day { // what the water has, all of them make: then no other is
			t.Errorf("%s accepted for %s passes", x.code, x.other)
		}
	}
}
