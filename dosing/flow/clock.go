package flow

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"jarwright/jartest/note"
)

// clock turns the time cells of a log into milliseconds of wall clock. What kind
// of time they hold is settled by the whole column before the first is read.
type clock struct {
	monthFirst bool
	elapsed    float64 // hours per unit; zero for dates
	dayless    bool    // times of day alone
	offset     int64   // of the first time zone seen, ms
	hasOffset  bool
	date1904   bool
	notes      note.List
}

var errTime = fmt.Errorf("not a time")

// evidence walks the column once: day or month first, decimal comma or point.
func evidence(src source, c columns) (k *clock, decimal bool, err error) {
	k = &clock{date1904: src.date1904, elapsed: c.elapsed}
	var dates dateOrder
	var commas commaUse
	for row, f := range src.rows {
		if row <= c.row || c.time >= len(f) {
			continue
		}
		if c.date >= 0 && c.date < len(f) {
			dates.add(f[c.date])
		} else {
			dates.add(f[c.time])
		}
		if !src.comma && c.flow < len(f) {
			commas.add(f[c.flow], c.flow, row)
		}
	}
	if err := commas.unclear(c.small()); err != nil {
		return nil, false, err
	}
	var n note.Note
	if k.monthFirst, n, err = dates.monthFirst(); err != nil {
		return nil, false, note.Of(err, "")[0].At(note.Place{Cell: cell(max(c.date, c.time), 0)})
	}
	if n.Code != "" {
		k.notes.Add(n)
	}
	return k, commas.n > 0, nil
}

// commaUse counts the cells in which a comma must be the decimal sign, or might be, and
// those in which a point might part thousands.
type commaUse struct {
	n, unsure      int
	at, text       string // of the first unsure one
	points, threes int    // cells with a point, and with three digits behind it
}

func (u *commaUse) add(v []byte, col, row int) {
	i, point := bytes.IndexByte(v, ','), bytes.IndexByte(v, '.')
	if i < 0 && point > 0 && bytes.Count(v, []byte(".")) == 1 {
		u.points++
		if len(v)-point-1 == 3 && point <= 3 && v[0] != '0' {
			if u.threes++; u.threes == 1 {
				u.at, u.text = cell(col, row), string(v)
			}
		}
	}
	switch {
	case i < 0 || point > i || point < 0 && bytes.Count(v, []byte(",")) > 1:
		return
	case point < 0 && len(v)-i-1 == 3 && i <= 3 && i > 0 && v[0] != '0':
		if u.unsure++; u.unsure == 1 {
			u.at, u.text = cell(col, row), string(v)
		}
	}
	u.n++
}

// unclear is the error where no cell tells decimals from thousands. A point leaves that
// open only in a small unit: nobody meters thousandths of a litre an hour.
func (u commaUse) unclear(small bool) error {
	mark := ","
	switch {
	case u.n == 0 && small && u.threes > 1 && u.threes == u.points:
		mark = "."
	case u.n == 0 || u.n > u.unsure:
		return nil
	}
	return note.Fault("comma-unclear", "%q can mean %s or %s, and no other cell of the column tells which", u.text,
		strings.ReplaceAll(u.text, mark, ""), strings.ReplaceAll(u.text, mark, ".")).
		Do("write the flows without a mark of thousands").At(note.Place{Cell: u.at})
}

// dateOrder collects the first two numbers of dates with slashes.
type dateOrder struct {
	firstOver, secondOver bool // 12, so that it is no month
	list                  [][2]int
}

func (o *dateOrder) add(b []byte) {
	d, ok := slashDate(b)
	if !ok {
		return
	}
	o.firstOver, o.secondOver = o.firstOver || d[0] > 12, o.secondOver || d[1] > 12
	if n := len(o.list); n < 4096 && (n == 0 || o.list[n-1] != d) {
		o.list = append(o.list, d)
	}
}

// monthFirst settles whether the month stands first, and says what was inferred.
func (o dateOrder) monthFirst() (month bool, said note.Note, err error) {
	switch {
	case len(o.list) == 0:
	case o.firstOver && o.secondOver:
		err = note.Fault("dates-mixed", "some dates have the day first, some the month").Do("write dates like 2026-03-01")
	case o.firstOver || o.secondOver:
		month = o.secondOver
	case len(o.list) == 1:
		said = note.New(note.Info, "date-order", "the one date %d/%d is read day first", o.list[0][0], o.list[0][1])
	case ordered(o.list, 0) != ordered(o.list, 1): // the rows of a log rise
		month = ordered(o.list, 1)
		said = note.New(note.Info, "date-order", "dates are read %s first, because only so do they stand in order",
			map[bool]string{true: "month", false: "day"}[month])
	default: // neither is impossible: days follow each other, months would leave holes
		byDay, byMonth := jumps(o.list, 0), jumps(o.list, 1)
		if byDay == byMonth {
			return false, said, note.Fault("date-unclear", "%d/%d can be read day first or month first", o.list[0][0], o.list[0][1]).
				Do("write dates like 2026-03-01")
		}
		month = byMonth < byDay
		said = note.New(note.Info, "date-order", "dates are read %s first, because the days then follow each other",
			map[bool]string{true: "month", false: "day"}[month])
	}
	return month, said, err
}

// ordered reports dates, of which that number is the day, that only rise, or only fall, within a year.
func ordered(list [][2]int, day int) bool {
	rises, falls := 0, 0
	for i := 1; i < len(list); i++ {
		was, is := list[i-1], list[i]
		switch step := 100*(is[1-day]-was[1-day]) + is[day] - was[day]; {
		case step > 0:
			rises++
		case step < 0:
			falls++
		}
	}
	return rises == 0 || falls == 0
}

// jumps adds up the days between neighbours of a list of dates in one year, of
// which that number is the day.
func jumps(list [][2]int, day int) int {
	sum, last := 0, 0
	for i, d := range list {
		n := time.Date(2001, time.Month(d[1-day]), d[day], 0, 0, 0, 0, time.UTC).YearDay()
		if i > 0 {
			step := max(n-last, last-n)
			sum += min(step, 365-step)
		}
		last = n
	}
	return sum
}

// slashDate gives the first two numbers of a date such as 3/4/2026 or 03-04-26.
func slashDate(b []byte) (d [2]int, ok bool) {
	a, n := digits(b)
	if n == 0 || n > 2 || n >= len(b) || b[n] != '/' && b[n] != '-' { // dots have the day first everywhere
		return d, false
	}
	c, m := digits(b[n+1:])
	if m == 0 || m > 2 || n+1+m >= len(b) || b[n+1+m] != b[n] {
		return d, false
	}
	return [2]int{a, c}, true
}

// digits reads leading digits: value and how many.
func digits(b []byte) (int, int) {
	v, i := 0, 0
	for i < len(b) && i < 9 && b[i] >= '0' && b[i] <= '9' {
		v = v*10 + int(b[i]-'0')
		i++
	}
	return v, i
}

// parse reads the time of a row.
func (k *clock) parse(f [][]byte, c columns) (int64, error) {
	b := f[c.time]
	switch {
	case c.date >= len(f):
		return 0, errTime
	case c.date >= 0:
		return k.apart(f[c.date], b)
	}
	if k.elapsed > 0 {
		if v, err := number(b, false); err == nil {
			k.dayless = k.elapsed == 1
			return int64(math.Round(v * k.elapsed * ms)), nil
		}
	}
	day, rest, err := k.day(b)
	if err == nil {
		t, err := k.timeOfDay(rest)
		return day + t, err
	}
	if bytes.IndexByte(b, ':') >= 0 && len(b) <= 11 { // a clock time alone
		k.dayless = true
		return k.timeOfDay(b)
	}
	return k.serial(b)
}

// apart reads a date and a time of day from two cells.
func (k *clock) apart(date, b []byte) (int64, error) {
	day, err := k.midnight(date)
	if err != nil {
		return 0, err
	}
	t, err := k.timeOfDay(b)
	if err == nil {
		return day + t, nil
	}
	v, e := strconv.ParseFloat(string(b), 64)
	switch {
	case e != nil || v < 0:
	case v < 1: // a time of day of a sheet is a part of the day
		return day + int64(math.Round(v*86400))*1000, nil
	case k.elapsed == 1 && v <= 24: // the number of the hour
		return day + int64(math.Round(v*3600e3)), nil
	}
	return 0, err
}

// midnight reads a cell that holds a date alone: written, perhaps with "00:00:00"
// behind it, or the day number of a sheet.
func (k *clock) midnight(b []byte) (int64, error) {
	day, rest, err := k.day(b)
	if err != nil {
		day, err = k.serial(b)
		return day - floorMod(day, 24*3600e3), err
	}
	if t, err := k.timeOfDay(bytes.TrimSpace(rest)); err != nil || t != 0 {
		return 0, errTime
	}
	return day, nil
}

// serial reads a day number of a spreadsheet, or seconds since 1970.
func (k *clock) serial(b []byte) (int64, error) {
	v, err := strconv.ParseFloat(string(b), 64)
	switch {
	case err != nil || math.IsNaN(v):
		return 0, errTime
	case v > 1000 && v < 200000:
		epoch := int64(-25569) // 1899-12-30 to 1970-01-01
		if k.date1904 {
			epoch += 1462
		}
		return int64(math.Round((v+float64(epoch))*86400)) * 1000, nil
	case v > 1e8 && v < 1e10:
		return int64(math.Round(v * 1000)), nil
	}
	return 0, errTime
}

// day reads the date at the start of b and gives midnight and what follows. Its
// branches are the places where it may not be one.
func (k *clock) day(b []byte) (int64, []byte, error) {
	a, n := digits(b)
	if n == 0 || n >= len(b) {
		return 0, nil, errTime
	}
	sep := b[n]
	m, i := digits(b[n+1:])
	named := false
	if i == 0 {
		m, i = monthName(b[n+1:])
		named = i > 0
	}
	if i == 0 || n+1+i >= len(b) || b[n+1+i] != sep || bytes.IndexByte([]byte("-/. "), sep) < 0 {
		return 0, nil, errTime
	}
	d, j := digits(b[n+1+i+1:])
	if j == 0 {
		return 0, nil, errTime
	}
	rest := b[n+1+i+1+j:]
	year, month, date := a, m, d
	if n != 4 {
		year, month, date = d, m, a
		if k.monthFirst && sep != '.' && !named {
			month, date = a, m
		}
		if j == 2 {
			year += 2000
		} else if j != 4 {
			return 0, nil, errTime
		}
	}
	t := time.Date(year, time.Month(month), date, 0, 0, 0, 0, time.UTC)
	if t.Day() != date || int(t.Month()) != month || year < 1900 || year > 2200 {
		return 0, nil, errTime
	}
	return t.UnixMilli(), rest, nil
}

// monthName reads an English month, or its first three letters.
func monthName(b []byte) (month, length int) {
	for m := time.January; m <= time.December; m++ {
		for _, n := range [...]int{len(m.String()), 3} {
			if len(b) >= n && bytes.EqualFold(b[:n], []byte(m.String()[:n])) {
				return int(m), n
			}
		}
	}
	return 0, 0
}

// timeOfDay reads "T06:15", " 6:15:30.5 pm", "06:15Z", "06:15+01:00" or nothing.
func (k *clock) timeOfDay(b []byte) (int64, error) {
	b = bytes.TrimLeft(b, " Tt,")
	if len(b) == 0 {
		return 0, nil
	}
	at, rest, ok := hands(b)
	if !ok {
		return 0, errTime
	}
	rest = bytes.TrimSpace(rest)
	if len(rest) >= 2 && (rest[0]|32 == 'a' || rest[0]|32 == 'p') {
		if at < 3600e3 || at >= 13*3600e3 {
			return 0, errTime
		}
		at %= 12 * 3600e3
		if rest[0]|32 == 'p' {
			at += 12 * 3600e3
		}
		rest = bytes.TrimLeft(rest[1:], ".mM ")
	}
	if at > 24*3600e3 {
		return 0, errTime
	}
	if len(rest) == 0 {
		return at, nil
	}
	// A time zone: keep the wall clock of the first one, so that summer time makes no jump.
	zone, ok := timeZone(rest)
	if !ok {
		return 0, errTime
	}
	if !k.hasOffset {
		k.hasOffset, k.offset = true, zone
	}
	return at - zone + k.offset, nil
}

// hands reads "06:15", "6.15.30" or "06:15:30.5" in milliseconds, and gives what follows.
func hands(b []byte) (at int64, rest []byte, ok bool) {
	sep, unit := byte(0), int64(3600e3)
	for _, most := range [...]int{24, 59, 60} { // a leap second is the sixty-first
		v, n := digits(b)
		if n == 0 || n > 2 || v > most {
			return 0, nil, false
		}
		at += int64(v) * unit
		b = b[n:]
		if unit > 1000 && len(b) > 0 && (b[0] == sep || sep == 0 && (b[0] == ':' || b[0] == '.')) {
			sep, b, unit = b[0], b[1:], unit/60
			continue
		}
		if unit == 1000 && len(b) > 0 && (b[0] == '.' || b[0] == ',') {
			x, n := digits(b[1:])
			at += int64(math.Round(float64(x) * math.Pow(10, float64(3-n))))
			b = b[1+n:]
		}
		break
	}
	return at, b, sep != 0
}

// timeZone reads "Z", "UTC", "+01", "-0130" or "+01:00" in milliseconds.
func timeZone(b []byte) (zone int64, ok bool) {
	if b[0] != '+' && b[0] != '-' {
		return 0, bytes.EqualFold(b, []byte("Z")) || bytes.EqualFold(b, []byte("UTC"))
	}
	h, n := digits(b[1:])
	m := 0
	switch {
	case n == 4:
		h, m = h/100, h%100
	case n == 2 && len(b) >= 6 && b[3] == ':':
		m, _ = digits(b[4:])
	}
	zone = int64(h)*3600e3 + int64(m)*60e3
	if b[0] == '-' {
		zone = -zone
	}
	return zone, n == 4 || n == 2
}

// number reads a decimal number; a comma is the decimal mark if so settled,
// else it parts thousands.
func number(b []byte, decimalComma bool) (float64, error) {
	b = bytes.TrimSpace(b)
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		parts := thousands
		if decimalComma {
			parts = europeans
		}
		v, err = strconv.ParseFloat(parts.Replace(string(b)), 64)
	}
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		err = errTime
	}
	return v, err
}

// thousands and europeans take out what parts thousands, and give the decimal point.
var (
	thousands = strings.NewReplacer(",", "", " ", "", "'", "")
	europeans = strings.NewReplacer(",", ".", ".", "", " ", "", "'", "")
)
