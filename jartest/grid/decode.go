package grid

import (
	"bytes"
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
	utf16 "golang.org/x/text/encoding/unicode"

	"jarwright/jartest/note"
)

var utf8Mark = []byte("\xef\xbb\xbf")

// codePages are the encodings before Unicode that sheets come in; where nothing
// tells them apart the first is taken.
var codePages = []struct {
	name string
	enc  encoding.Encoding
}{
	{"Windows-1252", charmap.Windows1252}, {"Windows-1250", charmap.Windows1250}, {"Windows-1251", charmap.Windows1251},
	{"Windows-1253", charmap.Windows1253}, {"Windows-1254", charmap.Windows1254}, {"Windows-1255", charmap.Windows1255},
	{"Windows-1256", charmap.Windows1256}, {"Windows-1258", charmap.Windows1258}, {"Windows-874", charmap.Windows874},
	{"GB 18030", simplifiedchinese.GB18030}, {"Big5", traditionalchinese.Big5}, {"Shift JIS", japanese.ShiftJIS},
	{"EUC-JP", japanese.EUCJP},
	{"EUC-KR", korean.EUCKR}, {"KOI8-U", charmap.KOI8U}, {"ISO 8859-2", charmap.ISO8859_2}, {"code page 866", charmap.CodePage866},
	{"Macintosh", charmap.Macintosh}, {"code page 850", charmap.CodePage850}, {"code page 852", charmap.CodePage852},
}

// decode turns bytes into UTF-8. The order: marks at the beginning, zero bytes
// that betray UTF-16, valid UTF-8, else the old code page that makes most sense. A NUL that is left is an error at its line.
func decode(name string, data []byte, words Words) ([]byte, note.List) {
	text, notes := decodeAny(name, data, words)
	if i := bytes.IndexByte(text, 0); i >= 0 {
		return nil, note.List{note.Fault("nul-byte", "a zero byte stands in the text, and what was there cannot be told").
			At(atLine(name, 1+bytes.Count(text[:i], []byte("\n")))).Do("get the file again, or correct the line")}
	}
	return text, notes
}

func decodeAny(name string, data []byte, words Words) ([]byte, note.List) {
	if bytes.HasPrefix(data, utf8Mark) {
		return bytes.ToValidUTF8(data[len(utf8Mark):], []byte("\uFFFD")), nil
	}
	if order, mark, ok := utf16Order(data); ok {
		return utf16Text(data[mark:], order), nil
	}
	if utf8.Valid(data) {
		return data, nil
	}
	at := note.Place{File: name}
	first, second := guess(strangeLines(data), words)
	p := codePages[first.page]
	text, err := p.enc.NewDecoder().Bytes(data)
	if err != nil { // the decoders at hand have none
		text = bytes.ToValidUTF8(data, []byte("\uFFFD"))
	}
	if first.score <= 0 && first.letters > 3 || second.score > 0.9*first.score && second.score > 0 {
		return text, note.List{note.New(note.Caution, "encoding",
			"the text is not UTF-8; read as %s, but it could be %s, and letters other than a to z may be wrong", p.name,
			codePages[second.page].name).
			At(at).Do("save it as UTF-8")}
	}
	return text, note.List{note.New(note.Info, "encoding", "read as %s, the text is not UTF-8", p.name).At(at)}
}

// strangeLines are the first lines that hold bytes outside ASCII: what they say
// tells the code page.
func strangeLines(data []byte) []byte {
	var out []byte
	for line := range bytes.Lines(data) {
		if bytes.ContainsFunc(line, func(r rune) bool { return r >= utf8.RuneSelf }) {
			out = append(out, line...)
		}
		if len(out) > 1<<14 {
			break
		}
	}
	return out
}

// reading is a text as one code page has it.
type reading struct {
	page    int
	text    string
	letters int // outside ASCII
	score   float64
}

// guess gives the code page that makes most sense of the lines, and the best of
// those that read other letters.
func guess(lines []byte, words Words) (first, second reading) {
	var all []reading
	for i, p := range codePages {
		text, err := p.enc.NewDecoder().Bytes(lines)
		if err != nil {
			continue
		}
		r := reading{page: i, text: string(text)}
		r.judge(words.Known)
		all = append(all, r)
	}
	slices.SortStableFunc(all, func(a, b reading) int { return cmp.Compare(b.score, a.score) })
	first, second = all[0], reading{score: -1}
	for _, r := range all[1:] {
		if r.text != first.text {
			return first, r
		}
	}
	return first, second
}

var betweenFields = regexp.MustCompile(`[;,\t|\n]`)

// judge scores a reading: the share of its letters outside ASCII that belong to
// words of the vocabulary, less the share of signs that no writing puts there.
func (r *reading) judge(known func(string) int) {
	odd, signs := 0, 0
	before, last := rune(' '), rune(' ')
	for _, c := range r.text {
		if c >= utf8.RuneSelf {
			signs++
			if unicode.IsLetter(c) {
				r.letters++
			}
		}
		if oddAfter(before, c) || capitalWithin(last, before, c) {
			odd++
		}
		last, before = before, c
	}
	if signs == 0 {
		return
	}
	hits := 0
	if known != nil {
		for _, field := range betweenFields.Split(r.text, -1) {
			if strings.ContainsFunc(field, func(c rune) bool { return c >= utf8.RuneSelf }) {
				hits += known(field)
			}
		}
	}
	r.score = float64(min(hits, signs))/float64(signs) - float64(odd)/float64(signs)
}

// commonSigns are those outside ASCII that sheets have besides letters.
const commonSigns = "°º²³¹µ±×÷·–—‘’“”„«»•…€£§©®½¼¾‰№、。（）：，％～「」・￥！？；【】／＋－＜＞　\u00a0ªΩ≤≥≈"

// oddAfter reports a sign that does not follow another in writing: one that is no
// text, a letter of another alphabet within a word, or a capital after a small one.
func oddAfter(before, c rune) bool {
	switch {
	case c == utf8.RuneError || c >= 0x80 && c < 0xA0 || unicode.Is(unicode.Co, c) || c >= '\uFF61' && c <= '\uFF9F':
		return true
	case c >= utf8.RuneSelf && !unicode.IsLetter(c) && !unicode.IsMark(c) && !unicode.IsDigit(c):
		return !strings.ContainsRune(commonSigns, c)
	case !unicode.IsLetter(before) || !unicode.IsLetter(c) || before < utf8.RuneSelf && c < utf8.RuneSelf:
		return false
	case unicode.IsLower(before) && unicode.IsUpper(c):
		return true
	}
	a, b := alphabet(before), alphabet(c)
	return a != b && a > 0 && b > 0
}

// capitalWithin reports a capital outside ASCII that stands between a letter and a small one, as in no
// word: "BÈcher".
func capitalWithin(last, c, next rune) bool {
	return c >= utf8.RuneSelf && unicode.IsUpper(c) && unicode.IsLetter(last) && unicode.IsLower(next)
}

// alphabet numbers the scripts whose letters do not stand in one word; 0 for others.
func alphabet(r rune) int {
	for i, t := range [...]*unicode.RangeTable{unicode.Latin, unicode.Cyrillic, unicode.Greek, unicode.Arabic, unicode.Hebrew,
		unicode.Thai} {
		if unicode.Is(t, r) {
			return i + 1
		}
	}
	return 0
}

// utf16Order tells UTF-16 by its mark, which is as long as said, or by the zero
// bytes of Latin letters.
func utf16Order(data []byte) (order utf16.Endianness, mark int, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return utf16.LittleEndian, 2, true
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return utf16.BigEndian, 2, true
	}
	n := min(len(data), 512)
	even, odd := 0, 0
	for i, c := range data[:n] {
		if c == 0 && i%2 == 0 {
			even++
		} else if c == 0 {
			odd++
		}
	}
	switch {
	case odd > n/4 && even < n/16:
		return utf16.LittleEndian, 0, true
	case even > n/4 && odd < n/16:
		return utf16.BigEndian, 0, true
	}
	return utf16.LittleEndian, 0, false
}

// utf16Text gives U+FFFD for what is no sign, and drops half of one at the end.
func utf16Text(data []byte, order utf16.Endianness) []byte {
	text, _ := utf16.UTF16(order, utf16.IgnoreBOM).NewDecoder().Bytes(data[:len(data)/2*2]) // it has no errors
	return text
}
