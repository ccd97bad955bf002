package sheet

import (
	"testing"

	"jarwright/jartest/quantity"
)

// What a title says that doses count is read or asked about, in whatever words; a name or a formula of the
// chemical says nothing of it.
func TestBasisInATitle(t *testing.T) {
	for says, asks := range map[string]bool{
		"Jar test (alum, by Al2O3)": true, "Пробное коагулирование (сульфат алюминия, по Al2O3)": true,
		"Siarczan glinu, w przeliczeniu na Al": true, "Alum. Concentrations refer to metal ion": true, "Ferric chloride, Fe": true,
		"Ferric chloride (FeCl3)": false, "Alum trial, Al Smith": false, "Jar test with alum, metal beakers": false, "Alum; pond 3": false,
	} {
		r := mustRead(t, "s.csv", says+"\n\nJar;Dose (mg/L);Turbidity (NTU)\n1;0;58\n2;12;31\n3;24;14\n4;36;6.2\n", Options{})
		if got := r.Series[0].Chemicals[0].Basis; got == quantity.NotStated && told(r, "basis-not-taken") > 0 != asks {
			t.Errorf("%s: %s, says %v", says, got, r.Notes)
		} else if got != quantity.NotStated && !asks {
			t.Errorf("%s: %s", says, got)
		}
	}
}

// A line that says another thing than the heading is told; one that says the same is not.
func TestProductInALineAgainstTheHeading(t *testing.T) {
	for says, twice := range map[string]bool{
		"All doses are mg/L of liquid alum product": true, "Liquid alum product doses": true, "All doses are mg/L as Al": false, "Liquid alum was bought in May": false,
	} {
		r := mustRead(t, "s.csv", says+"\n\nJar;Alum (mg/L as Al);Turbidity (NTU)\n1;0;58\n2;1;31\n3;2;14\n4;3;6.2\n", Options{})
		if got := told(r, "basis-twice") > 0; got != twice || r.Series[0].Chemicals[0].Basis != quantity.AsAl {
			t.Errorf("%s: %s, says %v", says, r.Series[0].Chemicals[0].Basis, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "All doses are mg/L of liquid alum product\n\nJar;Alum (mg/L);Turbidity (NTU)\n1;0;58\n2;10;31\n3;20;14\n", Options{})
	if got := r.Series[0].Chemicals[0].Basis; got != quantity.AsProduct {
		t.Errorf("product: %s, says %v", got, r.Notes)
	}
}
