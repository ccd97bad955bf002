package main

import (
	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// pumpSite shows the pumps of a site: their curves always, and their settings
// where the day can be planned.
func (e *env) pumpSite(args []string, f pumpFlags) error {
	o, err := e.options()
	if err != nil {
		return err
	}
	x, err := f.extras(o)
	if err != nil {
		return err
	}
	name := ""
	if len(args) > 0 {
		name = args[0]
	}
	s, name, err := e.openSite(name)
	if err != nil {
		return err
	}
	inputs := []string{name}
	r := templates.PumpReport{Place: s.Place.Name.V}
	if len(s.Pumps) == 0 {
		return note.Fault("no-pump", "no pump is described").At(note.Place{File: name, Sheet: "Pumps"}).Do("fill in one row a pump")
	}
	var feeds []dosing.Feed
	g, more, err := e.gather(s, name)
	inputs = append(inputs, more...)
	var day dosing.Plan
	if err == nil {
		var in dosing.Input
		if in, err = dosing.FromSite(s, g); err == nil {
			if day, err = dosing.Make(in); err == nil {
				feeds = day.Feeds
			}
		}
	}
	if err != nil { // the curves can be shown all the same
		for _, n := range note.Of(err, "no-plan") {
			n.Level = note.Caution
			n.Message = "feeds are not known: " + n.Message
			r.Notes.Add(n)
		}
	}
	stopped := false
	if len(feeds) > 0 {
		found := caution.Review(day.Situation(s, o.Date))
		r.Notes = append(r.Notes, found.Notes.Only(note.Stop)...)
		if stopped = found.Stopped; stopped { // then no pump setting may be given out
			feeds = nil
			e.noAnswer()
		}
	}
	if x.meter == nil && s.Flow.MeterSpan.OK {
		x.meter = &pump.Signal[quantity.Flow]{Low: s.Flow.MeterZero.V, High: s.Flow.MeterSpan.V}
	}
	var names []string
	for _, p := range s.Pumps {
		names = append(names, p.Name.V)
	}
	if f.name != "" && note.Near(f.name, names) == "" {
		return note.Fault("pump-unknown", "pump %q is not in the sheet Pumps", f.name).At(note.Place{File: name, Sheet: "Pumps"}).Do("name one of %s", joinNames(names))
	}
	for _, row := range s.Pumps {
		if f.name != "" && row.Name.V != note.Near(f.name, names) {
			continue
		}
		a, err := e.sitePump(s, row, f, x, feeds, day)
		if err != nil {
			return err
		}
		a.Stopped = stopped
		r.Pumps = append(r.Pumps, a)
	}
	return e.showPumps(r, inputs...)
}

// sitePump answers for one pump of a site.
func (e *env) sitePump(s site.Site, row site.Pump, f pumpFlags, x pumpExtras, feeds []dosing.Feed, day dosing.Plan) (templates.PumpAnswer, error) {
	readings := s.Readings(row.Name.V)
	p, err := dosing.PumpOf(row, readings)
	if err != nil {
		return templates.PumpAnswer{}, err
	}
	if err := f.knobs(p); err != nil {
		return templates.PumpAnswer{}, err
	}
	for _, d := range readings { // the oldest reading decides
		if d.Date.OK && (x.calibrated.IsZero() || d.Date.V.Before(x.calibrated)) {
			x.calibrated = d.Date.V
		}
	}
	if x.tube == 0 && row.TubeLength.OK && row.TubeBore.OK {
		x.tube = pump.LineVolume(row.TubeLength.V, row.TubeBore.V)
	}
	var a templates.PumpAnswer
	fed := false
	for _, feed := range feeds {
		if feed.Pump == nil || feed.PumpName != row.Name.V || !feed.Fed {
			continue
		}
		fed = true
		flows := pump.EvenFlows(day.Day.Least(), day.Day.Peak(), 7)
		perFlow := pump.PerFlow(feed.AsProduct.Concentration, feed.PerLitre)
		y := x
		a = answerPump(*p, y, perFlow, flows, feed.PerLitre)
		a.Chemical = feed.Name
		settings := []templates.PumpSetting{{For: "average flow", Choice: p.For(feed.Rate)}}
		if feed.Least < feed.Rate {
			settings = append(settings, templates.PumpSetting{For: "least flow", Choice: p.For(feed.Least)})
		}
		if feed.Peak > feed.Rate {
			settings = append(settings, templates.PumpSetting{For: "peak flow", Choice: p.For(feed.Peak)})
		}
		a.Settings = append(settings, a.Settings...)
		break
	}
	if !fed {
		a = answerPump(*p, x, 0, nil, 0)
	}
	for i := range a.Notes {
		if a.Notes[i].Place == (note.Place{}) && a.Notes[i].Level >= note.Caution {
			a.Notes[i].Place = row.At
		}
	}
	return a, nil
}

func joinNames(names []string) string {
	out := ""
	for i, n := range names {
		if i > 0 {
			out += ", "
		}
		out += n
	}
	return out
}
