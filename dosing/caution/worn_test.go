package caution

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestWornAsTheCatalogueSays: what is put on for a powder, when it is spread, spilt and opened, is one list a product, that of the catalogue: chemical goggles for alum, glasses
// for ground limestone, each with a dust mask.
func TestWornAsTheCatalogueSays(t *testing.T) {
	var s Situation
	want := map[string]string{"Aluminium sulfate": "chemical goggles, gloves, dust mask", "Agricultural lime": "glasses, dust mask"}
	for _, id := range []string{"alum-dry", "ag-lime"} {
		p, err := product.Default().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		s.Doses = append(s.Doses, Dose{Name: id, Product: p, Dose: quantity.Dose{Concentration: 5, Basis: quantity.AsProduct}})
	}
	told := map[string]int{}
	for _, n := range Review(s).Handling {
		for name, wear := range want {
			if n.Code != "handle-powder" && n.Code != "handle-spill-dry" || !strings.HasPrefix(strings.ToLower(n.Message), strings.ToLower(name)) {
				continue
			}
			if !strings.Contains(n.Message+" "+n.Remedy, wear) {
				t.Errorf("%s: %s: %s", n.Code, n.Message, n.Remedy)
			}
			told[name]++
		}
	}
	for name := range want {
		if told[name] != 2 {
			t.Errorf("%s: told %d times", name, told[name])
		}
	}
}

// TestEveryPowderHasAMask: what is told to keep the dust out is what the catalogue says to wear, so that this has a mask and something for the eyes; a polymer's
// has boots that do not slip.
func TestEveryPowderHasAMask(t *testing.T) {
	of := func(name string) family {
		return families[slices.IndexFunc(families, func(f family) bool { return f.name == name })]
	}
	seen := 0
	for _, p := range product.Default().All() {
		wear := p.Protection.Text
		if of("powder").has(p) {
			seen++
			if eyes := strings.Contains(wear, "goggles") || strings.Contains(wear, "glasses") || strings.Contains(wear, "face shield"); !eyes || !strings.Contains(wear, "dust mask") {
				t.Errorf("%s: %s", p.ID, wear)
			}
		}
		if of("slippery").has(p) && !strings.Contains(wear, "boots") {
			t.Errorf("%s: %s", p.ID, wear)
		}
	}
	if seen < 8 {
		t.Errorf("%d powders", seen)
	}
}

// TestLooksAreSaidOnce: the looks of every watch, and of a trial that runs for four days.
func TestLooksAreSaidOnce(t *testing.T) {
	if got := LooksSaid(Looks); got != "15 minutes, 1, 6 and 24 hours" {
		t.Error(got)
	}
	if got := LooksSaid(slices.Concat(Looks[1:], LaterLooks)); got != "1, 6, 24, 48, 72 and 96 hours" {
		t.Error(got)
	}
}
