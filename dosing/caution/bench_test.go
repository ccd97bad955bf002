package caution

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// What would stop a plan is a caution on a bench sheet: its remedy has every figure filled in, and nothing of
// a site's sheet Accepted. 32 mg/L of alum take 0.505·32 = 16.2 of 25 mg/L CaCO3 and leave 8.8, below 20 (Oregon's criterion).
func TestBenchStops(t *testing.T) {
	s := jartest.Series{Name: "soft", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.4, ""), jartest.AlkalinityKey: jartest.Num(25, "mg/L CaCO3")}}
	for _, n := range Bench(s, []quantity.Concentration{32}, product.Default()).Notes {
		if n.Code != "alkalinity-gone" {
			continue
		}
		if n.Level != note.Caution || strings.ContainsAny(n.Remedy, "{}") || strings.Contains(n.Remedy, "Accepted") || !strings.HasSuffix(n.Remedy, "; a plan stops on it") ||
			!strings.Contains(n.Remedy, "feed alkali first") || !strings.Contains(n.Message, "from 25 mg/L CaCO3 to 8.8") && !strings.Contains(n.Message, "from 25 to 8.8") {
			t.Errorf("%s: %q %q", n.Level, n.Message, n.Remedy)
		}
		return
	}
	t.Error("nothing said of alkalinity that is gone")
}
