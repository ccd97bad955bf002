package flow

import (
	"regexp"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// hourMark is a time with the hour's mark between hours and minutes, "18h00".
var hourMark = regexp.MustCompile(`\b([01]?\d|2[0-3]) ?[hH] ?([0-5]\d)\b`)

// HourMarked reports a time written so.
func HourMarked(text string) bool { return hourMark.MatchString(text) }

// Moments reads the times of a table's rows as those of a log are read: a day with its time in one cell or two, day numbers of
// a sheet, clock times alone, of which one that falls behind the one above is of the next day. dates is nil where there is no
// column of them; a row without its date is of the day of the row above. The hours count from any origin that all share; a cell
// that is no time is not OK. Which number of a date is the month is settled by all of them together.
func Moments(dates, times []string) (at []quantity.Known[quantity.Time], notes note.List, err error) {
	var order dateOrder
	times = slices.Clone(times)
	for i, t := range times {
		times[i] = hourMark.ReplaceAllString(t, "$1:$2")
	}
	for i := range times {
		if dates != nil {
			order.add([]byte(dates[i]))
		} else {
			order.add([]byte(times[i]))
		}
	}
	k := clock{}
	said := note.Note{}
	if k.monthFirst, said, err = order.monthFirst(); err != nil {
		return nil, nil, err
	}
	if said.Code != "" {
		notes.Add(said)
	}
	c := columns{time: 0, date: -1}
	if dates != nil {
		c.date = 1
	}
	day, last, days := "", int64(0), int64(0)
	for i, t := range times {
		row := [][]byte{[]byte(t)}
		if dates != nil {
			if dates[i] != "" {
				day = dates[i]
			}
			row = append(row, []byte(day))
		}
		ms, err := k.parse(row, c)
		if err != nil || t == "" {
			at = append(at, quantity.Known[quantity.Time]{})
			continue
		}
		if k.dayless && ms+days < last {
			days += 24 * 3600e3
		}
		last = ms + days
		at = append(at, quantity.Some(quantity.Time(float64(last)/3600e3)))
	}
	return at, notes, nil
}
