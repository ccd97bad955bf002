package month

import (
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// DayCost is a planned day with what it costs.
type DayCost struct {
	day.Account
	// Orders are the usual orders whose charges the day bears in part.
	Orders []Order
	// Lacks names what has no price, so that the total lacks it: chemicals, and the disposal of solids that go to a bin.
	Lacks    []string
	unpriced []string // what the note on that names
	// Notes say what the cost leaves out; none where the site prices nothing at all.
	Notes note.List
}

// CostOf is the account of a planned day with all that it costs on a site, at the
// orders of a plant that treats so much with its usual doses on the average day, or such a
// day every day where that is not known. What has no price that can be used costs nothing,
// and the notes say so once.
//
// With the sludge lines of the day, if there are any, the polymer that they are fed is a part of it.
func CostOf(s site.Site, p dosing.Plan, mean Usual, lines ...*dosing.SludgeDay) DayCost {
	var feeds []dosing.FeedInput
	for _, f := range p.Feeds {
		feeds = append(feeds, f.FeedInput)
	}
	r := p.Record(s)
	for _, line := range lines {
		if f, c, ok := line.Bought(s, p.Treated); ok {
			feeds, r.Chemicals = append(feeds, f), append(slices.Clone(r.Chemicals), c)
		}
	}
	return costOf(s, r, feeds, mean)
}

// CostOfCleaning is the same of a whole clean-up, at the usual orders of the plant in the month asked
// for, else that of the site's date: of one that does nothing else as many as its calendar begins.
func CostOfCleaning(s site.Site, c dosing.Cleaning, g dosing.Given, m Month) DayCost {
	mean := Mean(s, g, m)
	switch {
	case dosing.CleansTank(s):
		mean = Usual{Water: meanOfCleaning(s, c, m)}
	case !mean.Water.OK: // no month: a plant that runs every day as its Flow says
		mean.Water = everyDay(s, g)
	}
	return costOf(s, c.Priced(s), c.Feeds, mean)
}

// everyDay is the water of the day that a site's Flow tells; not known where that tells none.
func everyDay(s site.Site, g dosing.Given) quantity.Known[quantity.Volume] {
	d, _, err := dosing.DayOf(s.Flow, g.Log)
	return quantity.Known[quantity.Volume]{V: d.Volume(), OK: err == nil && d.Volume() > 0}
}

func costOf(s site.Site, r day.Record, feeds []dosing.FeedInput, mean Usual) DayCost {
	var out DayCost
	leave := func(faults note.List) {
		for _, n := range faults {
			n.Level = note.Caution // the other lines stand
			out.Notes.Add(n)
		}
	}
	leave(dosing.OtherPrices(s))
	for i, u := range r.Account().Uses {
		c := &r.Chemicals[i]
		k := slices.IndexFunc(s.Prices, func(row site.Price) bool { return dosing.SameName(row.Chemical.V, dosing.GoodsOf(c.Name)) })
		if k < 0 {
			continue
		}
		usual := mean.Of(c.Name, quantity.MassRate(u.Product)*quantity.MassRate(feeds[i].OfUsual()), r.Treated)
		b, err := Buy(s.Prices[k], c.Name, feeds[i].Stock.Product, usual)
		if err != nil {
			leave(note.Of(err, "price"))
			continue
		}
		if c.Price, c.Freight = b.Price, b.Freight; b.Order.Charge.Amount > 0 {
			out.Orders = append(out.Orders, b.Order)
		}
		out.Notes = append(out.Notes, b.Notes...)
	}
	out.Account = r.Account()
	for i, u := range out.Uses {
		if u.Product > 0 && r.Chemicals[i].Price.Currency == "" {
			out.Lacks = append(out.Lacks, u.Chemical)
		}
	}
	if r.Disposal.Lacks(out.Account) {
		out.Lacks = append(out.Lacks, site.PriceDisposal)
	}
	switch all := currencies(r); len(all) {
	case 0:
		out.Notes, out.Orders = nil, nil
	case 1:
		if none := unpriced(r, out.Account); len(none) > 0 {
			out.unpriced = none
			out.Notes.Add(notPriced(none))
		}
		out.Notes = append(out.Notes, powerUnknown(s, r.Electricity)...)
	default:
		out.Notes = note.List{note.New(note.Caution, "currencies", "prices are in %s, so the cost is not added up",
			strings.Join(all, " and in ")).At(MoneyAt(s)[all[1]]).Do("give all prices in one currency")}
	}
	return out
}

// NotPriced names all that the day takes and its cost leaves out, where something has a price.
func (d DayCost) NotPriced() []string { return d.unpriced }

// notPriced says what a cost leaves out.
func notPriced(what []string) note.Note {
	return note.New(note.Info, "not-priced", "the cost leaves out %s: no price is given", strings.Join(what, ", ")).Do("give it in the site under Prices")
}

// Priced reports that there is money, all of it in one currency.
func (d DayCost) Priced() bool {
	return d.Total().Currency != "" && !slices.ContainsFunc(d.Notes, func(n note.Note) bool { return n.Code == "currencies" })
}

// Per1000 is the cost of 1000 m3 of the day's water; zero where none is treated.
func (d DayCost) Per1000() quantity.Price {
	v := d.Treated.In("m3") / 1000
	if v <= 0 {
		return quantity.Price{}
	}
	return quantity.Price{Amount: d.Total().Amount / v, Currency: d.Total().Currency, Per: "1000 m3"}
}

// currencies lists those in which a day's prices are, each once.
func currencies(r day.Record) []string {
	prices := []quantity.Price{r.Disposal.Price, r.MakeUp, r.Electricity}
	for _, c := range r.Chemicals {
		prices = append(prices, c.Price, c.Freight)
	}
	var out []string
	for _, p := range prices {
		if p.Currency != "" && !slices.Contains(out, p.Currency) {
			out = append(out, p.Currency)
		}
	}
	return out
}

// powerUnknown says that electricity costs something and nothing tells how much is drawn.
func powerUnknown(s site.Site, electricity quantity.Price) (l note.List) {
	if electricity.Amount > 0 && s.Flow.Power.V == 0 {
		l.Add(note.New(note.Info, "power-unknown", "electricity has a price and the power drawn is not given").
			At(s.Flow.Power.At).Do("give it in the site under Flow"))
	}
	return l
}

// unpriced names what a day takes that has no price.
func unpriced(r day.Record, a day.Account) (out []string) {
	var water quantity.Volume
	for i, u := range a.Uses {
		water += u.Water + u.Carrier
		switch c := r.Chemicals[i]; {
		case u.Product <= 0:
		case c.Price.Currency == "":
			out = append(out, u.Chemical)
		case c.Freight.Currency == "":
			out = append(out, "delivery of "+u.Chemical)
		}
	}
	return append(out, others(a, water, r.Disposal.Price, r.MakeUp, r.Electricity)...)
}

// CostOfStanding is the account of ponds that are treated by hand with what it costs, where what they take is bought
// for them in one order.
func CostOfStanding(s site.Site, p dosing.Standing) (out DayCost) {
	need := map[string]quantity.Mass{}
	for _, x := range p.Open() {
		for _, h := range x.Goods {
			need[h.Name] += h.Use.Product
		}
	}
	s.Prices = slices.Clone(s.Prices)
	for name, kg := range need {
		k := slices.IndexFunc(s.Prices, func(row site.Price) bool { return dosing.SameName(row.Chemical.V, name) })
		if k >= 0 && !s.Prices[k].Order.OK {
			s.Prices[k].Order = quantity.Some(max(1, int(math.Ceil(float64(kg/s.Prices[k].Pack.Or(usualPack))-1e-9))))
		}
	}
	for _, x := range p.Open() {
		var feeds []dosing.FeedInput
		for _, h := range x.Goods {
			feeds = append(feeds, h.FeedInput)
		}
		one := costOf(s, bought(x.Record), feeds, Usual{})
		if out.Account.Uses == nil {
			out = one
			continue
		}
		out.Account = out.Plus(one.Account)
		for _, w := range one.unpriced {
			if !slices.Contains(out.unpriced, w) {
				out.unpriced = append(out.unpriced, w)
			}
		}
		for _, n := range one.Notes {
			if n.Code == "not-priced" && len(out.unpriced) > 0 { // told once, of all ponds
				out.Notes = slices.DeleteFunc(out.Notes, func(o note.Note) bool { return o.Code == n.Code })
				n = notPriced(out.unpriced)
			}
			if !slices.ContainsFunc(out.Notes, func(o note.Note) bool { return o.Message == n.Message }) {
				out.Notes.Add(n)
			}
		}
		for _, l := range one.Lacks {
			if !slices.Contains(out.Lacks, l) {
				out.Lacks = append(out.Lacks, l)
			}
		}
	}
	return out
}

// bought is a record with nothing in it to be rid of: what settles in a pond stays there.
func bought(r day.Record) day.Record {
	r.Chemicals = slices.Clone(r.Chemicals)
	for i := range r.Chemicals {
		e := &r.Chemicals[i].Effects
		e.Al, e.Fe, e.Floc, e.Bound, e.Phosphate = 0, 0, 0, 0, 0
	}
	return r
}
