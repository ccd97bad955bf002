package month

import (
	"fmt"
	"math"
	"testing"

	account "jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestWholeDays: a wait is rounded up, a life down, never to none; dust of the arithmetic counts for nothing.
func TestWholeDays(t *testing.T) {
	for _, x := range []struct {
		days     float64
		up, down int
	}{{0, 0, 0}, {0.1, 1, 1}, {1, 1, 1}, {1.5, 2, 1}, {2, 2, 2}, {2 - 1e-12, 2, 2}, {2 + 1e-12, 2, 2}, {30.9, 31, 30}, {0.9, 1, 1}} {
		if up, down := wholeDays(quantity.Time(24*x.days), true), wholeDays(quantity.Time(24*x.days), false); up != x.up || down != x.down {
			t.Errorf("%g d: %d and %d", x.days, up, down)
		}
	}
}

// TestSpansHoldThePlan: a range holds 1 between its ends, and is lognormal on either side: at a quarter of the draws ln 0.8 x
// TestRowsOfTheCalendar: what no day can be.
func TestRowsOfTheCalendar(t *testing.T) {
	for _, x := range []struct {
		e     Exception
		twice bool
		want  string
	}{
		{Exception{}, false, ""}, {Exception{}, true, "day-twice"}, {Exception{Hours: 24}, false, ""}, {Exception{Hours: 24.1}, false,
			"bad-hours"},
		{Exception{Hours: -0.1}, false, "bad-hours"}, {Exception{Flow: -0.1}, false, "negative-flow"}, {Exception{CleanUp: -1}, false,
			"negative-flow"},
		{Exception{Closed: true}, false, ""}, {Exception{Open: true}, false, ""}, {Exception{Open: true, Closed: true}, false,
			"open-and-closed"},
		{Exception{Open: true, Closed: true, Hours: 30, Flow: -1}, true, "day-twice open-and-closed bad-hours negative-flow"},
		{Exception{Flow: 0.5, CleanUp: 0.5, Hours: 0.5}, false, ""},
	} {
		if got := codesOf(x.e.check(x.twice)); got != x.want {
			t.Errorf("%+v: %q, want %q", x.e, got, x.want)
		}
	}
	// a clean-up of 3 m3 at 2 m3/h runs 1.5 h more; of a full day nothing is left for it, but it counts as a whole where that is said
	for _, x := range []struct {
		d      Day
		design quantity.Flow
		own    quantity.Flow
		want   float64
	}{
		{Day{Operating: true, Flow: 2, Hours: 10, CleanUp: 3000}, 4, 0, 1.5}, {Day{Operating: true, Flow: 2, Hours: 24, CleanUp: 3000},
			4, 0, 0},
		{Day{Operating: true, Flow: 2, Hours: 23, CleanUp: 3000}, 4, 0, 1}, {Day{Operating: true, Flow: 2, Hours: 23, CleanUp: 3000},
			4, 2, 1.5},
		{Day{Flow: 2, Hours: 10, CleanUp: 3000}, 4, 0, 0.75}, {Day{Flow: 2, OwnFlow: true, CleanUp: 3000}, 4, 0, 1.5},
		{Day{CleanUp: 3000}, 4, 0, 0.75},
		{Day{CleanUp: 300000}, 4, 0, 24}, {Day{Operating: true, Flow: 0.5, Hours: 1, CleanUp: 500}, 4, 0, 1}, {Day{Operating: true,
			Flow: 2, Hours: 10}, 4, 0, 0},
	} {
		x.d.Cleaning = 9
		x.d.cleans(x.design, x.own)
		if math.Abs(float64(x.d.Cleaning)-x.want) > 1e-9 {
			t.Errorf("%+v: %v, want %g", x.d, x.d.Cleaning, x.want)
		}
	}
	// a faulty row changes nothing, and the ones beside it count; days after the month are looked at too
	c := Calendar{Month: Month{2027, 4}, Flow: 2, Week: EveryDay(10), Exceptions: []Exception{{Date: Date{2027, 4, 3}, Flow: 3},
		{Date: Date{2027, 4, 4}, Hours: 30},
		{Date: Date{2027, 5, 1}, Flow: 5}, {Date: Date{2027, 5, 2}, Flow: 7}, {Date: Date{2027, 3, 31}, Flow: 9}}}
	days, err := c.Days(1)
	if err == nil || len(days) != 31 || days[2].Flow != 3 || days[3].Hours != 10 || days[30].Flow != 5 || days[30].InMonth ||
		!days[29].InMonth || days[0].Flow != 2 {
		t.Errorf("%v: %+v", err, days)
	}
	c.Season = 0.5
	if days, _ = c.Days(0); days[0].Flow != 1 || days[2].Flow != 3 {
		t.Errorf("half the flow, but where a row says: %v, %v", days[0].Flow, days[2].Flow)
	}
}

// TestWhatHasNoPrice: everything that is used, however little, and costs nobody knows what.
func TestWhatHasNoPrice(t *testing.T) {
	eur := quantity.Price{Amount: 1, Currency: "EUR"}
	none := quantity.Price{}
	dry := func(v quantity.Mass) (a account.Account) { a.Dry.Likely = v; return a }
	wet := func(v quantity.Volume) (a account.Account) { a.Wet.Likely = v; return a }
	energy := func(v quantity.Energy) (a account.Account) { a.Energy = v; return a }
	for _, x := range []struct {
		a      account.Account
		water  quantity.Volume
		prices [3]quantity.Price
		want   string
	}{
		{account.Account{}, 0, [3]quantity.Price{}, "[]"}, {dry(0.5), 0, [3]quantity.Price{}, "[disposal of solids]"}, {wet(0.5), 0,
			[3]quantity.Price{}, "[disposal of solids]"},
		{dry(0.5), 0, [3]quantity.Price{eur, none, none}, "[]"}, {account.Account{}, 0.5, [3]quantity.Price{}, "[make-up water]"},
		{account.Account{}, 0.5, [3]quantity.Price{none, eur, none}, "[]"}, {energy(0.5), 0, [3]quantity.Price{}, "[energy]"},
		{energy(0.5), 0, [3]quantity.Price{none, none, eur}, "[]"},
		{dry(2), 2, [3]quantity.Price{none, none, eur}, "[disposal of solids make-up water]"},
	} {
		if got := fmt.Sprint(others(x.a, x.water, x.prices[0], x.prices[1], x.prices[2])); got != x.want {
			t.Errorf("%+v: %s, want %s", x, got, x.want)
		}
	}
	r := account.Record{Chemicals: []account.Chemical{{Name: "alum", Price: eur, Freight: eur}, {Name: "lime", Price: eur}, {Name: "floc"},
		{Name: "acid"}}}
	a := account.Account{Uses: []account.Use{{Chemical: "alum", Product: 0.5}, {Chemical: "lime", Product: 0.5}, {Chemical: "floc",
		Product: 0.5, Water: 2}, {Chemical: "acid"}}}
	if got := fmt.Sprint(unpriced(r, a)); got != "[delivery of lime floc make-up water]" {
		t.Error(got)
	}
	a.Uses[2].Water, a.Uses[1].Carrier = -1, 1.5 // half a litre in all: both are water
	if got := fmt.Sprint(unpriced(r, a)); got != "[delivery of lime floc make-up water]" {
		t.Error(got)
	}
	r.Chemicals[2].Freight = quantity.Price{Currency: "USD"}
	if got := fmt.Sprint(currencies(r)); got != "[EUR USD]" {
		t.Error(got)
	}
	b := Budget{Accounts: []Account{{Chemical: Chemical{Name: "alum", Prices: PriceList{Tiers: []Tier{{1, eur}}}}, Use: 3, Wanted: 3},
		{Chemical: Chemical{Name: "lime"}, Use: 0.5, Wanted: 0.5}, {Chemical: Chemical{Name: "floc"}}}}
	if got := fmt.Sprint(b.Lacks()); got != "[lime]" {
		t.Error(got)
	}
	for paid, differ := range map[float64]bool{1: false, 1.004: false, 1.006: true, 0.994: true} {
		b.Accounts[0].Goods.Amount, b.Accounts[0].UsualGoods.Amount, b.Accounts[1].UsualCharges.Amount,
			b.Accounts[1].Freight.Amount = paid, 1, 2, 2
		goods, charges, got := b.AtUsual()
		if got != differ || goods.Amount != 1 || charges.Amount != 2 {
			t.Errorf("paid %g: %v, %v, %v", paid, goods, charges, got)
		}
	}
}

// TestTiersByHand: the price of the highest tier reached; tiers rise, prices are none below nought.
func TestTiersByHand(t *testing.T) {
	per := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: "EUR", Per: "kg"} }
	l := PriceList{Tiers: []Tier{{1, per(3)}, {10, per(2)}, {40, per(1)}}}
	for packs, want := range map[int]float64{0: 3, 1: 3, 9: 3, 10: 2, 39: 2, 40: 1, 400: 1} {
		if got := l.At(packs); got.Amount != want {
			t.Errorf("%d packs: %v", packs, got)
		}
	}
	for _, x := range []struct {
		l    PriceList
		want string
	}{
		{l, ""}, {PriceList{}, ""}, {PriceList{Tiers: []Tier{{10, per(3)}, {10, per(2)}}}, "tiers"}, {PriceList{Tiers: []Tier{{10, per(3)},
			{9, per(2)}}}, "tiers"},
		{PriceList{Tiers: []Tier{{1, per(-1)}}}, "bad-price"}, {PriceList{Tiers: []Tier{{1, per(0)}}}, ""},
		{PriceList{Delivery: quantity.Money{Amount: -1, Currency: "EUR"}}, "bad-price"},
		{PriceList{Delivery: quantity.Money{Amount: 0, Currency: "EUR"}}, ""},
	} {
		if got := codesOf(x.l.check("alum")); got != x.want {
			t.Errorf("%+v: %q, want %q", x.l, got, x.want)
		}
	}
	// 50 EUR a delivery over 4 packs of 25 kg is 0.5 a kg; where no charge is known there is none
	l.Delivery = quantity.Money{Amount: 50, Currency: "EUR"}
	if goods, freight, err := l.Price(4, Supply{Pack: 25}, 0); err != nil || goods.Amount != 3 || freight.Amount != 0.5 ||
		freight.Per != "kg" {
		t.Errorf("%v, %v, %v", goods, freight, err)
	}
	l.Delivery.Currency = ""
	if _, freight, err := l.Price(4, Supply{Pack: 25}, 0); err != nil || freight != (quantity.Price{}) {
		t.Errorf("%v, %v", freight, err)
	}
	if n := (Plan{Chemicals: []Chemical{{Prices: l}, {}}}).Tiers(); n != 3 || (Plan{}).Tiers() != 1 {
		t.Errorf("%d tiers", n)
	}
}

// TestAverages: of 6 kg on a day of 90 m3 the average day of 60 takes 4; what is not known changes nothing.
func TestAverages(t *testing.T) {
	mean := quantity.Some[quantity.Volume](60000)
	for _, x := range []struct {
		treated quantity.Volume
		mean    quantity.Known[quantity.Volume]
		want    float64
	}{{90000, mean, 4}, {0, mean, 6}, {90000, quantity.Known[quantity.Volume]{}, 6}, {0.5, quantity.Some[quantity.Volume](1), 12}} {
		near(t, "a day", float64(Usual{Water: x.mean}.Of("x", 6, x.treated)), x.want)
	}
	// A month whose litre takes half as much again of it than usual water: 6 of the 4.
	near(t, "of a mix", float64(Usual{mean, map[string]quantity.Ratio{"x": 1.5}}.Of("x", 6, 90000)), 6)
	if n := (Supply{}).UsualOrder(5); n != 1 {
		t.Errorf("%d of no pack", n)
	}
	if n := (Supply{Pack: 25, OrderPacks: 7}).UsualOrder(5); n != 7 {
		t.Errorf("%d packs", n)
	}
	for form, want := range map[product.Form]bool{product.Liquid: true, product.Emulsion: true, product.Dry: false, "": false} {
		if liquid(product.Product{Form: form}) != want {
			t.Errorf("%q is a liquid: %v", form, !want)
		}
	}
	tested := Chemical{Tested: true}
	doubt := Chemical{Doses: []Dose{{Quantile: func(float64) (quantity.Concentration, bool) { return 1, true }}}}
	for _, x := range []struct {
		c    []Chemical
		want string
	}{
		{nil, ""}, {[]Chemical{{}}, ""}, {[]Chemical{doubt}, " (the doses stated do not stand in the middle of their own range)"},
		{[]Chemical{doubt, tested}, " (planning doses lie on the safe side of the bench's interval)"},
		{[]Chemical{{Doses: []Dose{{Plan: 3}}}}, ""},
	} {
		if got := (Plan{Chemicals: x.c}).offMiddle(); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	if got := (DayCost{}).Per1000(); got != (quantity.Price{}) {
		t.Errorf("%v", got)
	}
}

// TestMonthThatEndsEmpty: a store that is empty at the end begins the next month with nothing of no age. 60 kg are used of 60.
func TestMonthThatEndsEmpty(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(1)) // 60 kg in April
	p.Chemicals[0].Supply = Supply{Opening: 60, OpeningAge: 5, Pack: 25, MinDays: 0, LeadDays: 60}
	p.OrderFrom = Date{2027, 4, 1}
	b := must(t, p)
	s := b.next().Chemicals[0].Supply
	near(t, "opening", float64(s.Opening), 0)
	if s.OpeningAge != 0 || len(s.Fresher) != 0 || b.next().Calendar.Month != (Month{2027, 5}) {
		t.Errorf("%+v", s)
	}
	p.Chemicals[0].Supply.Opening = 100 // 40 left, 35 days old
	if s = must(t, p).next().Chemicals[0].Supply; math.Abs(float64(s.Opening)-40) > 1e-6 || s.OpeningAge != 35 {
		t.Errorf("%+v", s)
	}
}
