package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/history"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// pastDose gets the dose of a chemical from past tests, for the raw water that the site has today, or for the tank that is
// cleared: that which is enough for as many such waters as the chemical asks. It is refused as track refuses it.
func (e *env) pastDose(folder string, s site.Site, c site.Chemical) (d dosing.BenchDose, files []string, err error) {
	targets, err := siteTargets(c)
	if err != nil {
		return d, nil, err
	}
	r, _, files, err := e.pastTests(fitFlags{targets: targets, bench: sheet.Options{Counts: countsOf(s, &c)}}, []string{folder})
	if err != nil {
		return d, files, err
	}
	r.Groups = slices.DeleteFunc(r.Groups, func(g history.Group) bool { return !dosing.SameChemical(c, g.Chemical.Name, product.Default()) })
	again := func(s site.Site) (dosing.BenchDose, error) { return e.pastDoseOf(r, folder, s, c) }
	if d, err = again(s); err == nil {
		d.Past.Again = again
	}
	return d, files, err
}

// rawOf is the turbidity by which past tests tell a dose: of the raw water, or of the tank that is cleared.
func (e *env) rawOf(s site.Site) (raw quantity.Known[quantity.Cloudiness], clearing bool) {
	if clearing = e.clearing || dosing.CleansTank(s); clearing {
		return dosing.TankTurbidity(s), true
	}
	return s.Water.Turbidity, false
}

// pastDoseOf is the dose that the past tests of a folder give a chemical in the water of a site.
func (e *env) pastDoseOf(r templates.TrackReport, folder string, s site.Site, c site.Chemical) (d dosing.BenchDose, err error) {
	w := history.Water{}
	raw, clearing := e.rawOf(s)
	if !raw.OK || raw.V <= 0 {
		return d, raw.Missing("the raw water's turbidity", fmt.Sprintf("past tests (%s) tell a dose by it: fill it in under Water, or give --raw", c.Bench.V))
	}
	w[jartest.Turbidity] = float64(raw.V)
	if s.Water.Temperature.OK {
		w[jartest.TemperatureKey] = float64(s.Water.Temperature.V)
	}
	if s.Water.Alkalinity.OK {
		w[jartest.AlkalinityKey] = float64(s.Water.Alkalinity.V)
	}
	r.Water, r.Sure = w, cmp.Or(c.Sure.V, history.Confidence)
	r.Predict()
	untold := quantity.Known[note.Note]{}
	if e.cardOnly && !r.Planned() && len(r.Predictions) == 1 {
		untold = quantity.Some(noPast(r, c, either(clearing, "the tank's", "today's")))
		r.Water = r.Predictions[0].Nearest()
		r.Predictions = nil
		r.Predict()
	}
	switch {
	case len(r.Groups) == 0 && slices.ContainsFunc(r.Skipped, otherBasis):
		return d, saidOnce(slices.DeleteFunc(slices.Clone(r.Skipped), func(n note.Note) bool { return !otherBasis(n) }))
	case len(r.Groups) == 0:
		return d, note.Fault("no-series", "no past test in %s is of %s", c.Bench.V, c.Name.V).At(c.Bench.At).Do("give it the name that the bench sheets use")
	case len(r.Predictions) > 1:
		return d, note.Fault("series-many", "past tests in %s give %s more than one law: for other targets, on other bases or beside other chemicals", c.Bench.V, c.Name.V).
			At(c.Bench.At).Do("name the target in this row, and keep tests of one kind in the folder")
	case !r.Planned():
		return d, noDose{note.List{noPast(r, c, either(clearing, "the tank's", "today's"))}}
	}
	p, g := r.Predictions[0], r.Groups[r.Predictions[0].Group]
	p.Age(month.DateOf(e.today()))
	d = dosing.BenchDose{Dose: quantity.Dose{Concentration: p.Planning.V, Basis: g.Chemical.Basis}, Low: p.Low, High: max(p.High, p.Planning.V), Quantile: p.Quantile,
		Source: fmt.Sprintf("from %d past tests in %s, for water of %s (enough for %s of such waters)", p.Model.Points, c.Bench.V, raw.V, p.Sure), Past: byPast(g, p.Prediction, raw.V, clearing)}
	if d.Past.Untold = untold; untold.OK {
		if slices.ContainsFunc(p.Model.Terms, func(k jartest.Key) bool { return p.Raw[k] != w[k] }) {
			d.Past.Classes = nil // they are for water that is like the tests' in all but its turbidity
		}
		return d, nil
	}
	d.Notes.Add(cautions(p.Notes)...)
	for _, k := range g.Model.V.Terms {
		if _, told := w[k]; !told {
			d.Notes.Add(note.New(note.Info, "reading-helps", "%s: the law of all past tests goes by %s too, which the site's water does not tell: the dose goes by turbidity alone", c.Name.V, k.Info().Label).
				At(c.Bench.At).Do("fill it in under Water"))
		}
	}
	if !clearing { // whose list begins with a jar test
		d.Notes.Add(note.New(note.Caution, "past-not-today", "%s: the dose is what past tests say of water of %s; today's water itself is not tested", c.Name.V, quantity.To(raw.V, 3)).
			At(c.Bench.At).Do("look at the water that it makes, and run a jar test of today's water as soon as you can"))
		d.Notes.Add(otherWaters(s, c, d.Past, p.Planning.V)...)
	}
	if len(r.Skipped) > 0 {
		d.Notes.Add(note.New(note.Caution, "tests-skipped", "%d of %d files of past tests were skipped", len(r.Skipped), r.Files).At(c.Bench.At).Do("see why with: jarwright track %s", folder))
	}
	return d, nil
}

// otherBasis is why a sheet was left out whose doses count something else than the site says.
func otherBasis(n note.Note) bool { return n.Code == "basis-contradicts" }

// rawUnfollowed says of a site in which no dose goes by past tests that today's raw water changes none.
func (e *env) rawUnfollowed(s site.Site, g dosing.Given) site.Site {
	var fixed []string
	for i, c := range s.Chemicals {
		if b, tested := g.Bench[i]; b.Past != nil {
			return s
		} else if tested || c.Dose.OK || c.Fed.OK {
			fixed = append(fixed, c.Name.V)
		}
	}
	if e.raw <= 0 || len(fixed) == 0 {
		return s
	}
	n := note.New(note.Caution, "raw-not-followed", "no dose of this site goes by past tests, so for raw water of %s that of %s stays as it is", quantity.To(e.raw, 3), strings.Join(fixed, ", ")).
		At(note.Place{Cell: rawFlag}).Do(`run a jar test of this water, or name the folder of past tests as the "bench sheet" of a chemical in place of its dose`)
	s.Notes = append(slices.Clone(s.Notes), n)
	return s
}

// noPast says why past tests give no dose.
func noPast(r templates.TrackReport, c site.Chemical, whose string) note.Note {
	why := note.Say("%s", r.Groups[0].Refused)
	if len(r.Predictions) > 0 {
		why = r.Reach(r.Predictions[0], whose)
	}
	return note.Fault("no-dose", "%s: past tests give no dose: %s", c.Name.V, why).At(c.Bench.At).Do("run a jar test of %s water, or state a dose", whose)
}

// byPast is the dose by raw water, or by that of a tank that is cleared, each as it would be asked for alone.
func byPast(g history.Group, p history.Prediction, raw quantity.Cloudiness, tank bool) *dosing.PastTests {
	span := p.Model.Range[jartest.Turbidity]
	out := dosing.PastTests{Tests: p.Model.Points, Raw: raw, Tank: tank, Low: quantity.Cloudiness(span.Low), High: quantity.Cloudiness(span.High)}
	out.Dose = func(v quantity.Cloudiness) (quantity.Concentration, bool) {
		w := maps.Clone(p.Raw)
		w[jartest.Turbidity] = float64(v)
		return p.Model.Enough(w, p.Sure)
	}
	class := func(c history.Class) dosing.RawClass {
		return dosing.RawClass{Low: c.Low, High: c.High, Tests: c.Tests, Dose: c.Planning}
	}
	for _, c := range p.Model.Classes(p.Sure, p.Raw) {
		out.Classes = append(out.Classes, class(c))
	}
	like, assumed := p.Model.Worst(p.Raw)
	for _, k := range p.Model.Terms {
		out.Like = append(out.Like, dosing.LikeReading{Key: k, V: like[k], AsksMost: slices.Contains(assumed, k)})
	}
	for _, n := range g.Next() {
		out.Next = append(out.Next, dosing.NextTest{RawClass: class(n.Class), Jars: n.Doses, Beyond: n.Beyond, Unmet: n.Unmet})
	}
	return &out
}

// otherWaters tells of water in a storm, which the dose of the day is not for.
func otherWaters(s site.Site, c site.Chemical, past *dosing.PastTests, dose quantity.Concentration) (l note.List) {
	raw, storm := past.Raw, s.Water.StormTurbidity
	if !storm.OK || storm.V <= raw {
		return nil
	}
	short := quantity.To(storm.V, 3)
	need, tested := past.Dose(storm.V)
	switch {
	case !tested && c.Storm.OK: // else it has the dose of the dirtiest water tested, and is told so
		l.Add(note.New(note.Caution, "storm-untested", "the dose is for water of %s; of %s, which comes in a storm, there is no past test", quantity.To(raw, 3), short).
			At(storm.At).Do("test such water when it comes"))
	case tested && need > dose:
		l.Add(note.New(note.Caution, "storm-needs-more", "the dose is for water of %s; that of %s, which comes in a storm, needs %s by past tests", quantity.To(raw, 3), short, quantity.To(need, 3)).
			At(storm.At).Do(`on such a day plan with --raw`))
	}
	return l
}
