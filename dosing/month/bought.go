package month

import (
	"math"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// usualPack is what a pack is taken to hold where the site does not say, a bag of a
// powder; of a liquid amounts are then planned to so much.
const usualPack quantity.Mass = 25

// Bought is how a row of Prices says that a chemical is bought and kept. Its shelf
// life is the product's own where the row has none.
func Bought(r site.Price, p product.Product) (PriceList, Supply) {
	list := PriceList{Delivery: r.Delivery.V}
	if r.Price.OK {
		list.Tiers, list.Cells = []Tier{{1, r.Price.V}}, []note.Place{r.Price.At}
	}
	for _, t := range higherTiers(r) {
		if r.Price.OK && t.from.OK && t.price.OK {
			list.Tiers, list.Cells = append(list.Tiers, Tier{t.from.V, t.price.V}), append(list.Cells, t.price.At)
		}
	}
	s := Supply{Pack: r.Pack.Or(usualPack), PackVolume: r.PackVolume.V, Loose: !r.Pack.OK && liquid(p), Opening: r.OnHand.V, NotSaid: !r.OnHand.OK, Limit: r.Room.V, Essential: r.Steady.V,
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

// liquid reports that a product does not come in bags.
func liquid(p product.Product) bool { return p.Form != "" && p.Form != product.Dry }

// tierCells are what a row of Prices says of an order of so many packs or more.
type tierCells struct {
	from  quantity.Known[int]
	price quantity.Known[quantity.Price]
}

func higherTiers(r site.Price) []tierCells {
	return []tierCells{{r.From2, r.Price2}, {r.From3, r.Price3}}
}

// Said is the order in words: packs of a size, or the amount where no pack is known.
func (o Order) Said() note.Phrase {
	if o.Loose {
		return note.Say("%s", brief(quantity.Mass(o.Packs)*o.Pack))
	}
	return note.Say("%d x %s", o.Packs, Supply{Pack: o.Pack, PackVolume: o.PackVolume}.Said())
}

// Buying is what a kg of product costs in the usual order of a plant; a price without
// currency is not known.
type Buying struct {
	Price, Freight quantity.Price
	Order          Order
	// Notes say what of the order goes out of date before it is used: no price holds it.
	Notes note.List
}

// Order is a usual order of one chemical: so many packs at a time.
type Order struct {
	Chemical string
	Packs    int
	Pack     quantity.Mass
	// PackVolume and Loose are as of [Supply].
	PackVolume quantity.Volume
	Loose      bool
	Charge     quantity.Money // for its delivery
}

// Buy prices a product by its row of Prices for a plant that uses so much of it on the average day.
func Buy(r site.Price, name string, p product.Product, mean quantity.MassRate) (Buying, error) {
	list, supply := Bought(r, p)
	b := Buying{Order: Order{name, supply.UsualOrder(mean), supply.Pack, supply.PackVolume, supply.Loose, list.Delivery}}
	density := p.Density.V
	if p.Form == product.Dry {
		density = 0
	}
	var err error
	b.Price, b.Freight, err = list.Price(b.Order.Packs, supply, density)
	bought, keeps := float64(b.Order.Packs)*float64(supply.Pack), float64(mean)*float64(supply.ShelfDays)
	if keeps > 0 && bought > keeps {
		b.Notes.Add(note.New(note.Caution, "goods-spoil",
			"%s: of an order of %s only %s can be used in the %d days that it keeps; what goes out of date is not in its price, and would make it %s times as high",
			name, b.Order.Said(), quantity.To(quantity.Mass(keeps), 3), supply.ShelfDays, short(bought/keeps)).Do("buy smaller packs"))
	}
	return b, err
}

// Usual is the average day of a month: the water that a site treats on it, not known where no month is, and how
// many times as much of a chemical a litre of it takes as one of the usual water does.
type Usual struct {
	Water quantity.Known[quantity.Volume]
	Mix   map[string]quantity.Ratio
}

// Mean is the average day of a month, by a site's calendar and its meter log as they stand for any day; without water
// for a site that only cleans a tank up. The month is that asked for, else that of the site's date. A chemical whose
// month cannot be worked out, as of a bench sheet that was not read, is used as in usual water.
func Mean(s site.Site, g dosing.Given, m Month) (out Usual) {
	if m = ThatOf(s, m); m == (Month{}) || dosing.CleansTank(s) {
		return out
	}
	a := adapter{site: s, opt: Options{Given: dosing.Given{Log: g.Log}}}
	p := Plan{Calendar: Calendar{Month: m}}
	a.flow(&p)
	a.calendar(&p)
	if len(a.faults) == 0 && cleansUp(s) {
		a.site.Chemicals = nil // what is dosed does not move the water
		if in, err := dosing.CleaningFromSite(a.site, a.opt.Given, time.Time{}); err == nil {
			if r, err := in.Tank.Run(); err == nil && r.Outcome == clarify.Cleared {
				a.wholeClean(&p, dosing.Cleaning{CleaningInput: in, Result: r}, false)
			}
		}
	}
	days, err := p.Calendar.Days(0)
	if err != nil || len(a.faults) > 0 {
		return out // the month tells them
	}
	for _, d := range days {
		out.Water.V += d.Treated() / quantity.Volume(len(days))
	}
	out.Water.OK, out.Mix = true, mixOf(s, g, m)
	return out
}

// mixOf is what a litre of a month's water takes of each chemical as a multiple of usual water.
func mixOf(s site.Site, g dosing.Given, m Month) map[string]quantity.Ratio {
	a := adapter{site: s, opt: Options{Given: g, Month: m}, silent: true}
	p := a.plan()
	if a.faults.Err() != nil {
		return nil
	}
	all, err := summed(p)
	if err != nil {
		return nil
	}
	mix := map[string]quantity.Ratio{}
	var water float64
	for i := range all.n {
		water += all.flow[i] + all.clean[i]
	}
	for c, ch := range p.Chemicals {
		var used float64
		for i := range all.n {
			used += all.use[c][i]
		}
		if usual := float64(all.doses[0][c]) * all.product[c] * water / 1000; usual > 0 { // of usual water, the first class
			mix[ch.Name] = quantity.Ratio(used / usual)
		}
	}
	return mix
}

// Of is what a plant uses of a chemical on the average day, of which so much usual water takes so
// much; the same where the average day is not known.
func (u Usual) Of(chemical string, use quantity.MassRate, treated quantity.Volume) quantity.MassRate {
	if !u.Water.OK || treated <= 0 {
		return use
	}
	use *= quantity.MassRate(u.Water.V / treated)
	if mix, ok := u.Mix[chemical]; ok {
		use *= quantity.MassRate(mix)
	}
	return use
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
	if l.Priced() {
		if goods, err = l.At(packs).PerKg(density, s.Pack); err != nil {
			err = l.inCell(l.reached(packs), err)
		}
	}
	if err != nil || l.Delivery.Currency == "" {
		return goods, quantity.Price{}, err
	}
	perKg := l.Delivery.Amount / (float64(packs) * float64(s.Pack))
	return goods, quantity.Price{Amount: perKg, Currency: l.Delivery.Currency, Per: "kg"}, nil
}

// price fills in how a chemical is bought, and says what was taken for granted.
func (a *adapter) price(ch *Chemical, p product.Product) {
	name := ch.Name
	var in *site.Price
	for i, r := range a.site.Prices {
		if dosing.SameName(r.Chemical.V, dosing.GoodsOf(name)) {
			if in != nil {
				a.faults.Add(note.Fault("price-twice", "%s has two rows of prices", name).At(r.At).
					Do("keep one; further prices by size of order stand in the same row"))
				return
			}
			in = &a.site.Prices[i]
		}
	}
	if in == nil {
		ch.Supply = Supply{NotSaid: true, Pack: usualPack, Loose: liquid(p), MinDays: NoMinDays}
		a.notes.Add(note.New(note.Info, "no-supply",
			"no row in the site under Prices is that of %s: when it runs out is not known, the orders are those of an empty store, no lead time, %s",
			name, ch.Supply.taken()).
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
	if ch.Prices, ch.Supply = Bought(*in, p); dosing.GoodsOf(name) != name {
		ch.Supply.OnOrder = 0 // that is the water's, see oneStore
	}
	gap := func(code, remedy, format string, at note.Place, args ...any) note.Note {
		return note.New(note.Caution, code, format, args...).At(at).Do("%s", remedy)
	}
	a.notes.Add(told(
		row{!in.Pack.OK,
			gap("pack-assumed", "give the pack in the site under Prices", "the pack of %s is not given: %s", in.Pack.At, name, ch.Supply.taken())},
		row{!in.OnHand.OK, onHandUnknown(name).At(in.OnHand.At)},
		row{!in.Lead.OK, gap("lead-time-unknown", "ask the supplier", "the lead time of %s is not given and counted as none", in.Lead.At,
			name)},
	)...)
}

// onHandUnknown says that what comes of an empty store is no forecast.
func onHandUnknown(name string) note.Note {
	return note.New(note.Caution, "stock-unknown",
		"what is on hand of %s is not given: whether and when that runs out is not known, and the orders are those of an empty store", name).
		Do("give it in the site under Prices; an empty store has 0")
}

// taken says what packs are taken for where the site does not say.
func (s Supply) taken() note.Phrase {
	if s.Loose {
		return note.Say("orders are planned by the amount, in steps of %s", s.Pack)
	}
	return note.Say("packs are taken as %s", s.Pack)
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
