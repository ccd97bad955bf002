package month

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/site"
)

// settled is after how many days without a row of their own the lists are as every day again, mostChained how many days are
// followed at most to the one that is planned.
const settled, mostChained = 7, 28

// evening is what the days before a date leave for it, each planned from what the one before it left; nil where the calendar
// says nothing of it nor of the days just before, or where one of them cleans a tank up or cannot be planned.
func evening(s site.Site, g dosing.Given, on Date) *dosing.Evening {
	days := chained(s, on)
	if dosing.CleansTank(s) {
		return nil
	}
	var left *dosing.Evening
	for i, d := range days {
		if closedOn(s, d) != nil {
			continue
		}
		p, solids, ok := onDay(s, g, d, left)
		if !ok {
			return nil
		}
		next := on
		if open := slices.IndexFunc(days[i+1:], func(d Date) bool { return closedOn(s, d) == nil }); open >= 0 {
			next = days[i+1+open]
		}
		e := p.Evening(solids).Later(d.DaysTo(next))
		left = &e
	}
	return left
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

// onDay is the plan of a day that begins with what the one before left.
func onDay(s site.Site, g dosing.Given, on Date, before *dosing.Evening) (p dosing.Plan, solids *dosing.SolidsDay, ok bool) {
	if r := rowOf(s, on); r != nil && r.CleanUp.OK {
		return p, nil, false
	}
	s, g, err := byItself(s, g, on)
	if err != nil {
		return p, nil, false
	}
	g.Before = before
	in, err := dosing.FromSite(s, g)
	if err == nil {
		p, err = dosing.Make(in)
	}
	if err != nil || p.Notes.Err() != nil {
		return p, nil, false
	}
	return p, p.Solids(s), true
}
