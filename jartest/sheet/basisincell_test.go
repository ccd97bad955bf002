package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// TestBasisInACellOfItsOwn: what the doses count stands behind the chemical in a cell of its own, whatever it
// is; a cell that says more than that is no basis, and one that may be speaks.
func TestBasisInACellOfItsOwn(t *testing.T) {
	for cell, want := range map[string]quantity.Basis{
		"as alum 14-hydrate": quantity.AsAlum14, "as alum 18-hydrate": quantity.AsAlum18, "as dry alum": quantity.AsAlum14, "as product": quantity.AsProduct, "as Al": quantity.AsAl,
		"sold as alum 14-hydrate": "", "stronger than as alum 14-hydrate": "", "300 EUR/t as alum 14-hydrate": "",
	} {
		head := "NTU"
		if want == "" {
			head = "Turbidity (NTU)"
		}
		r := mustRead(t, "s.csv", "Jar test\nCoagulant,alum,"+cell+"\n\nJar,Alum (mg/L),"+head+"\n1,0,30\n2,10,20\n3,20,8\n4,30,3\n", Options{})
		if got := r.Series[0].Chemicals[0].Basis; got != want {
			t.Errorf("%q: %q, want %q", cell, got, want)
		}
		if spoke := slices.Contains(loud(r), "basis-not-taken"); spoke != (want == "" && cell[0] == 's') || want != "" && len(loud(r)) > 0 {
			t.Errorf("%q: %v", cell, r.Notes)
		}
	}
}
