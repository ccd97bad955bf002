package layout

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"jarwright/jartest/calendar"
	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

var (
	isoDate   = words.NewPattern(`^\d{4}[-/.]\d{1,2}[-/.]\d{1,2}(?:[ t]\d{1,2}:\d{2}.*)?$`)
	dayDate   = words.NewPattern(`^\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})(?: \d{1,2}:\d{2}.*)?$`)
	namedDate = words.NewPattern(`^(?:\d{1,2}[-/. ]*(?:` + Months + `)[-/., ]*(?:\d{2,4})?|(?:` + Months + `)[-/. ]*\d{1,2},?(?: \d{2,4})?)$`)
	clockTime = words.NewPattern(`^(\d{1,3}):(\d{2})(?::(\d{2}))?$`)
)

// Months matches the name of a month in Latin letters, whole or cut short as dates are: "may"
// and "maj", but not "maybe".
var Months = strings.Join(slices.DeleteFunc(calendar.Names(), func(w string) bool { return w[0] > 'z' }), "|")

// HasMonth reports a folded text in which a word is, or holds, such a name.
func HasMonth(f string) bool {
	return slices.ContainsFunc(words.Tokens(f), func(t words.Token) bool { return isMonth()[strings.Trim(t.Text, "0123456789")] })
}

var isMonth = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	for m := range strings.SplitSeq(Months, "|") {
		out[m] = true
	}
	return out
})

var (
	dayOfMonth = words.NewPattern(`^\d{1,2}[-. ]*(?:de )?(\pL{3,})[-., ]*(?:de )?(?:\d{4}|\d{2})?$`)
	hanDate    = words.NewPattern(`^(?:\d{4}年)?\d{1,2}月\d{1,2}[日号]?$`)
)

// IsDate reports a folded text that is a date as sheets write it.
func IsDate(s string) bool {
	return isoDate.MatchString(s) || dayDate.MatchString(s) && PlausibleDay(s) || HasMonth(s) && namedDate.MatchString(s) || hanDate.MatchString(s) || namesMonth(s)
}

// PlausibleDay reports that of the first two numbers of a text, or the last two, one can be a
// month and the other a day; of 61/62/63 none can.
func PlausibleDay(s string) bool {
	n := strings.FieldsFunc(s, func(r rune) bool { return r < '0' || r > '9' })
	of := func(a, b string) bool {
		x, _ := strconv.Atoi(a)
		y, _ := strconv.Atoi(b)
		return x > 0 && y > 0 && min(x, y) <= 12 && max(x, y) <= 31
	}
	return len(n) < 3 || of(n[0], n[1]) || of(n[1], n[2])
}

// namesMonth reports a day with the name of its month, whole or cut short.
func namesMonth(s string) bool {
	m := dayOfMonth.FindStringSubmatch(s)
	return m != nil && calendar.Month(m[1], 3) != 0
}

// IsClock reports a folded text that is a time of day or a span of one.
func IsClock(s string) bool { return clockTime.MatchString(s) }

// clockDays reads "9:30" as minutes and seconds, "1:09:30" as hours, minutes and
// seconds, in days.
func clockDays(s string) (days float64, ok bool) {
	m := clockTime.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	sec := 0.0
	for _, part := range m[1:] {
		if n, err := strconv.Atoi(part); err == nil {
			sec = sec*60 + float64(n)
		}
	}
	return sec / 86400, true
}

// DateText writes a date cell as a name: ISO for stored dates, else as it stands.
func DateText(c grid.Cell) string {
	if c.Kind == grid.Numeric && c.Date() {
		if c.Num > 0 && c.Num < 200000 {
			d := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(c.Num))
			return d.Format("2006-01-02")
		}
	}
	return fmt.Sprint(c.Text)
}

// NamesDay reports a folded text that is a day of a month without its year, "12th of may".
func NamesDay(s string) bool { return HasMonth(s) && namedDay.MatchString(s) }

var (
	namedDay  = words.NewPattern(`^(?:\d{1,2}(?:st|nd|rd|th)? (?:of )?(?:` + Months + `)|(?:` + Months + `) \d{1,2})$`)
	monthName = words.NewPattern(`\pL{3,}`)
	dayNumber = words.NewPattern(`\d+`)
)

// SameDay reports two folded days that can be one: written with numbers, in either order of day and
// month, or with the name of the month. A year that one of them lacks is that of the other.
func SameDay(a, b string) bool {
	x, y := dayNumber.FindAllString(a, -1), dayNumber.FindAllString(b, -1)
	m, n := monthOf(a), monthOf(b)
	if m != 0 && n != 0 && m != n {
		return false
	}
	small := func(all []string) []int {
		var out []int
		for _, s := range all {
			if v, err := strconv.Atoi(s); err == nil && v > 0 && v <= 31 && len(out) < 2 {
				out = append(out, v)
			}
		}
		slices.Sort(out)
		return out
	}
	p, q := small(x), small(y)
	if m == 0 && n == 0 && len(p) == 2 && len(q) == 2 && len(x) < 3 == (len(y) < 3) {
		return slices.Equal(p, q)
	}
	return slices.ContainsFunc(p, func(v int) bool { return slices.Contains(q, v) })
}

// monthOf gives the month that a folded day names; 0 for none.
func monthOf(s string) time.Month {
	for _, w := range monthName.FindAllString(s, -1) {
		if m := calendar.Month(w, 3); m != 0 {
			return m
		}
	}
	return 0
}
