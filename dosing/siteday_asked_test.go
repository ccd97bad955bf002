package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestCurrencyOfTheSite: a site that counts in one currency and has prices in another is asked about, once and with each of them.
func TestCurrencyOfTheSite(t *testing.T) {
	asked := func(change ...[3]string) (found note.List) {
		for _, n := range Asked(crossing(t, change...), Given{Catalogue: product.Default()}) {
			if n.Code == "currency-differs" {
				found.Add(n)
			}
		}
		return found
	}
	if found := asked(); len(found) > 0 {
		t.Errorf("the example: %v", found)
	}
	found := asked([3]string{"Prices", "price", "0.42 USD/kg"})
	if len(found) != 1 || found[0].Level != note.Caution || found[0].Cell == "" || !strings.Contains(found[0].Message, "the site counts in EUR, and prices stand in another currency: alum in USD") {
		t.Errorf("%v", found)
	}
	if found := asked([3]string{"Place", "currency", "USD"}); len(found) != 1 || !strings.Contains(found[0].Message, "alum in EUR, polymer in EUR") {
		t.Errorf("%v", found)
	}
}

// TestDisposalSlips: a price of disposal a thousand times off, or tenfold beyond what is usual, is asked about wherever it was given.
func TestDisposalSlips(t *testing.T) {
	for price, asks := range map[string]bool{"30 EUR/m3": false, "120 EUR/t": false, "400 EUR/t dry": false, "0.4 EUR/kg dry": false, "3000 EUR/m3": true, "0.03 EUR/m3": true,
		"30 EUR/kg": true, "400 EUR/kg dry": true, "0.4 EUR/t dry": true, "40000 EUR/t dry": true} {
		p, err := quantity.ParsePrice(price)
		if err != nil {
			t.Fatal(price, err)
		}
		if found := AskedOfDisposal(p); (len(found) > 0) != asks {
			t.Errorf("%s: %v", price, found)
		}
	}
}
