package month

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestStoreInOtherUnits: an account in pounds, gallons and ounces is the one in
// kg, L and g in all that has no unit, and converted in the rest. A pound is
// 0.45359237 kg, a gallon 3.785411784 L, both exact.
func TestStoreInOtherUnits(t *testing.T) {
	p := flat(12.5, 24, 10, quantity.Price{Amount: 1.25, Currency: "EUR", Per: "kg"})
	p.Chemicals[0].Stock, p.Chemicals[0].Density = 40000, 1.335
	p.Chemicals[0].Supply = Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, ShelfDays: 60, MinDays: 2, OpeningAge: 20, Fresher: []Lot{{Amount: 10, Age: 5}}}
	a := must(t, p).Accounts[0]
	const pound, gallon = 0.45359237, 3.785411784
	us := a.StoreIn(pound, gallon, pound/16)
	for name, factor := range map[string]float64{
		"pack": 1 / pound, "limit": 1 / pound, "opening": 1 / pound, "fresher": 1 / pound, "use": 1 / pound, "mean": 1 / pound, "safety": 1 / pound, "reorder": 1 / pound, "wasted": 1 / pound,
		"price_1": pound, "unit_price": pound, "unit_freight": pound, "density": gallon / pound, "stock": gallon / pound * 16 / 1000, "dilution": 1 / gallon, "water": pound / gallon,
		"goods": 1, "freight": 1, "to_pay": 1, "order": 1, "cover": 1, "earliest": 1, "age": 1, "newest_age": 1, "lead": 1, "shelf": 1,
	} {
		was, is := a.Store.Cell(name), us.Cell(name)
		if math.Abs(is-was*factor) > 1e-9*math.Max(1, math.Abs(is)) || was == 0 && name != "wasted" && name != "freight" && name != "unit_freight" {
			t.Errorf("%s: %g is %g, want %g", name, was, is, was*factor)
		}
	}
	for name, factor := range map[string]float64{"wanted": 1 / pound, "fresh": 1 / pound, "end": 1 / pound, "full": 1 / pound, "lack": 1 / pound, "packs": 1, "paid": 1, "date": 1, "order_by": 1} {
		for i := range a.Stock {
			was, is := a.Store.Row(name, i), us.Row(name, i)
			if math.IsNaN(was) != math.IsNaN(is) || math.Abs(is-was*factor) > 1e-9*math.Max(1, math.Abs(is)) {
				t.Errorf("%s on day %d: %g is %g, want %g", name, i, was, is, was*factor)
			}
		}
	}
	if us.Cell("parts") != 16 || a.Store.Cell("parts") != 1000 {
		t.Errorf("%g and %g parts", us.Cell("parts"), a.Store.Cell("parts"))
	}
	same := a.StoreIn(1, 1, 0.001)
	for i := range a.Stock {
		if same.Row("end", i) != a.Store.Row("end", i) {
			t.Errorf("day %d in kg ends with %g, not %g", i, same.Row("end", i), a.Store.Row("end", i))
		}
	}
}
