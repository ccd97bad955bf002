package month

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// cleanUps makes the month of the clean-ups in its calendar, each what package clarify
// makes of the tank: its water through the unit, with the mean of what is taken out of
// it and dosed into it. Their water is never counted as raw water.
func (a *adapter) cleanUps(p *Plan) {
	in, err := dosing.CleaningFromSite(a.site, a.opt.Given, a.opt.Today)
	if err != nil {
		a.faults = append(a.faults, note.Of(err, "tank")...)
		return
	}
	done, err := dosing.Clean(in)
	if err != nil {
		a.faults = append(a.faults, note.Of(err, "tank")...)
		return
	}
	for _, n := range done.Notes {
		if !slices.ContainsFunc(a.notes, func(h note.Note) bool { return h.Message == n.Message }) {
			a.notes.Add(n)
		}
	}
	p.Stopped = done.Stopped
	switch done.Outcome {
	case clarify.Cleared, clarify.ClearAlready:
	default:
		a.faults.Add(note.Fault("no-clean-up", "a clean-up of %s cannot be budgeted: what stands is %q", in.Name, done.Outcome).
			At(a.site.Solids.Tank.At).Do("look at `clarify` on the same site, which says what to change"))
		return
	}
	r := done.Record()
	p.Classes = []Class{{Name: UsualWater, Share: 1, Removed: r.Removed}}
	p.Doubt.Flow, p.Doubt.DayToDay, p.Doubt.Solids = Span{}, 0, a.solidsSpan(r.Removed)
	for i := range p.Chemicals {
		c, mean := &p.Chemicals[i], r.Chemicals[i].Dose.Concentration
		var like Dose
		if len(c.Doses) > 0 {
			like = c.Doses[0]
		}
		c.Balance, c.Doses = nil, []Dose{{Plan: mean, Quantile: scaled(like.Quantile, like.Plan, mean)}}
	}
	a.wholeClean(p, done)
}

// cleanUpsBeside says what clarify makes of the tank whose clean-ups the month counts as so much more of
// the day's water, where that is another volume.
func (a *adapter) cleanUpsBeside(p Plan) {
	days, err := p.Calendar.Days(0)
	i := slices.IndexFunc(days, func(d Day) bool { return d.CleanUp > 0 })
	if err != nil || i < 0 || !a.site.Solids.Tank.OK || !a.site.Solids.TankStop.OK {
		return
	}
	in, err := dosing.CleaningFromSite(a.site, a.opt.Given, a.opt.Today)
	if err != nil {
		return // clarify says what is missing
	}
	done, err := dosing.Clean(in)
	said, at := days[i].CleanUp, rowOf(a.site, days[i].Date)
	if err != nil || at == nil || done.Outcome != clarify.Cleared || said > done.Treated*0.9 && said < done.Treated*1.1 {
		return
	}
	account := done.Record().Account()
	takes := note.Phrase{}
	for i, u := range account.Uses {
		takes = takes.If(i > 0, " and ").And("%s of %s", quantity.To(u.Product, 3), u.Chemical)
	}
	a.notes.Add(note.New(note.Info, "clean-up-other", "the clean-up of %s on %s is counted as %s more of the day's water at its dose; by what Solids says of the tank it sends %s through the unit, and takes %s and makes %s dry",
		done.Name, days[i].Date, quantity.To(said, 3), quantity.To(done.Treated, 3), takes, quantity.To(account.Dry.Likely, 3)).
		At(at.CleanUp.At).Do("have what `clarify` lists ready for that day, and give its volume here; or correct what Solids says of the tank"))
}

// solidsSpan is how far the solids removed may be from the likely ones.
func (a *adapter) solidsSpan(r solids.Range[quantity.Concentration]) Span {
	switch d := a.site.Solids.Doubt.V; {
	case d > 0:
		return Span{quantity.Ratio(1 - d), quantity.Ratio(1 + d)}
	case r.Likely > 0 && r.High > r.Likely:
		return Span{quantity.Ratio(r.Low / r.Likely), quantity.Ratio(r.High / r.Likely)}
	}
	return Span{}
}

// wholeClean puts whole clean-ups into the calendar, and nothing beside them.
func (a *adapter) wholeClean(p *Plan, done dosing.Cleaning) {
	c := &p.Calendar
	c.Flow, c.Season, c.Whole = done.Tank().Flow, 0, true
	said := quantity.Volume(0)
	whole := func(v quantity.Volume) quantity.Volume {
		if v > 0 {
			said, v = v, done.Treated
		}
		return v
	}
	for d := range c.Week {
		w := &c.Week[d]
		*w = Pattern{Delivery: w.Delivery, Share: 1, Hours: w.Hours, CleanUp: whole(w.CleanUp)}
	}
	for i := range c.Exceptions {
		e := &c.Exceptions[i]
		e.Open, e.Flow, e.Hours, e.Class, e.CleanUp = false, 0, 0, "", whole(e.CleanUp)
	}
	none := said == 0
	days, err := c.Days(0)
	var last Date
	overlap := quantity.Time(0)
	for _, d := range days {
		if err != nil || d.CleanUp <= 0 {
			continue
		}
		a.notes.Add(IntoClosed(a.site, done, d.Date)...)
		if gap := quantity.Time(24 * last.DaysTo(d.Date)); !last.IsZero() && gap < done.Time {
			overlap = gap
		}
		last = d.Date
	}
	n := func(level note.Level, code, remedy, format string, args ...any) note.Note {
		return note.New(level, code, format, args...).Do("%s", remedy)
	}
	a.notes.Add(told(
		row{none, n(note.Caution, "no-clean-ups", "give the days on which it is cleaned up on the Calendar sheet, with a clean-up",
			"%s is cleaned up on no day of the calendar, so nothing is treated", done.Name)},
		row{!none, n(note.Info, "clean-ups-whole", "look at `clarify` on the same site for the hours of one",
			"a clean-up of %s sends %s through the unit in %s of running, over %s by the clock; all of it counts on the day on which it begins",
			done.Name, quantity.To(done.Treated, 3), done.Running, done.Time)},
		row{!none && (said > done.Treated*1.01 || said < done.Treated*0.99), n(note.Info, "clean-up-water",
			"correct what Solids says of the tank where that is not so",
			"the calendar gives %s for a clean-up, and it takes %s; the latter counts", quantity.To(said, 3), quantity.To(done.Treated, 3))},
		row{overlap > 0, n(note.Caution, "clean-ups-overlap", "leave more days between them, or run more hours a day",
			"a clean-up takes %s, and the next begins after %s", done.Time, overlap)},
	)...)
}
