package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestFedByHandWhileNobodyIsThere: of a day round the clock the ten hours from 20 to 6 are nobody's; of one from 7 to 17 with somebody there from 6 to 20 none,
// and of one from 4 to 22 the four before 6 and after 20. What a pump feeds goes on by itself.
func TestFedByHandWhileNobodyIsThere(t *testing.T) {
	alum, err := product.Default().Find("alum-dry")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		from, to quantity.Time
		want     string
	}{{0, 24, "in 10 h of the 24 h"}, {7, 17, ""}, {4, 22, "in 4 h of the 18 h"}} {
		p, err := Make(Input{Day: steady(t, 2, x.from, x.to), Start: 6, Staffed: flow.Hours{{From: 6, To: 20}}, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: alum}}}})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, n := range p.Feeds[0].Notes {
			if n.Code == "hand-unstaffed" {
				said = n.Message
			}
		}
		if (said == "") != (x.want == "") || !strings.Contains(said, x.want) {
			t.Errorf("%v to %v: %q, want %q", x.from, x.to, said, x.want)
		}
	}
}
