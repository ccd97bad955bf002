// Package calendar reads days as people write them: in numbers, or with the name of the month in the languages of the
// vocabulary. A day is the midnight of it in UTC; the zero time is none. Text is taken as [words.Fold] leaves it.
package calendar

import (
	_ "embed" // the months are part of the program
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"jarwright/jartest/words"
)

//go:embed months.txt
var monthsTable string

// months are the months by every name that they have, and whole those names that are not cut short.
var months = sync.OnceValue(func() (m struct {
	of    map[string]time.Month
	whole []string
}) {
	m.of = map[string]time.Month{}
	for line := range strings.Lines(monthsTable) {
		part := strings.Split(line, "|")
		n, err := strconv.Atoi(strings.TrimSpace(part[0]))
		if err != nil { // a remark
			continue
		}
		for i, names := range part[1:] {
			for _, w := range strings.Fields(words.Fold(names)) {
				m.of[w] = time.Month(n)
				if i == 0 {
					m.whole = append(m.whole, w)
				}
			}
		}
	}
	return m
})

// Names are the names of the months, whole and cut short.
func Names() []string { return slices.Sorted(maps.Keys(months().of)) }

// Month gives the month that a folded word names, whole or cut short to so many letters at least where that can be no
// other; 0 for none.
func Month(word string, least int) time.Month {
	if m, ok := months().of[word]; ok {
		return m
	}
	if len([]rune(word)) < least {
		return 0
	}
	var found time.Month
	for _, w := range months().whole {
		if strings.HasPrefix(w, word) {
			if m := months().of[w]; found != 0 && found != m {
				return 0
			} else {
				found = m
			}
		}
	}
	return found
}

// Ways are the days that a text can be read as: none, one, or two where the day may stand before the month or behind it.
type Ways struct {
	DayFirst, MonthFirst time.Time
	// Mark is what parts the numbers of such a day; empty where the order is plain.
	Mark string
}

// Two reports a day that can be read in two ways.
func (w Ways) Two() bool {
	return !w.DayFirst.IsZero() && !w.MonthFirst.IsZero() && !w.DayFirst.Equal(w.MonthFirst)
}

// One is the day where it can be read in one way only; the zero time where it cannot.
func (w Ways) One() time.Time {
	if w.Two() {
		return time.Time{}
	}
	if w.DayFirst.IsZero() {
		return w.MonthFirst
	}
	return w.DayFirst
}

// form is one way to write a day: which group of the pattern is what, 0 for a part that it lacks.
type form struct {
	*regexp.Regexp
	year, month, day int
}

// behind is what may stand behind a day: a clock time. It is the last group of every form.
const behind = `([ t]\d{1,2}:\d{2}.*)?$`

var (
	plainForms = []form{
		{regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})` + behind), 1, 2, 3},
		{regexp.MustCompile(`^(\d{4})(\d{2})(\d{2})` + behind), 1, 2, 3},
		{regexp.MustCompile(`^(\d{4}) ?[年년] ?(\d{1,2}) ?[月월] ?(\d{1,2}) ?[日号號일]?` + behind), 1, 2, 3},
		{regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th)?[-./ ]*(?:of |de |di )?(\pL{3,})[-.,/ ]*(?:de |del )?(\d{4}|\d{2})` + behind), 3, 2, 1},
		{regexp.MustCompile(`^(\pL{3,})[-./ ]*(\d{1,2})(?:st|nd|rd|th)?,? (\d{4})` + behind), 3, 1, 2},
	}
	// numbers is a day of three numbers whose year comes last.
	numbers = regexp.MustCompile(`^(\d{1,2})([-/.])(\d{1,2})[-/.]((?:19|20)\d\d)` + behind)
	// leads is a word before a day, such as a weekday in any language.
	leads = regexp.MustCompile(`^\s*(\pL{2,})\.?,?\s*([\pL\d].*)$`)
)

// Read reads a text that is a day and nothing else but a weekday before it and a clock time behind.
func Read(text string) Ways {
	s := words.Fold(withoutWeekday(text))
	if day, _, ok := plain(s); ok {
		return Ways{DayFirst: day, MonthFirst: day}
	}
	m := numbers.FindStringSubmatch(s)
	if m == nil {
		return Ways{}
	}
	return Ways{DayFirst: dayOf(m[4], m[3], m[1]), MonthFirst: dayOf(m[4], m[1], m[3]), Mark: m[2]}
}

// Plain writes a day whose order is plain as year, month and day in numbers, with the clock time behind it, and leaves out
// a weekday before any day; all else stays as it stands.
func Plain(text string) string {
	bare := withoutWeekday(text)
	if day, clock, ok := plain(words.Fold(bare)); ok && !day.IsZero() {
		return day.Format(time.DateOnly) + clock
	}
	return bare
}

// plain reads a folded day whose order is plain; the zero time where there is no such day.
func plain(s string) (day time.Time, clock string, ok bool) {
	for _, f := range plainForms {
		if m := f.FindStringSubmatch(s); m != nil {
			return dayOf(m[f.year], m[f.month], m[f.day]), strings.Replace(m[len(m)-1], "t", " ", 1), true
		}
	}
	return time.Time{}, "", false
}

// withoutWeekday leaves out a word before a day that is no month, such as a weekday in any language.
func withoutWeekday(text string) string {
	if m := leads.FindStringSubmatch(text); m != nil && Month(words.Fold(m[1]), shortest) == 0 {
		return m[2]
	}
	return text
}

// shortest is how many letters a month has at least where a text is a day and nothing else, and spelt where it stands in
// a sentence, in which three letters are many a word.
const shortest, spelt = 3, 4

// dayOf is the day of a year of four or two digits, a month by number or name, and a day; the zero time where there is no such day.
func dayOf(year, month, day string) time.Time {
	y, _ := strconv.Atoi(year)
	if len(year) == 2 {
		y += 2000
	}
	m := Month(month, shortest)
	if n, err := strconv.Atoi(month); err == nil {
		m = time.Month(n)
	}
	d, _ := strconv.Atoi(day)
	if is := time.Date(y, m, d, 0, 0, 0, 0, time.UTC); is.Month() == m && is.Day() == d {
		return is
	}
	return time.Time{}
}
