package history

import (
	"cmp"
	"regexp"
	"strings"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest"
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

// plainDays are dates that can be read in one way.
var plainDays = []string{"2006-1-2", "2006/1/2", "2006.1.2", "2 January 2006", "2 Jan 2006", "January 2 2006", "Jan 2 2006", "2-Jan-2006", "2-Jan-06", "2-January-2006", "20060102"}

// byNumber is a date of three numbers whose year comes last.
var byNumber = regexp.MustCompile(`^(\d{1,2})[-/.](\d{1,2})[-/.]((?:19|20)\d\d)$`)

// inName is an ISO date within the name of a file.
var inName = regexp.MustCompile(`(?:^|\D)((?:19|20)\d\d[-_.]?(?:0[1-9]|1[0-2])[-_.]?(?:0[1-9]|[12]\d|3[01]))(?:\D|$)`)

// weekday is a day of the week before a date.
var weekday = regexp.MustCompile(`^(?i:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,? `)

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

// twoWays are the readings of a date of three numbers whose year comes last, each zero where it is no day, and what parts the numbers.
type twoWays struct {
	dayFirst, monthFirst month.Date
	mark                 string
}

func waysOf(text string) (w twoWays, ok bool) {
	s := bareDay(text)
	m := byNumber.FindStringSubmatch(s)
	if m == nil {
		return w, false
	}
	w.mark = s[len(m[1]) : len(m[1])+1]
	read := func(layout string) month.Date {
		t, err := time.Parse(layout, m[1]+"/"+m[2]+"/"+m[3])
		if err != nil {
			return month.Date{}
		}
		return month.DateOf(t)
	}
	w.dayFirst, w.monthFirst = read("2/1/2006"), read("1/2/2006")
	return w, true
}

// settled reads days that can be read in two ways as the names of their files have them, else as all other days written
// with the same mark are: one of 14.10.2024 tells that the day comes first.
func settled(tests []Test) []Test {
	first := map[string][2]bool{} // by mark: whether some day comes first, some month
	open := map[int]twoWays{}
	for i, t := range tests {
		w, ok := waysOf(t.Day.Text)
		if !ok || w.dayFirst == w.monthFirst {
			continue
		}
		seen, named := first[w.mark], dayInName(t.At.File)
		both := !w.dayFirst.IsZero() && !w.monthFirst.IsZero()
		switch {
		case w.monthFirst.IsZero() || both && named == w.dayFirst:
			seen[0] = true
		case w.dayFirst.IsZero() || both && named == w.monthFirst:
			seen[1] = true
		}
		if first[w.mark] = seen; both {
			open[i] = w
			if named == w.dayFirst || named == w.monthFirst {
				tests[i].Day.Date, tests[i].Day.Settled = named, true
			}
		}
	}
	for i, w := range open {
		if seen := first[w.mark]; tests[i].Day.Date.IsZero() && seen[0] != seen[1] {
			tests[i].Day.Date, tests[i].Day.Settled = either(seen[0], w.dayFirst, w.monthFirst), true
		}
	}
	return tests
}

// bareDay is a day without its weekday, commas and spaces to spare.
func bareDay(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(weekday.ReplaceAllString(strings.TrimSpace(text), ""), ",", " ")), " ")
}

// readDay reads a day; the zero date where the text can be read in two ways, or in none.
func readDay(text string) month.Date {
	s := bareDay(text)
	if date, _, ok := strings.Cut(s, "T"); ok && len(date) == len("2006-01-02") {
		s = date
	}
	for _, layout := range plainDays {
		if t, err := time.Parse(layout, s); err == nil {
			return month.DateOf(t)
		}
	}
	switch w, ok := waysOf(s); {
	case ok && (w.monthFirst.IsZero() || w.monthFirst == w.dayFirst):
		return w.dayFirst
	case ok && w.dayFirst.IsZero():
		return w.monthFirst
	}
	return month.Date{}
}
