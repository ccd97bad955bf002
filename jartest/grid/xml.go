package grid

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
)

// tokenKind is what the scanner stands at.
type tokenKind uint8

const (
	atEnd tokenKind = iota // of the part
	opens                  // an element
	closes
	says // text
)

// scanner walks the XML of a workbook's part. It is there because a sheet's XML
// is most of the cost of reading it, and the library's decoder makes some ten
// values a cell; this one makes none. It takes the XML that such parts may hold
// (no document type, hence no entities of their own) and refuses the rest.
type scanner struct {
	s     string
	pos   int
	open  []string // names of the elements that are open, with prefix
	root  bool     // one element has been seen
	empty bool     // the element just opened has no content

	// of the token at hand
	name  string // without prefix
	attrs string
	text  string // as it stands, escapes and all
	cdata bool
}

// newScanner takes a part's text. UTF-8 is what these parts are written in;
// UTF-16 is allowed them too.
func newScanner(s string) (*scanner, error) {
	if strings.HasPrefix(s, "\xff\xfe") || strings.HasPrefix(s, "\xfe\xff") {
		t, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().String(s)
		if err != nil {
			return nil, err
		}
		s = t
	}
	s = strings.TrimPrefix(s, "\ufeff")
	if !utf8.ValidString(s) {
		return nil, errors.New("its text is not UTF-8")
	}
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' && c != '\n' && c != '\r' && c != '\t' {
			return nil, fmt.Errorf("byte %d is a control character (%d), which no part may hold", i, c)
		}
	}
	return &scanner{s: s}, nil
}

// next steps to the next token.
func (x *scanner) next() (tokenKind, error) {
	if x.empty {
		x.empty = false
		x.open = x.open[:len(x.open)-1]
		return closes, nil
	}
	for x.pos < len(x.s) {
		if x.s[x.pos] != '<' {
			end := strings.IndexByte(x.s[x.pos:], '<')
			if end < 0 {
				end = len(x.s) - x.pos
			}
			x.text, x.cdata = x.s[x.pos:x.pos+end], false
			x.pos += end
			if len(x.open) > 0 {
				return says, nil
			}
			if strings.TrimSpace(x.text) != "" {
				return atEnd, errors.New("text stands outside its elements")
			}
			continue
		}
		rest := x.s[x.pos:]
		switch {
		case strings.HasPrefix(rest, "</"):
			return x.close(rest)
		case strings.HasPrefix(rest, "<?"):
			if !x.skip(rest, "?>") {
				return atEnd, errors.New("an instruction does not end")
			}
		case strings.HasPrefix(rest, "<!--"):
			if !x.skip(rest[4:], "-->") {
				return atEnd, errors.New("a comment does not end")
			}
			x.pos += 4
		case strings.HasPrefix(rest, "<![CDATA["):
			end := strings.Index(rest, "]]>")
			if end < 0 || len(x.open) == 0 {
				return atEnd, errors.New("a text does not end")
			}
			x.text, x.cdata = rest[9:end], true
			x.pos += end + 3
			return says, nil
		case strings.HasPrefix(rest, "<!"):
			return atEnd, errors.New("it has a document type, which no part may have")
		default:
			return x.start(rest)
		}
	}
	if len(x.open) > 0 {
		return atEnd, fmt.Errorf("it breaks off inside <%s>", x.open[len(x.open)-1])
	}
	if !x.root {
		return atEnd, errors.New("it holds nothing")
	}
	return atEnd, nil
}

func (x *scanner) skip(rest, to string) bool {
	end := strings.Index(rest, to)
	x.pos += end + len(to)
	return end >= 0
}

// start reads "<name attributes>".
func (x *scanner) start(rest string) (tokenKind, error) {
	i := 1
	for i < len(rest) && nameByte(rest[i]) {
		i++
	}
	if i == 1 || rest[1] >= '0' && rest[1] <= '9' {
		return atEnd, errors.New("a < stands where no element begins")
	}
	full := rest[1:i]
	from := i
	if i = attributes(rest, i); i < 0 {
		return atEnd, fmt.Errorf("<%s> is broken", full)
	}
	if x.root && len(x.open) == 0 {
		return atEnd, fmt.Errorf("<%s> stands behind its end", full)
	}
	x.attrs = rest[from:i]
	if x.empty = strings.HasSuffix(x.attrs, "/"); x.empty {
		x.attrs = x.attrs[:len(x.attrs)-1]
	}
	if len(x.open) == xmlDepth.Most() {
		return atEnd, errDepth
	}
	x.root = true
	x.open = append(x.open, full)
	x.name = full[strings.IndexByte(full, ':')+1:]
	x.pos += i + 1
	return opens, nil
}

// attributes steps over the attributes of an element to its ">"; -1 is for some
// that are not whole.
func attributes(s string, i int) int {
	for {
		from := i
		for i < len(s) && blankByte(s[i]) {
			i++
		}
		if i < len(s) && s[i] == '>' || strings.HasPrefix(s[i:], "/>") {
			return i + strings.IndexByte(s[i:], '>')
		}
		name := i
		for i < len(s) && nameByte(s[i]) {
			i++
		}
		if from == name || name == i {
			return -1
		}
		if i = value(s, i); i < 0 {
			return -1
		}
	}
}

// value steps over the "=" and the value in quotes of an attribute; -1 is for one
// that is not whole.
func value(s string, i int) int {
	from := i
	for i < len(s) && (blankByte(s[i]) || s[i] == '=') {
		i++
	}
	if i == len(s) || s[i] != '"' && s[i] != '\'' || strings.Count(s[from:i], "=") != 1 {
		return -1
	}
	n := strings.IndexByte(s[i+1:], s[i])
	if n < 0 || strings.IndexByte(s[i+1:i+1+n], '<') >= 0 {
		return -1
	}
	if _, err := unescape(s[i+1 : i+1+n]); err != nil {
		return -1
	}
	return i + n + 2
}

func blankByte(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' }

var errDepth = errors.New("nested too deep")

func (x *scanner) close(rest string) (tokenKind, error) {
	end := strings.IndexByte(rest, '>')
	if end < 0 {
		return atEnd, errors.New("an element's end does not end")
	}
	full := strings.TrimRight(rest[2:end], " \t\r\n")
	if n := len(x.open); n == 0 || x.open[n-1] != full {
		return atEnd, fmt.Errorf("</%s> ends what is not open", full[:min(len(full), 40)])
	}
	x.open = x.open[:len(x.open)-1]
	x.name = full[strings.IndexByte(full, ':')+1:]
	x.pos += end + 1
	return closes, nil
}

func nameByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == ':' || c == '_' || c == '-' || c == '.' || c >= 0x80
}

// attr gives an attribute of the element that was opened last. A name that
// begins with ":" stands for one with any prefix.
func (x *scanner) attr(name string) string {
	rest := x.attrs
	for {
		eq := strings.IndexByte(rest, '=')
		if eq < 0 {
			return ""
		}
		key := strings.Trim(rest[:eq], " \t\r\n")
		rest = strings.TrimLeft(rest[eq+1:], " \t\r\n")
		end := 1 + strings.IndexByte(rest[1:], rest[0])
		if key == name || name[0] == ':' && strings.HasSuffix(key, name) {
			v, _ := unescape(rest[1:end]) // whole, or the element would not have been taken
			return v
		}
		rest = rest[end+1:]
	}
}

// content gives the text inside the element that was opened last, without that of
// elements inside it, and steps past its end.
func (x *scanner) content() (string, error) {
	depth := len(x.open)
	var room [4]string
	pieces := room[:0]
	for {
		k, err := x.next()
		if err == nil && k == says && len(x.open) == depth {
			var t string
			t, err = x.said()
			pieces = append(pieces, t)
		}
		switch {
		case err != nil:
			return "", err
		case k == atEnd:
			return "", errors.New("it breaks off")
		case k == closes && len(x.open) < depth:
			return strings.Join(pieces, ""), nil
		}
	}
}

// said is the text at hand, its escapes undone.
func (x *scanner) said() (string, error) {
	if x.cdata {
		return x.text, nil
	}
	return unescape(x.text)
}

var namedEscapes = map[string]rune{"amp": '&', "lt": '<', "gt": '>', "quot": '"', "apos": '\''}

// unescape undoes &amp; and its like, and makes line ends one sign.
func unescape(s string) (string, error) {
	if strings.IndexByte(s, '\r') >= 0 {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	}
	if strings.IndexByte(s, '&') < 0 {
		return s, nil
	}
	var b strings.Builder
	for {
		i := strings.IndexByte(s, '&')
		if i < 0 {
			b.WriteString(s)
			return b.String(), nil
		}
		b.WriteString(s[:i])
		end := strings.IndexByte(s[i:], ';')
		if end < 0 {
			return "", errors.New("an & stands alone")
		}
		name := s[i+1 : i+end]
		r, ok := namedEscapes[name]
		if !ok && strings.HasPrefix(name, "#") {
			n, err := int64(0), error(nil)
			if strings.HasPrefix(name, "#x") {
				n, err = strconv.ParseInt(name[2:], 16, 32)
			} else {
				n, err = strconv.ParseInt(name[1:], 10, 32)
			}
			r, ok = rune(n), err == nil && utf8.ValidRune(rune(n)) && (n >= ' ' || n == '\t' || n == '\n' || n == '\r')
		}
		if !ok {
			return "", fmt.Errorf("&%s; is no sign", name[:min(len(name), 20)])
		}
		b.WriteRune(r)
		s = s[i+end+1:]
	}
}
