package templates

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/month"
)

// byHand is the page's first card of 30 mg/L of dry lime in 10 m3/h for 8 h, with what is given of a scoop or a stock.
func byHand(t *testing.T, stopped bool, more string) (Plan, string) {
	t.Helper()
	s, p := yamlPlan(t, `
place: {name: village, purpose: other, water_passes: once through}
flow: {average_flow: "10 m3/h", hours_a_day: "8 h", run_starts: "08:00"}
stocks: [{name: milk, product_in_stock: "50 g/L"}]
chemicals: [{name: lime, product: hydrated-lime, basis: as product, dose: "30 mg/L"`+more+`}]`)
	p, r := p.Reviewed(s, time.Time{})
	f := r.Findings
	f.Stopped = stopped
	plan := NewPlan(p, f, nil, dosing.UnitDay{}, month.DayCost{})
	var out string
	for _, c := range plan.Cards(Options{}) {
		if out == "" {
			out = fmt.Sprint(c.Title, "\n", c.Lead, "\n", c.Checks)
			for _, t := range c.Tables {
				out += fmt.Sprint("\n", t.Rows)
			}
		}
	}
	return plan, out
}

// TestFeedCard: 30 mg/L of 10 m3/h is 300 g/h, 75 g in a quarter of an hour: a scoop of 60 g
// every 60/300 h; half the flow takes half of it. Of milk of 50 g/L it is 6 L/h: 1.5 L, 100 mL/min.
func TestFeedCard(t *testing.T) {
	for _, c := range []struct {
		what, more string
		want       []string
	}{
		{"scoops", `, scoop: "60 g"`, []string{"Feed card: lime, by hand", "1 level scoop of 60 g every 12 min, each stirred thin in a bucket of water and poured in over that time, never tipped in dry, or a feeder", "set to 300 g/h, for 10.0 m3/h",
			"[5 m3/h 1 level scoop of 60 g every 24 min]"}},
		{"a scoop that nobody weighed", "", []string{"75 g every 15 min", "[5 m3/h 37.5 g every 15 min]", "One level scoop weighed: ______"}},
		{"milk", `, stock: milk`, []string{"1.5 L every 15 min, dripped in evenly", "set to 100 mL/min", "[5 m3/h 0.75 L every 15 min, dripped in evenly]"}},
	} {
		p, card := byHand(t, false, c.more)
		for _, want := range c.want {
			if !strings.Contains(card, want) {
				t.Errorf("%s: no %q in %s", c.what, want, card)
			}
		}
		if told := fmt.Sprint(p.Notes); strings.Contains(told, "weigh one level scoop") != (c.more == "") {
			t.Errorf("%s: %s", c.what, told)
		}
	}
	if _, card := byHand(t, true, `, scoop: "60 g"`); !strings.HasPrefix(card, "Do not dose: village\n") || strings.Contains(card, "75 g") {
		t.Errorf("the card of a stopped plan: %s", card)
	}
}
