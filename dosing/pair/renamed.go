package pair

import (
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
)

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
			if dosing.Named(given, c.Name) {
				return []string{given}
			}
			if !slices.Contains(all, c.Name) {
				all = append(all, c.Name)
			}
		}
	}
	other := slices.DeleteFunc(slices.Clone(all), func(name string) bool {
		row := dosing.ChemicalRow(s, name, catalogue)
		ofSite := row != nil && (dosing.Named(given, row.Name.V) || dosing.SameName(row.Product.V, given))
		return !ofSite && !dosing.SameProduct(given, name, catalogue)
	})
	if len(other) == 0 { // alum, where the sheet has one dry alum
		other = slices.DeleteFunc(all, func(name string) bool {
			return !strings.HasSuffix(strings.ToLower(name), " "+strings.ToLower(strings.TrimSpace(given)))
		})
		if len(other) != 1 {
			return []string{given}
		}
	}
	return other
}
