package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestNamesInFull: a name that says a strength is the site's chemical of that name, else the catalogue's, else another product than
// the short name's where that is not sold so strong (PACl of 9.5 to 11 % or 16 to 19 % Al2O3, as the catalogue has it); of a bench stock it says nothing.
func TestNamesInFull(t *testing.T) {
	own := site.Site{Chemicals: []site.Chemical{{Name: quantity.Some("PACl 14 %"), Product: quantity.Some("pacl-10")}}}
	for _, x := range []struct {
		said, want, asks string
		site             *site.Site
		stock            quantity.Concentration
	}{
		{said: "PACl", want: "PACl"},
		{said: "PACl 10 %", want: "PACl"},
		{said: "PACl 18 %", want: "PACl 18 %"},
		{said: "pacl-18", want: "pacl-18"},
		{said: "PACl 14 %", want: "PACl 14 %", asks: "another product"},
		{said: "PACl 14 %", want: "PACl 14 %", site: &own},
		{said: "polyaluminium chloride 18 %", want: "polyaluminium chloride 18 %", asks: "pacl-18, if it is that"},
		{said: "PACl 1 %", want: "PACl", stock: 10000},
	} {
		series := []jartest.Series{{Chemicals: []jartest.Chemical{{Name: "PACl", Said: x.said, Stock: x.stock}}}}
		notes := InFull(series, x.site, product.Default())
		if got := series[0].Chemicals[0].Name; got != x.want {
			t.Errorf("%q is called %q, want %q", x.said, got, x.want)
		}
		if (len(notes) > 0) != (x.asks != "") || len(notes) > 0 && !strings.Contains(notes[0].Message+notes[0].Remedy, x.asks) {
			t.Errorf("%q: %v, want %q", x.said, notes, x.asks)
		}
	}
}
