package residual

import (
	"math"
	"sort"

	"jarwright/jartest/quantity"
)

// Daily is a loop that is fed the same for so many hours of every day. New water,
// breakdown and what the water makes go on all day. Levels are those at the end of
// a day's run, which is when a day stands worst.
type Daily struct {
	Loop
	Hours quantity.Time // of the run, 24 at most
}

// step is the level at the end of the next run from that at the end of one.
func (d Daily) step(level quantity.Concentration) quantity.Concentration {
	return d.from(d.Rested(level)).At(d.Hours)
}

// idle is the loop while the unit stands.
func (d Daily) idle() Loop {
	l := d.Loop
	l.Flow = 0
	return l
}

// kept gives ln of the share of a level that is there a day later, below zero or zero.
func (d Daily) kept() float64 {
	_, running := d.rates()
	_, idle := d.idle().rates()
	return -running*float64(d.Hours) - idle*float64(24-d.Hours)
}

// After is the level at the end of the run of a day; the first is day 1.
func (d Daily) After(day int) quantity.Concentration {
	first, k, more := d.Loop.At(d.Hours), d.kept(), float64(day-1)
	days := more // the sum of what is left of each later day's gain, in days
	if k*24 < -1e-9 {
		days = math.Expm1(k*more) / math.Expm1(k)
	}
	return first*quantity.Concentration(math.Exp(k*more)) + d.step(0)*quantity.Concentration(days)
}

// Rested is the level at the end of the rest after a run that ended at a level.
func (d Daily) Rested(level quantity.Concentration) quantity.Concentration {
	return d.idle().from(level).At(24 - d.Hours)
}

// Sags is how long from the start of the first run until the first rest brings the level below a limit; false where none
// of the days looked at leaves less.
func (d Daily) Sags(limit quantity.Concentration, days int) (quantity.Time, bool) {
	below := func(day int) bool { return d.Rested(d.After(day)) < limit }
	if !below(days) {
		return 0, false
	}
	return d.inRest(first(days, below), limit), true
}

// inRest is when the rest after the run of a day brings the level to a limit, from the start of the first run.
func (d Daily) inRest(day int, limit quantity.Concentration) quantity.Time {
	t, ok := d.idle().from(d.After(day)).Reaches(limit)
	if !ok { // by rounding alone
		t = 24 - d.Hours
	}
	return 24*quantity.Time(day-1) + d.Hours + min(t, 24-d.Hours)
}

// first is the first day of so many of which something holds that holds of the last and, once it does, of all that follow.
func first(days int, holds func(day int) bool) int {
	return 1 + sort.Search(days-1, func(i int) bool { return holds(i + 1) })
}

// Settles is where the ends of the runs come to, and whether they do: without new
// water, recapture and breakdown the level rises without end.
func (d Daily) Settles() (quantity.Concentration, bool) {
	k := d.kept()
	if k >= 0 {
		return 0, false
	}
	return d.step(0) / quantity.Concentration(-math.Expm1(k)), true
}

// Reaches is how long from the start of the first run until the level comes to a limit, from below or from above, in a
// run or in the rest after it; false where the run of none of the days looked at ends past it.
func (d Daily) Reaches(limit quantity.Concentration, days int) (quantity.Time, bool) {
	past := func(level quantity.Concentration) bool {
		return d.Start < limit && level >= limit || d.Start > limit && level <= limit
	}
	if d.Start == limit {
		return 0, true
	}
	if !past(d.After(days)) { // levels go one way only
		return 0, false
	}
	day := first(days, func(day int) bool { return past(d.After(day)) || past(d.Rested(d.After(day))) })
	if !past(d.After(day)) {
		return d.inRest(day, limit), true
	}
	run := d.Loop
	if day > 1 {
		run = run.from(d.Rested(d.After(day - 1)))
	}
	t, ok := run.Reaches(limit)
	if !ok { // by rounding alone
		t = d.Hours
	}
	return 24*quantity.Time(day-1) + min(t, d.Hours), true
}

func (l Loop) from(start quantity.Concentration) Loop {
	l.Start = start
	return l
}
