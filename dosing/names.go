package dosing

import (
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
)

// SameName reports that two names are one, whatever their case and the spaces about them.
func SameName(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// Named reports that a name the user gave is a chemical's: the whole name, or its
// beginning where that is enough to tell.
func Named(given, chemical string) bool {
	g, c := strings.ToLower(strings.TrimSpace(given)), strings.ToLower(strings.TrimSpace(chemical))
	return g != "" && (g == c || strings.HasPrefix(c, g+" "))
}

// SameChemical reports that a site's chemical is what a bench sheet calls by a name: its own
// name, its product's, or another product name that it goes by.
func SameChemical(c site.Chemical, name string, catalogue product.Catalogue) bool {
	if Named(c.Name.V, name) || Named(name, c.Name.V) || c.Product.OK && SameName(c.Product.V, name) {
		return true
	}
	return anyPair(catalogue.Called(c.Product.Or(c.Name.V)), catalogue.Called(strings.TrimSpace(name)), alikeProducts)
}

// anyPair reports that one of a and one of b are so: what names may mean.
func anyPair(a, b []product.Product, so func(a, b product.Product) bool) bool {
	return slices.ContainsFunc(a, func(x product.Product) bool {
		return slices.ContainsFunc(b, func(y product.Product) bool { return so(x, y) })
	})
}

// alikeProducts reports that two products of the catalogue are the same chemical, if not of one
// strength: what a bench calls alum is the alum that the site has.
func alikeProducts(a, b product.Product) bool {
	switch a.Group {
	case product.AluminiumSalt, product.Polyaluminium, product.Polymer:
		return a.Group == b.Group && a.Charge == b.Charge
	}
	return strings.TrimSuffix(a.ID, "-dry") == strings.TrimSuffix(b.ID, "-dry")
}

// ChemicalRow is the site's chemical that a bench sheet calls by a name: one of that very name
// before one that is the same otherwise; nil without a site and where there is none.
func ChemicalRow(s *site.Site, name string, catalogue product.Catalogue) *site.Chemical {
	if s == nil {
		return nil
	}
	for _, so := range []func(site.Chemical) bool{
		func(c site.Chemical) bool { return SameName(c.Name.V, name) },
		func(c site.Chemical) bool { return SameChemical(c, name, catalogue) },
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
		return func(r site.Price) bool { return SameName(r.Chemical.V, want) }
	}
	var tries []func(site.Price) bool
	if row := ChemicalRow(s, name, catalogue); row != nil {
		tries = append(tries, called(row.Name.V), called(row.Product.V))
	}
	tries = append(tries, called(name), func(r site.Price) bool { return Named(r.Chemical.V, name) },
		func(r site.Price) bool { return SameProduct(r.Chemical.V, name, catalogue) })
	for _, so := range tries {
		if i := slices.IndexFunc(s.Prices, so); i >= 0 && s.Prices[i].Chemical.V != "" {
			return &s.Prices[i]
		}
	}
	return nil
}

// SameProduct reports that two names are of one product of the catalogue.
func SameProduct(a, b string, catalogue product.Catalogue) bool {
	return anyPair(catalogue.Called(a), catalogue.Called(b), func(x, y product.Product) bool { return x.ID == y.ID })
}
