package compare

import (
	"strings"
	"testing"

	"jarwright/dosing/day"
	"jarwright/jartest/quantity"
)

// TestUncountedDose: a dose that does not say what it counts has no product, no cost and no
// place, though its price is given; it is said what is missing, and no price is asked for.
func TestUncountedDose(t *testing.T) {
	price := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: "USD", Per: "kg"} }
	part := func(name string, b quantity.Basis, p quantity.Price) Part {
		return Part{Chemical: name, Dose: quantity.Dose{Concentration: 30, Basis: b}, Price: p, Freight: price(0.05), Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](1)}}
	}
	c, err := Make([]Option{
		{Name: "bare", Outcome: "found", Parts: []Part{part("alum", quantity.NotStated, price(0.1))}},
		{Name: "stated", Outcome: "found", Parts: []Part{part("ferric", quantity.AsProduct, price(0.5))}},
		{Name: "no price", Outcome: "found", Parts: []Part{part("PACl", quantity.AsProduct, quantity.Price{})}},
	}, Water{Currency: "EUR"}, 0)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]Row{}
	for _, r := range c.Rows {
		rows[r.Name] = r
	}
	// 30 mg/L as product is 30 kg in 1000 m3, at 0.50 and 0.05 USD/kg 16.50 USD.
	if r := rows["stated"]; c.Rows[0].Name != "stated" || !r.Priced || !r.Counted || r.Total.Amount < 16.4999 || r.Total.Amount > 16.5001 {
		t.Errorf("%+v", r)
	}
	if r := rows["bare"]; r.Priced || r.Counted || strings.Join(r.Unpriced.Names, "|") != "what the dose of alum counts" || strings.Join(r.Unpriced.flags(), "|") != "--basis" {
		t.Errorf("%+v", r)
	}
	if r := rows["no price"]; r.Priced || !r.Counted || strings.Join(r.Unpriced.flags(), "|") != "--price" {
		t.Errorf("%+v", r)
	}
	var asked []string
	for _, n := range c.Notes {
		if n.Code == "no-price" {
			asked = append(asked, n.Error())
		}
	}
	if len(asked) != 1 || !strings.HasPrefix(asked[0], "PACl has no price, so no price cannot be placed by cost; it would cost less than stated as long as") ||
		!strings.Contains(asked[0], `--price "PACl=0.42 USD/kg"`) {
		t.Errorf("%q", asked)
	}
}
