package month

import (
	"slices"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// course plans the days of a site in turn. What a day has of its row of the calendar is worked out once for all days that have the same of it,
// as long lists follow one another.
type course struct {
	site     site.Site
	given    dosing.Given
	inputs   map[dayKind]ofKind
	mornings map[ahead]*dosing.Morning
}

// dayKind is what the calendar says of a day, apart from where it says so and for when.
type dayKind struct {
	row     site.Day
	has     bool
	weekday time.Weekday // where weeks or a log tell days of the week apart
	month   Month        // where one flow may be that of every day of its month
	rest    dosing.Rest
}

// ofKind is what days of one kind are planned from; ok is false where they cannot be.
type ofKind struct {
	site  site.Site
	input dosing.Input
	ok    bool
}

// ahead is a kind of day that comes so many days after another.
type ahead struct {
	kind dayKind
	days int
}

func newCourse(s site.Site, g dosing.Given) *course {
	return &course{site: s, given: g, inputs: map[dayKind]ofKind{}, mornings: map[ahead]*dosing.Morning{}}
}

// kind is that of a day.
func (c *course) kind(on Date) (x dayKind) {
	x.rest = restBeside(c.site, on)
	if c.given.Log != nil || slices.ContainsFunc(c.site.Calendar, func(r site.Day) bool { return r.Weekday.OK }) {
		x.weekday = on.Weekday()
	}
	r := rowOf(c.site, on)
	if x.has = r != nil; !x.has {
		return x
	}
	if r.Flow.OK {
		x.month = MonthOf(on)
	}
	x.row = site.Day{Runs: placeless(r.Runs), Hours: placeless(r.Hours), Flow: placeless(r.Flow), Water: placeless(r.Water), CleanUp: placeless(r.CleanUp)}
	return x
}

func placeless[T any](k quantity.Known[T]) quantity.Known[T] {
	k.At = note.Place{}
	return k
}

// input is what a day is planned from, without what the days beside it leave and need.
func (c *course) input(on Date) ofKind {
	k := c.kind(on)
	x, done := c.inputs[k]
	if done {
		return x
	}
	if r := rowOf(c.site, on); r == nil || !r.CleanUp.OK {
		s, g, err := byItself(c.site, c.given, on)
		if x.site = s; err == nil {
			x.input, err = dosing.FromSite(s, g)
		}
		x.ok = err == nil
	}
	c.inputs[k] = x
	return x
}

// onDay is the plan of a day that begins with what the one before left, and leaves what the next one needs; what it says of dates is that of
// any day of its sort.
func (c *course) onDay(on Date, before *dosing.Evening, next *dosing.Morning) (p dosing.Plan, solids *dosing.SolidsDay, ok bool) {
	x := c.input(on)
	if !x.ok {
		return p, nil, false
	}
	x.input.Before, x.input.Next = before, next
	p, err := dosing.Make(x.input)
	if err != nil || p.Notes.Err() != nil {
		return p, nil, false
	}
	return p, p.Solids(x.site), true
}

// morning is what the next day that the unit runs needs of a date; nil where the calendar has no row for either, or where that
// one cleans a tank up or cannot be planned.
func (c *course) morning(on Date) *dosing.Morning {
	s := c.site
	if dosing.CleansTank(s) {
		return nil
	}
	next := on.AddDays(1)
	for closedOn(s, next) != nil {
		if next = next.AddDays(1); on.DaysTo(next) > mostChained {
			return nil
		}
	}
	if rowOf(s, on) == nil && rowOf(s, on.AddDays(1)) == nil {
		return nil
	}
	k := ahead{c.kind(next), on.DaysTo(next)}
	m, done := c.mornings[k]
	if done {
		return m
	}
	if p, _, ok := c.onDay(next, nil, nil); ok {
		needs := p.Morning(k.days)
		m = &needs
	}
	c.mornings[k] = m
	return m
}
