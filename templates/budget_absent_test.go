package templates

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
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
		text := shownText(t, Budget{Months: []month.Budget{b}}, Options{})
		if strings.Contains(text, "RUNS OUT") != says || strings.Contains(text, "not given") == says {
			t.Errorf("%q: %s", prices, text)
		}
		for _, never := range []string{"0.00", "of 100 drawn months"} {
			if strings.Contains(text, never) {
				t.Errorf("%q: %s in %s", prices, never, text)
			}
		}
	}
}
