package compare

import (
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestEachSeriesByItsOwnWater: the pond's 140 mg/L CaCO3 and 45 NTU say nothing of the village's
// water, and the village's 120 NTU nothing of the pond's; the command line speaks for both.
func TestEachSeriesByItsOwnWater(t *testing.T) {
	pond := series("pond", "alum", quantity.AsAlum14, 6, 0, 5, 10, 15, 20, 25)
	village := series("village", "alum", quantity.AsAlum14, 6, 0, 5, 10, 15, 20, 25)
	bare := series("bare", "alum", quantity.AsAlum14, 6, 0, 5, 10, 15, 20, 25)
	pond.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(45, "NTU"), jartest.AlkalinityKey: jartest.Num(140, "mg/L CaCO3")}
	village.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(120, "NTU")}
	bare.Raw = nil
	for i := range bare.Jars {
		bare.Jars[i].Control = false // else it shows the raw water
	}
	all := []jartest.Series{pond, village, bare}
	facts := Facts{Catalogue: product.Default(), Disposal: day.Disposal{Price: eur(0.5, "kg dry")}}
	rows := func(f Facts) map[string]Row {
		options, w, _, err := Gather(all, fitted(t, all...), nil, f)
		if err != nil {
			t.Fatal(err)
		}
		c, err := Make(options, w, 0)
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]Row{}
		for _, r := range c.Rows {
			out[r.Name] = r
		}
		return out
	}
	got := rows(facts)
	for name, want := range map[string]struct {
		alkalinity quantity.Known[quantity.Alkalinity]
		removed    float64 // at 1.5 mg/L per NTU
	}{"pond": {quantity.Some[quantity.Alkalinity](140), 67.5}, "village": {removed: 180}, "bare": {}} {
		r := got[name]
		if r.Raw.Alkalinity != want.alkalinity || r.Raw.Removed.OK != (want.removed > 0) {
			t.Errorf("%s: %+v", name, r.Raw)
		}
		near(t, name+": removed", float64(r.Raw.Removed.V.Likely), want.removed)
		made := float64(r.Parts[0].Dose.Concentration) * float64(r.Parts[0].SolidsYield().Likely)
		near(t, name+": dry solids, kg", r.DrySolids.Likely.In("kg"), want.removed+made)
	}
	near(t, "left of 140", float64(got["pond"].AlkalinityLeft), 140-float64(got["pond"].AlkalinityUsed))
	if l := got["bare"].Unpriced.Names; len(l) == 0 || l[len(l)-1] != "the solids of its raw water" {
		t.Errorf("the cost of bare lacks %q", l)
	}
	facts.Raw = 60
	if r := rows(facts)["village"]; r.Raw.Alkalinity.V != 60 {
		t.Errorf("the command line's alkalinity: %+v", r.Raw)
	}
}
