// Package quantity holds the amounts that the bench and the plant speak of, each
// as a type of its own, so that a dose as product cannot be taken for a dose as
// aluminium, nor a feed of stock for a flow of water. Values are kept in one
// working unit per kind (named at each type); Parse functions read what people
// write ("35 gpm", "12.5 mg/L") and refuse a number without a unit.
//
// Gallons are US gallons unless the text says imperial. A gallon is 231 cubic
// inches, an imperial gallon 4.54609 L, a pound 0.45359237 kg (NIST Special
// Publication 811, 2008, appendix B; from memory).
package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

const (
	litresPerGallon    = 3.785411784 // US, exact
	litresPerImpGallon = 4.54609     // exact
	kgPerPound         = 0.45359237  // exact
)

// unit is one way to write a kind of quantity: the first name is the one shown,
// factor turns a value in this unit into the kind's working unit.
type unit struct {
	factor float64
	names  []string
}

// kind is a sort of quantity with its units, the working unit first.
type kind struct {
	what    string
	example string
	units   []unit
}

// find looks a unit up: exact spelling first, so that ML/d and mL/d stay apart,
// then without regard to case where that leaves one meaning.
func (k kind) find(name string) (unit, bool) {
	n := tidyUnit(name)
	for _, u := range k.units {
		for _, x := range u.names {
			if tidyUnit(x) == n {
				return u, true
			}
		}
	}
	var hit unit
	found := false
	for _, u := range k.units {
		for _, x := range u.names {
			if strings.EqualFold(tidyUnit(x), n) {
				if found && hit.factor != u.factor {
					return unit{}, false
				}
				hit, found = u, true
			}
		}
	}
	return hit, found
}

func (k kind) shown() []string {
	out := make([]string, len(k.units))
	for i, u := range k.units {
		out[i] = u.names[0]
	}
	return out
}

func (k kind) all() []string {
	var out []string
	for _, u := range k.units {
		out = append(out, u.names...)
	}
	return out
}

// parse reads "number unit" into the working unit.
func (k kind) parse(text string) (float64, error) {
	v, name, err := Split(text)
	if err != nil {
		return 0, note.Fault("bad-"+slug(k.what), "%s %q: %s", k.what, text, err.Error()).Do("write it like %q", k.example)
	}
	if name == "" {
		return 0, note.Fault("unit-missing", "%s %q has no unit", k.what, text).
			Do("write it like %q (%s)", k.example, strings.Join(k.shown(), ", "))
	}
	u, ok := k.find(name)
	if !ok {
		return 0, note.Fault("unit-unknown", "%s %q: unit %q is not known%s", k.what, text, name, note.DidYouMean(name, k.all())).
			Do("use one of %s", strings.Join(k.shown(), ", "))
	}
	return v * u.factor, nil
}

// in gives a working-unit value in the named unit. Asking for a unit that the
// kind does not have is a programmer's mistake and gives NaN.
func (k kind) in(v float64, name string) float64 {
	u, ok := k.find(name)
	if !ok {
		return math.NaN()
	}
	return v / u.factor
}

// Split takes "12.5 mg/L" apart into the number and the text after it. A comma
// in the number is refused, because "1,234" has two meanings on a command line.
func Split(text string) (float64, string, error) {
	s := strings.TrimSpace(strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "−", "-").Replace(text))
	if s == "" {
		return 0, "", fmt.Errorf("is empty")
	}
	end := 0
	for end < len(s) {
		c := s[end]
		digit := c >= '0' && c <= '9' || c == '.' || c == ','
		sign := (c == '-' || c == '+') && (end == 0 || s[end-1] == 'e' || s[end-1] == 'E')
		exp := (c == 'e' || c == 'E') && end > 0 && end+1 < len(s) && strings.ContainsRune("0123456789+-", rune(s[end+1]))
		if !digit && !sign && !exp {
			break
		}
		end++
	}
	num := s[:end]
	if strings.Contains(num, ",") {
		return 0, "", fmt.Errorf("the comma in %q can mean thousands or decimals", num)
	}
	v, err := strconv.ParseFloat(num, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, "", fmt.Errorf("does not start with a number")
	}
	return v, strings.TrimSpace(s[end:]), nil
}

// tidyUnit folds the usual spellings of one unit together: superscripts, the
// micro sign, "L-1" and "per", dots and blanks.
func tidyUnit(s string) string {
	s = unitSpelling.Replace(strings.TrimSpace(s))
	s = strings.ReplaceAll(s, " ", "")
	for _, d := range [...]string{"L", "l", "h", "min", "d", "day", "s", "m3", "mL"} {
		s = strings.ReplaceAll(s, d+"-1", "/"+d)
	}
	return strings.ReplaceAll(s, "//", "/")
}

var unitSpelling = strings.NewReplacer("³", "3", "²", "2", "⁻¹", "-1", "−", "-", "µ", "u", "μ", "u", "^", "", "·", "", " per ", "/",
	"\u00a0", "", "\u202f", "", "\u2009", "", "℃", "C", "°", "", "∕", "/", "⁄", "/")

func slug(s string) string { return strings.ReplaceAll(strings.ToLower(s), " ", "-") }

// Sig writes v with that many significant digits, as a plain decimal number
// without exponent and without trailing zeros beyond the digits asked for.
func Sig(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	r := RoundSig(v, digits)
	if r != 0 {
		places = digits - 1 - int(math.Floor(math.Log10(math.Abs(r))+1e-12))
	}
	return strconv.FormatFloat(r, 'f', max(places, 0), 64)
}

// Brief writes v with at most that many significant digits and no idle zeros: 20,
// not 20.00.
func Brief(v float64, digits int) string {
	s := Sig(v, digits)
	if strings.Contains(s, ".") && !strings.Contains(s, "e") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// RoundSig rounds to that many significant digits.
func RoundSig(v float64, digits int) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	s := strconv.FormatFloat(v, 'e', digits-1, 64)
	r, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return v
	}
	return r
}
