package pair

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// Buyer is a site with what its usual orders rest on.
type Buyer struct {
	site.Site
	Catalogue product.Catalogue
	Log       *flow.Log
	// Month is that asked for; zero takes that of the site's date.
	Month month.Month

	mean *month.Usual // its average day, once it was asked for
}

// Alkali is the first alkali of a site that has a price there; its name is
// empty where the site has none.
func (s *Buyer) Alkali() (Alkali, error) { return s.own(product.Alkali, NewAlkali) }

// Acid is the same of an acid.
func (s *Buyer) Acid() (Alkali, error) { return s.own(product.Acid, NewAcid) }

func (s *Buyer) own(group product.Group,
	made func(product.Product, quantity.Price, quantity.Mass) (Alkali, error)) (Alkali, error) {
	for _, c := range s.Chemicals {
		p, _, err := dosing.ProductOf(c, c.Basis.V, s.Catalogue)
		if err != nil || p.Group != group {
			continue
		}
		r := dosing.PriceRow(&s.Site, c.Name.V, s.Catalogue)
		if r == nil {
			continue
		}
		b, priced := month.Buy(*r, c.Name.V, p, s.daily(c.Name.V))
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

// Paid lists what the site pays for chemicals that the series have, under the
// series' names, in the usual order of what it doses.
func (s *Buyer) Paid(chemicals []jartest.Chemical) (out []Price) {
	for _, c := range chemicals {
		r := dosing.PriceRow(&s.Site, c.Name, s.Catalogue)
		if r == nil || !r.Price.OK {
			continue
		}
		p, err := Terms{}.product(c, s.Catalogue)
		use := quantity.MassRate(0)
		if row := dosing.ChemicalRow(&s.Site, c.Name, s.Catalogue); row != nil {
			use = s.daily(row.Name.V)
			p, _, err = dosing.ProductOf(*row, c.Basis, s.Catalogue)
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

// daily is what a site uses of a chemical on the average day, nothing where that cannot be told. What
// the other chemicals lack, such as a bench sheet that was not read, is no matter of this one.
func (s *Buyer) daily(chemical string) quantity.MassRate {
	d, _, err := dosing.DayOf(s.Flow, s.Log)
	if err != nil {
		return 0
	}
	own := s.Site
	own.Chemicals = slices.DeleteFunc(slices.Clone(s.Chemicals), func(c site.Chemical) bool { return c.Name.V != chemical })
	for _, x := range []site.Site{s.Site, own} {
		feeds, _, err := dosing.Chemicals(x, dosing.Given{Catalogue: s.Catalogue, Log: s.Log})
		if err != nil {
			continue
		}
		r := dosing.Running{Site: x, Flow: d.Average(), Hours: d.Running(), Feeds: feeds}.Record(site.UsualWater)
		for _, u := range r.Account().Uses {
			if u.Chemical == chemical {
				return s.Usual().Of(chemical, quantity.MassRate(u.Product), d.Volume())
			}
		}
	}
	return 0
}

// Usual is the average day of the site's month, worked out when it is first asked for: it takes the whole month, and what
// is priced is asked one by one.
func (s *Buyer) Usual() month.Usual {
	if s.mean == nil {
		u := month.Mean(s.Site, dosing.Given{Catalogue: s.Catalogue, Log: s.Log}, s.Month)
		s.mean = &u
	}
	return *s.mean
}
