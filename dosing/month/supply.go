package month

import (
	"jarwright/dosing/formula"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Supply is how a chemical is bought and kept. All days are calendar days.
type Supply struct {
	// Opening is what stands in the store on the first morning, OpeningAge how
	// many days old it is then.
	Opening    quantity.Mass
	NotSaid    bool // nobody gave Opening: what would come of an empty store is no forecast
	OpeningAge int
	// Fresher lists the parts of Opening that came after the oldest, the oldest
	// of them first; a site knows one age only, a month that follows another more.
	Fresher []Lot
	// Pack is the smallest amount that can be bought: a bag, a drum, a tote.
	Pack quantity.Mass
	// PackVolume is the pack as a volume, where it is bought by that; else zero.
	PackVolume quantity.Volume
	// Loose is true of a liquid whose pack is not known: amounts are planned in steps of Pack.
	Loose bool
	// LeadDays pass between placing an order and its arrival.
	LeadDays int
	// ShelfDays is how long the product keeps after arrival; zero is without limit.
	ShelfDays int
	// Limit is what the store can hold; zero is without limit.
	Limit quantity.Mass
	// MinDays of use are always kept. NoMinDays keeps Davis's (2010, table 5-1)
	// 30 days for a chemical that must not be interrupted, else 10.
	MinDays float64
	// ShippingFactor multiplies the lead time in the reorder point; zero takes
	// Davis's 2 for a chemical that must not be interrupted, else 1.5.
	ShippingFactor float64
	// Essential marks a chemical that must not be interrupted.
	Essential bool
	// OrderPacks is the usual size of an order; zero lets the program choose
	// about a month's worth that fits the store and the shelf life.
	OrderPacks int
	// OnOrder packs arrive on OnOrderDate; zero is nothing on order.
	OnOrder     int
	OnOrderDate Date
	// Booked are the deliveries that months before this one ordered and that have not come.
	Booked []Delivery
}

// Said is the size of a pack as it is bought.
func (s Supply) Said() quantity.Quantity {
	if s.PackVolume > 0 {
		return quantity.To(s.PackVolume, 4)
	}
	return s.Pack
}

// Lot is a part of the stock with its age on the first morning.
type Lot struct {
	Amount quantity.Mass
	Age    int
}

// NoMinDays as Supply.MinDays asks for the default of the trade.
const NoMinDays = -1

// Kept gives the days of use that are always kept, and Factor the factor on the
// lead time, with the defaults of Davis 2010, table 5-1 (after Hudson
// 1978): 30 days plus 2 × shipping where the chemical must not be interrupted,
// else 10 days plus 1.5 × shipping.
func (s Supply) Kept() float64 {
	switch {
	case s.MinDays >= 0:
		return s.MinDays
	case s.Essential:
		return 30
	}
	return 10
}

func (s Supply) Factor() float64 {
	switch {
	case s.ShippingFactor > 0:
		return s.ShippingFactor
	case s.Essential:
		return 2
	}
	return 1.5
}

// slack keeps a rounding error in the last digits from counting as something.
const slack = formula.Slack

// StockDay is one day of a store's account: Start − Expired + Arrived − Used = End,
// where Short is what was wanted and not there.
type StockDay struct {
	Date                                      Date
	Start, Expired, Arrived, Used, Short, End quantity.Mass
	// OnOrder is the part of Arrived that was on order before the plan.
	OnOrder quantity.Mass
	// Packs ordered by the plan and arriving this morning.
	Packs int
	// Full is the stock after the arrival.
	Full quantity.Mass
}

// stock lists the days of a store that has been worked out.
func stock(st *formula.Sheet, days []Day) []StockDay {
	out := make([]StockDay, len(days))
	for i, d := range days {
		kg := func(column string) quantity.Mass { return quantity.Mass(st.Row(column, i)) }
		out[i] = StockDay{Date: d.Date, Start: kg("start"), Expired: kg("expired"), Arrived: kg("came"), Used: kg("wanted") - kg("short"),
			Short: kg("short"), End: kg("end"), OnOrder: kg("ordered"), Packs: int(st.Row("packs", i)), Full: kg("full")}
	}
	return out
}

// check finds what is impossible in a supply.
func (s Supply) check(name string) note.List {
	bad := func(code, remedy, format string, args ...any) note.Note {
		return note.Fault(code, name+": "+format, args...).Do("%s", remedy)
	}
	return told(
		row{s.Pack <= 0, bad("pack-missing", "give the mass of a bag, drum or tote, such as 25 kg", "no pack size is given")},
		row{s.Opening < 0 || s.Limit < 0, bad("negative-stock", "a stock is zero or more", "a stock or storage limit is negative")},
		row{min(s.LeadDays, s.ShelfDays, s.OpeningAge, s.OrderPacks, s.OnOrder) < 0,
			bad("negative-days", "a number of days or packs is zero or more", "a number of days or packs is negative")},
		row{s.Limit > 0 && s.Pack > s.Limit,
			bad("pack-too-big", "buy smaller packs or find more room", "one pack of %s does not fit the store of %s", s.Pack, s.Limit)},
		row{s.OnOrder > 0 && s.OnOrderDate.IsZero(),
			bad("no-arrival-date", "give the day on which it arrives", "%d packs are on order without a date", s.OnOrder)},
	)
}
