package solids

import (
	"cmp"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// Daily gives the emptyings of a bin as a list that is the same day after day, in the order of the
// clock from the start on; none for a bin that holds two days or more. One emptying falls on
// the same clock time every day, when somebody is there, and the others follow from it as in
// [Bin.Plan]: so the list followed day after day runs the bin over only where none could prevent it.
// Of the possible lists it is the one with the fewest overflows, then emptyings, then the least full bin.
func (b Bin) Daily(d flow.Day, l Load, staffed flow.Hours, start quantity.Time) []Emptying {
	if b.Room() <= 0 || l.Of(d) <= 0 || 2*l.Of(d) <= b.Room()*(1+1e-9) {
		return nil
	}
	first := []quantity.Time{start}
	for _, s := range staffed {
		first = append(first, start+quantity.Wrapped(s.From-start, 24), start+quantity.Wrapped(s.To-start, 24))
	}
	var best []Emptying
	for _, at := range first {
		if len(staffed) > 0 && staffed.Last(at) < at {
			continue
		}
		if list := b.roundOf(d, l, staffed, at); best == nil || worse(staffed, b.Room(), best, list) > 0 {
			best = list
		}
	}
	for i := range best {
		best[i].At = start + quantity.Wrapped(best[i].At-start, 24)
	}
	slices.SortFunc(best, func(x, y Emptying) int { return cmp.Compare(x.At, y.At) })
	return best
}

// roundOf is the list of a day that begins with the emptied bin at a clock time and ends with emptying it again.
func (b Bin) roundOf(d flow.Day, l Load, staffed flow.Hours, at quantity.Time) []Emptying {
	b.Now = 0
	list, last := b.Plan(d, l, staffed, at, 1).Emptyings, at
	if n := len(list); n > 0 {
		last = list[n-1].At
	}
	rest := l.Between(d, last, at+24)
	if rest < 1e-6*b.Room() { // emptied just then, or since the unit stopped
		return list
	}
	return append(list, Emptying{At: at + 24, Contents: rest})
}

// worse compares two lists of a day.
func worse(staffed flow.Hours, room quantity.Volume, a, b []Emptying) int {
	of := func(list []Emptying) (over int, most quantity.Volume) {
		for _, e := range list {
			if len(staffed) > 0 && staffed.Last(e.At) < e.At-1e-9 {
				over++
			}
			most = max(most, e.Contents)
		}
		return over, most
	}
	overA, mostA := of(a)
	overB, mostB := of(b)
	return cmp.Or(cmp.Compare(overA, overB), cmp.Compare(len(a), len(b)), cmp.Compare(mostA, mostB+1e-6*room))
}

// OnDay is the list of every day as it comes out on one that begins with what the bin holds, from its start until the list of the
// next day begins: emptied once more where it is full before its time, not at a time at which nothing is in it.
func (b Bin) OnDay(d flow.Day, l Load, staffed flow.Hours, daily []Emptying, start, end quantity.Time) (out []Emptying) {
	level, at := b.Now, start
	empty := func(e Emptying) {
		if e.Contents = level + l.Between(d, at, e.At); e.Contents > 1e-6*b.Room() {
			out, level, at = append(out, e), 0, e.At
		}
	}
	for _, e := range daily {
		if e.At < start || e.At >= end-1e-9 {
			continue
		}
		for full, fills := fullAt(d, l, b.Room()-level, at, e.At-1e-9); fills; full, fills = fullAt(d, l, b.Room()-level, at, e.At-1e-9) {
			more := Emptying{At: full}
			last, ok := lastStaffed(at, full, staffed)
			if ok && !staffedAt(full, staffed) && level+l.Between(d, at, last) > 1e-6*b.Room() {
				more = Emptying{At: last, Early: true}
			}
			empty(more)
		}
		empty(e)
	}
	return out
}
