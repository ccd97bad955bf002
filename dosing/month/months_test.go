package month

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestMonthsInARow: the second month starts with what the first left, and
// together they use what the calendar says, without a delivery listed twice.
func TestMonthsInARow(t *testing.T) {
	p := handMonth()
	b, err := Months(p, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	if b[1].Plan.Calendar.Month != (Month{2028, time.March}) || b[2].Plan.Calendar.Month != (Month{2028, time.April}) {
		t.Fatalf("months %s, %s", b[1].Plan.Calendar.Month, b[2].Plan.Calendar.Month)
	}
	for c := range p.Chemicals {
		seen := map[Date]bool{}
		for i := range b {
			if i > 0 {
				near(t, "opening", float64(b[i].Accounts[c].Stock[0].Start), float64(b[i-1].Accounts[c].Closing(b[i-1].Plan.Calendar.Month)))
			}
			for _, d := range b[i].Accounts[c].Deliveries {
				if seen[d.Arrives] {
					t.Errorf("%s of %s twice", d.Arrives, p.Chemicals[c].Name)
				}
				seen[d.Arrives] = true
			}
		}
	}
	// On 1 March 1.0125 kg of polymer: the pack of 22 February, 8 days old, and what is left of that of the 15th.
	u := b[1].Plan.Chemicals[1].Supply
	if u.OpeningAge != 15 || len(u.Fresher) != 1 || u.Fresher[0].Age != 8 {
		t.Errorf("polymer on 1 March %+v", u)
	}
	near(t, "fresh polymer", float64(u.Fresher[0].Amount), 1)
	for _, m := range b[1:] { // the packs are small enough that nothing need go out of date
		for _, d := range m.Accounts[1].Stock {
			if d.Expired > 1e-9 {
				t.Errorf("%s: %s out of date", d.Date, d.Expired)
			}
		}
	}
}

// TestMonthsNeverRunDry: a plant that can be served for one month can be served for a year.
func TestMonthsNeverRunDry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		s := &p.Chemicals[0].Supply
		for d := range p.Calendar.Week {
			p.Calendar.Week[d].Delivery = true
		}
		s.ShelfDays, s.OnOrder, s.Limit = 0, 0, 0
		day := float64(p.Calendar.Flow) * float64(p.Calendar.Week[0].Hours) * float64(p.Chemicals[0].Doses[0].Plan) / 1000
		s.Opening = 0
		p.OrderFrom = p.Calendar.Month.First().AddDays(-s.LeadDays)
		b, err := Months(p, 4, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range b {
			if a := m.Accounts[0]; a.RunsOut != nil {
				t.Fatalf("short on %s by %s of %g a day", a.RunsOut.Date, a.RunsOut.Short, day)
			}
		}
	})
}

// TestWhatTheNextMonthStartsWith: 3 kg a day from 1 April 2027, 30 days; the
// oldest goods are used first, so the newest are left.
func TestWhatTheNextMonthStartsWith(t *testing.T) {
	june, march := Date{2027, time.June, 1}, Date{2027, time.March, 31}
	first := Date{2027, time.May, 1}
	for _, c := range []struct {
		what    string
		supply  Supply
		opening float64
		age     int
		fresher []Lot
		onOrder int
	}{
		{"what is left of the opening stock", Supply{Opening: 100, OpeningAge: 7, Pack: 10, ShippingFactor: 1}, 10, 37, nil, 0},
		// 120 of 200 kg came 2 days before the month: 110 are left, all of these.
		{"of a later part", Supply{Opening: 200, OpeningAge: 7, Fresher: []Lot{{120, 2}}, Pack: 10, ShippingFactor: 1}, 110, 32, nil, 0},
		{"of both parts", Supply{Opening: 120, OpeningAge: 7, Fresher: []Lot{{20, 2}}, Pack: 10, ShippingFactor: 1}, 30, 37, []Lot{{20, 32}}, 0},
		// The 20 kg of 4 April were 26 days in store on the last, 27 on 1 May.
		{"and of what was on order", Supply{Opening: 100, OpeningAge: 7, Pack: 10, ShippingFactor: 1, OnOrder: 2, OnOrderDate: Date{2027, time.April, 4}}, 30, 37, []Lot{{20, 27}}, 0},
		{"still on order", Supply{Opening: 100, Pack: 10, ShippingFactor: 1, OnOrder: 2, OnOrderDate: june}, 10, 30, nil, 2},
		{"on order for the first", Supply{Opening: 100, Pack: 10, ShippingFactor: 1, OnOrder: 1, OnOrderDate: first}, 10, 30, nil, 1},
		{"on order for a day gone by", Supply{Opening: 100, Pack: 10, ShippingFactor: 1, OnOrder: 2, OnOrderDate: march}, 10, 30, nil, 0},
		// 3 kg are missing on the 30th, when 90 kg come.
		{"what came last", Supply{Opening: 87, OpeningAge: 3, Pack: 10, ShippingFactor: 1}, 87, 1, nil, 0},
	} {
		b, err := Months(three(c.supply), 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		s := b[1].Plan.Chemicals[0].Supply
		near(t, c.what, float64(s.Opening), c.opening)
		if s.OpeningAge != c.age || len(s.Fresher) != len(c.fresher) || s.OnOrder != c.onOrder || s.OnOrderDate.IsZero() != (c.onOrder == 0) {
			t.Errorf("%s: %+v", c.what, s)
			continue
		}
		for i, l := range c.fresher {
			if s.Fresher[i].Age != l.Age {
				t.Errorf("%s: lot %+v, want %+v", c.what, s.Fresher[i], l)
			}
			near(t, c.what, float64(s.Fresher[i].Amount), float64(l.Amount))
		}
		if a := b[1].Accounts[0]; float64(a.Stock[0].Start) != float64(s.Opening) {
			t.Errorf("%s: May starts with %s", c.what, a.Stock[0].Start)
		}
	}
}

// TestLaterPartsGoOutOfDate: of 30 kg of 8 days and 30 of 2, keeping 10, the first
// last two days, 6 kg, and the second 8: 24 kg more; the rest is thrown away.
func TestLaterPartsGoOutOfDate(t *testing.T) {
	a := must(t, three(Supply{Opening: 60, OpeningAge: 8, Fresher: []Lot{{30, 2}}, Pack: 10, ShelfDays: 10, LeadDays: 20})).Accounts[0]
	for day, want := range map[int]float64{1: 0, 2: 24, 3: 0, 7: 0, 8: 12, 9: 0} {
		near(t, a.Stock[day].Date.String(), float64(a.Stock[day].Expired), want)
	}
	// On the first morning 6 of the old 30 kg and all of the later are usable, but only 24 kg of use remain.
	near(t, "usable", a.Store.Row("usable", 0), 24)
	near(t, "newest", a.Store.Row("newest", 0), -2)
}

// TestLastMonthOrdersOn: the last month lists what it orders for the next, those before
// it leave that to the month in which it comes. A plant of 3 kg a day has 97 kg on 1 April and buys 50 at a time.
func TestLastMonthOrdersOn(t *testing.T) {
	p := three(Supply{Opening: 97, Pack: 50, OrderPacks: 1, LeadDays: 7, ShippingFactor: 1})
	p.OrderFrom = Date{2027, time.January, 1}
	for n, want := range map[int]int{1: 1, 2: 0} { // the pack of 3 May
		b, err := Months(p, n, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := b[0].Accounts[0].Deliveries; len(got) != want || len(b) != n {
			t.Errorf("%d months: %+v", n, got)
		}
	}
	// What was on order and has come is no longer on order; what is yet to come is.
	for arrives, left := range map[Date]int{{2027, time.April, 30}: 0, {2027, time.May, 1}: 2, {2027, time.June, 9}: 2} {
		p.Chemicals[0].Supply.OnOrder, p.Chemicals[0].Supply.OnOrderDate = 2, arrives
		if s := must(t, p).next().Chemicals[0].Supply; s.OnOrder != left || s.OnOrderDate.IsZero() != (left == 0) {
			t.Errorf("%s: %+v", arrives, s)
		}
	}
}
