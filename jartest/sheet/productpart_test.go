package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A part of a heading that is a word for the product as sold is a basis, and no word that is not
// understood.
func TestProductAsSoldInAHeading(t *testing.T) {
	for _, said := range each("commercial product | producto comercial | produto comercial | produit commercial | prodotto commerciale | Handelsprodukt | Handelsware | handelsproduct | handelsvara | produkt handlowy | товарный продукт | produs comercial") {
		for _, form := range []string{"PAC, % (mg/L)", "PAC (%) (mg/L)", "PAC (mg/L, %)", "PAC (mg/L) (%)"} {
			head := strings.ReplaceAll(form, "%", said)
			r := mustRead(t, "s.csv", "Jar;\""+head+"\";NTU\n1;0;42\n2;10;12\n3;20;5\n4;30;4\n", Options{})
			if got := r.Series[0].Chemicals[0].Basis; got != quantity.AsProduct {
				t.Errorf("%s: %q, %v", head, got, loud(r))
			}
			for _, code := range loud(r) {
				if code == "heading-words" {
					t.Errorf("%s: %v", head, r.Notes)
				}
			}
		}
	}
	r := mustRead(t, "s.csv", "Jar;\"PAC, zorkprodukt (mg/L)\";NTU\n1;0;42\n2;10;12\n3;20;5\n", Options{})
	if r.Series[0].Chemicals[0].Basis == quantity.AsProduct || len(loud(r)) == 0 {
		t.Errorf("a word that is not known: %v", r.Notes)
	}
}
