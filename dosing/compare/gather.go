package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/doubt"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// Facts is what is known beside the jar tests. What the command line says goes
// before the site, and the site before the bench sheet.
type Facts struct {
	Catalogue product.Catalogue
	Site      *site.Site
	// Prices and Freight are by chemical, as product; Freight is per kg.
	Prices, Freight []pair.Price
	// Raw, Keep and Removed as in [Water]; zero is not given.
	Raw, Keep quantity.Alkalinity
	// Alkali is the catalogue's product that gives alkalinity back, with its price.
	Alkali *pair.Price
	// Acid is what lowers the pH of jars that were set to one.
	Acid     *pair.Price
	Disposal day.Disposal
	// Log is the site's meter log, Today decides whether an accepted stop still counts; Month is
	// that of the usual orders, zero for that of the site's date.
	Log   *flow.Log
	Today time.Time
	Month month.Month
}

// gathering collects notes while options are made.
type gathering struct {
	facts  Facts
	day    flow.Day    // of the site, none without one
	buyer  *pair.Buyer // the site that pays, none without one
	series []jartest.Series
	notes  note.List
	err    note.List
}

// Gather makes the options and the water of a comparison from fitted series. The
// series are those that were read, before any were joined.
func Gather(series []jartest.Series, singles []curve.Result, surfaces []surface.Result, f Facts) ([]Option, Water, note.List, error) {
	g := &gathering{facts: f, series: series}
	if f.Site != nil {
		var err error
		if g.day, _, err = dosing.DayOf(f.Site.Flow, f.Log); err != nil { // a comparison can do without the flow
			for _, n := range note.Of(err, "flow") {
				n.Level = note.Info
				g.notes.Add(n)
			}
		}
		g.buyer = &pair.Buyer{Site: *f.Site, Catalogue: f.Catalogue, Log: f.Log, Month: f.Month}
		g.notes.Add(dosing.Asked(*f.Site, dosing.Given{Catalogue: f.Catalogue, Log: f.Log})...)
	}
	for _, s := range series {
		g.err.Add(dosing.WhichChemical(f.Site, s.Chemicals, f.Catalogue)...)
	}
	if len(g.err) > 0 {
		return nil, Water{}, nil, g.err.Err()
	}
	var options []Option
	for _, r := range singles {
		options = append(options, g.single(r))
	}
	for _, r := range surfaces {
		options = append(options, g.pair(r))
	}
	for i := range options {
		g.cautions(&options[i])
	}
	w, one := g.water()
	for i := range options {
		if one {
			options[i].Own = nil
		} else if !options[i].Own.Removed.OK && !options[i].Refused && w.Disposal.Price.Amount > 0 {
			options[i].Lacks = append(options[i].Lacks, "the solids of its raw water")
		}
	}
	g.sameWater()
	return options, w, g.notes, g.err.Err()
}

// find gives the series of a fit: that of its place, else one of its file.
func (g *gathering) find(name string, at note.Place) (near *jartest.Series) {
	for i := range g.series {
		switch s := &g.series[i]; {
		case s.Name != name || s.Place.File != at.File:
		case s.Place == at:
			return s
		case near == nil:
			near = s
		}
	}
	return near
}

// optionName names a series, with its chemicals where several have its name.
func (g *gathering) optionName(series string, at note.Place, parts []Part) string {
	name := cmp.Or(series, at.Sheet, at.File)
	same := 0
	for _, s := range g.series {
		if s.Name == series {
			same++
		}
	}
	if same <= 1 {
		return name
	}
	var chemicals []string
	for _, p := range parts {
		chemicals = append(chemicals, p.Chemical)
	}
	return name + " (" + strings.Join(chemicals, " + ") + ")"
}

// single is a series in which one chemical varies.
func (g *gathering) single(r curve.Result) Option {
	o := Option{Place: r.Place, Outcome: string(r.Outcome)}
	for _, n := range r.Notes {
		if n.Level >= note.Stop || n.Code == "basis-missing" {
			o.Notes.Add(n)
		}
	}
	switch {
	case r.Factor == "ph":
		o.Refused, o.Why = true, "the jars differ in pH, not in dose"
	case !r.HasPlanning && r.Outcome == curve.Found:
		o.Refused, o.Why = true, "a dose on the safe side lies beyond the doses tested"
	case !r.HasPlanning:
		o.Refused = true
	}
	dose := r.Planning
	if dose.Basis == quantity.NotStated {
		dose.Basis = r.Chemical.Basis
	}
	o.Parts = append(o.Parts, g.part(r.Chemical, dose, r.Quantile, &o))
	s := g.find(r.Series, r.Place)
	own := g.rawWater(s)
	o.Own = &own
	if s != nil {
		g.aids(&o, *s, r.Chemical.Name)
	}
	g.meets(o.Parts, s)
	o.Name = g.optionName(r.Series, r.Place, o.Parts)
	if !o.Refused {
		g.residual(&o, r)
	}
	return o
}

// aids adds what every jar of a series got beside the chemical that varies; where a
// second one varies too, the series cannot be judged.
func (g *gathering) aids(o *Option, s jartest.Series, varied string) {
	for i, c := range s.Chemicals {
		if c.Name == varied {
			continue
		}
		d, fixed := fixedDose(s, i)
		if !fixed {
			o.Refused, o.Why = true, "the dose of "+c.Name+" differs between the jars as well"
		} else if d > 0 {
			o.Parts = append(o.Parts, g.part(c, quantity.Dose{Concentration: d, Basis: c.Basis}, nil, o))
		}
	}
}

// fixedDose gives the dose of a chemical that all jars but controls share.
func fixedDose(s jartest.Series, chemical int) (quantity.Concentration, bool) {
	dose, seen := quantity.Concentration(0), false
	for _, j := range s.Jars {
		if j.Control || chemical >= len(j.Doses) || !j.Doses[chemical].Known {
			continue
		}
		d := j.Doses[chemical].Concentration
		if seen && math.Abs(float64(d-dose)) > 1e-9*math.Max(1, float64(dose)) {
			return 0, false
		}
		dose, seen = d, true
	}
	return dose, true
}

// pair is a series in which two factors vary.
func (g *gathering) pair(r surface.Result) Option {
	o := Option{Place: r.Place, Outcome: string(r.Outcome), Refused: !r.HasPlanning}
	if !r.HasPlanning && r.Outcome == curve.Found {
		o.Why = "no tested pair meets the target with the confidence asked for"
	}
	s := g.find(r.Series, r.Place)
	own := g.rawWater(s)
	o.Own = &own
	first := quantity.Dose{Concentration: r.Planning.Pair.First, Basis: r.First.Chemical.Basis}
	o.Parts = append(o.Parts, g.part(r.First.Chemical, first, g.slice(r), &o))
	if r.Second.PH {
		g.setsPH(&o, r)
	} else {
		second := quantity.Dose{Concentration: r.Planning.Pair.Second, Basis: r.Second.Chemical.Basis}
		o.Parts = append(o.Parts, g.part(r.Second.Chemical, second, nil, &o))
	}
	g.meets(o.Parts, s)
	o.Name = g.optionName(r.Series, r.Place, o.Parts)
	for _, n := range r.Notes {
		if n.Code == "edge-beside-failing" {
			o.Notes.Add(n)
		}
	}
	return o
}

// meets lets the metal of an option's parts meet the site's phosphate, which changes the solids that they make: of it they
// take what the option's own jars read, else what the ratio lets expect.
func (g *gathering) meets(parts []Part, s *jartest.Series) {
	if g.facts.Site == nil {
		return
	}
	feeds := make([]dosing.FeedInput, len(parts))
	for i, p := range parts {
		feeds[i] = p.feed
		if s == nil {
			continue
		}
		if at := slices.IndexFunc(s.Chemicals, func(c jartest.Chemical) bool { return c.Name == p.tried }); at >= 0 {
			feeds[i].Jars = dosing.JarsOf(*s, at, s.Place)
		}
	}
	dosing.Meet(g.facts.Site.Water, feeds)
	for i, f := range feeds {
		parts[i].feed, parts[i].Bound, parts[i].Phosphate = f, 0, 0
		parts[i].feed.Jars = nil // the option is judged by what it holds, as every other
		if f.Phosphate.OK {
			parts[i].Bound, parts[i].Phosphate = f.Phosphates(f.Dose)
		}
	}
}

// slice is the range of the first chemical's dose at the tested level of the
// second nearest the planning pair's.
func (g *gathering) slice(r surface.Result) func(float64) (quantity.Concentration, bool) {
	level := float64(r.Planning.Pair.Second)
	if r.Second.PH {
		level = r.Planning.Pair.PH
	}
	var best *surface.Slice
	for i := range r.Slices {
		if s := &r.Slices[i]; s.Reached && (best == nil || math.Abs(s.Level-level) < math.Abs(best.Level-level)) {
			best = s
		}
	}
	if best == nil {
		return nil
	}
	e := best.Effective
	if !e.HasLow {
		e.Low = 0
	}
	if !e.HasHigh {
		e.High = 0
	}
	return doubt.Between(e.Value, e.Low, e.High)
}

// part is one chemical with its price and effects.
func (g *gathering) part(c jartest.Chemical, d quantity.Dose, q func(float64) (quantity.Concentration, bool), o *Option) Part {
	p := Part{Chemical: c.Name, Dose: d, Quantile: q, tried: c.Name}
	if o.Refused {
		return p
	}
	row := dosing.ChemicalRow(g.facts.Site, c.Name, g.facts.Catalogue)
	if row != nil { // as the site calls it
		p.Chemical = row.Name.V
		if _, kind := dosing.SaysKind(c.Name); kind && !dosing.SameName(c.Name, row.Name.V) {
			o.Notes.Add(note.New(note.Info, "chemical-taken", "%q on the bench sheet is taken for %s, the only one of that kind at the site", c.Name, row.Name.V).
				At(o.Place).Do("name it on the bench sheet if it is another"))
		}
	}
	prod, known := g.product(c, row, d.Basis, o)
	if d.Basis == quantity.NotStated {
		o.Notes.Add(note.New(note.Caution, "basis-missing",
			"what the dose of %s counts is not stated, so its product and cost are not known", p.Chemical).At(o.Place).
			Do(`say it with --basis "%s=as product", or what else it counts`, c.Name))
		return p
	}
	if !known { // nothing tells its strength, so its price can only be one of what the dose counts
		o.Notes.Add(note.New(note.Caution, "product-unknown",
			"%s is not in the catalogue, so no alkalinity and no solids are counted for it", c.Name).
			Do("name a product in a site workbook, or use the catalogue's name"))
		if d.Basis != quantity.AsProduct {
			o.Notes.Add(note.New(note.Caution, "price-by-basis",
				"the price of %s is taken per kg of what its dose counts (%s), since its strength is not known", c.Name, d.Basis).
				Do("give its strength in a site workbook, or its price per kg of that"))
		}
		g.price(&p, c, prod, o)
		return p
	}
	waste := g.facts.Site != nil && g.facts.Site.Place.Purpose.V == site.ForWastewater
	for _, n := range product.DoseSlips(prod, d, waste) {
		o.Notes.Add(n.At(o.Place))
	}
	feed := dosing.FeedInput{Name: c.Name, Dose: d, Stock: dosing.Stock{Product: prod}}
	if row != nil {
		if k, ok := g.facts.Site.Stock(row.Stock.V); row.Stock.OK && ok {
			feed.Stock.PerLitre, feed.Post = k.Product.V, k.Post.V
		}
	} else if g.facts.Site != nil {
		o.Notes.Add(note.New(note.Info, "stock-unknown", "%s is not among the site's chemicals, so no water is counted for its stock",
			c.Name))
	}
	x, notes, err := feed.Chemical(site.UsualWater)
	o.Notes.Add(notes...)
	if err != nil {
		o.Notes.Add(lowered(err, "strength-unknown")...)
		return p
	}
	p.Effects, p.Stock, p.Density, p.Carrier = x.Effects, x.Stock, x.Density, x.Carrier
	p.feed = feed
	if row != nil { // as the site calls it, so that its capture and what it accepts count
		p.feed.Name, p.feed.At = row.Name.V, row.At
	}
	g.price(&p, c, prod, o)
	return p
}

// product is what the site says that a chemical is, else what the catalogue has of its
// name or basis; false where nothing tells.
func (g *gathering) product(c jartest.Chemical, row *site.Chemical, b quantity.Basis, o *Option) (product.Product, bool) {
	if row != nil {
		p, _, err := dosing.ProductOf(*row, b, g.facts.Catalogue)
		if err == nil {
			return p, true
		}
		o.Notes.Add(note.Of(err, "product")...)
	} else if p, err := caution.ProductFor(c, g.facts.Catalogue); err == nil {
		level := note.Info
		if len(g.facts.Catalogue.Called(c.Name)) > 1 { // a kg of another of that name does twice as much
			level = note.Caution
		}
		o.Notes.Add(note.New(level, "product-taken", "%s is taken for %s of the catalogue, with its strength and effects", c.Name,
			p.Name).
			Do("describe yours in a site workbook and give it with --site"))
		return p, true
	}
	return product.Product{Name: c.Name}, false
}

// cautions tells what stops the option's doses on the site, all else there as it is.
func (g *gathering) cautions(o *Option) {
	if g.facts.Site == nil || o.Refused {
		return
	}
	r := dosing.Running{Site: *g.facts.Site, Flow: g.day.Average(), Least: g.day.Least(), Peak: g.day.Peak(), Hours: g.day.Running(), Today: g.facts.Today}
	for _, p := range o.Parts {
		if p.feed.Name != "" {
			r.Feeds = append(r.Feeds, p.feed)
		}
	}
	r.Feeds = dosing.WithPumps(r.Site, r.Feeds)
	found := r.Review()
	o.Stopped = found.Stopped
	for _, n := range found.ToldOfLoop(*g.facts.Site) {
		n.Message = o.Name + ": " + n.Message
		o.Notes.Add(n)
	}
}

// price fills in what a kg of product costs, and its freight.
func (g *gathering) price(p *Part, c jartest.Chemical, prod product.Product, o *Option) {
	var supply month.Supply
	take := func(q quantity.Price) bool {
		kg, err := q.PerKg(prod.Density.V, supply.Pack)
		if err != nil {
			o.Notes.Add(note.Of(err, "price")...)
			return false
		}
		p.Price = kg
		return true
	}
	bought := dosing.PriceRow(g.facts.Site, c.Name, g.facts.Catalogue)
	if bought != nil {
		_, supply = month.Bought(*bought, prod)
	}
	given := false
	for _, q := range of(g.facts.Prices, c) {
		given = take(q.Price)
	}
	if bought != nil {
		daily := quantity.MassRate(float64(p.Dose.Concentration) * float64(p.Effects.Product()) * float64(g.day.Volume()) / 1e6)
		b, err := month.Buy(*bought, c.Name, prod, g.buyer.Usual().Of(bought.Chemical.V, daily, g.day.Volume()))
		if err != nil && !given {
			o.Notes.Add(lowered(err, "price")...)
		}
		if p.Freight = b.Freight; given { // a price of the command line leaves what delivery costs as it is
			o.Notes.Add(told(b.Freight.Amount > 0, note.New(note.Info, "freight-of-site", "%s: the price given stands in place of the site's, whose delivery charge still counts",
				p.Chemical).Do("give another with --freight"))...)
		} else {
			given, p.Price = err == nil && b.Price.Currency != "", b.Price
		}
		o.Notes.Add(append(b.Notes, told(b.Freight.Amount > 0, note.New(note.Info, "freight-spread",
			"%s: the delivery charge is spread over an order of %s", p.Chemical, b.Order.Said()).
			Do("give the usual order in the site under Prices"))...)...)
	}
	if !given && c.Price > 0 && c.PriceUnit != "" {
		if q, err := quantity.ParsePrice(fmt.Sprintf("%g %s", c.Price, c.PriceUnit)); err == nil {
			take(q)
		} else {
			o.Notes.Add(note.New(note.Caution, "price-not-read", "the price of %s in the sheet (%g %s) is not read", c.Name, c.Price,
				c.PriceUnit).
				Do(`write it like "0.42 EUR/kg", or give --price`))
		}
	}
	for _, q := range of(g.facts.Freight, c) {
		kg, err := q.PerKg(prod.Density.V, supply.Pack)
		if err != nil {
			g.err = append(g.err, note.Of(err, "freight")...)
			continue
		}
		p.Freight = kg
	}
}

// lowered turns an error into cautions: what it leaves out of one option is said, and
// the others stand.
func lowered(err error, code string) note.List {
	l := note.Of(err, code)
	for i := range l {
		l[i].Level = note.Caution
	}
	return l
}

// told is a note where it holds.
func told(holds bool, n note.Note) note.List {
	if holds {
		return note.List{n}
	}
	return nil
}

// of lists the prices that name a chemical.
func of(all []pair.Price, c jartest.Chemical) (own []pair.Price) {
	for _, q := range all {
		if dosing.Named(q.Chemical, c.Name) {
			own = append(own, q)
		}
	}
	return own
}

// residual takes the metal that the jars read at the planning dose, as a plan does: on the straight line between the two
// beside it. It holds it against the criteria where the treated water is known well enough.
func (g *gathering) residual(o *Option, r curve.Result) {
	s := g.find(r.Series, r.Place)
	at := func(k jartest.Key) (x jartest.JarReading, ok bool) {
		if s != nil {
			if i := slices.IndexFunc(s.Chemicals, func(c jartest.Chemical) bool { return c.Name == r.Chemical.Name }); i >= 0 {
				x, ok = s.ReadAt(i, k, r.Planning.Concentration)
			}
		}
		for _, c := range r.Readings { // where no two jars beside the dose say it, what was fitted does
			if !ok && c.Key == k && c.AtPlanning != nil {
				x.V, ok = max(0, c.AtPlanning.Fit), true
			}
		}
		return x, ok
	}
	var w Treated
	if ph, ok := at(jartest.PH); ok {
		w.PH = quantity.Some(quantity.PH(ph.V))
	}
	if s := g.facts.Site; s != nil {
		w.Hardness, w.DOC, w.Salinity = s.Water.Hardness, s.Water.DOC, s.Water.Salinity.V
	}
	for _, m := range []struct {
		key  jartest.Key
		name string
	}{{jartest.ResidualAl, "Al"}, {jartest.ResidualFe, "Fe"}} {
		if x, ok := at(m.key); ok {
			o.Residual, o.ResidualOf, o.HasResidual = quantity.Concentration(x.V), m.name, true
			o.ResidualLevel = MetalLevel(m.name, o.Residual, w)
			return
		}
	}
}

// water is what all options share; one tells that their raw water is the same.
func (g *gathering) water() (w Water, one bool) {
	f := g.facts
	w = Water{Keep: f.Keep, Disposal: f.Disposal}
	if s := f.Site; s != nil {
		w.Currency = s.Place.Currency.V
		if w.Keep == 0 {
			w.Keep = s.Water.AlkFloor.V
		}
		w.Disposal = pair.SiteDisposal(w.Disposal, *s)
		if q := g.day.Average(); q > 0 {
			w.Running = quantity.Time(1000 / q)
		}
		r := dosing.RecordOf(*s, site.UsualWater)
		w.MoneyAt = month.MoneyAt(*g.facts.Site)
		w.Skim, w.Power, w.MakeUp, w.Electricity = r.Skim, r.Power, r.MakeUp, r.Electricity
		g.err = append(g.err, dosing.OtherPrices(*s)...)
	}
	raw, one := g.shared()
	w.Raw, w.Removed = raw.Alkalinity, raw.Removed.V
	g.alkali(&w)
	return w, one
}

// alkali finds what gives alkalinity back: the one named, else the site's.
func (g *gathering) alkali(w *Water) {
	a, err := g.giver(g.facts.Alkali, pair.NewAlkali, (*pair.Buyer).Alkali)
	if err != nil {
		g.notes.Add(note.Of(err, "no-alkali")...)
	}
	w.Alkali = a
}

// giver is an acid or an alkali: the one named, else the site's.
func (g *gathering) giver(named *pair.Price, made func(product.Product, quantity.Price, quantity.Mass) (pair.Alkali, error),
	own func(*pair.Buyer) (pair.Alkali, error)) (pair.Alkali, error) {
	switch {
	case named != nil:
		p, err := pair.Sold(named.Chemical, g.facts.Catalogue)
		if err != nil {
			g.err = append(g.err, note.Of(err, "alkali")...)
			return pair.Alkali{}, nil
		}
		return made(p, named.Price, 0)
	case g.facts.Site != nil:
		return own(g.buyer)
	}
	return pair.Alkali{}, nil
}

// setsPH adds the acid or the alkali that brings the water of the planning pair to the
// pH of its jars; where that cannot be told the cost lacks it.
func (g *gathering) setsPH(o *Option, r surface.Result) {
	o.PHSet = true
	s := g.find(r.Series, r.Place)
	if o.Refused || s == nil {
		return
	}
	chemical := slices.IndexFunc(s.Chemicals, func(c jartest.Chemical) bool { return c.Name == r.First.Chemical.Name })
	alkali, err := g.giver(g.facts.Alkali, pair.NewAlkali, (*pair.Buyer).Alkali)
	o.Notes.Add(lowered(err, "no-alkali")...)
	acid, err := g.giver(g.facts.Acid, pair.NewAcid, (*pair.Buyer).Acid)
	o.Notes.Add(lowered(err, "no-acid")...)
	if acid.Name == "" {
		acid = pair.UsualAcid(g.facts.Catalogue)
	}
	x, err := pair.Setting{}, error(nil)
	if chemical >= 0 {
		x, err = pair.SetPH(*s, chemical, r.Planning.Pair.First, quantity.PH(r.Planning.Pair.PH), alkali, acid, g.facts.Catalogue)
	}
	if raw, ok := s.RawReading(jartest.AlkalinityKey); ok && err == nil {
		o.SetIn = quantity.Some(quantity.Alkalinity(raw))
	}
	if chemical >= 0 && err == nil && !x.Needed {
		return
	}
	if err != nil || x.Of.Name == "" {
		o.Notes.Add(lowered(err, "ph-setting")...)
		o.Lacks = append(o.Lacks, "what sets the pH of its jars")
		return
	}
	e, notes, err := day.EffectsOf(x.Of.Product, x.Of.Name, quantity.AsProduct)
	o.Notes.Add(notes...)
	if err != nil {
		o.Notes.Add(lowered(err, "effects-unknown")...)
		o.Lacks = append(o.Lacks, "what sets the pH of its jars")
		return
	}
	o.Parts = append(o.Parts, Part{Chemical: strings.ToLower(x.Of.Name),
		Dose: quantity.Dose{Concentration: x.Dose, Basis: quantity.AsProduct}, Effects: e,
		Price: x.Of.Price, Freight: x.Of.Freight, Stock: x.Of.Stock, Density: x.Of.Density, Carrier: x.Of.Carrier, SetsPH: true})
}

// sameWater warns where the raw readings of the series differ by more than a fifth.
func (g *gathering) sameWater() {
	for _, k := range []jartest.Key{jartest.Turbidity, jartest.TSS, jartest.AlkalinityKey, jartest.Colour} {
		low, high := math.Inf(1), math.Inf(-1)
		for _, s := range g.series {
			if v, ok := s.RawReading(k); ok {
				low, high = math.Min(low, v), math.Max(high, v)
			}
		}
		if high > 1.2*low && low < high {
			i := k.Info()
			g.notes.Add(note.New(note.Caution, "different-water",
				"the series were not filled from the same water: raw %s runs from %s to %s %s",
				i.Label, quantity.Full(quantity.Number(low), 3), quantity.Full(quantity.Number(high), 3), i.Unit).
				Do("compare series of one day and one sample only"))
		}
	}
}
