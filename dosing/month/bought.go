package month

import (
	"math"
	"strings"

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
	s := Supply{Pack: r.Pack.Or(usualPack), Opening: r.OnHand.V, Limit: r.Room.V, Essential: r.Steady.V,
		OrderPacks: r.Order.V, OnOrder: r.OnOrder.V, LeadDays: wholeDays(r.Lead.V, true), ShelfDays: wholeDays(r.Shelf.V, false),
		OpeningAge: wholeDays(r.Age.V, true), MinDays: r.DaysKept.Or(NoMinDays), ShippingFactor: r.Shipping.V}
	if !r.Shelf.OK && p.Shelf.OK {
		s.ShelfDays = wholeDays(p.Shelf.V, false)
	}
	if r.Arrives.OK {
		s.OnOrderDate = DateOf(r.Arrives.V)
	}
	return list, s
}

// tierCells are what a row of Prices says of an order of so many packs or more.
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
	return int(s.work(storeRules(1), Chemical{}, make([]Day, 1), []float64{float64(perDay)}, 1, Date{}).Cell("order"))
}

// Price gives what a kg of product costs in an order of so many packs, and the
// delivery charge spread over it, without currency where it is not known.
func (l PriceList) Price(packs int, s Supply, density quantity.Density) (goods, freight quantity.Price, err error) {
	if goods, err = l.At(packs).PerKg(density, s.Pack); err != nil || l.Delivery.Currency == "" {
		return goods, quantity.Price{}, err
	}
	perKg := l.Delivery.Amount / (float64(packs) * float64(s.Pack))
	return goods, quantity.Price{Amount: perKg, Currency: l.Delivery.Currency, Per: "kg"}, nil
}

func sameName(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}

// price fills in how a chemical is bought, and says what was taken for granted.
func (a *adapter) price(ch *Chemical, p product.Product) {
	name := ch.Name
	var in *site.Price
	for i, r := range a.site.Prices {
		if sameName(r.Chemical.V, name) {
			if in != nil {
				a.faults.Add(note.Fault("price-twice", "%s has two rows of prices", name).At(r.At).
					Do("keep one; further prices by size of order stand in the same row"))
				return
			}
			in = &a.site.Prices[i]
		}
	}
	if in == nil {
		ch.Supply = Supply{Pack: usualPack, MinDays: NoMinDays}
		a.notes.Add(note.New(note.Caution, "no-supply",
			"%s has no row on the Prices sheet: its packs are taken as %s, nothing on hand and no lead time", name, usualPack).
			Do("add the row"))
		return
	}
	for _, t := range higherTiers(*in) {
		if t.from.OK != t.price.OK {
			a.faults.Add(note.Fault("half-a-tier", "a price by size of order needs both the price and the packs from which it holds").
				At(t.price.At).
				Do("fill in both, or neither"))
		}
	}
	ch.Prices, ch.Supply = Bought(*in, p)
	gap := func(code, remedy, format string, at note.Place, args ...any) note.Note {
		return note.New(note.Caution, code, format, args...).At(at).Do("%s", remedy)
	}
	a.notes.Add(told(
		row{!in.Pack.OK,
			gap("pack-assumed", "give the pack on the Prices sheet", "the pack of %s is not given and taken as %s", in.Pack.At, name,
				usualPack)},
		row{!in.OnHand.OK,
			gap("stock-unknown", "give what is on hand on the Prices sheet", "the stock of %s is not given and counted as nothing",
				in.OnHand.At, name)},
		row{!in.Lead.OK, gap("lead-time-unknown", "ask the supplier", "the lead time of %s is not given and counted as none", in.Lead.At,
			name)},
	)...)
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
