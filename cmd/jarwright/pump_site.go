package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/templates"
)

// pumpSite shows the pumps of a site: their curves always, and their settings
// where the day can be planned.
func (e *env) pumpSite(cmd *cobra.Command, args []string, x pumpExtras) error {
	s, name, err := e.openSite(args)
	if err != nil {
		return err
	}
	if s, err = meterFlags.over(cmd, s); err != nil {
		return usageError{err}
	}
	inputs := []string{name}
	r := templates.PumpReport{Place: s.Place.Name.V}
	if len(s.Pumps) == 0 {
		return note.Fault("no-pump", "no pump is described").At(note.Place{File: name, Sheet: "Pumps"}).Do("fill in one row a pump")
	}
	g, more, err := e.gather(s, name)
	inputs = append(inputs, more...)
	var in dosing.Input
	if err == nil {
		in, err = dosing.FromSite(s, g)
	}
	var day dosing.Plan
	if err == nil {
		day, err = dosing.Make(in)
	}
	feeds := day.Feeds
	if err != nil { // the curves can be shown all the same
		feeds = nil
		for _, n := range note.Of(err, "no-plan") {
			n.Level = note.Caution
			n.Message = "feeds are not known: " + n.Message
			r.Notes.Add(n)
		}
	}
	stopped := false
	if len(feeds) > 0 {
		found := caution.Review(day.Situation(s, x.today))
		r.Notes = append(r.Notes, found.Notes.Only(note.Stop)...)
		if stopped = found.Stopped; stopped { // then no pump setting may be given out
			feeds = nil
			e.noAnswer()
		}
	}
	rows, err := wantedPumps(cmd, s, name)
	if err != nil {
		return err
	}
	for _, row := range rows {
		own, err := knobFlags.over(cmd, site.Site{Flow: s.Flow, Pumps: []site.Pump{row}, Drawdown: s.Readings(row.Name.V)})
		if err != nil {
			return usageError{err}
		}
		a, err := sitePump(own, x.of(own, own.Pumps[0], own.Drawdown), feeds, day)
		if err != nil {
			return err
		}
		a.Stopped = stopped
		r.Pumps = append(r.Pumps, a)
	}
	return e.showPumps(r, inputs...)
}

// wantedPumps are the pumps of a site, or the one that --pump names.
func wantedPumps(cmd *cobra.Command, s site.Site, file string) ([]site.Pump, error) {
	wanted, err := cmd.Flags().GetString("pump")
	if must(err); wanted == "" {
		return s.Pumps, nil
	}
	if row, ok := s.Pump(wanted); ok {
		return []site.Pump{row}, nil
	}
	var names []string
	for _, p := range s.Pumps {
		names = append(names, p.Name.V)
	}
	return nil, note.Fault("pump-unknown", "pump %q is not in the sheet Pumps%s", wanted, note.DidYouMean(wanted, names)).
		At(note.Place{File: file, Sheet: "Pumps"}).Do("name one of %s", strings.Join(names, ", "))
}

// sitePump answers for the one pump of this site.
func sitePump(s site.Site, x pumpExtras, feeds []dosing.Feed, day dosing.Plan) (templates.PumpAnswer, error) {
	row := s.Pumps[0]
	p, err := dosing.PumpOf(row, s.Drawdown)
	if err != nil {
		return templates.PumpAnswer{}, err
	}
	var a templates.PumpAnswer
	i := slices.IndexFunc(feeds, func(f dosing.Feed) bool { return f.Pump != nil && f.PumpName == row.Name.V && f.Fed })
	if i < 0 {
		a = answerPump(dosing.Metering{Pump: p}, x, nil)
	} else {
		feed := feeds[i]
		m := feed.Metering()
		m.Pump = p // as the flags change it
		settings := []templates.PumpSetting{{For: "average flow", Choice: m.Feeding(feed.Rate).Choice.V}}
		if feed.Least < feed.Rate {
			settings = append(settings, templates.PumpSetting{For: "least flow", Choice: m.Feeding(feed.Least).Choice.V})
		}
		if feed.Peak > feed.Rate {
			settings = append(settings, templates.PumpSetting{For: "peak flow", Choice: m.Feeding(feed.Peak).Choice.V})
		}
		a = answerPump(m, x, pump.EvenFlows(day.Day.Least(), day.Day.Peak(), 7))
		a.Chemical, a.Settings = feed.Name, append(settings, a.Settings...)
	}
	for i := range a.Notes {
		if a.Notes[i].Place == (note.Place{}) && a.Notes[i].Level >= note.Caution {
			a.Notes[i].Place = row.At
		}
	}
	return a, nil
}
