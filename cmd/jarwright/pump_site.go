package main

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// pumpSite shows the pumps of a site: their curves always, and their settings
// where the day can be planned.
func (e *env) pumpSite(cmd *cobra.Command, args []string, x pumpExtras) error {
	e.cardOnly = true
	s, name, err := e.openSite(args)
	if err != nil {
		return err
	}
	if s, err = meterFlags.over(cmd, s); err != nil {
		return usageError{err}
	}
	x.meterAsked = meterFlags.used(cmd) != ""
	r := templates.PumpReport{Place: s.Place.Name.V}
	day, more, stopped := e.dayOfPumps(s, name, &r)
	if r.Day = day; len(s.Pumps) == 0 && len(day.Feeds) == 0 && !stopped {
		if err := dosing.Flows(s, "pump", "pumps that feed water that flows"); err != nil {
			return err
		}
		return note.Fault("no-pump", "no pump is described").At(note.Place{File: name, Sheet: "Pumps"}).Do("fill in one row a pump")
	}
	rows, err := wantedPumps(cmd, s, name)
	if err != nil {
		return err
	}
	if len(rows) < len(s.Pumps) {
		r.Day = dosing.Plan{} // one is asked about
	}
	if x, err = x.told(cmd, len(rows)); err != nil {
		return err
	}
	for _, row := range rows {
		own, err := knobFlags.over(cmd, site.Site{Flow: s.Flow, Pumps: []site.Pump{row}, Drawdown: s.Readings(row.Name.V)})
		if err != nil {
			return usageError{err}
		}
		a, err := sitePump(own, x.of(own, own.Pumps[0], own.Drawdown), day)
		if err != nil {
			return err
		}
		if asked := strings.Join(x.asked(), ", "); asked != "" && !stopped {
			a.Notes.Add(inPlace(asked, row.Name.V, len(a.Settings)+len(a.Pace) > 0))
		}
		a.Stopped = stopped
		if a.Untold.OK {
			e.noAnswer()
		}
		if slices.ContainsFunc(a.Settings, func(s templates.PumpSetting) bool { return s.For == averageFlow && dosing.OutOfReach(s.Choice) }) {
			e.noAnswer()
		}
		r.Pumps = append(r.Pumps, a)
	}
	return e.showPumps(r, append([]string{name}, more...)...)
}

// dayOfPumps plans the day of a site, puts what there is to say of it into the report and names the
// files that it took. The plan has no feeds where it could not be made, as the curves can be shown
// all the same, or where the day is stopped, as then no pump setting may be given out.
func (e *env) dayOfPumps(s site.Site, name string, r *templates.PumpReport) (day dosing.Plan, inputs []string, stopped bool) {
	g, inputs, err := e.gather(s, name)
	s = e.rawUnfollowed(s, g)
	var in dosing.Input
	if err == nil {
		s, g, err = e.inSeason(s, g)
	}
	if usual := len(s.Notes); err == nil {
		s, g, err = e.onDate(s, g)
		r.Notes.Add(s.Notes[usual:]...)
	}
	if err == nil {
		in, err = dosing.FromSite(s, g)
	}
	r.Notes.Add(dosing.Asked(s, g)...)
	if err == nil {
		day, err = dosing.Make(in)
	}
	var found dosing.Review
	if err == nil && len(day.Feeds) > 0 {
		found, err = e.foundFor(day, s, g, r)
	}
	if err != nil {
		if none := (noDose{}); errors.As(err, &none) {
			e.noAnswer()
		}
		for _, n := range note.Of(err, "no-plan") {
			n.Level = note.Caution
			n.Message = "feeds are not known: " + n.Message
			r.Notes.Add(n)
		}
		return dosing.Plan{}, inputs, false
	}
	r.Notes = append(e.untold(&day), r.Notes...)
	if len(day.Feeds) > 0 {
		r.Taken = found.Taken
		for _, n := range found.ToldOfDays() {
			if !slices.ContainsFunc(r.Taken, func(t caution.Taken) bool { return t.Stop.Code == n.Code && n.Level < note.Stop }) {
				r.Notes.Add(n) // what is accepted stands by itself
			}
		}
		if stopped = found.Stopped; stopped {
			day.Feeds = nil
			e.noAnswer()
			return day, inputs, stopped
		}
		for _, n := range found.Notes {
			if n.Code == caution.InSlugs { // of the portions that stand here
				r.Notes.Add(n)
			}
		}
	}
	return day, inputs, stopped
}

// untold says of which feeds past tests give no dose today, and takes those away that no pump serves, since nothing of them is to be shown.
func (e *env) untold(day *dosing.Plan) (l note.List) {
	for _, f := range day.Feeds {
		if !untoldFeed(f) {
			continue
		}
		if f.Pump == nil {
			e.noAnswer()
		}
		n := f.Past.Untold.V
		n.Level = note.Caution
		l.Add(n, note.New(note.Info, "checked-at-nearest", "%s: what else is said of today counts it at %s, the dose of the water tested that comes nearest; it is no dose to feed", f.Name, quantity.To(f.Dose.Concentration, 3)).At(f.DoseAt))
	}
	day.Feeds = slices.DeleteFunc(slices.Clone(day.Feeds), func(f dosing.Feed) bool { return f.Pump == nil && untoldFeed(f) })
	return l
}

// untoldFeed reports a feed whose dose past tests do not tell.
func untoldFeed(f dosing.Feed) bool { return f.Past != nil && f.Past.Untold.OK }

// foundFor is what stands against the doses of a day; of a site that cleans a tank up, against its
// run, of which the report says too how it ends.
func (e *env) foundFor(day dosing.Plan, s site.Site, g dosing.Given, r *templates.PumpReport) (dosing.Review, error) {
	if !dosing.CleansTank(s) && !g.CleansUp {
		_, found := day.Reviewed(s, e.today())
		r.Notes.Add(dosing.BenchAge(day.Input.Feeds, s, e.today())...)
		return found.AlsoForCleaning(s, g, e.today()), nil
	}
	in, err := dosing.CleaningFromSite(s, g, e.today())
	if err != nil {
		return dosing.Review{}, err
	}
	done := e.working("running the tank")
	c, err := dosing.Clean(in)
	done()
	if err == nil && c.Unanswered() {
		e.noAnswer()
	}
	r.Notes.Add(c.Ending()...)
	return c.Review(), err
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
	return nil, note.Fault("pump-unknown", "pump %q is not in the site under Pumps%s", wanted, note.DidYouMean(wanted, names)).
		At(note.Place{File: file, Sheet: "Pumps"}).Do("name one of %s", strings.Join(names, ", "))
}

// told takes from the flags what is fed in place of what the site says; they are for one pump.
func (x pumpExtras) told(cmd *cobra.Command, pumps int) (pumpExtras, error) {
	s, err := feedFlags.over(cmd, site.Site{})
	if err != nil {
		return x, usageError{err}
	}
	if len(s.Chemicals) > 0 {
		x.dose = s.Chemicals[0].Dose
		if b := s.Chemicals[0].Basis; pumps > 0 && b.OK && b.V != quantity.AsProduct {
			return x, usageError{note.Fault("basis-not-product", "--dose counts %s, and with a site it counts product", b.V).
				Do("give it as product; a dose on another basis is planned with: jarwright plan")}
		}
	}
	if len(s.Stocks) > 0 {
		x.stock = s.Stocks[0].Product
	}
	if name := feedFlags.used(cmd); name != "" && pumps > 1 {
		return x, note.Fault("which-pump", "--%s is for one pump, and the site has %d", name, pumps).Do("name one with --pump")
	}
	return x, nil
}

// inPlace says that flags count in place of the site, or that with them too it is
// not known what a pump is to feed.
func inPlace(flags, pump string, known bool) note.Note {
	if known {
		return note.New(note.Info, "in-place-of-site", "the command line's %s counts in place of what the site says", flags)
	}
	return note.New(note.Caution, "feed-not-known",
		"the command line's %s does not tell what %s is to feed, and the site neither", flags, pump).
		Do("give --dose, --stock and --flow with --pump")
}

// sitePump answers for the one pump of this site.
func sitePump(s site.Site, x pumpExtras, day dosing.Plan) (templates.PumpAnswer, error) {
	row, feeds := s.Pumps[0], day.Feeds
	p, err := dosing.PumpOf(row, s.Drawdown)
	if err != nil {
		return templates.PumpAnswer{}, err
	}
	m := dosing.Metering{Pump: p} // as the flags change it
	i := slices.IndexFunc(feeds, func(f dosing.Feed) bool { return f.Pump != nil && f.PumpName == row.Name.V && f.Fed })
	if i >= 0 {
		m = feeds[i].Metering()
		if !x.dose.OK {
			p.NoLess = m.Pump.NoLess
		}
		m.Pump = p
	}
	if m.Dose, m.Stock = x.dose.Or(m.Dose), x.stock.Or(m.Stock); m.Stock <= 0 {
		m.Dose = 0
	}
	untold := i >= 0 && untoldFeed(feeds[i]) && !x.dose.OK
	if untold {
		m.Dose = 0
	}
	flows := between(x.flows)
	var settings []templates.PumpSetting
	if i >= 0 && len(flows) == 0 && !untold {
		d := day.Day
		left := p.Leave(m.At(d.Least()).Rate, m.At(feeds[i].Flow).Rate, m.At(d.Peak()).Rate)
		m.Pump = &left
		settings = daySettings(m, feeds[i].Flow, d, day.Turns(feeds[i]), feeds[i].Follows)
		if flows = pump.EvenFlows(d.Least(), d.Peak(), 7); len(settings) == 1 { // one flow all day
			flows = []quantity.Flow{feeds[i].Flow}
		}
	}
	a := answerPump(m, x, flows)
	if len(settings) == 1 {
		a.Settings = a.Settings[:len(x.rates)]
	}
	a.Follows = i >= 0 && feeds[i].Follows && len(settings) > 0 && settings[0].For != averageFlow
	if i >= 0 && !x.dose.OK && !x.stock.OK && feeds[i].Past != nil {
		f := feeds[i]
		f.Pump = p
		a.Past, a.Basis, a.ByRaw = f.Past, f.Dose.Basis, f.ByRawWater(cardFlows(x, day, f.Flow))
	}
	if untold {
		a.Untold = feeds[i].Past.Untold
	}
	a.Signals = row.Signal.V || x.meterAsked
	if a.Settings = append(settings, a.Settings...); i >= 0 {
		a.Chemical = feeds[i].Name
	}
	for i := range a.Notes {
		if a.Notes[i].Place == (note.Place{}) && a.Notes[i].Level >= note.Caution {
			a.Notes[i].Place = row.At
		}
	}
	return a, nil
}

// cardFlows are the flows of a card by raw water: those asked for, else those of the day.
func cardFlows(x pumpExtras, day dosing.Plan, average quantity.Flow) []quantity.Flow {
	if flows := x.flows; len(flows) > 2 {
		return flows
	} else if len(flows) == 2 {
		return dosing.CardFlows(min(flows[0], flows[1]), flows[0], max(flows[0], flows[1]))
	} else if len(flows) == 1 {
		return flows
	}
	return dosing.CardFlows(day.Day.Least(), average, day.Day.Peak())
}

// averageFlow is what the first setting of a site's pump is for where it is set once.
const averageFlow = "average flow"

// daySettings are those at the average flow of a day, and at its least and peak
// where they differ from it; first those that are set by the hour where there are such. Of a pump that follows the
// flow meter, those at the two ends alone.
func daySettings(m dosing.Metering, average quantity.Flow, d flow.Day, turns []dosing.Turn, follows bool) []templates.PumpSetting {
	const same = 1e-9 // what rounding leaves between flows that are one
	usual, least, peak := m.At(average), m.At(d.Least()), m.At(d.Peak())
	var out []templates.PumpSetting
	never := len(turns) > 0
	for _, k := range turns {
		c := m.At(k.Flow).Choice.V
		never = never && c.Position != usual.Choice.V.Position
		if dosing.Few(turns) {
			out = append(out, templates.PumpSetting{For: templates.SpansText(k.Hours), Choice: c})
		}
	}
	if follows && peak.Rate > least.Rate*(1+same) && !dosing.OutOfReach(usual.Choice.V) { // it stands at what flows, and the average may never
		return []templates.PumpSetting{{For: "least flow", Choice: least.Choice.V}, {For: "peak flow", Choice: peak.Choice.V}}
	}
	out = append(out, templates.PumpSetting{For: averageFlow, Choice: usual.Choice.V, NotSet: never})
	if least.Rate < usual.Rate*(1-same) {
		out = append(out, templates.PumpSetting{For: "least flow", Choice: least.Choice.V})
	}
	if peak.Rate > usual.Rate*(1+same) {
		out = append(out, templates.PumpSetting{For: "peak flow", Choice: peak.Choice.V})
	}
	return out
}
