package words

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// tokenSort says what a token is.
type tokenSort uint8

const (
	wordToken   tokenSort = iota // letters, with the digits that follow them without a blank
	numberToken                  // digits with their marks
	signToken                    // one sign
)

// token is a piece of a text with its bytes in the text as it was written.
type token struct {
	sort     tokenSort
	text     string // folded: lower case, no accents, plain digits
	exact    string // the same with its case
	from, to int
	glued    bool // no blank stands before it
}

// lex splits a text into words, numbers and signs. Superscripts become a "^" and what
// they hold, unless they belong to a formula's charge or to a cubic metre.
func lex(s string) []token {
	var out []token
	var run strings.Builder
	start, glued, kind, raised := -1, false, wordToken, false
	end := 0
	flush := func() {
		if start < 0 {
			return
		}
		out = append(out, token{kind, strings.ToLower(run.String()), run.String(), start, end, glued})
		run.Reset()
		start = -1
	}
	begin := func(i int, k tokenSort) {
		glued = i == end && len(out) > 0
		start, kind = i, k
	}
	for i, r := range s {
		_, size := utf8.DecodeRuneInString(s[i:])
		f, up := foldRune(r)
		if unicode.Is(unicode.Mn, r) && f == "" {
			end = i + size
			continue
		}
		if up != raised {
			joins := up && start >= 0 && (cubed[strings.ToLower(run.String())] && (f == "2" || f == "3") || charge(s[i:]))
			if up && !joins {
				flush()
				out = append(out, token{signToken, "^", "^", i, i, true})
			}
			raised = up && !joins
		}
		for _, c := range f {
			switch {
			case unicode.IsSpace(c):
				flush()
			case spaceless(c):
				flush()
				begin(i, wordToken)
				run.WriteRune(c)
				end = i + size
				flush()
			case unicode.IsLetter(c) || unicode.Is(unicode.M, c):
				if start >= 0 && kind == numberToken {
					flush()
				}
				if start < 0 {
					begin(i, wordToken)
				}
				run.WriteRune(c)
			case c >= '0' && c <= '9':
				if start < 0 {
					begin(i, numberToken)
				}
				run.WriteRune(c)
			case (c == '.' || c == ',') && start >= 0 && kind == numberToken && digitFollows(s[i+size:]):
				run.WriteRune(c)
			case (c == '+' || c == '-' && up) && start >= 0 && kind == wordToken:
				run.WriteRune(c)
			default:
				flush()
				begin(i, signToken)
				run.WriteRune(c)
				end = i + size
				flush()
			}
			if start >= 0 {
				end = i + size
			}
		}
	}
	flush()
	return out
}

// cubed are the lengths whose square and cube are written with a digit.
var cubed = map[string]bool{"m": true, "cm": true, "dm": true, "mm": true, "ft": true, "in": true}

// charge reports raised signs that are the charge of an ion: "3+", "³⁻", "+".
func charge(s string) bool {
	last := rune(0)
	for _, r := range s {
		f, up := foldRune(r)
		if !up {
			break
		}
		last = []rune(f)[0]
	}
	return last == '+' || last == '-'
}

func digitFollows(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	f, _ := foldRune(r)
	return f != "" && f[0] >= '0' && f[0] <= '9'
}

// signs are the spellings of signs that mean the same.
var signs = map[rune]string{
	'μ': "u", 'µ': "u", 'đ': "d", 'Đ': "D", 'ð': "d", 'ß': "ss", 'ø': "o", 'Ø': "O", 'æ': "ae", 'Æ': "AE", 'ł': "l", 'Ł': "L", 'ı': "i", 'ℓ': "l",
	'−': "-", '–': "-", '—': "-", '‐': "-", '‑': "-", '‒': "-", '⁄': "/", '∕': "/", '÷': "/", '×': "×", '✕': "×", '·': "·", '⋅': "·", '•': "·", '∙': "·",
	'’': "'", '‘': "'", '′': "'", '“': `"`, '”': `"`, '″': `"`, '״': `"`, '׳': "'", '_': " ", '\u00a0': " ", '\u200b': " ", '\ufeff': " ", 'º': "°", '˚': "°", '℃': "°C", '℉': "°F",
	'\u202a': "", '\u202b': "", '\u202c': "", '\u202d': "", '\u202e': "", '\u200e': "", '\u200f': "", '\u00ad': "", '\u2060': "", '‰': "‰", '％': "%",
	'ς': "σ", 'ё': "е", 'Ё': "Е", 'أ': "ا", 'إ': "ا", 'آ': "ا", 'ٱ': "ا", 'ة': "ه", 'ى': "ي", 'ی': "ي", 'ئ': "ي", 'ک': "ك", 'ـ': "", '\u200c': " ", '\u200d': "",
}

// folded is the plain form of a letter or sign, and whether it was raised.
type folded struct {
	text   string
	raised bool
}

// foldedRunes remembers the plain forms of letters beyond ASCII: the vocabulary has few
// different ones, many times each.
var foldedRunes sync.Map

// foldRune gives the plain form of a letter or sign, and whether it was raised.
func foldRune(r rune) (string, bool) {
	if r < utf8.RuneSelf {
		if r == '_' || r == '\n' || r == '\t' || r == '\r' {
			return " ", false
		}
		return string(r), false
	}
	if f, ok := foldedRunes.Load(r); ok {
		return f.(folded).text, f.(folded).raised
	}
	text, raised := foldAnew(r)
	foldedRunes.Store(r, folded{text, raised})
	return text, raised
}

func foldAnew(r rune) (string, bool) {
	if s, ok := signs[r]; ok {
		return s, false
	}
	if z, ok := digitOf(r); ok {
		return string('0' + rune(z)), false
	}
	raised := r >= '⁰' && r <= '⁾' || r == '²' || r == '³' || r == '¹'
	var b strings.Builder
	latin := false
	for _, c := range norm.NFKD.String(string(r)) {
		if unicode.Is(unicode.Mn, c) {
			if latin || b.Len() == 0 && unicode.Is(unicode.Inherited, c) {
				continue
			}
		} else {
			latin = unicode.In(c, unicode.Latin, unicode.Greek)
		}
		switch c {
		case '−':
			c = '-'
		case 'μ':
			c = 'u'
		}
		b.WriteRune(c)
	}
	return b.String(), raised
}

// digitOf gives the value of a decimal digit of any script.
func digitOf(r rune) (byte, bool) {
	if r >= '0' && r <= '9' {
		return byte(r - '0'), true
	}
	if r < utf8.RuneSelf || !unicode.Is(unicode.Nd, r) {
		return 0, false
	}
	for z := r; z > r-10; z-- { // decimal digits stand in runs of ten that begin at their zero
		if !unicode.Is(unicode.Nd, z-1) || z == r-9 {
			return byte((r - z) % 10), true
		}
	}
	return 0, false
}

// spaceless reports a script that puts no blanks between words.
func spaceless(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar, unicode.Hiragana, unicode.Katakana)
}
