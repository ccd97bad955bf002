package sheet

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Account says of every filled cell of a file what it was taken for. What a series
// gives without a caution rests on cells that are used or set aside.
type Account struct {
	Sheets []SheetAccount
	// Unused are notes on the columns and lines in a table of jars, or touching one,
	// of which nothing else speaks and nothing was used.
	Unused note.List
}

// SheetAccount is the account of one sheet.
type SheetAccount struct {
	// Place is the file and the sheet, and Name what a sheet without a name is called by.
	Place note.Place
	// Cells are the filled cells, row by row.
	Cells []Cell
	// Cut counts the cells beyond the most that are accounted for.
	Cut int
}

// Cell is what one cell was taken for.
type Cell struct {
	At    string // "C7"
	Text  string // what stands there
	State State
	// What the cell is, such as [Dose], "heading" or "mean", and Of what: "of alum, jar 3".
	What, Of string
	// Series are the names of those that it bears on; none where they are many.
	Series []string
	// table: it stands in the rectangle of a table; number: it holds one of a series.
	table, number bool
}

// As says in words what the cell was taken for.
func (c Cell) As() string {
	if c.Of == "" || strings.HasPrefix(c.Of, ",") {
		return c.What + c.Of
	}
	return c.What + " " + c.Of
}

// State says how far a cell was understood. The zero value is NotUnderstood.
type State uint8

const (
	NotUnderstood State = iota
	// SetAside is understood, and no part of a series: a mean, a remark, a date.
	SetAside
	Used
)

// String gives the word of documents.
func (s State) String() string { return [...]string{"not understood", "set aside", "used"}[s] }

// What a cell is that holds a number of a series.
const (
	Dose    = "dose"
	Reading = "reading"
	Raw     = "raw"
)

// mostAccounted bounds the cells of one sheet that are accounted for: more is a log.
const mostAccounted = 20000

// roleUse is what the cells of a column are by its role: the state that they have in
// the row of a jar, and the word for them.
var roleUse = map[role]struct {
	state State
	what  string
}{
	asJar:       {Used, "label"},
	asTest:      {Used, "test"},
	asChemical:  {Used, "chemical"},
	asReplicate: {Used, "repeat number"},
	asNote:      {SetAside, "remark"},
	asDose:      {NotUnderstood, Dose}, // used where a series has it
	asStock:     {Used, "stock volume"},
	asReading:   {NotUnderstood, Reading},
	asSetting:   {Used, "setting"},
	asBefore:    {Used, Raw},
	asMean:      {SetAside, "mean"},
	asSD:        {Used, "deviation"},
	asN:         {Used, "number of readings"},
	asParameter: {Used, "parameter"},
	asValue:     {NotUnderstood, Reading},
	asUnit:      {Used, "unit"},
	asQualifier: {Used, "qualifier"},
	asTarget:    {Used, "target"},
	asVolume:    {Used, "jar volume"},
	asStrength:  {Used, "stock strength"},
	asDilution:  {Used, "dilution"},
	asIgnored:   {NotUnderstood, "column"},
}

// figured are the roles whose cells have to be numbers.
var figured = map[role]bool{asStock: true, asSetting: true, asBefore: true, asSD: true, asN: true, asVolume: true, asStrength: true}

// factUse names what a fact is.
var factUse = map[factKind]string{
	factStock: "stock strength", factVolume: "jar volume", factDensity: "density", factPerMl: "dose of each mL of stock", factFixed: "dose of every jar",
	factChemical: "chemical", factRaw: Raw, factLimit: "detection limit", factOverLimit: "end of the meter's range", factN: "number of readings",
	factTarget: "target", factRecycle: "recycle", factNeat: "product as delivered", factDash: "what a dash means", factPH: "pH of all jars",
	factBasis: "basis", factName: "name of the test", factDate: "date", factDilution: "dilution",
}

// leftOut is what notes say of columns, rows and tables that are no part of a series.
var leftOut = map[string]string{
	"hidden-column": "hidden", "hidden-jar": "hidden", "summary-row": "summary", "jar-voided": "jar left out by its remark", "no-dose": "jar without a dose",
	"dash-dose": "jar without a dose", "dose-twice": "same dose again", "mean-left-out": "mean", "column-left-out": "left out by its heading",
	"settling-times": "earlier settling time", "adjuster": "acid or alkali of unknown strength", "example-left-out": "example",
	"record-table": "record, no jar test", "summary-table": "summary of tests", "repeated-series": "same jars again", "remark": "remark",
}

// puzzles are the codes of the notes on cells that were not understood, whole or in part.
var puzzles = map[string]bool{
	"unclear-reading": true, "unclear-dose": true, "unit-not-understood": true, "heading-words": true, "target-unclear": true, "dilution-unclear": true,
	"basis-unknown": true, "raw-unclear": true, "raw-range": true, "raw-twice": true, "dose-unit": true, "dose-unit-missing": true, "wrong-unit": true,
	"columns-apart": true, "impossible-value": true, "date-as-dose": true, "dose-in-percent": true,
	"negative-dose": true, "error-value": true, "formula-without-value": true, "transformed": true, "facts-disagree": true, "row-not-a-jar": true,
	"word-for-reading": true,
}

// asides are the words by which a text outside the tables is set aside.
var asides = []struct {
	holds func(heading) bool
	what  string
}{
	{func(h heading) bool { return h.next || h.chosen }, "advice"},
	{func(h heading) bool { return h.speed }, "mixing"},
	{func(h heading) bool { return h.operator }, "operator"},
	{func(h heading) bool { return h.date }, "date"},
	{func(h heading) bool { return h.clock }, "time"},
	{func(h heading) bool { return h.note }, "remark"},
	{func(h heading) bool { return h.summary || h.stat != "" }, "summary"},
}

// taking is a fact that a table asked for.
type taking struct {
	kind factKind
	at   note.Place
}

// took remembers that a table was told a fact.
func (b *bench) took(t *table, x fact) {
	k := taking{x.kind, x.at}
	if !slices.Contains(b.taken[k], t) {
		b.taken[k] = append(b.taken[k], t)
	}
}

// accountant fills an account from what a reading left behind: the places of the
// series' numbers, the roles of columns, the facts that were asked for, the notes.
type accountant struct {
	b      *bench
	series []jartest.Series
	sheets []SheetAccount
	index  map[[2]string]*Cell // by sheet and cell
	notes  map[[2]string][]note.Note
	given  map[[2]string][]string // cells that hold a number of a series, with the series
	rows   map[int]fate           // of the table in hand
	later  []func()               // values, which share what their names are
}

// account makes the account of all sheets of the file.
func (b *bench) account(all []*area, series []jartest.Series) Account {
	a := &accountant{b: b, series: series, index: map[[2]string]*Cell{}, notes: map[[2]string][]note.Note{}, given: map[[2]string][]string{}}
	for _, g := range all {
		a.list(g)
	}
	for i := range a.sheets {
		for k := range a.sheets[i].Cells {
			c := &a.sheets[i].Cells[k]
			a.index[[2]string{a.sheets[i].Place.Sheet, c.At}] = c
		}
	}
	for _, n := range b.notes {
		k := [2]string{n.Sheet, n.Cell}
		a.notes[k] = append(a.notes[k], n)
	}
	for _, s := range series {
		a.numbers(s, func(at note.Place, _, _, _ string) {
			if k := keyAt(at); !slices.Contains(a.given[k], s.Name) {
				a.given[k] = append(a.given[k], s.Name)
			}
		})
	}
	for _, g := range all {
		a.outside(g)
	}
	for _, t := range b.tables {
		if t.v.origin != nil {
			a.rewritten(t)
		}
		a.table(t)
	}
	for _, s := range series {
		a.numbers(s, func(at note.Place, what, of, jar string) { a.use(at, what, of, jar, s.Name) })
	}
	for _, share := range a.later {
		share()
	}
	a.puzzled()
	out := Account{Sheets: a.sheets}
	for _, t := range b.tables {
		if _, left := a.tableLeftOut(t, b.byTable[t]); !left {
			out.Unused.Add(a.unused(t)...)
		}
	}
	return out
}

// unused speaks of the columns and lines in or beside a table that were not
// understood and that no note speaks of, each once.
func (a *accountant) unused(t *table) note.List {
	var out note.List
	g, box := t.sheetOf(), t.box()
	silent := func(r, c int) (*Cell, bool) {
		x := a.at(g.Place(r, c))
		return x, x != nil && x.State == NotUnderstood && len(a.notes[keyAt(g.Place(r, c))]) == 0
	}
	line := func(r, c0, c1 int) {
		var texts []string
		first := -1
		for c := c0; c <= c1; c++ {
			x, ok := silent(r, c)
			if x != nil && !ok {
				return // something on this line was understood, or is spoken of
			}
			if ok {
				texts = append(texts, x.Text)
				if first < 0 {
					first = c
				}
			}
		}
		if first >= 0 {
			out.Add(note.New(note.Info, "not-used", "the line %q was not understood and not used", clip(strings.Join(texts, " "))).At(g.Place(r, first)))
		}
	}
	column := func(c int) {
		first, n := -1, 0
		for r := box.R0; r <= box.R1; r++ {
			x, ok := silent(r, c)
			if x != nil && !ok {
				return
			}
			if ok {
				n++
				if first < 0 {
					first = r
				}
			}
		}
		if n > 0 {
			out.Add(note.New(note.Info, "not-used", "the column at %q was not understood and not used", clip(g.At(first, c).Text)).At(g.Place(first, c)))
		}
	}
	for r := max(0, box.R0-1); r <= box.R1+1; r++ {
		line(r, box.C0, box.C1)
	}
	for c := max(0, box.C0-1); c <= box.C1+1; c++ {
		column(c)
	}
	return out
}

func keyAt(at note.Place) [2]string { return [2]string{at.Sheet, at.Cell} }

// list enters the filled cells of a sheet.
func (a *accountant) list(g *area) {
	s := SheetAccount{Place: note.Place{File: g.File, Sheet: g.Name}}
	for r, row := range g.Rows {
		for c, x := range row {
			switch {
			case x.Blank():
			case len(s.Cells) >= mostAccounted:
				s.Cut++
			default:
				s.Cells = append(s.Cells, Cell{At: g.Address(r, c), Text: cmp.Or(strings.TrimSpace(x.Text), "(formula without a value)")})
			}
		}
	}
	if len(s.Cells) > 0 {
		a.sheets = append(a.sheets, s)
	}
}

func (a *accountant) at(p note.Place) *Cell { return a.index[keyAt(p)] }

// mark settles what a cell is, in place of what was said before.
func (a *accountant) mark(at note.Place, state State, what, of string, series ...string) {
	const few = 8
	c := a.at(at)
	if c == nil {
		return
	}
	c.State, c.What, c.Of, c.Series = state, what, of, nil
	if len(series) <= few {
		c.Series = series
	}
}

// use marks a cell as one that holds a number of a series. A cell can hold several:
// the dose of many jars, a control that is the raw water too.
func (a *accountant) use(at note.Place, what, of, jar, series string) {
	c := a.at(at)
	if c == nil {
		return
	}
	one := strings.TrimPrefix(of+jar, ", ")
	switch had := c.Of; {
	case c.State != Used || !c.number:
		c.State, c.What, c.Of, c.Series, c.number = Used, what, one, nil, true
	case c.What == what && had != one && strings.HasPrefix(had, of):
		c.Of = of + ", several jars"
	case c.What != what && !strings.Contains(had, what):
		c.Of += ", " + what + " " + one
	}
	if !slices.Contains(c.Series, series) {
		c.Series = append(c.Series, series)
	}
}

// numbers gives the places of all numbers of a series, with what they are, of what and
// of which jar.
func (a *accountant) numbers(s jartest.Series, give func(at note.Place, what, of, jar string)) {
	reading := func(r jartest.Reading, what, of, jar string) {
		give(r.At, what, of, jar)
		for _, x := range r.Replicates {
			give(x.At, what, of, jar)
		}
	}
	for _, k := range sortedReadings(s.Raw) {
		reading(s.Raw[k], Raw, k.Info().Label, "")
	}
	for _, j := range s.Jars {
		jar := ", " + jarName(j.Label)
		for i, d := range j.Doses {
			of := jar
			if x := a.at(d.At); x != nil && !x.table {
				of = ", every jar"
			}
			give(d.At, Dose, "of "+s.Chemicals[i].Name, of)
		}
		for _, k := range sortedReadings(j.Readings) {
			reading(j.Readings[k], Reading, k.Info().Label, jar)
		}
	}
	for _, x := range s.Targets {
		give(x.At, "target", x.String(), "")
	}
	for _, x := range s.Meta {
		give(x.At, x.Name, "", "")
	}
}

func sortedReadings(m map[jartest.Key]jartest.Reading) []jartest.Key {
	return jartest.Series{Jars: []jartest.Jar{{Readings: m}}}.Keys()
}

// jarName calls a jar by its label.
func jarName(label string) string {
	if utf8.RuneCountInString(label) <= 3 {
		return "jar " + label
	}
	return clip(label)
}

// puzzled marks the cells that notes name as not understood.
func (a *accountant) puzzled() {
	for k, c := range a.index {
		for _, n := range a.notes[k] {
			if puzzles[n.Code] {
				c.State = NotUnderstood
			}
		}
	}
}

// seriesOf names the series that a table gave.
func (a *accountant) seriesOf(t *table) []string {
	var out []string
	for _, s := range a.series {
		if s.Place.Sheet == t.v.Name && s.Place.Cell == t.rangeName() {
			out = append(out, s.Name)
		}
	}
	return out
}

// said gives what the notes on a place say of a thing that was left out.
func (a *accountant) said(at note.Place) (string, bool) {
	for _, n := range a.notes[keyAt(at)] {
		if w, ok := leftOut[n.Code]; ok {
			return w, true
		}
	}
	return "", false
}

// each gives the filled cells of some rows of a table with their places.
func (t *table) each(r0, r1 int, give func(r, c int, x cell, at note.Place)) {
	for r := r0; r <= r1; r++ {
		for c := t.c0; c <= t.c1; c++ {
			if x := t.v.at(r, c); !x.Blank() {
				give(r, c, x, t.v.placeAt(r, c))
			}
		}
	}
}

// rewritten accounts for the rectangle in which a table stood before it was rewritten
// with a line for each jar; the cells that went into the new table follow with it.
func (a *accountant) rewritten(t *table) {
	g, box := t.v.origin, t.v.area.box
	for r := box.R0; r <= box.R1; r++ {
		for c := box.C0; c <= box.C1; c++ {
			at, x := g.Place(r, c), g.At(r, c)
			cell := a.at(at)
			if cell == nil {
				continue
			}
			cell.table = true
			switch {
			case g.HiddenRow[r] || g.HiddenCol[c]:
				a.mark(at, SetAside, "hidden", "")
			case x.Kind == textual:
				a.mark(at, Used, "heading", "")
			default:
				a.mark(at, NotUnderstood, "", "")
			}
		}
	}
	if lines := t.v.area.lines; lines != nil {
		lines.each(lines.first, lines.last, func(r, c int, _ cell, at note.Place) {
			switch h := lines.cols[c-lines.c0].head; {
			case lines.v.rowHidden(r):
				a.mark(at, SetAside, "hidden", "")
			case h.parameter:
				a.mark(at, Used, "parameter", "")
			case h.unitColumn:
				a.mark(at, Used, "unit", "")
			case h.qualifier:
				a.mark(at, Used, "qualifier", "")
			case h.value:
				a.mark(at, NotUnderstood, Reading, "")
			case h.date || h.clock:
				a.mark(at, SetAside, "date or time", "")
			case h.note || h.replicate:
				a.mark(at, SetAside, "remark", "")
			default:
				a.mark(at, SetAside, "said again", "")
			}
		})
	}
}

// table accounts for the cells of one table by the roles of its columns and what
// became of its rows.
func (a *accountant) table(t *table) {
	fs := a.b.byTable[t]
	names := a.seriesOf(t)
	what, left := a.tableLeftOut(t, fs)
	a.rows = map[int]fate{}
	for _, r := range t.rows {
		a.rows[r] = a.fateOf(t, fs, r)
	}
	t.each(t.headTop, t.last, func(r, c int, x cell, at note.Place) {
		if cell := a.at(at); cell != nil {
			cell.table = true
		}
		f := fs[c-t.c0]
		row, jar := a.rows[r]
		switch {
		case left:
			a.mark(at, SetAside, what, "")
		case jar:
			a.body(t, row, f, x, at)
		case r < t.first && !t.sectionRow[r]:
			a.heading(t, fs, r, f, x, at, names)
		default:
			a.line(t, r, x, at, names)
		}
	})
}

// tableLeftOut gives the reason why no number of a table is in a series.
func (a *accountant) tableLeftOut(t *table, fs []field) (string, bool) {
	given, what := false, ""
	t.each(t.headTop, t.last, func(r, c int, _ cell, at note.Place) {
		given = given || a.given[keyAt(at)] != nil
		for _, n := range a.notes[keyAt(at)] {
			switch n.Code {
			case "example-left-out", "record-table", "summary-table":
				what = leftOut[n.Code]
			}
		}
	})
	if w, ok := a.said(note.Place{File: t.v.File, Sheet: t.v.Name, Cell: t.rangeName()}); ok {
		what = w
	}
	switch {
	case given:
		return "", false
	case what != "":
		return what, true
	case !slices.ContainsFunc(fs, func(f field) bool { return f.role == asDose || f.role == asStock }):
		return "table without doses", true
	case !slices.ContainsFunc(fs, func(f field) bool { return f.role == asReading || f.role == asValue }):
		return "doses without readings", true
	}
	return "", false
}

// heading accounts for a cell of the header rows.
func (a *accountant) heading(t *table, fs []field, r int, f field, x cell, at note.Place, names []string) {
	if _, ok := words.OnlyUnit(x.Text); ok && r > t.headTop {
		a.mark(at, Used, "unit", "")
		return
	}
	if r < t.head {
		h := readHeading(x.Text)
		part := slices.ContainsFunc(fs, func(f field) bool { return sameText(f.part, x.Text) || sameText(f.chem, x.Text) })
		state := NotUnderstood
		if h.strong() || h.stage != "" || h.timed || h.raw || part {
			state = Used
		}
		a.mark(at, state, "heading", "over columns")
		return
	}
	state, what, of := a.column(t, f)
	switch {
	case f.role == asDose && f.chem != "":
		of = "of " + f.chem
	case f.role == asReading && f.key != "":
		of = f.key.Info().Label
	}
	if state == NotUnderstood && f.role != asIgnored {
		state = Used // its cells are looked at one by one
	}
	a.mark(at, state, "heading:", strings.TrimSpace(what+" "+of), names...)
}

// column says what the cells of a column are in the row of a jar.
func (a *accountant) column(t *table, f field) (State, string, string) {
	u, h := roleUse[f.role], f.head
	switch {
	case f.role == asReading && f.key == "", f.role == asReading && f.numbers == 0:
		return SetAside, "no numbers", ""
	case f.role == asNote && (h.date || h.clock):
		return SetAside, "date or time", ""
	case f.role == asNote && h.operator:
		return SetAside, "operator", ""
	case f.role == asSetting:
		return u.state, u.what, strings.ReplaceAll(string(f.key), "_", " ")
	case f.role == asBefore:
		return u.state, u.what, h.reading.Info().Label
	case f.role != asIgnored:
		return u.state, u.what, ""
	case ownLayout(t) && len(f.parts) == 1 && (f.parts[0] == ownPlanned || f.parts[0] == ownAdded):
		return Used, "part of the dose", ""
	case f.numbers+f.texts == 0:
		return SetAside, "nothing below", ""
	case h.stat != "":
		return SetAside, "worked out of the readings", ""
	case h.clock || h.unit.Kind == words.Minutes:
		return Used, "settling time", ""
	}
	if w, ok := a.said(f.place); ok {
		return SetAside, w, ""
	}
	return u.state, u.what, ""
}

// line accounts for a cell of a row between the jars that is none: the name of the
// jars under it, a heading once more, a remark.
func (a *accountant) line(t *table, r int, x cell, at note.Place, names []string) {
	_, remark := a.said(at)
	section := t.sectionRow[r] || t.sections[r+1] == strings.TrimSpace(x.Text)
	switch {
	case remark:
		a.mark(at, SetAside, "remark", "")
	case section:
		a.mark(at, Used, "name of the jars below", "", names...)
	case slices.ContainsFunc(t.cols, func(c column) bool { return t.v.at(t.head, c.c).Text == x.Text }):
		a.mark(at, SetAside, "heading again", "")
	default:
		a.mark(at, NotUnderstood, "line between the jars", "")
	}
}

// fate is what became of a row.
type fate struct {
	jar string // its name
	out bool   // no number of it is in a series
	why string // where that is known
	// series are those in which its numbers are.
	series []string
}

// body accounts for a cell in the row of a jar, as far as it is no number of a series.
func (a *accountant) body(t *table, row fate, f field, x cell, at note.Place) {
	state, what, of := a.column(t, f)
	ofJar := of + ", " + row.jar
	switch {
	case row.out && row.why != "":
		a.mark(at, SetAside, row.why, "")
	case row.out && (f.role == asDose || f.role == asStock):
		a.mark(at, NotUnderstood, what, ofJar)
	case row.out && (state != NotUnderstood || f.role != asIgnored):
		a.mark(at, SetAside, what, "of a jar left out")
	case figured[f.role] && !a.figure(t, x), f.role == asUnit && !isUnit(x):
		a.mark(at, NotUnderstood, what, ofJar)
	case f.role == asJar:
		a.mark(at, state, what, "", row.series...)
	case f.role == asIgnored || f.role == asNote || f.role == asMean || state == SetAside:
		a.mark(at, state, what, of)
	case state == NotUnderstood && a.again(t, row, f, x):
		a.mark(at, SetAside, "said again", "")
	case state == NotUnderstood && a.nothing(t, x):
		a.mark(at, SetAside, "no "+what, ofJar)
	default:
		a.mark(at, state, what, ofJar, row.series...)
	}
}

// again reports a number that the same column gives in another row of the same jar.
func (a *accountant) again(t *table, row fate, f field, x cell) bool {
	return slices.ContainsFunc(t.rows, func(r int) bool {
		return a.rows[r].jar == row.jar && a.given[keyAt(t.v.placeAt(r, f.c))] != nil && t.v.at(r, f.c).Text == x.Text
	})
}

func isUnit(x cell) bool {
	_, ok := words.OnlyUnit(x.Text)
	return ok
}

// figure reports a cell that holds a number, or says that there is none.
func (a *accountant) figure(t *table, x cell) bool {
	return parseValue(x, a.b.dec(t)).ok() || a.nothing(t, x)
}

// nothing reports a cell that says that there is no number.
func (a *accountant) nothing(t *table, x cell) bool {
	v := parseValue(x, a.b.dec(t))
	return v.state == vMissing || v.state == vZero || v.dash
}

// fateOf says whether a row gave a jar, and why not where that is known: what a note
// says of it, or that it lacks what makes a jar.
func (a *accountant) fateOf(t *table, fs []field, r int) fate {
	out := fate{jar: "line " + strings.TrimLeft(t.v.placeAt(r, t.c0).Cell, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), out: true}
	name := a.b.label(t, r, t.c0)
	doses, readings := 0, 0
	for _, f := range fs {
		at := t.v.placeAt(r, f.c)
		if f.role == asJar {
			name = a.b.label(t, r, f.c)
			out.jar = jarName(name)
		}
		for _, s := range a.given[keyAt(at)] {
			out.out = false
			if !slices.Contains(out.series, s) {
				out.series = append(out.series, s)
			}
		}
		if w, ok := a.said(at); ok {
			out.why = cmp.Or(out.why, w)
		}
		if x := t.v.at(r, f.c); x.Blank() || a.nothing(t, x) {
			continue
		}
		switch f.role {
		case asDose, asStock:
			doses++
		case asReading, asBefore, asMean, asValue:
			readings++
		}
	}
	if !out.out || out.why != "" {
		return out
	}
	switch h := readHeading(name); {
	case h.summary || h.stat != "":
		out.why = "summary"
	case a.timed(t, fs):
		out.why = leftOut["settling-times"]
	case readings == 0:
		out.why = "jar without readings"
	case doses == 0:
		out.why = "jar without a dose"
	}
	return out
}

// timed reports a table that has a line for each settling time, of which one counts.
func (a *accountant) timed(t *table, fs []field) bool {
	return slices.ContainsFunc(fs, func(f field) bool {
		w, ok := a.said(f.place)
		return ok && f.role == asIgnored && w == leftOut["settling-times"]
	})
}

// outside accounts for the cells of a sheet that stand in no table: facts with their
// values and units, titles, remarks.
func (a *accountant) outside(g *area) {
	why := ""
	switch {
	case strings.EqualFold(strings.TrimSpace(g.Name), settingsSheet):
		a.whole(g, Used, "setting")
		return
	case !slices.Contains(a.b.grids, g) && g.Hidden:
		why = "hidden sheet"
	case !slices.Contains(a.b.grids, g):
		why = "sheet not asked for"
	case calculatorPage(g):
		why = "calculation"
	}
	if why != "" {
		a.whole(g, SetAside, why)
		return
	}
	facts := map[string][]fact{}
	for _, x := range a.b.facts {
		if x.g == g {
			facts[x.at.Cell] = append(facts[x.at.Cell], x)
		}
	}
	v := view{area: g}
	for r, row := range g.Rows {
		for c, x := range row {
			at := g.Place(r, c)
			cell := a.at(at)
			switch {
			case cell == nil || cell.What != "" || a.b.inTable(g, r, c):
			case a.b.only != nil && !a.b.only.Has(r, c):
				a.mark(at, SetAside, "outside the range", "")
			case a.title(at):
			case len(facts[at.Cell]) > 0:
				a.facts(at, facts[at.Cell])
				a.value(v, r, c, slices.ContainsFunc(facts[at.Cell], func(f fact) bool { return f.keyed || f.kind == factDilution }))
			case x.Kind == textual:
				a.text(at, x)
				a.value(v, r, c, true)
			case x.Date() || x.Clock():
				a.mark(at, SetAside, "date", "")
			}
		}
	}
}

// whole marks all cells of a sheet.
func (a *accountant) whole(g *area, state State, what string) {
	for r, row := range g.Rows {
		for c := range row {
			a.mark(g.Place(r, c), state, what, "")
		}
	}
}

// title marks the line above a table.
func (a *accountant) title(at note.Place) bool {
	for _, t := range a.b.tables {
		if t.title == "" || t.titleAt != at || slices.ContainsFunc(a.b.facts, func(x fact) bool { return x.at == at }) {
			continue
		}
		a.mark(at, SetAside, "title", "")
		if names := a.seriesOf(t); slices.ContainsFunc(names, func(s string) bool { return strings.Contains(s, t.title) }) {
			a.mark(at, Used, "title", "", names...)
		}
		return true
	}
	return false
}

// unasked stands behind a fact that no table asked for.
const unasked = "(not needed)"

// facts marks a cell that says something beside the tables: used where a table asked
// for one of the things that it says.
func (a *accountant) facts(at note.Place, list []fact) {
	state := SetAside
	var what, series []string
	for _, x := range list {
		ts := a.b.taken[taking{x.kind, x.at}]
		found := x.kind == factLimit || x.kind == factOverLimit || x.kind == factName
		if found && slices.ContainsFunc(a.notes[keyAt(at)], func(n note.Note) bool { return n.Code == "limit-found" }) {
			state = Used
		}
		for _, t := range ts {
			state = Used
			for _, s := range a.seriesOf(t) {
				if !slices.Contains(series, s) {
					series = append(series, s)
				}
			}
		}
		if w := factUse[x.kind]; !slices.Contains(what, w) {
			what = append(what, w)
		}
	}
	of := ""
	if state == SetAside {
		of = unasked
	}
	a.mark(at, state, strings.Join(what, ", "), of, series...)
}

// caption is a numbered title, "Table 2: results".
var caption = regexp.MustCompile(`^(\p{L}+\.? ?\d{1,2}) ?[:.)–-] ?\D+$`)

// text marks a text that told no fact.
func (a *accountant) text(at note.Place, x cell) {
	h, f := readHeading(x.Text), words.Fold(x.Text)
	if h.speed || strings.Count(f, " ") < 8 { // in a long sentence one word settles little
		for _, row := range asides {
			if row.holds(h) {
				a.mark(at, SetAside, row.what, "")
				return
			}
		}
	}
	what, digits := "", strings.ContainsAny(f, "0123456789")
	switch m := caption.FindStringSubmatch(x.Text); {
	case isUnit(x):
		what = "unit"
	case isoDate.MatchString(f), dayDate.MatchString(f), namedDate.MatchString(f):
		what = "date"
	case m != nil && !readHeading(m[1]).bears():
		what = "title"
	case strings.ContainsAny(x.Text, "×÷") && !h.unit.Known():
		what = "working"
	case h.strong() && (!digits || h.reading != "" && h.index != ""):
		what = emptyHeading
	case !digits || !h.bears():
		what = mereText
	default:
		return
	}
	a.mark(at, SetAside, what, "")
}

const (
	mereText     = "text" // nothing in it bears on a jar test
	emptyHeading = "heading without jars"
)

// bears reports words whose number can bear on a dose, a reading or a jar: "Page 3"
// has none.
func (h heading) bears() bool {
	return h.core() || h.unit.Known() || h.amount || h.volume || h.strength || h.density || h.recycle || h.target || h.raw || h.all || h.filtered || h.dilution || h.stage != ""
}

// value lets the value of a name, and the unit right of it, share what the name is.
func (a *accountant) value(v view, r, c int, keyed bool) {
	inside := func(r, c int) bool { return a.b.inTable(v.area, r, c) }
	k, ok := besideOf(v, r, c)
	down := r
	switch {
	case !keyed || colonValue(v.at(r, c)):
		return
	case ok && !v.at(r, k).Blank() && !inside(r, k):
	case v.at(r+1, c).Kind == numeric && !inside(r+1, c):
		down, k = r+1, c
	default:
		return
	}
	name := a.at(v.Place(r, c))
	a.later = append(a.later, func() {
		at, unit := v.Place(down, k), v.Place(down, k+1)
		x, u := a.at(at), a.at(unit)
		if x == nil || name == nil || x.number {
			return
		}
		if name.What == mereText || name.What == emptyHeading {
			if x.What == "" {
				name.State = NotUnderstood // a number under words that say nothing
			}
			return
		}
		if x.What != "" && x.What != mereText && x.What != "date" && x.What != "remark" && !(x.Of == unasked && name.State == Used) {
			return
		}
		what := "value:"
		if name.What == "" {
			what = ""
		}
		a.mark(at, name.State, what, name.As(), name.Series...)
		if u != nil && !inside(down, k+1) && isUnit(v.at(down, k+1)) {
			a.mark(unit, name.State, "unit", "", name.Series...)
		}
	})
}

// colonValue reports a name with its value in one cell, "Stock: 10 g/L".
func colonValue(x cell) bool {
	m := colonKey.FindStringSubmatch(x.Text)
	return m != nil && strings.TrimSpace(m[2]) != ""
}

// besideOf gives the column of the value right of a name: past the name's merged
// cells and up to two empty ones. It is false for a heading over facts.
func besideOf(v view, r, c int) (int, bool) {
	k := c + 1
	if m, ok := v.merged(r, c); ok {
		if m.C1-m.C0 >= 3 {
			return 0, false
		}
		k = m.C1 + 1
	}
	for skip := 0; skip < 2 && v.at(r, k).Blank(); skip++ {
		k++
	}
	return k, true
}
