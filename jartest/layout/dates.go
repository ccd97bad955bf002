package layout

import (
	"fmt"
	"regexp"
	"strconv"
	"time"

	"jarwright/jartest/grid"
)

var (
	isoDate   = regexp.MustCompile(`^\d{4}[-/.]\d{1,2}[-/.]\d{1,2}(?:[ t]\d{1,2}:\d{2}.*)?$`)
	dayDate   = regexp.MustCompile(`^\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})(?: \d{1,2}:\d{2}.*)?$`)
	namedDate = regexp.MustCompile(`^(?:\d{1,2}[-/. ]*(?:` + months + `|mai|ago|okt|dez|dic|ene|abr|mrz|avr)[a-z]*[-/., ]*(?:\d{2,4})?|(?:` +
		months + `)[a-z]*[-/. ]*\d{1,2},?(?: \d{2,4})?)$`)
	clockTime = regexp.MustCompile(`^(\d{1,3}):(\d{2})(?::(\d{2}))?$`)
)

const months = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"

// IsDate reports a folded text that is a date as sheets write it.
func IsDate(s string) bool {
	return isoDate.MatchString(s) || dayDate.MatchString(s) || namedDate.MatchString(s)
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
