package quantity

import (
	"math"
	"strings"
	"testing"
)

func TestParsePrice(t *testing.T) {
	for text, want := range map[string]Price{
		"0.42 EUR/kg": {0.42, "EUR", "kg"}, "0.42 EUR per kg": {0.42, "EUR", "kg"}, "0.42 EUR / kilogram": {0.42, "EUR", "kg"},
		"410 EUR/t": {410, "EUR", "t"}, "410 EUR/tonne": {410, "EUR", "t"}, "410 EUR/metric ton": {410, "EUR", "t"},
		"0.2 USD/lb": {0.2, "USD", "lb"}, "0.2 USD/pound": {0.2, "USD", "lb"}, "0.2 USD/lbs": {0.2, "USD", "lb"},
		"380 USD/short ton": {380, "USD", "short ton"}, "380 USD/US ton": {380, "USD", "short ton"},
		"0.6 EUR/L": {0.6, "EUR", "L"}, "0.6 EUR/litre": {0.6, "EUR", "L"}, "0.6 EUR/liter": {0.6, "EUR", "L"},
		"55 EUR/m3": {55, "EUR", "m3"}, "55 EUR/m³": {55, "EUR", "m3"}, "55 EUR/cubic metre": {55, "EUR", "m3"},
		"55 EUR/cubic meter": {55, "EUR", "m3"},
		"2.1 USD/gal":        {2.1, "USD", "gal"}, "2.1 USD/US gal": {2.1, "USD", "gal"}, "2.1 USD/gallon": {2.1, "USD", "gal"},
		"2.1 GBP/imp gal": {2.1, "GBP", "imp gal"}, "2.1 GBP/imperial gal": {2.1, "GBP", "imp gal"},
		"2.1 GBP/imperial gallon": {2.1, "GBP", "imp gal"},
		"20 EUR/1000 m3":          {20, "EUR", "1000 m3"}, "20 EUR/1000 m³": {20, "EUR", "1000 m3"}, "7 USD/1000 gal": {7, "USD", "1000 gal"},
		"7 USD/kgal": {7, "USD", "1000 gal"}, "7 USD/1000 US gal": {7, "USD", "1000 gal"},
		"310 EUR/pack": {310, "EUR", "pack"}, "310 EUR/bag": {310, "EUR", "pack"}, "310 EUR/drum": {310, "EUR", "pack"},
		"310 EUR/can": {310, "EUR", "pack"},
		"310 EUR/IBC": {310, "EUR", "pack"}, "310 EUR/ibc": {310, "EUR", "pack"}, "310 EUR/tote": {310, "EUR", "pack"},
		"310 EUR/sack": {310, "EUR", "pack"}, "310 EUR/load": {310, "EUR", "pack"},
		"0.21 EUR/kWh": {0.21, "EUR", "kWh"}, "0.21 EUR/kilowatt hour": {0.21, "EUR", "kWh"},
		"0.3 EUR/kg dry": {0.3, "EUR", "kg dry"}, "0.3 EUR/kg dry solids": {0.3, "EUR", "kg dry"},
		"0.3 EUR/kg DS": {0.3, "EUR", "kg dry"},
		"300 EUR/t dry": {300, "EUR", "t dry"}, "300 EUR/t dry solids": {300, "EUR", "t dry"},
		"300 EUR/tonne dry solids": {300, "EUR", "t dry"},
		"60 EUR/delivery":          {60, "EUR", "delivery"}, "60 EUR/trip": {60, "EUR", "delivery"},
	} {
		if got, err := ParsePrice(text); err != nil || got != want {
			t.Errorf("ParsePrice(%q) = %+v, %v; want %+v", text, got, err, want)
		}
	}
}

// The price of a kg, by hand: of a liquid of 1.25 kg/L in packs of 25 kg.
func TestPerKg(t *testing.T) {
	for _, c := range []struct {
		price Price
		want  float64
	}{
		{Price{0.42, "EUR", "kg"}, 0.42}, {Price{420, "EUR", "t"}, 0.42}, {Price{0.45359237, "EUR", "lb"}, 1},
		{Price{907.18474, "EUR", "short ton"}, 1},
		{Price{0.5, "EUR", "L"}, 0.4}, {Price{500, "EUR", "m3"}, 0.4}, {Price{3.785411784 * 1.25, "EUR", "gal"}, 1},
		{Price{4.54609 * 1.25, "EUR", "imp gal"}, 1},
		{Price{5e5, "EUR", "1000 m3"}, 0.4}, {Price{3785.411784 * 1.25, "EUR", "1000 gal"}, 1}, {Price{30, "EUR", "pack"}, 1.2},
	} {
		got, err := c.price.PerKg(1.25, 25)
		if err != nil || !near(got.Amount, c.want, 1e-12) || got.Currency != "EUR" || got.Per != "kg" {
			t.Errorf("%v: %+v, %v; want %v EUR/kg", c.price, got, err, c.want)
		}
	}
	for _, c := range []struct {
		price   Price
		density Density
		pack    Mass
		want    string // in the message, empty where it must do
	}{
		{Price{0.5, "EUR", "L"}, 0, 25, "by volume and the density is not known"},
		{Price{0.5, "EUR", "gal"}, -1, 25, "density is not known"},
		{Price{30, "EUR", "pack"}, 1.25, 0, "by the pack and the mass of a pack is not known"},
		{Price{30, "EUR", "pack"}, 1.25, -1, "mass of a pack"},
		{Price{0.2, "EUR", "kWh"}, 1.25, 25, "is not a price of a product"},
		{Price{60, "EUR", "delivery"}, 1.25, 25, "is not a price of a product"},
		{Price{0.42, "EUR", "kg"}, 0, 0, ""}, {Price{0.5, "EUR", "L"}, 1.25, 0, ""}, {Price{30, "EUR", "pack"}, 0, 25, ""}, {Price{0.5, "EUR", "L"}, 0.9, 0, ""}, {Price{3, "EUR", "pack"}, 0, 0.5, ""},
		{Price{0.5, "EUR", "moon"}, 1.25, 25, "is not a price of a product"},
	} {
		_, err := c.price.PerKg(c.density, c.pack)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v with %v and %v: %v, want %q", c.price, c.density, c.pack, err, c.want)
		}
	}
}

func TestPriceValid(t *testing.T) {
	for _, c := range []struct {
		price Price
		want  bool
	}{
		{Price{0.42, "EUR", "kg"}, true}, {Price{0, "EUR", "kg"}, true}, {Price{-0.42, "EUR", "kg"}, false},
		{Price{math.Copysign(0, -1), "EUR", "kg"}, false},
		{Price{math.NaN(), "EUR", "kg"}, false}, {Price{math.Inf(1), "EUR", "kg"}, false}, {Price{0.42, "", "kg"}, false},
		{Price{0.42, "EUR", ""}, false}, {Price{}, false},
	} {
		if got := c.price.Valid(); got != c.want {
			t.Errorf("%+v is valid: %v", c.price, got)
		}
	}
}
