// Package site reads and writes the description of the place: flows, chemicals,
// stocks, pumps, tanks, animals, prices. One table of fields ([Sheets]) drives
// both forms, the site workbook (.xlsx) and site.yaml: what a field is called,
// its unit, what it means, an example, whether it is needed, and where its value
// goes. A new field is one row in that table and one member in the record.
package site

import (
	"fmt"
	"slices"
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
	us   bool       // of a site in US units
}

// example is a value of a field as the site that it is missing from has it.
func (e entry) example(f Field) string {
	if e.us {
		f = f.In(quantity.US)
	}
	return example(f)
}

// binder puts an entry into a member of a record, a *[quantity.Known]. A note below
// an error says something of a value that was put all the same.
type binder func(member any, e entry, f Field) error

// bind makes a binder of the parser of the member's type.
func bind[T any](parse func(string) (T, error)) binder {
	return func(member any, e entry, f Field) error {
		v := member.(*quantity.Known[T])
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
			err = note.Fault("unit-missing", "%q has no unit", text).Do("write it like %q", e.example(f))
		case bare: // the parser has the better words
			n := note.Of(err, "unit-missing")[0]
			if _, units, ok := strings.Cut(n.Remedy, " ("); ok && f.Example != "" {
				n = n.Do("write it like %q (%s", e.example(f), units)
			}
			n.Code, err = "unit-missing", n
		case err == nil:
			n, odd := limits[T]{f, parse}.judge(x, full)
			if v.V, v.OK = x, true; !odd {
				return nil
			}
			if v.OK = n.Level < note.Error; !v.OK {
				v.V = *new(T)
			}
			err = n
		}
		n := note.Of(err, "bad-value")[0]
		if meant := (limits[T]{f, parse}).meant(full); outside[n.Code] && meant != "" {
			n.Message += meant
			n = n.Do("correct it")
		}
		if !e.said {
			n.Message = f.Name + ": " + n.Message
		}
		return n.At(e.at)
	}
}

// outside are the codes of values that a kind of quantity does not take.
var outside = map[string]bool{"bad-percentage": true, "bad-ph": true, "bad-salinity": true, "bad-setting": true}

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

// leastBeginning is how many letters of a choice tell it: "Mon", "once".
const leastBeginning = 3

// choice accepts one of the options, whatever the case, with "did you mean".
func choice(options []string) func(string) (string, error) {
	return func(s string) (string, error) {
		want := fold(s)
		for _, o := range options {
			if fold(o) == want {
				return o, nil
			}
		}
		if o := saidFor[want]; slices.Contains(options, o) {
			return o, nil
		}
		meant := note.DidYouMean(s, options)
		if whole, ok := begun(options, s); ok {
			meant = note.DidYouMean(whole, []string{whole})
		}
		for _, o := range options {
			if slices.Equal(sortedWords(o), sortedWords(s)) { // "stroke and speed"
				meant = note.DidYouMean(o, []string{o})
			}
		}
		return "", note.Fault("bad-choice", "%q is not one of the choices%s", s, meant).
			Do("use %s", orList(options))
	}
}

// sortedWords are the words of a choice, in whatever order they were said.
func sortedWords(s string) []string {
	words := strings.Fields(strings.ToLower(s))
	slices.Sort(words)
	return words
}

// months are the names of the months.
func months() (out []string) {
	for m := time.January; m <= time.December; m++ {
		out = append(out, m.String())
	}
	return out
}

// parseMonth reads the month of any year: its name, at least three letters of it, or its number.
func parseMonth(s string) (time.Month, error) {
	said := fold(s)
	if n, err := strconv.Atoi(said); err == nil && n >= 1 && n <= 12 {
		return time.Month(n), nil
	}
	for i, name := range months() {
		if len(said) >= 3 && strings.HasPrefix(fold(name), said) {
			return time.Month(i + 1), nil
		}
	}
	return 0, note.Fault("bad-month", "%q is not a month%s", s, note.DidYouMean(s, months())).Do("write its name alone, such as January: a season holds in every year")
}

// begun gives the only option that begins so.
func begun(options []string, s string) (whole string, ok bool) {
	want := fold(s)
	if len(want) < leastBeginning {
		return "", false
	}
	for _, o := range options {
		if strings.HasPrefix(fold(o), want) {
			if ok {
				return "", false
			}
			whole, ok = o, true
		}
	}
	return whole, ok
}

// parseClock reads a time of day, "06:00" or "6:30", as hours after midnight.
func parseClock(s string) (quantity.Time, error) {
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

func pad(n int) string { return fmt.Sprintf("%02d", n) }

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
	return strings.Join(strings.Fields(strings.ToLower(blanked.Replace(s))), " ")
}

var blanked = strings.NewReplacer("_", " ", "-", " ", "(", " ", ")", " ", "*", " ", ":", " ", ".", " ")

func orList(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " or " + s[len(s)-1]
}

// plain reads a number without unit, up from a least one; a ratio may end in "to".
func plain(s, to, least, such string, fits func(float64) bool) (float64, error) {
	v, rest, err := quantity.Split(decimalComma(strings.TrimSuffix(strings.TrimSpace(s), to)))
	if err != nil || rest != "" || !fits(v) {
		return 0, note.Fault("bad-number", "%q is not a number %s", s, least).Do("write a plain number, such as %s", such)
	}
	return v, nil
}

func parseNumber(s string) (float64, error) {
	return plain(s, "", "of zero or more", "7", func(v float64) bool { return v >= 0 })
}

func parseSigned(s string) (float64, error) {
	return plain(s, "", "above or below zero", "0.45", func(float64) bool { return true })
}

func parseRatio(s string) (float64, error) {
	return plain(s, ":1", "above zero", "10", func(v float64) bool { return v > 0 })
}

// parseTurndown reads how often the least rate goes into the largest, "10" or "10:1".
func parseTurndown(s string) (float64, error) {
	return plain(s, ":1", "of 1 or more", `"10"`, func(v float64) bool { return v >= 1 })
}

// parseMoney reads an amount with its currency, such as "45 EUR".
func parseMoney(s string) (quantity.Money, error) {
	v, cur, err := quantity.Split(s)
	if err != nil || cur == "" || v < 0 {
		return quantity.Money{}, note.Fault("bad-money", "%q is not an amount with its currency", s).Do(`write it like "45 EUR"`)
	}
	return quantity.Money{Amount: v, Currency: cur}, nil
}
