package dosing

import (
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestDearDisposalAsks: 55 EUR typed under a heading per kg are 55000 EUR a tonne; 0.4 EUR/kg dry and 55 EUR/m3 are usual.
func TestDearDisposalAsks(t *testing.T) {
	for price, asks := range map[quantity.Price]bool{
		{Amount: 55, Currency: "EUR", Per: "kg"}:      true,
		{Amount: 0.4, Currency: "EUR", Per: "kg dry"}: false,
		{Amount: 55, Currency: "EUR", Per: "m3"}:      false,
	} {
		s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(site.PriceDisposal), Price: quantity.Some(price)}}}
		if got := otherSlips(s); (len(got) > 0) != asks {
			t.Errorf("%v: %v", price, got)
		}
	}
}
