package month

import (
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestOnDate: the plan of a date takes the dose, the turbidity, the flow and the hours that
// the calendar has there, as the budget's day does; a closed day plans nothing.
func TestOnDate(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Tannery lane", purpose: "wastewater", water_passes: "once through", example_values: "no"}
water: {turbidity: "80 NTU", turbidity_in_a_storm: "250 NTU"}
flow: {average_flow: "40 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals:
  - {name: "alum", product: "alum-liquid", dose: "25 mg/L", basis: "as product", dose_in_storm_water: "60 mg/L"}
calendar:
  - {from: "2026-03-09", till: "2026-03-12", raw_water: "storm"}
  - {from: "2026-03-13", runs: "no", note: "pump service"}
  - {from: "2026-03-14", runs: "yes", flow: "30 m3/h", hours: "5 h"}
`))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		day                          int
		dose, turbidity, flow, hours float64
		says                         string
	}{
		{8, 25, 80, 40, 10, "date-without-row"}, {10, 60, 250, 40, 10, "date-row"}, {13, 0, 0, 0, 0, "day-closed"}, {14, 25, 80, 30, 5, "date-row"},
	} {
		own, g, err := OnDate(s, dosing.Given{Catalogue: product.Default()}, Date{2026, 3, x.day})
		notes := append(own.Notes, note.Of(err, "")...)
		if !strings.Contains(codesOf(notes), x.says) {
			t.Errorf("%d: %s lacks %s", x.day, codesOf(notes), x.says)
		}
		if err != nil {
			continue
		}
		in, err := dosing.FromSite(own, g)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(in.Feeds[0].Dose.Concentration); got != x.dose {
			t.Errorf("%d: dose %g, want %g", x.day, got, x.dose)
		}
		if got := float64(own.Water.Turbidity.V); got != x.turbidity {
			t.Errorf("%d: %g NTU, want %g", x.day, got, x.turbidity)
		}
		if f, h := float64(in.Day.Average()), float64(in.Day.Running()); f != x.flow || h != x.hours {
			t.Errorf("%d: %g m3/h for %g h, want %g and %g", x.day, f, h, x.flow, x.hours)
		}
	}
}

func codesOf(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}
