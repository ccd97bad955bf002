package month

import (
	"math"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/dosing/doubt"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// CleanUp is a clean-up as a month counts it: a whole one on the day on which it begins, in a
// class of water of its own.
type CleanUp struct {
	Name string // of the tank
	// Treated is the water that one sends through the unit, Removed the mean of what is taken out of it.
	Treated quantity.Volume
	Removed solids.Range[quantity.Concentration]
}

// CleanUpWater is the class of the water of clean-ups.
const CleanUpWater = "clean-up"

// cleanUps counts the clean-ups of the calendar as what package clarify makes of the tank,
// whatever volume is typed. They are all that a batch site does; beside ordinary water a
// clean-up that clarify knows nothing of is so much more of the day's water.
func (a *adapter) cleanUps(p *Plan) {
	only := dosing.CleansTank(a.site)
	if !only && !cleansUp(a.site) {
		return
	}
	done, faults := a.cleaned()
	switch {
	case len(faults) > 0 && only:
		a.faults = append(a.faults, faults...)
		return
	case len(faults) > 0:
		a.notes.Add(asWater(p.Calendar, faults)...)
		return
	}
	a.cleanUpNotes(done, only)
	p.Stopped = p.Stopped || done.Stopped
	r := done.Record()
	p.CleanUp = &CleanUp{done.Name, done.Treated, r.Removed}
	for i := range p.Chemicals {
		c, mean := &p.Chemicals[i], r.Chemicals[i].Dose.Concentration
		var like Dose
		if len(c.Doses) > 0 {
			like = c.Doses[0]
		}
		c.Cleaning = Dose{Plan: mean, Quantile: scaled(like.Quantile, like.Plan, mean), Effects: &r.Chemicals[i].Effects}
	}
	if only { // its water is all that there is
		p.CleanUp, p.Classes = nil, []Class{{Name: UsualWater, Share: 1, Removed: r.Removed}}
		p.Doubt.Flow, p.Doubt.DayToDay, p.Doubt.Solids = doubt.Span{}, 0, dosing.SolidsDoubt(a.site.Solids.Doubt.V, r.Removed)
		for i := range p.Chemicals {
			c := &p.Chemicals[i]
			c.Balance, c.Doses = nil, []Dose{c.Cleaning}
		}
	}
	a.wholeClean(p, done, only)
}

// cleaned runs the tank that Solids describes; its faults say why no clean-up can be counted.
func (a adapter) cleaned() (dosing.Cleaning, note.List) {
	in, err := dosing.CleaningFromSite(a.site, a.opt.Given, a.opt.Today)
	if err != nil {
		return dosing.Cleaning{}, note.Of(err, "tank")
	}
	done, err := dosing.Clean(in)
	if err != nil {
		return done, note.Of(err, "tank")
	}
	switch done.Outcome {
	case clarify.Cleared, clarify.ClearAlready:
		return done, nil
	}
	return done, note.List{note.Fault("no-clean-up", "a clean-up of %s cannot be budgeted: what stands is %q", dosing.WithArticle(in.Name), done.Outcome).
		At(a.site.Solids.Tank.At).Do("look at `clarify` on the same site, which says what to change")}
}

// asWater says that the month's clean-ups count as more of the day's water, for want of a tank that
// clarify could clean up.
func asWater(c Calendar, faults note.List) (l note.List) {
	days, err := c.Days(0)
	i := slices.IndexFunc(days, func(d Day) bool { return d.CleanUp > 0 })
	if err != nil || i < 0 {
		return nil
	}
	return note.List{note.New(note.Info, "clean-up-as-water",
		"the clean-up of %s on %s is counted as so much more of the day's water at its dose, for what it really takes cannot be worked out: %s",
		quantity.To(days[i].CleanUp, 3), days[i].Date, faults[0].Message).At(faults[0].Place).Do("%s", faults[0].Remedy)}
}

// cleanUpNotes takes over what a clean-up says: all of it where there is no other water, else what stops it.
func (a *adapter) cleanUpNotes(done dosing.Cleaning, only bool) {
	for _, n := range done.Notes {
		told := slices.ContainsFunc(a.notes, func(h note.Note) bool { return h.Message == n.Message })
		switch {
		case told || !only && n.Level < note.Stop:
			continue
		case !only:
			n.Message = "clean-up of " + dosing.WithArticle(done.Name) + ": " + n.Message
		}
		a.notes.Add(n)
	}
}

// taking is what a clean-up takes and makes, in a sentence.
func taking(done dosing.Cleaning) note.Phrase {
	account := done.Record().Account()
	takes := note.Say("sends %s through the unit in %s of running", quantity.To(done.Treated, 3), quantity.HoursMinutes(done.Running)).
		If(done.Time > done.Running, ", over %s by the clock", quantity.HoursMinutes(done.Time))
	for i, u := range account.Uses {
		takes = takes.If(i == 0, ", takes ").If(i > 0, " and ").And("%s of %s", quantity.To(u.Product, 3), u.Chemical)
	}
	return takes.And(" and makes %s dry", quantity.To(account.Dry.Likely, 3))
}

// wholeClean puts whole clean-ups into the calendar; of a batch site nothing beside them.
func (a *adapter) wholeClean(p *Plan, done dosing.Cleaning, only bool) {
	c := &p.Calendar
	c.CleanFlow, c.CleanTime = done.Tank().Flow, done.Time
	said := quantity.Volume(0)
	whole := func(v *quantity.Volume) {
		if *v > 0 {
			said, *v = *v, done.Treated
		}
	}
	for d := range c.Week {
		whole(&c.Week[d].CleanUp)
	}
	for i := range c.Exceptions {
		whole(&c.Exceptions[i].CleanUp)
	}
	if only {
		c.nothingBeside(done.Tank().Flow)
	}
	days, err := c.withBefore(0)
	if err != nil {
		return // told where the month is made
	}
	a.begun(days, done, only, said)
}

// nothingBeside takes all ordinary water out of a calendar.
func (c *Calendar) nothingBeside(flow quantity.Flow) {
	c.Flow, c.Season = flow, 0
	for d := range c.Week {
		w := &c.Week[d]
		*w = Pattern{Delivery: w.Delivery, Share: 1, Hours: w.Hours, CleanUp: w.CleanUp}
	}
	for i := range c.Exceptions {
		e := &c.Exceptions[i]
		e.Open, e.Flow, e.Hours, e.Class = false, 0, 0, ""
	}
}

// begun says what of the clean-ups that a month begins must be known; the volume is what the
// calendar says of one.
func (a *adapter) begun(days []Day, done dosing.Cleaning, only bool, said quantity.Volume) {
	var last, clash, goesOn Date
	none, overlap := true, quantity.Time(0)
	for i, d := range days {
		if d.InMonth && d.GoesOn && goesOn.IsZero() {
			goesOn = d.Date
		}
		if d.CleanUp <= 0 {
			continue
		}
		if !d.InMonth { // of the month before
			last = d.Date
			continue
		}
		none = false
		a.notes.Add(IntoClosed(a.site, done, d.Date)...)
		if gap := quantity.Time(24 * last.DaysTo(d.Date)); !last.IsZero() && gap < done.Time {
			overlap = gap
		}
		if last = d.Date; clash.IsZero() && a.shared(days[i:], done) > 0 {
			clash = d.Date
		}
	}
	off := math.Abs(float64(said/done.Treated - 1))
	n := func(level note.Level, code, remedy, format string, args ...any) note.Note {
		return note.New(level, code, format, args...).Do("%s", remedy)
	}
	other := n(note.Info, "clean-up-water", "give the water that it sends through the unit, several times that of the tank, or correct what Solids says of the tank",
		"the calendar gives %s for a clean-up, and it takes %s; the latter counts", quantity.To(said, 3), quantity.To(done.Treated, 3))
	a.notes.Add(told(
		row{only && none, n(note.Caution, "no-clean-ups", "give the days on which it is cleaned up in the site under Calendar, with a clean-up",
			"%s is cleaned up on no day of the calendar, so nothing is treated", dosing.WithArticle(done.Name))},
		row{!none, n(note.Info, "clean-ups-whole", "look at `clarify` on the same site for the hours of one",
			"a clean-up of %s %s; all of it counts on the day on which it begins", dosing.WithArticle(done.Name), taking(done))},
		row{!none && off > 0.01, other},
		row{!goesOn.IsZero(), n(note.Info, "clean-up-goes-on", "leave a day between two clean-ups that are to count each",
			"a clean-up takes %s: the one that the calendar has on %s too goes on from the day before, and counts once", quantity.HoursMinutes(done.Time), goesOn)},
		row{overlap > 0, n(note.Caution, "clean-ups-overlap", "leave more days between them, or run more hours a day",
			"a clean-up takes %s, and the next begins after %s", quantity.HoursMinutes(done.Time), quantity.HoursMinutes(overlap))},
		row{!clash.IsZero(), clashes(done, clash)},
	)...)
}

// clashes says that a clean-up begun on a date and the ordinary water want the unit at one time.
func clashes(done dosing.Cleaning, on Date) note.Note {
	return note.New(note.Caution, "clean-up-beside", "the clean-up of %s begun on %s and the ordinary water both want the unit: the clean-up needs it for %s from %s on",
		dosing.WithArticle(done.Name), on, quantity.HoursMinutes(done.Running), done.Tank().Clock(0)).
		Do("close that day to the ordinary water, with %q for whether it runs, or give one of them other hours", "no")
}

// shared is for how long a clean-up that begins on the first of some days runs the unit while the
// ordinary water needs it. A day goes from the start of its run to that of the next.
func (a adapter) shared(days []Day, done dosing.Cleaning) (sum quantity.Time) {
	const step = quantity.Time(1. / 12)
	tank, start := done.Tank(), a.start()
	for t := step / 2; t < done.Time; t += step {
		at := tank.Begin + t
		i := int(math.Floor(float64((at - start) / 24)))
		if i < 0 || i >= len(days) || !days[i].Operating || len(tank.Hours) > 0 && !tank.Hours.Covers(quantity.Wrapped(at, 24)) {
			continue
		}
		usual := a.day.Runs()
		if d := days[i]; alike(d.Hours, a.day.Running()) && usual.Covers(quantity.Wrapped(at, 24)) || !alike(d.Hours, a.day.Running()) && quantity.Wrapped(at-start, 24) < d.Hours {
			sum += step
		}
	}
	return sum
}

// start is the clock time at which the run of a day begins.
func (a adapter) start() quantity.Time {
	runs := a.day.Runs()
	if a.site.Flow.Start.OK || len(runs) == 0 {
		return a.site.Flow.Start.V
	}
	if last := runs[len(runs)-1]; runs[0].From == 0 && last.To == 24 { // one run over midnight
		return last.From
	}
	return runs[0].From
}
