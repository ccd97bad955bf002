package month

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// dayCost is what a day costs at a place of 10 m3/h and 10 h: 100 m3, with 1 kg of a
// product of 1.25 kg/L in a stock of 100 g/L, and 2 kW drawn (invented).
func dayCost(t *testing.T, prices string, solids ...string) DayCost {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(fmt.Sprintf(`
place: {name: mill, purpose: wastewater, water_passes: once through}
flow: {average_flow: "10 m3/h", hours_a_day: "10 h", power_drawn: "2 kW"}
water: {suspended_solids: "20 mg/L"}
solids: {solids_caught: "50 %%", float_or_sludge_solids: "2 %%"%s}
chemicals: [{name: blend, dose: "10 mg/L", basis: as product, density: "1.25 kg/L", stock: made}]
tanks: [{name: pit, use: other, volume: "2 m3"}]
stocks: [{name: made, product_in_stock: "100 g/L"}]
prices: [%s]
`, strings.Join(append([]string{""}, solids...), ", "), prices)))
	if err != nil {
		t.Fatal(err)
	}
	in, err := dosing.FromSite(s, catalogued)
	if err != nil {
		t.Fatal(err)
	}
	p, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return CostOf(s, p, Mean(s, catalogued, Month{}))
}

// TestCostOf works the day out by hand: 1 kg at 3 EUR; two packs of 25 kg share 10 EUR
// of freight, 0.2 EUR a kg; 9.2 L of water of 10 L of stock at 2 EUR/m3; 1 kg dry at
// 2 % and 1 kg/L are 50 L at 40 EUR/m3; 20 kWh at 0.3 EUR.
func TestCostOf(t *testing.T) {
	const blend, others = `{chemical: blend, price: "3 EUR/kg", pack: "25 kg", usual_order: "2", delivery: "10 EUR"}`,
		`{chemical: disposal of solids, price: "40 EUR/m3"}, {chemical: electricity, price: "0.3 EUR/kWh"}`
	d := dayCost(t, blend+", "+others+`, {chemical: make-up water, price: "2 EUR/m3"}`)
	want := []float64{3, 0.2, 2, 0.0184, 6}
	for i, l := range d.Lines() {
		near(t, l.Name, l.Amount.Amount, want[i])
	}
	near(t, "all", d.Total().Amount, 11.2184)
	near(t, "of 1000 m3", d.Per1000().Amount, 112.184)
	if !d.Priced() || len(d.Notes) > 0 || d.Per1000().Per != "1000 m3" || d.Per1000().Currency != "EUR" {
		t.Errorf("%v %v %v", d.Priced(), d.Notes, d.Per1000())
	}
	for prices, says := range map[string]string{
		"":     "",
		others: "the cost leaves out blend, make-up water: no price is given",
		blend:  "the cost leaves out disposal of solids, make-up water, energy: no price is given",
	} {
		d := dayCost(t, prices)
		if got := said(d.Notes); got != says || d.Priced() != (says != "") {
			t.Errorf("%s\n%q, priced %v; want %q", prices, got, d.Priced(), says)
		}
	}
	if d := dayCost(t, blend+`, {chemical: electricity, price: "0.3 USD/kWh"}`); d.Priced() || said(d.Notes) != "prices are in USD and in EUR, so the cost is not added up" {
		t.Errorf("two currencies: %v %s", d.Priced(), said(d.Notes))
	}
	if d := dayCost(t, `{chemical: blend, price: "3 EUR/kWh"}, `+others); len(d.Notes) != 2 || d.Notes[0].Level != note.Caution || d.Notes[0].Cell == "" {
		t.Errorf("a price that is none of a product: %v", d.Notes)
	}
	// 2 EUR/m3 is 2 × 3.785411784 EUR for 1000 US gallons.
	if d := dayCost(t, blend+", "+others+`, {chemical: make-up water, price: "7.570823568 EUR/1000 gal"}`); len(d.Notes) > 0 {
		t.Error(d.Notes)
	} else {
		near(t, "water by the gallon", d.Total().Amount, 11.2184)
	}
	if d := dayCost(t, blend+`, {chemical: electricity, price: "1 EUR/m3"}`); d.Electricity.Amount != 0 || !strings.HasPrefix(said(d.Notes), "the price of electricity is per m3; the cost leaves out") {
		t.Errorf("electricity by the m3: %v %s", d.Electricity, said(d.Notes))
	}
	if got := (DayCost{}).Per1000(); got != (quantity.Price{}) {
		t.Errorf("without water: %v", got)
	}
}

func said(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Message)
	}
	return strings.Join(out, "; ")
}
