package month

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
)

// three is a plant that uses 3 kg a day in April 2027, which begins on a Thursday.
// Deliveries come on the days named, every day where none is.
func three(s Supply, deliveries ...time.Weekday) Plan {
	p := flat(12.5, 24, 10, quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"})
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Delivery = len(deliveries) == 0
	}
	for _, d := range deliveries {
		p.Calendar.Week[d].Delivery = true
	}
	p.Chemicals[0].Supply = s
	return p
}

// kept is a day of a store's account as it is worked by hand; fields left out are not looked at.
type kept map[string]float64

// TestStoresByHand: days of small stores, each worked out beside it. Days count
// from the 1st as 0; usual order is 30 × 3 kg unless room or shelf life ask for less.
func TestStoresByHand(t *testing.T) {
	april := func(d int) Date { return Date{2027, time.April, d} }
	for _, c := range []struct {
		what   string
		supply Supply
		comes  []time.Weekday
		cells  kept
		days   map[int]kept
	}{
		{
			// Kept 3 × (2 + 0.5 × 4) = 12 kg, reorder 3 × (2 + 1.5 × 4) = 24 kg, usual 90 / 25 = 3.6: 4 packs of 25 kg.
			// 100 − 3i is under 12 + 3 for i = 29 first: 13 kg, lacking 2.
			what:   "the reorder point",
			supply: Supply{Opening: 100, Pack: 25, LeadDays: 4, MinDays: 2, ShippingFactor: 1.5},
			cells:  kept{"mean": 3, "use": 90, "safety": 12, "reorder": 24, "order": 4, "cover": 33 + 1./3, "earliest": 4, "arrival": -1, "to_pay": 200, "lacking": 0, "wasted": 0},
			days: map[int]kept{
				28: {"start": 16, "gap": 1, "cover_use": 3, "usable": 16, "lack": -1, "can": 1, "packs": 0, "end": 13, "serial": 0},
				29: {"start": 13, "lack": 2, "keeps": 1e9, "room": 1e9, "packs": 4, "came": 100, "full": 113, "end": 110, "serial": 1, "paid": 200, "newest": 0},
				30: {"start": 110, "newest": 29, "packs": 0, "arrived": 100, "before": 90},
			},
		},
		{
			// 13 kg and Thursdays only: an order of the 1st for 3 days comes on the 8th, when there is nothing.
			// Kept 3 × (1 + 1 × 3) = 12: lacking 12 + 21 − 0 = 33 kg, 4 packs of 10 are more than the usual 2.
			what:   "more than the usual order, too late",
			supply: Supply{Opening: 13, Pack: 10, LeadDays: 3, MinDays: 1, ShippingFactor: 2, OrderPacks: 2},
			comes:  []time.Weekday{time.Thursday},
			cells:  kept{"safety": 12, "order": 2, "cover": 13. / 3, "earliest": 3, "lacking": 8},
			days: map[int]kept{
				0: {"gap": 7, "can": 0, "lack": 12 + 21 - 13, "packs": 0},
				4: {"start": 1, "short": 2, "late": 1, "end": 0}, 5: {"short": 3}, 6: {"short": 3, "late": 1, "gap": 1},
				7: {"start": 0, "gap": 7, "cover_use": 21, "lack": 33, "packs": 4, "end": 37, "short": 0, "late": 0},
				// 37 − 6 × 3 = 19; lacking 12 + 21 − 19 = 14, the usual 2 packs.
				14: {"start": 19, "lack": 14, "packs": 2, "full": 39},
			},
		},
		{
			// Room 60, kept 12: usual floor(48 / 10) = 4. On the 3rd 14 kg: lacking 1, room for 4 packs, but the 30 kg
			// on order for the 5th leave 60 − 14 + 6 − 30 = 22: 2 packs; 60 − 17 + 9 − 30 = 22 on the 2nd.
			what:   "room for what is on order",
			supply: Supply{Opening: 20, Pack: 10, Limit: 60, MinDays: 4, ShippingFactor: 1, OnOrder: 3, OnOrderDate: april(5)},
			cells:  kept{"safety": 12, "order": 4, "arrival": 4},
			days: map[int]kept{
				1:  {"start": 17, "lack": -2, "room": 2, "packs": 0},
				2:  {"start": 14, "lack": 1, "room": 2, "coming": 0, "packs": 2, "full": 34},
				4:  {"start": 28, "ordered": 30, "have": 58, "came": 30, "newest": 4, "room": 0, "packs": 0, "serial": 1},
				19: {"start": 13, "lack": 2, "room": 4, "packs": 4, "full": 53, "serial": 2, "newest": 4}, 20: {"newest": 19},
			},
		},
		{
			// 13 kg on Thursday the 1st, 20 kg on order for Monday the 5th: to the 8th 21 kg are used, 12 are left: nothing to order.
			what:   "on order before the next chance",
			supply: Supply{Opening: 13, Pack: 10, MinDays: 0, ShippingFactor: 1, OnOrder: 2, OnOrderDate: april(5)},
			comes:  []time.Weekday{time.Thursday},
			cells:  kept{"safety": 0, "order": 9, "arrival": 4},
			days:   map[int]kept{0: {"coming": 20, "lack": -12, "packs": 0}, 4: {"have": 21, "coming": 0}, 7: {"start": 12, "lack": 9, "packs": 9}},
		},
		{
			// The same for the 8th itself: it comes with the next chance, not before it, so the 1st orders.
			what:   "on order with the next chance",
			supply: Supply{Opening: 13, Pack: 10, MinDays: 0, ShippingFactor: 1, OnOrder: 2, OnOrderDate: april(8)},
			comes:  []time.Weekday{time.Thursday},
			cells:  kept{"arrival": 7},
			days:   map[int]kept{0: {"coming": 0, "lack": 8, "packs": 9}, 7: {"start": 82, "ordered": 20, "have": 102}},
		},
		{
			// 40 kg of 6 days, keeping 10, last 4 days: 12 kg are used, 28 thrown away on the 5th. On the 4th only 3 kg are
			// usable: lacking 3 + 3 − 3, usual 2, of which 30 − 3 kg keep: 2 packs.
			what:   "old goods",
			supply: Supply{Opening: 40, OpeningAge: 6, Pack: 10, ShelfDays: 10, MinDays: 1, ShippingFactor: 1},
			cells:  kept{"safety": 3, "order": 2, "wasted": 28},
			days: map[int]kept{
				0: {"usable": 12, "lack": -6, "packs": 0, "newest": -6, "expired": 0, "keeps": 1},
				3: {"start": 31, "usable": 3, "lack": 3, "keeps": 2, "packs": 2, "full": 51},
				4: {"start": 48, "expired": 28, "have": 20, "usable": 20, "end": 17, "newest": 3},
			},
		},
		{
			// Goods of 9 days keeping 10 on the first morning: 3 kg usable of 5, 2 thrown away on the 2nd. Room for 1 pack only.
			what:   "last day of old goods, room for one pack",
			supply: Supply{Opening: 5, OpeningAge: 9, Pack: 10, ShelfDays: 10, Limit: 16, MinDays: 1, ShippingFactor: 1},
			cells:  kept{"safety": 3, "order": 1},
			days: map[int]kept{
				0: {"usable": 3, "lack": 3, "room": 1, "packs": 1, "end": 12},
				1: {"start": 12, "expired": 2, "have": 10, "usable": 10, "packs": 0},
			},
		},
		{
			// A pack of 100 kg that keeps 10 days is needed although only 30 kg of it can be used; so on the 11th and 21st.
			what:   "a pack too big for its life",
			supply: Supply{Opening: 0, Pack: 100, ShelfDays: 10, MinDays: 0, ShippingFactor: 1},
			cells:  kept{"order": 1, "cover": 0, "wasted": 140},
			days:   map[int]kept{0: {"lack": 3, "keeps": 1, "packs": 1, "over_age": 70}, 10: {"start": 70, "expired": 70, "packs": 1}},
		},
		{
			// The same pack with 4 days kept, 12 kg, is ordered as of a store of 25 kg: of 12 kg and of a quarter of the 30 kg that its
			// life uses, 7.5 kg, the less is kept. 25 - 3 i is under 7.5 + 3 first for i = 5: 10 kg, so that the pack comes on the
			// 6th and not on the 9th, when 1 kg is left. 110 kg then, 30 used, 80 out of date ten days later; 110 - 30 of it.
			what:   "a pack too big for its life comes before the store is empty",
			supply: Supply{Opening: 25, Pack: 100, ShelfDays: 10, MinDays: 4, ShippingFactor: 1},
			cells:  kept{"safety": 12, "order": 1, "lacking": 0},
			days: map[int]kept{4: {"start": 13, "lack": 2, "keeps": 0, "packs": 0}, 5: {"start": 10, "lack": 5, "keeps": 1, "packs": 1, "over_age": 80}, 6: {"start": 107, "packs": 0},
				8: {"packs": 0}},
		},
	} {
		t.Run(c.what, func(t *testing.T) {
			st := must(t, three(c.supply, c.comes...)).Accounts[0].Store
			for name, want := range c.cells {
				near(t, name, st.Cell(name), want)
			}
			for day, cells := range c.days {
				for name, want := range cells {
					near(t, fmt.Sprintf("%s on day %d", name, day), st.Row(name, day), want)
				}
			}
		})
	}
}

// TestOrdersAtTheReorderPoint: with a steady use, deliveries on every day and no
// other limit, the order goes out on the day whose evening first finds the stock
// below the reorder point, use × lead time and the safety stock: the rule of the
// (s, Q) policy under daily review (Silver, Pyke & Thomas, Inventory and
// Production Management in Supply Chains, from memory).
func TestOrdersAtTheReorderPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Supply{
			Opening: quantity.Mass(rapid.Float64Range(1, 200).Draw(t, "opening")), Pack: quantity.Mass(rapid.Float64Range(5, 50).Draw(t, "pack")),
			LeadDays: rapid.IntRange(1, 10).Draw(t, "lead"), MinDays: float64(rapid.IntRange(0, 10).Draw(t, "kept")), ShippingFactor: rapid.Float64Range(1, 2).Draw(t, "factor"),
		}
		p := three(s)
		p.OrderFrom = Date{2027, time.January, 1}
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		a := b.Accounts[0]
		for i := s.LeadDays; i < b.Plan.Calendar.Month.Days()+s.LeadDays; i++ {
			// What is in store on the evening of the day of ordering, and not yet arrived of what is ordered.
			order := i - s.LeadDays
			position := float64(a.Stock[order].End)
			for j := order + 1; j < i; j++ {
				position += float64(a.Stock[j].Arrived)
			}
			due := position < float64(a.Reorder)-1e-6
			if due != (a.Stock[i].Packs > 0) && (position < float64(a.Reorder)-2e-6 || position > float64(a.Reorder)+2e-6) {
				t.Fatalf("%s: %g kg in store and on the way, reorder point %g, but %d packs come on %s", a.Stock[order].Date, position, float64(a.Reorder), a.Stock[i].Packs, a.Stock[i].Date)
			}
		}
	})
}

// TestUsualOrder: 30 days of 3 kg are 90 kg; what is asked for goes before it.
func TestUsualOrder(t *testing.T) {
	for _, c := range []struct {
		supply Supply
		want   int
	}{
		{Supply{Pack: 30}, 3}, {Supply{Pack: 29.9}, 4}, {Supply{Pack: 1000}, 1}, {Supply{Pack: 30, OrderPacks: 7}, 7},
		{Supply{Pack: 30, Limit: 60}, 2}, {Supply{Pack: 30, Limit: 59.9}, 1}, {Supply{Pack: 30, Limit: 30}, 1},
		{Supply{Pack: 30, Limit: 75, MinDays: 5, ShippingFactor: 1}, 2}, {Supply{Pack: 30, Limit: 74, MinDays: 5, ShippingFactor: 1}, 1},
		{Supply{Pack: 30, ShelfDays: 20}, 2}, {Supply{Pack: 30, ShelfDays: 19}, 1}, {Supply{Pack: 30, ShelfDays: 25, MinDays: 5, ShippingFactor: 1}, 2},
		{Supply{Pack: 30, ShelfDays: 24, MinDays: 5, ShippingFactor: 1}, 1},
	} {
		if got := must(t, three(c.supply)).Accounts[0].UsualOrder; got != c.want {
			t.Errorf("%+v: %d packs, want %d", c.supply, got, c.want)
		}
	}
}

// TestKeptAndFactor: Davis, Water and Wastewater Engineering (2010), table 5-1: 30
// days and twice the shipping time where a chemical must not be interrupted, else
// 10 days and 1.5 times.
func TestKeptAndFactor(t *testing.T) {
	for _, c := range []struct {
		supply       Supply
		kept, factor float64
	}{
		{Supply{MinDays: NoMinDays}, 10, 1.5}, {Supply{MinDays: NoMinDays, Essential: true}, 30, 2},
		{Supply{MinDays: 0}, 0, 1.5}, {Supply{MinDays: 4, ShippingFactor: 1.2, Essential: true}, 4, 1.2},
	} {
		if k, f := c.supply.Kept(), c.supply.Factor(); k != c.kept || f != c.factor {
			t.Errorf("%+v: %g days and %g, want %g and %g", c.supply, k, f, c.kept, c.factor)
		}
	}
}

// TestTiers: the price of an order is that of the highest tier it reaches, in the
// list and in the store's rules alike, for what is used and for what is delivered.
func TestTiers(t *testing.T) {
	eur := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: "EUR", Per: "kg"} }
	list := PriceList{Tiers: []Tier{{2, eur(1)}, {4, eur(0.8)}, {10, eur(0.5)}}, Delivery: quantity.Money{Amount: 12, Currency: "EUR"}}
	for packs, want := range map[int]float64{1: 1, 2: 1, 3: 1, 4: 0.8, 9: 0.8, 10: 0.5, 99: 0.5} {
		if got := list.At(packs).Amount; got != want {
			t.Errorf("%d packs at %g, want %g", packs, got, want)
		}
		p := three(Supply{Pack: 10, OrderPacks: packs, MinDays: 0})
		p.Chemicals[0].Prices = list
		a := must(t, p).Accounts[0]
		near(t, "unit price", a.UnitPrice.Amount, want)
		near(t, "freight", a.UnitFreight.Amount, 12/(float64(packs)*10))
		near(t, "goods", a.Goods.Amount, 90*want)
		near(t, "freight of what is used", a.Freight.Amount, 90*12/(float64(packs)*10))
		d := a.Deliveries[0]
		near(t, "delivery", d.Price.Amount, want)
		near(t, "to pay", d.Cost.Amount, float64(packs)*10*want+12)
		near(t, "amount", float64(d.Amount), float64(packs)*10)
	}
	if got := (PriceList{}).At(3); got != (quantity.Price{}) || (PriceList{}).Priced() {
		t.Errorf("no list gives %v", got)
	}
}

// TestWaterForTheStock: 90 kg at 50 g/L are 1800 L of stock; of a liquid of 1.2
// kg/L 75 L are its own.
func TestWaterForTheStock(t *testing.T) {
	for _, c := range []struct {
		stock   quantity.Concentration
		density quantity.Density
		want    float64
	}{{50000, 0, 1800}, {50000, 1.2, 1725}, {0, 1.2, 0}, {1200000, 1.2, 0}, {2000000, 1.2, 0}} {
		p := three(Supply{Pack: 10, Opening: 1000})
		p.Chemicals[0].Stock, p.Chemicals[0].Density = c.stock, c.density
		p.Water = quantity.Price{Amount: 3, Currency: "EUR", Per: "m3"}
		b := must(t, p)
		near(t, "water", float64(b.Accounts[0].Water), c.want)
		for _, l := range b.Lines {
			if l.Name == "make-up water" {
				near(t, "its price", l.Amount.Amount, c.want/1000*3)
			}
		}
	}
}

// TestFresherByHand: 50 kg of which 10 came six days after the rest, keeping 10 days:
// of the 40 kg of 6 days the first 4 days use 12, 28 go; the fresher 10 last to the 10th day.
func TestFresherByHand(t *testing.T) {
	p := three(Supply{Opening: 50, OpeningAge: 6, Fresher: []Lot{{10, 0}}, Pack: 10, ShelfDays: 10, MinDays: 1, ShippingFactor: 1})
	st := must(t, p).Accounts[0].Store
	for name, want := range map[string]float64{"fresher": 10, "newest_age": 0, "wasted": 28} {
		near(t, name, st.Cell(name), want)
	}
	for day, cells := range map[int]kept{
		0: {"fresh": 10, "usable": 22, "newest": 0, "lack": 3 + 3 - 22, "packs": 0},
		4: {"start": 38, "expired": 28, "have": 10, "usable": 10},
		9: {"fresh": 10}, 10: {"fresh": 0},
	} {
		for name, want := range cells {
			near(t, fmt.Sprintf("%s on day %d", name, day), st.Row(name, day), want)
		}
	}
	// 38 kg, 18 of 9 days, 15 of 5, 5 of 2: the newest counts; each good till its own end.
	p.Chemicals[0].Supply = Supply{Opening: 38, OpeningAge: 9, Fresher: []Lot{{15, 5}, {5, 2}}, Pack: 10, ShelfDays: 10, MinDays: 1, ShippingFactor: 1}
	st = must(t, p).Accounts[0].Store
	near(t, "fresher parts", st.Cell("fresher"), 20)
	near(t, "the newest age", st.Cell("newest_age"), 2)
	for day, want := range map[int]float64{0: 20, 4: 20, 5: 5, 7: 5, 8: 0} {
		near(t, fmt.Sprint("fresh on day ", day), st.Row("fresh", day), want)
	}
	// Without a price a kg costs nothing.
	p.Chemicals[0].Prices = PriceList{}
	if a := must(t, p).Accounts[0]; a.UnitPrice.Amount != 0 || a.ToPay.Amount != 0 || a.Deliveries[0].Price.Amount != 0 {
		t.Errorf("%+v", a.UnitPrice)
	}
}
