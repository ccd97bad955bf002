package month

import (
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// TestBuyByHand: a plant that uses 10 kg a day orders 30 days of it: 300 kg are 12 packs of
// 25 kg, in the price from 10 packs on; one worked on 15 days of a month of 30 orders 6.
func TestBuyByHand(t *testing.T) {
	eur := func(v float64, per string) quantity.Known[quantity.Price] {
		return quantity.Some(quantity.Price{Amount: v, Currency: "EUR", Per: per})
	}
	row := site.Price{Price: eur(2, "kg"), From2: quantity.Some(10), Price2: eur(1.5, "kg"), Pack: quantity.Some[quantity.Mass](25),
		Delivery: quantity.Some(quantity.Money{Amount: 60, Currency: "EUR"})}
	b, err := Buy(row, "alum", product.Product{}, 10)
	if err != nil || b.Order != (Order{"alum", 12, 25, 0, false, row.Delivery.V}) || b.Price.Amount != 1.5 || len(b.Notes) > 0 {
		t.Errorf("%+v, %v", b, err)
	}
	near(t, "60 EUR on 300 kg", b.Freight.Amount, 0.2)
	var half site.Site
	half.Place.Date = quantity.Some(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC))
	half.Flow.Average = quantity.Some[quantity.Flow](5)
	half.Calendar = []site.Day{{Runs: quantity.Some(false), From: half.Place.Date, Till: quantity.Some(time.Date(2026, 4, 15, 0, 0, 0, 0, time.UTC))}}
	if b, err = Buy(row, "alum", product.Product{}, Mean(half, catalogued, Month{}).Of("alum", 10, 120e3)); err != nil || b.Order.Packs != 6 || b.Price.Amount != 2 {
		t.Errorf("worked on half of the days: %+v, %v", b, err)
	}
	near(t, "60 EUR on 150 kg", b.Freight.Amount, 0.4)
	row.Delivery.OK, row.Delivery.V = false, quantity.Money{}
	if b, _ = Buy(row, "alum", product.Product{}, 10); b.Freight.Currency != "" {
		t.Errorf("freight that nobody gave: %v", b.Freight)
	}
	row.Price = eur(1.2, "L")
	if _, err = Buy(row, "powder", product.Product{Form: product.Dry, Density: product.Given[quantity.Density](0.6, "own")}, 1); err == nil {
		t.Error("a powder is priced by the litre")
	}
}

// TestGoodsThatSpoil: 0.2 kg a day of what keeps 10 days are 2 kg of a pack of 5, two and
// a half times what is used; the price stays that of a plan and a budget.
func TestGoodsThatSpoil(t *testing.T) {
	row := site.Price{Price: quantity.Some(quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"}), Pack: quantity.Some[quantity.Mass](5),
		Shelf: quantity.Some[quantity.Time](240)}
	b, err := Buy(row, "chitosan", product.Product{}, 0.2)
	n, ok := has(b.Notes, "goods-spoil")
	if err != nil || b.Price.Amount != 2 || !ok || !strings.Contains(n.Message,
		"of an order of 1 x 5 kg only 2 kg can be used in the 10 days that it keeps; what goes out of date is not in its price, and would make it 2.5 times as high") {
		t.Errorf("%+v, %v", b, err)
	}
	for _, quiet := range []site.Price{{Price: row.Price, Pack: row.Pack}, {Price: row.Price, Pack: quantity.Some[quantity.Mass](2), Shelf: row.Shelf}} {
		if b, _ := Buy(quiet, "chitosan", product.Product{}, 0.2); len(b.Notes) > 0 {
			t.Errorf("%+v: %v", quiet, b.Notes)
		}
	}
}

// TestNoPriceNoPack: a row without a price leaves its chemical out of the cost and is named,
// in the day and in the month; a liquid whose pack nobody gave is ordered by the amount.
func TestNoPriceNoPack(t *testing.T) {
	const others = `, {chemical: electricity, price: "0.3 EUR/kWh"}`
	for row, lacks := range map[string][]string{
		`{chemical: blend, pack: "25 kg", delivery: "10 EUR"}`: {"blend"}, `{chemical: make-up water, price: "2 EUR/m3"}`: {"blend"}, `{chemical: blend, price: "2 EUR/kg"}`: nil} {
		d := dayCost(t, row+others)
		if !slices.Equal(d.Lacks, lacks) || !d.Priced() {
			t.Errorf("%s: the day lacks %v", row, d.Lacks)
		}
	}
	b := must(t, flat(10, 10, 10, eurPerKg(1)))
	if got := b.Lacks(); got != nil {
		t.Errorf("lacks %v", got)
	}
	p := flat(10, 10, 10, eurPerKg(1))
	p.Chemicals[0].Prices.Tiers = nil
	if got := must(t, p).Lacks(); !slices.Equal(got, []string{p.Chemicals[0].Name}) {
		t.Errorf("without a price lacks %v", got)
	}
	// 100 m3 at 20 mg/L, half of it caught: 1 kg dry a day that goes to a bin, unless a price says what that costs.
	for price, lacks := range map[string][]string{`{chemical: blend, price: "2 EUR/kg"}`: {site.PriceDisposal},
		`{chemical: blend, price: "2 EUR/kg"}, {chemical: disposal of solids, price: "25 EUR/m3"}`: nil,
		`{chemical: blend, price: "2 EUR/kg"}, {chemical: disposal of solids, price: "0 EUR/m3"}`:  nil} {
		if d := dayCost(t, price, "bin: pit"); !slices.Equal(d.Lacks, lacks) {
			t.Errorf("%s with a bin: the day lacks %v", price, d.Lacks)
		}
	}
	p = flat(10, 10, 10, eurPerKg(1))
	p.Classes = []Class{{Name: "usual", Share: 1, Removed: solids.Range[quantity.Concentration]{Low: 10, Likely: 10, High: 10}}}
	p.Disposal = day.Disposal{DrySolids: 0.02, Bin: true}
	if got := must(t, p).Lacks(); !slices.Equal(got, []string{site.PriceDisposal}) {
		t.Errorf("a month with a bin lacks %v", got)
	}
	for _, x := range []struct {
		form  product.Form
		pack  quantity.Known[quantity.Mass]
		said  string
		loose bool
	}{
		{product.Liquid, quantity.Known[quantity.Mass]{}, "300 kg", true}, {product.Emulsion, quantity.Known[quantity.Mass]{}, "300 kg", true},
		{product.Dry, quantity.Known[quantity.Mass]{}, "12 x 25 kg", false}, {product.Liquid, quantity.Some[quantity.Mass](300), "1 x 300 kg", false},
	} {
		b, err := Buy(site.Price{Pack: x.pack}, "alum", product.Product{Form: x.form}, 10)
		if err != nil || b.Order.Loose != x.loose || b.Order.Said().String() != x.said || b.Price.Currency != "" {
			t.Errorf("%+v: %+v, %v", x, b, err)
		}
	}
}
