package dosing

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
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

// TestAnotherBatchIsBegunWhileSomebodyIsThere: 1 L/h from a tank filled at 07:00, the next of its round due at 07:00
// tomorrow (31 h). What stands at 19:00, when they leave, is filled up by a batch of ten minutes begun at 18:50.
func TestAnotherBatchIsBegunWhileSomebodyIsThere(t *testing.T) {
	hourly := demand{day: steady(t, 1, 0, 24), per: 0.001}
	const work = 1. / 6
	for _, x := range []struct {
		what string
		m    making
		full quantity.Volume
		want string
	}{
		{"dry at 03:00", making{tank: 22, work: work, shift: shift{7, 19}}, 20, "begin another batch by 18:50"},
		{"dry by day", making{tank: 22, work: work, shift: shift{7, 19}}, 11, "begin another batch by 17:50"},
		{"aged for an hour, let over before they leave", making{tank: 22, mix: 60, ageing: 1, work: work, shift: shift{7, 19}}, 20, "begin another batch by 17:50"},
		{"somebody always there", making{tank: 22, work: work}, 20, "begin another batch by 02:50"},
		{"10 L at 09:00 last to 19:00", making{tank: 10, work: work, shift: shift{7, 9}}, 10, "have somebody there before then"},
		{"10 L at 17:00 last to 03:00", making{tank: 10, work: work}, 10, "use a larger tank, or hold the flow down on such a day"},
		{"no tank to age it in", making{tank: 22, ageing: 1, work: work, shift: shift{7, 19}}, 20, "have somebody there before then"},
	} {
		x.m.demand = hourly
		first := Batch{Moved: 7, Full: x.full, Till: 31}
		if got := x.m.onSuchADay(first, 7+quantity.Time(x.full)).String(); !strings.Contains(got, x.want) {
			t.Errorf("%s: %q, want %q", x.what, got, x.want)
		}
	}
}
