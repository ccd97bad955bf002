package sheet

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// fold brings text into the form in which words are compared: compatibility
// forms undone (superscripts, full-width digits, the micro sign), Latin accents
// dropped, lower case, every kind of blank one space. Marks of other scripts
// stay, because in Thai they are letters.
func fold(s string) string {
	if ascii(s) {
		return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(humps(s), "_", " "))), " ")
	}
	var b strings.Builder
	latin := false
	for _, r := range norm.NFKD.String(humps(s)) {
		if unicode.Is(unicode.Mn, r) {
			if latin {
				continue
			}
		} else {
			latin = unicode.Is(unicode.Latin, r)
		}
		if d, ok := digitOf(r); ok {
			b.WriteByte('0' + d)
			continue
		}
		switch r {
		case 'μ', 'µ':
			b.WriteByte('u')
		case 'đ', 'Đ', 'ð':
			b.WriteByte('d')
		case 'ß':
			b.WriteString("ss")
		case 'ø', 'Ø':
			b.WriteByte('o')
		case 'æ', 'Æ':
			b.WriteString("ae")
		case 'ł', 'Ł':
			b.WriteByte('l')
		case 'ı':
			b.WriteByte('i')
		case '−', '–', '—', '‐', '‑', '‒':
			b.WriteByte('-')
		case '⁄', '∕':
			b.WriteByte('/')
		case '×', '·', '⋅', '•':
			b.WriteByte('.')
		case '’', '‘', '′':
			b.WriteByte('\'')
		case '“', '”', '″':
			b.WriteByte('"')
		case '_', '\u200b', '\ufeff':
			b.WriteByte(' ')
		case '\u202a', '\u202b', '\u202c', '\u202d', '\u202e', '\u200e', '\u200f', '\u00ad', '\u2060':
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return strings.Join(strings.Fields(norm.NFC.String(b.String())), " ")
}

func ascii(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

// humps parts names that are run together, such as "turbidityNTU", but leaves
// formulas such as FeCl3 alone.
func humps(s string) string { return humpAt.ReplaceAllString(s, "$1 $2") }

var humpAt = regexp.MustCompile(`(\p{Ll}{3,})(\p{Lu})`)

// digitOf gives the value of a decimal digit of any script.
func digitOf(r rune) (byte, bool) {
	if r >= '0' && r <= '9' {
		return byte(r - '0'), true
	}
	if r < 0x80 || !unicode.Is(unicode.Nd, r) {
		return 0, false
	}
	// Decimal digits stand in runs of ten that begin at their zero.
	for z := r; z > r-10; z-- {
		if !unicode.Is(unicode.Nd, z-1) || z == r-9 {
			return byte((r - z) % 10), true
		}
	}
	return 0, false
}

// spaceless reports a script that puts no blanks between words.
func spaceless(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Hiragana, unicode.Katakana)
}

// token is a word of folded text with its byte span.
type token struct {
	text     string
	from, to int
}

// tokens splits folded text into runs of letters and digits.
func tokens(s string) []token {
	var out []token
	start := -1
	for i, r := range s {
		word := unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r) || r == '+' && start >= 0
		if word && start < 0 {
			start = i
		}
		if !word && start >= 0 {
			out = append(out, token{s[start:i], start, i})
			start = -1
		}
	}
	if start >= 0 {
		out = append(out, token{s[start:], start, len(s)})
	}
	return out
}
