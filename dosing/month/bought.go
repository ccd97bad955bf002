package month

import (
	"math"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// usualPack is what a pack is taken to hold where the site does not say.
const usualPack quantity.Mass = 25

// Bought is how a row of Prices says that a chemical is bought and kept. Its shelf
// life is the product's own where the row has none.
func Bought(r site.Price, p product.Product) (PriceList, Supply) {
	list := PriceList{Tiers: []Tier{{1, r.Price.V}}, Delivery: r.Delivery.V}
	for _, t := range higherTiers(r) {
		if t.from.OK && t.price.OK {
			list.Tiers = append(list.Tiers, Tier{t.from.V, t.price.V})
		}
	}
	s := Supply{Pack: r.Pack.Or(usualPack), Opening: r.OnHand.V, Limit: r.Room.V, Essential: r.Steady.V, OrderPacks: r.Order.V, OnOrder: r.OnOrder.V,
		LeadDays: wholeDays(r.Lead.V, true), ShelfDays: wholeDays(r.Shelf.V, false), OpeningAge: wholeDays(r.Age.V, true),
		MinDays: r.DaysKept.Or(NoMinDays), ShippingFactor: r.Shipping.V}
	if !r.Shelf.OK && p.Shelf.OK {
		s.ShelfDays = wholeDays(p.Shelf.V, false)
	}
	if r.Arrives.OK {
		s.OnOrderDate = DateOf(r.Arrives.V)
	}
	return list, s
}

type tierCells struct {
	from  quantity.Known[int]
	price quantity.Known[quantity.Price]
}

func higherTiers(r site.Price) []tierCells {
	return []tierCells{{r.From2, r.Price2}, {r.From3, r.Price3}}
}

// UsualOrder is how many packs are ordered at a time by a plant that uses so much
// every day.
func (s Supply) UsualOrder(perDay quantity.MassRate) int {
	if s.Pack <= 0 {
		return 1
	}
	first := Date{2000, 1, 1}
	return int(s.work(storeRules(1), Chemical{}, []Day{{Date: first}}, []float64{float64(perDay)}, 1, first).Cell("order"))
}

// Price gives what a kg of product costs in an order of so many packs, and the
// delivery charge spread over it.
func (l PriceList) Price(packs int, s Supply, density quantity.Density) (goods, freight quantity.Price, err error) {
	if goods, err = l.At(packs).PerKg(density, s.Pack); err != nil || l.Delivery.Amount == 0 {
		return goods, quantity.Price{}, err
	}
	return goods, quantity.Price{Amount: l.Delivery.Amount / (float64(packs) * float64(s.Pack)), Currency: l.Delivery.Currency, Per: "kg"}, nil
}

// OfDay is the account of a planned day with all that it costs on a site, at the
// usual orders of a plant that has such a day every day. A chemical without a
// price that can be used costs nothing; a budget says so.
func OfDay(s site.Site, p dosing.Plan) day.Account {
	r := p.Record(s)
	for i, u := range r.Account().Uses {
		c := &r.Chemicals[i]
		for _, row := range s.Prices {
			if !sameName(row.Chemical.V, c.Name) {
				continue
			}
			list, supply := Bought(row, p.Feeds[i].Stock.Product)
			if goods, freight, err := list.Price(supply.UsualOrder(quantity.MassRate(u.Product)), supply, c.Density); err == nil {
				c.Price, c.Freight = goods, freight
			}
			break
		}
	}
	return r.Account()
}

func sameName(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}

// price fills in how a chemical is bought, and says what was taken for granted.
func (a *adapter) price(ch *Chemical, p product.Product) {
	name := ch.Name
	var row *site.Price
	for i, r := range a.site.Prices {
		if sameName(r.Chemical.V, name) {
			if row != nil {
				a.faults.Add(note.Fault("price-twice", "%s has two rows of prices", name).At(r.At).Do("keep one; further prices by size of order stand in the same row"))
				return
			}
			row = &a.site.Prices[i]
		}
	}
	if row == nil {
		ch.Supply = Supply{Pack: usualPack, MinDays: NoMinDays}
		a.notes.Add(note.New(note.Caution, "no-supply", "%s has no row on the Prices sheet: its packs are taken as %s, nothing on hand and no lead time", name, usualPack).Do("add the row"))
		return
	}
	for _, t := range higherTiers(*row) {
		if t.from.OK != t.price.OK {
			a.faults.Add(note.Fault("half-a-tier", "a price by size of order needs both the price and the packs from which it holds").At(t.price.At).Do("fill in both, or neither"))
		}
	}
	ch.Prices, ch.Supply = Bought(*row, p)
	for _, x := range []struct {
		ok   bool
		at   note.Place
		code string
		says note.Phrase
		do   string
	}{
		{row.Pack.OK, row.Pack.At, "pack-assumed", note.Say("the pack of %s is not given and taken as %s", name, usualPack), "give the pack on the Prices sheet"},
		{row.OnHand.OK, row.OnHand.At, "stock-unknown", note.Say("the stock of %s is not given and counted as nothing", name), "give what is on hand on the Prices sheet"},
		{row.Lead.OK, row.Lead.At, "lead-time-unknown", note.Say("the lead time of %s is not given and counted as none", name), "ask the supplier"},
	} {
		if !x.ok {
			a.notes.Add(note.New(note.Caution, x.code, "%s", x.says).At(x.at).Do("%s", x.do))
		}
	}
}

// wholeDays rounds a span to days: up for waits, down for lives, never to none for a life.
func wholeDays(t quantity.Time, up bool) int {
	d := t.In("d")
	if up {
		return int(math.Ceil(d - slack))
	}
	if d > 0 {
		return int(math.Max(1, math.Floor(d+slack)))
	}
	return 0
}
