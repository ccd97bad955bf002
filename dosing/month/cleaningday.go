package month

import (
	"cmp"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// cleansUp reports that a site's calendar has clean-ups.
func cleansUp(s site.Site) bool {
	return slices.ContainsFunc(s.Calendar, func(r site.Day) bool { return r.CleanUp.OK })
}

// nextCleanUp is the first day after a date on which the calendar begins a clean-up, within a year.
func nextCleanUp(s site.Site, on Date) (Date, bool) {
	for d := on.AddDays(1); on.DaysTo(d) <= mostClosed; d = d.AddDays(1) {
		if r := rowOf(s, d); r != nil && r.CleanUp.OK {
			return d, true
		}
	}
	return Date{}, false
}

// nothingRuns is the fault of planning such a day, with what its row says of it, if it has one.
func nothingRuns(on Date, row *site.Day, such string) note.Note {
	row = cmp.Or(row, &site.Day{})
	why := note.Say("%s is "+such, on).If(row.Note.OK, " (%s)", row.Note.V)
	return note.Fault("day-closed", "%s: nothing is planned", why).At(row.At).Do("plan another day, or change the calendar")
}

// cleansBeside says that a clean-up has no hours of its own, so that its water is planned
// beside the ordinary one, so much in each hour.
func (d Day) cleansBeside(beside quantity.Flow, at note.Place) (l note.List) {
	if d.CleanUp > 0 && d.Operating && beside > d.Flow*1e-9 {
		l.Add(note.New(note.Caution, "clean-up-beside",
			"the %s of the clean-up find no hours of their own on %s: they are planned as going through evenly beside the ordinary water",
			quantity.To(d.CleanUp, 4), d.Date).At(at).
			Do("let them in at %s all the time, or give the day fewer hours so that the clean-up has its own", quantity.To(beside, 3)))
	}
	return l
}

// CleaningOn is what a site's calendar has to say of a clean-up begun on a date: a fault
// where that day is closed, and a note where the calendar begins its clean-ups on other days.
func CleaningOn(s site.Site, on Date) (note.List, error) {
	row := rowOf(s, on)
	switch {
	case closedOn(s, on) != nil:
		return nil, nothingRuns(on, row, "a day on which nothing runs")
	case cleansUp(s) && (row == nil || !row.CleanUp.OK):
		return note.List{note.New(note.Info, "no-clean-up-then",
			"the calendar begins no clean-up on %s: this is what one begun then would be", on)}, nil
	}
	return nil, nil
}

// meanOfCleaning is the water that clean-ups like this one come to on the average day of a month; of
// one in thirty days where it begins none, or no month is known.
func meanOfCleaning(s site.Site, c dosing.Cleaning, m Month) (mean quantity.Known[quantity.Volume]) {
	if m == (Month{}) && s.Place.Date.OK {
		m = MonthOf(DateOf(s.Place.Date.V))
	}
	once := quantity.Some(c.Treated / RoughDays)
	if m == (Month{}) {
		return once
	}
	a, p := adapter{site: s}, Plan{Calendar: Calendar{Month: m, Week: EveryDay(24), CleanTime: c.Time}}
	a.calendar(&p)
	days, err := p.Calendar.Days(0)
	if err != nil || len(a.faults) > 0 {
		return once // the month tells them
	}
	for _, d := range days {
		if d.CleanUp > 0 {
			mean = quantity.Some(mean.V + c.Treated/quantity.Volume(len(days)))
		}
	}
	if !mean.OK {
		return once
	}
	return mean
}

// RoughDays are the days of a month that nobody names.
const RoughDays = 30

// closedOn is the row of the calendar that closes a day, nil where none does.
func closedOn(s site.Site, on Date) *site.Day {
	if r := rowOf(s, on); r != nil && r.Runs.OK && !r.Runs.V && !r.CleanUp.OK {
		return r
	}
	return nil
}

// restBeside is for how long the days beside a date are closed, in a row.
func restBeside(s site.Site, on Date) (r dosing.Rest) {
	rests := func(on Date) bool { // a day that only cleans a tank up makes none of the usual stocks
		row := rowOf(s, on)
		return row != nil && row.Runs.OK && !row.Runs.V
	}
	for side, out := range map[int]*quantity.Time{-1: &r.Before, 1: &r.After} {
		for n := 1; n <= mostClosed && rests(on.AddDays(side*n)); n++ {
			*out += 24
		}
	}
	return r
}

// mostClosed is after how many closed days no stock is left that keeps.
const mostClosed = 366

// IntoClosed says that a clean-up begun on a date goes on into a day on which nothing runs.
func IntoClosed(s site.Site, c dosing.Cleaning, on Date) note.List {
	tank := c.Tank()
	for d := on.AddDays(1); quantity.Time(24*on.DaysTo(d)) < tank.Begin+c.Time; d = d.AddDays(1) {
		if r := closedOn(s, d); r != nil {
			said := note.Say("a clean-up begun on %s goes on until %s, and %s is a day on which nothing runs", on, tank.Clock(c.Time), d).
				If(r.Note.OK, " (%s)", r.Note.V)
			return note.List{note.New(note.Caution, "clean-up-into-closed", "%s", said).At(r.At).Do("begin it earlier, or change the calendar")}
		}
	}
	return nil
}
