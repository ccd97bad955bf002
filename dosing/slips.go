package dosing

import (
	"cmp"
	"slices"

	"jarwright/dosing/mixing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Slips asks about figures that are each plausible and do not go together: a flow
// that the unit could not pass, a tank that lasts for years, a dose far from the
// bench's. Each is a caution at the cell of one of them. Where no rate may be given out
// or wanted, none is named.
func (p Plan) Slips(s site.Site, withheld bool) (out note.List) {
	out = append(p.doseSlips(s), p.priceSlips(s)...)
	if len(out) > 0 || slices.ContainsFunc(p.Notes, AsksFigure) {
		return out // a slip that is told shows in other figures too
	}
	out = crossed(s)
	var found []proportion
	told := map[string]bool{}
	for _, r := range apart {
		if r.rates && withheld {
			continue
		}
		if r.ofDay != nil {
			if x := r.ofDay(p, s); r.outside(x.value) {
				found = append(found, x)
				out.Add(r.asks(x))
			}
			continue
		}
		for _, f := range p.Feeds {
			x := r.ofFeed(p, s, f)
			if !r.outside(x.value) || told[f.Name] {
				continue
			}
			told[f.Name] = true
			x.says = note.Say("%s: %s", f.Name, x.says)
			found = append(found, x)
			out.Add(r.asks(x))
		}
	}
	if many := 3; len(found) >= many { // what they have in common
		return note.List{note.New(note.Caution, "figures-apart", "%s; %s; %s: is the flow, %s, wrong by a decimal point or a unit?",
			found[0].says, found[1].says, found[2].says, p.Day.Average()).At(p.FlowAt).Do("look at the flow first").From(ownBounds).ByTen(true)}
	}
	return out
}

// doseSlips asks about doses that are far from what is usual of such products.
func (p Plan) doseSlips(s site.Site) (out note.List) {
	for _, f := range p.Feeds {
		if f.Balance != nil || f.DoseSource == "" {
			continue
		}
		for _, n := range product.DoseSlips(f.Stock.Product, f.Dose, s.Place.Purpose.V == site.ForWastewater) {
			if f.FedADay.OK {
				n = n.After("%s fed a day makes ", f.FedADay.V)
			}
			n.Message = f.Name + ": " + n.Message
			out.Add(n.At(f.DoseAt))
		}
	}
	return append(out, p.tableSlips(s)...)
}

// tableSlips asks about the doses by the reading of a tank.
func (p Plan) tableSlips(s site.Site) (out note.List) {
	key, err := readIn(s.Solids)
	for _, f := range p.Feeds {
		i := slices.IndexFunc(s.Chemicals, func(c site.Chemical) bool { return c.Name.V == f.Name && c.ByTurbidity.OK })
		if i < 0 || err != nil {
			continue
		}
		if rule, err := f.FeedInput.cleaning(s.Chemicals[i], key, s.Solids.Gauges()); err == nil { // else it is told where a tank is cleaned up
			out = append(out, f.FeedInput.tableSlips(s, rule, key, s.Chemicals[i].ByTurbidity.At)...)
		}
	}
	return out
}

// priceSlips asks about prices that are far from what such products cost.
func (p Plan) priceSlips(s site.Site) (out note.List) {
	for _, f := range p.Feeds {
		row, ok := priceRow(s, f.Name)
		if !ok || !row.Price.OK {
			continue
		}
		for _, n := range AskedOfPrice(f.Name, f.Stock.Product, row.Price.V, row.Pack.V) {
			out.Add(n.At(row.Price.At))
		}
	}
	return out
}

// AskedOfPrice asks about a price that is far from what such a product costs in such packs; no mass is not known.
func AskedOfPrice(name string, p product.Product, price quantity.Price, pack quantity.Mass) (out note.List) {
	for _, n := range product.PriceSlips(p, price, Stock{Product: p}.liquid(), pack) {
		n.Message = name + ": " + n.Message
		out.Add(n)
	}
	return out
}

// AsksFigure reports that a note asks about a figure by itself.
func AsksFigure(n note.Note) bool {
	return n.Asks() && n.Code != "dose-unusual" && n.Code != "figures-apart"
}

// proportion is what two figures come to; zero is not known.
type proportion struct {
	value float64
	says  note.Phrase
	at    note.Place
}

// apartRule is what a proportion usually lies between, and which figures to look
// at where it does not. All bounds are common practice, without a source, and wide.
type apartRule struct {
	low, high float64
	look      string
	rates     bool // it names what the pump feeds
	ofDay     func(Plan, site.Site) proportion
	ofFeed    func(Plan, site.Site, Feed) proportion
}

// outside reports that a proportion that is known is not usual.
func (r apartRule) outside(v float64) bool { return v > 0 && (v < r.low || v > r.high) }

func (r apartRule) asks(x proportion) note.Note {
	apart := r.rates || r.look == benchLook && (x.value >= 10 || x.value <= 0.1)
	return note.New(note.Caution, "figures-apart", "%s: is a decimal point or a unit wrong?", x.says).At(x.at).Do("look at %s", r.look).From(ownBounds).ByTen(apart)
}

const ownBounds = "common practice, no source"

// leastParcel is what goods count at least beside the charge for bringing them: a small parcel has its postage.
const leastParcel = 30

var apart = []apartRule{
	{low: 0.003, high: 5, rates: true, look: "dose, strength, stock, flow and the pump's largest rate", ofFeed: func(_ Plan, _ site.Site, f Feed) proportion {
		if f.Pump == nil || !f.Fed {
			return proportion{}
		}
		most := f.Pump.Capacity()
		return proportion{float64(f.Peak / most), note.Say("it takes %s at the peak, and %s gives %s at most", f.Peak, f.PumpName, most), f.DoseAt}
	}},
	{low: 0.2, high: 5, look: benchLook, ofFeed: func(_ Plan, _ site.Site, f Feed) proportion {
		return f.againstBench(f.Dose.Concentration, "the dose")
	}},
	{low: 0.2, high: 5, look: benchLook, ofFeed: func(_ Plan, _ site.Site, f Feed) proportion {
		return f.againstBench(f.Storm.V, "the dose in storm water")
	}},
	{low: 0.5, high: 400 * 24, look: "the tank's volume, dose, stock and flow", ofFeed: func(p Plan, _ site.Site, f Feed) proportion {
		if f.Tank == nil || f.Lasts <= 0 {
			return proportion{}
		}
		lasts := calendarTime(f.Drawn, p.Running)
		return proportion{float64(lasts), note.Say("a full %s lasts %s", f.Tank.Name, lasts), f.Tank.At}
	}},
	{low: 0, high: 30, look: "the tank's volume, dose, stock, flow and the stock's life", ofFeed: func(p Plan, _ site.Site, f Feed) proportion {
		if f.Tank == nil || f.Lasts <= 0 || f.Life <= 0 || f.Stock.Neat() {
			return proportion{}
		}
		lasts := calendarTime(f.Drawn, p.Running)
		return proportion{float64(lasts / f.Life), note.Say("a full %s lasts %s, and the stock keeps %s", f.Tank.Name, lasts, f.Life), f.Tank.At}
	}},
	{low: 0, high: 30, look: "the make-up tank's volume, dose, stock, flow and the stock's life", ofFeed: func(p Plan, _ site.Site, f Feed) proportion {
		if f.Mix == nil || f.StockUse <= 0 || f.Life <= 0 {
			return proportion{}
		}
		lasts := quantity.Time(24 * float64(f.Mix.Holds()/f.StockUse))
		return proportion{float64(lasts / f.Life), note.Say("a full %s is stock for %s, and the stock keeps %s", f.Mix.Name, lasts, f.Life), f.Mix.At}
	}},
	{low: 0, high: 20, look: "the stock's life and its unit", ofFeed: func(_ Plan, _ site.Site, f Feed) proportion {
		own, usual := f.FeedInput.Life, f.Stock.Product.Life
		if !own.OK || f.Stock.Neat() || usual.V <= 0 {
			return proportion{}
		}
		return proportion{float64(own.V / usual.V), note.Say("the stock is said to keep %s, and such stock usually keeps %s", own.V, usual.V), own.At}
	}},
	{low: 0, high: 6, look: "the stock's life and its unit", ofFeed: func(_ Plan, _ site.Site, f Feed) proportion { // a made-up polymer goes off
		own, usual := f.FeedInput.Life, f.Stock.Product.Life
		if !own.OK || f.Stock.Neat() || !f.Stock.Product.IsPolymer() || usual.High <= 0 {
			return proportion{}
		}
		return proportion{float64(own.V / usual.High), note.Say("the stock is said to keep %s, and such stock usually keeps %s to %s", own.V, usual.Low, usual.High), own.At}
	}},
	{low: 0.25, high: 8, look: "the ageing and its unit", ofFeed: func(_ Plan, _ site.Site, f Feed) proportion {
		own, usual := f.FeedInput.Ageing, f.Stock.Product.Ageing
		if !own.OK || f.Stock.Neat() || usual.Low <= 0 {
			return proportion{}
		}
		over := usual.High // of a band; 1 within it is as good as any
		if own.V < usual.Low {
			over = usual.Low
		}
		return proportion{float64(own.V / over), note.Say("the stock is said to age %s, and such stock usually ages %s to %s", own.V, usual.Low, usual.High), own.At}
	}},
	{low: 0.15, high: 4.5, look: "the solids of float or sludge", ofDay: func(_ Plan, s site.Site) proportion {
		own := s.Solids.FloatSolids
		if s.Solids.FloatSolids.V = 0; !own.OK {
			return proportion{}
		}
		usual, _ := ShareOf(s)
		return proportion{float64(own.V / usual), note.Say("float or sludge is said to have %s of dry solids, and such a unit's usually has %s", own.V, usual), own.At}
	}},
	{low: 0.1, high: 45, look: "the flow and the surface", ofDay: loadingOf(true)},
	{low: 0.002, high: 45, look: "the flow and the surface", ofDay: loadingOf(false)}, // a pond may hold its water for weeks
	{low: 1.0 / 7200, high: 1, look: "the flow and the rapid mix volume", ofDay: stay("rapid mix", func(u site.Solids) quantity.Known[quantity.Volume] { return u.RapidVolume })},
	{low: 0.005, high: 12, look: "the flow and the flocculator's volume", ofDay: stay("flocculator", func(u site.Solids) quantity.Known[quantity.Volume] { return u.FlocVolume })},
	{low: 0, high: 0.3, look: "the skimmer's water at each pass, its interval and the flow", ofDay: func(p Plan, s site.Site) proportion {
		if p.Treated <= 0 {
			return proportion{}
		}
		water := p.Record(s).Account().Carried
		return proportion{float64(water / p.Treated), note.Say("the skimmer carries over %s of %s", water, p.Treated), s.Solids.SkimWater.At}
	}},
	{low: 0, high: 0.15, look: "the turbidity or the suspended solids of the raw water and the share of dry solids", ofDay: func(p Plan, s site.Site) proportion {
		d := p.Solids(s)
		if d == nil || p.Treated <= 0 {
			return proportion{}
		}
		at := s.Water.Turbidity.At
		if s.Water.TSS.OK {
			at = s.Water.TSS.At
		}
		return proportion{float64(d.Float.Likely / p.Treated), note.Say("%s of float or sludge come of %s of water", d.Float.Likely, p.Treated), at}
	}},
	{low: 0.5, high: 500 * 24, look: "the bin's volume, the flow, the solids and their share", ofDay: func(p Plan, s site.Site) proportion {
		d := p.Solids(s)
		if d == nil || d.Bin == nil || d.Volume.Likely <= 0 {
			return proportion{}
		}
		fills := quantity.Time(24 * float64(d.Bin.Room()) / float64(d.Volume.Likely))
		return proportion{float64(fills), note.Say("bin %s fills in %s", d.Bin.Name, fills), d.Bin.At}
	}},
	{low: 0, high: 3000, look: "the goods on hand, dose and flow", ofFeed: goods("on hand", func(p site.Price) quantity.Known[quantity.Mass] { return p.OnHand })},
	{low: 0.06, high: 3000, look: "the pack, its unit, dose and flow", ofFeed: goods("a pack", func(p site.Price) quantity.Known[quantity.Mass] { return p.Pack })},
	{low: 0.05, high: 20, look: "the shelf life and its unit", ofFeed: func(_ Plan, s site.Site, f Feed) proportion {
		row, ok := priceRow(s, f.Name)
		usual := f.Stock.Product.Shelf
		if !ok || !row.Shelf.OK || usual.V <= 0 {
			return proportion{}
		}
		return proportion{float64(row.Shelf.V / usual.V), note.Say("the goods are said to keep %s, and such goods usually keep %s", row.Shelf.V, usual.V), row.Shelf.At}
	}},
	{low: 0, high: 15, look: "the delivery charge, the pack and the usual order", ofFeed: func(_ Plan, s site.Site, f Feed) proportion {
		row, ok := priceRow(s, f.Name)
		price, err := row.Price.V.PerKg(f.Stock.liquid(), row.Pack.V)
		if !ok || err != nil || row.Pack.V <= 0 || !product.HardMoney(price.Currency) || row.Delivery.V.Currency != price.Currency {
			return proportion{}
		}
		packs := max(1, row.Order.V)
		worth := quantity.Money{Amount: price.Amount * float64(row.Pack.V) * float64(packs), Currency: price.Currency}
		return proportion{row.Delivery.V.Amount / max(worth.Amount, leastParcel), note.Say("delivery is %s, and what it brings, %s x %s, costs %s",
			row.Delivery.V, quantity.Number(packs), row.Pack.V, worth), row.Delivery.At}
	}},
	{low: 2e-5, high: 2, look: "the price, its unit, dose and flow", ofFeed: func(p Plan, s site.Site, f Feed) proportion {
		row, ok := priceRow(s, f.Name)
		price, err := row.Price.V.PerKg(f.Stock.liquid(), row.Pack.V)
		if !ok || err != nil || !product.HardMoney(price.Currency) || p.Treated <= 0 {
			return proportion{}
		}
		per := quantity.Price{Amount: price.Amount * float64(f.Product) / p.Treated.In("m3"), Currency: price.Currency, Per: "m3"}
		return proportion{per.Amount, note.Say("the goods of the dose cost %s of water", per), row.Price.At}
	}},
}

// againstBench is a dose over the nearer end of those that the jars tested, 1 between them.
func (f Feed) againstBench(d quantity.Concentration, name string) proportion {
	if f.Jars == nil || d <= 0 {
		return proportion{}
	}
	counted, err := product.Convert(quantity.Dose{Concentration: d, Basis: f.Dose.Basis}, f.Stock.Product, cmp.Or(f.Jars.Basis(), f.Dose.Basis))
	least, most := f.Jars.Tested()
	if err != nil || most <= 0 {
		return proportion{}
	}
	out := proportion{1, note.Say("%s, %s, lies far from those of the jars, %s to %s", name, counted, least, most), f.DoseAt}
	switch {
	case counted.Concentration > most:
		out.value = float64(counted.Concentration / most)
	case counted.Concentration < least:
		out.value = float64(counted.Concentration / least)
	}
	return out
}

// calendarTime is how long running hours take where the unit runs so long a day.
func calendarTime(t, running quantity.Time) quantity.Time {
	if running <= 0 {
		return t
	}
	return t * 24 / running
}

// loadingOf is the surface loading of a flotation unit, or of a settler.
func loadingOf(floats bool) func(Plan, site.Site) proportion {
	return func(p Plan, s site.Site) proportion {
		area := s.Solids.Surface
		if area.V <= 0 || Floats(s) != floats {
			return proportion{}
		}
		load := quantity.Loading(float64(p.Day.Average()) / float64(area.V))
		says := note.Say("%s over %s", p.Day.Average(), area.V).If(floats, ", without recycle,").And(" is %s", load)
		return proportion{float64(load), says, area.At}
	}
}

// stay is for how long the water stays in a mixer.
func stay(name string, of func(site.Solids) quantity.Known[quantity.Volume]) func(Plan, site.Site) proportion {
	return func(p Plan, s site.Site) proportion {
		v := of(s.Solids)
		if !v.OK || p.Day.Average() <= 0 {
			return proportion{}
		}
		t := mixing.Stay(v.V, p.Day.Average())
		return proportion{float64(t), note.Say("the water stays %s in the %s", t, name), v.At}
	}
}

// goods is for how many days of the plan a mass of the product lasts.
func goods(name string, of func(site.Price) quantity.Known[quantity.Mass]) func(Plan, site.Site, Feed) proportion {
	return func(_ Plan, s site.Site, f Feed) proportion {
		row, ok := priceRow(s, f.Name)
		v := of(row)
		if !ok || !v.OK || f.Product <= 0 {
			return proportion{}
		}
		t := quantity.Time(24 * float64(v.V) / float64(f.Product))
		return proportion{float64(t) / 24, note.Say("%s, %s, lasts %s", name, v.V, t), v.At}
	}
}
