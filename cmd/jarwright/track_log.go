package main

import (
	"bytes"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/logbook"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/jartest/words"
	"jarwright/templates"
)

// isOperatingLog reports a file with a plant's own log in it.
func isOperatingLog(name string, data []byte) bool {
	l, err := logbook.Read(name, bytes.NewReader(data))
	return err == nil && len(l.Entries) > 0
}

// upkeep holds the operating logs of a report against the site, where one is named, and against the past tests. It gives the files that it took.
func (e *env) upkeep(r *templates.TrackReport, logs []logbook.Log, siteFile string) (files []string, err error) {
	var plans []logbook.Plan
	if siteFile != "" {
		if plans, files, err = e.plansOf(r, siteFile); err != nil {
			return files, err
		}
		for _, p := range plans {
			r.Asked = append(r.Asked, p.Chemical)
		}
		if len(logs) == 0 && len(r.Water) == 0 {
			r.Notes.Add(note.New(note.Caution, "no-operating-log", "--site is for the plant's operating log, and none is among the files").Do("name the log beside the bench sheets"))
		}
	}
	if metric := func(l logbook.Log) bool { return !usOnly(l.Units) }; e.flags.units == "" && siteFile == "" && len(logs) > 0 && !slices.ContainsFunc(logs, metric) {
		e.shown.Units = quantity.US // no site tells the units, so the logs do
	}
	tests := benchOf(*r, nil)
	for _, l := range logbook.Join(logs) {
		p, n := planFor(l, plans)
		l.Notes.Add(n...)
		r.Logs = append(r.Logs, logbook.Judge(l, p, append(slices.Clone(tests), p.Tests...)))
	}
	return files, nil
}

// plansOf are the feeds that a site plans; where its day cannot be planned it says so and gives none.
func (e *env) plansOf(r *templates.TrackReport, name string) (out []logbook.Plan, files []string, err error) {
	s, name, err := e.openSite([]string{name})
	if err != nil {
		return nil, nil, err
	}
	g, more, err := e.gather(s, name)
	files = append([]string{name}, more...)
	var in dosing.Input
	if err == nil {
		s, g, err = e.inSeason(s, g)
	}
	if err == nil {
		in, err = dosing.FromSite(s, g)
	}
	var day dosing.Plan
	if err == nil {
		day, err = dosing.Make(in)
	}
	for _, n := range note.Of(err, "no-plan") {
		n.Level, n.Message = note.Caution, "the site's dose is not known: "+n.Message
		r.Notes.Add(n)
	}
	for _, f := range day.Feeds {
		p := feedPlan(f)
		p.Tests = e.siteTests(s, name, f.Name)
		out = append(out, p)
	}
	return out, files, nil
}

// siteTests are those of the bench sheet or the folder that a site's chemical names; none where they cannot be read, which the plan says.
func (e *env) siteTests(s site.Site, siteFile, chemical string) (out []logbook.Bench) {
	for _, c := range s.Chemicals {
		targets, bad := siteTargets(c)
		if !c.Bench.OK || bad != nil || words.Fold(c.Name.V) != words.Fold(chemical) {
			continue
		}
		r, _, _, err := e.pastTests(fitFlags{targets: targets, bench: sheet.Options{Counts: countsOf(s, &c)}}, []string{e.benchFile(siteFile, c)})
		if err == nil {
			out = append(out, benchOf(r, &c)...)
		}
	}
	return out
}

// feedPlan is what a log is held against.
func feedPlan(f dosing.Feed) logbook.Plan {
	p := logbook.Plan{Chemical: f.Name, Dose: quantity.Known[quantity.Dose]{V: f.AsProduct, OK: f.AsProduct.Concentration > 0}, Pump: f.Pump}
	p.Strength = quantity.Known[quantity.Concentration]{V: f.PerLitre, OK: f.Fed && f.PerLitre > 0}
	if d := f.Stock.DensityOfStock(); d > 0 {
		p.Density = quantity.Some(d)
	}
	if d := f.Stock.Product.Density.Or(0); d > 0 && f.Stock.Product.Form != product.Dry {
		p.Product = quantity.Some(d)
	}
	if f.Tank != nil && f.Tank.Volume > 0 {
		p.Tank = quantity.Some(f.Tank.Volume)
	}
	if f.Past != nil {
		p.Law = &logbook.Law{Low: f.Past.Low, High: f.Past.High, Dose: f.ByRaw}
	}
	if life := f.Life; !f.Stock.Neat() && life > 0 && !math.IsInf(float64(life), 0) {
		p.Keeps = quantity.Some(life)
	}
	return p
}

// planFor is the feed whose stock a log follows: the one that it names, else the first, which is said where there are more.
func planFor(l logbook.Log, plans []logbook.Plan) (p logbook.Plan, notes note.List) {
	for _, x := range plans {
		if strings.Contains(words.Fold(l.Said), words.Fold(x.Chemical)) {
			return x, nil
		}
	}
	if len(plans) > 1 {
		notes.Add(note.New(note.Caution, "log-chemical", "the log does not say of which chemical its stock is; it is taken for %s", plans[0].Chemical).At(l.Entries[0].Place).
			Do("name the chemical above the log or in a heading, such as %q", plans[0].Chemical+" stock used (L)"))
	}
	if len(plans) > 0 {
		p = plans[0]
	}
	return p, notes
}

// benchOf are the past tests that tell how clear the water gets: those whose dose was found for a turbidity, of raw water that is known,
// and of a site's chemical where one is given.
func benchOf(r templates.TrackReport, c *site.Chemical) (out []logbook.Bench) {
	for _, t := range r.Tests {
		raw, ok := t.Raw[jartest.Turbidity]
		if c != nil && !dosing.SameChemical(*c, t.Chemical.Name, product.Default()) {
			continue
		}
		if !ok || t.Control || t.Outcome != curve.Found {
			continue
		}
		for _, x := range t.Targets {
			if x.Key == jartest.Turbidity && x.Kind == jartest.Absolute && !x.AtLeast {
				out = append(out, logbook.Bench{Day: t.Day.String(), Raw: quantity.Cloudiness(raw), Left: quantity.Cloudiness(x.Value)})
			}
		}
	}
	return out
}
