package month

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
)

// TestMonthTellsOfLateMondays: a polymer that keeps 30 h and ages an hour is made up the evening before, as people come at 06:00 when the unit starts: after a closed weekend
// 15 min of work and the hour put the start off to 07:15, so that 8 h 45 min of 10 h are dosed. March 2026 has five Mondays, of which the 2nd is the
// first. Open on all days, or made up from 04:00, nothing is said; the plan of that Monday begins when the month says.
func TestMonthTellsOfLateMondays(t *testing.T) {
	const text = `
place: {name: works, purpose: other, water_passes: once through, date: "2026-03-04", example_values: "no", staffed_from: "06:00", staffed_till: "18:00"}
water: {turbidity: "60 NTU"}
flow: {average_flow: "4 m3/h", hours_a_day: "10 h", run_starts: "06:00"}
chemicals: [{name: pol, product: cpam-dry, dose: "0.5 mg/L", basis: as product, stock: made, pump: p}]
stocks: [{name: made, product_in_stock: "1 g/L", tank: barrel, life: "30 h", ageing: "60 min", work: "15 min"}]
pumps: [{name: p, largest_rate: "4 L/h", least_rate: "0.2 L/h"}]
tanks: [{name: barrel, use: stock, volume: "40 L"}]
calendar: [{weekday: Saturday, runs: "no"}, {weekday: Sunday, runs: "no"}]
`
	for _, x := range []struct {
		from, to string
		said     bool
	}{{"", "", true}, {`weekday: Saturday, runs: "no"}, {weekday: Sunday, runs: "no"`, `weekday: Saturday, runs: "yes"`, false}, {`staffed_from: "06:00"`, `staffed_from: "04:00"`, false}} {
		changed := strings.Replace(text, x.from, x.to, 1)
		_, notes := monthOf(t, changed)
		i := slices.IndexFunc(notes, func(n note.Note) bool { return n.Code == "late-days" })
		if (i >= 0) != x.said {
			t.Errorf("%q: %v", x.to, notes)
		}
		_, p := planOn(t, read(t, changed), dosing.Given{Catalogue: product.Default()}, Date{2026, 3, 2})
		if _, _, late := p.Late(); late != x.said {
			t.Errorf("%q: the plan begins at %v", x.to, p.Begins)
		}
		if i >= 0 && !strings.Contains(notes[i].Message, "begins at 07:15, not at 06:00, when its stock is ready: 2026-03-02 is dosed for 8 h 45 min; the month has 5 such days and counts them as full ones") {
			t.Error(notes[i].Message)
		}
	}
}
