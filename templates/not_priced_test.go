package templates

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/templates/figure"
)

// pricedSite prices everything that a small works takes: a powder in stock, a neat alkali, its float, water, power.
const pricedSite = `
place: {name: works, purpose: other, water_passes: once through}
water: {turbidity: "40 NTU"}
flow: {average_flow: "10 m3/h", hours_a_day: "20 h", power_drawn: "1.5 kW"}
chemicals:
  - {name: alum, product: alum-dry, basis: as product, dose: "30 mg/L", stock: made up}
  - {name: lime, product: hydrated-lime, basis: as product, dose: "10 mg/L"}
stocks: [{name: made up, product_in_stock: "50 g/L"}]
prices:
  - {chemical: alum, price: 0.5 EUR/kg, delivery: 30 EUR, pack: 25 kg, on_hand: 20 kg, lead_time: 2 d}
  - {chemical: lime, price: 0.3 EUR/kg, delivery: 20 EUR, pack: 25 kg, on_hand: 5 kg, lead_time: 2 d}
  - {chemical: disposal of solids, price: 30 EUR/m3}
  - {chemical: make-up water, price: 2 EUR/m3}
  - {chemical: electricity, price: 0.2 EUR/kWh}
`

// TestEachBlankPriceIsNamed: of a site where all has a price, each field left blank in turn is named as lacking in the month's and the
// day's documents, has no figure there and is "not known" in the workbook: never a cost of zero. With a price of 0 it costs nothing.
func TestEachBlankPriceIsNamed(t *testing.T) {
	for _, x := range []struct{ field, blank, free, named, line, book string }{
		{"price: 0.5 EUR/kg, ", "", "price: 0 EUR/kg, ", "alum", "alum", "Price_alum"},
		{"price: 0.3 EUR/kg, ", "", "price: 0 EUR/kg, ", "lime", "lime", "Price_lime"},
		{"delivery: 30 EUR, ", "", "delivery: 0 EUR, ", "delivery of alum", "", "Charge_alum"},
		{"delivery: 20 EUR, ", "", "delivery: 0 EUR, ", "delivery of lime", "", "Charge_lime"},
		{"  - {chemical: disposal of solids, price: 30 EUR/m3}\n", "", "  - {chemical: disposal of solids, price: 0 EUR/m3}\n", "disposal of solids", "disposal of solids", "Price_disposal"},
		{"  - {chemical: make-up water, price: 2 EUR/m3}\n", "", "  - {chemical: make-up water, price: 0 EUR/m3}\n", "make-up water", "make-up water", "Price_water"},
		{"  - {chemical: electricity, price: 0.2 EUR/kWh}\n", "", "  - {chemical: electricity, price: 0 EUR/kWh}\n", "energy", "energy", "Price_electricity"},
	} {
		if strings.Count(pricedSite, x.field) != 1 {
			t.Fatalf("%q is not a field", x.field)
		}
		for put, blank := range map[string]bool{x.blank: true, x.free: false} {
			b, day := budgeted(t, strings.Replace(pricedSite, x.field, put, 1))
			cost := monthData(b.Months[0]).Sub("cost")
			for name, of := range map[string]*figure.Object{"month": cost, "day": moneyData(day)} {
				names, _ := of.Get("not_priced").([]string)
				if blank && !slices.Equal(names, []string{x.named}) || !blank && len(names) > 0 {
					t.Errorf("%q as %q: the %s names %q", x.field, put, name, names)
				}
			}
			for _, l := range cost.Objects("lines") {
				switch is := l.Said("item") == x.line; {
				case is && blank && (l.Has("cost") || l.Has("share")):
					t.Errorf("%q: %s costs %v", x.field, x.line, l.Get("cost"))
				case is && !blank && number(l, "cost") != 0:
					t.Errorf("%q free: %s costs %v", x.field, x.line, l.Get("cost"))
				case !is && l.Said("item") != month.OutOfDate && !l.Has("cost"):
					t.Errorf("%q: %s has no cost", x.field, l.Said("item"))
				}
			}
			var wb bytes.Buffer
			if err := b.Book(&wb, Options{}); err != nil {
				t.Fatal(err)
			}
			sheets := cells(t, wb.Bytes())
			if unknown := strings.Contains(sheets, `"not known"`+"\n"); x.line != "" && !strings.Contains(sheets, `ISBLANK(`) || x.line != "" && unknown != blank {
				t.Errorf("%q as %q: the workbook says not known: %t", x.field, put, unknown)
			}
			for _, row := range b.Table().Rows {
				if row.Get("chemical") == x.named && row.Has("cost") == blank || strings.HasSuffix(x.named, " of "+row.Said("chemical")) && row.Has("delivery_cost") == blank {
					t.Fatalf("%q as %q: the CSV has cost %v, delivery %v", x.field, put, row.Get("cost"), row.Get("delivery_cost"))
				}
			}
		}
	}
	// Both deliveries not known: their line has no figure; power not known: neither has energy.
	for fields, line := range map[string]string{"delivery: 30 EUR, |delivery: 20 EUR, ": "delivery charges", `, power_drawn: "1.5 kW"`: "energy"} {
		text := pricedSite
		for _, f := range strings.Split(fields, "|") {
			text = strings.Replace(text, f, "", 1)
		}
		b, _ := budgeted(t, text)
		for _, l := range monthData(b.Months[0]).Objects("cost.lines") {
			if l.Said("item") == line && l.Has("cost") {
				t.Errorf("%s costs %v", line, l.Get("cost"))
			}
		}
	}
}

// budgeted is March 2026 of a site, and what its day costs.
func budgeted(t *testing.T, text string) (Budget, month.DayCost) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	g := dosing.Given{Catalogue: product.Default()}
	m := month.Month{Year: 2026, Month: 3}
	p, _, err := month.FromSite(s, month.Options{Given: g, Month: m, Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	b, err := month.Make(p)
	if err != nil {
		t.Fatal(err)
	}
	in, err := dosing.FromSite(s, g)
	if err != nil {
		t.Fatal(err)
	}
	day, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return Budget{Months: []month.Budget{b}}, month.CostOf(s, day, month.Mean(s, g, m))
}
