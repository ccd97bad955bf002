package month

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"jarwright/dosing/formula"
	"jarwright/jartest/quantity"
)

// lots is more packs than anybody buys.
const lots = "1000000000"

// lasting is how many days' use the opening stock is, the last day counted as a part of its use.
const lasting = `rank(before, opening) - 1 + (opening - at(before, rank(before, opening))) /
			if(rank(before, opening) > rows, mean, at(wanted, min(rows, rank(before, opening))))`

// alone is what is good of the opening stock in the morning, where nothing is delivered.
const alone = "min(above(left, opening), if(shelf = 0, opening, if(no < shelf - age, opening, fresh)))"

// storeRules are the rules of a store with so many tiers of price. A workbook
// prints the same rules as its formulas. All days are counted from the first of
// the month as 0; dates count days from one fixed day. Masses are in kg; [Account.StoreIn]
// works the same rules out in other units.
func storeRules(tiers int) *formula.Table {
	rules, ok := parsed.Load(tiers)
	if !ok {
		rules, _ = parsed.LoadOrStore(tiers, formula.New(storeCells(tiers), storeColumns(tiers)))
	}
	return rules.(*formula.Table)
}

// parsed keeps the rules of each number of tiers: to read them takes a tenth of a budget.
var parsed sync.Map

// given makes rules of what is not worked out.
func given(names ...string) []formula.Rule {
	var out []formula.Rule
	for _, n := range names {
		out = append(out, formula.Rule{Name: n})
	}
	return out
}

// tier is what belongs to the highest tier of price that an order of so many packs
// reaches, or to the lowest for an order below it. Tiers count from 1.
func tier(packs string, tiers int, what func(tier int) string) string {
	x := what(1)
	for i := 2; i <= tiers; i++ {
		x = fmt.Sprintf("if(and(%[1]s > 0, %[2]s >= %[1]s), %[3]s, %[4]s)", TierFrom(i), packs, what(i), x)
	}
	return x
}

// TierPrice and TierFrom name the cells of the i-th price, counted from 1.
func TierPrice(i int) string { return fmt.Sprintf("price_%d", i) }
func TierFrom(i int) string  { return fmt.Sprintf("from_%d", i) }

// onWeekend is a number of days where a day is a Saturday or Sunday, else none. Of the days that dates count from, the first
// was a Saturday: WEEKDAY is 0 on that, and 1 on a Sunday.
func onWeekend(day, days string) string {
	weekday := fmt.Sprintf("(%[1]s - 7 * floor(%[1]s / 7))", day)
	return fmt.Sprintf("if(%s < 2, %s, 0)", weekday, strings.ReplaceAll(days, "WEEKDAY", weekday))
}

// until is the use from a row's day to the day before day end: from the sums, and
// the mean for each day beyond the last.
func until(end string) string {
	return fmt.Sprintf("(at(before, min(%[1]s, rows) + 1) + max(0, %[1]s - rows) * mean - before)", end)
}

// storeCells are the single cells of a store: what is given, then what is worked out.
func storeCells(tiers int) []formula.Rule {
	rules := given(
		"days", "rows", // of the month; of the month and the look-ahead
		"pack", "limit", "lead", "shelf", "kept", "factor", "opening", "age", "usual", "on_order", "arrives", "order_from", "charge",
		"stock", "density", // g/L of the stock and kg/L of the product, 0 for none
		"said",  // 1 where somebody told what is on hand, 0 where an empty store is only reckoned from
		"parts", // of the unit in which a stock's product is weighed, in one of the store's
		// Of the parts of the opening stock that came after the oldest: all of them, and the age of the newest part.
		"fresher", "newest_age",
	)
	for i := 1; i <= tiers; i++ {
		rules = append(rules, given(TierPrice(i), TierFrom(i))...)
	}
	return append(rules, []formula.Rule{
		{Name: "need", Text: "total(wanted, days)"},
		{Name: "use", Text: "need - if(said, total(short, days), 0)"}, // what is not there is not used
		{Name: "mean", Text: "need / days"},
		{Name: "safety", Text: "mean * (kept + (factor - 1) * lead)"},
		// Davis, Water and Wastewater Engineering (2010), example 5-1.
		{Name: "reorder", Text: "mean * (kept + factor * lead)"},
		// About 30 days of use, less where the store or the shelf life is shorter.
		{Name: "order", Text: `if(usual > 0, usual, max(1, min(ceil(30 * mean / pack),
			if(limit = 0, ` + lots + `, floor((limit - safety) / pack)), if(shelf = 0, ` + lots + `, floor((shelf * mean - safety) / pack)))))`},
		// What the month's own orders come to, where any arrives; else the usual order.
		{Name: "bought", Text: "total(packs, days) * pack"},
		{Name: "charges", Text: "total(delivered, days) * charge"},
		{Name: "usual_price", Text: tier("order", tiers, TierPrice)},
		{Name: "usual_freight", Text: "charge / (order * pack)"},
		{Name: "unit_price", Text: "if(bought > 0, (to_pay - charges) / bought, usual_price)"},
		{Name: "unit_freight", Text: "if(bought > 0, charges / bought, usual_freight)"},
		{Name: "goods", Text: "use * unit_price"},
		{Name: "freight", Text: "use * unit_freight"},
		// Water that makes stock of one kg of product.
		{Name: "water", Text: "if(stock > 0, max(0, parts / stock - if(density > 0, 1 / density, 0)), 0)"},
		{Name: "dilution", Text: "use * water"},
		// An order is placed from Monday to Friday.
		{Name: "earliest", Text: "order_from + " + onWeekend("order_from", "2 - WEEKDAY") + " - at(date, 1) + lead"},
		{Name: "arrival", Text: `if(and(on_order > 0, known(arrives)),
			if(and(arrives >= at(date, 1), arrives <= at(date, rows)), arrives - at(date, 1), -1), -1)`},
		// What is out of date no longer lasts; of parts of several ages the oldest is used first, and what of it is left when it is
		// out of date goes before the next.
		{Name: "cover", Text: "if(mean = 0, 0, if(shelf = 0, " + lasting + ", if(fresher = 0, min(" + lasting + ", max(0, shelf - newest_age)), " +
			"total(lasted) + if(at(lasted, rows) < 1, 0, min(at(left, rows) / mean, max(0, shelf - newest_age - rows))))))"},
		{Name: "short_from", Text: "pick(date, late, 1)"},
		{Name: "lacking", Text: "total(short)"},
		{Name: "wasted", Text: "total(expired, days)"},
		{Name: "loss", Text: "wasted * (unit_price + unit_freight)"},
		{Name: "to_pay", Text: "total(paid, days)"},
	}...)
}

// storeColumns are the columns of a store's account. On each day that can take a
// delivery it asks whether the stock lasts to the next such day with the minimum
// kept; if not, it brings the usual order, or more where that is too little, but
// never more than fits the store, nor more than can be used before it goes out of
// date, unless the plant would stand still without.
func storeColumns(tiers int) []formula.Rule {
	return append(given("date", "no", "wanted", "delivery",
		"fresh",  // of the fresher parts of the opening stock, what is still good on the day
		"booked", // packs that a month before this one ordered for the day
	), []formula.Rule{
		// The last day from Monday to Friday on which an order for the day is placed.
		{Name: "placed", Text: "date - lead - " + onWeekend("(date - lead)", "WEEKDAY + 1")},
		{Name: "gap", Text: "below(if(delivery, 1, 1 + gap), 1)"}, // days to the next chance of a delivery
		{Name: "before", Text: "above(before + wanted, 0)", Longer: true},
		{Name: "start", Text: "above(end, opening)"},
		{Name: "arrived", Text: "above(arrived + came, 0)"},
		{Name: "expired", Text: `if(shelf = 0, 0, if(no < shelf - age, 0,
			max(0, start - (arrived - past(arrived, max(0, no - shelf + 1) + 1) + fresh))))`},
		{Name: "ordered", Text: "if(no = arrival, on_order * pack, 0)"},
		{Name: "have", Text: "start - expired + ordered"},
		{Name: "newest", Text: "if(ordered > 0, no, above(if(packs > 0, no, newest), -newest_age))"},
		// What can be used before it goes out of date: of the oldest part until its end, of all until the end of the newest.
		{Name: "usable", Text: "if(shelf = 0, have, min(have - max(0, max(0, have - (arrived + ordered + fresher)) - " +
			until("max(no, shelf - age)") + "), " + until("max(no, newest + shelf)") + "))"},
		{Name: "cover_use", Text: until("no + gap")},
		{Name: "coming", Text: "if(and(arrival > no, arrival < no + gap), on_order * pack, 0)"},
		{Name: "lack", Text: "safety + cover_use - usable - coming"},
		{Name: "can", Text: "and(delivery, no >= earliest)"},
		// What can be used in time; but where not even one pack can, it comes while there is some left against a late delivery,
		// for a quarter of its life at most (common practice, no source), lest it be bought day after day.
		{Name: "keeps", Text: "if(shelf = 0, " + lots + ", max(floor((" + until("no + shelf") + " - usable) / pack), ceil((cover_use - usable + " +
			"if(pack > " + until("no + shelf") + ", min(safety, " + until("no + shelf") + " / 4) - coming, 0)) / pack)))"},
		{Name: "room", Text: "if(limit = 0, " + lots + ", floor(if(arrival > no, min(limit - have, limit - have + " + until("arrival") +
			" - on_order * pack), limit - have) / pack))"},
		{Name: "packs", Text: "booked + if(and(can, lack > slack), max(0, min(max(ceil(lack / pack), order), keeps, room)), 0)"},
		{Name: "came", Text: "ordered + packs * pack"},
		{Name: "full", Text: "have + packs * pack"},
		{Name: "short", Text: "if(wanted - full < slack, 0, wanted - full)"},
		{Name: "end", Text: "max(0, full - wanted)"},
		{Name: "order_by", Text: "if(packs > 0, max(order_from, placed), none)"},
		{Name: "price", Text: "if(packs > 0, " + tier("packs", tiers, TierPrice) + ", none)"},
		{Name: "paid", Text: "if(packs > 0, packs * pack * price + charge, 0)"},
		// Deliveries that are ordered or arrive in the month, counted.
		{Name: "serial", Text: "above(serial, 0) + if(and(packs > 0, or(no < days, placed - at(date, 1) < days)), 1, 0)"},
		{Name: "late", Text: "if(short > 0, 1, 0)"},
		// Without a delivery: what is left of the opening stock, and which part of the day it lasts.
		{Name: "left", Text: "max(0, " + alone + " - wanted)"},
		{Name: "lasted", Text: "if(above(lasted, 1) < 1, 0, if(" + alone + " > 0, if(wanted > " + alone + ", " + alone + " / wanted, 1), 0))"},
		{Name: "delivered", Text: "if(packs > 0, 1, 0)"},
		// What of a delivery cannot be used in time.
		{Name: "over_age", Text: "if(and(shelf > 0, packs > 0), max(0, full - " + until("no + shelf") + "), 0)"},
	}...)
}

// work keeps a store's account for the use wanted on each day.
func (s Supply) work(rules *formula.Table, ch Chemical, days []Day, wanted []float64, month int, from Date) *formula.Sheet {
	cells := map[string]float64{
		"days": float64(month), "rows": float64(len(days)),
		"pack": float64(s.Pack), "limit": float64(s.Limit), "lead": float64(s.LeadDays),
		"shelf": float64(s.ShelfDays), "kept": s.Kept(), "factor": s.Factor(),
		"opening": float64(s.Opening), "age": float64(s.OpeningAge), "usual": float64(s.OrderPacks), "on_order": float64(s.OnOrder),
		"arrives": math.NaN(), "order_from": from.Serial(), "charge": ch.Prices.Delivery.Amount,
		"stock": ch.Stock.In("g/L"), "density": float64(ch.Density), "parts": 1000, "said": formula.Truth(!s.NotSaid), "newest_age": float64(s.OpeningAge), "fresher": 0,
		TierPrice(1): 0,
	}
	if !s.OnOrderDate.IsZero() {
		cells["arrives"] = s.OnOrderDate.Serial()
	}
	for i, t := range ch.Prices.Tiers {
		cells[TierPrice(i+1)], cells[TierFrom(i+1)] = t.Price.Amount, float64(t.From)
	}
	n := len(days)
	columns := map[string][]float64{"wanted": wanted}
	for _, name := range []string{"date", "no", "delivery", "fresh", "booked"} {
		columns[name] = make([]float64, n)
	}
	for i, d := range days {
		columns["date"][i], columns["no"][i], columns["delivery"][i] = d.Date.Serial(), float64(i), formula.Truth(d.Delivery)
		for _, l := range s.Fresher {
			if i < s.ShelfDays-l.Age {
				columns["fresh"][i] += float64(l.Amount)
			}
		}
		for _, b := range s.Booked {
			if b.Arrives == d.Date {
				columns["booked"][i] += float64(b.Packs)
			}
		}
	}
	for _, l := range s.Fresher {
		cells["fresher"] += float64(l.Amount)
		cells["newest_age"] = float64(l.Age)
	}
	return rules.Work(n, cells, columns)
}

// StoreIn is the account of the store with goods in another unit of mass, liquids
// in another unit of volume, and the product in a litre of stock in parts of a unit
// of its own, each given as what one of it is: a pound, a gallon, an ounce.
func (a Account) StoreIn(mass quantity.Mass, volume quantity.Volume, part quantity.Mass) *formula.Sheet {
	of := 1 / float64(mass)
	by := map[string]float64{
		"pack": of, "limit": of, "opening": of, "fresher": of, "wanted": of, "fresh": of,
		"density": float64(volume) / float64(mass), "stock": float64(volume) / part.In("g"), "parts": float64(mass) / part.In("g"),
	}
	for i := range a.Chemical.Prices.Tiers {
		by[TierPrice(i+1)] = float64(mass)
	}
	return a.Store.Scaled(by)
}
