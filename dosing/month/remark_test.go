package month

import (
	"strings"
	"testing"
	"time"

	"jarwright/jartest/quantity"
)

// TestRemarks: what is said of small stores, and what is not. The plant uses 3 kg a
// day from 1 April 2027, a Thursday, to the 30th; no lead time where none is given.
func TestRemarks(t *testing.T) {
	april := func(d int) Date { return Date{2027, time.April, d} }
	for _, c := range []struct {
		what   string
		supply Supply
		comes  []time.Weekday
		change func(*Plan)
		says   map[string]string // code and a part of what is said; "" where it must not be said
	}{
		{what: "always enough", supply: Supply{Opening: 20, Pack: 10, ShippingFactor: 1},
			says: map[string]string{"runs-out": "", "below-minimum": "", "store-overfull": "", "out-of-date": "", "order-outside": "", "no-price": "", "minimum-stock": "", "nothing-treated": "", "may-run-out": "",
				"not-priced": "", "no-range": "without a range"}},
		// 12 kg are kept; the 11 kg of the first morning are too few, and nothing comes before the 5th.
		{what: "below the minimum", supply: Supply{Opening: 20, Pack: 10, LeadDays: 4, MinDays: 4, ShippingFactor: 1},
			says: map[string]string{"below-minimum": "12 kg that should always be kept (4 days of use and the slack for a late delivery), first on 2027-04-03", "runs-out": ""}},
		// 12 kg on the evening of the 3rd are just the minimum.
		{what: "at the minimum", supply: Supply{Opening: 21, Pack: 10, LeadDays: 3, MinDays: 4, ShippingFactor: 1}, says: map[string]string{"below-minimum": ""}},
		{what: "below on the first evening", supply: Supply{Opening: 14, Pack: 10, LeadDays: 1, MinDays: 4, ShippingFactor: 1}, says: map[string]string{"below-minimum": "first on 2027-04-01"}},
		// Of what keeps 6 days no more than 18 kg are taken in, and on the last evening before the next delivery 6 or 9 of them are there.
		{what: "held back by its shelf life", supply: Supply{Opening: 18, Pack: 1, MinDays: 5, ShelfDays: 6, ShippingFactor: 1}, comes: []time.Weekday{time.Monday, time.Thursday},
			says: map[string]string{"below-minimum": "15 kg that should always be kept", "runs-out": ""}},
		{what: "short before an order can come", supply: Supply{Opening: 8, Pack: 10, LeadDays: 4, ShippingFactor: 1},
			says: map[string]string{"runs-out": "runs out on 2027-04-03 (short of 4 kg on 2 days of the month): the stock of 8 kg lasts 2.7 d and an order placed on 2027-04-01 arrives on 2027-04-05", "below-minimum": ""}},
		{what: "short for want of room", supply: Supply{Opening: 20, Pack: 10, Limit: 20, ShippingFactor: 1}, comes: []time.Weekday{time.Thursday},
			says: map[string]string{"runs-out": "what the store holds (20 kg) does not last from one delivery day to the next"}},
		{what: "short for want of a delivery day", supply: Supply{Opening: 10, Pack: 10, ShippingFactor: 1}, comes: []time.Weekday{time.Wednesday},
			says: map[string]string{"runs-out": "no delivery day comes in time"}},
		{what: "too much on order", supply: Supply{Opening: 20, Pack: 10, Limit: 30, ShippingFactor: 1, OnOrder: 2, OnOrderDate: april(2)},
			says: map[string]string{"store-overfull": "37 kg on 2027-04-02, room for 30 kg", "order-outside": ""}},
		{what: "just room", supply: Supply{Opening: 20, Pack: 10, Limit: 37, ShippingFactor: 1, OnOrder: 2, OnOrderDate: april(2)}, says: map[string]string{"store-overfull": ""}},
		{what: "overfull on the first morning", supply: Supply{Opening: 20, Pack: 10, Limit: 10, ShippingFactor: 1}, says: map[string]string{"store-overfull": "20 kg on 2027-04-01, room for 10 kg"}},
		// 30 April is a Friday: what it orders comes up to the Sunday after.
		{what: "on order for the last day", supply: Supply{Opening: 90, Pack: 10, ShippingFactor: 1, OnOrder: 1, OnOrderDate: Date{2027, time.May, 2}}, says: map[string]string{"order-outside": ""}},
		{what: "on order for the day after", supply: Supply{Opening: 90, Pack: 10, ShippingFactor: 1, OnOrder: 1, OnOrderDate: Date{2027, time.May, 3}},
			says: map[string]string{"order-outside": "(1 x 10 kg) arrives on 2027-05-03, outside"}},
		{what: "on order for the day before", supply: Supply{Opening: 90, Pack: 10, ShippingFactor: 1, OnOrder: 1, OnOrderDate: Date{2027, time.March, 31}}, says: map[string]string{"order-outside": "2027-03-31"}},
		{what: "old goods", supply: Supply{Opening: 20, OpeningAge: 8, Pack: 10, ShelfDays: 10, ShippingFactor: 1}, says: map[string]string{"out-of-date": "14 kg of coagulant will be out of date"}},
		// A pack on the 25th, of which 25 days use 75 kg; they end beyond the month.
		{what: "a last pack too big", supply: Supply{Opening: 72, Pack: 100, ShelfDays: 25, ShippingFactor: 1},
			says: map[string]string{"out-of-date": "about 25 kg of the coagulant delivered will be out of date before it is used: it keeps 25 days"}},
		{what: "a last pack just small enough", supply: Supply{Opening: 72, Pack: 75, ShelfDays: 25, ShippingFactor: 1}, says: map[string]string{"out-of-date": ""}},
		{what: "no price", supply: Supply{Opening: 20, Pack: 10, ShippingFactor: 1}, change: func(p *Plan) { p.Chemicals[0].Prices = PriceList{} }, says: map[string]string{"no-price": "no price is given"}},
		{what: "no price and no use", supply: Supply{Opening: 20, Pack: 10, ShippingFactor: 1, MinDays: NoMinDays}, change: func(p *Plan) { p.Chemicals[0].Prices, p.Calendar.Flow = PriceList{}, 0 },
			says: map[string]string{"no-price": "", "minimum-stock": "", "below-minimum": "", "nothing-treated": "no water is treated in April 2027"}},
		{what: "the usual minimum", supply: Supply{Opening: 90, Pack: 10, MinDays: NoMinDays, Essential: true}, says: map[string]string{"minimum-stock": "30 days and the factor of 2 on the lead time"}},
		{what: "solids without a price", supply: Supply{Opening: 20, Pack: 10, ShippingFactor: 1}, change: func(p *Plan) { p.Chemicals[0].Floc = 0.001 },
			says: map[string]string{"not-priced": "disposal of solids"}},
		{what: "solids with a price", supply: Supply{Opening: 20, Pack: 10, ShippingFactor: 1}, change: func(p *Plan) {
			p.Chemicals[0].Floc, p.Disposal.Price = 0.44, quantity.Price{Amount: 0.2, Currency: "EUR", Per: "kg dry"}
		}, says: map[string]string{"not-priced": ""}},
	} {
		t.Run(c.what, func(t *testing.T) {
			p := three(c.supply, c.comes...)
			if c.change != nil {
				c.change(&p)
			}
			notes := must(t, p).Notes
			for code, want := range c.says {
				n, said := has(notes, code)
				if said != (want != "") || !strings.Contains(n.Error(), want) {
					t.Errorf("%s: %q, want %q", code, n.Error(), want)
				}
			}
		})
	}
}

// TestRemarksCountTheMonth: what lies in the days looked ahead is not told of the
// month, and what lies in it is, to its last day.
func TestRemarksCountTheMonth(t *testing.T) {
	// 3 kg a day; a lead time of 5 days, an order of 1 April is there on the 6th. 12 kg are kept.
	p := three(Supply{Opening: 1000, Pack: 10, LeadDays: 5, MinDays: 4, ShippingFactor: 1})
	b := must(t, p)
	a := &b.Accounts[0]
	for _, x := range []struct {
		what, says string
		spoil      func()
	}{
		{"the last evening", "first on 2027-04-30", func() { a.Stock[29].End = 11.9 }},
		{"the first evening after", "", func() { a.Stock[30].End = 11.9 }},
	} {
		*a = must(t, p).Accounts[0]
		x.spoil()
		b.Notes = nil
		b.remark(newModel(b.Plan, b.Classes, b.Days))
		if n, ok := has(b.Notes, "below-minimum"); ok != (x.says != "") || !strings.Contains(n.Message, x.says) {
			t.Errorf("%s: %q", x.what, n.Message)
		}
	}
	*a = must(t, p).Accounts[0]
	a.Stock[28].Short, a.Stock[29].Short, a.Stock[30].Short = 1.5, 2, 4
	a.RunsOut = &a.Stock[28]
	a.RunsOut.Date = Date{2027, time.April, 29}
	m := newModel(b.Plan, b.Classes, b.Days)
	if n := a.shortage(m); !strings.Contains(n.Message, "short of 3.5 kg on 2 days of the month): no delivery day comes in time") {
		t.Error(n.Message)
	}
	// An order of 1 April is there on the 6th: on that day another reason is sought, a day before it is the lead time.
	for day, want := range map[int]string{5: "arrives on 2027-04-06 at the earliest (5 d)", 6: "no delivery day comes in time"} {
		a.RunsOut.Date = Date{2027, time.April, day}
		if n := a.shortage(m); !strings.Contains(n.Message, want) {
			t.Errorf("%d April: %s", day, n.Message)
		}
	}
}

// TestRemarkFigures: shares in two digits, masses in three.
func TestRemarkFigures(t *testing.T) {
	p := three(Supply{Opening: 1000, Pack: 12.345, ShippingFactor: 1, OnOrder: 1, OnOrderDate: Date{2027, time.June, 1}})
	b := must(t, p)
	b.Notes, b.Range.RunsOut[0], b.Accounts[0].Stock[2].Expired = nil, 0.1234, 1.2345
	b.remark(newModel(b.Plan, b.Classes, b.Days))
	for code, want := range map[string]string{"may-run-out": "in 12 % of the months", "out-of-date": "1.23 kg of coagulant", "order-outside": "(1 x 12.35 kg)"} {
		if n, ok := has(b.Notes, code); !ok || !strings.Contains(n.Message, want) {
			t.Errorf("%s: %q does not say %q", code, n.Message, want)
		}
	}
	if short(1.2345).String() != "1.23" {
		t.Errorf("%s", short(1.2345))
	}
}

// TestFirstDelivery: 3 kg a day of which 16 are there last to Tuesday 6 April. With a lead of
// 2 days an order of Thursday the 1st could be there on Saturday the 3rd, but the first day
// with deliveries is Wednesday the 7th: the room is not the cause, however small it is.
func TestFirstDelivery(t *testing.T) {
	for _, limit := range []quantity.Mass{0, 20} {
		b := must(t, three(Supply{Opening: 16, Pack: 10, LeadDays: 2, Limit: limit, ShippingFactor: 1}, time.Wednesday))
		if n, ok := has(b.Notes, "runs-out"); !ok || !strings.Contains(n.Message, "runs out on 2027-04-06") || !strings.Contains(n.Message,
			"no delivery day comes in time: the stock of 16 kg lasts 5.3 d and an order placed on 2027-04-01 could be there on 2027-04-03, but the first day with deliveries then is 2027-04-07") {
			t.Errorf("room for %v: %s", limit, n.Message)
		}
	}
}

// TestOrderOnAWorkingDay: what arrives on a Monday after 2 days is ordered on the Friday
// before, not on Saturday; where orders can be placed from a Saturday or Sunday on only, on the Monday, and the delivery is
// counted from that: with a day's lead it comes on the Monday after.
func TestOrderOnAWorkingDay(t *testing.T) {
	april := func(d int) Date { return Date{2027, time.April, d} }
	for _, x := range []struct {
		lead int
		from Date
		by   string
	}{{1, april(3), "2027-04-09"}, {0, april(4), "2027-04-05"}, {0, april(1), "2027-04-05"}, {1, april(1), "2027-04-02"}, {2, april(1), "2027-04-02"}, {3, april(1), "2027-04-02"}, {4, april(1), "2027-04-01"}, {1, april(4), "2027-04-09"}} {
		p := three(Supply{Opening: 16, Pack: 10, LeadDays: x.lead, ShippingFactor: 1}, time.Monday)
		p.OrderFrom = x.from
		if d := must(t, p).Accounts[0].Deliveries; len(d) == 0 || d[0].OrderBy.String() != x.by || d[0].Arrives.String() != map[bool]string{false: "2027-04-05", true: "2027-04-12"}[x.by == "2027-04-09"] {
			t.Errorf("%+v: %+v", x, d)
		}
	}
}

// TestOrderSooner: an order that the shelf life itself holds back is not to be placed sooner; one that only comes too late is.
func TestOrderSooner(t *testing.T) {
	for what, x := range map[string]struct {
		supply Supply
		comes  []time.Weekday
		sooner bool
	}{
		"late":  {Supply{Opening: 20, Pack: 10, LeadDays: 4, MinDays: 4, ShippingFactor: 1}, nil, true},
		"keeps": {Supply{Opening: 18, Pack: 1, MinDays: 5, ShelfDays: 6, ShippingFactor: 1}, []time.Weekday{time.Monday, time.Thursday}, false},
	} {
		n, ok := has(must(t, three(x.supply, x.comes...)).Notes, "below-minimum")
		if do := n.Remedy; !ok || strings.Contains(do, "order sooner") != x.sooner || strings.Contains(do, "in the 6 days that it keeps") == x.sooner {
			t.Errorf("%s: %v", what, n)
		}
	}
}
