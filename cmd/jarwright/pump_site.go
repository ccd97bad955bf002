package main

import (
	"strings"

	"github.com/spf13/cobra"

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
func (e *env) pumpSite(cmd *cobra.Command, args []string, x pumpExtras) error {
	name := ""
	if len(args) > 0 {
		name = args[0]
	}
	s, name, err := e.openSite(name)
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
		found := caution.Review(day.Situation(s, x.today))
		r.Notes = append(r.Notes, found.Notes.Only(note.Stop)...)
		if stopped = found.Stopped; stopped { // then no pump setting may be given out
			feeds = nil
			e.noAnswer()
		}
	}
	rows := s.Pumps
	if wanted, err := cmd.Flags().GetString("pump"); err == nil && wanted != "" {
		row, ok := s.Pump(wanted)
		if !ok {
			var names []string
			for _, p := range s.Pumps {
				names = append(names, p.Name.V)
			}
			return note.Fault("pump-unknown", "pump %q is not in the sheet Pumps%s", wanted, note.DidYouMean(wanted, names)).
				At(note.Place{File: name, Sheet: "Pumps"}).Do("name one of %s", strings.Join(names, ", "))
		}
		rows = []site.Pump{row}
	}
	told, err := feedFlags.over(cmd, site.Site{})
	if err != nil {
		return usageError{err}
	}
	if len(told.Chemicals) > 0 {
		x.dose = told.Chemicals[0].Dose
	}
	if len(told.Stocks) > 0 {
		x.stock = told.Stocks[0].Product
	}
	if name := feedFlags.used(cmd); name != "" && len(rows) > 1 {
		return note.Fault("which-pump", "--%s is for one pump, and the site has %d", name, len(rows)).Do("name one with --pump")
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
		if asked := strings.Join(x.asked(), ", "); asked != "" && !stopped {
			if len(a.Settings) == 0 && len(a.Pace) == 0 {
				a.Notes.Add(note.New(note.Caution, "feed-not-known", "the command line's %s does not tell what %s is to feed, and the site neither", asked, row.Name.V).
					Do("give --dose, --stock and --flow with --pump"))
			} else {
				a.Notes.Add(note.New(note.Info, "in-place-of-site", "the command line's %s counts in place of what the site says", asked))
			}
		}
		a.Stopped = stopped
		r.Pumps = append(r.Pumps, a)
	}
	return e.showPumps(r, inputs...)
}

// sitePump answers for the one pump of this site.
func sitePump(s site.Site, x pumpExtras, feeds []dosing.Feed, day dosing.Plan) (templates.PumpAnswer, error) {
	row := s.Pumps[0]
	p, err := dosing.PumpOf(row, s.Drawdown)
	if err != nil {
		return templates.PumpAnswer{}, err
	}
	var a templates.PumpAnswer
	fed := false
	for _, feed := range feeds {
		if feed.Pump == nil || feed.PumpName != row.Name.V || !feed.Fed {
			continue
		}
		fed = true
		stock := x.stock.Or(feed.PerLitre)
		perFlow := pump.PerFlow(x.dose.Or(feed.AsProduct.Concentration), stock)
		if len(x.flows) > 0 {
			a = answerPump(*p, x, perFlow, between(x.flows), stock)
			a.Chemical = feed.Name
			break
		}
		if x.dose.OK || x.stock.OK {
			feed.Rate, feed.Least, feed.Peak = perFlow*quantity.FeedRate(feed.Flow), perFlow*quantity.FeedRate(day.Day.Least()), perFlow*quantity.FeedRate(day.Day.Peak())
		}
		a = answerPump(*p, x, perFlow, pump.EvenFlows(day.Day.Least(), day.Day.Peak(), 7), stock)
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
		var perFlow quantity.FeedRate
		if x.dose.OK && x.stock.V > 0 {
			perFlow = pump.PerFlow(x.dose.V, x.stock.V)
		}
		a = answerPump(*p, x, perFlow, between(x.flows), x.stock.V)
	}
	for i := range a.Notes {
		if a.Notes[i].Place == (note.Place{}) && a.Notes[i].Level >= note.Caution {
			a.Notes[i].Place = row.At
		}
	}
	return a, nil
}
