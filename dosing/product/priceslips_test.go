package product

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestPriceSlips: a price is asked about by what the product acts by and by the pack. By
// hand: 16 USD/lb is 16 / 0.4536 = 35.27 USD/kg; 310 EUR/t is 0.31 EUR/kg; 1 L of
// the liquid alum is 1.335 kg, so that 3.4 EUR/L is 2.547 EUR/kg and 3.3 EUR/L 2.472; 2.5 USD/kg is 1.134 USD/lb.
func TestPriceSlips(t *testing.T) {
	for _, x := range []struct {
		id, price string
		pack      float64
		says      string // empty: nothing
	}{
		{"alum-liquid", "0.16 USD/lb", 5000, ""},
		{"alum-liquid", "16 USD/lb", 5000, "a price of 16 USD/lb is more than is usual of aluminium sulfate solution (liquid alum) in such packs (0.01814 USD/lb to 1.134 USD/lb)"},
		{"alum-liquid", "16 USD/lb", 5000, "did you mean 0.16 USD/lb?"}, // 1.6 USD/lb is 3.53 USD/kg
		{"alum-liquid", "16 USD/lb", 0, "did you mean 1.6 USD/lb?"},
		{"alum-liquid", "310 EUR/t", 1000, ""},
		{"alum-liquid", "310 EUR/kg", 1000, "did you mean 0.31 EUR/kg, or 310 EUR/pack?"},
		{"alum-liquid", "310 EUR/kg", 0, "did you mean 3.1 EUR/kg, or 310 EUR/t?"},
		{"alum-liquid", "3.3 EUR/L", 1000, ""},
		{"alum-liquid", "3.4 EUR/L", 1000, "more"},
		{"alum-liquid", "3.4 EUR/L", 199, ""},
		{"alum-liquid", "0.03 EUR/kg", 200, "less than is usual"},
		{"alum-liquid", "0.04 EUR/kg", 200, ""},
		{"alum-liquid", "0 EUR/kg", 200, ""},
		{"alum-liquid", "310 JPY/kg", 1000, ""},
		{"alum-liquid", "0.31 EUR/pack", 1000, "did you mean 310 EUR/pack, or 0.31 EUR/kg?"}, // 0.00031 EUR/kg; 100 times is 0.031
		{"apam-dry", "4 EUR/kg", 25, ""},
		{"apam-dry", "400 EUR/kg", 25, "did you mean 40 EUR/kg, or 400 EUR/pack?"}, // 16 EUR/kg
		{"soda-ash", "0.4 EUR/kg", 25, ""},
		{"soda-ash", "40 EUR/kg", 25, "did you mean 4 EUR/kg, or 40 EUR/pack?"},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		price, err := quantity.ParsePrice(x.price)
		if err != nil {
			t.Fatal(err)
		}
		said := PriceSlips(p, price, 1.335, quantity.Mass(x.pack))
		if (len(said) > 0) != (x.says != "") || len(said) > 0 && (!strings.Contains(said[0].Message, x.says) || said[0].Code != "price-unusual" || said[0].Source == "") {
			t.Errorf("%s %s by %g kg: %v, want %q", x.id, x.price, x.pack, said, x.says)
		}
	}
	for i, u := range usualPrices() {
		if u.low <= 0 || u.high <= u.low || u.source == "" || i > 0 && usualPrices()[i-1].group == u.group && usualPrices()[i-1].from >= u.from {
			t.Errorf("%+v", u)
		}
	}
}
