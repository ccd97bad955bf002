package templates

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/templates/figure"
)

// TestTogetherFigures holds every figure of several months to a hand calculation: two months of 30 and 31
// days, 24 h at 10 and 5 m3/h, 20 mg/L as product at 0.5 EUR/kg, a stock of 100 g/L, a pump of 1 to 6 L/h.
func TestTogetherFigures(t *testing.T) {
	const text = `place:
  name: Test works
  purpose: other
  water_passes: once through
  date: "2026-11-10"
flow:
  average_flow: 10 m3/h
chemicals:
  - name: alum
    product: alum-liquid
    dose: 20 mg/L
    basis: as product
    density: 1.3 kg/L
    stock: alum stock
    pump: pump 1
stocks:
  - name: alum stock
    product_in_stock: 100 g/L
pumps:
  - name: pump 1
    largest_rate: 6 L/h
    least_rate: 1 L/h
prices:
  - chemical: alum
    price: 0.5 EUR/kg
    pack: 100 kg
    on_hand: 900 kg
seasons:
  - first_month: Dec
    average_flow: 5 m3/h
`
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	g := dosing.Given{Catalogue: product.Default()}
	of := func(m month.Month) (month.Plan, error) {
		p, _, err := month.FromSite(s, month.Options{Given: g, Month: m, Draws: 100})
		return p, err
	}
	p, err := of(month.Month{})
	if err != nil {
		t.Fatal(err)
	}
	b := Budget{Place: "Test works"}
	if b.Months, err = month.Months(p, 2, of); err != nil {
		t.Fatal(err)
	}
	if b.Together, err = month.Sum(s, g, b.Months); err != nil {
		t.Fatal(err)
	}
	d := togetherData(b)
	dec, use := d.Objects("months")[1], d.Objects("use")[0]
	pump := use.Sub("pump")
	for _, x := range []struct {
		of   *figure.Object
		key  string
		want float64
		unit string
	}{
		{d, "treated", 30*240 + 31*120, "m3"}, {d, "total", (7200. + 3720) * 20 / 1000 * 0.5, "EUR"},
		{dec, "flow", 5, "m3/h"}, {dec, "treated", 3720, "m3"}, {dec, "cost", 37.2, "EUR"},
		{dec.Objects("use")[0], "usual_dose", 20, "mg/L"}, {dec.Objects("use")[0], "product", 74.4, "kg"},
		{use, "product", 218.4, "kg"}, {use, "cost", 109.2, "EUR"}, {use, "most_in_store", 900, "kg"},
		// 10 and 5 m3/h at 20 mg/L over 100 g/L: 2 and 1 L/h.
		{pump, "least", 1000. / 60, "mL/min"}, {pump, "peak", 2000. / 60, "mL/min"}, {pump, "from", 1000. / 60, "mL/min"}, {pump, "to", 100, "mL/min"},
		{pump, "turndown", 2, ""},
	} {
		if v, unit := x.of.Fig(x.key).Document(); math.Abs(v-x.want) > 1e-9 || unit != x.unit {
			t.Errorf("%s: %.15g %s, by hand %g %s", x.key, v, unit, x.want, x.unit)
		}
	}
	for key, want := range map[string]any{"name": "pump 1", "reaches": true, "least_in": "2026-12", "peak_in": "2026-11"} {
		if got := pump.Get(key); got != want {
			t.Errorf("%s: %v, want %v", key, got, want)
		}
	}
	if use.Get("most_on") != "2026-11-01" || dec.Get("month") != "2026-12" {
		t.Errorf("most on %v, in %v", use.Get("most_on"), dec.Get("month"))
	}
}
