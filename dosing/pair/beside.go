package pair

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/water"
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
	if _, slow := water.Slowly(p.Basis); slow {
		return Alkali{}, note.New(note.Caution, "no-alkali", "%s dissolves in days, so that water which leaves the unit has none of it", p.Name).
			Do("name an alkali that dissolves at once, such as soda-ash or hydrated lime")
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
// those that do not, then what sets the pH of the jars, last the alkali.
type beside struct {
	day.Record
	currency string
	sets     func(surface.Pair) (Setting, bool) // what sets the pH of its jar; nil where nothing does
	restores *day.Chemical                      // the alkali; nil where none is counted
	taken    bool                               // nobody named the acid
}

// cost is per 1000 m3, without the price of the chemicals themselves. What cannot be
// brought to its pH is no cheap pair but none.
func (b beside) cost(p surface.Pair) quantity.Money {
	r, _, ok := b.at(p)
	if !ok {
		return quantity.Money{Amount: math.Inf(1)}
	}
	return quantity.Money{Amount: r.Account().Total().Amount, Currency: b.currency}
}

// at is the record of a pair, with what sets its pH; false where nothing can.
func (b beside) at(p surface.Pair) (r day.Record, x Setting, ok bool) {
	r = b.Record
	r.Chemicals = slices.Clone(r.Chemicals)
	r.Chemicals[0].Dose.Concentration, r.Chemicals[1].Dose.Concentration = p.First, p.Second
	if b.sets != nil {
		if x, ok = b.sets(p); !ok {
			return r, x, false
		}
		if x.Of.Name != "" {
			r.Chemicals = append(r.Chemicals, x.chemical())
		}
	}
	if b.restores != nil {
		r.Chemicals = append(r.Chemicals, *b.restores)
	}
	return r, x, true
}

// chemical is what sets a pH as the account of a day takes it.
func (s Setting) chemical() day.Chemical {
	e, _, _ := day.EffectsOf(s.Of.Product, s.Of.Name, quantity.AsProduct) // as product it needs no strength
	return day.Chemical{Name: s.Of.Name, Dose: quantity.Dose{Concentration: s.Dose, Basis: quantity.AsProduct}, Effects: e,
		Price: s.Of.Price, Freight: s.Of.Freight}
}

// needs lists what a pair needs beside its chemicals.
func (b beside) needs(p surface.Pair) (out []surface.Beside) {
	r, x, ok := b.at(p)
	if !ok {
		return nil
	}
	a := r.Account()
	add := func(i int, why surface.Purpose, taken bool) {
		u, c := a.Uses[i], r.Chemicals[i]
		if u.Dosed <= 0 {
			return
		}
		n := surface.Beside{Name: strings.ToLower(c.Name), For: why, Dose: quantity.Dose{Concentration: a.Per(u.Dosed), Basis: quantity.AsProduct},
			Taken: taken}
		if c.Price.Currency != "" {
			n.Cost = quantity.Money{Amount: u.Goods.Amount + u.Freight.Amount, Currency: c.Price.Currency}
		}
		out = append(out, n)
	}
	if x.Of.Name != "" {
		add(len(b.Chemicals), surface.SetsPH, b.taken && x.Down)
	}
	if b.restores != nil {
		add(len(r.Chemicals)-1, surface.Restores, false)
	}
	return out
}

// counting adds to the cost of a pair what comes with its chemicals.
type counting struct {
	s         jartest.Series
	t         Terms
	order     [2]int
	currency  string
	catalogue product.Catalogue
	beside    beside
	counted   []string
	notes     note.List
}

// further counts alkali and disposal into the cost of a pair where their prices
// are known, and says what was counted. Held reports that alkali, at its price,
// holds the alkalinity that must be left, so that it limits no pair.
func further(s jartest.Series, t Terms, order [2]int, opt *surface.Options, catalogue product.Catalogue) (held bool, notes note.List) {
	c := counting{s: s, t: t, order: order, currency: opt.PricePerKg[0].Currency, catalogue: catalogue}
	alkali, solids, pH := t.Alkali.Price.Currency != "", t.Disposal.Price.Amount > 0, order[1] < 0
	unpriced := c.currency == "" || !pH && opt.PricePerKg[1].Currency == ""
	if unpriced && (alkali || solids || pH && t.Acid.Price.Currency != "") {
		c.lacks(either(pH, "acid, no alkali", "alkali")+" and no disposal of solids")("the price of its chemicals is not known",
			`give it in the bench sheet, the site or with --price`)
	}
	if !alkali && !solids && !pH || unpriced && !pH {
		return false, c.notes
	}
	c.beside = beside{Record: day.Record{Treated: 1e6, Chemicals: make([]day.Chemical, 2)}, currency: c.currency}
	raw := c.raw()
	solids = solids && !unpriced && !c.lacks("disposal of solids")(t.noDisposal(c.currency))
	if pH {
		alkali = c.setPH(unpriced, solids)
	} else {
		alkali = alkali && !c.lacks("alkali")(t.noAlkali(c.currency, raw.OK))
		if alkali || solids {
			c.notes.Add(c.beside.take(s, t, order, catalogue)...)
		}
		alkali = alkali && c.alkali(raw.V)
	}
	if solids {
		c.beside.Disposal = t.Disposal
		c.counts("disposal of the solids that the chemicals make, at %s", t.Disposal.Price)
	}
	opt.Beside = c.beside.needs
	if len(c.counted) == 0 {
		return false, c.notes
	}
	c.notes.Add(note.New(note.Info, "cost-holds", "the cost of a pair holds its chemicals, %s", strings.Join(c.counted, ", and ")).At(s.Place))
	if solids {
		c.notes.Add(note.New(note.Info, "raw-solids-apart", "the solids of the raw water are not in it, since every pair that meets the target takes out the same").At(s.Place))
	}
	opt.Further = c.beside.cost
	return alkali, c.notes
}

func either(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// lacks leaves something out of the cost where there is a reason to.
func (c *counting) lacks(what string) func(why, do string) bool {
	return func(why, do string) bool {
		if why != "" {
			c.notes.Add(note.New(note.Caution, "cost-leaves-out", "the cost of a pair holds no %s: %s", what, why).At(c.s.Place).Do("%s", do))
		}
		return why != ""
	}
}

func (c *counting) counts(format string, args ...any) {
	c.counted = append(c.counted, fmt.Sprintf(format, args...))
}

// raw is the alkalinity of the raw water, as asked, else as the series has it.
func (c *counting) raw() quantity.Known[quantity.Alkalinity] {
	if v, ok := c.s.RawReading(jartest.AlkalinityKey); ok && c.t.Raw <= 0 {
		return quantity.Some(quantity.Alkalinity(v))
	}
	return quantity.Known[quantity.Alkalinity]{V: c.t.Raw, OK: c.t.Raw > 0}
}

// alkali counts what gives alkalinity back, but to an alkali.
func (c *counting) alkali(raw quantity.Alkalinity) bool {
	why, a := "", c.t.Alkali
	if c.beside.Chemicals[0].AlkalinityUse < 0 {
		why = c.s.Chemicals[c.order[0]].Name + " is one itself"
	}
	if c.lacks("alkali")(why, "give the price of the chemicals only") {
		return false
	}
	c.restored(a, raw)
	c.counts("%s that holds %s of alkalinity (raw water %s), at %s", strings.ToLower(a.Name), c.t.AlkalinityLeft, raw, a.Price)
	return true
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
		return "the alkalinity of the raw water is not known", `give it on the bench sheet, in the site under Water or with --alkalinity`
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
