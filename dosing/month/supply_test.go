package month

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func has(l note.List, code string) (note.Note, bool) {
	for _, n := range l {
		if n.Code == code {
			return n, true
		}
	}
	return note.Note{}, false
}

// TestCoverEndsWithShelfLife: 90 kg at 3 kg a day last 30 days, of what keeps 12 days and has stood
// for 2 only 10; 25 kg are used up before, after 8 days and a third.
func TestCoverEndsWithShelfLife(t *testing.T) {
	for _, x := range []struct {
		opening    quantity.Mass
		shelf, age int
		want       float64
	}{{90, 0, 0, 30}, {90, 12, 2, 10}, {90, 2, 2, 0}, {25, 12, 2, 25.0 / 3}, {3000, 400, 35, 365}} {
		p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
		p.Chemicals[0].Supply = Supply{Opening: x.opening, OpeningAge: x.age, ShelfDays: x.shelf, Pack: 25, LeadDays: 1, MinDays: 2}
		near(t, "cover d", must(t, p).Accounts[0].Cover.In("d"), x.want)
	}
}

// TestLeadTimeLongerThanCover: 25 kg at 3 kg a day last 8 days and a third; an
// order of the 1st takes 12 days, so the store is short from the 9th.
func TestLeadTimeLongerThanCover(t *testing.T) {
	p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	p.Chemicals[0].Supply = Supply{Opening: 25, Pack: 25, LeadDays: 12, MinDays: 2}
	b := must(t, p)
	a := b.Accounts[0]
	if a.RunsOut == nil || a.RunsOut.Date != (Date{2027, time.April, 9}) {
		t.Fatalf("runs out %v, want 2027-04-09", a.RunsOut)
	}
	near(t, "cover d", a.Cover.In("d"), 25.0/3)
	near(t, "short on the 9th", float64(a.RunsOut.Short), 2)
	n, ok := has(b.Notes, "runs-out")
	if !ok {
		t.Fatal("no note runs-out")
	}
	for _, want := range []string{"2027-04-09", "2027-04-13", "12 d", "8.3 d"} {
		if !strings.Contains(n.Error(), want) {
			t.Errorf("%q does not say %q", n.Error(), want)
		}
	}
	// From the arrival on there is enough.
	for i, d := range a.Stock {
		if i >= 12 && d.Short > 0 {
			t.Errorf("short on %s", d.Date)
		}
	}
	// An order sent before the month would have saved it.
	p.OrderFrom = Date{2027, time.March, 26} // a Friday
	if a := must(t, p).Accounts[0]; a.RunsOut != nil {
		t.Errorf("runs out on %s although ordered in time", a.RunsOut.Date)
	} else if d := a.Deliveries[0]; d.OrderBy.AddDays(12) != d.Arrives || d.OrderBy.Before(p.OrderFrom) {
		t.Errorf("delivery %+v", d)
	}
}

func TestOrderOfThisMonthForTheNext(t *testing.T) {
	p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Delivery = true
	}
	p.Chemicals[0].Supply = Supply{Opening: 97, Pack: 50, OrderPacks: 1, LeadDays: 7, MinDays: 0, ShippingFactor: 1}
	b := must(t, p)
	a := b.Accounts[0]
	if a.Closing(b.Plan.Calendar.Month) != 7 {
		t.Fatalf("closing stock %s, want 7 kg", a.Closing(b.Plan.Calendar.Month))
	}
	// 7 kg last over 1 and 2 May; the pack of the 3rd must be ordered on 26 April.
	want := Delivery{OrderBy: Date{2027, time.April, 26}, Arrives: Date{2027, time.May, 3}, Packs: 1}
	if len(a.Deliveries) != 1 || a.Deliveries[0].OrderBy != want.OrderBy || a.Deliveries[0].Arrives != want.Arrives || a.Deliveries[0].Packs != want.Packs {
		t.Errorf("deliveries %+v, want %+v", a.Deliveries, want)
	}
	if a.ToPay.Amount != 0 {
		t.Errorf("%s to pay in April for a delivery of May", a.ToPay)
	}
}

func TestOnOrder(t *testing.T) {
	p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"}) // 3 kg/d
	p.Chemicals[0].Supply = Supply{Opening: 40, Pack: 25, LeadDays: 5, MinDays: 1, ShippingFactor: 1, OnOrder: 4, OnOrderDate: Date{2027, time.April, 8}, Limit: 125}
	b := must(t, p)
	a := b.Accounts[0]
	if d := a.Stock[7]; d.Arrived != 100 || d.Packs != 0 {
		t.Errorf("8 April: %+v", d)
	}
	if a.RunsOut != nil {
		t.Errorf("runs out on %s", a.RunsOut.Date)
	}
	if _, over := has(b.Notes, "store-overfull"); over {
		t.Error("overfull")
	}
	p.Chemicals[0].Supply.OnOrderDate = Date{2027, time.June, 1}
	if _, ok := has(must(t, p).Notes, "order-outside"); !ok {
		t.Error("an order beyond the plan passes without a word")
	}
}

func TestPackBiggerThanItsLife(t *testing.T) {
	p := flat(1, 24, 1, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"}) // 24 g a day
	p.Chemicals[0].Supply = Supply{Opening: 0.1, Pack: 5, ShelfDays: 30, MinDays: 1}
	b := must(t, p)
	if b.Accounts[0].RunsOut != nil {
		t.Error("runs out although a pack could be bought")
	}
	n, ok := has(b.Notes, "out-of-date")
	if !ok || !strings.Contains(n.Message, "keeps 30 days") {
		t.Errorf("no word of what goes out of date: %v", b.Notes)
	}
}

func TestBadSupplies(t *testing.T) {
	for code, s := range map[string]Supply{
		"pack-missing": {}, "negative-stock": {Pack: 1, Opening: -1}, "negative-days": {Pack: 1, LeadDays: -1},
		"pack-too-big": {Pack: 10, Limit: 5}, "no-arrival-date": {Pack: 1, OnOrder: 1},
	} {
		p := flat(1, 24, 1, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
		p.Chemicals[0].Supply = s
		_, err := Make(p)
		if _, ok := has(note.Of(err, ""), code); !ok {
			t.Errorf("%s: %v", code, err)
		}
	}
}

// TestSupplyFaultsAndNoMore: each figure that is not possible is named, and those
// at the edge of what is possible pass.
func TestSupplyFaultsAndNoMore(t *testing.T) {
	for _, c := range []struct {
		supply Supply
		want   string // code, "" for none
	}{
		{Supply{Pack: 0.1}, ""}, {Supply{Pack: -1}, "pack-missing"}, {Supply{Pack: 5, Limit: 5}, ""}, {Supply{Pack: 0.6, Limit: 0.5}, "pack-too-big"},
		{Supply{Pack: 1, Limit: -1}, "negative-stock"}, {Supply{Pack: 1, ShelfDays: -1}, "negative-days"}, {Supply{Pack: 1, OpeningAge: -1}, "negative-days"},
		{Supply{Pack: 1, OrderPacks: -1}, "negative-days"}, {Supply{Pack: 1, OnOrder: -1}, "negative-days"}, {Supply{Pack: 1, OnOrder: 1, OnOrderDate: Date{2027, time.May, 1}}, ""},
		{Supply{Pack: 1, LeadDays: 0, ShelfDays: 0, Opening: 0}, ""},
	} {
		l := c.supply.check("alum")
		if c.want == "" && len(l) > 0 || c.want != "" && (len(l) != 1 || l[0].Code != c.want || !strings.HasPrefix(l[0].Message, "alum: ")) {
			t.Errorf("%+v: %v, want %q", c.supply, l, c.want)
		}
	}
	eur := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: "EUR", Per: "kg"} }
	for _, c := range []struct {
		list PriceList
		want string
	}{
		{PriceList{Tiers: []Tier{{1, eur(2)}, {2, eur(1)}}}, ""}, {PriceList{Tiers: []Tier{{2, eur(2)}, {2, eur(1)}}}, "tiers"}, {PriceList{Tiers: []Tier{{3, eur(2)}, {2, eur(1)}}}, "tiers"},
		{PriceList{Tiers: []Tier{{1, eur(-1)}}}, "bad-price"}, {PriceList{Delivery: quantity.Money{Amount: -0.01}}, "bad-price"}, {PriceList{Delivery: quantity.Money{Amount: 0.5}}, ""},
	} {
		l := c.list.check("alum")
		if c.want == "" && len(l) > 0 || c.want != "" && (len(l) != 1 || l[0].Code != c.want) {
			t.Errorf("%+v: %v, want %q", c.list, l, c.want)
		}
	}
}

// drawnPlan is any plant with one chemical.
func drawnPlan(t *rapid.T) Plan {
	month := Month{rapid.IntRange(2024, 2031).Draw(t, "year"), time.Month(rapid.IntRange(1, 12).Draw(t, "month"))}
	p := flat(quantity.Flow(rapid.Float64Range(0.5, 100).Draw(t, "flow")), quantity.Time(rapid.Float64Range(1, 24).Draw(t, "hours")),
		quantity.Concentration(rapid.Float64Range(0.1, 100).Draw(t, "dose")), quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	p.Calendar.Month = month
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Operating = rapid.Bool().Draw(t, fmt.Sprint("works ", d))
		p.Calendar.Week[d].Delivery = rapid.Bool().Draw(t, fmt.Sprint("delivers ", d))
	}
	pack := rapid.Float64Range(0.5, 1000).Draw(t, "pack")
	s := Supply{
		Opening: quantity.Mass(rapid.Float64Range(0, 2000).Draw(t, "opening")), Pack: quantity.Mass(pack), LeadDays: rapid.IntRange(0, 20).Draw(t, "lead"),
		OpeningAge: rapid.IntRange(0, 40).Draw(t, "age"), MinDays: float64(rapid.IntRange(-1, 10).Draw(t, "min")), OrderPacks: rapid.IntRange(0, 5).Draw(t, "order"),
	}
	if rapid.Bool().Draw(t, "has shelf") {
		s.ShelfDays = rapid.IntRange(1, 60).Draw(t, "shelf")
	}
	if rapid.Bool().Draw(t, "has limit") {
		s.Limit = quantity.Mass(pack * rapid.Float64Range(1, 20).Draw(t, "limit"))
		s.Opening = min(s.Opening, s.Limit)
	}
	if rapid.Bool().Draw(t, "on order") {
		s.OnOrder, s.OnOrderDate = rapid.IntRange(1, 3).Draw(t, "packs on order"), month.First().AddDays(rapid.IntRange(0, 27).Draw(t, "arrives"))
	}
	p.Chemicals[0].Supply = s
	p.Doubt.Draws = 10
	return p
}

// TestStoreProperties: for any plant, the account balances day by day, the stock
// is never negative, ordered packs never overfill the store, nothing older than
// its shelf life is used, and no order arrives before its lead time.
func TestStoreProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		a, s := b.Accounts[0], p.Chemicals[0].Supply
		type lot struct {
			day  int
			left float64
		}
		lots := []lot{{-s.OpeningAge, float64(s.Opening)}}
		stock := float64(s.Opening)
		for i, d := range a.Stock {
			if d.Start < 0 || d.Expired < 0 || d.Used < 0 || d.End < 0 || d.Short < 0 {
				t.Fatalf("%s: negative: %+v", d.Date, d)
			}
			if diff := float64(d.Start - d.Expired + d.Arrived - d.Used - d.End); diff > 1e-6 || diff < -1e-6 {
				t.Fatalf("%s does not balance by %g: %+v", d.Date, diff, d)
			}
			if diff := float64(d.Start) - stock; diff > 1e-6 || diff < -1e-6 {
				t.Fatalf("%s starts with %s, the day before ended with %g", d.Date, d.Start, stock)
			}
			stock = float64(d.End)
			if d.Packs > 0 {
				if s.Limit > 0 && d.Full > s.Limit+1e-6 {
					t.Fatalf("%s: %s in a store for %s", d.Date, d.Full, s.Limit)
				}
				if i < s.LeadDays || !b.Days[i].Delivery {
					t.Fatalf("%s: a delivery that cannot come", d.Date)
				}
			}
			// The same account lot by lot, first in first out.
			gone := 0.0
			for j := range lots {
				if s.ShelfDays > 0 && i-lots[j].day >= s.ShelfDays {
					gone += lots[j].left
					lots[j].left = 0
				}
			}
			if diff := gone - float64(d.Expired); diff > 1e-6 || diff < -1e-6 {
				t.Fatalf("%s: %s out of date, lot by lot %g", d.Date, d.Expired, gone)
			}
			lots = append(lots, lot{i, float64(d.Arrived)})
			use := float64(d.Used)
			for j := range lots {
				take := min(use, lots[j].left)
				lots[j].left -= take
				use -= take
			}
			if use > 1e-6 {
				t.Fatalf("%s: %g kg used that no good lot holds", d.Date, use)
			}
		}
	})
}

// TestNeverShortWhereItCanBe: with a stock that lasts until the first order can
// arrive, deliveries on every day, room for it and no limit of age, the store is
// never short and the plan says so.
func TestNeverShortWhereItCanBe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		s := &p.Chemicals[0].Supply
		for d := range p.Calendar.Week {
			p.Calendar.Week[d].Delivery = true
		}
		s.ShelfDays, s.OnOrder, s.Limit = 0, 0, 0
		p.OrderFrom = p.Calendar.Month.First().AddDays(-2) // a working day whatever the first is
		s.Opening = quantity.Mass(float64(p.Calendar.Flow) * float64(p.Calendar.Week[0].Hours) * float64(p.Chemicals[0].Doses[0].Plan) / 1000 * float64(s.LeadDays))
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		if a := b.Accounts[0]; a.RunsOut != nil {
			t.Fatalf("short on %s by %s", a.RunsOut.Date, a.RunsOut.Short)
		}
		if _, ok := has(b.Notes, "runs-out"); ok {
			t.Fatal("the notes say that it runs out")
		}
	})
}

// TestNothingGoesOutOfDateWhereItNeedNot: with small packs and deliveries on
// every day, nothing that the plan orders goes out of date.
func TestNothingGoesOutOfDateWhereItNeedNot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		s := &p.Chemicals[0].Supply
		for d := range p.Calendar.Week {
			p.Calendar.Week[d].Operating, p.Calendar.Week[d].Delivery = true, true
		}
		day := float64(p.Calendar.Flow) * float64(p.Calendar.Week[0].Hours) * float64(p.Chemicals[0].Doses[0].Plan) / 1000
		p.OrderFrom = p.Calendar.Month.First().AddDays(-2) // a working day whatever the first is
		s.Opening, s.OnOrder, s.Limit, s.OrderPacks = quantity.Mass(day*float64(s.LeadDays)), 0, 0, 0
		s.OpeningAge = 0
		s.ShelfDays = rapid.IntRange(s.LeadDays+2, 60).Draw(t, "shelf days")
		s.Pack = quantity.Mass(day * rapid.Float64Range(0.1, 0.9).Draw(t, "pack in days"))
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		a := b.Accounts[0]
		for _, d := range a.Stock {
			if d.Expired > 1e-6 {
				t.Fatalf("%s: %s out of date", d.Date, d.Expired)
			}
			if d.Short > 1e-6 {
				t.Fatalf("%s: short of %s", d.Date, d.Short)
			}
		}
		if n, ok := has(b.Notes, "out-of-date"); ok {
			t.Fatal(n)
		}
	})
}

// TestCoverOfSeveralAges: 3 kg a day, of what keeps 20 days. 30 kg that are 15 days old are good for 5 more, in which 15 kg are used and 15 go;
// then 24 kg of 4 days last 8 days more, to day 13 of the 16 that they keep. Of 90 kg instead only those of 11 days are used: 16 days in
// all. A third part, of a day, lasts 3 kg a day until its 19 are over, or is used up before.
func TestCoverOfSeveralAges(t *testing.T) {
	for _, x := range []struct {
		oldest  quantity.Mass
		fresher []Lot
		want    float64
	}{
		{30, []Lot{{24, 4}}, 13},
		{30, []Lot{{90, 4}}, 16},
		{30, []Lot{{90, 4}, {6, 1}}, 18},
		{30, []Lot{{90, 4}, {60, 1}}, 19},
		{12, []Lot{{24, 4}}, 12},
		{12, []Lot{{25, 4}}, 12 + 1.0/3},
		{30, []Lot{{24, 15}}, 5},
	} {
		p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
		s := Supply{Opening: x.oldest, OpeningAge: 15, ShelfDays: 20, Pack: 25, LeadDays: 1, MinDays: 2, Fresher: x.fresher}
		for _, l := range x.fresher {
			s.Opening += l.Amount
		}
		p.Chemicals[0].Supply = s
		near(t, "cover d", must(t, p).Accounts[0].Cover.In("d"), x.want)
	}
	// Of two parts that outlast the plan's days, 40 kg of 10 days and 400 of 0 that keep 100: 146.7 days of use, of which 100 are good.
	p := flat(12.5, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	p.Chemicals[0].Supply = Supply{Opening: 440, OpeningAge: 10, ShelfDays: 100, Pack: 25, LeadDays: 1, MinDays: 2, Fresher: []Lot{{400, 0}}}
	near(t, "cover d", must(t, p).Accounts[0].Cover.In("d"), 100)
}

// TestStoreSaysWhatCanBeDone: a remedy is one that is still open. 3 kg a day; 1 April 2027 is a Thursday, 10 April a Saturday.
func TestStoreSaysWhatCanBeDone(t *testing.T) {
	ordered := func(opening quantity.Mass, day int) Supply {
		return Supply{Opening: opening, Pack: 25, LeadDays: 5, MinDays: 1, ShippingFactor: 1, Limit: 500, OnOrder: 4, OnOrderDate: Date{2027, time.April, day}}
	}
	for what, x := range map[string]struct {
		supply       Supply
		code, says   string
		never, place string
	}{
		"too much from the start":     {Supply{Opening: 600, Pack: 25, LeadDays: 5, MinDays: 1, ShippingFactor: 1, Limit: 500}, "store-overfull", "check what is on hand", "on order", ""},
		"too much before what comes":  {ordered(600, 8), "store-overfull", "check what is on hand", "on order", ""},
		"too much by what comes":      {ordered(480, 8), "store-overfull", "put off what is on order", "on hand", ""},
		"comes on a Saturday":         {ordered(100, 10), "order-on-closed-day", "ask on which day", "", "2027-04-10"},
		"below when it opens":         {Supply{Opening: 30, Pack: 25, LeadDays: 5, MinDays: 20, ShippingFactor: 1}, "below-minimum", "no order that can still be placed", "order sooner", ""},
		"below before an order comes": {Supply{Opening: 62, Pack: 25, LeadDays: 5, MinDays: 20, ShippingFactor: 1}, "below-minimum", "if the month is still ahead", "accept", ""},
		"let out as it has gone off":  {Supply{Opening: 600, Pack: 25, LeadDays: 5, MinDays: 1, ShippingFactor: 1}, "let-out-not-counted", "make that stock up more often", "", "60 kg"},
		"lasts less for what is lost": {Supply{Opening: 600, Pack: 25, LeadDays: 5, MinDays: 1, ShippingFactor: 1}, "let-out-not-counted", "order so much more", "", "120 d"},
	} {
		p := three(x.supply, time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday)
		p.Chemicals[0].LetOut = 2 // 30 days of 2 kg are 60 kg; 600 kg at 5 kg a day last 120 days
		n, ok := has(must(t, p).Notes, x.code)
		if !ok || !strings.Contains(n.Remedy, x.says) || x.never != "" && strings.Contains(n.Remedy, x.never) || !strings.Contains(n.Message, x.place) {
			t.Errorf("%s: %v", what, n)
		}
	}
	p := three(ordered(100, 9), time.Monday, time.Friday)
	if n, ok := has(must(t, p).Notes, "order-on-closed-day"); ok {
		t.Errorf("a Friday with deliveries: %v", n)
	}
	if n, ok := has(must(t, p).Notes, "let-out-not-counted"); ok {
		t.Errorf("nothing is let out: %v", n)
	}
}

// TestOrderBeforeAWeekend: deliveries on Fridays, 3 kg a day, 5 days of lead time. 60 kg are 15 kg on Friday the 16th, less than the
// 27 kg of a week and the minimum: 50 kg come then. Five days before is a Sunday, so the order is placed on Friday the 9th; sent at
// once it is there on Wednesday the 14th, when 21 kg stand in the store: 71 kg.
func TestOrderBeforeAWeekend(t *testing.T) {
	for _, x := range []struct {
		limit quantity.Mass
		told  bool
	}{{68, true}, {80, false}, {0, false}} {
		b := must(t, three(Supply{Opening: 60, Pack: 50, OrderPacks: 1, LeadDays: 5, MinDays: 2, ShippingFactor: 1, Limit: x.limit}, time.Friday))
		a := b.Accounts[0]
		if len(a.Deliveries) == 0 || a.Deliveries[0].OrderBy != (Date{2027, time.April, 9}) || a.Deliveries[0].Arrives != (Date{2027, time.April, 16}) || !a.Soon(a.Deliveries[0]) {
			t.Fatalf("deliveries %+v", a.Deliveries)
		}
		n, ok := has(b.Notes, "order-comes-soon")
		if ok != x.told || ok && (!strings.Contains(n.Message, "2027-04-14") || !strings.Contains(n.Message, "21 kg") || !strings.Contains(n.Remedy, "16 April")) {
			t.Errorf("room for %s: %v", x.limit, n)
		}
	}
}

// TestOrderWhileShut: an order whose last day, Friday the 9th (see TestOrderBeforeAWeekend), is shut is to be placed the day before; in a
// week that is all shut on the Friday before it.
func TestOrderWhileShut(t *testing.T) {
	p := three(Supply{Opening: 60, Pack: 50, OrderPacks: 1, LeadDays: 5, MinDays: 2, ShippingFactor: 1}, time.Friday)
	told := func() string {
		n, _ := has(must(t, p).Notes, "order-while-shut")
		return n.Message + n.Remedy
	}
	if s := told(); s != "" {
		t.Errorf("no day is shut: %s", s)
	}
	shut := func(day int) Exception { return Exception{Date: Date{2027, time.April, day}, Closed: true} }
	p.Calendar.Exceptions = []Exception{shut(9)}
	if s := told(); !strings.Contains(s, "2027-04-09") || !strings.Contains(s, "by Thu 8 April 2027") {
		t.Errorf("Friday is shut: %q", s)
	}
	p.Chemicals[0].Supply.Opening = 45 // the five shut days use none of the 15 kg
	p.Calendar.Exceptions = []Exception{shut(5), shut(6), shut(7), shut(8), shut(9)}
	if s := told(); !strings.Contains(s, "by Fri 2 April 2027") {
		t.Errorf("the week is shut: %q", s)
	}
}
