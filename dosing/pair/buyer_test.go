package pair

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestPaidAsPlanned: what a pair is priced at is what the plan of the same site counts. By its log 40
// m3/h all day take 24 kg of lime a day at 25 mg/L, 720 kg in 30 days, 29 packs, beyond the 25 from which
// 0.4 EUR/kg hold. In May, of which 21 days are closed, 10/31 of that are 9.3 packs, at 0.5. The alum has
// a bench sheet, which is not read where a pair is priced.
func TestPaidAsPlanned(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "works", purpose: "other", water_passes: "once through", example_values: "no", date: "2026-04-06"}
water: {alkalinity: "60 mg/L CaCO3"}
flow: {meter_log: "log.csv"}
chemicals:
  - {name: "alum", product: "alum-liquid", bench_sheet: "bench.csv", basis: "as product"}
  - {name: "lime", product: "hydrated-lime", dose: "25 mg/L", basis: "as product"}
calendar: [{from: "2026-05-01", till: "2026-05-21", runs: "no"}]
prices: [{chemical: "lime", price: "0.5 EUR/kg", pack: "25 kg", price_2: "0.4 EUR/kg", packs_for_price_2: "25"}]
`))
	if err != nil {
		t.Fatal(err)
	}
	var log strings.Builder
	log.WriteString("time,flow m3/h\n")
	for h := range 15 * 24 {
		fmt.Fprintf(&log, "%s,40\n", time.Date(2026, 4, 6, h, 0, 0, 0, time.UTC).Format("2006-01-02 15:04"))
	}
	l, err := flow.Read("log.csv", strings.NewReader(log.String()), flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for asked, want := range map[month.Month]float64{{}: 0.4, {Year: 2026, Month: 4}: 0.4, {Year: 2026, Month: 5}: 0.5} {
		b := Buyer{Site: s, Catalogue: product.Default(), Log: &l, Month: asked}
		lime := jartest.Chemical{Name: "lime", Basis: quantity.AsProduct}
		if paid := b.Paid([]jartest.Chemical{lime}); len(paid) != 1 || paid[0].Price.Amount != want {
			t.Errorf("%s: paid %+v, want %g", asked, paid, want)
		}
		if a, err := b.Alkali(); err != nil || a.Price.Amount != want {
			t.Errorf("%s: alkali at %+v, %v, want %g", asked, a.Price, err, want)
		}
		// the month is worked out once for all that is priced: what changes afterwards is not looked at
		once := b.Usual()
		b.Site.Calendar = nil
		if again := b.Usual(); again.Water != once.Water || !once.Water.OK {
			t.Errorf("%s: %v a day, then %v", asked, once.Water, again.Water)
		}
		// the plan of that site, its alum at a dose of its own
		own := s
		own.Chemicals = append([]site.Chemical{}, s.Chemicals...)
		own.Chemicals[0].Bench, own.Chemicals[0].Dose = quantity.Known[string]{}, quantity.Some(quantity.Concentration(10))
		in, err := dosing.FromSite(own, dosing.Given{Catalogue: product.Default(), Log: &l})
		if err != nil {
			t.Fatal(err)
		}
		p, err := dosing.Make(in)
		if err != nil {
			t.Fatal(err)
		}
		goods := month.CostOf(own, p, month.Mean(own, dosing.Given{Catalogue: product.Default(), Log: &l}, asked)).Uses[1].Goods.Amount
		if planned := goods / 24; planned < want-1e-9 || planned > want+1e-9 {
			t.Errorf("%s: planned at %g, want %g", asked, planned, want)
		}
	}
}
