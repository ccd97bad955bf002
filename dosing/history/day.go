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
		if m := inName.FindStringSubmatch(s.Place.File[strings.LastIndexAny(s.Place.File, `/\`)+1:]); m != nil {
			d := readDay(strings.NewReplacer("_", "", ".", "", "-", "").Replace(m[1]))
			return Day{Text: d.String(), Date: d, Named: true}
		}
	}
	return Day{Text: text, Date: readDay(text)}
}

// readDay reads a day; the zero date where the text can be read in two ways, or in none.
func readDay(text string) month.Date {
	s := strings.Join(strings.Fields(strings.ReplaceAll(weekday.ReplaceAllString(strings.TrimSpace(text), ""), ",", " ")), " ")
	if date, _, ok := strings.Cut(s, "T"); ok && len(date) == len("2006-01-02") {
		s = date
	}
	for _, layout := range plainDays {
		if t, err := time.Parse(layout, s); err == nil {
			return month.DateOf(t)
		}
	}
	m := byNumber.FindStringSubmatch(s)
	if m == nil {
		return month.Date{}
	}
	s = m[1] + "/" + m[2] + "/" + m[3]
	dayFirst, errA := time.Parse("2/1/2006", s)
	monthFirst, errB := time.Parse("1/2/2006", s)
	switch {
	case errA == nil && (errB != nil || dayFirst.Equal(monthFirst)):
		return month.DateOf(dayFirst)
	case errA != nil && errB == nil:
		return month.DateOf(monthFirst)
	}
	return month.Date{}
}
