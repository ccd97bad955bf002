package main

import (
	"bytes"
	"math"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/logbook"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
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
		if len(logs) == 0 {
			r.Notes.Add(note.New(note.Caution, "no-operating-log", "--site is for the plant's operating log, and none is among the files").Do("name the log beside the bench sheets"))
		}
	}
	tests := benchOf(*r)
	for _, l := range logbook.Join(logs) {
		p, n := planFor(l, plans)
		l.Notes.Add(n...)
		r.Logs = append(r.Logs, logbook.Judge(l, p, tests))
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
		out = append(out, feedPlan(f))
	}
	return out, files, nil
}

// feedPlan is what a log is held against.
func feedPlan(f dosing.Feed) logbook.Plan {
	p := logbook.Plan{Chemical: f.Name, Dose: quantity.Known[quantity.Dose]{V: f.AsProduct, OK: f.AsProduct.Concentration > 0}, Pump: f.Pump}
	p.Strength = quantity.Known[quantity.Concentration]{V: f.PerLitre, OK: f.Fed && f.PerLitre > 0}
	if d := f.Stock.DensityOfStock(); d > 0 {
		p.Density = quantity.Some(d)
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
			Do("name the chemical above the log or in a heading, such as %q", plans[0].Chemical+" used (L)"))
	}
	if len(plans) > 0 {
		p = plans[0]
	}
	return p, notes
}

// benchOf are the past tests that tell how clear the water gets: those whose dose was found for a turbidity, of raw water that is known.
func benchOf(r templates.TrackReport) (out []logbook.Bench) {
	for _, t := range r.Tests {
		raw, ok := t.Raw[jartest.Turbidity]
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
