package templates

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestWhatIsNotGivenIsNoFigure: of a site without a Prices row neither a day of running out nor a cost is told; with
// nothing on hand said as 0 the store does run out on the first day without a delivery before it.
func TestWhatIsNotGivenIsNoFigure(t *testing.T) {
	for prices, says := range map[string]bool{"": false, `
prices: [{chemical: lime, on_hand: 0 kg, lead_time: 5 d}]`: true} {
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: village, purpose: other, water_passes: once through}
flow: {average_flow: "10 m3/h"}
chemicals: [{name: lime, product: hydrated-lime, basis: as product, dose: "30 mg/L"}]`+prices))
		if err != nil {
			t.Fatal(err)
		}
		p, _, err := month.FromSite(s, month.Options{Given: dosing.Given{Catalogue: product.Default()}, Month: month.Month{Year: 2026, Month: 3}, Draws: 200})
		if err != nil {
			t.Fatal(err)
		}
		b, err := month.Make(p)
		if err != nil {
			t.Fatal(err)
		}
		r := Budget{Months: []month.Budget{b}}
		text := shownText(t, r, Options{})
		if strings.Contains(text, "RUNS OUT") != says || strings.Contains(text, "not given") == says {
			t.Errorf("%q: %s", prices, text)
		}
		use := monthData(b).Objects("use")[0]
		for _, key := range []string{"opening_stock", "closing_stock", "cover", "chance_of_running_out", "runs_out_on"} {
			if use.Has(key) != says {
				t.Errorf("%q: %s is %v", prices, key, use.Get(key))
			}
		}
		// of the month's 31 x 7.2 kg none is short of, and nothing stands in it, where nobody described the store
		for _, row := range r.Table().Rows {
			if row.Has("stock") != says || row.Has("short") != says {
				t.Fatalf("%q: a row with stock %v and short %v", prices, row.Get("stock"), row.Get("short"))
			}
			if used := row.Fig("used").Q.(quantity.Mass); !says && math.Abs(float64(used)-7.2) > 1e-9 {
				t.Fatalf("%q: %v used", prices, used)
			}
		}
		var wb bytes.Buffer
		if err := r.Book(&wb, Options{}); err != nil {
			t.Fatal(err)
		}
		sheets := cells(t, wb.Bytes())
		for _, word := range []string{`Range!F5 "not known"`, `FORMULA =IF(ISBLANK(Opening_lime_kg),"not known",`, "What is on hand of lime is not given: its stock, orders and day of running out are those of an empty store."} {
			if strings.Contains(sheets, word) == says {
				t.Errorf("%q: %s in the workbook is %t", prices, word, !says)
			}
		}
		for _, never := range []string{"0.00", "of 100 drawn months"} {
			if strings.Contains(text, never) {
				t.Errorf("%q: %s in %s", prices, never, text)
			}
		}
	}
}
