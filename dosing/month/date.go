package month

import (
	"fmt"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// Date is a day of the Gregorian calendar, without clock or zone, so that no
// daylight-saving change can lengthen or shorten a month. The zero value is no date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// ParseDate reads an ISO 8601 date, such as "2026-03-01".
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, note.Fault("bad-date", "date %q is not a day of the calendar", s).Do("write it like 2026-03-01")
	}
	return DateOf(t), nil
}

// DateOf takes the year, month and day that stand in t, whatever its zone; the zero time is no date.
func DateOf(t time.Time) Date {
	if t.IsZero() {
		return Date{}
	}
	y, m, d := t.Date()
	return Date{y, m, d}
}

func (d Date) utc() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// AddDays gives the date so many days later, or earlier for a negative number.
func (d Date) AddDays(n int) Date { return DateOf(d.utc().AddDate(0, 0, n)) }

// DaysTo counts the days from d to e; it is negative when e is earlier.
func (d Date) DaysTo(e Date) int { return int((e.utc().Unix() - d.utc().Unix()) / 86400) }

// Serial is the date as a spreadsheet counts it, in days; it is the same in all of
// them from 1 March 1900 on. SerialDate turns it back.
func (d Date) Serial() float64       { return float64(serialZero.DaysTo(d)) }
func SerialDate(serial float64) Date { return serialZero.AddDays(int(serial)) }

var serialZero = Date{1899, time.December, 30}

// Weekday gives the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// IsZero reports that there is no date.
func (d Date) IsZero() bool { return d == Date{} }

// Before reports that d comes before e.
func (d Date) Before(e Date) bool { return d.DaysTo(e) > 0 }

// String gives the ISO 8601 form.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Spelled is the day as people read it, "Mon 2 March 2026".
func (d Date) Spelled() string { return d.utc().Format("Mon 2 January 2006") }

// InWords is the same in a year that is known, "Mon 2 March".
func (d Date) InWords() string { return d.utc().Format("Mon 2 January") }

// MarshalText makes a date appear in JSON as String gives it.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// Month is a month of the Gregorian calendar.
type Month struct {
	Year  int
	Month time.Month
}

// MonthOf gives the month that a date lies in.
func MonthOf(d Date) Month { return Month{d.Year, d.Month} }

// First is the first day of the month.
func (m Month) First() Date { return Date{m.Year, m.Month, 1} }

// Next is the month after.
func (m Month) Next() Month { return MonthOf(m.First().AddDays(m.Days())) }

// Days is the number of days in the month: 28 to 31.
func (m Month) Days() int { return m.First().DaysTo(Date{m.Year, m.Month + 1, 1}) }

// String gives "2026-03".
func (m Month) String() string { return fmt.Sprintf("%04d-%02d", m.Year, m.Month) }

// Long gives "March 2026".
func (m Month) Long() string { return fmt.Sprintf("%s %d", m.Month, m.Year) }

// ThatOf is the month asked for, else that of the site's date; zero where there is neither.
func ThatOf(s site.Site, asked Month) Month {
	if asked == (Month{}) && s.Place.Date.OK {
		return MonthOf(DateOf(s.Place.Date.V))
	}
	return asked
}
