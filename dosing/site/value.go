// Package site reads and writes the description of the place: flows, chemicals,
// stocks, pumps, tanks, animals, prices. One table of fields ([Sheets]) drives
// both forms, the site workbook (.xlsx) and site.yaml: what a field is called,
// its unit, what it means, an example, whether it is needed, and where its value
// goes. A new field is one row in that table and one member in the record.
package site

import (
	"strconv"
	"strings"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// entry is a value as it stands in a file, before the table gives it meaning.
type entry struct {
	text string // as written; for a number cell the plain number
	unit string // from the unit's own cell; empty in YAML
	at   note.Place
	bad  *note.Note // the cell cannot be read at all
	said bool       // the place names the field itself, as a flag does
}

// binder puts an entry into a record.
type binder func(record any, e entry, f Field) error

// bind makes a binder from the place in the record and the parser of its type.
func bind[R, T any](member func(*R) *quantity.Known[T], parse func(string) (T, error)) binder {
	return func(record any, e entry, f Field) error {
		v := member(record.(*R))
		v.At = e.at
		if e.bad != nil {
			return e.bad.At(e.at)
		}
		text := strings.TrimSpace(e.text)
		if text == "" {
			return nil
		}
		full, bare := f.withUnit(text, e.unit)
		x, err := parse(full)
		switch {
		case bare && err == nil:
			err = note.Fault("unit-missing", "%q has no unit", text).Do("write it like %q", example(f))
		case bare: // the parser has the better words
			n := note.Of(err, "unit-missing")[0]
			n.Code, err = "unit-missing", n
		case err == nil:
			v.V, v.OK = x, true
			return nil
		}
		n := note.Of(err, "bad-value")[0]
		if !e.said {
			n.Message = f.Name + ": " + n.Message
		}
		return n.At(e.at)
	}
}

// withUnit joins a number to the unit that stands in the unit's cell, and tells
// where a number has no unit and needs one. Text that carries its own keeps it.
func (f Field) withUnit(text, unit string) (full string, bare bool) {
	if f.Numeric {
		text = decimalComma(text)
	}
	if f.Unit == "" {
		return text, false
	}
	if _, own, err := quantity.Split(text); err != nil || own != "" {
		return text, false // the parser has the better words for what is wrong
	}
	return strings.TrimSpace(text + " " + unit), unit == ""
}

// decimalComma turns "12,5" into "12.5". A comma before exactly three digits is
// left as it is, because "1,234" has two meanings.
func decimalComma(s string) string {
	i := strings.IndexByte(s, ',')
	if i < 1 || strings.Count(s, ",") != 1 || strings.Contains(s, ".") {
		return s
	}
	n := 0
	for i+1+n < len(s) && s[i+1+n] >= '0' && s[i+1+n] <= '9' {
		n++
	}
	if n == 0 || n == 3 && s[:i] != "0" {
		return s
	}
	return s[:i] + "." + s[i+1:]
}

// positive refuses what is not above zero.
func positive[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	return func(s string) (T, error) {
		v, err := parse(s)
		if err == nil && v <= 0 {
			err = note.Fault("not-positive", "%q is not above zero", s).Do("give a value above zero, or leave it out")
		}
		return v, err
	}
}

// notNegative refuses what is below zero.
func notNegative[T ~float64](parse func(string) (T, error)) func(string) (T, error) {
	return func(s string) (T, error) {
		v, err := parse(s)
		if err == nil && v < 0 {
			err = note.Fault("negative", "%q is negative", s).Do("give zero or more")
		}
		return v, err
	}
}

func parseText(s string) (string, error) { return s, nil }

func parseYesNo(s string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "yes", "y", "true", "1", "x":
		return true, nil
	case "no", "n", "false", "0", "-":
		return false, nil
	}
	return false, note.Fault("bad-yes-no", "%q is neither yes nor no", s).Do("write yes or no")
}

func parseCount(s string) (int, error) {
	v, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSpace(s), ".0"))
	if err != nil || v < 0 {
		return 0, note.Fault("bad-count", "%q is not a whole number", s).Do("write a whole number, such as 3")
	}
	return v, nil
}

// choice accepts one of the options, whatever the case, with "did you mean".
func choice(options ...string) func(string) (string, error) {
	return func(s string) (string, error) {
		want := fold(s)
		for _, o := range options {
			if fold(o) == want {
				return o, nil
			}
		}
		return "", note.Fault("bad-choice", "%q is not one of the choices%s", s, note.DidYouMean(s, options)).
			Do("use %s", orList(options))
	}
}

// ParseClock reads a time of day, "06:00" or "6:30", as hours after midnight.
func ParseClock(s string) (quantity.Time, error) {
	h, m, ok := strings.Cut(strings.TrimSpace(s), ":")
	hh, err1 := strconv.Atoi(h)
	mm := 0
	var err2 error
	if ok {
		mm, err2 = strconv.Atoi(strings.TrimSuffix(m, ":00"))
	}
	if err1 != nil || err2 != nil || hh < 0 || hh > 24 || mm < 0 || mm > 59 || hh == 24 && mm > 0 {
		return 0, note.Fault("bad-clock", "%q is not a time of day", s).Do(`write it like "06:00"`)
	}
	return quantity.Time(float64(hh) + float64(mm)/60), nil
}

func pad(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}

// parseDate reads an ISO date; other orders have two meanings.
func parseDate(s string) (time.Time, error) {
	s = strings.TrimSpace(s)
	for _, layout := range []string{"2006-01-02", "2006-01-02T15:04:05", "2006-01-02 15:04"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, nil
		}
	}
	return time.Time{}, note.Fault("bad-date", "%q is not a date in the form year-month-day", s).
		Do(`write it like "2026-03-14", or make the cell a date`)
}

func fold(s string) string {
	s = strings.ToLower(strings.NewReplacer("_", " ", "-", " ", "(", " ", ")", " ", "*", " ", ":", " ", ".", " ").Replace(s))
	return strings.Join(strings.Fields(s), " ")
}

func orList(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " or " + s[len(s)-1]
}

// parseRatio reads a plain number above zero.
func parseRatio(s string) (float64, error) {
	v, rest, err := quantity.Split(decimalComma(strings.TrimSuffix(strings.TrimSpace(s), ":1")))
	if err != nil || rest != "" || v <= 0 {
		return 0, note.Fault("bad-number", "%q is not a number above zero", s).Do("write a plain number, such as 10")
	}
	return v, nil
}

// parseTurndown reads how often the least rate goes into the largest.
func parseTurndown(s string) (float64, error) {
	v, err := parseRatio(s)
	if err != nil || v < 1 {
		return 0, note.Fault("bad-number", "%q is not a number of 1 or more", s).Do(`write a plain number, such as "10"`)
	}
	return v, nil
}

// parseMoney reads an amount with its currency, such as "45 EUR".
func parseMoney(s string) (quantity.Money, error) {
	v, cur, err := quantity.Split(s)
	if err != nil || cur == "" || v < 0 {
		return quantity.Money{}, note.Fault("bad-money", "%q is not an amount with its currency", s).Do(`write it like "45 EUR"`)
	}
	return quantity.Money{Amount: v, Currency: cur}, nil
}

// parseNumber reads a plain number, zero or more.
func parseNumber(s string) (float64, error) {
	v, rest, err := quantity.Split(decimalComma(strings.TrimSpace(s)))
	if err != nil || rest != "" || v < 0 {
		return 0, note.Fault("bad-number", "%q is not a number of zero or more", s).Do("write a plain number, such as 7")
	}
	return v, nil
}
