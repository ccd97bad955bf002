package month

import (
	"slices"
	"strings"
	"unicode"

	"jarwright/dosing"
	"jarwright/jartest/note"
)

// Later gathers what later months have to say beside the first one: what was not said yet is told with
// its month, what was said with other figures is told to hold in those months too.
type Later struct {
	first   note.List
	new     note.List
	in      []Month         // in which each of new was said first
	seasons map[string]bool // what was said of a season, without the name of its month
	again   []again
}

// again is a remark that holds in later months too, with figures of their own.
type again struct {
	of     note.Note
	months []Month
}

// After begins with what the first month says.
func After(m Month, first note.List) *Later {
	l := &Later{first: first, seasons: map[string]bool{}}
	for _, n := range first {
		l.tellsSeason(m, n)
	}
	return l
}

// tellsSeason reports that a note is of a season and says what none before it did, whatever its month.
func (l *Later) tellsSeason(m Month, n note.Note) (is, news bool) {
	what := strings.Replace(n.Message, m.Month.String(), "", 1)
	is = n.Code == dosing.InSeasonCode
	news = is && !l.seasons[what]
	l.seasons[what] = l.seasons[what] || is
	return is, news
}

// Add takes what a later month says.
func (l *Later) Add(m Month, said note.List) {
	for _, n := range said {
		same := func(o note.Note) bool { return alikeNotes(o, n) }
		if is, news := l.tellsSeason(m, n); is {
			if news {
				l.new.Add(n)
				l.in = append(l.in, m)
			}
			continue
		}
		switch i := slices.IndexFunc(l.first, same); {
		case i >= 0 && l.first[i].Equal(n):
		case i < 0 && !slices.ContainsFunc(l.new, same):
			l.new.Add(n)
			l.in = append(l.in, m)
		case n.Level > note.Info:
			l.repeat(n, m)
		}
	}
}

func (l *Later) repeat(n note.Note, m Month) {
	i := slices.IndexFunc(l.again, func(a again) bool { return alikeNotes(a.of, n) })
	if i < 0 {
		l.again = append(l.again, again{of: n, months: []Month{m}})
	} else if !slices.Contains(l.again[i].months, m) {
		l.again[i].months = append(l.again[i].months, m)
	}
}

// Notes are those of the first month and what the later ones add.
func (l *Later) Notes() note.List {
	out := slices.Clone(l.first)
	for i, n := range l.new {
		if !strings.Contains(n.Message, l.in[i].Month.String()) {
			n.Message = l.in[i].Long() + ": " + n.Message
		}
		out.Add(n)
	}
	for _, a := range l.again {
		last := a.months[len(a.months)-1]
		what := note.Say("in %s", last.Long())
		if len(a.months) > 1 {
			what = note.Say("in %d later months, the last of them %s,", len(a.months), last.Long())
		}
		out.Add(note.New(a.of.Level, a.of.Code, "%s this holds too, with other figures: %s", what, a.of.Message).At(a.of.Place).
			Do("%s`plan --date %s` shows a day of that month", note.Say("").If(a.of.Remedy != "", "%s; ", a.of.Remedy), last.First().AddDays(14)))
	}
	return out
}

// alikeNotes reports that two notes are one but for their figures.
func alikeNotes(a, b note.Note) bool {
	return a.Code == b.Code && a.Place == b.Place && a.Level == b.Level && withoutFigures(a.Message) == withoutFigures(b.Message)
}

func withoutFigures(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) || r == '.' {
			return -1
		}
		return r
	}, text)
}
