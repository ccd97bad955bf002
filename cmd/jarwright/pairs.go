package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// pairFlags are what a user asks of two chemicals together.
type pairFlags struct{ terms pair.Terms }

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
		c, err := quantity.ParseConcentration(text)
		f.terms.Ceilings = append(f.terms.Ceilings, pair.Ceiling{Chemical: strings.TrimSpace(name), Most: c})
		return err
	})
	add("alkalinity-left", "ALKALINITY", `the least alkalinity that a pair must leave, such as "50 mg/L CaCO3"`, func(s string) (err error) {
		f.terms.AlkalinityLeft, err = quantity.ParseAlkalinity(s)
		return err
	})
	add("ph-least", "PH", `the least pH that a pair must leave, computed from the raw water, such as "6.5"`, func(s string) (err error) {
		f.terms.PHLeast, err = quantity.ParsePH(s)
		return err
	})
}

// split answers the series of two factors and gives back those of one. A series
// of two with too few jars for a surface is answered along its first chemical.
func (f *pairFlags) split(series []jartest.Series, targets []jartest.Target, scatter *curve.Scatter) ([]jartest.Series, []surface.Result, error) {
	if err := f.terms.Check(series); err != nil {
		return nil, nil, err
	}
	catalogue := product.Default()
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
