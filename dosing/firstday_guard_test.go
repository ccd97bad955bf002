package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestAMakeUpTankOpensTheDay: 2 m3/h from 07:00 to 17:00 at 20 mg/L from 100 g/L take 0.4 L/h, at most 0.42. The round makes stock up at
// 07:00 and at 12:00, a quarter of an hour of work and an hour of ageing in a tank of its own, let over at 08:15 and 13:15; each stays
// till the next and a quarter hour longer: 5.25 h x 0.42 = 2.205 L. What stands in the tank at the start, by hand:
//
//	0, 0.3, 0.5 L: 0.5/0.42 lasts till 08:11, so the unit waits till 08:15; nothing is drawn before. The first fills up to 5 h x 0.42 = 2.1, the
//	               second finds 2.1 - 3.75 x 0.4 = 0.6 at 12:00 and 0.1 at 13:15, and makes 2.105.
//	2 L:           1.5 are left at 08:15, 0.705 make 2.205; the second finds 0.705 at 12:00, 0.205 at 13:15.
//	3.9 L:         lasts past 13:30, so the first is not needed; 1.9 stand at 12:00, 1.4 at 13:15: 0.805.
//	6 L:           lasts the day.
func TestAMakeUpTankOpensTheDay(t *testing.T) {
	waits := "07:00 make up, 08:15 move stock, 08:15 start unit, 08:15 set pump, 12:00 make up, 13:15 move stock, 17:00 stop pump, 17:00 stop unit"
	for _, x := range []struct {
		now    quantity.Volume
		begins quantity.Time
		tasks  string
		made   [][4]float64 // volume, full, left, stands
	}{
		{0, 8.25, waits, [][4]float64{{2.1, 2.1, 0, 0}, {2.105, 2.205, 0.1, 0.6}}},
		{0.3, 8.25, waits, [][4]float64{{1.8, 2.1, 0.3, 0.3}, {2.105, 2.205, 0.1, 0.6}}},
		{0.5, 8.25, waits, [][4]float64{{1.6, 2.1, 0.5, 0.5}, {2.105, 2.205, 0.1, 0.6}}},
		{2, 7, "07:00 start unit, 07:00 set pump, 07:00 make up, 08:15 move stock, 12:00 make up, 13:15 move stock, 17:00 stop pump, 17:00 stop unit",
			[][4]float64{{0.705, 2.205, 1.5, 2}, {2, 2.205, 0.205, 0.705}}},
		{3.9, 7, "07:00 start unit, 07:00 set pump, 12:00 make up, 13:15 move stock, 17:00 stop pump, 17:00 stop unit",
			[][4]float64{{0.805, 2.205, 1.4, 1.9}}},
		{6, 7, "07:00 start unit, 07:00 set pump, 17:00 stop pump, 17:00 stop unit", nil},
	} {
		p, err := Make(Input{Day: steady(t, 2, 7, 17), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25),
				PerLitre: 100000},
			Tank: &Vessel{Name: "tank", Volume: 10, Usable: 1, Now: quantity.Some(x.now)}, Mix: &Vessel{Name: "mix", Volume: 6, Usable: 1},
			From: 7, Till: 17, Work: 0.25,
			Ageing: quantity.Some[quantity.Time](1), Pump: nameplate(20), Follows: true}}})
		if err != nil {
			t.Fatal(err)
		}
		f := p.Feeds[0]
		if got := listed(p.Tasks); got != x.tasks || p.Begins != x.begins || len(f.First) != len(x.made) {
			t.Errorf("%v: %s from %v", x.now, got, p.Begins)
			continue
		}
		for i, want := range x.made {
			b := f.First[i]
			near(t, "volume", float64(b.Volume), want[0], 1e-9)
			near(t, "full", float64(b.Full), want[1], 1e-9)
			near(t, "left", float64(b.Left), want[2], 1e-9)
			near(t, "stands", float64(b.Stands), want[3], 1e-9)
		}
		n, short := noted(p.Notes, "stock-short")
		if short != (x.begins > 7) || short && n.Remedy != "to start at 07:00, begin to make it up at 16:45 the day before at the latest" {
			t.Errorf("%v: %v", x.now, n)
		}
		// what stands in it through the day: what came in, less 0.4 L for each hour of dosing
		in := float64(x.now)
		for _, b := range f.First {
			in += float64(b.Volume)
		}
		level, ok := p.levelOn(f, 17)
		near(t, "at the end", float64(level), in-0.4*float64(17-x.begins), 1e-9)
		if !ok {
			t.Error("no level")
		}
		if level, _ = p.levelOn(f, x.begins); float64(level) < float64(x.now)-1e-9 {
			t.Errorf("%v: %v when it begins", x.now, level)
		}
	}
	// (made in 15 min once the pump stands still at 17:00 it ages before it is drawn)
	// in a make-up tank too small for a batch there is no such round; aged where it is drawn from, none either
	in := Input{Day: steady(t, 2, 7, 17), Start: 7, Feeds: []FeedInput{{Name: "alum", Dose: quantity.Dose{Concentration: 20,
		Basis: quantity.AsProduct},
		Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000}, Tank: &Vessel{Name: "tank", Volume: 10, Usable: 1},
		From: 7, Till: 17, Work: 0.25,
		Ageing: quantity.Some[quantity.Time](1), Pump: nameplate(20), Follows: true}}}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	if n, ok := noted(p.Notes, "stock-schedule"); !ok || !strings.HasPrefix(n.Remedy,
		"age it in a make-up tank of its own, about 10 L usable, or have somebody to make it up from 07:00 to 17:15") {
		t.Errorf("%v", p.Notes)
	}
}
