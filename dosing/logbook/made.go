package logbook

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest/calendar"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// apart is how many words may stand between what is new and what it is.
const apart = 3

// saysFresh reports a remark that tells of new stock, and not that it is wanted, or that something else is new.
func saysFresh(text string) bool {
	fresh, stock := of("fresh"), of("ofstock")
	said := words.TokensIn(text)
	if of("denied").in(text) {
		return false
	}
	for i, w := range said {
		for k := max(0, i-apart); k < min(len(said), i+apart+1); k++ {
			if fresh.has(w) && stock.has(said[k]) {
				return true
			}
		}
	}
	return false
}

// hearMade takes the day of the stock from a remark.
func (e *Entry) hearMade(text string, at note.Place) {
	said := saysFresh(text)
	day, dated := dayIn(text, e.Day(), false)
	switch {
	case said && dated, dated && of("ofstock").in(text) && ofDay.MatchString(words.Fold(text)) && !of("denied").in(text):
		e.Made = quantity.Known[month.Date]{V: day, OK: true, At: at}
	case said:
		e.Fresh = true
	}
}

// spanOf is how long something keeps, by the first letter of its unit, which is that of a day, a week or an hour in each language of the vocabulary.
var (
	spanOf = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(d|day|days|tag|tage|tagen|jours?|j|dias?|giorni|dagen|w|weeks?|wochen?|weken|semaines?|semanas?|settimane|h|hours?)\b`)
	spans  = map[byte]quantity.Time{'d': 24, 't': 24, 'j': 24, 'g': 24, 'w': 7 * 24, 's': 7 * 24, 'h': 1}
)

// ofDay is a day that something is of: "stock of 3 May".
var ofDay = regexp.MustCompile(`\b(?:of|from|dated|vom|du|del|van)\s+\d|\b(?:of|from|dated)\s+\pL{3,}\s+\d`)

// madeOn reads a cell of the column that tells when the stock was made: a day, a mark that it was this one, or how much was made; false for anything else.
func (x *reader) madeOn(e *Entry, cell grid.Cell, at note.Place) bool {
	text := strings.TrimSpace(layout.DateText(cell))
	if day, ok := dayIn(text, e.Day(), true); ok {
		e.Made = quantity.Known[month.Date]{V: day, OK: true, At: at}
		return true
	}
	if v, err := quantity.Parse[quantity.Volume](text); err == nil && v >= 0 {
		e.Added = quantity.Known[quantity.Volume]{V: v, OK: true, At: at}
		return true
	}
	switch strings.ToLower(text) {
	case "yes", "y", "x", "✓", "✔", "ja", "j", "oui", "o", "si", "sí", "s", "sim":
		e.Fresh = true
		return true
	case "no", "n", "nein", "non", "nee", "não", "nao", "-", "–":
		return true
	}
	return false
}

// hearStock takes from a line above the table when its stock was made and how long it keeps, such as "Stock made 2 March, keeps 7 days".
func (x *reader) hearStock(line string, at note.Place) {
	if !of("ofstock").in(line) && !of("vessel").in(line) {
		return
	}
	if of("keeps").in(line) {
		if m := spanOf.FindStringSubmatch(words.Fold(line)); m != nil {
			n, _ := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
			if t := quantity.Time(n) * spans[m[2][0]]; t > 0 {
				x.Keeps = quantity.Known[quantity.Time]{V: t, OK: true, At: at}
			}
		}
	}
	if of("fresh").in(line) || ofDay.MatchString(words.Fold(line)) {
		x.above, x.aboveAt = line, at
	}
}

// madeAbove gives the day of the line over a table to the first of its rows that the stock can have been in; a line that tells no such day is asked about.
func (x *reader) madeAbove(rows []Entry) {
	if line := x.above; line != "" && len(rows) > 0 {
		byTime := func(a, b Entry) int { return cmp.Compare(a.Time, b.Time) }
		heard := Entry{Time: slices.MaxFunc(rows, byTime).Time}
		heard.hearMade(line, x.aboveAt)
		first := -1
		for i, e := range rows {
			if heard.Made.OK && !e.Day().Before(heard.Made.V) && (first < 0 || e.Time < rows[first].Time) {
				first = i
			}
		}
		switch {
		case first < 0 && of("fresh").in(line):
			x.Notes.Add(note.New(note.Caution, "stock-day", "%q names no day, up to that of the last row, on which the stock was made, and no row goes by it", strings.TrimSpace(line)).At(x.aboveAt).
				Do("write it such as: Stock made 2026-03-02"))
		case first >= 0 && !rows[first].Made.OK:
			rows[first].Made = heard.Made
		}
	}
	x.above = ""
}

// dayIn is the day that a text names, at or before another.
func dayIn(text string, on month.Date, alone bool) (month.Date, bool) {
	day, ok := calendar.Said(text, time.Date(on.Year, on.Month, on.Day, 0, 0, 0, 0, time.UTC), alone)
	return month.DateOf(day), ok
}
