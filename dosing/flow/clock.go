package flow

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"time"

	"jarwright/jartest/note"
)

// clock turns the time cells of a log into milliseconds of wall clock. What kind
// of time they hold is settled by the whole column before the first is read.
type clock struct {
	monthFirst bool
	elapsed    float64 // hours per unit; zero for dates
	offset     int64   // of the first time zone seen, ms
	hasOffset  bool
	date1904   bool
	notes      note.List
}

var errTime = fmt.Errorf("not a time")

// evidence walks the column once: day or month first, decimal comma or point,
// oldest or newest first.
func evidence(src source, c columns) (*clock, bool, error) {
	k := &clock{date1904: src.date1904, elapsed: c.elapsed}
	var slash, firstOver, secondOver, commas, loneThousands int
	var firstSlash [][2]int
	ambiguous := ""
	for row, f := range src.rows {
		if row <= c.row || c.time >= len(f) {
			continue
		}
		d := f[c.time]
		if c.date >= 0 && c.date < len(f) {
			d = f[c.date]
		}
		if a, b, ok := slashDate(d); ok {
			slash++
			if a > 12 {
				firstOver++
			}
			if b > 12 {
				secondOver++
			}
			if n := len(firstSlash); n < 4096 && (n == 0 || firstSlash[n-1] != [2]int{a, b}) {
				firstSlash = append(firstSlash, [2]int{a, b})
			}
		}
		if !src.comma && c.flow < len(f) {
			if i := bytes.IndexByte(f[c.flow], ','); i >= 0 {
				v := f[c.flow]
				if p := bytes.IndexByte(v, '.'); p >= 0 && p < i {
					commas++ // 1.234,5
				} else if bytes.IndexByte(v, '.') < 0 && bytes.Count(v, []byte(",")) == 1 {
					commas++
					if len(v)-i-1 == 3 && i <= 3 && i > 0 && v[0] != '0' {
						loneThousands++
						if ambiguous == "" {
							ambiguous = fmt.Sprintf("%s\x00%s", cell(c.flow, row), v)
						}
					}
				}
			}
		}
	}
	decimal := commas > 0
	if commas > 0 && commas == loneThousands {
		at, text, _ := bytes.Cut([]byte(ambiguous), []byte{0})
		whole := bytes.ReplaceAll(text, []byte(","), nil)
		point := bytes.ReplaceAll(text, []byte(","), []byte("."))
		return nil, false, note.Fault("comma-unclear", "%q can mean %s or %s, and no other cell of the column tells which", text, whole, point).
			Do("write the flows with a decimal point").At(note.Place{Cell: string(at)})
	}
	switch {
	case slash == 0:
	case firstOver > 0 && secondOver > 0:
		return nil, false, note.Fault("dates-mixed", "some dates have the day first, some the month").Do("write dates like 2026-03-01").At(note.Place{Cell: cell(max(c.date, c.time), 0)})
	case secondOver > 0:
		k.monthFirst = true
	case firstOver == 0 && len(firstSlash) > 1:
		// Neither reading is impossible: days follow each other, months would leave holes.
		day, month := jumps(firstSlash, false), jumps(firstSlash, true)
		k.monthFirst = month < day
		which := "day"
		if k.monthFirst {
			which = "month"
		}
		if day == month {
			return nil, false, note.Fault("date-unclear", "%d/%d can be read day first or month first", firstSlash[0][0], firstSlash[0][1]).
				Do("write dates like 2026-03-01").At(note.Place{Cell: cell(max(c.date, c.time), 0)})
		}
		k.notes.Add(note.New(note.Info, "date-order", "dates are read %s first, because the days then follow each other", which))
	case firstOver == 0:
		k.notes.Add(note.New(note.Info, "date-order", "the one date %d/%d is read day first", firstSlash[0][0], firstSlash[0][1]))
	}
	return k, decimal, nil
}

// jumps adds up the days between neighbours of a list of dates in one year.
func jumps(list [][2]int, monthFirst bool) int {
	sum, last := 0, 0
	for i, d := range list {
		day, month := d[0], d[1]
		if monthFirst {
			day, month = month, day
		}
		n := time.Date(2001, time.Month(month), day, 0, 0, 0, 0, time.UTC).YearDay()
		if i > 0 {
			step := n - last
			if step < 0 {
				step = -step
			}
			sum += min(step, 365-step)
		}
		last = n
	}
	return sum
}

// slashDate gives the first two numbers of a date such as 3/4/2026 or 03.04.26.
func slashDate(b []byte) (int, int, bool) {
	a, n := digits(b)
	if n == 0 || n > 2 || n >= len(b) || b[n] != '/' && b[n] != '.' && b[n] != '-' {
		return 0, 0, false
	}
	sep := b[n]
	c, m := digits(b[n+1:])
	if m == 0 || m > 2 || n+1+m >= len(b) || b[n+1+m] != sep {
		return 0, 0, false
	}
	return a, c, sep != '.' // dots have the day first everywhere
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
	if c.date >= 0 {
		if c.date >= len(f) {
			return 0, errTime
		}
		day, rest, err := k.day(f[c.date])
		if err != nil { // a date cell of a sheet holds a day number
			if day, err = k.serial(f[c.date]); err == nil {
				day -= floorMod(day, 24*3600e3)
			}
		}
		if err != nil || len(bytes.TrimSpace(rest)) > 0 {
			// a date cell of a sheet may carry "00:00:00"
			if err != nil {
				return 0, err
			}
			if t, err := k.timeOfDay(rest); err != nil || t != 0 {
				return 0, errTime
			}
		}
		t, err := k.timeOfDay(b)
		if err != nil {
			v, e := strconv.ParseFloat(string(b), 64)
			if e != nil || v < 0 || v >= 1 {
				return 0, err
			}
			t = int64(math.Round(v*86400)) * 1000
		}
		return day + t, nil
	}
	if k.elapsed > 0 {
		v, err := number(b, false)
		if err == nil {
			return int64(math.Round(v * k.elapsed * ms)), nil
		}
	}
	day, rest, err := k.day(b)
	if err == nil {
		t, err := k.timeOfDay(rest)
		return day + t, err
	}
	if bytes.IndexByte(b, ':') >= 0 && len(b) <= 11 { // a clock time alone: one day
		return k.timeOfDay(b)
	}
	return k.serial(b)
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

// day reads the date at the start of b and gives midnight and what follows.
func (k *clock) day(b []byte) (int64, []byte, error) {
	a, n := digits(b)
	if n == 0 || n >= len(b) {
		return 0, nil, errTime
	}
	sep := b[n]
	if sep != '-' && sep != '/' && sep != '.' && sep != ' ' {
		return 0, nil, errTime
	}
	m, i := digits(b[n+1:])
	named := false
	if i == 0 {
		m, i = monthName(b[n+1:])
		named = i > 0
	}
	if i == 0 || n+1+i >= len(b) || b[n+1+i] != sep {
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
	if month < 1 || month > 12 || date < 1 || date > daysIn(year, month) || year < 1900 || year > 2200 {
		return 0, nil, errTime
	}
	return daysFrom1970(year, month, date) * 86400e3, rest, nil
}

// monthName reads the first three letters of an English month.
func monthName(b []byte) (int, int) {
	if len(b) >= 3 {
		for m := range 12 {
			if name := time.Month(m + 1).String(); bytes.EqualFold(b[:3], []byte(name[:3])) {
				if len(b) >= len(name) && bytes.EqualFold(b[:len(name)], []byte(name)) {
					return m + 1, len(name)
				}
				return m + 1, 3
			}
		}
	}
	return 0, 0
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// daysFrom1970 counts days in the Gregorian calendar; March is taken as the
// first month so that leap days end a year.
func daysFrom1970(year, month, day int) int64 {
	if month <= 2 {
		year--
		month += 12
	}
	return int64(365*year+year/4-year/100+year/400+(153*(month-3)+2)/5+day) - 719469
}

// timeOfDay reads "T06:15", " 6:15:30.5 pm", "06:15Z", "06:15+01:00" or nothing.
func (k *clock) timeOfDay(b []byte) (int64, error) {
	b = bytes.TrimLeft(b, " Tt,")
	if len(b) == 0 {
		return 0, nil
	}
	h, n := digits(b)
	if n == 0 || n > 2 || n >= len(b) || b[n] != ':' && b[n] != '.' {
		return 0, errTime
	}
	sep := b[n]
	b = b[n+1:]
	m, n := digits(b)
	if n == 0 || n > 2 || m > 59 {
		return 0, errTime
	}
	b = b[n:]
	milli := int64(0)
	if len(b) > 0 && b[0] == sep {
		s, n := digits(b[1:])
		if n == 0 || n > 2 || s > 60 {
			return 0, errTime
		}
		b = b[1+n:]
		milli = int64(s) * 1000
		if len(b) > 0 && (b[0] == '.' || b[0] == ',') {
			x, n := digits(b[1:])
			milli += int64(math.Round(float64(x) * math.Pow(10, float64(3-n))))
			b = b[1+n:]
		}
	}
	b = bytes.TrimSpace(b)
	if len(b) >= 2 && (b[0]|32 == 'a' || b[0]|32 == 'p') {
		if h < 1 || h > 12 {
			return 0, errTime
		}
		h %= 12
		if b[0]|32 == 'p' {
			h += 12
		}
		b = bytes.TrimLeft(b[1:], ".mM ")
	}
	if h > 24 || h == 24 && (m > 0 || milli > 0) {
		return 0, errTime
	}
	at := int64(h)*3600e3 + int64(m)*60e3 + milli
	if len(b) == 0 {
		return at, nil
	}
	// A time zone: keep the wall clock of the first one, so that summer time makes no jump.
	zone := int64(0)
	if b[0] == '+' || b[0] == '-' {
		oh, n := digits(b[1:])
		om := 0
		switch {
		case n == 4:
			oh, om = oh/100, oh%100
		case n == 2 && len(b) >= 6 && b[3] == ':':
			om, _ = digits(b[4:])
		case n != 2:
			return 0, errTime
		}
		zone = int64(oh)*3600e3 + int64(om)*60e3
		if b[0] == '-' {
			zone = -zone
		}
	} else if !bytes.EqualFold(b, []byte("Z")) && !bytes.EqualFold(b, []byte("UTC")) {
		return 0, errTime
	}
	if !k.hasOffset {
		k.hasOffset, k.offset = true, zone
	}
	return at - zone + k.offset, nil
}

// number reads a decimal number; a comma is the decimal mark if so settled,
// else it parts thousands.
func number(b []byte, decimalComma bool) (float64, error) {
	b = bytes.TrimSpace(b)
	if v, ok := plain(b); ok {
		return v, nil
	}
	s := make([]byte, 0, len(b))
	for _, c := range b {
		switch {
		case c == ',' && decimalComma:
			s = append(s, '.')
		case c == ',' || c == ' ' || c == '\'':
		case c == '.' && decimalComma:
		default:
			s = append(s, c)
		}
	}
	v, err := strconv.ParseFloat(string(s), 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		err = errTime
	}
	return v, err
}

var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// plain reads digits with at most one point: up to 15 digits that is exact.
func plain(b []byte) (float64, bool) {
	if len(b) == 0 || len(b) > 16 {
		return 0, false
	}
	neg := b[0] == '-'
	if neg {
		b = b[1:]
	}
	v, after, point, seen := 0.0, 0, false, false
	for _, c := range b {
		switch {
		case c >= '0' && c <= '9':
			v = v*10 + float64(c-'0')
			seen = true
			if point {
				after++
			}
		case c == '.' && !point:
			point = true
		default:
			return 0, false
		}
	}
	if !seen || len(b) > 15 {
		return 0, false
	}
	v /= tens[after]
	if neg {
		v = -v
	}
	return v, true
}
