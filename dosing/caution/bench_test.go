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
	for _, n := range Bench(s, []quantity.Concentration{32}, nil, product.Default()).Notes {
		if n.Code != "alkalinity-gone" {
			continue
		}
		if n.Level != note.Caution || strings.ContainsAny(n.Remedy, "{}") || strings.Contains(n.Remedy, "Accepted") || !strings.HasSuffix(n.Remedy, "; where animals get the water a plan stops on it") ||
			!strings.Contains(n.Remedy, "feed alkali first") || !strings.Contains(n.Message, "from 25 mg/L CaCO3 to 8.8") && !strings.Contains(n.Message, "from 25 to 8.8") {
			t.Errorf("%s: %q %q", n.Level, n.Message, n.Remedy)
		}
		return
	}
	t.Error("nothing said of alkalinity that is gone")
}

// Where organic carbon is what a dose is there for, alkali goes in once the floc is out, on the bench and in a plan; against turbidity it
// goes first. 55 mg/L of alum take 0.505·55 = 27.8 of 45 mg/L CaCO3 and leave 17.2, below the 20 that works
// should have.
func TestAlkaliAfterTheFlocForCarbon(t *testing.T) {
	s := jartest.Series{Name: "reservoir", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(8.1, ""), jartest.AlkalinityKey: jartest.Num(45, "mg/L CaCO3")}}
	for text, after := range map[string]bool{"toc removal >= 45 %": true, "doc <= 2 mg/L": true, "turbidity <= 1 NTU": false, "": false} {
		var targets []jartest.Target
		if text != "" {
			var err error
			if targets, err = jartest.ParseTargets(text); err != nil {
				t.Fatal(err)
			}
		}
		said := 0
		for _, n := range Bench(s, []quantity.Concentration{55}, targets, product.Default()).Notes {
			if n.Code != "alkalinity-gone" && n.Code != "alkalinity-low" {
				continue
			}
			said++
			if strings.Contains(n.Remedy, "feed alkali once the floc is out") != after || strings.Contains(n.Remedy, "dose less") == after {
				t.Errorf("%q: %s", text, n.Remedy)
			}
		}
		if said != 1 {
			t.Errorf("%q: said %d times", text, said)
		}
	}
	f := Review(Situation{Purpose: Drinking, Carbon: true, Water: Water{PH: quantity.Some(quantity.PH(8.1)), Alkalinity: quantity.Some(quantity.Alkalinity(45))},
		Doses: []Dose{dose(t, "alum-liquid", 55, quantity.AsAlum14)}})
	for _, n := range f.All() {
		if n.Code == "alkalinity-low" && strings.HasPrefix(n.Remedy, "feed alkali once the floc is out") {
			return
		}
	}
	t.Errorf("%v", f.All())
}
