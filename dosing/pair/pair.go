// Package pair is what the plant knows of two chemicals dosed together: what each
// costs on the basis of its dose, what a pair takes from the alkalinity and the
// pH, and the ceilings that it must keep. jartest/surface knows no products; this
// package tells it.
package pair

import (
	"fmt"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// Ceiling is the most of a chemical that may be dosed.
type Ceiling struct {
	Chemical string
	Most     quantity.Concentration
	// Why is what asks for it, such as the animals; empty for the user's own.
	Why string
}

func (c Ceiling) says(chemical string) string {
	w := chemical + " at most " + quantity.Concentration(quantity.RoundSig(float64(c.Most), 3)).String()
	if c.Why != "" {
		w += ", " + c.Why
	}
	return w
}

// Price is what a chemical costs as product.
type Price struct {
	Chemical string
	quantity.Price
}

// Terms are what the user asks of a pair beside the targets.
type Terms struct {
	Prices   []Price
	Ceilings []Ceiling
	// AlkalinityLeft and PHLeast are floors for the treated water; zero asks for none.
	AlkalinityLeft quantity.Alkalinity
	PHLeast        quantity.PH
	// Alkali gives back what falls short of AlkalinityLeft and Disposal is paid for
	// the solids made; both go into the cost of a pair where they have a price. Raw is
	// the raw water's alkalinity, the sheet's where zero.
	Alkali   Alkali
	Acid     Alkali // for jars whose pH was set, beside the alkali
	Disposal day.Disposal
	Raw      quantity.Alkalinity
	// Product is what the plant doses under a chemical's name, false where it does
	// not say; nil leaves all to the catalogue.
	Product func(jartest.Chemical) (product.Product, bool)
}

// product is the plant's own where it says, else the catalogue's.
func (t Terms) product(c jartest.Chemical, catalogue product.Catalogue) (product.Product, error) {
	if t.Product != nil {
		if p, ok := t.Product(c); ok {
			return p, nil
		}
	}
	return caution.ProductFor(c, catalogue)
}

// Check refuses terms that name a chemical none of the series has.
func (t Terms) Check(series []jartest.Series) error {
	var l note.List
	var known []string
	for _, s := range series {
		for _, c := range s.Chemicals {
			known = append(known, c.Name)
		}
	}
	check := func(name string) {
		for _, k := range known {
			if dosing.Named(name, k) {
				return
			}
		}
		l.Add(note.Fault("chemical-unknown", "no series has a chemical named %q%s", name, note.DidYouMean(name, known)).
			Do("name it as the sheet does: %s", strings.Join(known, ", ")))
	}
	for _, p := range t.Prices {
		check(p.Chemical)
	}
	for _, c := range t.Ceilings {
		check(c.Chemical)
	}
	return l.Err()
}

// Options turns the terms into what the surface fit of a series takes. Prices come
// from the terms, else from the sheet. A price counts product; where a dose counts
// something else, the catalogue's strength turns it, and a note says so.
func Options(s jartest.Series, t Terms, catalogue product.Catalogue) (surface.Options, note.List) {
	var opt surface.Options
	var notes note.List
	d, ok := surface.Order(s)
	if !ok {
		return opt, nil
	}
	unpriced, told := 0, 0
	for i, c := range d {
		if c < 0 {
			continue // pH
		}
		m, n := priceOf(s.Chemicals[c], t, catalogue)
		opt.PricePerKg[i] = m
		if m.Currency == "" {
			unpriced, told = unpriced+1, told+min(1, len(n)) // a price that is not used is said
		}
		notes.Add(n...)
	}
	if a, b := opt.PricePerKg[0].Currency, opt.PricePerKg[1].Currency; a != "" && b != "" && a != b {
		notes.Add(note.New(note.Caution, "currencies", "prices are in %s and in %s, so that pairs cannot be compared by cost", a, b).At(s.Place).
			Do("give both prices in one currency"))
		opt.PricePerKg = [2]quantity.Money{}
		unpriced, told = 1, 1
	}
	opt.NotUsed = unpriced > 0 && told == unpriced
	for _, c := range t.Ceilings {
		for i, k := range d {
			if k < 0 || !dosing.Named(c.Chemical, s.Chemicals[k].Name) {
				continue
			}
			opt.Limits = append(opt.Limits, surface.Limit{Says: c.says(s.Chemicals[k].Name), Keeps: func(p surface.Pair) bool {
				if i == 0 {
					return p.First <= c.Most*(1+1e-9)
				}
				return p.Second <= c.Most*(1+1e-9)
			}})
		}
	}
	held, n := further(s, t, d, &opt, catalogue)
	notes.Add(n...)
	if held {
		t.AlkalinityLeft = 0
	}
	limits, n := floors(s, t, d, catalogue)
	opt.Limits = append(opt.Limits, limits...)
	notes.Add(n...)
	return opt, notes
}

// priceOf finds the price of one kilogram of a chemical on its dose's basis.
func priceOf(c jartest.Chemical, t Terms, catalogue product.Catalogue) (quantity.Money, note.List) {
	var notes note.List
	var price quantity.Price
	found := false
	for _, p := range t.Prices {
		if dosing.Named(p.Chemical, c.Name) {
			price, found = p.Price, true
		}
	}
	if !found && c.Price > 0 && c.PriceUnit != "" {
		var err error
		if price, err = quantity.ParsePrice(fmt.Sprintf("%g %s", c.Price, c.PriceUnit)); err != nil {
			notes.Add(note.New(note.Caution, "price-not-read", "the price of %s in the sheet (%g %s) is not read", c.Name, c.Price, c.PriceUnit).
				Do(`write it like "0.42 EUR/kg", or give --price`))
			return quantity.Money{}, notes
		}
		found = true
	}
	if !found {
		return quantity.Money{}, nil
	}
	if c.Basis == quantity.NotStated {
		notes.Add(note.New(note.Caution, "basis-missing", "what the dose of %s counts is not stated, so its price is not used", c.Name).
			Do(`say it with --basis "%s=as product", or what else it counts`, c.Name))
		return quantity.Money{}, notes
	}
	p, err := t.product(c, catalogue)
	known := err == nil
	var density quantity.Density
	if known && p.Density.OK {
		density = p.Density.V
	}
	perKg, err := price.PerKg(density, 0)
	if err != nil {
		notes.Add(note.New(note.Caution, "price-not-used", "%s: %s", c.Name, err.Error()).Do("give the price per kg"))
		return quantity.Money{}, notes
	}
	m := quantity.Money{Amount: perKg.Amount, Currency: perKg.Currency}
	if c.Basis == quantity.AsProduct {
		return m, notes
	}
	if known {
		if strength, err := p.StrengthAs(c.Basis); err == nil && strength > 0 {
			m.Amount /= float64(strength)
			notes.Add(note.New(note.Info, "price-by-strength", "the price of %s is taken per kg of product at %s %s (%s)", c.Name, strength, c.Basis, p.Name).
				Do("where your product is of another strength, give its price per kg of what the dose counts"))
			return m, notes
		}
	}
	notes.Add(note.New(note.Info, "price-by-basis", "the price of %s is taken per kg of what its dose counts (%s)", c.Name, c.Basis))
	return m, notes
}

// floors makes limits of the alkalinity and the pH that must be left.
func floors(s jartest.Series, t Terms, order [2]int, catalogue product.Catalogue) ([]surface.Limit, note.List) {
	if t.AlkalinityLeft == 0 && t.PHLeast == 0 {
		return nil, nil
	}
	var notes note.List
	b, err := caution.Jars(s, catalogue)
	if err != nil {
		notes.Add(note.New(note.Caution, "floor-not-checked", "the alkalinity or pH that must be left is not checked: %s", err.Error()).At(s.Place).
			Do(`give the raw water's pH and alkalinity and the bases of the doses in the sheet, or read the pH on each jar and use --target "ph >= 6.5"`))
		return nil, notes
	}
	notes.Add(b.Notes...)
	doses := make([]quantity.Concentration, len(s.Chemicals))
	for k := range doses { // chemicals that do not vary keep their dose
		doses[k] = mostOf(s, k)
	}
	at := func(p surface.Pair) (alk quantity.Alkalinity, ph quantity.PH, ok bool) {
		d := append([]quantity.Concentration(nil), doses...)
		d[order[0]], d[order[1]] = p.First, p.Second
		state, err := b.At(s, d)
		return state.Alkalinity, state.PH, err == nil
	}
	if order[1] < 0 {
		after, err := t.afterSetting(s, order, catalogue)
		if err != nil {
			return nil, note.Of(err, "floor-not-checked")
		}
		at = func(p surface.Pair) (quantity.Alkalinity, quantity.PH, bool) {
			left, _, ok := after(p)
			return left, quantity.PH(p.PH), ok
		}
	}
	var out []surface.Limit
	if t.AlkalinityLeft > 0 {
		out = append(out, surface.Limit{Says: "alkalinity left at least " + t.AlkalinityLeft.String(), Keeps: func(p surface.Pair) bool {
			a, _, ok := at(p)
			return ok && a >= t.AlkalinityLeft
		}})
	}
	if t.PHLeast > 0 {
		out = append(out, surface.Limit{Says: fmt.Sprintf("computed pH at least %s", quantity.Sig(float64(t.PHLeast), 3)), Keeps: func(p surface.Pair) bool {
			_, ph, ok := at(p)
			return ok && ph >= t.PHLeast
		}})
	}
	return out, notes
}
