package dosing

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// SameName reports that two names are one, whatever their case and the spaces about them.
func SameName(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// WithArticle is the name of a tank or pond within a sentence: with its article, unless it begins as a name does, counts or has one.
// No name stays none.
func WithArticle(name string) string {
	letter, _ := utf8.DecodeRuneInString(name)
	first, _, _ := strings.Cut(name, " ")
	if !unicode.IsLower(letter) || strings.ContainsAny(name, "0123456789") || slices.Contains([]string{"a", "an", "the", "our", "my"}, first) {
		return name
	}
	return "the " + name
}

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

// Another reports that the jars were dosed with another chemical than a site's: what either name may mean is known, by the catalogue,
// by what a dose of it counts or by what the name says it does, and no meaning of one is one of the other. What is not known of
// either is taken for the same. Goods of another form are another chemical where doses count product, for a powder holds several
// times what its solution does.
func Another(c site.Chemical, jars jartest.Chemical, catalogue product.Catalogue) bool {
	if jars.Basis == quantity.AsProduct && otherForm(c, jars.Form, catalogue) {
		return true
	}
	if SameChemical(c, jars.Name, catalogue) || onlySaysKind(c, jars.Name, catalogue) {
		return false
	}
	own := catalogue.Called(c.Product.Or(c.Name.V))
	if len(own) == 0 {
		if p, _, err := ProductOf(c, c.Basis.V, catalogue); err == nil && p.Group != product.UnknownProduct {
			own = []product.Product{p}
		}
	}
	if has, ok := SaysKind(jars.Name); ok {
		return len(own) > 0 && !slices.ContainsFunc(own, has)
	}
	tested := catalogue.Called(strings.TrimSpace(jars.Name))
	if p, err := catalogue.GuessFor(jars.Basis); len(tested) == 0 && err == nil && !slices.Contains(ofMetals, jars.Basis) {
		tested = []product.Product{p}
	}
	return len(own) > 0 && len(tested) > 0 && !anyPair(own, tested, alikeProducts)
}

// otherForm reports that what a site has comes in another form than the jars were dosed with, as far as both are known.
func otherForm(c site.Chemical, tested words.Form, catalogue product.Catalogue) bool {
	if tested == "" {
		return false
	}
	if said := product.FormNamed(c.Product.Or(c.Name.V)); said != "" {
		return said != tested && (said == words.Dry || tested == words.Dry)
	}
	own, err := Labelled(c, quantity.AsProduct, catalogue)
	return err == nil && !own.Comes(tested)
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
// before one of that very product, and that before one that is the same otherwise; nil without a
// site and where there is none. Where several fit equally it is the first, see [WhichChemical].
func ChemicalRow(s *site.Site, name string, catalogue product.Catalogue) *site.Chemical {
	if rows := chemicalRows(s, name, catalogue); len(rows) > 0 {
		return rows[0]
	}
	return nil
}

// chemicalRows are the site's chemicals that fit a name best, equally.
func chemicalRows(s *site.Site, name string, catalogue product.Catalogue) (out []*site.Chemical) {
	if s == nil {
		return nil
	}
	for _, so := range []func(site.Chemical) bool{
		func(c site.Chemical) bool { return SameName(c.Name.V, name) },
		func(c site.Chemical) bool { return SameProduct(c.Product.Or(c.Name.V), name, catalogue) },
		func(c site.Chemical) bool { return SameChemical(c, name, catalogue) },
		func(c site.Chemical) bool { return onlySaysKind(c, name, catalogue) },
	} {
		for i := range s.Chemicals {
			if so(s.Chemicals[i]) {
				out = append(out, &s.Chemicals[i])
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// kinds are the names that say of a chemical no more than what it does.
var kinds = []struct {
	stems []string
	has   func(product.Product) bool
}{
	{[]string{"floccul", "flocul", "flokkul", "flockung", "flokul", "vlok", "polym", "polimer", "polyelec", "poly", "aid"}, product.Product.IsPolymer},
	{[]string{"coag", "koag"}, func(p product.Product) bool { return p.Group.Coagulant() && !p.IsPolymer() }},
}

// SaysKind reports a name that says no more than what a chemical does, as "flocculant" or "coagulant aid" does; has tells what is one.
func SaysKind(name string) (has func(product.Product) bool, ok bool) {
	words := strings.Fields(strings.ToLower(name))
	of := func(word string, stems []string) bool {
		return slices.ContainsFunc(stems, func(s string) bool { return strings.HasPrefix(word, s) })
	}
	for _, k := range kinds {
		own := slices.ContainsFunc(words, func(w string) bool { return of(w, k.stems) })
		all := !slices.ContainsFunc(words, func(w string) bool { return !of(w, k.stems) && !of(w, kinds[1].stems) })
		if own && all { // an aid to coagulants is named by both words
			return k.has, true
		}
	}
	return nil, false
}

// onlySaysKind reports a chemical of the kind that a name says and no more.
func onlySaysKind(c site.Chemical, name string, catalogue product.Catalogue) bool {
	has, ok := SaysKind(name)
	if !ok {
		return false
	}
	p, _, err := ProductOf(c, c.Basis.V, catalogue)
	return err == nil && has(p)
}

// WhichChemical asks which of a site's chemicals a bench sheet means, for each name that two of them fit
// equally and that are not one product at one price.
func WhichChemical(s *site.Site, chemicals []jartest.Chemical, catalogue product.Catalogue) (faults note.List) {
	for _, c := range chemicals {
		rows := chemicalRows(s, c.Name, catalogue)
		for _, other := range rows[min(1, len(rows)):] {
			if !sameGoods(s, *rows[0], *other) {
				faults.Add(which(c.Name, *rows[0], *other))
				break
			}
		}
	}
	return faults
}

// WhoseSheet asks the same of a sheet that several of a site's chemicals take their dose from: jars tell of
// one dose, which each of them would be given, be they one product or not.
func WhoseSheet(s site.Site, own site.Chemical, chemicals []jartest.Chemical, catalogue product.Catalogue) (faults note.List) {
	s.Chemicals = slices.DeleteFunc(slices.Clone(s.Chemicals), func(c site.Chemical) bool {
		return !c.Bench.OK || c.Dose.OK || c.Fed.OK || c.Bench.V != own.Bench.V || c.Series.V != own.Series.V
	})
	for _, c := range chemicals {
		if rows := chemicalRows(&s, c.Name, catalogue); len(rows) > 1 && rows[0].Name == own.Name { // asked once, of the first of them
			faults.Add(which(c.Name, *rows[0], *rows[1]))
		}
	}
	return faults
}

func which(name string, a, b site.Chemical) note.Note {
	return note.Fault("chemical-which", "%q on the bench sheet may be %s (%s) or %s (%s) of the site", name, a.Name.V, a.Name.At.Cell, b.Name.V, b.Name.At.Cell).
		At(a.Name.At).Do("write on the bench sheet the name that the site has, %q or %q", a.Name.V, b.Name.V)
}

// sameGoods reports that two rows are one product of one strength, bought at one price.
func sameGoods(s *site.Site, a, b site.Chemical) bool {
	return a.Product.V == b.Product.V && a.Strength.V == b.Strength.V && a.Density.V == b.Density.V && a.Basis.V == b.Basis.V &&
		priceOf(*s, a.Name.V) == priceOf(*s, b.Name.V)
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
