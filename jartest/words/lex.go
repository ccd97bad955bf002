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
	text     string // folded: lower case, no accents, plain digits
	exact    string // the same with its case
	from, to int
	sort     tokenSort
	glued    bool // no blank stands before it
}

// lexer splits a text into words, numbers and signs.
type lexer struct {
	text   string
	out    []token
	run    []byte // the token in hand, folded but for its case
	sort   tokenSort
	glued  bool
	raised bool
	start  int // of the token in hand, -1 for none
	end    int // of the last letter or sign taken
}

// lex splits a text into words, numbers and signs. Superscripts become a "^" and what
// they hold, unless they belong to a formula's charge or to a cubic metre.
func lex(s string) []token {
	x := lexer{text: s, start: -1, out: make([]token, 0, 2+len(s)/4)}
	for i, r := range s {
		if r < utf8.RuneSelf {
			x.raised = false
			x.take(r, i, i+1)
			continue
		}
		_, size := utf8.DecodeRuneInString(s[i:])
		f, up := foldRune(r)
		if f == "" && unicode.Is(unicode.Mn, r) {
			x.end = i + size
			continue
		}
		x.raise(up, f, i)
		for _, c := range f {
			if c == '-' && up && x.start >= 0 && x.sort == wordToken {
				x.add(c, i+size)
				continue
			}
			x.take(c, i, i+size)
		}
	}
	x.flush()
	return x.out
}

// raise begins or ends what is written above the line.
func (x *lexer) raise(up bool, f string, i int) {
	if up == x.raised {
		return
	}
	joins := up && x.start >= 0 && (cubed[strings.ToLower(string(x.run))] && (f == "2" || f == "3") || charge(x.text[i:]))
	if up && !joins {
		x.flush()
		x.out = append(x.out, token{"^", "^", i, i, signToken, true})
	}
	x.raised = up && !joins
}

// take adds a letter or sign of the bytes from i to to.
func (x *lexer) take(c rune, i, to int) {
	digit := c >= '0' && c <= '9'
	inNumber, inWord := x.start >= 0 && x.sort == numberToken, x.start >= 0 && x.sort == wordToken
	switch {
	case c == '_' || unicode.IsSpace(c):
		x.flush()
	case c >= utf8.RuneSelf && spaceless(c):
		x.alone(c, i, to, wordToken)
	case unicode.IsLetter(c) || c >= utf8.RuneSelf && unicode.Is(unicode.M, c):
		if !inWord {
			x.begin(i, wordToken)
		}
		x.add(c, to)
	case digit && x.start < 0:
		x.begin(i, numberToken)
		x.add(c, to)
	case digit, inNumber && (c == '.' || c == ',') && digitFollows(x.text[to:]), inWord && c == '+':
		x.add(c, to)
	default:
		x.alone(c, i, to, signToken)
	}
}

// begin ends the token in hand and begins another.
func (x *lexer) begin(i int, sort tokenSort) {
	x.flush()
	x.start, x.sort, x.glued = i, sort, i == x.end && len(x.out) > 0
}

func (x *lexer) add(c rune, to int) {
	x.run, x.end = utf8.AppendRune(x.run, c), to
}

// alone makes a token of one letter or sign.
func (x *lexer) alone(c rune, i, to int, sort tokenSort) {
	x.begin(i, sort)
	x.add(c, to)
	x.flush()
}

func (x *lexer) flush() {
	if x.start < 0 {
		return
	}
	exact := x.text[x.start:x.end]
	if string(x.run) != exact {
		exact = string(x.run)
	}
	x.out = append(x.out, token{strings.ToLower(exact), exact, x.start, x.end, x.sort, x.glued})
	x.run, x.start = x.run[:0], -1
}

// cubed are the lengths whose square and cube are written with a digit.
var cubed = map[string]bool{"m": true, "cm": true, "dm": true, "mm": true, "ft": true, "in": true, "м": true, "см": true, "дм": true, "мм": true, "م": true}

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
	'٫': ".", '٬': "", // of Arabic numbers: fractions, thousands
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
		case '٫': // the decimal and the thousands mark beside Arabic digits
			c = '.'
		case '٬':
			c = ','
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

// Spaceless reports a word of a script that puts no blanks between its words, so that it may be several.
func Spaceless(word string) bool { return spaceless(firstRune(word)) }
