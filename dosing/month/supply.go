package month

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Supply is how a chemical is bought and kept. All days are calendar days.
type Supply struct {
	// Opening is what stands in the store on the first morning, OpeningAge how
	// many days old it is then.
	Opening    quantity.Mass
	OpeningAge int
	// Fresher lists the parts of Opening that came after the oldest, the oldest
	// of them first; a site knows one age only, a month that follows another more.
	Fresher []Lot
	// Pack is the smallest amount that can be bought: a bag, a drum, a tote.
	Pack quantity.Mass
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

// ReorderPoint is the stock at which the next order is due: use per day × (days
// always kept + shipping factor × lead time), as in Davis 2010, example 5-1.
func ReorderPoint(perDay quantity.MassRate, minDays, factor float64, leadDays int) quantity.Mass {
	return quantity.Mass(float64(perDay) * (minDays + factor*float64(leadDays)))
}

// Packs is the number of whole packs that hold at least so much.
func Packs(need, pack quantity.Mass) int {
	return int(math.Max(0, math.Ceil(float64(need)/float64(pack)-slack)))
}

// slack keeps a rounding error in the last digits from buying a pack more.
const slack = 1e-9

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
	// Decision is why so many packs arrive.
	Decision Decision
}

// Decision is what the plan looked at on the morning of a day.
type Decision struct {
	// Possible is true where a new order can arrive on this day.
	Possible bool
	// Gap is the number of days to the next day on which a delivery may arrive.
	Gap int
	// Newest is the day, counted from the first of the month as 0, on which the newest lot in store arrived.
	Newest int
	// Usable of the stock is used before it goes out of date; Cover is used until
	// the next chance of a delivery; Coming is on order and arrives before it.
	Usable, Cover, Coming quantity.Mass
	// Lack is what is missing to cover that with the minimum kept.
	Lack quantity.Mass
	// Keeps and Room are the packs that can be used in time, or that keep the plant
	// running whatever their age, and the packs that fit. NoLimit stands for any number.
	Keeps, Room float64
}

// NoLimit is more packs than anybody buys.
const NoLimit = 1e9

// store is a supply in plain numbers over a horizon of days.
type store struct {
	supply   Supply
	use      []float64 // wanted, kg a day
	sum      []float64 // sum[i] is the use of all days before i
	mean     float64   // use a day beyond the horizon, and for the minimum
	safety   float64   // kg always kept
	order    int       // usual order, packs
	earliest int       // first day on which a new order can arrive
	onOrder  int       // day on which OnOrder arrives, or -1
	days     []Day
}

func newStore(s Supply, days []Day, use []float64, month int, from Date) *store {
	st := &store{supply: s, days: days, use: use, onOrder: -1}
	st.sum = make([]float64, len(use)+1)
	for i, u := range use {
		st.sum[i+1] = st.sum[i] + u
	}
	st.mean = st.sum[month] / float64(month)
	st.safety = st.mean * (s.Kept() + (s.Factor()-1)*float64(s.LeadDays))
	st.order = s.OrderPacks
	if st.order == 0 {
		st.order = st.usualOrder()
	}
	st.earliest = days[0].Date.DaysTo(from) + s.LeadDays
	if s.OnOrder > 0 {
		if i := days[0].Date.DaysTo(s.OnOrderDate); i >= 0 && i < len(days) {
			st.onOrder = i
		}
	}
	return st
}

// usualOrder is about 30 days of use, less where the store or the shelf life is shorter.
func (st *store) usualOrder() int {
	pack := float64(st.supply.Pack)
	n := math.Ceil(30*st.mean/pack - slack)
	if st.supply.Limit > 0 {
		n = math.Min(n, math.Floor((float64(st.supply.Limit)-st.safety)/pack+slack))
	}
	if st.supply.ShelfDays > 0 {
		n = math.Min(n, math.Floor((float64(st.supply.ShelfDays)*st.mean-st.safety)/pack+slack))
	}
	return int(math.Max(1, n))
}

// wanted is the use of n days from day i on; beyond the horizon each day uses the mean.
func (st *store) wanted(i, n int) float64 {
	n = max(n, 0)
	end := min(i+n, len(st.use))
	return st.sum[end] - st.sum[i] + float64(max(0, i+n-len(st.use)))*st.mean
}

// gap is the number of days from day i to the next day on which a delivery may arrive.
func (st *store) gap(i int) int {
	for j := i + 1; j < len(st.days); j++ {
		if st.days[j].Delivery {
			return j - i
		}
	}
	return len(st.days) - i
}

// run keeps the store's account. On each day that can take a delivery it asks
// whether the stock lasts to the next such day with the minimum kept; if not, it
// brings the usual order, or more where that is too little, but never more than
// fits the store, nor more than can be used before it goes out of date, unless
// the plant would stand still without.
func (st *store) run() []StockDay {
	s := st.supply
	pack := float64(s.Pack)
	out := make([]StockDay, len(st.use))
	arrived := make([]float64, len(st.use)+1) // arrived[i]: all arrivals before day i
	end := float64(s.Opening)
	newest := -s.OpeningAge // day of the newest lot's arrival
	fresher := 0.0
	for _, l := range s.Fresher {
		newest = -l.Age
		fresher += float64(l.Amount)
	}
	for i := range st.use {
		start := end
		expired := 0.0
		if s.ShelfDays > 0 && i >= s.ShelfDays-s.OpeningAge {
			good := arrived[i] - arrived[max(0, i-s.ShelfDays+1)]
			for _, l := range s.Fresher {
				if i < s.ShelfDays-l.Age {
					good += float64(l.Amount)
				}
			}
			expired = math.Max(0, start-good)
		}
		have := start - expired
		ordered := 0.0
		if i == st.onOrder {
			ordered = float64(s.OnOrder) * pack
			have += ordered
			newest = i
		}
		d := st.decide(i, have, arrived[i]+ordered+fresher, newest)
		packs := st.packs(d)
		if packs > 0 {
			newest = i
		}
		full := have + float64(packs)*pack
		came := ordered + float64(packs)*pack
		arrived[i+1] = arrived[i] + came
		used := math.Min(st.use[i], full)
		if st.use[i]-full < slack {
			used = st.use[i]
		}
		end = math.Max(0, full-st.use[i])
		out[i] = StockDay{
			Date: st.days[i].Date, Start: quantity.Mass(start), Expired: quantity.Mass(expired), Arrived: quantity.Mass(came),
			Used: quantity.Mass(used), Short: quantity.Mass(st.use[i] - used), End: quantity.Mass(end),
			OnOrder: quantity.Mass(ordered), Packs: packs, Full: quantity.Mass(full), Decision: d,
		}
	}
	return out
}

// usable is what of the stock can be used before it goes out of date.
func (st *store) usable(i int, have, arrived float64, newest int) float64 {
	s := st.supply
	if s.ShelfDays == 0 {
		return have
	}
	opening := math.Max(0, have-arrived)
	lost := math.Max(0, opening-st.wanted(i, s.ShelfDays-s.OpeningAge-i))
	return math.Min(have-lost, st.wanted(i, newest+s.ShelfDays-i))
}

// decide looks at day i.
func (st *store) decide(i int, have, arrived float64, newest int) Decision {
	s := st.supply
	pack := float64(s.Pack)
	usable := st.usable(i, have, arrived, newest)
	gap := st.gap(i)
	cover := st.wanted(i, gap)
	coming := 0.0
	if st.onOrder > i && st.onOrder < i+gap {
		coming = float64(s.OnOrder) * pack
	}
	d := Decision{Possible: st.days[i].Delivery && i >= st.earliest, Gap: gap, Newest: newest,
		Usable: quantity.Mass(usable), Cover: quantity.Mass(cover), Coming: quantity.Mass(coming), Lack: quantity.Mass(st.safety + cover - usable - coming), Keeps: NoLimit, Room: NoLimit}
	if s.ShelfDays > 0 {
		keeps := math.Floor((st.wanted(i, s.ShelfDays)-usable)/pack + slack)
		d.Keeps = math.Max(keeps, math.Ceil((cover-usable)/pack-slack))
	}
	if s.Limit > 0 {
		room := float64(s.Limit) - have
		if st.onOrder > i {
			room = math.Min(room, room+st.wanted(i, st.onOrder-i)-float64(s.OnOrder)*pack)
		}
		d.Room = math.Floor(room/pack + slack)
	}
	return d
}

// packs gives what to order for a day after looking at it.
func (st *store) packs(d Decision) int {
	if !d.Possible || float64(d.Lack) <= slack {
		return 0
	}
	n := math.Max(math.Ceil(float64(d.Lack)/float64(st.supply.Pack)-slack), float64(st.order))
	return int(math.Max(0, math.Min(n, math.Min(d.Keeps, d.Room))))
}

// check finds what is impossible in a supply.
func (s Supply) check(name string) note.List {
	var l note.List
	bad := func(code, remedy, format string, args ...any) {
		l.Add(note.Fault(code, name+": "+format, args...).Do("%s", remedy))
	}
	if s.Pack <= 0 {
		bad("pack-missing", "give the mass of a bag, drum or tote, such as 25 kg", "no pack size is given")
	}
	if s.Opening < 0 || s.Limit < 0 {
		bad("negative-stock", "a stock is zero or more", "a stock or storage limit is negative")
	}
	if s.LeadDays < 0 || s.ShelfDays < 0 || s.OpeningAge < 0 || s.OrderPacks < 0 || s.OnOrder < 0 {
		bad("negative-days", "a number of days or packs is zero or more", "a number of days or packs is negative")
	}
	if s.Limit > 0 && s.Pack > s.Limit {
		bad("pack-too-big", "buy smaller packs or find more room", "one pack of %s does not fit the store of %s", s.Pack, s.Limit)
	}
	if s.OnOrder > 0 && s.OnOrderDate.IsZero() {
		bad("no-arrival-date", "give the day on which it arrives", "%d packs are on order without a date", s.OnOrder)
	}
	return l
}

// StoreVolume is the room that a mass takes at its bulk density, with a share
// on top for freeboard.
func StoreVolume(m quantity.Mass, bulk quantity.Density, freeboard quantity.Fraction) quantity.Volume {
	return quantity.Volume(float64(m) / float64(bulk) * (1 + float64(freeboard)))
}
