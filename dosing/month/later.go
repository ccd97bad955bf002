package month

import (
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/jartest/note"
)

// Later gathers what later months have to say beside the first one: what was not said yet is told with
// its month, what was said with other figures is told to hold in those months too.
type Later struct {
	first   note.List
	new     note.List
	seasons map[string]bool // what was said of a season, without the name of its month
	again   []again
}

// again is a remark that holds in later months too, with figures of their own.
type again struct {
	of     note.Note
	months []Month
}

// After begins with what the first month says.
func After(first note.List) *Later { return &Later{first: first, seasons: map[string]bool{}} }

// Add takes what a later month says.
func (l *Later) Add(m Month, said note.List) {
	for _, n := range said {
		same := func(o note.Note) bool { return o.Code == n.Code && o.Place == n.Place && o.Level == n.Level }
		if n.Code == dosing.InSeasonCode {
			if what := strings.Replace(n.Message, m.Month.String(), "", 1); !l.seasons[what] {
				l.seasons[what] = true
				l.new.Add(n)
			}
			continue
		}
		switch i := slices.IndexFunc(l.first, same); {
		case i >= 0 && l.first[i].Equal(n) || slices.ContainsFunc(l.new, same):
		case i < 0:
			if !strings.Contains(n.Message, m.Month.String()) {
				n.Message = m.Long() + ": " + n.Message
			}
			l.new.Add(n)
		case n.Level > note.Info:
			l.repeat(n, m)
		}
	}
}

func (l *Later) repeat(n note.Note, m Month) {
	i := slices.IndexFunc(l.again, func(a again) bool { return a.of.Code == n.Code && a.of.Place == n.Place })
	if i < 0 {
		l.again = append(l.again, again{of: n, months: []Month{m}})
	} else if !slices.Contains(l.again[i].months, m) {
		l.again[i].months = append(l.again[i].months, m)
	}
}

// Notes are those of the first month and what the later ones add.
func (l *Later) Notes() note.List {
	out := slices.Concat(l.first, l.new)
	for _, a := range l.again {
		last := a.months[len(a.months)-1]
		what := note.Say("in %s", last.Long())
		if len(a.months) > 1 {
			what = note.Say("in %d later months, the last of them %s,", len(a.months), last.Long())
		}
		out.Add(note.New(a.of.Level, a.of.Code, "%s this holds too, with other figures: %s", what, a.of.Message).At(a.of.Place).
			Do("look at the day of that month: `plan --date %s`", last.First().AddDays(14)))
	}
	return out
}
