package pair

import (
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
)

// Same reports that a site's chemical is what a bench sheet calls by a name: its own
// name, its product's, or another product name that it goes by.
func Same(c site.Chemical, name string, catalogue product.Catalogue) bool {
	name = strings.TrimSpace(name)
	if Named(c.Name.V, name) || Named(name, c.Name.V) || strings.EqualFold(c.Product.V, name) {
		return true
	}
	own, err := catalogue.Find(c.Product.Or(c.Name.V))
	if err != nil {
		return false
	}
	other, err := catalogue.Find(name)
	return err == nil && alike(own, other)
}

// alike reports that two products of the catalogue are the same chemical, if not of one
// strength: what a bench calls alum is the alum that the site has.
func alike(a, b product.Product) bool {
	switch a.Group {
	case product.AluminiumSalt, product.Polyaluminium, product.Polymer:
		return a.Group == b.Group && a.Charge == b.Charge
	}
	return strings.TrimSuffix(a.ID, "-dry") == strings.TrimSuffix(b.ID, "-dry")
}

// Row is the site's chemical that a bench sheet calls by a name: one of that very name
// before one that is the same otherwise; nil without a site and where there is none.
func Row(s *site.Site, name string, catalogue product.Catalogue) *site.Chemical {
	if s == nil {
		return nil
	}
	for _, so := range []func(site.Chemical) bool{
		func(c site.Chemical) bool {
			return strings.EqualFold(strings.TrimSpace(c.Name.V), strings.TrimSpace(name))
		},
		func(c site.Chemical) bool { return Same(c, name, catalogue) },
	} {
		if i := slices.IndexFunc(s.Chemicals, so); i >= 0 {
			return &s.Chemicals[i]
		}
	}
	return nil
}

// PriceRow is how a site buys what a bench sheet calls by a name: the row of Prices of
// its chemical there, else one that bears the name, or another of the same product.
func PriceRow(s *site.Site, name string, catalogue product.Catalogue) *site.Price {
	if s == nil {
		return nil
	}
	called := func(want string) func(site.Price) bool {
		return func(r site.Price) bool {
			return strings.EqualFold(strings.TrimSpace(r.Chemical.V), strings.TrimSpace(want))
		}
	}
	var tries []func(site.Price) bool
	if row := Row(s, name, catalogue); row != nil {
		tries = append(tries, called(row.Name.V), called(row.Product.V))
	}
	tries = append(tries, called(name), func(r site.Price) bool { return Named(r.Chemical.V, name) }, func(r site.Price) bool { return sameProduct(r.Chemical.V, name, catalogue) })
	for _, so := range tries {
		if i := slices.IndexFunc(s.Prices, so); i >= 0 && s.Prices[i].Chemical.V != "" {
			return &s.Prices[i]
		}
	}
	return nil
}

// Renamed gives prices and ceilings the names of the sheets: each may bear the name of
// the sheet, of the site for what it doses under that name, or of the catalogue. One
// that fits nothing keeps its name, so that [Terms.Check] tells it.
func (t Terms) Renamed(series []jartest.Series, s *site.Site, catalogue product.Catalogue) Terms {
	prices, ceilings := t.Prices, t.Ceilings
	t.Prices, t.Ceilings = nil, nil
	for _, p := range prices {
		for _, name := range sheetNames(p.Chemical, series, s, catalogue) {
			t.Prices = append(t.Prices, Price{name, p.Price})
		}
	}
	for _, c := range ceilings {
		for _, name := range sheetNames(c.Chemical, series, s, catalogue) {
			t.Ceilings = append(t.Ceilings, Ceiling{name, c.Most, c.Why})
		}
	}
	return t
}

// sheetNames lists the chemicals of the series that a given name means; the name itself where none is.
func sheetNames(given string, series []jartest.Series, s *site.Site, catalogue product.Catalogue) []string {
	var all []string
	for _, x := range series {
		for _, c := range x.Chemicals {
			if Named(given, c.Name) {
				return []string{given}
			}
			if !slices.Contains(all, c.Name) {
				all = append(all, c.Name)
			}
		}
	}
	other := slices.DeleteFunc(all, func(name string) bool {
		row := Row(s, name, catalogue)
		return !(row != nil && (Named(given, row.Name.V) || strings.EqualFold(row.Product.V, given)) || sameProduct(given, name, catalogue))
	})
	if len(other) == 0 {
		return []string{given}
	}
	return other
}

// sameProduct reports that two names are of one product of the catalogue.
func sameProduct(a, b string, catalogue product.Catalogue) bool {
	x, err := catalogue.Find(a)
	if err != nil {
		return false
	}
	y, err := catalogue.Find(b)
	return err == nil && x.ID == y.ID
}
