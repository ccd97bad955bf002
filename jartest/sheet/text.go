package sheet

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/simplifiedchinese"

	"jarwright/jartest/note"
)

// readText turns delimited text into one grid.
func readText(name string, data []byte) (*grid, note.List) {
	text, notes := decodeText(name, data)
	g, sep := splitText(text)
	g.file, g.separator = name, sep
	if g.width() < 2 {
		notes.Add(note.New(note.Caution, "one-column", "no column separator was found (comma, semicolon, tab, bar or aligned blanks)").At(note.Place{File: name}))
	}
	return g, notes
}

// decodeText turns bytes into text. The order: marks at the beginning, zero
// bytes that betray UTF-16, valid UTF-8, else the old code page in which the
// most words of the vocabulary appear.
func decodeText(name string, data []byte) (string, note.List) {
	at := note.Place{File: name}
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		return strings.ToValidUTF8(string(data[3:]), "\uFFFD"), nil
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return utf16Text(data[2:], binary.LittleEndian), nil
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return utf16Text(data[2:], binary.BigEndian), nil
	}
	if order, ok := utf16Order(data); ok {
		return utf16Text(data, order), nil
	}
	if utf8.Valid(data) {
		return string(data), nil
	}
	pages := []struct {
		name string
		enc  encoding.Encoding
	}{
		{"Windows-1252", charmap.Windows1252}, {"Windows-1258", charmap.Windows1258}, {"Windows-874", charmap.Windows874},
		{"GB 18030", simplifiedchinese.GB18030}, {"Macintosh", charmap.Macintosh}, {"code page 850", charmap.CodePage850},
	}
	best, bestScore, bestName := "", -1, ""
	for _, p := range pages {
		s, err := p.enc.NewDecoder().String(string(data))
		if err != nil {
			continue
		}
		if score := 4*knownWords(s) - strings.Count(s, "\uFFFD"); score > bestScore {
			best, bestScore, bestName = s, score, p.name
		}
	}
	if best == "" {
		return strings.ToValidUTF8(string(data), "\uFFFD"), note.List{note.New(note.Caution, "encoding", "the text encoding is not known; letters other than a to z may be wrong").At(at)}
	}
	return best, note.List{note.New(note.Info, "encoding", "read as %s, the text is not UTF-8", bestName).At(at)}
}

// knownWords counts vocabulary words with letters outside ASCII in the first
// lines, which only the right encoding brings out.
func knownWords(s string) int {
	n, v := 0, words()
	for i, line := range strings.Split(s, "\n") {
		if i > 40 {
			break
		}
		if ascii(line) {
			continue
		}
		for _, field := range regexp.MustCompile(`[;,\t|]`).Split(line, -1) {
			if ascii(field) {
				continue
			}
			for _, h := range v.find(fold(field)) {
				if h.near == "" {
					n++
				}
			}
			if u := v.unitsIn(canonUnit(fold(field))); len(u) > 0 {
				n++
			}
		}
	}
	return n
}

func utf16Order(data []byte) (binary.ByteOrder, bool) {
	n := min(len(data), 512)
	even, odd := 0, 0
	for i := 0; i < n; i++ {
		if data[i] == 0 {
			if i%2 == 0 {
				even++
			} else {
				odd++
			}
		}
	}
	switch {
	case odd > n/4 && even < n/16:
		return binary.LittleEndian, true
	case even > n/4 && odd < n/16:
		return binary.BigEndian, true
	}
	return nil, false
}

func utf16Text(data []byte, order binary.ByteOrder) string {
	u := make([]uint16, len(data)/2)
	for i := range u {
		u[i] = order.Uint16(data[2*i:])
	}
	return string(utf16.Decode(u))
}

var (
	sepLine  = regexp.MustCompile(`^"?sep=(.)"?\r?\n`)
	dashes   = regexp.MustCompile(`^[\s|:+=-]+$`)
	wideGap  = regexp.MustCompile(`\t+| {2,}`)
	anyBlank = regexp.MustCompile(`\s+`)
)

// splitText finds the separator and splits: the one under which the most cells
// are known headings wins, then the one with the most rows of equal width.
func splitText(text string) (*grid, rune) {
	text = strings.ReplaceAll(text, "\x00", "")
	if m := sepLine.FindStringSubmatch(text); m != nil {
		g := splitAt(text[len(m[0]):], []rune(m[1])[0])
		for i := range g.lines {
			g.lines[i]++
		}
		return g, []rune(m[1])[0]
	}
	var best *grid
	var bestSep rune
	bestScore := -1.0
	for _, sep := range []rune{',', ';', '\t', '|', ' ', '_'} {
		var g *grid
		switch sep {
		case ' ': // columns set apart by two blanks and more
			g = splitBlanks(text, wideGap)
		case '_': // by single blanks
			if bestScore >= 1 {
				continue
			}
			g = splitBlanks(text, anyBlank)
		default:
			if !strings.ContainsRune(text, sep) {
				continue
			}
			g = splitAt(text, sep)
		}
		if score := tableScore(g); score > bestScore {
			best, bestSep, bestScore = g, sep, score
		}
	}
	return best, bestSep
}

// tableScore says how much a split looks like a table.
func tableScore(g *grid) float64 {
	heads, even, n := 0, 0, 0
	for i, row := range g.rows {
		if i > 60 {
			break
		}
		filled := 0
		for _, c := range row {
			if c.blank() {
				continue
			}
			filled++
			if c.kind == textual && len(c.text) < 60 && readHeading(c.text).strong() {
				heads++
			}
		}
		if filled > 1 {
			n++
			if i > 0 && len(g.rows[i-1]) == len(row) {
				even += min(filled, 12)
			}
		}
	}
	if n == 0 {
		return 0
	}
	return float64(even) + 3*float64(min(heads, 20))
}

// splitAt splits by one sign, with quotes as RFC 4180 has them and some leniency.
func splitAt(text string, sep rune) *grid {
	g := &grid{separator: sep, hiddenRow: map[int]bool{}, hiddenCol: map[int]bool{}}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = sep, -1, true
	next := 1
	for len(g.rows) < maxRows {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			continue
		}
		line, _ := r.FieldPos(0)
		for ; next < line; next++ { // the reader drops blank lines
			g.rows, g.lines = append(g.rows, nil), append(g.lines, next)
		}
		if sep == '|' {
			rec = trimBars(rec)
			if dashes.MatchString(strings.Join(rec, "|")) {
				next = line + 1
				continue
			}
		}
		row := make([]cell, min(len(rec), maxColumns))
		for c := range row {
			row[c] = textCell(rec[c])
		}
		g.rows, g.lines = append(g.rows, row), append(g.lines, line)
		next = line + 1 + strings.Count(strings.Join(rec, ""), "\n")
	}
	return g
}

func trimBars(rec []string) []string {
	if len(rec) > 1 && strings.TrimSpace(rec[0]) == "" {
		rec = rec[1:]
	}
	if n := len(rec); n > 1 && strings.TrimSpace(rec[n-1]) == "" {
		rec = rec[:n-1]
	}
	return rec
}

func splitBlanks(text string, gap *regexp.Regexp) *grid {
	g := &grid{separator: ' ', hiddenRow: map[int]bool{}, hiddenCol: map[int]bool{}}
	for i, line := range strings.Split(text, "\n") {
		if i >= maxRows {
			break
		}
		var row []cell
		if s := strings.TrimRight(line, " \t\r"); strings.TrimSpace(s) != "" && !dashes.MatchString(s) {
			for _, f := range gap.Split(strings.TrimLeft(s, " "), maxColumns) {
				row = append(row, textCell(f))
			}
		}
		g.rows, g.lines = append(g.rows, row), append(g.lines, i+1)
	}
	return g
}

// textCell makes a cell of a field. A field is a number only if it can be
// nothing else; the value parser deals with the rest.
func textCell(s string) cell {
	s = strings.TrimSpace(strings.ReplaceAll(s, "\r\n", "\n"))
	if s == "" {
		return cell{}
	}
	if isErrorValue(s) {
		return cell{kind: faulty, text: s}
	}
	if strings.HasPrefix(s, `="`) && strings.HasSuffix(s, `"`) && len(s) > 3 { // ="1" keeps a program from changing it
		s = s[2 : len(s)-1]
	}
	return cell{kind: textual, text: s}
}
