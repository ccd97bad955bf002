package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
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
}

// add adds the flags; they matter to series in which two chemicals vary.
func (f *pairFlags) add(cmd *cobra.Command) {
	add := func(name, kind, usage string, set func(string) error) {
		cmd.Flags().Var(&benchFlag{kind: kind, set: set}, name, usage)
	}
	add("price", "CHEMICAL=PRICE", `price of a chemical as product, such as "alum=0.42 EUR/kg" (may repeat; the sheet's own when absent)`, func(s string) error {
		name, text, ok := strings.Cut(s, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return errors.New(`write it like "alum=0.42 EUR/kg"`)
		}
		p, err := quantity.ParsePrice(text)
		f.terms.Prices = append(f.terms.Prices, pair.Price{Chemical: strings.TrimSpace(name), Price: p})
		return err
	})
	add("most", "CHEMICAL=DOSE", `the most of a chemical that a pair may hold, such as "polymer=0.5 mg/L" for the animals (may repeat)`, func(s string) error {
		name, text, ok := strings.Cut(s, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return errors.New(`write it like "polymer=0.5 mg/L"`)
		}
		c, err := quantity.Parse[quantity.Concentration](text)
		f.terms.Ceilings = append(f.terms.Ceilings, pair.Ceiling{Chemical: strings.TrimSpace(name), Most: c})
		return err
	})
	add("alkalinity-left", "ALKALINITY", `the least alkalinity that a pair must leave, such as "50 mg/L CaCO3"`, func(s string) (err error) {
		f.terms.AlkalinityLeft, err = quantity.Parse[quantity.Alkalinity](s)
		return err
	})
	add("ph-least", "PH", `the least pH that a pair must leave, computed from the raw water, such as "6.5"`, func(s string) (err error) {
		f.terms.PHLeast, err = quantity.ParsePH(s)
		return err
	})
	add("alkalinity", "ALKALINITY", `of the raw water, such as "60 mg/L CaCO3" (the sheet's own when absent)`, func(s string) (err error) {
		f.terms.Raw, err = quantity.Parse[quantity.Alkalinity](s)
		return err
	})
	add("alkali", "PRODUCT=PRICE", `what gives alkalinity back, such as "soda-ash=0.50 EUR/kg", counted in the cost of a pair`, func(s string) error {
		q, err := chemicalPrice(s, "soda-ash=0.50 EUR/kg")
		f.alkali = &q
		return err
	})
	add("disposal", "PRICE", `of getting rid of solids, such as "30 EUR/m3" or "400 EUR/t dry", counted in the cost of a pair`, func(s string) (err error) {
		f.terms.Disposal.Price, err = quantity.ParsePrice(s)
		return err
	})
	add("dry-solids", "SHARE", `dry solids of float or sludge, such as "2 %"`, func(s string) (err error) {
		f.terms.Disposal.DrySolids, err = quantity.Parse[quantity.Fraction](s)
		return err
	})
}

// fromSite fills in what a site says and no flag did: prices, what is dosed under
// a name, the alkali, disposal, and the alkalinity to keep.
func (f *pairFlags) fromSite(s site.Site, prices []pair.Price) {
	catalogue := product.Default()
	f.terms.Prices = append(prices, f.terms.Prices...)
	f.terms.Disposal = pair.SiteDisposal(f.terms.Disposal, s)
	if f.terms.Raw == 0 {
		f.terms.Raw = s.Water.Alkalinity.V
	}
	f.terms.Product = func(c jartest.Chemical) (product.Product, bool) {
		for _, row := range s.Chemicals {
			if sameChemical(row, c.Name) {
				p, _, err := dosing.ProductOf(row, c.Basis, catalogue)
				return p, err == nil
			}
		}
		return product.Product{}, false
	}
	if f.alkali != nil {
		return
	}
	a, err := pair.SiteAlkali(s, catalogue)
	if err != nil {
		return // a comparison says so; without it no alkali is counted
	}
	f.terms.Alkali = a
	if f.terms.AlkalinityLeft == 0 && a.Price.Currency != "" {
		f.terms.AlkalinityLeft = s.Water.AlkFloor.V
	}
}

// split answers the series of two factors and gives back those of one. A series
// of two with too few jars for a surface is answered along its first chemical.
func (f *pairFlags) split(series []jartest.Series, targets []jartest.Target, scatter *curve.Scatter) ([]jartest.Series, []surface.Result, error) {
	if err := f.terms.Check(series); err != nil {
		return nil, nil, err
	}
	catalogue := product.Default()
	if f.alkali != nil {
		p, err := catalogue.Find(f.alkali.Chemical)
		if err != nil {
			return nil, nil, err
		}
		if f.terms.Alkali, err = pair.NewAlkali(p, f.alkali.Price, 0); err != nil {
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
		opt, notes := pair.Options(s, f.terms, catalogue)
		opt.Scatter = scatter
		r := surface.Analyse(s, targets, opt)
		if r.Outcome == curve.TooFewJars {
			single = append(single, s)
			continue
		}
		r.Notes.Add(notes...)
		r.Notes.Add(s.Notes...)
		surfaces = append(surfaces, r)
	}
	return single, surfaces, nil
}
