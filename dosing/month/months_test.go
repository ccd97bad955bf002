package month

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
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
		p.OrderFrom = p.Calendar.Month.First().AddDays(-s.LeadDays - 2) // a weekend earlier
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

// TestOrderStandsWhereItIsPlaced: a plant of 3 kg a day has 97 kg on 1 April and buys 50 kg at a time, which
// come after 7 days. Its 97 kg last to 2 May, so that the first pack comes on 3 May and is ordered on Monday,
// 26 April, be it budgeted alone or with May.
func TestOrderStandsWhereItIsPlaced(t *testing.T) {
	p := three(Supply{Opening: 97, Pack: 50, OrderPacks: 1, LeadDays: 7, ShippingFactor: 1})
	p.OrderFrom = Date{2027, time.January, 1}
	first := Date{2027, time.May, 3}
	for n := 1; n <= 2; n++ {
		b, err := Months(p, n, nil)
		if err != nil {
			t.Fatal(err)
		}
		a := b[0].Accounts[0]
		if len(a.Deliveries) != 1 || a.Deliveries[0].OrderBy != (Date{2027, time.April, 26}) || a.Deliveries[0].Arrives != first ||
			a.Deliveries[0].Packs != 1 || len(a.Before) != 0 || a.ToPay.Amount != 0 {
			t.Errorf("%d months, April: %+v, before %+v, to pay %v", n, a.Deliveries, a.Before, a.ToPay)
		}
		near(t, "stock then", float64(a.Deliveries[0].StockAfter), 97-32*3+50)
		if n == 1 {
			continue
		}
		a = b[1].Accounts[0]
		if len(a.Before) != 1 || a.Before[0].Arrives != first || a.Before[0].OrderBy != (Date{2027, time.April, 26}) {
			t.Errorf("May, ordered before: %+v", a.Before)
		}
		near(t, "stock then, seen from May", float64(a.Before[0].StockAfter), 97-32*3+50)
		// 51 kg on 3 May last 17 days: the next comes on the 20th. What comes in May, of both months' orders, is paid in May.
		if d := a.Deliveries[0]; d.OrderBy != (Date{2027, time.May, 13}) || d.Arrives != (Date{2027, time.May, 20}) {
			t.Errorf("May orders %+v", a.Deliveries)
		}
		near(t, "to pay in May", a.ToPay.Amount, 2*50*2)
	}
	// What was on order and has come is no longer on order; what is yet to come is.
	for arrives, left := range map[Date]int{{2027, time.April, 30}: 0, {2027, time.May, 1}: 2, {2027, time.June, 9}: 2} {
		p.Chemicals[0].Supply.OnOrder, p.Chemicals[0].Supply.OnOrderDate = 2, arrives
		if s := must(t, p).next().Chemicals[0].Supply; s.OnOrder != left || s.OnOrderDate.IsZero() != (left == 0) {
			t.Errorf("%s: %+v", arrives, s)
		}
	}
}

// TestOrdersOfARow: of months in a row the first says what it says alone, an order is placed in the month in
// which it stands, each arrives once, its month pays for it, and it comes when the month that ordered it said.
func TestOrdersOfARow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		b, err := Months(p, 4, nil)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := fmt.Sprint(b[0].Accounts[0].Deliveries), fmt.Sprint(alone.Accounts[0].Deliveries); got != want {
			t.Fatalf("first of a row %s, alone %s", got, want)
		}
		var booked []Delivery
		for i, m := range b {
			month, a := m.Plan.Calendar.Month, m.Accounts[0]
			var due float64
			for _, d := range append(slices.Clone(a.Before), a.Deliveries...) {
				if MonthOf(d.Arrives) == month {
					due += d.Cost.Amount
				}
			}
			if math.Abs(due-a.ToPay.Amount) > 1e-9*max(1, due) {
				t.Fatalf("%s pays %g for deliveries of %g", month, a.ToPay.Amount, due)
			}
			for _, d := range a.Deliveries {
				if i > 0 && MonthOf(d.OrderBy) != month || d.Arrives.Before(d.OrderBy) {
					t.Fatalf("%s: %+v", month, d)
				}
			}
			var came []string
			for _, d := range booked {
				if MonthOf(d.Arrives) == month {
					came = append(came, fmt.Sprint(d.OrderBy, d.Arrives, d.Packs))
				}
			}
			var said []string
			for _, d := range a.Before {
				said = append(said, fmt.Sprint(d.OrderBy, d.Arrives, d.Packs))
			}
			if !slices.Equal(came, said) {
				t.Fatalf("%s: ordered before %q, arrives %q", month, came, said)
			}
			booked = append(booked, a.Deliveries...)
		}
	})
}

// TestOrdersKnowTheNextMonth: 3 kg a day in April, 12 in May, which a lead time of 10 days has to be ordered
// for in April: 1 May is a Saturday, so that an order of May is placed on the 3rd and comes on the 13th; 12 days at 12 kg are
// 144 kg, in packs of 10, and at 3 kg 36 kg.
func TestOrdersKnowTheNextMonth(t *testing.T) {
	p := three(Supply{Opening: 90, Pack: 10, OrderPacks: 1, LeadDays: 10, ShippingFactor: 1})
	of := func(m Month) (Plan, error) {
		q := p
		q.Calendar.Month, q.Chemicals = m, slices.Clone(p.Chemicals)
		q.Chemicals[0].Doses = []Dose{{Plan: 40}}
		return q, nil
	}
	for _, varies := range []bool{false, true} {
		p.Varies = varies
		b, err := Months(p, 2, of)
		if err != nil {
			t.Fatal(err)
		}
		april, may := b[0].Accounts[0], b[1].Accounts[0]
		var ordered quantity.Mass
		for _, d := range april.Deliveries {
			if MonthOf(d.Arrives) != b[0].Plan.Calendar.Month {
				ordered += d.Amount
			}
		}
		if want := map[bool]quantity.Mass{false: 40, true: 150}[varies]; ordered != want {
			t.Errorf("varies %t: %s ordered for May, by hand %s", varies, ordered, want)
		}
		if (may.RunsOut == nil) != varies {
			t.Errorf("varies %t: runs out %+v", varies, may.RunsOut)
		}
		near(t, "ahead", april.Ahead[0], map[bool]float64{false: 1, true: 4}[varies])
		near(t, "April", float64(april.Use), 90)
	}
}
