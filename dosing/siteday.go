package dosing

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/doubt"
	"jarwright/dosing/flow"
	"jarwright/dosing/site"
	"jarwright/dosing/sludge"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// RecordOf is what a site says of a day with water of a class, apart from the
// flow and the chemicals: the solids, the skimmer, the power and the prices.
func RecordOf(s site.Site, class string) day.Record {
	r := day.Record{Skim: SkimmerOf(s), Disposal: DisposalOf(s), Power: s.Flow.Power.V}
	if w, ok := RawSolids(s, class); ok {
		r.Removed, _ = solids.Dry(w)
		if doubt := s.Solids.Doubt; doubt.V > 0 { // said of what is caught, so it goes before the range of a factor
			r.Removed = solids.Range[quantity.Concentration]{Low: r.Removed.Likely * quantity.Concentration(1-doubt.V),
				Likely: r.Removed.Likely, High: r.Removed.Likely * quantity.Concentration(1+doubt.V)}
		}
	}
	r.MakeUp, _ = priceOf(s, site.PriceWater).PerM3()
	if p := priceOf(s, site.PriceElectricity); p.Per == "kWh" {
		r.Electricity = p
	}
	return r
}

// SolidsDoubt is how far the suspended solids taken out may be from the likely ones: what the
// site says, else how far the factor from turbidity may be off.
func SolidsDoubt(said quantity.Fraction, removed solids.Range[quantity.Concentration]) doubt.Span {
	switch {
	case said > 0:
		return doubt.Either(said)
	case removed.Likely > 0 && removed.High > removed.Likely:
		return doubt.Span{Low: quantity.Ratio(removed.Low / removed.Likely), High: quantity.Ratio(removed.High / removed.Likely)}
	}
	return doubt.Span{}
}

// OtherPrices refuses prices of what is no chemical that are for something else than
// it is measured by.
func OtherPrices(s site.Site) (faults note.List) {
	for _, r := range s.Prices {
		p := r.Price.V
		_, volume := p.Holds()
		for _, x := range []struct {
			name   string
			usable bool
			units  string
		}{
			{site.PriceDisposal, day.Disposal{DrySolids: 1, Price: p}.Check().Err() == nil, "m3, t, kg dry, t dry"},
			{site.PriceWater, volume > 0, "m3"},
			{site.PriceElectricity, p.Per == "kWh", "kWh"},
		} {
			if r.Price.OK && SameName(r.Chemical.V, x.name) && !x.usable {
				faults.Add(note.Fault("price-unit", "the price of %s is per %s", x.name, p.Per).
					At(r.Price.At).Do("give it per %s", x.units))
			}
		}
	}
	return faults
}

// dear is from which price a kg of what is no chemical is asked about: a tonne then costs 5000, which no tip or works asks for
// (common practice, no source).
const dear = 5

// otherSlips asks about the price of disposal that is far above what it costs, as one per m3 typed under a heading per kg is.
func otherSlips(s site.Site) (out note.List) {
	for _, r := range s.Prices {
		p := r.Price.V
		if !r.Price.OK || !SameName(r.Chemical.V, site.PriceDisposal) || !strings.HasPrefix(p.Per, "kg") || p.Amount < dear {
			continue
		}
		out.Add(note.New(note.Caution, "price-odd", "%s at %s is %s a tonne, far above what it costs", site.PriceDisposal, p, quantity.To(quantity.Money{Amount: p.Amount * 1000, Currency: p.Currency}, 3)).
			At(r.Price.At).Do(`did you mean "%g %s/m3" or "%g %s/t"? Write the unit with it`, p.Amount, p.Currency, p.Amount, p.Currency).From(ownBounds))
	}
	return out
}

// otherCurrency asks about prices in another currency than the site says it counts in, all in one caution.
func otherCurrency(s site.Site) (out note.List) {
	counts := strings.ToUpper(strings.TrimSpace(s.Place.Currency.V))
	var first note.Place
	var named []string
	for _, r := range s.Prices {
		for _, x := range []struct {
			currency string
			at       note.Place
		}{{r.Price.V.Currency, r.Price.At}, {r.Delivery.V.Currency, r.Delivery.At}} {
			if x.currency == "" || len(counts) != len("EUR") || x.currency == counts {
				continue
			}
			if name := r.Chemical.V + " in " + x.currency; !slices.Contains(named, name) {
				named = append(named, name)
			}
			first = cmp.Or(first, x.at)
		}
	}
	if len(named) > 0 {
		out.Add(note.New(note.Caution, "currency-differs", "the site counts in %s, and prices stand in another currency: %s", counts, strings.Join(named, ", ")).
			At(first).Do("write the same currency at both; nothing is converted here"))
	}
	return out
}

// AskedOfDisposal asks about a price of disposal that is far from what it costs, wherever it was given.
func AskedOfDisposal(p quantity.Price) note.List {
	s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(site.PriceDisposal), Price: quantity.Some(p)}}}
	return append(crossed(s), otherSlips(s)...)
}

// RawSolids is what water of a class brings into the unit, by suspended solids
// where they were measured, else by turbidity. Water of a class that says nothing
// of its own is taken as usual; false where nothing is known of that either.
func RawSolids(s site.Site, class string) (solids.Water, bool) {
	w := solids.Water{Capture: s.Solids.Capture.V, PerNTU: PerNTU(s).V}
	if s.Held != nil { // at one level, whatever comes in
		w.TSS, w.HasTSS = s.Held.Reaches.V, s.Held.Reaches.OK
		return w, w.HasTSS
	}
	if t := TurbidityOf(s, class); class != site.UsualWater && t.OK {
		w.Turbidity = t.V
		return w, true
	}
	w.TSS, w.HasTSS, w.Turbidity = s.Water.TSS.V, s.Water.TSS.OK, s.Water.Turbidity.V
	return w, s.Water.TSS.OK || s.Water.Turbidity.OK
}

// TurbidityOf is that of a class of water, as far as the site says.
func TurbidityOf(s site.Site, class string) quantity.Known[quantity.Cloudiness] {
	switch class {
	case site.ClearWater:
		return s.Water.ClearTurbidity
	case site.StormWater:
		return s.Water.StormTurbidity
	}
	return s.Water.Turbidity
}

// PerNTU is mg/L of suspended solids per NTU: what the site measured, else what
// its raw water's two readings come to.
func PerNTU(s site.Site) quantity.Known[float64] {
	own, w := s.Solids.PerNTU, s.Water
	if (!own.OK || own.V <= 0) && w.TSS.OK && w.Turbidity.V > 0 {
		return quantity.Known[float64]{V: float64(w.TSS.V) / float64(w.Turbidity.V), OK: true, At: w.TSS.At}
	}
	return own
}

// Floats reports that the unit is a flotation unit, which is also what a site
// that does not say is taken to have.
func Floats(s site.Site) bool { return s.Solids.Unit.V != site.UnitSettler }

// ShareOf is the dry solids of a site's float or sludge, with where that comes
// from: what it states, else what is usual for its unit.
func ShareOf(s site.Site) (quantity.Fraction, string) {
	if x := s.Solids.FloatSolids; x.OK && x.V > 0 {
		return x.V, Stated
	}
	way := solids.Removal(s.Solids.FloatBy.V)
	if !Floats(s) {
		way = solids.Settled
	}
	usual, from := solids.UsualShare(way)
	return usual.Likely, "default: " + from
}

// Stated is where a figure of the site's own comes from.
const Stated = "as stated"

// DisposalOf is what becomes of a site's float or sludge.
func DisposalOf(s site.Site) day.Disposal {
	share, _ := ShareOf(s)
	out := day.Disposal{DrySolids: share, Density: s.Solids.SG.V, Price: priceOf(s, site.PriceDisposal), Bin: s.Solids.Bin.OK}
	if u := s.Sludge; u.Bag.OK || u.Bed.OK {
		out.Cake = u.Cake.Or(sludge.UsualCake)
	}
	return out
}

// SkimmerOf gives the skimmer of a site; one without interval skims nothing.
func SkimmerOf(s site.Site) solids.Skimmer {
	u := s.Solids
	return solids.Skimmer{Every: u.SkimEvery.V, Water: u.SkimWater.V, Area: u.Surface.V, Deepest: u.Deepest.V}
}

// BinOf gives the bin of a site; false where none is named.
func BinOf(s site.Site) (solids.Bin, bool) {
	t, ok := s.Tank(s.Solids.Bin.V)
	if !s.Solids.Bin.OK || !ok {
		return solids.Bin{}, false
	}
	return solids.Bin{Name: t.Name.V, Volume: t.Volume.V, Usable: t.Usable.V, Now: t.Now.V, At: t.Volume.At}, true
}

// priceOf finds the price that stands under a name.
func priceOf(s site.Site, what string) quantity.Price {
	r, _ := priceRow(s, what)
	return r.Price.V
}

// priceRow finds the row of prices of that name.
func priceRow(s site.Site, name string) (site.Price, bool) {
	for _, r := range s.Prices {
		if SameName(r.Chemical.V, name) {
			return r, true
		}
	}
	return site.Price{}, false
}

// Staffed gives the hours when somebody is at the place; nil is round the clock.
func Staffed(s site.Site) flow.Hours {
	from, till := s.Place.From, s.Place.Till
	switch {
	case !from.OK || !till.OK || (shift{from.V, till.V}).always():
		return nil
	case till.V < from.V:
		till.V += 24
	}
	return clocked(from.V, till.V)
}

// Record is the day as it is worked out, on a site in its usual water. The
// chemicals stand beside the feeds, without prices.
func (p Plan) Record(s site.Site) day.Record {
	r := p.on(s, time.Time{}).Record(site.UsualWater)
	r.Treated = p.Treated
	return r
}

// Record is the day in water of a class, without what the chemicals cost.
func (r Running) Record(class string) day.Record {
	out := RecordOf(r.Site, class)
	out.Treated, out.Running = quantity.Volume(float64(r.Flow)*float64(r.Hours)*1000), r.Hours
	for _, f := range r.Feeds {
		c, _, _ := f.Chemical(class) // what is wrong with it is told where it is gathered
		out.Chemicals = append(out.Chemicals, c)
	}
	return out
}
