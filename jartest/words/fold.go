package words

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Fold brings text into the form in which words are compared: compatibility
// forms undone (superscripts, full-width digits, the micro sign), Latin accents
// dropped, lower case, every kind of blank one space. Marks of other scripts
// stay, because in Thai they are letters.
func Fold(s string) string {
	if plain(s) {
		return s
	}
	if ascii(s) {
		return foldASCII(s)
	}
	s = humps(s)
	if strings.ContainsAny(s, "øØ") {
		s = foldsAlike.ReplaceAllString(s, "fore")
	}
	var b strings.Builder
	for _, r := range s {
		f, _ := foldRune(r)
		if f == "·" || f == "×" {
			f = "."
		}
		b.WriteString(strings.ReplaceAll(strings.ToLower(f), "μ", "u")) // of the capital
	}
	return strings.Join(strings.Fields(norm.NFC.String(b.String())), " ")
}

// foldsAlike is a word that is written otherwise, as it would fold to a usual word of another language: the Danish and
// Norwegian word for "before" to the English "for".
var foldsAlike = NewPattern(`(?i)\bfør\b`)

// plain reports text of ASCII that is folded as it stands.
func plain(s string) bool {
	blank := byte(' ')
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 0x80 || c < ' ' || c >= 'A' && c <= 'Z' || c == '_' || c == ' ' && blank == ' ' {
			return false
		}
		blank = c
	}
	return blank != ' '
}

// foldASCII folds text of ASCII in one pass.
func foldASCII(s string) string {
	out := make([]byte, 0, len(s)+4)
	small := 0
	for i := range len(s) {
		c := s[i]
		switch {
		case c == '_' || c == ' ' || c >= '\t' && c <= '\r':
			if len(out) > 0 && out[len(out)-1] != ' ' {
				out = append(out, ' ')
			}
			small = 0
			continue
		case c >= 'a' && c <= 'z':
			small++
		case c >= 'A' && c <= 'Z':
			if small >= 3 { // see humps
				out = append(out, ' ')
			}
			c += 'a' - 'A'
			small = 0
		default:
			small = 0
		}
		out = append(out, c)
	}
	if len(out) > 0 && out[len(out)-1] == ' ' {
		out = out[:len(out)-1]
	}
	return string(out)
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
func humps(s string) string {
	small, done := 0, 0
	var b strings.Builder
	for i, r := range s {
		switch {
		case unicode.IsLower(r):
			small++
			continue
		case small >= 3 && unicode.IsUpper(r):
			b.WriteString(s[done:i])
			b.WriteByte(' ')
			done = i
		}
		small = 0
	}
	if done == 0 {
		return s
	}
	b.WriteString(s[done:])
	return b.String()
}

// Token is a word of folded text with its byte span.
type Token struct {
	Text     string
	From, To int
}

// letterFollows tells "ferric+lime" from "Fe3+".
func letterFollows(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r)
}

// Tokens splits folded text into runs of letters and digits. A script that puts no
// blanks between words, and Korean, which joins its words to those of others, part
// from Latin letters and digits: "PAC投加量". The tokens are shared and must not be changed: what a text
// says is looked for in many lists of words, each by its tokens.
func Tokens(s string) []Token { return tokenTexts.Of(s, split) }

var tokenTexts Memory[string, []Token]

func split(s string) []Token {
	out := make([]Token, 0, 1+strings.Count(s, " "))
	for from := 0; ; {
		t := firstToken(s[from:])
		if t.Text == "" {
			return slices.Clip(out)
		}
		out = append(out, Token{t.Text, from + t.From, from + t.To})
		from += t.To
	}
}

// TokensIn are the tokens of a text as it is written, folded.
func TokensIn(text string) (out []string) {
	for _, t := range Tokens(Fold(text)) {
		out = append(out, t.Text)
	}
	return out
}

// firstToken gives the first token of a folded text, the zero token where there is none.
func firstToken(s string) Token {
	if t := plainToken(s); t.Text != "" {
		return t
	}
	start, latin := -1, false
	for i, r := range s {
		if start < 0 {
			if wordRune(r) {
				start, latin = i, r < utf8.RuneSelf
			}
			continue
		}
		word := wordRune(r) || r == '+' && !letterFollows(s[i+1:])
		fromLatin, toLatin := latin && joining(r), !latin && r < utf8.RuneSelf && !unicode.IsDigit(r) && joining(firstRune(s[start:]))
		if !word || fromLatin || toLatin {
			return Token{s[start:i], start, i}
		}
		latin = r < utf8.RuneSelf
	}
	if start < 0 {
		return Token{}
	}
	return Token{s[start:], start, len(s)}
}

func wordRune(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r >= utf8.RuneSelf && unicode.Is(unicode.M, r)
}

// plainToken gives the first token where it is one of ASCII letters and digits, as most are.
func plainToken(s string) Token {
	from := 0
	for from < len(s) && s[from] < utf8.RuneSelf && !letterOrDigit(s[from]) {
		from++
	}
	to := from
	for to < len(s) && letterOrDigit(s[to]) {
		to++
	}
	if to < len(s) && (s[to] >= utf8.RuneSelf || s[to] == '+') {
		return Token{}
	}
	return Token{s[from:to], from, to}
}

// letterOrDigit is of ASCII.
func letterOrDigit(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}

// joining reports a script whose words stand against Latin ones without a blank.
func joining(r rune) bool {
	return r >= utf8.RuneSelf && (spaceless(r) || unicode.Is(unicode.Hangul, r))
}

func firstRune(s string) rune {
	r, _ := utf8.DecodeRuneInString(s)
	return r
}
