package layout

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Column is one column of a table with everything its header cells say.
type Column struct {
	C     int // in the view
	Head  Heading
	Parts []string // the header texts from top to bottom
	Group string   // the heading above the main one, merged or filled to the right
	Place note.Place
}

// Table is a block of a grid that has headings on one side and jars under them.
// Rows and columns are those of the view: a table with jars across is seen
// turned, so that its jars are rows here too.
type Table struct {
	View          View
	HeadTop, Head int // first header row, main header row
	First, Last   int // data rows
	C0, C1        int
	Cols          []Column
	Rows          []int          // the data rows that are filled
	UnitRow       int            // of a turned table, the row of units under its jars; 0 for none
	Lead          int            // the line between its headings and its first jar that states what is of it alone; 0 for none
	Sections      map[int]string // a line of text between jars, by the row it stands before
	SectionRow    map[int]bool   // such lines between the header and the first jar
	Title         string
	Foot          string // the line right below it
	TitleAt       note.Place
	score         int
	whole         bool // it has doses and readings
}

// Box is the whole table with its header, in the grid's own terms.
func (t *Table) Box() grid.Span {
	if t.View.Origin != nil {
		return t.View.Area.Box
	}
	return t.View.upright(grid.Span{R0: t.HeadTop, C0: t.C0, R1: t.Last, C1: t.C1})
}

// Area is the grid that the table stands on, also where it was rewritten.
func (t *Table) Area() *Area {
	if t.View.Origin != nil {
		return t.View.Origin
	}
	return t.View.Area
}

// RangeName gives the cells of the table.
func (t *Table) RangeName() string { return t.Area().RangeName(t.Box()) }

// MostLines is how many rows of a sheet are looked through for what is no upright table:
// tables that lie across, grids of two chemicals, jars in lines of text.
const MostLines = 2000

// Finder looks for tables in one view. It remembers what each text says.
type Finder struct {
	v     View
	dec   Decimals
	heads map[string]Heading
	data  map[string]bool // what dataLike says of a text
	said  []Override      // what the user says of headings
	// bareReads: a bare number behind the doses of a jotted line is a reading
	bareReads bool
}

// NewFinder looks at a view; d is how its sheet writes fractions, said what the user says of headings.
func NewFinder(v View, d Decimals, said []Override) *Finder {
	return &Finder{v: v, dec: d, heads: map[string]Heading{}, data: map[string]bool{}, said: said}
}

func (f *Finder) heading(text string) Heading {
	h, ok := f.heads[text]
	if !ok {
		h = ColumnHeading(text)
		for _, o := range f.said {
			if SameText(o.Header, text) {
				h = Overridden(h, o.Meaning)
			}
		}
		if len(f.heads) < 20000 {
			f.heads[text] = h
		}
	}
	return h
}

// strong reports a text that names something a jar test has.
func (f *Finder) strong(text string) bool { return !f.figure(text) && f.heading(text).Strong() }

// figure reports a plain figure that nobody said to be a heading. A long table has hundreds of
// thousands of different ones, and a search for words in each would cost most of its time.
func (f *Finder) figure(text string) bool { return len(f.said) == 0 && plainFigure(text) }

// DataLike reports a cell that holds a number, a limit or a formula.
func (f *Finder) DataLike(c grid.Cell) bool {
	switch {
	case c.Hollow || c.Kind == grid.Numeric || c.Kind == grid.Faulty:
		return true
	case c.Kind != grid.Textual || len(c.Text) > LongText:
		return false
	}
	data, ok := f.data[c.Text]
	if !ok {
		data = IsData(c.Text, f.dec) && (f.figure(c.Text) || !f.heading(c.Text).Bounded)
		f.data[c.Text] = data
	}
	return data
}

// IsData reports a text that is a number, a limit or a date rather than words.
func IsData(text string, d Decimals) bool {
	v := ParseText(text, d)
	switch v.State {
	case Number:
		return v.Unit.Kind != words.Minutes // "5 min" is a heading
	case Dated:
		return true
	case Below, Above:
		return v.Limit
	case Unclear:
		return strings.HasPrefix(v.Doubt, "can be")
	}
	return false
}

// Tables gives every block that may hold jars, best first.
func (f *Finder) Tables() []*Table {
	var out []*Table
	height, breadth := f.v.height(), f.v.breadth()
	for r := 0; r < height; r++ {
		if !f.hasText(r, breadth) || f.pairs(breadth, func(c int) grid.Cell { return f.v.At(r, c) }) {
			continue
		}
		segments, n := f.spaced(r, f.segments(r, breadth)), len(out)
		for _, s := range segments {
			if t := f.tableAt(r, s[0], s[1]); t != nil {
				out = append(out, t)
			}
		}
		if n == len(out) && len(segments) > 1 { // empty columns between those of one table
			if t := f.tableAt(r, segments[0][0], segments[len(segments)-1][1]); t != nil {
				out = append(out, t)
			}
		}
	}
	return out
}

func (f *Finder) hasText(r, breadth int) bool {
	n := 0
	for c := 0; c < breadth; c++ {
		if x := f.v.At(r, c); x.Kind == grid.Textual && f.strong(x.Text) {
			n++
		}
	}
	return n > 0
}

var bareTemperature = words.NewPattern(`^-?\d+(?:[.,]\d+)? ?°? ?[CF]$`)

// pairs reports cells that are facts: names with one value each, "Raw turbidity | 120 NTU |
// Temperature | 18 C". A chemical right of the word for one is its value, a unit that of a word for
// units, a word that of a name with a colon, and two cells are enough then.
func (f *Finder) pairs(breadth int, at func(int) grid.Cell) bool {
	n, least := 0, 4
	var name grid.Cell
	for c := range breadth {
		x := at(c)
		if _, counts := words.CountsOnly(x.Text); x.Blank() || counts && n == 2 && least == 2 { // "Coagulant | alum | as product"
			continue
		}
		named := n%2 == 1 && (f.namesChemical(name, x) || f.namesUnit(name, x) || f.namesWord(name, x))
		value := named || f.DataLike(x) || ParseText(x.Text, f.dec).OK() || bareTemperature.MatchString(x.Text)
		if value != (n%2 == 1) {
			return false
		}
		if named && !f.v.Turned {
			least = 2
		}
		name = x
		n++
	}
	return n >= least && n%2 == 0
}

// namesChemical reports a word for the chemical and the name of one, with no unit and no
// word of a heading beside it; what doses of it count may stand there.
func (f *Finder) namesChemical(key, x grid.Cell) bool {
	if key.Kind != grid.Textual || x.Kind != grid.Textual {
		return false
	}
	k, h := f.heading(key.Text), f.heading(x.Text)
	return k.Chemical && !k.Jar && !k.Dose && h.Chem != "" && (!h.Dose || len(words.Counted(x.Text)) > 0) && !h.Stock && !h.Unit.Known() && h.Reading == "" && h.Stage == ""
}

// namesUnit reports a word for the unit of something, and a unit with what it counts: "Dose unit |
// mg/L as Al".
func (f *Finder) namesUnit(key, x grid.Cell) bool {
	if key.Kind != grid.Textual || x.Kind != grid.Textual {
		return false
	}
	k, h := f.heading(key.Text), f.heading(x.Text)
	return k.UnitColumn && (k.Dose || k.Reading != "") && !k.Unit.Known() && h.Unit.Known() && h.Rest == "" && h.Reading == KeyOfUnit(h.Unit)
}

// namesWord reports a name with a colon, or words for what doses count, and a text that is not itself
// such a name or heads a column: "Basis: | as product", "Dose counts | as alum 14-hydrate".
func (f *Finder) namesWord(key, x grid.Cell) bool {
	if key.Kind != grid.Textual || x.Kind != grid.Textual || endsInColon(x.Text) {
		return false
	}
	h := f.heading(x.Text)
	return endsInColon(key.Text) || NamesBasis(key.Text) && !h.Jar && !h.Dose && !h.Stock && (!h.Unit.Known() || h.Unit.Kind == words.Percent) && h.Reading == ""
}

func endsInColon(text string) bool { return strings.HasSuffix(strings.TrimSpace(text), ":") }

// numberedHead reports a number in a header row: it stands under a heading for a
// reading that reaches over it, as settling times and repeats do.
func (f *Finder) numberedHead(r, c int) bool {
	if r == 0 || !f.DataLike(f.v.At(r+1, c)) {
		return false
	}
	for k := c; k >= 0 && k > c-8; k-- {
		x := f.v.At(r-1, k)
		if x.Blank() {
			continue
		}
		return x.Kind == grid.Textual && f.heading(x.Text).Reading != "" && !f.DataLike(x)
	}
	return false
}

// emptyBelow reports a column with nothing under row r, which no cell merged over
// other columns bridges.
func (f *Finder) emptyBelow(r, c int) bool {
	for k := r + 1; k <= r+4; k++ {
		if !f.v.At(k, c).Blank() {
			return false
		}
	}
	m, ok := f.v.MergedAt(r, c)
	return !ok || m.C0 == c && m.C1 == c
}

// tableAt tries row r as main header over the columns c0 to c1.
func (f *Finder) tableAt(r, c0, c1 int) *Table {
	if f.pairs(c1-c0+1, func(c int) grid.Cell { return f.v.At(r, c0+c) }) {
		return nil
	}
	texts, strong, core := f.headings(r, c0, func(c int) bool { return c <= c1 })
	if texts < 2 || core == 0 && !f.lists(r, c0, c1) {
		return nil
	}
	first := f.firstData(r, c0, c1)
	if first < 0 {
		return nil
	}
	// A row further down that names more is the main header; this one is then its group row.
	for k := r + 1; k < first; k++ {
		_, n, _ := f.headings(k, c0, func(c int) bool { return c <= c1 || !f.v.At(k, c).Blank() })
		apart := n > 1 && !f.v.Turned && f.blankRow(k-1) && !f.unitsIn(k, c0, c1) // headings of their own below a blank line
		if n > strong || apart || n > 1 && n == strong && f.chemicalsUnder(r, k, c0) {
			return nil
		}
	}
	t := &Table{View: f.v, HeadTop: r, Head: r, First: first, C0: c0, C1: c1, Sections: map[int]string{}, SectionRow: map[int]bool{}}
	f.sectionRows(t)
	f.extendLeft(t)
	t.HeadTop = f.groupRows(r, t.C0, c1)
	f.extendRight(t)
	f.readRows(t)
	if len(t.Rows) == 0 {
		return nil
	}
	f.trimLeading(t)
	f.unitRow(t)
	f.readColumns(t)
	f.findParameter(t)
	if !f.plausible(t) {
		return nil
	}
	f.readTitle(t)
	if f.ofRawWater(t) {
		return nil
	}
	return t
}

// ofRawWater reports readings of the raw water, one under each heading, below a title that names it:
// they are facts.
func (f *Finder) ofRawWater(t *Table) bool {
	jars := slices.ContainsFunc(t.Cols, func(col Column) bool { return col.Head.DoseLike() || col.Head.Jar })
	return !t.View.Turned && len(t.Rows) == 1 && !jars && RawTitle(t.Title)
}

// titleWords is the most words of a title; more are a sentence.
const titleWords = 8

// RawTitle reports a text that names the raw water and states nothing of it.
func RawTitle(text string) bool {
	h := ReadHeading(text)
	return len(strings.Fields(text)) <= titleWords && (h.Raw || h.Stage == "before") && h.Reading == "" && !h.Amount && !h.Number && h.Chem == "" && !h.Dose && !h.Jar
}

// unitsIn reports a row with a unit by itself.
func (f *Finder) unitsIn(r, c0, c1 int) bool {
	for c := c0; c <= c1; c++ {
		if _, unit := words.OnlyUnit(f.v.At(r, c).Text); unit {
			return true
		}
	}
	return false
}

// headings counts the texts of a row from c0 on, those that head something, and those that
// head a dose or a reading.
func (f *Finder) headings(r, c0 int, within func(c int) bool) (texts, strong, core int) {
	for c := c0; within(c); c++ {
		x := f.v.At(r, c)
		if x.Kind != grid.Textual {
			continue
		}
		texts++
		if h := f.heading(x.Text); h.Strong() {
			strong++
			if h.Core() {
				core++
			}
		}
	}
	return texts, strong, core
}

// chemicalsUnder reports a row k of chemicals without units, one of them under an empty
// cell of row r: they part what is named once above them.
func (f *Finder) chemicalsUnder(r, k, c0 int) bool {
	open := false
	for c := c0; c < f.v.breadth(); c++ {
		x := f.v.At(k, c)
		if x.Blank() {
			continue
		}
		if h := f.heading(x.Text); h.Chem == "" || h.Unit.Known() || h.Reading != "" || h.Dose || h.Stock {
			return false
		}
		open = open || f.v.At(r, c).Blank()
	}
	return open
}

// sectionRows finds lines such as "Alum" between the header and the first jar:
// one text in the first column, where a heading stands above it.
func (f *Finder) sectionRows(t *Table) {
	if f.v.Turned {
		return
	}
	for r := t.Head + 1; r < t.First; r++ {
		n := 0
		for c := t.C0; c <= t.C1; c++ {
			if !f.v.At(r, c).Blank() {
				n++
			}
		}
		x := f.v.At(r, t.C0)
		if n-f.remarksOn(t, r) != 1 || x.Kind != grid.Textual || f.v.At(t.Head, t.C0).Blank() {
			continue
		}
		if h := f.heading(x.Text); t.C1-t.C0 < 2 && !(h.Amount && h.Chem != "") {
			continue // under two headings only a dose is surely no part of them
		}
		if _, ok := words.OnlyUnit(x.Text); ok || f.heading(x.Text).Jar && !f.heading(x.Text).Amount {
			continue
		}
		t.SectionRow[r] = true
		t.Sections[t.First] = strings.TrimSpace(x.Text)
	}
}

// firstData finds the first data row at most four rows below a header, past rows
// of units or sub-headings and one blank row.
func (f *Finder) firstData(r, c0, c1 int) int {
	for k := r + 1; k <= r+4 && k < f.v.height(); k++ {
		for c := c0; c <= c1; c++ {
			if x := f.v.At(k, c); f.DataLike(x) {
				if k == r+1 && f.numberRow(r, k, c0, c1) {
					break
				}
				return k
			}
		}
	}
	return -1
}

// numberRow reports a second header row of numbers, such as settling times: they
// rise, they all stand under one heading of a reading, and nothing else is filled.
func (f *Finder) numberRow(head, r, c0, c1 int) bool {
	last, n := math.Inf(-1), 0
	for c := c0; c <= c1+8; c++ {
		x := f.v.At(r, c)
		if x.Blank() {
			if c > c1 {
				break
			}
			continue
		}
		v := ParseValue(x, f.dec)
		if !v.OK() || v.Num <= last || c < c1 && !f.v.At(head, c).Blank() && f.heading(f.v.At(head, c).Text).Reading == "" {
			return false
		}
		last = v.Num
		n++
	}
	return n >= 2 && f.v.At(r, c0).Blank() && f.DataLike(f.v.At(r+1, c0+1))
}

// groupRows gives the first header row: rows above the main one whose cells stand
// over several columns, such as "Before" and "After".
func (f *Finder) groupRows(r, c0, c1 int) int {
	top := r
	for k := r - 1; k >= 0 && k >= r-2 && f.groupRow(k, r, c0, c1); k-- {
		top = k
	}
	return top
}

// groupRow reports a row k of headings over those of row r.
func (f *Finder) groupRow(k, r, c0, c1 int) bool {
	if f.pairs(f.v.breadth(), func(c int) grid.Cell { return f.v.At(k, c) }) {
		return false
	}
	var over []int // the columns of its cells
	wide, known := false, false
	for c := c0; c <= c1; c++ {
		x := f.v.At(k, c)
		if x.Blank() {
			continue
		}
		h := f.heading(x.Text)
		if _, said, fact := Keyed(x.Text); x.Kind != grid.Textual || f.DataLike(x) || h.Amount && !f.coversPart(k, c, c0, c1) || fact && said != "" { // "stock 10 g/L" is a fact
			return false
		}
		over = append(over, c)
		wide = wide || f.coversPart(k, c, c0, c1)
		known = known || h.Strong() || h.Stage != "" || h.Timed
	}
	n := len(over)
	return n > 0 && over[n-1] > c0 && (wide || n >= 2 || known) && !f.keyed(k, r, c0, c1, n == 2 && !wide)
}

// coversPart reports a merged cell over some of the columns c0 to c1, and not all.
func (f *Finder) coversPart(r, c, c0, c1 int) bool {
	m, ok := f.v.MergedAt(r, c)
	return ok && m.C1 > m.C0 && (m.C0 > c0 || m.C1 < c1)
}

// keyed reports a row above the headings that is a fact: "Date: | 3 May", or, where it
// has two narrow cells, "Coagulant | alum" above "Jar | Dose | Turbidity".
func (f *Finder) keyed(k, r, c0, c1 int, pair bool) bool {
	first := f.v.At(k, c0)
	if first.Blank() || f.v.At(k, c0+1).Blank() {
		return false
	}
	if strings.HasSuffix(first.Text, ":") || f.heading(first.Text).isMetaKey() {
		return true
	}
	return pair && c1-c0 >= 2 && f.heading(f.v.At(r, c0).Text).Jar && !f.heading(first.Text).Jar
}

// isMetaKey reports the words that stand before a fact, as "Coagulant | alum".
func (h Heading) isMetaKey() bool {
	return (NamesBasis(h.Text) || h.Target || h.Volume || h.Strength || h.Density || h.Date || h.Operator || h.Test || h.Speed || h.Next || h.Recycle || h.Stage == "before") && !h.Jar
}

// extendRight takes in columns without a heading that hold data beside the table.
func (f *Finder) extendRight(t *Table) {
	for c := t.C1 + 1; c <= t.C1+1; c++ {
		if x := f.v.At(t.Head, c); !x.Blank() {
			return
		}
		if t.First == t.Head+2 && f.DataLike(f.v.At(t.Head+1, c)) && f.DataLike(f.v.At(t.First, c)) {
			t.C1 = c // under a number of the second header row
			continue
		}
		filled := false
		for k := t.First; k < t.First+4; k++ {
			if x := f.v.At(k, c); !x.Blank() {
				if x.Kind == grid.Textual && f.heading(x.Text).isMetaKey() {
					return
				}
				filled = true
			}
		}
		if !filled {
			return
		}
		t.C1 = c
	}
}

// trimLeading drops lines without any data from the front of a table with jars
// across: titles that touch it, and facts with one value, such as the date.
func (f *Finder) trimLeading(t *Table) {
	for f.v.Turned && t.C0 < t.C1 {
		filled, data := 0, 0
		for _, r := range t.Rows {
			if x := f.v.At(r, t.C0); !x.Blank() {
				filled++
				if f.DataLike(x) {
					data++
				}
			}
		}
		h := f.heading(f.v.At(t.Head, t.C0).Text)
		if fact := data < 2 && len(t.Rows) > 2 && h.isMetaKey() && !h.Core(); filled > 0 && !fact {
			return
		}
		t.C0++
	}
}

// extendLeft takes in a column of labels without a heading before the table.
func (f *Finder) extendLeft(t *Table) {
	c := t.C0 - 1
	if c < 0 || !f.v.At(t.Head, c).Blank() {
		return
	}
	filled, keys := 0, 0
	for k := t.First; k < t.First+4; k++ {
		if x := f.v.At(k, c); !x.Blank() {
			filled++
			if h := f.heading(x.Text); x.Kind == grid.Textual && h.isMetaKey() && !h.Raw && !h.Control {
				keys++
			}
		}
	}
	if filled >= 2 && (keys == 0 || f.headedAbove(t, c)) {
		t.C0 = c
	}
}

// headedAbove reports a column of labels whose heading is merged from above down to the header row.
func (f *Finder) headedAbove(t *Table, c int) bool {
	m, ok := f.v.MergedAt(t.Head, c)
	return ok && m.R0 < t.Head && m.C0 == c && m.C1 == c && f.heading(f.v.At(m.R0, c).Text).labels()
}

// headerAgain reports the header repeated between jars, as at a page break: the
// same texts, and labels below that go on rather than begin again.
func (f *Finder) headerAgain(t *Table, r int) bool {
	for c := t.C0; c <= t.C1; c++ {
		if f.v.At(r, c).Text != f.v.At(t.Head, c).Text {
			return false
		}
	}
	for c := t.C0; c <= t.C1; c++ {
		h := f.heading(f.v.At(t.Head, c).Text)
		if !h.Jar || h.Core() {
			continue
		}
		next := f.v.At(r+1, c).Text
		for _, k := range t.Rows {
			if f.v.At(k, c).Text == next {
				return false
			}
		}
		return next != "" && len(t.Rows) > 0
	}
	return false
}

// headerLike reports a row without numbers that names a dose or a reading.
func (f *Finder) headerLike(t *Table, r int) bool {
	strong, core := 0, 0
	for c := t.C0; c <= t.C1; c++ {
		if x := f.v.At(r, c); x.Kind == grid.Textual && f.strong(x.Text) {
			strong++
			if h := f.heading(x.Text); h.Core() && (h.Unit.Known() || h.Reading != "" || h.Dose) {
				core++
			}
		}
	}
	return strong >= 2 && core >= 1
}

// keyRow reports a row below the jars that is a fact, such as "Next test | 45361".
func (f *Finder) keyRow(t *Table, r, n int) bool {
	x := f.v.At(r, t.C0)
	if x.Kind != grid.Textual || n > 2 || t.C1-t.C0 < 2 {
		return false
	}
	h := f.heading(x.Text)
	if n == 2 && f.datedBeside(t, r) && !h.Jar && !h.Raw && !h.Control {
		return true // "Checked | 14.05.2026"
	}
	if h.Test && !h.Next && f.v.At(r, t.C0+1).Blank() {
		return false // "Tap water | | 0.4" has no value beside it, and a reading in its column
	}
	return h.isMetaKey() && !h.Control && !h.Raw && !h.Summary && h.Stage != "before"
}

// datedBeside reports a day in the second column of a row.
func (f *Finder) datedBeside(t *Table, r int) bool {
	return ParseValue(f.v.At(r, t.C0+1), f.dec).State == Dated
}

// goesOn reports that the table continues at row r: numbers in at least two
// columns, or in one of two.
func (f *Finder) goesOn(t *Table, r int) bool {
	if r >= f.v.height() || f.headerLike(t, r) {
		return false
	}
	data, n, labelled := 0, 0, false
	for c := t.C0; c <= t.C1; c++ {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		n++
		if f.DataLike(x) {
			data++
		}
		if c == t.C0 && x.Kind == grid.Textual && f.heading(x.Text).isMetaKey() {
			labelled = true
		}
	}
	return !labelled && (data >= 2 || data == 1 && (n >= 2 || t.C1-t.C0 <= 1))
}

// readColumns joins the header cells above each column.
func (f *Finder) readColumns(t *Table) {
	for c := t.C0; c <= t.C1; c++ {
		col := Column{C: c, Place: f.v.PlaceAt(t.Head, c)}
		var group []string
		for r := t.HeadTop; r < t.First; r++ {
			text, own := f.headerText(t, r, c)
			if text == "" || t.SectionRow[r] {
				continue
			}
			if r < t.Head {
				group = append(group, text)
				if own && f.v.At(t.Head, c).Blank() {
					col.Place = f.v.PlaceAt(r, c)
				}
			} else if !f.saysAgain(col.Parts, text) {
				col.Parts = append(col.Parts, text)
			}
		}
		if u := f.unitUnder(t, c); u != "" && !f.saysAgain(col.Parts, u) {
			col.Parts = append(col.Parts, u)
		}
		col.Group = strings.Join(group, " ")
		col.Head = f.joined(col)
		if u := f.unitBehind(t, col); u != "" {
			col.Parts = append(col.Parts, u)
			col.Head = f.joined(col)
		}
		t.Cols = append(t.Cols, col)
	}
	f.namesAbove(t)
	f.repeatsNumbered(t)
}

// repeatNumber is the number of a repeat at the end of a folded heading, "ntu n1", "rep 2".
var repeatNumber = words.NewPattern(`^(.*?) ?\b(n|r|reps?|repl|replicate|reading|wdh)\.? ?(\d)$`)

// repeatsNumbered reads columns that number the repeats of one reading, "NTU n1 | n2 | n3" or "NTU n1 | NTU n2", as its repeats.
func (f *Finder) repeatsNumbered(t *Table) {
	for i := range t.Cols {
		first := repeatNumber.FindStringSubmatch(words.Fold(t.Cols[i].Head.Text))
		if first == nil || first[3] != "1" || f.heading(first[1]).Reading == "" || len(t.Cols[i].Parts) != 1 {
			continue
		}
		last := i
		for k := i + 1; k < len(t.Cols) && len(t.Cols[k].Parts) == 1; k++ {
			m := repeatNumber.FindStringSubmatch(words.Fold(t.Cols[k].Head.Text))
			if m == nil || m[2] != first[2] || m[3] != strconv.Itoa(k-i+1) || m[1] != "" && m[1] != first[1] {
				break
			}
			last = k
		}
		for k := i; k <= last && last > i; k++ {
			text := t.Cols[k].Head.Text
			t.Cols[k].Head = f.heading(first[1] + " " + strconv.Itoa(k-i+1))
			t.Cols[k].Head.Text = text
		}
	}
}

// namesAbove joins the names in a row of their own to the units in the main one, where each unit has
// its own name: together they are one heading, and the name is no group.
func (f *Finder) namesAbove(t *Table) {
	if t.HeadTop != t.Head-1 {
		return
	}
	for _, col := range t.Cols {
		if len(col.Parts) == 0 {
			continue
		}
		wide := f.coversPart(t.HeadTop, col.C, t.C0, t.C1)
		if above := f.v.At(t.HeadTop, col.C); above.Kind != grid.Textual || wide {
			return
		}
	}
	for i, col := range t.Cols {
		if _, unit := words.OnlyUnit(strings.Join(col.Parts, " ")); !unit || col.Group == "" {
			continue
		}
		col.Parts, col.Group = append([]string{col.Group}, col.Parts...), ""
		col.Place = f.v.PlaceAt(t.HeadTop, col.C)
		col.Head = f.joined(col)
		t.Cols[i] = col
	}
}

// headerText gives the text over a column in a header row: its own cell, or in a
// group row the cell that reaches over it.
func (f *Finder) headerText(t *Table, r, c int) (string, bool) {
	x := f.v.At(r, c)
	if x.Kind == grid.Textual {
		return strings.TrimSpace(x.Text), true
	}
	if x.Kind == grid.Numeric || x.Kind == grid.Boolean {
		return x.Text, true
	}
	if m, ok := f.v.MergedAt(r, c); ok {
		if top := f.v.At(m.R0, m.C0); top.Kind == grid.Textual {
			if m.R0 != r && m.C0 == c {
				return "", false // the upper part of a cell merged downwards has been read
			}
			return strings.TrimSpace(top.Text), false
		}
		return "", false
	}
	if r >= t.Head && !(r == t.Head && t.First == t.Head+2 && f.DataLike(f.v.At(r+1, c))) {
		return "", false
	}
	for k := c - 1; k >= t.C0; k-- {
		y := f.v.At(r, k)
		if y.Blank() {
			continue
		}
		if m, ok := f.v.MergedAt(r, k); ok && m.C1 < c {
			return "", false
		}
		if f.heading(y.Text).Jar && !f.heading(y.Text).Core() {
			return "", false
		}
		return strings.TrimSpace(y.Text), false
	}
	return "", false
}

// groupHeading reads a heading over several columns without what it states in brackets, "Alum (raw
// 75 NTU)": that is a fact of the test.
func (f *Finder) groupHeading(text string) Heading {
	h := f.heading(text)
	if !h.Amount {
		return h
	}
	return f.heading(strings.TrimSpace(statedInBrackets.ReplaceAllString(text, "")))
}

// Stated is what a heading over several columns states in brackets, with its cell.
type Stated struct {
	R, C int
	At   note.Place
	Text string
}

// StatedOver gives what the headings over several columns of an upright table state in brackets.
func (t *Table) StatedOver() []Stated {
	var out []Stated
	for r := t.HeadTop; r < t.Head && !t.View.Turned; r++ {
		for c := t.C0; c <= t.C1; c++ {
			x := t.View.At(r, c)
			if m, ok := t.View.MergedAt(r, c); !ok || m.C1 == m.C0 || x.Kind != grid.Textual || !ReadHeading(x.Text).Amount {
				continue
			}
			if said := statedInBrackets.FindString(x.Text); said != "" {
				out = append(out, Stated{r, c, t.View.PlaceAt(r, c), strings.Trim(said, "()[]")})
			}
		}
	}
	return out
}

var statedInBrackets = words.NewPattern(`[(\[][^()\[\]]*\d[^()\[\]]*[)\]]`)

var minuteWord = words.NewPattern(`\b(?:min|mins|minutes?|minuten|minutos)\b`)

// joined reads the header cells of a column as one heading; what the main cells
// leave open is taken from the group above.
func (f *Finder) joined(col Column) Heading {
	if n := len(col.Parts); n == 2 && col.Group == "" {
		if _, err := strconv.ParseFloat(col.Parts[1], 64); err == nil { // a number under the main heading
			col.Group, col.Parts = col.Parts[0], col.Parts[1:]
		}
	}
	if len(col.Parts) == 0 {
		g := f.heading(col.Group)
		g.Text = col.Group
		return g
	}
	h := f.ownHeading(col.Parts)
	if col.Group == "" {
		return h
	}
	h.takeFrom(f.groupHeading(col.Group))
	if _, unit := words.OnlyUnit(h.Text); unit && h.Reading == "" && !h.DoseLike() { // its name stands above
		h.Text = col.Group + " " + h.Text
	}
	if x, err := strconv.ParseFloat(strings.Join(col.Parts, ""), 64); err == nil && minuteWord.MatchString(words.Fold(col.Group)) {
		h.Timed, h.Minutes = true, x
	}
	h.settle()
	return h
}

// ownHeading reads the main header cells of a column. A unit in a row of its own is
// clearer by itself.
func (f *Finder) ownHeading(parts []string) Heading {
	h := f.heading(strings.Join(parts, " "))
	for i, p := range parts[1:] {
		u, ok := words.OnlyUnit(p)
		if !ok {
			continue
		}
		main := f.heading(strings.Join(parts[:i+1], " "))
		if !main.Unit.Known() || main.Unit.Kind == words.NoUnit || u.Kind != words.NoUnit {
			main.Unit = u
		}
		main.Text = h.Text
		main.settle()
		return main
	}
	return h
}

// takeFrom gives a heading what it leaves open and the group above it says.
func (h *Heading) takeFrom(g Heading) {
	if h.Stage == "" {
		h.Stage = g.Stage
	}
	h.takeReading(g)
	h.takeDose(g)
	if !h.Unit.Known() && g.Unit.Known() && !h.Jar && g.Unit.Kind != words.Minutes {
		h.Unit = g.Unit
	}
	if !h.Timed && g.Timed {
		h.Timed, h.Minutes = true, g.Minutes
	}
	h.Old = h.Old || g.Old
}

// takeReading gives a heading the reading of its group, unless it is something else.
// A chemical alone under a reading says what the jars had that were read.
func (h *Heading) takeReading(g Heading) {
	treated := h.Chem != "" && !h.Dose && !h.Stock && !h.Neat && !h.Unit.Known() && !g.Dose && g.Chem == ""
	if h.Reading == "" && !h.Jar && (treated || !h.DoseLike()) && !h.Note && !h.Test && !h.Chemical {
		h.Reading = g.Reading
		h.Removal = h.Removal || g.Removal
	}
	h.Removal = h.Removal || g.Removal && h.Reading != ""
}

// takeDose gives a heading the chemical of its group, and that it is dosed.
func (h *Heading) takeDose(g Heading) {
	dosed := h.Dose || h.Stock || h.Unit.Kind == words.Conc && h.Reading == "" || h.Unit.Kind == words.Volume
	if h.Chem == "" && (dosed || h.Reading != "" && g.Reading == "") {
		h.Chem = g.Chem
	}
	h.Dose = h.Dose || g.Dose && h.Reading == ""
}

// plausible throws out blocks that only look like tables, and scores the others.
func (f *Finder) plausible(t *Table) bool {
	dose, reading, cells, body := f.contents(t)
	if _, long := longFormOf(t); long {
		reading++
	}
	switch {
	case body > 0 && body*4 >= len(t.Rows), dose+reading == 0, f.factBlock(t), f.factLine(t), t.View.Turned && f.keyedInside(t), t.View.Turned && (len(t.Rows) < 2 || f.pairsAcross(t) || dose == 0 && f.oneEach(t)):
		return false
	}
	t.score, t.whole = cells, dose > 0 && reading > 0
	if t.whole {
		t.score += cells + 20
	}
	if !t.View.Turned {
		t.score++
	}
	return true
}

// contents counts the columns of a table that hold doses and readings, the cells in them,
// and the cells of its body that read like headings.
func (f *Finder) contents(t *Table) (dose, reading, cells, body int) {
	seen := map[string]bool{}
	for _, col := range t.Cols {
		n, heads := f.bodyOf(t, col)
		if heads >= 2 || heads == 1 && len(t.Rows) <= 2 {
			body += heads
		}
		h, key := col.Head, strings.ToLower(strings.Join(col.Parts, " ")+col.Group)
		if n == 0 || seen[key] && h.Reading == "" {
			continue
		}
		seen[key] = true
		switch {
		case h.DoseLike() || h.Reading == "" && (IsMass(h.Unit) || h.Unit.Kind == words.Volume):
			dose++
			cells += n
		case h.Reading != "" || h.Removal:
			reading++
			cells += n
		}
	}
	return dose, reading, cells, body
}

// pairsAcross reports a turned table whose lines are facts.
func (f *Finder) pairsAcross(t *Table) bool {
	return !slices.ContainsFunc(t.Cols, func(col Column) bool {
		return !f.pairs(f.v.height(), func(r int) grid.Cell { return f.v.At(r, col.C) })
	})
}

// oneEach reports a turned table without a line of two values: facts under a title beside
// which the date stands.
func (f *Finder) oneEach(t *Table) bool {
	return !slices.ContainsFunc(t.Cols, func(col Column) bool {
		data, _ := f.bodyOf(t, col)
		return data > 1
	})
}

// bodyOf counts the data of a column, and the cells among them that read like headings.
func (f *Finder) bodyOf(t *Table, col Column) (data, heads int) {
	named := col.Head.Parameter || col.Head.UnitColumn || col.Head.Note
	for _, r := range t.Rows {
		x := f.v.At(r, col.C)
		if f.DataLike(x) {
			data++
			continue
		}
		if x.Kind != grid.Textual || named {
			continue
		}
		if h := f.heading(x.Text); h.Strong() && (h.Reading != "" || h.Unit.Known() || h.Dose || h.Stock) {
			heads++
		}
	}
	return data, heads
}

// factBlock reports a list of facts, "Stock strength | 10 %", that looks like a table. The raw water
// is a jar of a table, but what names its reading beside one number is a fact.
func (f *Finder) factBlock(t *Table) bool {
	keys := 0
	for _, r := range t.Rows {
		x := f.v.At(r, t.C0)
		if x.Kind != grid.Textual || f.DataLike(x) {
			continue
		}
		h := f.heading(x.Text)
		if (h.isMetaKey() || h.Stock || h.Strength || h.Volume && h.Jar || h.Reading != "") && !h.Control && !(h.Raw && (h.Reading == "" || f.line(t, r, 0).filled != 2)) && !h.Summary && !h.Amount {
			keys++
		}
	}
	return keys > 0 && keys*2 >= len(t.Rows) && t.C1-t.C0 <= 2
}

// factLine reports names of facts with the value of each below it, "Stock (g/L) | Jar volume (L)".
func (f *Finder) factLine(t *Table) bool {
	named := func(col Column) bool {
		h := col.Head
		strong := h.Unit.Kind == words.Conc && h.Unit.Factor > 1 || h.Unit.Kind == words.Percent
		return h.FactName() && (!h.Stock || h.Strength || strong)
	}
	aside := func(col Column) bool {
		data, _ := f.bodyOf(t, col)
		return data == 0 || col.Head.Date || col.Head.Operator || col.Head.Note || col.Head.Test
	}
	return !t.View.Turned && len(t.Rows) == 1 && slices.ContainsFunc(t.Cols, named) &&
		!slices.ContainsFunc(t.Cols, func(col Column) bool { return !named(col) && !aside(col) })
}

// keyedInside reports a turned table with the names of facts among its data, "Raw pH: | 7.6", or of
// readings where its numbers part, "Raw NTU | 41 | pH | 6.6".
func (f *Finder) keyedInside(t *Table) bool {
	for r := t.First; r <= t.Last; r++ {
		for _, col := range t.Cols {
			x := f.v.At(r, col.C)
			if x.Kind == grid.Textual && f.DataLike(f.v.At(r+1, col.C)) && (endsInColon(x.Text) || !slices.Contains(t.Rows, r) && f.heading(x.Text).Reading != "") {
				return true
			}
		}
	}
	return false
}

// readTitle looks for a line of text right above the table, at most three rows up.
func (f *Finder) readTitle(t *Table) {
	box, v := t.Box(), View{Area: f.v.Area, Only: f.v.Only}
	if v.Origin != nil {
		return
	}
	if x := v.At(box.R1+1, box.C0); x.Kind == grid.Textual {
		t.Foot = strings.TrimSpace(x.Text)
	}
	for r := box.R0 - 1; r >= 0 && r >= box.R0-3; r-- {
		text, n := "", 0
		var at note.Place
		for c := box.C0; c <= box.C1; c++ {
			if x := v.At(r, c); !x.Blank() {
				n++
				if text == "" && x.Kind == grid.Textual {
					text, at = strings.TrimSpace(x.Text), v.PlaceAt(r, c)
				}
			}
		}
		if n == 0 {
			continue
		}
		if _, _, fact := Keyed(text); n == 1 && fact && !strings.HasSuffix(text, ":") || f.pairs(v.breadth(), func(c int) grid.Cell { return v.At(r, c) }) {
			continue // a fact, not a title
		}
		if n == 1 && text != "" && len(text) < 120 && !f.DataLike(grid.Cell{Kind: grid.Textual, Text: text}) {
			t.Title, t.TitleAt = text, at
		}
		return
	}
}

// Choose keeps the best tables that do not overlap, in reading order.
func Choose(all []*Table) []*Table {
	sort.SliceStable(all, func(i, j int) bool { return all[i].score > all[j].score })
	var out []*Table
	for _, t := range all {
		free := true
		for _, o := range out {
			free = free && !t.Box().Overlaps(o.Box())
		}
		if free {
			out = append(out, t)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].Box(), out[j].Box()
		if a.R0 != b.R0 {
			return a.R0 < b.R0
		}
		return a.C0 < b.C0
	})
	return out
}

// Outside keeps the tables that share no cell with the boxes.
func Outside(all []*Table, boxes []grid.Span) []*Table {
	var out []*Table
	for _, t := range all {
		free := true
		for _, s := range boxes {
			free = free && !s.Overlaps(t.Box())
		}
		if free {
			out = append(out, t)
		}
	}
	return out
}

// Each gives the filled cells of some rows of a table with their places.
func (t *Table) Each(r0, r1 int, give func(r, c int, x grid.Cell, at note.Place)) {
	for r := r0; r <= r1; r++ {
		for c := t.C0; c <= t.C1; c++ {
			if x := t.View.At(r, c); !x.Blank() {
				give(r, c, x, t.View.PlaceAt(r, c))
			}
		}
	}
}
