package main

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/compare"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// compareFlags are those of fit, and what the cost rests on.
type compareFlags struct {
	fitFlags
	site  string
	facts compare.Facts
}

func newCompare(e *env) *cobra.Command {
	var f compareFlags
	c := &cobra.Command{
		Use:   "compare FILE… --target T",
		Short: "Chemicals and pairs side by side by cost, alkalinity, solids, residual",
		Long: `Compares jar tests on the same water: alum, ferric, polyaluminium chloride,
polymers, pairs. Each series gives its dose for the same target; each dose its cost
per 1000 m3 all in (chemical, freight, alkali, solids, make-up water, energy), the alkalinity that it uses,
the solids that it makes and the metal that it leaves. Series whose cost ranges
overlap cannot be told apart on these data, and the answer says so.

Prices come from --price, a site workbook (--site) or the bench sheet, in this order.

Exit code 3 means: done, and no series gives a dose that can be recommended.`,
		Example: `  jarwright compare tuesday.xlsx --target "turbidity <= 5 NTU" --price "alum=0.42 EUR/kg" --price "ferric=0.36 EUR/kg"
  jarwright compare alum.xlsx ferric.csv --target "turbidity <= 5 NTU" --site site.xlsx
  jarwright compare tuesday.xlsx --target "turbidity <= 5 NTU" --site site.xlsx --disposal "30 EUR/m3" --dry-solids "2 %"`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error { return f.run(e, files) },
	}
	f.add(c)
	p := c.Flags()
	p.StringVar(&f.site, "site", "", "site workbook or site.yaml with prices, alkalinity and disposal")
	add := func(name, kind, usage string, set func(string) error) {
		p.Var(&benchFlag{kind: kind, set: set}, name, usage)
	}
	add("freight", "CHEMICAL=PRICE", `delivery charge per kg of product, such as "alum=0.05 EUR/kg" (may repeat)`, func(s string) error {
		q, err := chemicalPrice(s, "alum=0.05 EUR/kg")
		f.facts.Freight = append(f.facts.Freight, q)
		return err
	})
	return c
}

// chemicalPrice reads "alum=0.42 EUR/kg".
func chemicalPrice(s, example string) (pair.Price, error) {
	name, text, ok := strings.Cut(s, "=")
	if name = strings.TrimSpace(name); !ok || name == "" {
		return pair.Price{}, errors.New(`write it like "` + example + `"`)
	}
	p, err := quantity.ParsePrice(text)
	return pair.Price{Chemical: name, Price: p}, err
}

func (f *compareFlags) run(e *env, files []string) error {
	targets, err := f.targetsGiven()
	if err != nil {
		return err
	}
	opt, err := f.options()
	if err != nil {
		return err
	}
	series, notes, err := readBench(e, files, f.bench)
	if err != nil {
		return err
	}
	if len(series) == 0 {
		return note.Fault("no-series", "no jar test was found").At(note.Place{File: files[0]}).
			Do("look at what was understood with: jarwright read %s", files[0])
	}
	inputs := files
	if f.site != "" {
		s, name, err := e.openSite(f.site)
		if err != nil {
			return err
		}
		f.facts.Site = &s
		inputs = append(append([]string(nil), files...), name)
		log, more, err := e.siteLog(s, name)
		if err != nil {
			return err
		}
		inputs = append(inputs, more...)
		if f.facts.Today, err = e.today(); err != nil {
			return err
		}
		f.facts.Log = log
		// the animals of the site bound a pair as they bound a plan
		f.pairs.terms.Ceilings = append(f.pairs.terms.Ceilings, polymerCeilings(s, series, dosing.Given{Catalogue: product.Default(), Log: log}, f.facts.Today)...)
	}
	facts := f.facts
	terms := f.pairs.terms
	facts.Catalogue, facts.Prices, facts.Keep = product.Default(), terms.Prices, terms.AlkalinityLeft
	facts.Raw, facts.Alkali, facts.Disposal = terms.Raw, f.pairs.alkali, terms.Disposal
	if err := (pair.Terms{Prices: facts.Freight}).Check(series); err != nil {
		return err
	}
	if facts.Site != nil { // so that pairs are chosen by the site's prices
		f.pairs.fromSite(*facts.Site, sitePrices(*facts.Site, series))
	}
	done := e.working("fitting %d series", len(series))
	single, surfaces, err := f.pairs.split(series, targets, opt.Scatter)
	if err != nil {
		done()
		return err
	}
	results := curve.AnalyseAll(single, targets, opt)
	done()
	options, water, more, err := compare.Gather(series, results, surfaces, facts)
	if err != nil {
		return err
	}
	c, err := compare.Make(options, water, 0)
	if err != nil {
		return err
	}
	var list []product.Product
	for _, x := range series {
		for _, chemical := range x.Chemicals {
			if p, err := caution.ProductFor(chemical, facts.Catalogue); err == nil {
				list = append(list, p)
			}
		}
	}
	more = append(more, caution.Choosing(list)...)
	r := templates.Compare{Comparison: c, Target: targetWords(results, targets), More: append(notes, more...)}
	if err := e.emit(r, inputs...); err != nil {
		return err
	}
	for _, x := range c.Rows {
		if !x.Refused && !x.Stopped {
			return nil
		}
	}
	e.noAnswer()
	return nil
}

// sitePrices lists the site's prices of chemicals that the series have, under the series' names.
func sitePrices(s site.Site, series []jartest.Series) []pair.Price {
	var out []pair.Price
	for _, x := range series {
		for _, c := range x.Chemicals {
			for _, p := range s.Prices {
				if pair.Named(p.Chemical.V, c.Name) {
					out = append(out, pair.Price{Chemical: c.Name, Price: perKg(p)})
				}
			}
		}
	}
	return out
}

// targetWords names the targets, those given or the sheets' own where all agree.
func targetWords(results []curve.Result, given []jartest.Target) string {
	words := func(l []jartest.Target) string {
		var s []string
		for _, t := range l {
			s = append(s, t.String())
		}
		return strings.Join(s, " and ")
	}
	if len(given) > 0 {
		return words(given)
	}
	all := ""
	for i, r := range results {
		w := words(r.Targets)
		if i > 0 && w != all {
			return "each sheet's own target"
		}
		all = w
	}
	return all
}
