package layout

import (
	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// lineRole is what a line below the headings of a table is to its shape.
type lineRole uint8

const (
	lineEnds    lineRole = iota // the table ends above it
	lineBlank                   // empty, and the table goes on below
	lineHeader                  // the heading once more, as at a page break
	lineSection                 // a text between jars
	lineData
)

// lineEvidence is what is known of a line below the headings.
type lineEvidence struct {
	f           *Finder
	t           *Table
	r           int
	filled      int // without remarks on a line that states something of the jars below
	data        int
	text        string // the first cell that is no number
	blanksAbove int    // blank lines right above it
}

// line reads one line of a table.
func (f *Finder) line(t *Table, r, blanksAbove int) lineEvidence {
	e := lineEvidence{f: f, t: t, r: r, blanksAbove: blanksAbove}
	for c := t.C0; c <= t.C1; c++ {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		e.filled++
		if f.DataLike(x) {
			e.data++
		} else if e.text == "" {
			e.text = x.Text
		}
	}
	if e.filled > 1 && e.data == 0 {
		e.filled -= f.remarksOn(t, r)
	}
	return e
}

// remarksOn counts the remarks behind a text in the first column that states something of the water or the
// doses of the jars below, "Pond B (raw 55 NTU) | | | windy".
func (f *Finder) remarksOn(t *Table, r int) (n int) {
	if x := f.v.At(r, t.C0); x.Kind != grid.Textual || !f.states(x.Text) {
		return 0
	}
	for c := t.C0 + 1; c <= t.C1; c++ {
		head := f.heading(f.v.At(t.Head, c).Text)
		if !f.v.At(r, c).Blank() && head.Note && !head.Core() {
			n++
		}
	}
	return n
}

var lineTests = map[string]func(lineEvidence) bool{
	"filled":       func(e lineEvidence) bool { return e.filled > 0 },
	"one-cell":     func(e lineEvidence) bool { return e.filled == 1 },
	"data":         func(e lineEvidence) bool { return e.data > 0 },
	"under-blank":  func(e lineEvidence) bool { return e.blanksAbove > 0 },
	"goes-on":      func(e lineEvidence) bool { return e.f.goesOn(e.t, e.r) },
	"goes-on-next": func(e lineEvidence) bool { return e.f.goesOn(e.t, e.r+1) },
	"number-next": func(e lineEvidence) bool { // a jar by its number
		return e.f.goesOn(e.t, e.r+1) && e.f.DataLike(e.f.v.At(e.r+1, e.t.C0))
	},
	"header-again": func(e lineEvidence) bool { return e.f.headerAgain(e.t, e.r) },
	"header-like":  func(e lineEvidence) bool { return e.f.headerLike(e.t, e.r) },
	"fact":         func(e lineEvidence) bool { return e.f.keyRow(e.t, e.r, e.filled) },
}

// lineRules say where a table goes on and where it ends.
var lineRules = []Rule[lineRole, lineEvidence]{
	{lineEnds, 90, "under-blank", "filled", "two blank lines", nil},
	{lineEnds, 90, "", "filled goes-on-next", "a blank line, and no data below it", nil},
	{lineBlank, 80, "", "filled", "a blank line", nil},
	{lineHeader, 75, "filled header-again", "data under-blank", "the heading once more", nil},
	{lineEnds, 70, "filled header-like", "data", "the heading of another table", nil},
	{lineEnds, 65, "one-cell", "data goes-on-next", "a text that no data follow", nil},
	{lineSection, 60, "one-cell", "data", "a text between jars", nil},
	{lineEnds, 55, "filled under-blank", "goes-on", "what stands below a blank line is no jar", nil},
	{lineEnds, 50, "fact", "number-next", "a fact below the jars", nil},
	{lineData, 10, "", "", "nothing says otherwise", nil},
}

var lineRuled = NewRules(lineTests, lineRules)

// readRows collects the data rows: on until two blank rows, a new header, or text
// that no data follow.
func (f *Finder) readRows(t *Table) {
	blanks := 0
	t.Last = t.First
	for r := t.First; r < f.v.height(); r++ {
		e := f.line(t, r, blanks)
		as, _ := lineRuled.Decide(e)
		switch as {
		case lineEnds:
			return
		case lineBlank:
			blanks++
			continue
		case lineHeader:
			continue
		case lineSection:
			t.Sections[r+1] = e.text
		case lineData:
			t.Rows = append(t.Rows, r)
			t.Last = r
		}
		blanks = 0
	}
}

// headSegment is what a cell of a header row does to the stretch of headings it meets.
type headSegment uint8

const (
	segmentGoesOn headSegment = iota
	segmentEnds               // before this cell, which is no heading
	segmentLabel              // before the label of the number that stands here
	segmentAnew               // ends, and another begins with this cell
)

// segmentEvidence is what is known of a cell of a header row.
type segmentEvidence struct {
	f         *Finder
	r, c      int
	x         grid.Cell
	start     int  // where the stretch began; -1 for none
	jar, core bool // headings met in it
}

// isJar reports a heading for jar labels.
func (e segmentEvidence) isJar() bool {
	if e.x.Blank() {
		return false
	}
	h := e.f.heading(e.x.Text)
	named := h.Jar && !h.Core() && !h.Volume && h.Index == "" && h.Unit.Kind != words.Length // a tube, by its depth
	title := e.f.emptyBelow(e.r, e.c) && e.r+1 < e.f.v.height()                              // "Jar test", beside columns that go on
	return named && !title
}

var segmentTests = map[string]func(segmentEvidence) bool{
	"begun":         func(e segmentEvidence) bool { return e.start >= 0 },
	"blank":         func(e segmentEvidence) bool { return e.x.Blank() },
	"empty-below":   func(e segmentEvidence) bool { return e.f.emptyBelow(e.r, e.c) },
	"data":          func(e segmentEvidence) bool { return e.f.DataLike(e.x) },
	"core-before":   func(e segmentEvidence) bool { return e.core },
	"jar-before":    func(e segmentEvidence) bool { return e.jar },
	"jar":           segmentEvidence.isJar,
	"numbered-head": func(e segmentEvidence) bool { return e.core && e.f.numberedHead(e.r, e.c) },
	"label-left":    func(e segmentEvidence) bool { return e.c > 0 && !e.f.v.At(e.r, e.c-1).Blank() },
}

var segmentRules = []Rule[headSegment, segmentEvidence]{
	{segmentEnds, 90, "blank begun empty-below", "", "an empty column", nil},
	{segmentEnds, 70, "data begun", "blank numbered-head label-left", "a number", nil},
	{segmentLabel, 70, "data begun label-left", "blank numbered-head", "a number with its label", nil},
	{segmentAnew, 60, "begun jar jar-before core-before", "blank", "a second column of jars", nil},
	{segmentGoesOn, 10, "", "", "nothing says otherwise", nil},
}

var segmentRuled = NewRules(segmentTests, segmentRules)

// oneResult reports a row of headings of a list with one result a line, in which a word for a jar
// and one for a sample begin no second table.
func (f *Finder) oneResult(r, breadth int) bool {
	values := 0
	for c := range breadth {
		if x := f.v.At(r, c); x.Kind == grid.Textual {
			h := f.heading(x.Text)
			if h.Reading != "" {
				return false
			}
			if h.Value {
				values++
			}
		}
	}
	return values == 1
}

// segments splits a row into stretches of header cells: at columns that are empty
// here and below, at numbers with their label, and where a second jar column begins.
func (f *Finder) segments(r, breadth int) [][2]int {
	var out [][2]int
	e := segmentEvidence{f: f, r: r, start: -1}
	flush := func(end int) {
		if e.start >= 0 && end > e.start {
			out = append(out, [2]int{e.start, end - 1})
		}
		e.start, e.jar, e.core = -1, false, false
	}
	for e.c = 0; e.c < breadth; e.c++ {
		e.x = f.v.At(r, e.c)
		as, _ := segmentRuled.Decide(e)
		switch as {
		case segmentEnds:
			flush(e.c)
		case segmentAnew:
			if !f.oneResult(r, breadth) {
				flush(e.c)
			}
		case segmentLabel:
			flush(e.c - 1)
		}
		if e.x.Blank() || f.DataLike(e.x) && !(e.core && f.numberedHead(r, e.c)) {
			continue
		}
		if e.start < 0 {
			e.start = e.c
		}
		e.jar, e.core = e.jar || e.isJar(), e.core || f.heading(e.x.Text).Core()
	}
	flush(breadth)
	return out
}
