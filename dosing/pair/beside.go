package pair

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// Alkali is what gives alkalinity back.
type Alkali struct {
	Name string
	// Per is kg of product per kg of CaCO3 given back.
	Per quantity.Ratio
	// Price and Freight are per kg of product; a price without a currency is not known.
	Price, Freight quantity.Price
	// Stock, Density and Carrier are as the site doses it; none where no site is asked.
	Stock   quantity.Concentration
	Density quantity.Density
	Carrier quantity.Flow
	// Product is what it is.
	Product product.Product
}

// NewAlkali takes a product for the alkali, at a price. It is an error for a
// product that gives no alkalinity; a price that cannot be turned into one per kg
// is left out.
func NewAlkali(p product.Product, price quantity.Price, pack quantity.Mass) (Alkali, error) {
	used, err := p.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct})
	if err != nil || used >= 0 {
		return Alkali{}, note.New(note.Caution, "no-alkali", "%s gives no alkalinity back", p.Name).Do("name an alkali, such as soda-ash")
	}
	a := Alkali{Name: p.Name, Per: quantity.Ratio(-1 / float64(used)), Product: p}
	if kg, err := price.PerKg(p.Density.V, pack); err == nil {
		a.Price = kg
	}
	return a, nil
}

// NewAcid takes a product for the acid that lowers a pH, as [NewAlkali] does for an alkali.
func NewAcid(p product.Product, price quantity.Price, pack quantity.Mass) (Alkali, error) {
	if p.Group != product.Acid {
		return Alkali{}, note.New(note.Caution, "no-acid", "%s is no acid", p.Name).Do("name one, such as sulfuric-acid")
	}
	a := Alkali{Name: p.Name, Product: p}
	if kg, err := price.PerKg(p.Density.V, pack); err == nil {
		a.Price = kg
	}
	return a, nil
}

// Chemical is the alkali as the account of a day takes it: as much of it, as
// product, as keeps an alkalinity in water of another.
func (a Alkali) Chemical(raw, keep quantity.Alkalinity) day.Chemical {
	return day.Chemical{Name: a.Name, Dose: quantity.Dose{Basis: quantity.AsProduct},
		Balance: &day.Balance{Raw: raw, Keep: keep, PerCaCO3: a.Per},
		Price:   a.Price, Freight: a.Freight, Stock: a.Stock, Density: a.Density, Carrier: a.Carrier}
}

// SiteAlkali is the first alkali of a site that has a price there; its name is
// empty where the site has none.
func SiteAlkali(s site.Site, catalogue product.Catalogue) (Alkali, error) {
	return siteOwn(s, catalogue, product.Alkali, NewAlkali)
}

// SiteAcid is the same of an acid.
func SiteAcid(s site.Site, catalogue product.Catalogue) (Alkali, error) {
	return siteOwn(s, catalogue, product.Acid, NewAcid)
}

func siteOwn(s site.Site, catalogue product.Catalogue, group product.Group,
	made func(product.Product, quantity.Price, quantity.Mass) (Alkali, error)) (Alkali, error) {
	for _, c := range s.Chemicals {
		p, _, err := dosing.ProductOf(c, c.Basis.V, catalogue)
		if err != nil || p.Group != group {
			continue
		}
		r := dosing.PriceRow(&s, c.Name.V, catalogue)
		if r == nil {
			continue
		}
		b, priced := month.Buy(*r, c.Name.V, p, daily(s, c.Name.V, catalogue))
		a, err := made(p, b.Price, b.Order.Pack)
		if err == nil {
			err = priced
		}
		if err != nil {
			return a, err
		}
		if a.Freight = b.Freight; p.Form != product.Dry {
			a.Density = p.Density.V
		}
		if k, ok := s.Stock(c.Stock.V); ok {
			a.Stock, a.Carrier = k.Product.V, k.Post.V
		}
		return a, nil
	}
	return Alkali{}, nil
}

// SitePrices lists what the site pays for chemicals that the series have, under the
// series' names, in the usual order of what it doses.
func SitePrices(s site.Site, chemicals []jartest.Chemical, catalogue product.Catalogue) (out []Price) {
	for _, c := range chemicals {
		r := dosing.PriceRow(&s, c.Name, catalogue)
		if r == nil || !r.Price.OK {
			continue
		}
		p, err := Terms{}.product(c, catalogue)
		use := quantity.MassRate(0)
		if row := dosing.ChemicalRow(&s, c.Name, catalogue); row != nil {
			use = daily(s, row.Name.V, catalogue)
			p, _, err = dosing.ProductOf(*row, c.Basis, catalogue)
		}
		if err != nil {
			p = product.Product{Name: c.Name}
		}
		price := r.Price.V
		if b, err := month.Buy(*r, c.Name, p, use); err == nil {
			price = b.Price
		}
		out = append(out, Price{Chemical: c.Name, Price: price})
	}
	return out
}

// daily is what a site uses of a chemical on the average day, nothing where that cannot be told.
func daily(s site.Site, chemical string, catalogue product.Catalogue) quantity.MassRate {
	feeds, _, err := dosing.Chemicals(s, dosing.Given{Catalogue: catalogue})
	d, _, flowErr := dosing.DayOf(s.Flow, nil)
	if err != nil || flowErr != nil {
		return 0
	}
	r := dosing.Running{Site: s, Flow: d.Average(), Hours: d.Running(), Feeds: feeds}.Record(site.UsualWater)
	for _, u := range r.Account().Uses {
		if u.Chemical == chemical {
			return month.OnAverage(quantity.MassRate(u.Product), d.Volume(), month.Mean(s, nil, month.Month{}))
		}
	}
	return 0
}

// SiteDisposal fills in what a site says of getting rid of solids where d has no
// price of its own.
func SiteDisposal(d day.Disposal, s site.Site) day.Disposal {
	if d.Price.Amount > 0 {
		return d
	}
	own := dosing.DisposalOf(s)
	if d.DrySolids > 0 {
		own.DrySolids = d.DrySolids
	}
	return own
}

// beside is the day's account of 1000 m3 with the solids that the chemicals make
// and the alkali that gives back what they take: first the two that vary, then
// those that do not, last the alkali.
type beside struct {
	day.Record
	currency string
	sets     func(surface.Pair) quantity.Money // what sets the pH of its jar; nil where nothing does
}

// cost is per 1000 m3, without the price of the chemicals themselves.
func (b beside) cost(p surface.Pair) quantity.Money {
	r := b.Record
	r.Chemicals = append([]day.Chemical(nil), r.Chemicals...)
	r.Chemicals[0].Dose.Concentration, r.Chemicals[1].Dose.Concentration = p.First, p.Second
	total := quantity.Money{Amount: r.Account().Total().Amount, Currency: b.currency}
	if b.sets != nil {
		total.Amount += b.sets(p).Amount
	}
	return total
}

// further counts alkali and disposal into the cost of a pair where their prices
// are known, and says what was counted. Held reports that alkali, at its price,
// holds the alkalinity that must be left, so that it limits no pair.
func further(s jartest.Series, t Terms, order [2]int, opt *surface.Options, catalogue product.Catalogue) (held bool, notes note.List) {
	alkali, solids, pHSet := t.Alkali.Price.Currency != "", t.Disposal.Price.Amount > 0, order[1] < 0
	setters := pHSet && (alkali || t.Acid.Price.Currency != "")
	if alkali = alkali && !pHSet; !alkali && !solids && !setters {
		return false, nil
	}
	// lacks leaves something out of the cost where there is a reason to.
	lacks := func(what, why, do string) bool {
		if why != "" {
			notes.Add(note.New(note.Caution, "cost-leaves-out", "the cost of a pair holds no %s: %s", what, why).At(s.Place).Do("%s", do))
		}
		return why != ""
	}
	currency := opt.PricePerKg[0].Currency
	if currency == "" || order[1] >= 0 && opt.PricePerKg[1].Currency == "" {
		lacks("alkali and no disposal of solids", "the price of its chemicals is not known", `give it in the sheet, the site workbook or with --price`)
		return false, notes
	}
	if solids {
		why, do := t.noDisposal(currency)
		solids = !lacks("disposal of solids", why, do)
	}
	raw := quantity.Known[quantity.Alkalinity]{V: t.Raw, OK: t.Raw > 0}
	if v, ok := s.RawReading(jartest.AlkalinityKey); ok && !raw.OK {
		raw = quantity.Some(quantity.Alkalinity(v))
	}
	if alkali {
		why, do := t.noAlkali(currency, raw.OK)
		alkali = !lacks("alkali", why, do)
	}
	b := beside{Record: day.Record{Treated: 1e6, Chemicals: make([]day.Chemical, 2)}, currency: currency}
	if alkali || solids {
		notes.Add(b.take(s, t, order, catalogue)...)
	}
	if alkali && b.Chemicals[0].AlkalinityUse < 0 {
		alkali = !lacks("alkali", s.Chemicals[order[0]].Name+" is one itself", "give the price of the chemicals only")
	}
	var counted []string
	if alkali {
		b.Chemicals = append(b.Chemicals, t.Alkali.Chemical(raw.V, t.AlkalinityLeft))
		counted = append(counted, fmt.Sprintf("%s that holds %s of alkalinity (raw water %s), at %s", strings.ToLower(t.Alkali.Name), t.AlkalinityLeft, raw.V, t.Alkali.Price))
	}
	if solids {
		b.Disposal = t.Disposal
		counted = append(counted, fmt.Sprintf("disposal of the solids that the chemicals make, at %s", t.Disposal.Price))
	}
	if setters {
		sets, err := t.setting(s, order, catalogue)
		why, do := "", "give the raw water's pH and alkalinity and the basis of the doses in the sheet"
		if err != nil {
			why = err.Error()
		}
		for _, a := range []Alkali{t.Alkali, t.Acid} {
			if c := a.Price.Currency; c != "" && c != currency {
				why, do = otherCurrency(a.Price, currency)
			}
		}
		if !lacks("acid or alkali that sets the pH of its jars", why, do) {
			b.sets = sets
			counted = append(counted, t.setters())
			notes.Add(t.settersLack(s)...)
			notes.Add(unreached(s, order, sets)...)
		}
	}
	if len(counted) == 0 {
		return false, notes
	}
	notes.Add(note.New(note.Info, "cost-holds", "the cost of a pair holds its chemicals, %s", strings.Join(counted, ", and ")).At(s.Place))
	if solids {
		notes.Add(note.New(note.Info, "raw-solids-apart", "the solids of the raw water are not in it, since every pair that meets the target takes out the same").At(s.Place))
	}
	opt.Further = b.cost
	return alkali, notes
}

// take fills in the chemicals of a series with their effects.
func (b *beside) take(s jartest.Series, t Terms, order [2]int, catalogue product.Catalogue) (notes note.List) {
	for i, c := range s.Chemicals {
		e, known := t.effects(c, catalogue)
		if !known {
			notes.Add(note.New(note.Caution, "effects-unknown", "what %s takes from the alkalinity and makes of solids is not known, so neither is counted in the cost of a pair", c.Name).At(s.Place).
				Do("use the catalogue's name for it, or describe it in a site workbook"))
			e = day.Effects{}
		}
		made := day.Chemical{Name: c.Name, Dose: quantity.Dose{Concentration: mostOf(s, i)}, Effects: e}
		if k := slices.Index(order[:], i); k >= 0 {
			b.Chemicals[k] = made
			continue
		}
		made.Al, made.Fe, made.Floc = 0, 0, 0 // every pair has these solids
		b.Chemicals = append(b.Chemicals, made)
	}
	return notes
}

// noDisposal says why the disposal of solids cannot be counted, if it cannot, and what to do.
func (t Terms) noDisposal(currency string) (why, do string) {
	d := t.Disposal
	switch perKgDry := d.PerKgDry(); {
	case d.Price.Currency != currency:
		return otherCurrency(d.Price, currency)
	case perKgDry == 0:
		return "its price is per " + d.Price.Per, `give it per m3, t, kg dry or t dry`
	case !quantity.Finite(quantity.Number(perKgDry)):
		return "they are paid by " + d.Price.Per + " and their dry solids are not known", `give --dry-solids, such as "2 %", or a price per t dry`
	}
	return "", ""
}

// noAlkali says why alkali cannot be counted, if it cannot, and what to do.
func (t Terms) noAlkali(currency string, rawKnown bool) (why, do string) {
	switch {
	case t.Alkali.Price.Currency != currency:
		return otherCurrency(t.Alkali.Price, currency)
	case !rawKnown:
		return "the alkalinity of the raw water is not known", `give it on the sheet, the Water sheet or with --alkalinity`
	}
	return "", ""
}

func otherCurrency(p quantity.Price, currency string) (why, do string) {
	return fmt.Sprintf("its price is in %s, that of the chemicals in %s", p.Currency, currency), "give all prices in one currency"
}

// effects of one mg/L of a chemical's dose; false where the product is not known well enough.
func (t Terms) effects(c jartest.Chemical, catalogue product.Catalogue) (day.Effects, bool) {
	p, err := t.product(c, catalogue)
	if err != nil {
		return day.Effects{}, false
	}
	e, notes, err := day.EffectsOf(p, c.Name, c.Basis)
	return e, err == nil && len(notes) == 0
}

// mostOf is the largest dose of a chemical in any jar.
func mostOf(s jartest.Series, chemical int) (most quantity.Concentration) {
	for _, j := range s.Jars {
		if chemical < len(j.Doses) && j.Doses[chemical].Known {
			most = max(most, j.Doses[chemical].Concentration)
		}
	}
	return most
}
