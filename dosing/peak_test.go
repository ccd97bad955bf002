package dosing

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestStockAtPeakSaysWhy: 60 mg/L of 100 g/L into 0.9 m3/h are 5.4 L in 10 h, at the peak of 1.2 m3/h 7.2 L. A bucket of 9 L
// takes both; but of 7.56 L (a twentieth to spare) 2.2 L stay on a usual day, too much to stir in, and go off in 24 h, so only
// two batches a day would do. Of a stock that keeps 72 h what stays
// is drawn the day after, and nothing is said.
func TestStockAtPeakSaysWhy(t *testing.T) {
	for _, x := range []struct {
		volume int
		life   string
		want   string
	}{
		{10, "24 h", "to be ready for such a day every day would take more batches, or leave stock that goes off"},
		{10, "72 h", ""},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(fmt.Sprintf(`
place: {name: "A loop", purpose: "wastewater", water_passes: "once through", example_values: "no", staffed_from: "06:30", staffed_till: "18:00"}
flow: {average_flow: "0.9 m3/h", least_flow: "0.7 m3/h", peak_flow: "1.2 m3/h", hours_a_day: "10 h", run_starts: "07:00"}
chemicals: [{name: "pac", product: "pacl-18", dose: "60 mg/L", basis: "as product", stock: "made", pump: "peri"}]
stocks: [{name: "made", product_in_stock: "100 g/L", tank: "bucket", life: %q, work: "10 min"}]
pumps: [{name: "peri", largest_rate: "1.44 L/h", knob_step: "1 %%"}]
tanks: [{name: "bucket", use: "stock", volume: "%d L", usable: "90 %%"}]
`, x.life, x.volume)))
		if err != nil {
			t.Fatal(err)
		}
		in, err := FromSite(s, Given{Catalogue: product.Default()})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, n := range p.Feeds[0].Notes {
			if n.Code == "stock-at-peak" {
				_, got, _ = strings.Cut(n.Message, "; ")
				if n.Level != note.Caution || !p.Feeds[0].DryAtPeak {
					t.Errorf("%v is told late, and not at the list: %v", n.Level, p.Feeds[0].DryAtPeak)
				}
			}
		}
		if got != x.want {
			t.Errorf("%d L, %s: %q, want %q", x.volume, x.life, got, x.want)
		}
	}
}
