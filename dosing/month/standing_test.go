package month

import (
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// pondOf is a pond of gypsum in three goes a day apart, from the 4th of May 2026, a Monday, on; its Tuesdays are closed and the 7th is stormy.
const pondOf = `
place: {name: Pond, purpose: other, water_passes: standing, example_values: no}
water: {turbidity: 20 NTU, turbidity_in_a_storm: 150 NTU}
chemicals: [{name: gypsum, product: gypsum, dose: 100 mg/L, dose_in_storm_water: 250 mg/L, basis: as product}]
ponds: [{name: pond, size: 100 m3, portions: "3", hours_between: 24 h}]
calendar: [{weekday: Tuesday, runs: "no", note: market}, {from: "2026-05-07", raw_water: storm}]
`

func TestStandingOnADate(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(pondOf))
	if err != nil {
		t.Fatal(err)
	}
	on := func(day int) Date { return DateOf(time.Date(2026, time.May, day, 0, 0, 0, 0, time.UTC)) }
	plan := func(day int) (dosing.Standing, note.List) {
		own, g, err := StandingOn(s, catalogued, on(day))
		if err != nil {
			t.Fatal(err)
		}
		p, err := dosing.PlanStanding(own, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		return p, ClosedGoes(own, p, on(day))
	}
	p, asked := plan(4) // Monday, Tuesday, Wednesday
	if len(asked) != 1 || asked[0].Level != note.Caution || !strings.Contains(asked[0].Message, "go 2 of gypsum falls on 2026-05-05, on which the calendar says that nothing is done (market)") {
		t.Errorf("%v", asked)
	}
	if u := p.Ponds[0].Goods[0].Use.Product; u != 10 { // 100 m3 x 100 g
		t.Errorf("%v", u)
	}
	p, asked = plan(7)
	if u := p.Ponds[0].Goods[0].Use.Product; u != 25 || len(asked) != 0 || !slices.ContainsFunc(p.Notes, func(n note.Note) bool { return n.Code == "date-row" }) {
		t.Errorf("%v %v %v", u, asked, p.Notes)
	}
	if _, _, err := StandingOn(s, catalogued, on(5)); err == nil || !strings.Contains(err.Error(), "2026-05-05 is a day on which nothing is done (market): nothing is planned") {
		t.Errorf("%v", err)
	}
	if p, _ = plan(6); !slices.ContainsFunc(p.Notes, func(n note.Note) bool { return n.Code == "date-without-row" }) {
		t.Errorf("%v", p.Notes)
	}
}
