package main

import (
	"cmp"
	"fmt"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/history"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// pastDose gets the dose of a chemical from past tests, for the raw water that the site has today: that which is enough
// for as many such waters as the chemical asks. It is refused as track refuses it.
func (e *env) pastDose(folder string, s site.Site, c site.Chemical) (d dosing.BenchDose, files []string, err error) {
	w := history.Water{}
	if !s.Water.Turbidity.OK || s.Water.Turbidity.V <= 0 {
		return d, nil, s.Water.Turbidity.Missing("the raw water's turbidity", fmt.Sprintf("past tests (%s) tell a dose by it: fill it in under Water, or give --raw", c.Bench.V))
	}
	w[jartest.Turbidity] = float64(s.Water.Turbidity.V)
	if s.Water.Temperature.OK {
		w[jartest.TemperatureKey] = float64(s.Water.Temperature.V)
	}
	if s.Water.Alkalinity.OK {
		w[jartest.AlkalinityKey] = float64(s.Water.Alkalinity.V)
	}
	targets, err := siteTargets(c)
	if err != nil {
		return d, nil, err
	}
	r, _, files, err := e.pastTests(fitFlags{targets: targets, bench: sheet.Options{Counts: countsOf(s, &c)}}, []string{folder})
	if err != nil {
		return d, files, err
	}
	r.Groups = slices.DeleteFunc(r.Groups, func(g history.Group) bool { return !dosing.SameChemical(c, g.Chemical.Name, product.Default()) })
	r.Water, r.Sure = w, cmp.Or(c.Sure.V, history.Confidence)
	r.Predict()
	switch {
	case len(r.Groups) == 0:
		return d, files, note.Fault("no-series", "no past test in %s is of %s", c.Bench.V, c.Name.V).At(c.Bench.At).Do("give it the name that the bench sheets use")
	case len(r.Predictions) > 1:
		return d, files, note.Fault("series-many", "past tests in %s give %s more than one law: for other targets, on other bases or beside other chemicals", c.Bench.V, c.Name.V).
			At(c.Bench.At).Do("name the target in this row, and keep tests of one kind in the folder")
	case !r.Planned():
		return d, files, noDose{note.List{noPast(r, c)}}
	}
	p, g := r.Predictions[0], r.Groups[r.Predictions[0].Group]
	d = dosing.BenchDose{Dose: quantity.Dose{Concentration: p.Planning.V, Basis: g.Chemical.Basis}, Low: p.Low, High: max(p.High, p.Planning.V), Quantile: p.Quantile,
		Source: fmt.Sprintf("from %d past tests in %s, for water of %s (enough for %s of such waters)", p.Model.Points, c.Bench.V, s.Water.Turbidity.V, p.Sure)}
	d.Notes.Add(cautions(p.Notes)...)
	d.Notes.Add(otherWaters(s, g, r.Sure, p.Planning.V)...)
	if len(r.Skipped) > 0 {
		d.Notes.Add(note.New(note.Caution, "tests-skipped", "%d of %d files of past tests were skipped", len(r.Skipped), r.Files).At(c.Bench.At).Do("see why with: jarwright track %s", folder))
	}
	return d, files, nil
}

// noPast says why past tests give no dose.
func noPast(r templates.TrackReport, c site.Chemical) note.Note {
	why := note.Say("%s", r.Groups[0].Refused)
	if len(r.Predictions) > 0 {
		why = r.Reach(r.Predictions[0])
	}
	return note.Fault("no-dose", "%s: past tests give no dose: %s", c.Name.V, why).At(c.Bench.At).Do("run a jar test of today's water, or state a dose")
}

// otherWaters tells of dirtier water that the site knows of, which this dose is not for.
func otherWaters(s site.Site, g history.Group, sure quantity.Fraction, dose quantity.Concentration) (l note.List) {
	for _, x := range []struct {
		what string
		ntu  quantity.Known[quantity.Cloudiness]
	}{{"in a storm", s.Water.StormTurbidity}} {
		if !x.ntu.OK || x.ntu.V <= s.Water.Turbidity.V {
			continue
		}
		w := history.Water{jartest.Turbidity: float64(x.ntu.V)}
		switch p, ok := g.Predict(w, sure); {
		case !ok || !p.Planning.OK:
			l.Add(note.New(note.Caution, "storm-untested", "the dose is for water of %s; of %s, which comes %s, there is no past test", quantity.To(s.Water.Turbidity.V, 3), quantity.To(x.ntu.V, 3), x.what).
				At(x.ntu.At).Do("test such water when it comes"))
		case p.Planning.V > dose:
			l.Add(note.New(note.Caution, "storm-needs-more", "the dose is for water of %s; that of %s, which comes %s, needs %s by past tests", quantity.To(s.Water.Turbidity.V, 3), quantity.To(x.ntu.V, 3), x.what, quantity.To(p.Planning.V, 3)).
				At(x.ntu.At).Do(`on such a day plan with --raw`))
		}
	}
	return l
}
