package main

import (
	"slices"
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
	"jarwright/jartest/sheet"
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
		Short: "Chemicals side by side: cost, solids, residual",
		Long: `Compares jar tests on the same water: alum, ferric, polyaluminium chloride,
polymers, pairs. Each series gives its dose for the same target; each dose its cost
per 1000 m3 all in (chemical, freight, alkali, solids, make-up water, energy), the alkalinity that it uses,
the solids that it makes and the metal that it leaves. Series whose cost ranges
overlap cannot be told apart on these data, and the answer says so.

A range is what the doses may cost by the bench alone, with 90 % confidence. Those of
plan and budget hold in eight days or months of ten, flow and solids in doubt too.

Prices come from --price, the site (--site) or the bench sheet, in this order.

Exit code 3 means: done, and no series gives a dose that can be recommended.`,
		Example: `  jarwright compare tuesday.xlsx --target "turbidity <= 5 NTU" --price "alum=0.42 EUR/kg" --price "ferric=0.36 EUR/kg"
  jarwright compare alum.xlsx ferric.csv --target "turbidity <= 5 NTU" --site site.xlsx
  jarwright compare tuesday.xlsx --target "turbidity <= 5 NTU" --site site.xlsx --disposal "30 EUR/m3" --dry-solids "2 %"`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error { return f.run(e, files) },
	}
	f.add(c)
	c.Flags().StringVar(&f.site, "site", "", "site workbook or site.yaml with prices, alkalinity and disposal")
	repeated(c, &f.facts.Freight, "freight", "CHEMICAL=PRICE", `delivery charge per kg of product, such as "alum=0.05 EUR/kg" (may repeat)`,
		chemicalPrice("alum=0.05 EUR/kg"))
	return c
}

func (f *compareFlags) run(e *env, files []string) error {
	more, err := f.takeSite(e)
	if err != nil {
		return err
	}
	a, err := f.read(e, files)
	if err != nil {
		return err
	}
	inputs := slices.Concat(files, more)
	a.notes = append(a.notes, dosing.InFull(a.series, f.facts.Site, product.Default())...)
	f.pairs.terms = f.pairs.terms.Renamed(a.series, f.facts.Site, product.Default())
	facts, terms := f.facts, f.pairs.terms
	facts.Freight = pair.Terms{Prices: facts.Freight}.Renamed(a.series, facts.Site, product.Default()).Prices
	facts.Catalogue, facts.Prices, facts.Keep = product.Default(), terms.Prices, terms.AlkalinityLeft
	facts.Raw, facts.Alkali, facts.Acid, facts.Disposal = terms.Raw, f.pairs.alkali, f.pairs.acid, terms.Disposal
	if err := (pair.Terms{Prices: facts.Freight}).Check(a.series); err != nil {
		return err
	}
	if facts.Site != nil { // so that pairs are chosen by the site's prices, and its animals bound them as they bound a plan
		given := dosing.Given{Catalogue: facts.Catalogue, Log: facts.Log}
		f.pairs.terms.Ceilings = append(f.pairs.terms.Ceilings, polymerCeilings(*facts.Site, a.series, given, facts.Today)...)
		f.pairs.fromSite(&pair.Buyer{Site: *facts.Site, Catalogue: facts.Catalogue, Log: facts.Log, Month: facts.Month}, chemicalsOf(a.series))
	}
	c, results, notes, err := f.compared(e, a, facts)
	if err != nil {
		return err
	}
	r := templates.Compare{Comparison: c, Target: targetWords(results, a.targets), Goal: commonTargets(results, a.targets), More: slices.Concat(a.notes, notes, choosing(a.series, facts.Site, facts.Catalogue),
		oddPrices(a.series, facts))}
	if facts.Site != nil {
		r.Site = facts.Site.Place.Name.V
	}
	if err := e.emit(r, inputs...); err != nil {
		return err
	}
	if !slices.ContainsFunc(c.Rows, func(x compare.Row) bool { return !x.Refused && !x.Stopped }) {
		e.noAnswer()
	}
	return nil
}

// takeSite reads the site that --site names, if it does, and gives the files read.
func (f *compareFlags) takeSite(e *env) ([]string, error) {
	if f.site == "" {
		return nil, nil
	}
	s, name, err := e.openSite([]string{f.site})
	if err != nil {
		return nil, err
	}
	log, more, err := e.siteLog(s, name)
	if err != nil {
		return nil, err
	}
	s, g, err := e.inSeason(s, dosing.Given{Catalogue: product.Default(), Log: log})
	if err != nil {
		return nil, err
	}
	f.facts.Site, f.facts.Log, f.facts.Today, f.facts.Month = &s, g.Log, e.today(), e.month()
	counts := countsOf(s, nil)
	f.bench.Counts = func(name string) sheet.SiteBasis {
		own := counts(name)
		own.Told = true
		return own
	}
	return append([]string{name}, more...), nil
}

// compared fits the series and sets them side by side.
func (f *compareFlags) compared(e *env, a asked, facts compare.Facts) (compare.Comparison, []curve.Result, note.List, error) {
	defer e.working("fitting %d series", len(a.series))()
	a.opt.SureOf = siteSure(facts.Site)
	single, surfaces, err := f.pairs.split(e.stopped, a.series, a.targets, a.opt)
	if err != nil {
		return compare.Comparison{}, nil, nil, err
	}
	a.opt.Done = func() bool { return e.stopped() == nil }
	results := curve.AnalyseAll(single, a.targets, a.opt)
	if err := e.stopped(); err != nil {
		return compare.Comparison{}, nil, nil, err
	}
	options, water, notes, err := compare.Gather(a.series, results, surfaces, facts)
	if err != nil {
		return compare.Comparison{}, nil, nil, err
	}
	c, err := compare.Make(options, water, 0)
	return c, results, notes, err
}

// siteSure is how sure a dose must be by what a site says of the chemicals that a series varies; nil where there is no site.
func siteSure(s *site.Site) func(jartest.Series) quantity.Fraction {
	if s == nil {
		return nil
	}
	return func(x jartest.Series) (sure quantity.Fraction) {
		for _, i := range x.Factors() {
			if row := dosing.ChemicalRow(s, x.Chemicals[i].Name, product.Default()); row != nil {
				sure = max(sure, row.Sure.V)
			}
		}
		return sure
	}
}

// choosing is what the cautions say of choosing between the chemicals of the series, each
// the product that the site has under its name, if it has one.
func choosing(series []jartest.Series, s *site.Site, catalogue product.Catalogue) note.List {
	var list []product.Product
	for _, c := range chemicalsOf(series) {
		if p, err := productOf(c, s, catalogue); err == nil {
			list = append(list, p)
		}
	}
	return caution.Choosing(list)
}

// productOf is the product of a series' chemical: the one that the site has under its name, if it has one.
func productOf(c jartest.Chemical, s *site.Site, catalogue product.Catalogue) (product.Product, error) {
	if row := dosing.ChemicalRow(s, c.Name, catalogue); row != nil {
		if own, _, err := dosing.ProductOf(*row, c.Basis, catalogue); err == nil {
			return own, nil
		}
	}
	return caution.ProductFor(c, catalogue)
}

// oddPrices asks about the prices that chemicals are compared by, as a plan does about those of its site.
func oddPrices(series []jartest.Series, facts compare.Facts) (out note.List) {
	asked := map[string]bool{}
	if p := facts.Disposal.Price; p.Currency != "" { // of the command line: that of a site is asked about with it
		out.Add(dosing.AskedOfDisposal(p)...)
	}
	for _, c := range chemicalsOf(series) {
		p, err := productOf(c, facts.Site, facts.Catalogue)
		for _, price := range facts.Prices {
			if err != nil || asked[c.Name] || !dosing.Named(price.Chemical, c.Name) {
				continue
			}
			asked[c.Name] = true
			out.Add(dosing.AskedOfPrice(c.Name, p, price.Price, 0)...)
		}
	}
	return out
}

// commonTargets are the targets given, or the sheets' own where all agree; none where they do not.
func commonTargets(results []curve.Result, given []jartest.Target) []jartest.Target {
	if len(given) > 0 || len(results) == 0 {
		return given
	}
	own := results[0].Targets
	if slices.ContainsFunc(results, func(r curve.Result) bool { return inTheirForm(r.Targets) != inTheirForm(own) }) {
		return nil
	}
	return own
}

// inTheirForm is targets in the form that --target reads.
func inTheirForm(l []jartest.Target) string {
	var s []string
	for _, t := range l {
		s = append(s, t.String())
	}
	return strings.Join(s, " and ")
}

// targetWords names the targets that all have.
func targetWords(results []curve.Result, given []jartest.Target) string {
	all := commonTargets(results, given)
	if len(all) == 0 && len(results) > 0 && len(results[0].Targets) > 0 {
		return "each sheet's own target"
	}
	return inTheirForm(all)
}
