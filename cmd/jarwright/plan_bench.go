package main

import (
	"cmp"
	"errors"
	"slices"
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
	for i, c := range s.Chemicals {
		if !c.Bench.OK {
			continue
		}
		file := e.benchFile(siteFile, c)
		if c.Dose.OK || c.Fed.OK {
			if g.Jars[i] = e.jarsBeside(file, s, c); g.Jars[i] != nil {
				inputs = append(inputs, file)
			}
			continue
		}
		var d dosing.BenchDose
		if _, many, _ := e.folder(file); many {
			var tests []string
			d, tests, err = e.pastDose(file, s, c)
			inputs = append(inputs, tests...)
		} else {
			inputs = append(inputs, file)
			d, err = e.benchDose(file, s, c, g)
		}
		switch l := note.Of(err, "bench"); {
		case err == nil:
			doses[i], g.Jars[i] = d, d.Jars
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

// jarsBeside are the jars of the sheet that a chemical with a dose of its own names:
// they judge the dose, and where they cannot be read nothing is said of them.
func (e *env) jarsBeside(file string, s site.Site, c site.Chemical) *dosing.Jars {
	all, _, err := readBench(e, []string{file}, sheet.Options{Counts: countsOf(s, &c)})
	if err != nil {
		return nil
	}
	var found []*dosing.Jars
	for _, x := range all {
		if c.Series.OK && !strings.EqualFold(c.Series.V, x.Name) && !strings.EqualFold(c.Series.V, x.Place.Sheet) {
			continue
		}
		if j := jarsOf(x, c); j != nil {
			found = append(found, j)
		}
	}
	if len(found) != 1 {
		return nil
	}
	return found[0]
}

// countsOf is what the site says that doses count of a chemical: of what is no chemical of the
// site, what it says of the one that names the bench sheet, where there is such a one.
func countsOf(s site.Site, named *site.Chemical) func(string) sheet.SiteBasis {
	return func(name string) sheet.SiteBasis {
		row, lent := named, false
		if named == nil || !dosing.SameChemical(*named, name, product.Default()) {
			own := dosing.ChemicalRow(&s, name, product.Default())
			row, lent = cmp.Or(own, named), own == nil
		}
		if row == nil {
			return sheet.SiteBasis{}
		}
		return sheet.SiteBasis{Known: row.Basis, From: "the site", FromSheet: row.Bench.OK && !row.Dose.OK && !row.Fed.OK, Lent: lent}
	}
}

// jarsOf are the jars of a series that tell of a site's chemical; nil where none do.
func jarsOf(s jartest.Series, c site.Chemical) *dosing.Jars {
	for i, x := range s.Chemicals {
		if len(s.Chemicals) == 1 && !dosing.Another(c, x, product.Default()) || dosing.SameChemical(c, x.Name, product.Default()) {
			j := dosing.JarsOf(s, i, c.Bench.At)
			if j != nil {
				j.Targets = jarTargets(s, c)
			}
			return j
		}
	}
	return nil
}

// jarTargets are the targets of a chemical at the site, else those of its sheet. What is wrong with one is said
// where the dose is asked for.
func jarTargets(s jartest.Series, c site.Chemical) []jartest.Target {
	if t, err := siteTargets(c); err == nil && len(t) > 0 {
		return t
	}
	return s.Targets
}

// benchDose gets the dose of one chemical from its bench sheet.
func (e *env) benchDose(file string, s site.Site, c site.Chemical, g dosing.Given) (dosing.BenchDose, error) {
	targets, err := siteTargets(c)
	if err != nil {
		return dosing.BenchDose{}, err
	}
	all, notes, err := readBench(e, []string{file}, sheet.Options{Counts: countsOf(s, &c)})
	if err != nil {
		return dosing.BenchDose{}, err
	}
	others := slices.DeleteFunc(chemicalsOf(all), func(x jartest.Chemical) bool { return dosing.SameChemical(c, x.Name, product.Default()) })
	if c.Bench.At.Cell == sheetFlag && !slices.ContainsFunc(all, func(x jartest.Series) bool {
		return strings.EqualFold(c.Series.V, x.Name) || strings.EqualFold(c.Series.V, x.Place.Sheet)
	}) {
		c.Series.OK = false // the site's is of its own sheet
	}
	which := append(dosing.WhichChemical(&s, others, product.Default()), dosing.WhoseSheet(s, c, chemicalsOf(all), product.Default())...)
	if len(which) > 0 {
		return dosing.BenchDose{}, which.Err()
	}
	var asked pairFlags // so that a pair is chosen by what the site pays, for the animals that it keeps
	asked.fromSite(&pair.Buyer{Site: s, Catalogue: product.Default(), Log: g.Log, Month: e.month()}, chemicalsOf(all))
	asked.terms.Ceilings = polymerCeilings(s, all, g, e.today())
	asked.setsBy(c)
	single, pairs, err := asked.split(e.stopped, all, targets, curve.Options{SureOf: siteSure(&s)})
	if err != nil {
		return dosing.BenchDose{}, err
	}
	var found []dosing.BenchDose
	var names []string
	var refused note.List
	for _, a := range benchAnswers(single, pairs, targets, c, s.Chemicals, surface.Join(all)) {
		names = append(names, a.series)
		if c.Series.OK && !strings.EqualFold(c.Series.V, a.series) && !strings.EqualFold(c.Series.V, a.place.Sheet) {
			continue
		}
		d, err := a.dose()
		none := noDose{}
		switch {
		case err == nil:
			found = append(found, d)
		case errors.As(err, &none):
			refused.Add(none.List...)
		default:
			return dosing.BenchDose{}, err
		}
	}
	switch {
	case len(found) == 1:
		found[0].Notes.Add(cautions(notes)...)
		return found[0], nil
	case len(found) > 1:
		return dosing.BenchDose{}, note.Fault("series-many", "%s has %d series that answer: %s", file, len(found), strings.Join(names, "; ")).
			At(c.Series.At).Do("name the one to plan from in the column series")
	case len(refused) > 0:
		if own := slices.DeleteFunc(slices.Clone(refused), func(n note.Note) bool { return n.Code == "chemical-not-in-bench" }); len(own) > 0 {
			return dosing.BenchDose{}, own // what the jars of the chemical itself say
		}
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
	for _, b := range chemicalsOf(series) {
		for _, c := range s.Chemicals {
			if seen[b.Name] || !dosing.SameChemical(c, b.Name, product.Default()) {
				continue
			}
			seen[b.Name] = true
			if most, why, ok := dosing.PolymerCeiling(s, c, b.Basis, g, today); ok {
				out = append(out, pair.Ceiling{Chemical: b.Name, Most: most, Why: why})
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
		t, err := jartest.ParseTargets(s)
		if err != nil {
			return nil, note.Of(err, "target")[0].At(c.Target.At)
		}
		out = append(out, t...)
	}
	return out, nil
}

// benchAnswer is what a series of a bench sheet, or a pair of chemicals, answers a
// chemical with: a dose, or noDose with the reason.
type benchAnswer struct {
	series string
	place  note.Place
	dose   func() (dosing.BenchDose, error)
}

// benchAnswers lists them, pairs first.
func benchAnswers(single []jartest.Series, pairs []surface.Result, targets []jartest.Target, c site.Chemical, all []site.Chemical,
	joined []jartest.Series) []benchAnswer {
	var out []benchAnswer
	for _, p := range pairs {
		out = append(out, benchAnswer{p.Series, p.Place, func() (dosing.BenchDose, error) {
			d, err := pairDose(p, c, all)
			if i := slices.IndexFunc(joined, func(x jartest.Series) bool { return x.Name == p.Series && x.Place == p.Place }); i >= 0 && err == nil {
				d.Jars = jarsOf(joined[i], c)
			}
			return d, err
		}})
	}
	for _, x := range single {
		out = append(out, benchAnswer{x.Name, x.Place, func() (dosing.BenchDose, error) {
			if n, is := another(x, c); is {
				return dosing.BenchDose{}, noDose{note.List{n}}
			}
			d, err := curveDose(curve.Analyse(x, targets, curve.Options{Sure: c.Sure.V}), c)
			d.Jars = jarsOf(x, c)
			return d, err
		}})
	}
	return out
}

// another refuses a series whose jars were dosed with another chemical than the site's, and with nothing that is the site's.
func another(x jartest.Series, c site.Chemical) (n note.Note, is bool) {
	if len(x.Chemicals) == 0 || slices.ContainsFunc(x.Chemicals, func(j jartest.Chemical) bool { return !dosing.Another(c, j, product.Default()) }) {
		return n, false
	}
	return note.Fault("chemical-not-in-bench", "%s tests %s, and the site feeds %s: the dose of one is not that of the other", x.Place.File, x.Chemicals[0].Name, c.Name.V).
		At(c.Name.At).Do("test %s itself; where it is the same goods, give it the name that the bench sheet uses, or name its product", c.Name.V), true
}

// cautions are the notes that a plan repeats.
func cautions(l note.List) note.List {
	return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool { return n.Level != note.Caution })
}

// refusal says that a bench sheet gives no dose.
func refusal(c site.Chemical, words string, outcome curve.Outcome, at note.Place) note.Note {
	return note.Fault("no-dose", "%s: the bench sheet %s (%s)", c.Name.V, words, strings.ReplaceAll(string(outcome), "-", " ")).At(at).
		Do(`see "jarwright fit %s" for why and what to test next, or state a dose`, at.File)
}

// curveDose turns the answer of a series into a dose to plan with. Its low end is
// that of the lowest effective dose; its high end never below the planning dose.
func curveDose(r curve.Result, c site.Chemical) (dosing.BenchDose, error) {
	if bad := r.Notes.Only(note.Error); len(bad) > 0 {
		return dosing.BenchDose{}, bad
	}
	if !r.HasPlanning {
		n := refusal(c, "gives no dose", r.Outcome, r.Place)
		if i := slices.IndexFunc(r.Notes, func(x note.Note) bool { return x.Level >= note.Caution }); i >= 0 {
			n.Message += ": " + r.Notes[i].Message
		}
		return dosing.BenchDose{}, noDose{note.List{n}}
	}
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
		d.High = max(r.Effective.High, r.Planning.Concentration)
	}
	d.Notes.Add(cautions(r.Notes)...)
	return d, nil
}

// pairDose gives a chemical its part of the pair that a sheet of two chemicals
// answers with. The chemical is found by its name or its product's.
func pairDose(r surface.Result, c site.Chemical, all []site.Chemical) (dosing.BenchDose, error) {
	if !r.HasPlanning {
		return dosing.BenchDose{}, noDose{note.List{refusal(c, "of two chemicals gives no pair", r.Outcome, r.Place)}}
	}
	for i, f := range []surface.Factor{r.First, r.Second} {
		if f.PH || !dosing.SameChemical(c, f.Chemical.Name, product.Default()) {
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
			d.Notes.Add(undosed(r, all)...)
		}
		return d, nil
	}
	if d, ok := besideDose(r, c); ok {
		return d, nil
	}
	why := note.Fault("chemical-not-in-bench", "%s tests %s and %s, not %q", r.Place.File, r.First.Name, r.Second.Name, c.Name.V)
	return dosing.BenchDose{}, noDose{note.List{why.At(c.Name.At).Do("give it the name that the bench sheet uses")}}
}

// chemicalsOf lists the chemicals of the series, one after the other.
func chemicalsOf(series []jartest.Series) (out []jartest.Chemical) {
	for _, x := range series {
		out = append(out, x.Chemicals...)
	}
	return out
}
