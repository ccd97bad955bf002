package grid

import (
	"bytes"
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"jarwright/jartest/note"
)

// Words is what the reader of text files knows of the words in them. The zero
// value knows nothing: the separator then goes by the evenness of the lines.
type Words struct {
	// Heading reports a field that heads a column.
	Heading func(field string) bool
	// Data reports a field that holds a number, a limit or a date.
	Data func(field string) bool
	// Known counts the letters outside ASCII that belong to words of any language's
	// vocabulary in a field.
	Known func(field string) int
}

// Text is a text file in UTF-8, not yet split into cells.
type Text struct {
	// Notes tells how the text was decoded.
	Notes note.List

	file  string
	data  []byte
	first int  // line of data's first line
	sep   rune // that the file names itself, else 0
	words Words
	// fractions tells whether commas between digits part fractions, once it was looked for.
	fractions func() bool
	// tight tells whether rows are parted by commas without blanks, once it was looked for.
	tight func() bool
}

func atLine(file string, line int) note.Place {
	return note.Place{File: file, Cell: fmt.Sprintf("line %d", line)}
}

var sepLine = regexp.MustCompile(`^"?sep=([^\r\n]?)"?(?:\r?\n|\r?$)`)

// newText decodes a text and takes the line off its head by which spreadsheet
// programs name the separator. One that names none, or a sign that cannot part
// fields, is no more than a line to skip.
func newText(file string, data []byte, words Words) (*Text, error) {
	text, notes := decode(file, data, words)
	if err := notes.Err(); err != nil {
		return nil, err
	}
	t := &Text{file: file, data: text, first: 1, words: words, Notes: notes}
	t.fractions = sync.OnceValue(func() bool { return fractionsIn(t.data) })
	t.tight = sync.OnceValue(func() bool { return tightlyParted(t.data) })
	if m := sepLine.FindSubmatch(text); m != nil {
		t.data, t.first = text[len(m[0]):], 2
		if r, _ := utf8.DecodeRune(m[1]); len(m[1]) > 0 && r != '"' && r != utf8.RuneError {
			t.sep = r
		}
	}
	t.data = oneField(t.data)
	return t, nil
}

// wholeField is a line that is one quoted field, and bareLine one that is one field without quotes.
var (
	wholeField = regexp.MustCompile(`^"((?:[^"]|"")*)"[ \t]*\r?$`)
	bareLine   = regexp.MustCompile(`^[^",;\t|]*$`)
)

// oneField takes the quotes off a text that has one field a line, as sheets of one column are saved: the
// lines are what was written. Other text it gives as it is.
func oneField(data []byte) []byte {
	if bytes.IndexByte(data, '"') < 0 {
		return data
	}
	quoted := false
	for line := range bytes.Lines(data) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		whole := wholeField.Match(line)
		if !whole && !bareLine.Match(line) {
			return data
		}
		quoted = quoted || whole
	}
	if !quoted {
		return data
	}
	var out []byte
	for line := range bytes.Lines(data) {
		body := bytes.TrimSuffix(line, []byte("\n"))
		if m := wholeField.FindSubmatch(body); m != nil {
			body = bytes.ReplaceAll(m[1], []byte(`""`), []byte(`"`))
		}
		out = append(append(out, body...), '\n')
	}
	return out
}

// Separator is the sign between the fields: the one that the file names, else the
// one that gives the first lines the most even fields.
func (t *Text) Separator() rune {
	if t.sep != 0 {
		return t.sep
	}
	best, score := ',', -1
	for _, sep := range [...]rune{';', '\t', ',', '|'} {
		counts := map[int]int{}
		i := 0
		for line := range bytes.Lines(t.data[:min(len(t.data), 1<<16)]) {
			if i++; i > 200 {
				break
			}
			if n := bytes.Count(line, []byte(string(sep))); n > 0 {
				counts[n]++
			}
		}
		for _, n := range counts {
			if n > score {
				best, score = sep, n
			}
		}
	}
	return best
}

// Lines counts the lines, for those who want to make room.
func (t *Text) Lines() int { return t.first + bytes.Count(t.data, []byte("\n")) }

// Records gives the records of the text as often as they are asked for, each
// with its line and its fields, blanks around them dropped. The fields are good
// until the next record. The error names the lines that cannot be split.
func (t *Text) Records(sep rune) (iter.Seq2[int, [][]byte], error) {
	if t.Lines() > lineCount.Most() {
		return nil, lineCount.Fault(note.Place{File: t.file})
	}
	if bytes.IndexByte(t.data, '"') >= 0 || t.longLine() {
		p := t.split(sep)
		for p.next() {
		}
		if err := p.faults.Err(); err != nil {
			return nil, err
		}
	}
	return func(yield func(int, [][]byte) bool) {
		for p := t.split(sep); p.next(); {
			if !yield(p.line, p.fields) {
				return
			}
		}
	}, nil
}

// longLine reports a line that could have more fields than a row may.
func (t *Text) longLine() bool {
	for rest := t.data; len(rest) > columnNumber.Most(); {
		n := bytes.LastIndexByte(rest[:columnNumber.Most()], '\n')
		if n < 0 {
			return true
		}
		rest = rest[n+1:]
	}
	return false
}

// splitter walks the records of a text.
type splitter struct {
	t      *Text
	sep    []byte
	rest   []byte
	ahead  int // line at which rest begins
	faults note.List

	// of the record at hand
	line   int
	fields [][]byte
}

func (t *Text) split(sep rune) *splitter {
	sign := string(sep)
	if sep == ',' && t.sep == 0 && t.fractions() {
		sign = ", "
	}
	return &splitter{t: t, sep: []byte(sign), rest: t.data, ahead: t.first}
}

// next steps to the next record. It ends with the text, or where so much is
// wrong with it that more would not help.
func (p *splitter) next() bool {
	if len(p.rest) == 0 || len(p.faults) > quoteFaults.Most() {
		return false
	}
	p.line = p.ahead
	line, rest, _ := bytes.Cut(p.rest, []byte("\n"))
	p.fields = p.fields[:0]
	if bytes.IndexByte(line, '"') >= 0 && p.quoted() {
		return p.within()
	}
	p.rest = rest
	p.ahead++
	if p.prose(line, rest) {
		p.fields = append(p.fields, bytes.TrimSpace(line))
		return true
	}
	for more := true; more && len(p.fields) <= columnNumber.Most(); {
		var f []byte
		f, line, more = bytes.Cut(line, p.sep)
		p.fields = append(p.fields, bytes.TrimSpace(f))
	}
	return p.within()
}

// within reports that the record has no more fields than a row may have.
func (p *splitter) within() bool {
	if len(p.fields) <= columnNumber.Most() {
		return true
	}
	p.faults.Add(columnNumber.Fault(atLine(p.t.file, p.line)))
	p.rest = nil
	return false
}

// quoted reads a record that has quotes (RFC 4180), and reports whether it could;
// else the line is to be taken as it stands. A quote that cannot be meant so is
// a fault of its line, and never swallows the lines after it.
func (p *splitter) quoted() bool {
	rest := p.rest
	breaks, inside := 0, 0
	for end := false; !end; {
		if len(p.fields) > columnNumber.Most() {
			break
		}
		s := bytes.TrimLeft(rest, " ")
		if !bytes.HasPrefix(s, []byte(`"`)) {
			var f []byte
			f, rest, end = p.field(rest)
			if !harmless(f) {
				p.stray("a quote mark stands inside a field that does not begin with one")
				return p.unquoted()
			}
			p.fields = append(p.fields, bytes.TrimSpace(f))
			continue
		}
		f, after, closed := closing(s[1:])
		tail := bytes.TrimLeft(after, " \r")
		switch {
		case closed && (len(tail) == 0 || tail[0] == '\n'):
			end = true
			rest = bytes.TrimPrefix(tail, []byte("\n"))
		case closed && bytes.HasPrefix(tail, p.sep):
			rest = tail[len(p.sep):]
		default: // a word in quotes at the beginning of a field, or a quote that is lost
			raw, next, last := p.field(rest)
			if !harmless(raw) {
				p.stray("a quote opens a field here and does not close it")
				return p.unquoted()
			}
			p.fields = append(p.fields, bytes.TrimSpace(raw))
			rest, end = next, last
			continue
		}
		if n := bytes.Count(f, []byte("\n")); n > 0 {
			breaks += n
			inside += bytes.Count(f, p.sep)
		}
		p.fields = append(p.fields, bytes.TrimSpace(bytes.ReplaceAll(f, []byte(`""`), []byte(`"`))))
	}
	if breaks > 0 && inside >= breaks*max(2, len(p.fields)-1) {
		p.stray(fmt.Sprintf("a quote opens a field here that runs over %d lines like other rows", breaks+1))
		return p.unquoted()
	}
	p.ahead += bytes.Count(p.rest[:len(p.rest)-len(rest)], []byte("\n"))
	p.rest = rest
	return true
}

// field cuts a field without quotes off a line; end tells that it is the line's last.
func (p *splitter) field(s []byte) (f, rest []byte, end bool) {
	line, after, _ := bytes.Cut(s, []byte("\n"))
	f, _, more := bytes.Cut(line, p.sep)
	if more {
		return f, s[len(f)+len(p.sep):], false
	}
	return line, after, true
}

// closing gives what stands before the quote that closes a field, and what after it.
func closing(s []byte) (f, after []byte, ok bool) {
	for i := 0; ; {
		n := bytes.IndexByte(s[i:], '"')
		if n < 0 {
			return nil, nil, false
		}
		i += n
		if i+1 < len(s) && s[i+1] == '"' {
			i += 2
			continue
		}
		return s[:i], s[i+1:], true
	}
}

// harmless reports quotes in a field without quotes around it that can only be
// meant as they stand: in pairs around a word, inches behind a figure, or the mark of
// a Hebrew abbreviation between two letters.
func harmless(f []byte) bool {
	if bytes.Count(f, []byte(`"`))%2 == 0 {
		return true
	}
	for i, c := range f {
		letters := i > 0 && i+1 < len(f) && f[i-1] >= utf8.RuneSelf && f[i+1] >= utf8.RuneSelf
		if c == '"' && !letters && (i == 0 || f[i-1] < '0' || f[i-1] > '9') {
			return false
		}
	}
	return true
}

// stray notes a fault of the line at hand.
func (p *splitter) stray(what string) {
	p.faults.Add(note.Fault("stray-quote", "%s", what).At(atLine(p.t.file, p.line)).
		Do(`take the quote away, or put the whole field in quotes and write "" for a quote in it`))
}

// unquoted makes room for the line to be taken as it stands.
func (p *splitter) unquoted() bool {
	p.fields = p.fields[:0]
	return false
}

// dashed reports a line that only rules off others.
func dashed(line []byte) bool {
	return len(line) > 0 && len(bytes.Trim(line, " \t\r\v\f|:+=-")) == 0
}

// The gaps by which columns are set apart where no sign parts them.
var (
	wideGap  = regexp.MustCompile(`\t+| {2,}`)
	innerGap = regexp.MustCompile(`\S(?:\t| {2,})[ \t]*\S`)
	anyBlank = regexp.MustCompile(`[` + blanks + `]+`)
)

const blanks = " \t\r\v\f"

// trialRows is how many rows are looked at to choose the separator.
const trialRows = 61

// candidates are the ways to part columns, in the order in which they win ties.
var candidates = []struct {
	sep rune
	gap *regexp.Regexp
}{{',', nil}, {';', nil}, {'\t', nil}, {'|', nil}, {' ', wideGap}, {' ', anyBlank}}

// nearTie is the share of the best score from which another way to split a text may be
// meant as well.
const nearTie = 0.9

// Sheet splits the text into cells. Each way to part columns is tried, and the one wins
// whose rows are most regular times the share of cells that are a heading or a number
// (after van den Burg, Nazábal and Sutton, Data Mining and Knowledge Discovery 33, 2019);
// single blanks part columns only where nothing else does.
func (t *Text) Sheet() (*Sheet, note.List, error) {
	if t.sep != 0 {
		s, torn, err := t.cells(t.sep, nil, rowNumber.Most()+1)
		return s, t.said(s, torn), err
	}
	best, second, bestScore, secondScore, regular := candidates[0], rune(0), -1.0, 0.0, 0.0
	for _, c := range candidates {
		if c.gap == nil && !bytes.ContainsRune(t.data, c.sep) || c.gap == anyBlank && regular >= 1 ||
			c.gap != nil && bestScore >= 0 && !bytes.ContainsAny(t.data, blanks) {
			continue
		}
		s, _, _ := t.cells(c.sep, c.gap, trialRows)
		even, known := t.score(s)
		regular = max(regular, even)
		switch score := even * known; {
		case score > bestScore:
			second, secondScore = best.sep, bestScore
			best, bestScore = c, score
		case score > secondScore:
			second, secondScore = c.sep, score
		}
	}
	if best.gap == wideGap && t.close() {
		best.gap = anyBlank
	}
	s, torn, err := t.cells(best.sep, best.gap, rowNumber.Most()+1)
	s.Loose = best.gap == anyBlank && !innerGap.Match(t.data)
	if bestScore > 0 && secondScore >= nearTie*bestScore && best.gap == nil && second != ' ' {
		torn.Add(note.New(note.Caution, "separator-unsure", "the lines can be split at %s as well as at %s, which were taken", signNames[second], signNames[best.sep]).
			At(note.Place{File: t.file}).Do(`write "sep=%c" into a line of its own above the text`, second))
	}
	return s, t.said(s, torn), err
}

// signNames name what parts columns.
var signNames = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars"}

// said is what there is to say of a text that was split.
func (t *Text) said(s *Sheet, torn note.List) note.List {
	if s.Width() < 2 {
		torn.Add(note.New(note.Caution, "one-column",
			"no column separator was found (comma, semicolon, tab, bar or aligned blanks)").At(note.Place{File: t.file}))
	}
	return append(slices.Clip(t.Notes), torn...)
}

// score says how regular the rows of a split are, with its headings, and which share of
// the cells in rows of several is a heading or a number.
func (t *Text) score(s *Sheet) (regular, known float64) {
	heads, even, n, cells, typed := 0, 0, 0, 0, 0
	for i, row := range s.Rows {
		filled, sure := 0, 0
		for _, c := range row {
			if c.Blank() {
				continue
			}
			filled++
			heading, data := t.kindOf(c)
			if heading {
				heads++
			}
			if heading || data {
				sure++
			}
		}
		if filled > 1 {
			n++
			cells, typed = cells+filled, typed+sure
			if i > 0 && len(s.Rows[i-1]) == len(row) {
				even += min(filled, 12)
			}
		}
	}
	if n == 0 {
		return 0, 0
	}
	return float64(even) + 3*float64(min(heads, 20)), float64(typed+1) / float64(cells+1)
}

// kindOf reports a cell that holds a heading, and one that holds a number; where no words
// are known, all may.
func (t *Text) kindOf(c Cell) (heading, data bool) {
	short := c.Kind == Textual && len(c.Text) < 60
	return short && t.words.Heading != nil && t.words.Heading(c.Text), t.words.Data == nil || short && t.words.Data(c.Text)
}

// cells splits the first rows of the text by one sign, or by the blanks between columns.
func (t *Text) cells(sep rune, gap *regexp.Regexp, most int) (s *Sheet, torn note.List, err error) {
	b := &builder{sheet: &Sheet{File: t.file, Separator: sep, HiddenRow: map[int]bool{}, HiddenCol: map[int]bool{}}}
	if gap != nil {
		b.aligned(t, gap, most)
	} else {
		b.separated(t, sep, most)
	}
	return b.sheet, b.torn, b.faults.Err()
}

// builder fills a sheet with the rows of a text.
type builder struct {
	sheet  *Sheet
	cells  int
	faults note.List
	torn   note.List // cells of aligned text whose column is not certain
	room   []Cell    // of the rows to come
}

// roomFor is how many cells are made at once; a long log has millions.
const roomFor = 4096

// row makes the cells of a record, all of one piece of text.
func (b *builder) row(fields [][]byte) []Cell {
	if len(fields) == 0 {
		return nil
	}
	if len(b.room) < len(fields) {
		b.room = make([]Cell, max(roomFor, len(fields)))
	}
	row := b.room[:len(fields):len(fields)]
	b.room = b.room[len(fields):]
	text := string(bytes.Join(fields, nil))
	for c, f := range fields {
		row[c], text = textCell(text[:len(f)]), text[len(f):]
	}
	return row
}

// add puts a row at the end; it reports whether another may follow.
func (b *builder) add(line int, row []Cell) bool {
	s := b.sheet
	s.Rows, s.Lines = append(s.Rows, row), append(s.Lines, line)
	b.cells += len(row)
	for c := range row {
		if len(row[c].Text) > textLength.Most() {
			b.faults.Add(textLength.Fault(s.Place(len(s.Rows)-1, c)))
			return false
		}
	}
	switch {
	case b.cells > cellCount.Most():
		b.faults.Add(cellCount.Fault(atLine(s.File, line)))
	case len(s.Rows) > rowNumber.Most():
		b.faults.Add(rowNumber.Fault(atLine(s.File, line)))
	default:
		return true
	}
	return false
}

func (b *builder) separated(t *Text, sep rune, most int) {
	if line := t.overfull(sep); line > 0 && most > trialRows {
		b.faults.Add(cellCount.Fault(atLine(t.file, line)))
		return
	}
	if most > trialRows {
		n := min(most, t.Lines())
		b.sheet.Rows, b.sheet.Lines = make([][]Cell, 0, n), make([]int, 0, n)
	}
	p := t.split(sep)
	defer func() { b.faults = append(p.faults, b.faults...) }()
	for len(b.sheet.Rows) < most && p.next() {
		fields, ruled := p.record()
		if ruled {
			continue
		}
		if !b.add(p.line, b.row(fields)) {
			return
		}
	}
}

// overfull gives the line with which a text has more cells than a file may, before any is made; 0 for none.
func (t *Text) overfull(sep rune) int {
	if bytes.Count(t.data, []byte(string(sep)))+t.Lines() <= cellCount.Most() {
		return 0
	}
	cells := 0
	for p := t.split(sep); p.next(); {
		if fields, ruled := p.record(); !ruled {
			cells += len(fields)
		}
		if cells > cellCount.Most() {
			return p.line
		}
	}
	return 0
}

// record gives the fields of the record at hand that are cells, none of a blank line; ruled tells a line
// of a table drawn with bars that only rules off others.
func (p *splitter) record() (fields [][]byte, ruled bool) {
	fields = p.fields
	if string(p.sep) == "|" {
		if fields = trimBars(fields); dashed(bytes.Join(fields, []byte("|"))) {
			return nil, true
		}
	}
	if len(fields) == 1 && len(fields[0]) == 0 {
		return nil, false
	}
	return fields, false
}

func trimBars(rec [][]byte) [][]byte {
	if len(rec) > 1 && len(rec[0]) == 0 {
		rec = rec[1:]
	}
	if n := len(rec); n > 1 && len(rec[n-1]) == 0 {
		rec = rec[:n-1]
	}
	return rec
}

func (b *builder) aligned(t *Text, gap *regexp.Regexp, most int) {
	lines := t.firstLines(most)
	all := []area{{}} // by single blanks that nothing lines up, cells stand in their order
	if gap == wideGap || t.close() {
		all = areas(lines, gap)
	}
	for i, s := range lines {
		for len(all) > 1 && all[1].from <= i {
			all = all[1:]
		}
		var row []Cell
		if len(s) > 0 && !dashed(s) {
			var torn *piece
			if row, torn = all[0].columns.row(string(s), gap); torn != nil && len(b.torn) < mostTorn {
				b.torn.Add(note.New(note.Caution, "between-columns", "%q stands over or between two columns of the table", torn.text).
					At(atLine(t.file, t.first+i)).Do("line the cells up, or part them with commas"))
			}
		}
		if len(row) > columnNumber.Most() {
			b.faults.Add(columnNumber.Fault(atLine(t.file, t.first+i)))
			return
		}
		if !b.add(t.first+i, row) {
			return
		}
	}
}

// textCell makes a cell of a field. What it means is for the reader of values.
func textCell(s string) Cell {
	s = strings.TrimSpace(strings.ReplaceAll(s, "\r\n", "\n"))
	if s == "" {
		return Cell{}
	}
	if ErrorValue(s) {
		return Cell{Kind: Faulty, Text: s}
	}
	if strings.HasPrefix(s, `="`) && strings.HasSuffix(s, `"`) && len(s) > 3 { // ="1" keeps a program from changing it
		s = s[2 : len(s)-1]
	}
	return Cell{Kind: Textual, Text: s}
}
