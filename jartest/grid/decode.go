package grid

import (
	"bytes"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/unicode"

	"jarwright/jartest/note"
)

var utf8Mark = []byte("\xef\xbb\xbf")

// codePages are the encodings before Unicode that sheets come in; where nothing
// tells them apart the first is taken.
var codePages = []struct {
	name string
	enc  encoding.Encoding
}{
	{"Windows-1252", charmap.Windows1252}, {"Windows-1258", charmap.Windows1258}, {"Windows-874", charmap.Windows874},
	{"GB 18030", simplifiedchinese.GB18030}, {"Macintosh", charmap.Macintosh}, {"code page 850", charmap.CodePage850},
}

// decode turns bytes into UTF-8. The order: marks at the beginning, zero bytes
// that betray UTF-16, valid UTF-8, else the old code page in which the most
// words of the vocabulary appear. A NUL that is left is an error at its line.
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
	best, bestScore, bestName := []byte(nil), -1, ""
	for _, p := range codePages {
		s, err := p.enc.NewDecoder().Bytes(data)
		if err != nil {
			continue
		}
		if words.Known == nil {
			best, bestName = s, p.name
			break
		}
		if score := 4*knownWords(s, words.Known) - bytes.Count(s, []byte("\uFFFD")); score > bestScore {
			best, bestScore, bestName = s, score, p.name
		}
	}
	at := note.Place{File: name}
	if best == nil {
		return bytes.ToValidUTF8(data, []byte("\uFFFD")),
			note.List{note.New(note.Caution, "encoding", "the text encoding is not known; letters other than a to z may be wrong").At(at)}
	}
	return best, note.List{note.New(note.Info, "encoding", "read as %s, the text is not UTF-8", bestName).At(at)}
}

var betweenFields = regexp.MustCompile(`[;,\t|]`)

// knownWords counts vocabulary words with letters outside ASCII in the first
// lines, which only the right encoding brings out.
func knownWords(text []byte, known func(string) int) int {
	n, i := 0, 0
	for line := range bytes.Lines(text[:min(len(text), 1<<16)]) {
		if i++; i > 41 {
			break
		}
		for _, field := range betweenFields.Split(string(bytes.TrimRight(line, "\n")), -1) {
			if strings.ContainsFunc(field, func(r rune) bool { return r >= utf8.RuneSelf }) {
				n += known(field)
			}
		}
	}
	return n
}

// utf16Order tells UTF-16 by its mark, which is as long as said, or by the zero
// bytes of Latin letters.
func utf16Order(data []byte) (order unicode.Endianness, mark int, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return unicode.LittleEndian, 2, true
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return unicode.BigEndian, 2, true
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
		return unicode.LittleEndian, 0, true
	case even > n/4 && odd < n/16:
		return unicode.BigEndian, 0, true
	}
	return unicode.LittleEndian, 0, false
}

// utf16Text gives U+FFFD for what is no sign, and drops half of one at the end.
func utf16Text(data []byte, order unicode.Endianness) []byte {
	text, _ := unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder().Bytes(data[:len(data)/2*2]) // it has no errors
	return text
}
