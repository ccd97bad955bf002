package dosing

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestDayOfOtherWater: in storm water a feed goes by the dose for it, asked about at its own cell,
// of which what is fed on a usual day says nothing: 250 lb/d into 3 MGD are 9.99 mg/L, not 4000.
func TestDayOfOtherWater(t *testing.T) {
	s := exampleSite(t, func(v site.Values) {
		v["Flow"] = []map[string]string{{"average flow": "3 MGD"}}
		v["Chemicals"] = []map[string]string{{"name": "alum", "product": "alum-liquid", "fed a day": "250 lb/d", "basis": "as alum 14-hydrate",
			"dose in storm water": "4000 mg/L"}}
		v["Prices"] = nil
	})
	p := planOf(t, s, Given{Catalogue: products, Class: site.StormWater})
	f := p.Feeds[0]
	if got := float64(f.OfUsual()); got < 0.0024963 || got > 0.0024964 { // 9.98553 / 4000
		t.Errorf("the usual dose is %g of the storm's", got)
	}
	slips := p.doseSlips(s)
	i := slices.IndexFunc(slips, func(n note.Note) bool { return strings.Contains(n.Message, "4000 mg/L") })
	if i < 0 || strings.Contains(slips[i].Message, "fed a day") || slips[i].Place != s.Chemicals[0].Storm.At {
		t.Errorf("%v", slips)
	}
}
