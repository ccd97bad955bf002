package month

import (
	"math"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// OnDate gives a site, and what it points at, as its calendar has them on a date: the flow,
// the hours and the raw water that a budget counts for that day. A clean-up that clarify knows is
// planned by itself, be it all of the day or beside it; one that it does not know is more of
// the day's water. A day on which nothing runs is a fault that says so; a date without a row of
// its own is told.
func OnDate(s site.Site, g dosing.Given, on Date) (site.Site, dosing.Given, error) {
	c := newCourse(s, g)
	before, next := c.evening(on), c.morning(on)
	s, g, err := byItself(s, g, on)
	g.Before, g.Next, g.Ahead = before, next, c.brings(on)
	return s, g, err
}

// byItself is [OnDate] without what the day before leaves.
func byItself(s site.Site, g dosing.Given, on Date) (site.Site, dosing.Given, error) {
	if len(s.Calendar) == 0 {
		return s, g, nil
	}
	a := adapter{site: s, opt: Options{Given: g, Today: on.utc()}}
	p := Plan{Calendar: Calendar{Month: MonthOf(on)}}
	a.flow(&p)
	a.calendar(&p)
	days, err := p.Calendar.Days(0)
	if faults := append(a.faults, note.Of(err, "calendar")...); len(faults) > 0 {
		return s, g, faults.Err()
	}
	d, row := days[on.Day-1], rowOf(s, on)
	s.Notes = append(note.List{}, s.Notes...)
	switch batch := dosing.CleansTank(s) && cleansUp(s); {
	case batch && d.CleanUp > 0:
		return s, g, nil // the clean-up is planned by itself
	case batch:
		next := note.Say("a day on which one begins")
		if d, ok := nextCleanUp(s, on); ok {
			next = note.Say("%s, when the next one begins", d)
		}
		if closedOn(s, on) == nil {
			next = next.And(", or take the steps of one begun on %s from clarify", on)
		}
		return s, g, nothingRuns(on, row, "a day on which the calendar begins no clean-up").
			Do("plan %s; one begun earlier goes by the plan of its own day", next)
	}
	g.Rest = restBeside(s, on)
	switch {
	case row == nil:
		s.Notes.Add(note.New(note.Info, "date-without-row", "the calendar has no row for %s: the usual day is planned", on))
		return s, g, nil
	case d.Running() <= 0:
		return s, g, nothingRuns(on, row, "a day on which nothing runs")
	case d.CleanUp > 0:
		if done, faults := a.cleaned(); len(faults) == 0 {
			said := note.Say("a clean-up of %s begins on %s: it %s", dosing.WithArticle(done.Name), on, taking(done))
			if g.CleansUp = !d.Operating; !d.Operating {
				s.Notes.Add(note.New(note.Info, "date-row", "%s is planned by its row of the calendar: no ordinary water, %s", on, said).At(row.At))
				return s, g, nil
			}
			s.Notes.Add(note.New(note.Info, "clean-up-begins", "%s, all of it beside what is planned here", said).At(row.CleanUp.At).
				Do("take its steps from `clarify --date %s`", on))
			if a.shared(days[on.Day-1:], done) > 0 {
				s.Notes.Add(clashes(done, on).At(row.CleanUp.At))
			}
			d.CleanUp, d.Cleaning = 0, 0
		}
	}
	s, g = a.byRow(s, g, d, *row)
	return s, g, nil
}

// byRow gives a site as a row of its calendar has it on a day.
func (a adapter) byRow(s site.Site, g dosing.Given, d Day, row site.Day) (site.Site, dosing.Given) {
	shaped := false
	if own := row.Flow.OK || !alike(d.Flow, a.day.Average()); own || row.Hours.OK || d.CleanUp > 0 || !alike(d.Hours, a.day.Running()) {
		shaped = s.Flow.HasHours() || g.Log != nil
		flow := quantity.Flow(d.Treated().In("m3") / float64(d.Running()))
		beside := flow - d.Flow
		g.Usual = quantity.Some(a.day.Volume())
		d.Flow, d.Hours = flow, d.Running()
		s.Flow, g.Log = a.steady(d, own || !d.Operating, beside, row.At), nil
		s.Notes = append(s.Notes, d.cleansBeside(beside, row.At)...)
	}
	g.Class = d.Class
	if t := dosing.TurbidityOf(s, d.Class); t.OK && d.Class != site.UsualWater {
		s.Solids.PerNTU = dosing.PerNTU(s) // of the usual water's two readings, where nobody measured it
		s.Water.Turbidity, s.Water.TSS = t, quantity.Known[quantity.Concentration]{}
	}
	said := note.Say("%s is planned by its row of the calendar: %s water, %s at %s", d.Date, named(d.Class), d.Hours, d.Flow).
		If(d.CleanUp > 0, ", of it %s to clean a tank", quantity.To(d.CleanUp, 4)).
		If(shaped, " all the time, not by the hour as the usual day")
	s.Notes.Add(note.New(note.Info, "date-row", "%s", said).At(row.At))
	return s, g
}

// steady is the flow of a site on a day that its calendar gives a flow or hours of its own:
// one flow, from when the usual run starts, so much of it beside the ordinary water. The usual
// range says nothing of another flow.
func (a adapter) steady(d Day, ownFlow bool, beside quantity.Flow, at note.Place) site.Flow {
	f := a.site.Flow
	if !f.Start.OK && (f.HasHours() || a.opt.Given.Log != nil) && len(a.day.Runs()) > 0 {
		f.Start = quantity.Known[quantity.Time]{V: a.start(), OK: true, At: at}
	}
	f.Average = quantity.Known[quantity.Flow]{V: d.Flow, OK: true, At: at}
	f.Hours = quantity.Known[quantity.Time]{V: d.Hours, OK: true, At: at}
	f.ByHour, f.Runs = [24]quantity.Known[quantity.Flow]{}, nil
	if ownFlow {
		f.Least, f.Peak = quantity.Known[quantity.Flow]{}, quantity.Known[quantity.Flow]{}
	}
	for _, end := range []*quantity.Known[quantity.Flow]{&f.Least, &f.Peak} {
		if end.OK {
			end.V += beside
		}
	}
	return f
}

// alike reports that two amounts are one but for what rounding leaves between them.
func alike[T ~float64](a, b T) bool { return math.Abs(float64(a-b)) <= 1e-9*math.Abs(float64(b)) }

// named is a class of water in a sentence.
func named(class string) string {
	if class == UsualWater {
		return site.UsualWater
	}
	return class
}

// rowOf finds the row of the calendar that speaks of a date: one of its days, else of its weekday.
func rowOf(s site.Site, on Date) (weekly *site.Day) {
	for i := range s.Calendar {
		r := &s.Calendar[i]
		switch {
		case r.Weekday.OK:
			if r.Weekday.V == on.Weekday().String() {
				weekly = r
			}
		case r.From.OK && !on.Before(DateOf(r.From.V)) && !DateOf(r.Till.Or(r.From.V)).Before(on):
			return r
		}
	}
	return weekly
}
