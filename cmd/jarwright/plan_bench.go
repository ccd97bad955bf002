package main

import (
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/jartest/surface"
)

// noDose is the answer that no dose can be recommended: exit code 3, not 1.
type noDose struct{ note.List }

func (n noDose) Unwrap() error { return n.List }

// benchDoses reads every bench sheet that the site's chemicals take a dose from.
// A sheet with two chemicals gives both of them theirs, as the pair it found.
func (e *env) benchDoses(s site.Site, siteFile string, g dosing.Given) (doses map[int]dosing.BenchDose, inputs []string, err error) {
	doses = map[int]dosing.BenchDose{}
	var errs, refused note.List
	today, err := e.today()
	if err != nil {
		return nil, nil, err
	}
	for i, c := range s.Chemicals {
		if !c.Bench.OK || c.Dose.OK {
			continue
		}
		file := beside(siteFile, c.Bench.V)
		inputs = append(inputs, file)
		d, err := e.benchDose(file, s, c, g, today)
		switch l := note.Of(err, "bench"); {
		case err == nil:
			doses[i] = d
		case l[0].Code == "no-dose":
			refused.Add(l...)
		default:
			errs = append(errs, pointedAt(err, c.Bench.At)...)
		}
	}
	if len(errs) > 0 {
		return nil, inputs, errs
	}
	if len(refused) > 0 {
		return nil, inputs, noDose{refused}
	}
	return doses, inputs, nil
}

// benchDose gets the dose of one chemical from its bench sheet.
func (e *env) benchDose(file string, s site.Site, c site.Chemical, g dosing.Given, today time.Time) (dosing.BenchDose, error) {
	targets, err := siteTargets(c)
	if err != nil {
		return dosing.BenchDose{}, err
	}
	all, notes, err := readBench(e, []string{file}, sheet.Options{Basis: c.Basis.V})
	if err != nil {
		return dosing.BenchDose{}, err
	}
	var asked pairFlags // so that a pair is chosen by what the site pays, for the animals that it keeps
	asked.fromSite(s, benchPrices(s, all))
	asked.terms.Ceilings = polymerCeilings(s, all, g, today)
	single, pairs, err := asked.split(all, targets, nil)
	if err != nil {
		return dosing.BenchDose{}, err
	}
	var found []dosing.BenchDose
	var names []string
	var refused note.List
	for _, p := range pairs {
		names = append(names, p.Series)
		if !asksFor(c, p.Series, p.Place) {
			continue
		}
		d, why, ok := pairDose(p, c)
		if !ok {
			refused.Add(why)
			continue
		}
		found = append(found, d)
	}
	for _, x := range single {
		names = append(names, x.Name)
		if !asksFor(c, x.Name, x.Place) {
			continue
		}
		r := curve.Analyse(x, targets, curve.Options{})
		if bad := r.Notes.Only(note.Error); len(bad) > 0 {
			return dosing.BenchDose{}, bad
		}
		if !r.HasPlanning {
			refused.Add(refusal(r, c))
			continue
		}
		found = append(found, curveDose(r))
	}
	switch {
	case len(found) == 1:
		for _, n := range notes {
			if n.Level == note.Caution {
				found[0].Notes.Add(n)
			}
		}
		return found[0], nil
	case len(found) > 1:
		return dosing.BenchDose{}, note.Fault("series-many", "%s has %d series that answer: %s", file, len(found), strings.Join(names, "; ")).
			At(c.Series.At).Do("name the one to plan from in the column series")
	case len(refused) > 0:
		return dosing.BenchDose{}, refused
	case c.Series.OK:
		return dosing.BenchDose{}, note.Fault("series-unknown", "%s has no series or sheet %q%s", file, c.Series.V, note.DidYouMean(c.Series.V, names)).
			At(c.Series.At).Do("name one of: %s", strings.Join(names, "; "))
	}
	return dosing.BenchDose{}, note.Fault("no-series", "no jar test was found in %s", file).At(c.Bench.At).Do("look at what was understood with: jarwright read %s", file)
}

// polymerCeilings lists the most of each polymer of the bench sheets that the
// animals of the site allow.
func polymerCeilings(s site.Site, series []jartest.Series, g dosing.Given, today time.Time) []pair.Ceiling {
	var out []pair.Ceiling
	seen := map[string]bool{}
	for _, x := range series {
		for _, b := range x.Chemicals {
			for _, c := range s.Chemicals {
				if seen[b.Name] || !sameChemical(c, b.Name) {
					continue
				}
				seen[b.Name] = true
				if most, why, ok := dosing.PolymerCeiling(s, c, b.Basis, g, today); ok {
					out = append(out, pair.Ceiling{Chemical: b.Name, Most: most, Why: why})
				}
			}
		}
	}
	return out
}

// siteTargets parses the target of a chemical; several are parted by semicolons.
func siteTargets(c site.Chemical) ([]jartest.Target, error) {
	var out []jartest.Target
	for _, s := range strings.Split(c.Target.V, ";") {
		if strings.TrimSpace(s) == "" {
			continue
		}
		t, err := jartest.ParseTarget(s)
		if err != nil {
			return nil, note.Of(err, "target")[0].At(c.Target.At)
		}
		out = append(out, t)
	}
	return out, nil
}

// asksFor reports whether a series is one that the chemical's row asks for.
func asksFor(c site.Chemical, series string, at note.Place) bool {
	return !c.Series.OK || strings.EqualFold(c.Series.V, series) || strings.EqualFold(c.Series.V, at.Sheet)
}

// refusal says why a bench sheet gives no dose.
func refusal(r curve.Result, c site.Chemical) note.Note {
	n := note.Fault("no-dose", "%s: the bench sheet gives no dose (%s)", c.Name.V, strings.ReplaceAll(string(r.Outcome), "-", " ")).At(r.Place).
		Do(`see "jarwright fit %s" for why and what to test next, or state a dose`, r.Place.File)
	for _, x := range r.Notes {
		if x.Level >= note.Caution {
			n.Message += ": " + x.Message
			break
		}
	}
	return n
}

// curveDose turns the answer of a series into a dose to plan with. Its low end is
// that of the lowest effective dose; its high end never below the planning dose.
func curveDose(r curve.Result) dosing.BenchDose {
	d := dosing.BenchDose{Dose: r.Planning, Quantile: r.Quantile, Source: "from the bench sheet " + r.Place.File}
	if r.Series != "" {
		d.Source += ", " + r.Series
	}
	if r.Rule != "" {
		d.Source += " (" + r.Rule + ")"
	}
	if r.Effective.HasLow {
		d.Low = r.Effective.Low
	}
	if r.Effective.HasHigh {
		d.High = max(r.Effective.High, quantity.Concentration(r.Planning.Concentration))
	}
	for _, n := range r.Notes {
		if n.Level == note.Caution {
			d.Notes.Add(n)
		}
	}
	return d
}

// pairDose gives a chemical its part of the pair that a sheet of two chemicals
// answers with. The chemical is found by its name or its product's.
func pairDose(r surface.Result, c site.Chemical) (dosing.BenchDose, note.Note, bool) {
	if !r.HasPlanning {
		return dosing.BenchDose{}, note.Fault("no-dose", "%s: the bench sheet of two chemicals gives no pair (%s)", c.Name.V, strings.ReplaceAll(string(r.Outcome), "-", " ")).At(r.Place).
			Do(`see "jarwright fit %s" for why and what to test next, or state a dose`, r.Place.File), false
	}
	for i, f := range []surface.Factor{r.First, r.Second} {
		if f.PH || !sameChemical(c, f.Chemical.Name) {
			continue
		}
		amount := r.Planning.Pair.First
		if i == 1 {
			amount = r.Planning.Pair.Second
		}
		d := dosing.BenchDose{Dose: quantity.Dose{Concentration: quantity.Concentration(amount), Basis: f.Chemical.Basis},
			Source: "pair from the bench sheet " + r.Place.File + " (" + r.Rule + ")"}
		if i == 0 { // once for both
			for _, n := range r.Notes {
				if n.Level == note.Caution || n.Code == "cost-holds" {
					d.Notes.Add(n)
				}
			}
		}
		return d, note.Note{}, true
	}
	return dosing.BenchDose{}, note.Fault("chemical-not-in-bench", "%s tests %s and %s, not %q", r.Place.File, r.First.Name, r.Second.Name, c.Name.V).At(c.Name.At).
		Do("give it the name that the bench sheet uses"), false
}

// benchPrices lists the site's prices of the chemicals that bench sheets have,
// under the names that the sheets use.
func benchPrices(s site.Site, series []jartest.Series) []pair.Price {
	out := sitePrices(s, series)
	for _, x := range series {
		for _, b := range x.Chemicals {
			for _, c := range s.Chemicals {
				for _, p := range s.Prices {
					if sameChemical(c, b.Name) && strings.EqualFold(p.Chemical.V, c.Name.V) && !pair.Named(p.Chemical.V, b.Name) {
						out = append(out, pair.Price{Chemical: b.Name, Price: perKg(p)})
					}
				}
			}
		}
	}
	return out
}

// perKg is a site's price by the kg where the pack says how; else as it stands.
func perKg(p site.Price) quantity.Price {
	if q, err := p.Price.V.PerKg(0, p.Pack.V); err == nil {
		return q
	}
	return p.Price.V
}

// sameChemical reports whether a name of a bench sheet means the site's chemical:
// its own name, its product's, or another product name that it goes by.
func sameChemical(c site.Chemical, name string) bool {
	if strings.EqualFold(c.Name.V, name) || strings.EqualFold(c.Product.V, name) {
		return true
	}
	catalogue := product.Default()
	id := c.Product.V
	if id == "" {
		id = c.Name.V
	}
	own, err := catalogue.Find(id)
	if err != nil {
		return false
	}
	other, err := catalogue.Find(name)
	return err == nil && (other.ID == own.ID || other.Group == own.Group && other.Charge == own.Charge && other.Metal() == own.Metal())
}
