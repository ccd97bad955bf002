package logbook

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/flow"
	"jarwright/jartest/calendar"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// NoLog is the code of a file that holds no operating log.
const NoLog = "no-operating-log"

// NearlyLog is the code of a file whose headings are those of a log but for some that are not understood, without which it is none.
const NearlyLog = "log-headings"

// Read reads the operating log of a workbook or a text table: any table whose headings name a day and what a plant writes down of
// its water and its stock. Tables of several sheets are one log. What a cell or a heading says and is not understood is a caution with its cell.
func Read(name string, r io.Reader) (Log, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Log{}, err
	}
	areas, notes, err := layout.Open(name, data)
	if err != nil {
		return Log{}, err
	}
	x := reader{Log: Log{File: name}, unitless: map[note.Place]bool{}}
	found := false
	for _, a := range areas {
		if a.Fault == nil {
			found = x.sheet(a) || found
		}
	}
	if !found && x.nearly.OK {
		return x.Log, note.Fault(NearlyLog, "reads like an operating log, but too little of its headings is understood: not %s", x.nearly.V).At(x.nearly.At).
			Do("write them such as Date, Raw (NTU), Treated (NTU), Pump setting (%%), Tank level (L), Water treated (m3)")
	}
	if !found {
		return Log{}, note.Fault(NoLog, "holds no operating log: no row of headings names a day with readings or stock").At(note.Place{File: name}).
			Do("write columns such as Date, Raw (NTU), Treated (NTU), Pump setting (%%), Tank level (L), Water treated (m3)")
	}
	x.Notes = append(notes, x.Notes...)
	x.order()
	if err := x.Notes.Err(); err != nil {
		return x.Log, err
	}
	if len(x.Entries) == 0 {
		if x.undated.OK {
			return x.Log, note.Fault("no-day", "no day of the log is understood, such as %q", x.undated.V).At(x.undated.At).Do("write dates with their year, such as 2026-03-02")
		}
		return x.Log, note.Fault("not-filled", "the log has headings and no entries").At(note.Place{File: name}).Do("write a row a day")
	}
	return x.Log, nil
}

// reader takes a file apart.
type reader struct {
	Log
	v   layout.View
	dec layout.Decimals
	// above is a line over the table that tells of its stock's day, until its rows are read.
	above   string
	aboveAt note.Place
	// unitless are the headings without a unit that were told, cylinder what a heading says is drawn each time, "Time for 20 mL (s)".
	unitless map[note.Place]bool
	cylinder quantity.Known[quantity.Volume]
	heading  int // the row of the headings
	// nearly are the headings of a row that are not understood and keep it from being that of a log.
	nearly quantity.Known[string]
	// undated is the first row whose day is not understood.
	undated quantity.Known[string]
}

// sheet reads the tables of a sheet; false where it has none.
func (x *reader) sheet(a *layout.Area) (found bool) {
	if x.dec = layout.DecimalsOf(a); x.dec == layout.DecimalsUnknown {
		x.dec = layout.DecimalPoint
	}
	for _, turned := range []bool{false, true} { // days below each other, else side by side
		x.v = layout.View{Area: a, Turned: turned}
		for r := 0; r < high(x.v); r++ {
			columns, more := headed(x.v, r, x.dec)
			if columns == nil {
				x.miss(r)
				continue
			}
			found = true
			r = x.table(r, columns, more) - 1
		}
		if found {
			return true
		}
	}
	return false
}

// fewestMissed is how many columns beside the day have to be understood before others are asked about. Judgement, no source.
const fewestMissed = 2

// miss keeps what is not understood of the first row of headings that nearly is that of a log.
func (x *reader) miss(row int) {
	if x.nearly.OK {
		return
	}
	has, readings, dayAt := map[role]bool{}, 0, 0
	var missed []string
	for c, text := range textsOf(x.v, row) {
		if x.v.At(row, c).Kind == grid.Numeric {
			return
		}
		if text == "" {
			continue
		}
		h := columnOf(c, text, "")
		has[h.role] = true
		switch {
		case h.role == day:
			dayAt = c
		case h.set != nil:
			readings++
		case h.role == noRole:
			missed = append(missed, strconv.Quote(h.text))
		}
	}
	days := layout.IsDate(layout.DateText(x.v.At(row+1, dayAt))) || layout.IsDate(layout.DateText(x.v.At(row+2, dayAt)))
	if readings >= fewestMissed && len(missed) > 0 && len(missed) <= readings+1 && has[day] && days && !has[jars] {
		x.nearly = quantity.Known[string]{V: strings.Join(missed, ", "), OK: true, At: x.v.PlaceAt(row, 0)}
	}
}

// high and wide are how many rows and columns a view has.
func high(v layout.View) int { return wide(layout.View{Area: v.Area, Turned: !v.Turned}) }
func wide(v layout.View) int {
	if v.Turned {
		return len(v.Rows)
	}
	return v.Area.Width()
}

// mostAbove is how many lines over the headings may name the chemical, longestSaid how much of them is kept.
const mostAbove, longestSaid = 10, 2000

// table reads the rows below headings, of which more rows than one are said, and gives the row after the last.
func (x *reader) table(row int, columns []column, more int) (end int) {
	var k tank
	for r := max(0, row-mostAbove); r <= row; r++ {
		var line []string
		for c := range wide(x.v) {
			if text := layout.Text(x.v.At(r, c)); text != "" && len(x.Said) < longestSaid {
				x.Said += " " + text
			}
			line = append(line, x.v.At(r, c).Text)
		}
		if r < row {
			k.hear(strings.Join(line, " "), x.v.PlaceAt(r, 0))
			x.hearPlan(strings.Join(line, " "), x.v.PlaceAt(r, 0))
			x.hearStock(strings.Join(line, " "), x.v.PlaceAt(r, 0))
		}
	}
	columns = paired(x.linesBefore(&k, row, columns))
	x.heading = row
	var kept []column
	dayAt, clockAt := -1, -1
	for _, c := range columns {
		at := x.v.PlaceAt(row, c.at)
		switch {
		case c.role == day && dayAt < 0:
			dayAt = c.at
		case c.role == clock && clockAt < 0:
			clockAt = c.at
		case c.role == noRole || c.role == day || c.role == clock:
			x.Notes.Add(note.New(note.Caution, "column-not-used", "the column %q is not understood and not used", c.text).At(at))
		case slices.ContainsFunc(kept, func(k column) bool { return k.role == c.role && k.set != nil }):
			x.Aside = append(x.Aside, c.text)
			x.Notes.Add(note.New(note.Caution, "column-twice", "a column of that kind stands before %q, which is not used", c.text).At(at).Do("give each its own log"))
		default:
			c, how := k.level(c, at)
			if how != nil && how.Level == note.Info && c.role == starts { // said of the other level
				how = nil
			}
			if how != nil {
				if x.Notes.Add(*how); how.Level != note.Info && c.unit != "%" {
					continue
				}
			} else if no := c.understood(at); no != nil {
				x.Notes.Add(*no)
				continue
			}
			if c.role == "level" && holds(c.text, "stock") && !holds(c.text, "levelled") {
				x.StockHead = quantity.Known[string]{V: c.text, OK: true, At: at}
			}
			if c.role == "used" || c.role == "weighed" || c.role == "counter" {
				x.Of, x.UsedHead = countedBy(c.text), quantity.Known[string]{V: c.text, OK: true, At: at}
			}
			if c.role == timing {
				x.cylinder = volumeIn(c.text, at)
			}
			if c.role == starts {
				c = c.atStart()
			}
			x.Marks = x.Marks || c.role == "setting" && c.unit != "%"
			if kept = append(kept, c); c.unit != "" && c.role != timing {
				x.Units = append(x.Units, "1 "+c.unit)
			}
		}
	}
	from := row + 1 + more
	for end = from; end < high(x.v); end++ { // over blank rows too, such as one after each week
		if next, _ := headed(x.v, end, x.dec); next != nil {
			break
		}
	}
	times, ok := x.times(row, from, end, dayAt, clockAt)
	if !ok {
		return end
	}
	before := len(x.Entries)
	for i, t := range times {
		x.row(from+i, t, cmp.Or(max(dayAt, 0), max(clockAt, 0)), kept)
	}
	x.madeAbove(x.Entries[before:])
	return end
}

// linesBefore hears, of days that lie across, the lines above that of the days, which stand among its columns then, and gives those below it.
func (x *reader) linesBefore(k *tank, row int, columns []column) []column {
	days := slices.IndexFunc(columns, func(c column) bool { return c.role == day || c.role == clock })
	if !x.v.Turned || days < 0 {
		return columns
	}
	for c := range columns[days].at {
		var line []string
		for r := range min(high(x.v), mostAbove) {
			if text := layout.Text(x.v.At(r, c)); text != "" {
				line = append(line, text)
			}
		}
		k.hear(strings.Join(line, " "), x.v.PlaceAt(row, c))
		x.hearPlan(strings.Join(line, " "), x.v.PlaceAt(row, c))
		x.hearStock(strings.Join(line, " "), x.v.PlaceAt(row, c))
	}
	return columns[days:]
}

// times reads the days and clock times of the rows; false where they cannot be.
func (x *reader) times(row, from, end, dayAt, clockAt int) (out []quantity.Known[quantity.Time], ok bool) {
	var days, clocks []string
	texts := func(c int) (l []string) {
		for r := from; r < end; r++ {
			l = append(l, calendar.Plain(strings.TrimSpace(x.v.At(r, c).Text)))
		}
		return l
	}
	at := x.v.PlaceAt(row, max(dayAt, clockAt))
	switch {
	case dayAt >= 0 && clockAt >= 0:
		days, clocks = texts(dayAt), texts(clockAt)
		if !slices.ContainsFunc(clocks, func(s string) bool { return s != "" }) {
			days, clocks = nil, days
		}
	case dayAt >= 0:
		clocks = texts(dayAt)
	default:
		clocks = texts(clockAt)
		if !slices.ContainsFunc(clocks, func(s string) bool { return len(s) > len("23:59:59") }) {
			x.Notes.Add(note.Fault("no-day", "the log has clock times and no days").At(at).Do("add a column of dates"))
			return nil, false
		}
	}
	out, notes, err := flow.Moments(days, clocks)
	if err != nil {
		x.Notes.Add(note.Of(err, "bad-time")[0].At(at))
		return nil, false
	}
	for _, n := range notes {
		x.Notes.Add(n.At(at))
	}
	return out, true
}

// row reads one row.
func (x *reader) row(r int, t quantity.Known[quantity.Time], dayAt int, columns []column) {
	e := Entry{Place: x.v.PlaceAt(r, dayAt), Time: t.V}
	some, untold := false, false
	for _, c := range columns {
		cell := x.v.At(r, c.at)
		if c.role == remark {
			e.Remark = strings.TrimSpace(e.Remark + " " + layout.Text(cell))
			e.hearMade(layout.Text(cell), x.v.PlaceAt(r, c.at))
		}
		if c.role == made && !cell.Blank() {
			if x.madeOn(&e, cell, x.v.PlaceAt(r, c.at)) {
				some = true
			} else {
				x.Notes.Add(note.New(note.Caution, "cell-not-used", "%q is not understood under %q and is left out", strings.TrimSpace(cell.Text), c.text).At(x.v.PlaceAt(r, c.at)).
					Do("write the day on which the stock was made, or x where it was this one"))
			}
		}
		if c.set == nil || cell.Blank() {
			continue
		}
		at := x.v.PlaceAt(r, c.at)
		some = c.role == "drawdown" && e.stopwatch(layout.Text(cell), at) || x.value(&e, c, cell, at, x.v.PlaceAt(x.heading, c.at)) || some
		untold = untold || c.role == ran && !e.Ran.OK
	}
	if untold { // a flow tells no water where it is not understood how long it ran
		e.Flow = quantity.Known[quantity.Flow]{}
	}
	x.timed(&e)
	switch {
	case !some:
	case !t.OK:
		if !x.undated.OK {
			x.undated = quantity.Known[string]{V: layout.Text(x.v.At(r, dayAt)), OK: true, At: e.Place}
		}
		x.Notes.Add(note.New(note.Caution, "no-day", "a row without a day that is understood is left out: %q", layout.Text(x.v.At(r, dayAt))).At(e.Place).Do("write its date, such as 2026-03-02"))
	default:
		x.Entries = append(x.Entries, e)
	}
}

// value reads a cell of numbers; false where it holds none.
func (x *reader) value(e *Entry, c column, cell grid.Cell, at, heading note.Place) bool {
	v := layout.ParseValue(cell, x.dec)
	if v.State == layout.Missing || v.State == layout.Hollow {
		return false
	}
	n := note.New(note.Caution, "cell-not-used", "%q is not understood under %q and is left out", strings.TrimSpace(cell.Text), c.text).At(at).Do("write a number")
	if v.State != layout.Number {
		if v.Limit {
			n.Remedy = "what is only known to be below or above is not counted"
		}
		x.Notes.Add(n)
		return false
	}
	unit := c.unit
	if v.Unit.Known() || v.Unit.Left != "" {
		unit, _ = unitOf(cell.Text)
	}
	switch {
	case c.role == "setting" && (unit == "" || v.Percent):
		unit = "%"
	case c.role == ran && unit == "" && holds(c.text, "hours"):
		unit = "h"
	case unit == "":
		if !x.unitless[heading] {
			x.unitless[heading] = true
			x.Notes.Add(note.New(note.Caution, "column-unit", "%q does not say its unit, so its numbers are left out, the first of them %q", c.text, strings.TrimSpace(cell.Text)).At(at).
				Do("write the unit into the heading, such as %q", c.example))
		}
		return false
	}
	if err := c.set(e, strconv.FormatFloat(v.Num, 'g', -1, 64)+" "+unit, at); err != nil {
		x.Notes.Add(n.Also("; %s", note.Of(err, "")[0].Message))
		return false
	}
	if v.Doubt != "" {
		x.Notes.Add(note.New(note.Caution, "cell-doubt", "%q: %s", strings.TrimSpace(cell.Text), v.Doubt).At(at))
	}
	return true
}

// order sorts the entries by their times; of two at one time the first counts.
func (x *reader) order() {
	if len(x.Entries) > 0 {
		x.farOffDays()
	}
	if !slices.IsSortedFunc(x.Entries, byTime) {
		x.Notes.Add(note.New(note.Info, "not-in-order", "the rows are not in the order of their days and are sorted").At(x.Entries[0].Place))
		slices.SortStableFunc(x.Entries, byTime)
	}
	var out []Entry
	for _, e := range x.Entries {
		if n := len(out); n > 0 && out[n-1].Time == e.Time {
			x.Notes.Add(note.New(note.Caution, "row-twice", "a second row of %s is left out", e.Day().Spelled()).At(e.Place).Do("write the time of each, or one row a day"))
			continue
		}
		out = append(out, e)
	}
	x.Entries = out
}

func byTime(a, b Entry) int { return cmp.Compare(a.Time, b.Time) }
