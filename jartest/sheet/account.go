package sheet

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
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
	// Columns are the headings of its tables, with what stands under them.
	Columns []ColumnAccount
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
	// Hidden: the sheet hides its row or its column.
	Hidden bool
}

// As says in words what the cell was taken for.
func (c Cell) As() string {
	said := c.What + " " + c.Of
	if c.Of == "" || strings.HasPrefix(c.Of, ",") {
		said = c.What + c.Of
	}
	if c.Hidden && !strings.HasSuffix(said, "hidden") {
		return strings.TrimPrefix(said+", hidden", ", ")
	}
	return said
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

// puzzles are the codes of the notes on cells that were not understood, whole or in part.
var puzzles = map[string]bool{
	"unclear-reading": true, "unclear-dose": true, "unit-not-understood": true, "heading-words": true, "target-unclear": true, "dilution-unclear": true,
	"basis-unknown": true, "raw-unclear": true, "raw-range": true, "raw-twice": true, "dose-unit": true, "dose-unit-missing": true, "wrong-unit": true,
	"columns-apart": true, "impossible-value": true, "date-as-dose": true, "dose-in-percent": true,
	"negative-dose": true, "error-value": true, "formula-without-value": true, "transformed": true, "facts-disagree": true, "row-not-a-jar": true,
	"word-for-reading": true,
}

// accountant fills an account from what a reading left behind: the places of the
// series' numbers, the roles of columns, the facts that were asked for, the notes.
type accountant struct {
	b      *bench
	series []jartest.Series
	sheets []SheetAccount
	index  map[[2]string]*Cell // by sheet and cell
	notes  map[[2]string][]note.Note
	given  map[[2]string][]string // accounted cells that hold a number of a series, with the series
	ends   map[*layout.Area]int   // the first row without a listed cell
	rows   map[int]fate           // of the table in hand
	// once are the numbers that the table in hand gave: column, jar, text.
	once  map[[3]string]bool
	later []func() // values, which share what their names are
}

// account makes the account of all sheets of the file.
func (b *bench) account(all []*layout.Area, series []jartest.Series) Account {
	a := b.accountant(all, series)
	out := Account{Sheets: a.sheets}
	for _, t := range b.tables {
		if what, left := a.tableLeftOut(t, b.byTable[t]); left {
			out.Unused.Add(a.beside(t, what)...)
		} else {
			out.Unused.Add(a.unused(t)...)
		}
	}
	return out
}

// accountant looks at every cell of the file.
func (b *bench) accountant(all []*layout.Area, series []jartest.Series) *accountant {
	a := &accountant{b: b, series: series, index: map[[2]string]*Cell{}, notes: map[[2]string][]note.Note{}, given: map[[2]string][]string{}, ends: map[*layout.Area]int{}}
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
			if k := keyAt(at); a.index[k] != nil && !slices.Contains(a.given[k], s.Name) {
				a.given[k] = append(a.given[k], s.Name)
			}
		})
	}
	for _, g := range all {
		a.outside(g)
	}
	for _, t := range b.tables {
		if t.View.Origin != nil {
			a.rewritten(t)
		}
		a.table(t)
		a.columns(t, b.byTable[t])
	}
	for _, s := range series {
		a.numbers(s, func(at note.Place, what, of, jar string) { a.use(at, what, of, jar, s.Name) })
	}
	for _, share := range a.later {
		share()
	}
	for _, x := range b.emptied {
		a.mark(x.g.Place(x.r, x.c), SetAside, leftOut["struck-out"], "")
	}
	a.puzzled()
	return a
}

func keyAt(at note.Place) [2]string { return [2]string{at.Sheet, at.Cell} }

// list enters the filled cells of a sheet.
func (a *accountant) list(g *layout.Area) {
	s := SheetAccount{Place: note.Place{File: g.File, Sheet: g.Name}}
	for r, row := range g.Rows {
		if len(s.Cells) < mostAccounted {
			a.ends[g] = r + 1
		}
		for c, x := range row {
			switch {
			case x.Blank():
			case len(s.Cells) >= mostAccounted:
				s.Cut++
			default:
				s.Cells = append(s.Cells, Cell{At: g.Address(r, c), Text: cmp.Or(strings.TrimSpace(x.Text), "(formula without a value)"),
					Hidden: g.HiddenRow[r] || g.HiddenCol[c]})
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
	for _, k := range jartest.KindsOf(s.Raw) {
		reading(s.Raw[k], Raw, k.Info().Label, "")
	}
	keys := s.Keys()
	for _, j := range s.Jars {
		jar := ", " + jarName(j.Label)
		for i, d := range j.Doses {
			of := jar
			if x := a.at(d.At); x != nil && !x.table {
				of = ", every jar"
			}
			give(d.At, Dose, "of "+s.Chemicals[i].Name, of)
		}
		for _, k := range keys {
			if x, read := j.Readings.Get(k); read && (a.at(x.At) != nil || len(x.Replicates) > 0) { // in a long sheet few are listed
				reading(x, Reading, k.Info().Label, jar)
			}
		}
		for _, k := range jartest.KindsOf(j.Raw) {
			reading(j.Raw[k], Raw, k.Info().Label, jar)
		}
	}
	for _, x := range s.Targets {
		give(x.At, "target", x.String(), "")
	}
	for _, x := range s.Meta {
		give(x.At, x.Name, "", "")
	}
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
