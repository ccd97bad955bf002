package words

import (
	"cmp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Amount is a number with its unit in running text.
type Amount struct {
	Number string // as it stands, its digits plain
	UnitAt
	// Start is where the number begins.
	Start int
}

// Amounts finds the numbers with units in a text, from left to right.
func Amounts(text string) []Amount {
	var out []Amount
	for _, u := range Units(text) {
		if n, ok := NumberBefore(text, u.From); ok {
			out = append(out, Amount{n, u, max(0, strings.LastIndex(text[:u.From], n))})
		}
	}
	return out
}

// NumberBefore gives the number that stands right before a place in a text. The
// digit of a formula, as in CaCO3, is none.
func NumberBefore(text string, at int) (string, bool) {
	n := strings.TrimRight(powered(text[:at]), " ")
	if strings.Contains(n, "^") {
		if m := powerBefore.FindStringSubmatch(n); m != nil { // "2·10^3"
			return strings.ReplaceAll(cmp.Or(m[1], "1"), ",", ".") + "e" + m[2], true
		}
	}
	if k := strings.TrimSuffix(n, "-"); len(k) < len(n) && k != "" && k[len(k)-1] >= '0' && k[len(k)-1] <= '9' { // "2-litre jars"
		n = k
	}
	start := len(strings.TrimRight(n, "0123456789.,"))
	if start >= len(n) || !strings.ContainsAny(n[start:], "0123456789") || n[len(n)-1] == ',' { // "Turbidity 1, NTU" is no amount
		return "", false
	}
	if r, _ := utf8.DecodeLastRuneInString(n[:start]); start > 0 && (unicode.IsLetter(r) && !spaceless(r) || r == ')') { // Ca(OH)2
		return "", false
	}
	if n[start:] == "000" { // 10 000
		if m := groupsBefore.FindStringSubmatch(n[:start]); m != nil {
			return strings.ReplaceAll(m[1], " ", "") + "000", true
		}
	}
	return strings.Trim(n[start:], ".,"), true
}

// powerBefore is a number with its power of ten: 10^4, 2 x 10^3.
var powerBefore = NewPattern(`(?:^|[^0-9.,])(?:(\d+(?:[.,]\d+)?) ?[x×·*.] ?)?10 ?\^ ?(-?\d{1,2})$`)

// powered is [Plain] with a "^" before raised digits.
func powered(s string) string {
	if ascii(s) {
		return s
	}
	var b strings.Builder
	raised := false
	for _, r := range s {
		f, up := foldRune(r)
		if up && !raised {
			b.WriteByte('^')
		}
		raised = up
		b.WriteString(f)
	}
	return b.String()
}

// groupsBefore is what stands before the last group of a number written 10 000.
var groupsBefore = NewPattern(`(?:^|[^0-9.,])(\d{1,3} (?:\d{3} )*)$`)

// Plain undoes the forms of letters and signs that mean the same, case kept.
func Plain(s string) string {
	if ascii(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		f, _ := foldRune(r)
		b.WriteString(f)
	}
	return b.String()
}

// As reads what an amount is said to be of at the beginning of a text: "Al2O3",
// "as dry alum".
func As(text string) (string, bool) {
	p := newParser(text)
	i := 0
	if p.is(i, asWords...) {
		i++
	}
	as, of := "", ""
	if n := p.species(i, &as, &of); n > 0 && as != "" {
		return as, true
	}
	return p.at(i).text, p.at(i).sort == wordToken
}

// CountedAs gives what a text without amounts says that its numbers count: "in mg/L as dry
// alum", "expressed as product", "als Al".
func CountedAs(text string) (string, bool) {
	for _, u := range Units(text) {
		if _, counted := NumberBefore(text, u.From); u.As != "" {
			return u.As, !counted
		}
	}
	if at := Counted(text); len(at) > 0 {
		return at[0].As, true
	}
	p := newParser(text)
	for i := range p.ts {
		k, _ := p.asWord(i)
		if p.is(i, "en", "de", "di", "w", "в") { // "exprimées en Al"
			k = i + 1
		}
		if k > i {
			as, of := "", ""
			if p.species(k, &as, &of) > 0 && as != "" && !(p.is(k, "alumina") && aluminaOfSalt(Fold(text))) {
				return as, true
			}
		}
	}
	return "", false
}

// CountsOnly gives the same of a text that says nothing else: "as alum 14-hydrate".
func CountsOnly(text string) (string, bool) {
	p := newParser(text)
	k, worded := p.asWord(0)
	as, of := "", ""
	n := p.species(k, &as, &of)
	return as, worded && as != "" && n > 0 && k+n == len(p.ts)
}

// Species reads a text that is what an amount is of and nothing else.
func Species(text string) (string, bool) {
	p := newParser(text)
	as, of := "", ""
	n := p.species(0, &as, &of)
	return as, n > 0 && n == len(p.ts) && as != ""
}
