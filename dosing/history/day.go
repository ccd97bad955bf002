package history

import (
	"cmp"
	"regexp"
	"strings"

	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/calendar"
)

// Day is when a test was run: the text of its sheet, and the date where that is plain.
type Day struct {
	Text string
	Date month.Date
	// Named is true where the sheet has no day and its file's name has.
	Named bool
	// Settled is true where the text alone could be read in two ways, and the file's name or other tests settle it.
	Settled bool
}

// String is the date, else the sheet's own text.
func (d Day) String() string {
	if d.Date.IsZero() {
		return d.Text
	}
	return d.Date.String()
}

// Spelled is the date as people read it, else the sheet's own text.
func (d Day) Spelled() string {
	if d.Date.IsZero() {
		return d.Text
	}
	return d.Date.Spelled()
}

func (d Day) compare(e Day) int {
	if d.Date.IsZero() != e.Date.IsZero() {
		return map[bool]int{true: 1, false: -1}[d.Date.IsZero()]
	}
	return cmp.Or(cmp.Compare(d.Date.Serial(), e.Date.Serial()), cmp.Compare(d.Text, e.Text))
}

// inName is an ISO date within the name of a file.
var inName = regexp.MustCompile(`(?:^|\D)((?:19|20)\d\d[-_.]?(?:0[1-9]|1[0-2])[-_.]?(?:0[1-9]|[12]\d|3[01]))(?:\D|$)`)

// dayOf is the day of a series: its sheet's, else one that the file's name has.
func dayOf(s jartest.Series) Day {
	text := strings.TrimSpace(s.Sample().Date)
	if text == "" {
		if d := dayInName(s.Place.File); !d.IsZero() {
			return Day{Text: d.String(), Date: d, Named: true}
		}
	}
	return Day{Text: text, Date: readDay(text)}
}

// dayInName is the day that the name of a file has; zero where it has none.
func dayInName(file string) month.Date {
	m := inName.FindStringSubmatch(file[strings.LastIndexAny(file, `/\`)+1:])
	if m == nil {
		return month.Date{}
	}
	return readDay(strings.NewReplacer("_", "", ".", "", "-", "").Replace(m[1]))
}

// settled reads days that can be read in two ways as the names of their files have them, else as all other days written
// with the same mark are: one of 14/10/2024 tells that the day comes first, as it does between dots.
func settled(tests []Test) []Test {
	first := map[string][2]bool{} // by mark: whether some day comes first, some month
	open := map[int]calendar.Ways{}
	for i, t := range tests {
		w := calendar.Read(t.Day.Text)
		if w.Mark == "" || !w.Two() && !w.DayFirst.IsZero() && !w.MonthFirst.IsZero() {
			continue
		}
		seen, named := first[w.Mark], dayInName(t.At.File)
		byName := [2]bool{named == month.DateOf(w.DayFirst), named == month.DateOf(w.MonthFirst)}
		switch {
		case w.MonthFirst.IsZero() || w.Two() && byName[0]:
			seen[0] = true
		case w.DayFirst.IsZero() || w.Two() && byName[1]:
			seen[1] = true
		}
		if first[w.Mark] = seen; w.Two() {
			open[i] = w
			if byName[0] || byName[1] {
				tests[i].Day.Date, tests[i].Day.Settled = named, true
			}
		}
	}
	for i, w := range open {
		seen := first[w.Mark]
		if w.Mark == "." && !seen[1] { // between dots the day comes first, unless some other day says otherwise
			seen[0] = true
		}
		if tests[i].Day.Date.IsZero() && seen[0] != seen[1] {
			tests[i].Day.Date, tests[i].Day.Settled = month.DateOf(either(seen[0], w.DayFirst, w.MonthFirst)), true
		}
	}
	return tests
}

// readDay reads a day; the zero date where the text can be read in two ways, or in none.
func readDay(text string) month.Date { return month.DateOf(calendar.Read(text).One()) }
