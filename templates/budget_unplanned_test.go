package templates

import (
	"bytes"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
)

// TestBudgetOfAMonthThatNobodyCanRun: a stock of twelve minutes, or of a day. 0.3 mg/L at 40 m3/h are 0.288 kg/d, in 30 days 8.64 kg, at 4 EUR/kg
// 34.56 EUR, whether a list keeps its stock ready or not; text, document and workbook say which.
func TestBudgetOfAMonthThatNobodyCanRun(t *testing.T) {
	for life, unplanned := range map[string]bool{"0.2 h": true, "24 h": false} {
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: beck works, purpose: other, water_passes: once through, currency: EUR, staffed_from: "06:00", staffed_till: "22:00"}
flow: {average_flow: 40 m3/h, run_starts: "06:00"}
chemicals: [{name: polymer, product: apam-dry, dose: 0.3 mg/L, basis: as product, stock: polymer stock, pump: p1}]
stocks: [{name: polymer stock, product_in_stock: 1 g/L, tank: day tank, make_up_tank: mixer, ageing: 1 h, work: 20 min, life: `+life+`}]
pumps: [{name: p1, largest_rate: 30 L/h}]
tanks: [{name: day tank, use: stock, volume: 200 L}, {name: mixer, use: make-up, volume: 200 L}]
prices: [{chemical: polymer, price: 4 EUR/kg, on_hand: 200 kg, pack: 25 kg, lead_time: 5 d}]`))
		if err != nil {
			t.Fatal(err)
		}
		p, notes, err := month.FromSite(s, month.Options{Given: dosing.Given{Catalogue: product.Default()}, Month: month.Month{Year: 2026, Month: 6}, Draws: 200})
		if err != nil {
			t.Fatal(err)
		}
		b, err := month.Make(p)
		if err != nil {
			t.Fatal(err)
		}
		r := Budget{Months: []month.Budget{b}, Notes: notes}
		const marked, why = "NO PLAN CAN BE MADE OF ITS DAYS", "o plan can be made of the usual day: polymer: no make-up times keep"
		text := shownText(t, r, Options{})
		if strings.Contains(text, marked) != unplanned || strings.Contains(strings.Join(strings.Fields(text), " "), why) != unplanned {
			t.Errorf("%s: %s", life, text)
		}
		if !strings.Contains(text, "\n34.56 EUR\n") {
			t.Errorf("%s: another cost in %s", life, text)
		}
		if got := monthData(b).Get("unplanned") == true; got != unplanned {
			t.Errorf("%s: unplanned %v", life, got)
		}
		var wb bytes.Buffer
		if err := r.Book(&wb, Options{}); err != nil {
			t.Fatal(err)
		}
		if got := cells(t, wb.Bytes()); strings.Contains(got, marked) != unplanned || strings.Contains(got, why) != unplanned {
			t.Errorf("%s: the workbook is marked %v", life, strings.Contains(got, marked))
		}
	}
}
