package month

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// settled is after how many days without a row of their own the lists are as every day again, mostChained how many days are
// followed at most to the one that is planned where all of them fill every tank and empty the bin.
const settled, mostChained = 7, 28

// evening is what the days before a date leave for it, each planned from what the one before it left; nil where they are all as
// every day, or where nobody knows it of the day before: one that cleans a tank up, or cannot be planned. A tank that is not filled every day remembers which day
// it was filled on for as long as it is used, so that those lists are followed from a first day that is the same for all of them.
func (c *course) evening(on Date) *dosing.Evening {
	if dosing.CleansTank(c.site) {
		return nil
	}
	days := chained(c.site, on)
	left, remembers := c.follow(days, on)
	if len(days) == 0 { // all as every day
		_, remembers = c.follow([]Date{on}, on.AddDays(1))
	}
	if remembers {
		left, _ = c.follow(between(firstList(c.site, on), on), on)
	}
	if left != nil && !left.BinTold { // so large that it was never emptied in these days: nobody knows what stood in it before
		left.Bin = quantity.Known[quantity.Volume]{}
	}
	return left
}

// follow plans days in a row, each from what the one before it left, and gives what the last leaves for a date; remembers is true
// where one of them leaves a tank or the bin as it is not left every day.
func (c *course) follow(days []Date, on Date) (left *dosing.Evening, remembers bool) {
	for i, d := range days {
		if closedOn(c.site, d) != nil {
			continue
		}
		p, solids, ok := c.onDay(d, left, c.morning(d))
		if !ok {
			left = nil
			continue
		}
		next := on
		if open := slices.IndexFunc(days[i+1:], func(d Date) bool { return closedOn(c.site, d) == nil }); open >= 0 {
			next = days[i+1+open]
		}
		e := p.Evening(solids).Later(d.DaysTo(next))
		left, remembers = &e, remembers || p.Remembers(solids)
	}
	return left, remembers
}

// mostYears is for how many years before a date its lists are followed.
const mostYears = 2

// firstList is the day with which the lists of a site begin that follow one another to a date: the first of the year in which its
// sheet was written, or in which the first row of its calendar begins, and of the date's own year where that comes before.
func firstList(s site.Site, on Date) Date {
	first := on.Year
	if s.Place.Date.OK {
		first = min(first, DateOf(s.Place.Date.V).Year)
	}
	for _, r := range s.Calendar {
		if r.From.OK {
			first = min(first, DateOf(r.From.V).Year)
		}
	}
	return Date{max(first, on.Year-mostYears), 1, 1}
}

// between are the days from one to the day before another.
func between(from, to Date) (out []Date) {
	for d := from; d.Before(to); d = d.AddDays(1) {
		out = append(out, d)
	}
	return out
}

// chained are the days from the last that is as every day to the one before a date.
func chained(s site.Site, on Date) (out []Date) {
	special := func(d Date) bool { return rowOf(s, d) != nil }
	plain, d := 0, on
	for len(out) < mostChained && plain < settled {
		d = d.AddDays(-1)
		if plain++; special(d) {
			plain = 0
		}
		out = append(out, d)
	}
	slices.Reverse(out)
	first := slices.IndexFunc(append(out, on), special)
	if first < 0 {
		return nil
	}
	return out[max(0, first-1):]
}
