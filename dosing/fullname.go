package dosing

import (
	"strings"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
)

// InFull calls the chemicals of series by all that their sheets say of them, where that tells more than the short
// name: the site's own chemical of that name, a product that the catalogue has under it, or a strength that the
// product of the short name is not sold in, which is asked about.
func InFull(series []jartest.Series, s *site.Site, catalogue product.Catalogue) (notes note.List) {
	for i := range series {
		for k := range series[i].Chemicals {
			c := &series[i].Chemicals[k]
			full := strings.TrimSpace(c.Said)
			if full == "" || SameName(full, c.Name) {
				continue
			}
			short := catalogue.Called(c.Name)
			share, says := product.StrengthNamed(full)
			other := says && c.Stock == 0 && !anyPair(short, short, func(p, _ product.Product) bool { return p.MayHold(share) })
			switch {
			case siteHas(s, full), len(catalogue.Called(full)) == 1 && !SameProduct(full, c.Name, catalogue):
				c.Name = full
			case other && len(short) > 0 && len(catalogue.Called(full)) == 0:
				notes.Add(note.New(note.Caution, "strength-by-name", "%q: %s of the catalogue holds %s %s, so this is another product, and neither its solids nor its alkalinity are counted",
					full, short[0].Name, short[0].Strength.V, short[0].Basis).At(series[i].Place).
					Do("describe yours in a site workbook, or write the catalogue's name%s", alikeHolding(short[0], full, catalogue)))
				c.Name = full
			}
		}
	}
	return notes
}

// siteHas reports that a site has a chemical of that very name.
func siteHas(s *site.Site, name string) bool {
	if s == nil {
		return false
	}
	for _, c := range s.Chemicals {
		if SameName(c.Name.V, name) || SameName(c.Product.V, name) {
			return true
		}
	}
	return false
}

// alikeHolding names the product of the same kind that is sold in the strength that a name says, if there is one.
func alikeHolding(p product.Product, full string, catalogue product.Catalogue) string {
	share, _ := product.StrengthNamed(full)
	for _, x := range catalogue.All() {
		if x.Form == p.Form && alikeProducts(x, p) && x.MayHold(share) {
			return ": " + x.ID + ", if it is that"
		}
	}
	return ""
}
