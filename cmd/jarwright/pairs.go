package main

import (
	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// pairFlags are what a user asks of two chemicals together.
type pairFlags struct {
	terms pair.Terms
	// alkali is the catalogue's product that gives alkalinity back, with its price;
	// it goes before that of the terms.
	alkali *pair.Price
	// acid is the catalogue's product that lowers a pH, with its price.
	acid *pair.Price
}

// add adds the flags; they matter to series in which two chemicals vary.
func (f *pairFlags) add(cmd *cobra.Command) {
	t := &f.terms
	repeated(cmd, &t.Prices, "price", "CHEMICAL=PRICE", `price of a chemical as product, such as "alum=0.42 EUR/kg" (may repeat; the sheet's own when absent)`,
		chemicalPrice("alum=0.42 EUR/kg"))
	repeated(cmd, &t.Ceilings, "most", "CHEMICAL=DOSE", `the most of a chemical that a pair may hold, such as "polymer=0.5 mg/L" for the animals (may repeat)`,
		parted("polymer=0.5 mg/L", quantity.Parse[quantity.Concentration], func(chemical string, most quantity.Concentration) pair.Ceiling {
			return pair.Ceiling{Chemical: chemical, Most: most}
		}))
	parsed(cmd, &t.AlkalinityLeft, "alkalinity-left", "ALKALINITY", `the least alkalinity that a pair must leave, such as "50 mg/L CaCO3"`, quantity.Parse[quantity.Alkalinity])
	parsed(cmd, &t.PHLeast, "ph-least", "PH", `the least pH that a pair must leave, computed from the raw water, such as "6.5"`, quantity.ParsePH)
	parsed(cmd, &t.Raw, "alkalinity", "ALKALINITY", `of the raw water, such as "60 mg/L CaCO3" (the sheet's own when absent)`, quantity.Parse[quantity.Alkalinity])
	parsed(cmd, &f.alkali, "alkali", "PRODUCT=PRICE", `what gives alkalinity back, such as "soda-ash=0.50 EUR/kg", counted in the cost of a pair`,
		func(s string) (*pair.Price, error) {
			p, err := chemicalPrice("soda-ash=0.50 EUR/kg")(s)
			return &p, err
		})
	parsed(cmd, &f.acid, "acid", "PRODUCT=PRICE", `what lowers a pH that jars were set to, such as "sulfuric-acid=0.30 EUR/kg", counted in the cost of a pair`,
		func(s string) (*pair.Price, error) {
			p, err := chemicalPrice("sulfuric-acid=0.30 EUR/kg")(s)
			return &p, err
		})
	parsed(cmd, &t.Disposal.Price, "disposal", "PRICE", `of getting rid of solids, such as "30 EUR/m3" or "400 EUR/t dry", counted in the cost of a pair`, quantity.ParsePrice)
	parsed(cmd, &t.Disposal.DrySolids, "dry-solids", "SHARE", `dry solids of float or sludge, such as "2 %"`, quantity.Parse[quantity.Fraction])
}

// fromSite fills in what a site says and no flag did: prices, what is dosed under
// a name, the alkali, disposal, and the alkalinity to keep.
func (f *pairFlags) fromSite(s *pair.Buyer, chemicals []jartest.Chemical) {
	f.terms.Prices = append(s.Paid(chemicals), f.terms.Prices...)
	f.terms.Disposal = pair.SiteDisposal(f.terms.Disposal, s.Site)
	if f.terms.Raw == 0 {
		f.terms.Raw = s.Water.Alkalinity.V
	}
	f.terms.Product = func(c jartest.Chemical) (product.Product, bool) {
		row := dosing.ChemicalRow(&s.Site, c.Name, s.Catalogue)
		if row == nil {
			return product.Product{}, false
		}
		p, _, err := dosing.ProductOf(*row, c.Basis, s.Catalogue)
		return p, err == nil
	}
	if acid, err := s.Acid(); err == nil && f.acid == nil {
		f.terms.Acid = acid
	}
	if f.alkali != nil {
		return
	}
	a, err := s.Alkali()
	if err != nil {
		return // a comparison says so; without it no alkali is counted
	}
	f.terms.Alkali = a
	if f.terms.AlkalinityLeft == 0 && a.Price.Currency != "" {
		f.terms.AlkalinityLeft = s.Water.AlkFloor.V
	}
}

// split answers the series of two factors and gives back those of one. A series
// of two with too few jars for a surface is answered along its first chemical. Once
// stopped gives an error the work ends with it.
func (f *pairFlags) split(stopped func() error, series []jartest.Series, targets []jartest.Target, fit curve.Options) ([]jartest.Series, []surface.Result, error) {
	f.terms = f.terms.Renamed(series, nil, product.Default())
	if err := f.terms.Check(series); err != nil {
		return nil, nil, err
	}
	catalogue := product.Default()
	if f.alkali != nil {
		p, err := pair.Sold(f.alkali.Chemical, catalogue)
		if err != nil {
			return nil, nil, err
		}
		if f.terms.Alkali, err = pair.NewAlkali(p, f.alkali.Price, 0); err != nil {
			return nil, nil, err
		}
	}
	if f.acid != nil {
		p, err := pair.Sold(f.acid.Chemical, catalogue)
		if err != nil {
			return nil, nil, err
		}
		if f.terms.Acid, err = pair.NewAcid(p, f.acid.Price, 0); err != nil {
			return nil, nil, err
		}
	}
	var single []jartest.Series
	var surfaces []surface.Result
	for _, s := range surface.Join(series) {
		if !surface.TwoFactors(s) {
			single = append(single, s)
			continue
		}
		if err := stopped(); err != nil {
			return nil, nil, err
		}
		opt, notes := pair.Options(s, f.terms, catalogue)
		opt.Scatter, opt.Sure = fit.Scatter, fit.Asked(s)
		r := surface.Analyse(s, targets, opt)
		if r.Outcome == curve.TooFewJars {
			single = append(single, s)
			continue
		}
		r.Notes.Add(notes...)
		r.Notes.Add(f.terms.After(s, r, catalogue)...)
		r.Notes.Add(s.Notes...)
		surfaces = append(surfaces, r)
	}
	return single, surfaces, nil
}
