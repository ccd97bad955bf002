package dosing

import (
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestADayLeavesWhatTheNextNeeds: 0.1 mg/L from 1 g/L takes a litre of stock an hour at 10 m3/h and 1.05 L at the fastest. It is made from 07:00
// to 08:00, in the tank: 8.4 L stand there then, of which the day's seven hours leave 1.4 L. The next day, of twice the flow, draws up to
// 2.1 L until 08:00, so 0.7 L more are made: in that batch, or, where the tank has no room for it, by one more
// before they leave at 17:00, of the litre whose gram a kitchen balance weighs.
// Where they have left by then nothing can be done, which is said, and the next day begins late.
func TestADayLeavesWhatTheNextNeeds(t *testing.T) {
	input := func(water quantity.Flow, tank quantity.Volume, leave quantity.Time) Input {
		return Input{Day: steady(t, water, 7, 15), Start: 7, Staffed: flow.Hours{{From: 7, To: leave}}, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 0.1, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 1000},
			Tank: &Vessel{Name: "tank", Volume: tank, Usable: 1}, From: 7, Till: leave, Work: 1, Life: quantity.Some[quantity.Time](30),
			Ageing: quantity.Some[quantity.Time](0), Pump: nameplate(20), Follows: true}}}
	}
	for name, x := range map[string]struct {
		tank    quantity.Volume
		leave   quantity.Time
		batches []quantity.Volume // to make, as planned
		leaves  float64
		code    string
		late    bool
	}{
		"a larger batch": {40, 17, []quantity.Volume{8.7}, 2.1, "stock-for-next", false},
		"one more":       {8.8, 17, []quantity.Volume{8, 1}, 2.4, "stock-for-next", false},
		"nobody there":   {8.8, 8.5, []quantity.Volume{8}, 1.4, "next-day-short", true},
	} {
		alone, err := Make(input(20, 40, x.leave)) // the next day, by itself
		if err != nil {
			t.Fatal(err)
		}
		in, next := input(10, x.tank, x.leave), alone.Morning(1)
		in.Next = &next
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		f := p.Feeds[0]
		if len(f.First) != len(x.batches) {
			t.Fatalf("%s: %+v", name, f.First)
		}
		for i, b := range f.First {
			near(t, name+": made", float64(b.Volume), float64(x.batches[i]), 1e-9)
			if b.Full > x.tank || i == 1 && (b.Made > x.leave || b.Start < f.First[0].Made) {
				t.Errorf("%s: %+v", name, b)
			}
		}
		if _, ok := noted(f.Notes, x.code); !ok {
			t.Errorf("%s: no %s in %v", name, x.code, f.Notes)
		}
		e := p.Evening(nil)
		near(t, name+": left", float64(e.Tanks["alum"].Stands), x.leaves, 1e-9)
		after := input(20, 40, x.leave)
		e = e.Later(1)
		after.Before = &e
		if q, err := Make(after); err != nil || (q.Begins > q.Start+hair) != x.late {
			t.Errorf("%s: the next day begins at %v, %v", name, q.Begins, err)
		}
	}
	// a day like itself needs nothing of its own
	alone, err := Make(input(10, 40, 17))
	if err != nil {
		t.Fatal(err)
	}
	in, next := input(10, 40, 17), alone.Morning(1)
	in.Next = &next
	if p, err := Make(in); err != nil || p.Feeds[0].provides || len(p.Feeds[0].Notes) != len(alone.Feeds[0].Notes) {
		t.Errorf("%v %v", p.Feeds[0].Notes, err)
	}
}
