// Package sheet reads bench sheets: spreadsheets and delimited text in whatever
// layout people made them. The way is file → grid of cells → tables → columns
// with roles → series of jars. Every number keeps its cell; what was inferred is
// a note, what is doubtful a caution, what cannot be an error, each with its cell.
package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Options are what the user says about a sheet; the zero value leaves all to the
// reader.
type Options struct {
	Sheet     string // read only this sheet
	Range     string // read only these cells, "A5:F11"
	Chemical  string // the chemical of a dose column that does not name one
	Basis     quantity.Basis
	Stock     quantity.Concentration // strength of the stock behind a column of volumes
	Density   quantity.Density       // of a neat product dosed by volume
	JarVolume quantity.Volume
	Columns   []Override
	Decimal   rune // '.' or ',' for numbers typed as text; 0 to find out
	Hidden    bool // take hidden rows and sheets too
	Account   bool // say of every cell what it was taken for
}

// Override says what a column holds: a reading ("turbidity", "tss mg/L"), "dose
// mg/L", "stock mL", "jar", "test", "note" or "ignore".
type Override struct{ Header, Meaning string }

// Result is what was understood of one file.
type Result struct {
	Series []jartest.Series
	Notes  note.List
	// Account is what the cells were taken for, where the options ask for it.
	Account Account
}

// bench is one reading in progress.
type bench struct {
	opt      Options
	grids    []*area
	decimals map[*area]decimals
	finders  map[view]*finder
	facts    []fact
	taken    map[taking][]*table
	notes    note.List
	used     map[string]bool // overrides that met a column
	byTable  map[*table][]field
	tables   []*table
	only     *span // --range
}

// said lets a note just added be completed.
type said struct {
	b *bench
	i int
}

// say adds a note.
func (b *bench) say(l note.Level, code string, at note.Place, format string, args ...any) said {
	n := note.New(l, code, format, args...).At(at)
	for i, o := range b.notes {
		if o.Code == n.Code && o.Place == n.Place && o.Message == n.Message {
			return said{b, i}
		}
	}
	b.notes.Add(n)
	return said{b, len(b.notes) - 1}
}

// do adds the remedy.
func (s said) do(_ *bench, format string, args ...any) {
	s.b.notes[s.i].Remedy = fmt.Sprintf(format, args...)
}

func (b *bench) dec(t *table) decimals { return b.decimals[t.v.area] }

func (b *bench) finder(t *table) *finder { return b.finders[t.v] }

// Read understands one file. The error is for a file that cannot be read at all;
// what is wrong inside it stands in the notes, at error level where a number
// could not be taken.
func Read(name string, r io.Reader, opt Options) (Result, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Result{}, err
	}
	grids, notes, err := open(name, data)
	if err != nil {
		return Result{}, err
	}
	b := &bench{opt: opt, notes: notes, decimals: map[*area]decimals{}, finders: map[view]*finder{}, used: map[string]bool{}, byTable: map[*table][]field{},
		taken: map[taking][]*table{}}
	all := grids
	grids = b.settings(grids)
	if err := b.selectGrids(name, grids); err != nil {
		return Result{}, err
	}
	b.findTables()
	b.leftOver()
	for _, g := range b.grids {
		b.readFacts(g, b.tables)
	}
	series := b.waters(b.assemble())
	series = b.dropCopies(series)
	b.finish(name, series)
	out := Result{Series: series, Notes: b.notes}
	if opt.Account {
		out.Account = b.account(all, series)
	}
	return out, nil
}

// selectGrids keeps the sheets and cells that are asked for, and leaves hidden ones out.
func (b *bench) selectGrids(name string, grids []*area) error {
	var names []string
	for _, g := range grids {
		names = append(names, g.Name)
		if b.opt.Sheet != "" {
			if !sameText(g.Name, b.opt.Sheet) {
				continue
			}
		} else if g.Hidden && !b.opt.Hidden {
			if len(g.Rows) > 0 {
				b.say(note.Caution, "hidden-sheet", note.Place{File: name, Sheet: g.Name}, "sheet %q is hidden and was left out", g.Name).do(b, `to read it, use --sheet "%s"`, g.Name)
			}
			continue
		}
		if g.Fault != nil {
			n := *g.Fault
			if b.opt.Sheet == "" {
				n.Remedy += ", or name the sheet of the jars with --sheet"
			}
			b.notes.Add(n)
			continue
		}
		b.grids = append(b.grids, g)
	}
	if b.opt.Sheet != "" && len(b.grids) == 0 && b.notes.Err() == nil {
		return note.Fault("no-such-sheet", "there is no sheet %q%s", b.opt.Sheet, note.DidYouMean(b.opt.Sheet, names)).At(note.Place{File: name}).Do("the sheets are %s", strings.Join(names, ", "))
	}
	if b.opt.Range != "" {
		s, ok := grid.ParseRange(b.opt.Range)
		if !ok {
			return note.Fault("bad-range", "range %q is not understood", b.opt.Range).Do(`write it like "A5:F11"`)
		}
		if len(b.grids) > 1 {
			b.grids = b.grids[:1]
		}
		b.only = &s
	}
	b.tooManyTexts()
	for _, g := range b.grids {
		d := sheetDecimals(g)
		if d == decimalsUnknown && g.Separator != ',' {
			d = decimalsMixed // nothing settles what 1.250 is
		}
		switch b.opt.Decimal {
		case ',':
			d = decimalComma
		case '.':
			d = decimalPoint
		}
		b.decimals[g] = d
	}
	return nil
}

// tooManyTexts drops the sheets from the one on with which there are more
// different texts than can be looked at.
func (b *bench) tooManyTexts() {
	seen := map[string]bool{}
	for i, g := range b.grids {
		for _, row := range g.Rows {
			for _, c := range row {
				if c.Kind == textual && len(c.Text) <= longText {
					seen[c.Text] = true
				}
			}
			if len(seen) > grid.BenchTexts.Most() {
				b.notes.Add(grid.BenchTexts.Fault(note.Place{File: g.File, Sheet: g.Name}))
				b.grids = b.grids[:i]
				return
			}
		}
	}
}

// tooLong reports a table of doses with more rows than any bench sheet has, and
// says so. A long meter log is none.
func (b *bench) tooLong(t *table) bool {
	if len(t.rows) <= grid.BenchRows.Most() || !slices.ContainsFunc(t.cols, func(c column) bool { return c.head.doseLike() }) {
		return false
	}
	b.notes.Add(grid.BenchRows.Fault(t.v.placeAt(t.head, t.c0)))
	return true
}

// findTables looks for cross-tabs, then for tables in both directions on every
// sheet; tables of one result a line are rewritten with a line for each jar.
func (b *bench) findTables() {
	for _, g := range b.grids {
		upright := b.newFinder(view{g, false, b.only})
		var claimed []span
		for _, x := range upright.crosstabs() {
			long := b.unfold(g, x)
			claimed = append(claimed, long.box)
			b.addRewritten(g, long)
		}
		all := upright.tables()
		if len(g.Rows) <= 2000 {
			all = append(all, b.newFinder(view{g, true, b.only}).tables()...)
		}
		for _, t := range choose(outside(all, claimed)) {
			if b.tooLong(t) {
				continue
			}
			if long := b.unpivot(t); long != nil {
				b.addRewritten(g, long)
				continue
			}
			b.tables = append(b.tables, t)
		}
	}
}

func (b *bench) newFinder(v view) *finder {
	f := newFinder(v, b.decimals[v.area], b.opt.Columns)
	b.finders[v] = f
	return f
}

// outside keeps the tables that share no cell with the boxes.
func outside(all []*table, boxes []span) []*table {
	var out []*table
	for _, t := range all {
		free := true
		for _, s := range boxes {
			free = free && !s.Overlaps(t.box())
		}
		if free {
			out = append(out, t)
		}
	}
	return out
}

// addRewritten finds the table in a rewritten grid.
func (b *bench) addRewritten(from, g *area) {
	b.decimals[g] = b.decimals[from]
	b.tables = append(b.tables, choose(b.newFinder(view{area: g}).tables())...)
}

// leftOver speaks of columns of figures that touch a table and are in none.
func (b *bench) leftOver() {
	for _, t := range b.tables {
		if t.v.turned || t.v.origin != nil {
			continue
		}
		c := t.c1 + 1
		x := t.v.at(t.head, c)
		if x.Blank() || x.Kind != textual || b.finder(t).dataLike(x) || b.inTable(t.v.area, t.head, c) {
			continue
		}
		n := 0
		for _, r := range t.rows {
			if b.finder(t).dataLike(t.v.at(r, c)) {
				n++
			}
		}
		if n >= 2 {
			b.say(note.Caution, "column-beside", t.v.placeAt(t.head, c), "column %q stands beside the table and was not read", clip(x.Text)).do(b, "point at the whole table with --range")
		}
	}
}

func (b *bench) inTable(g *area, r, c int) bool {
	for _, t := range b.tables {
		if t.sheetOf() == g && t.box().Has(r, c) {
			return true
		}
	}
	return false
}

// emptyTable finds the headings of a table that nobody has filled in.
func (b *bench) emptyTable() (note.Place, bool) {
	for _, g := range b.grids {
		v := view{area: g}
		for r := range min(len(g.Rows), 500) {
			dose, reading, first := 0, 0, -1
			for c := range g.Rows[r] {
				x := v.at(r, c)
				if x.Kind != textual {
					continue
				}
				h := readHeading(x.Text)
				if !h.strong() || h.amount {
					continue
				}
				if first < 0 {
					first = c
				}
				if h.doseLike() {
					dose++
				}
				if h.reading != "" {
					reading++
				}
			}
			if dose > 0 && reading > 0 {
				return v.placeAt(r, first), true
			}
		}
	}
	return note.Place{}, false
}

// finish adds what concerns the file as a whole.
func (b *bench) finish(name string, series []jartest.Series) {
	for _, o := range b.opt.Columns {
		if !b.used[o.Header] {
			b.say(note.Error, "no-such-column", note.Place{File: name}, "--column names a heading %q that no table has", o.Header).do(b, "write the heading as it stands in the sheet, or the column's letter")
		}
	}
	if len(series) == 0 && b.notes.Err() == nil {
		if at, ok := b.emptyTable(); ok {
			b.say(note.Error, "no-numbers", at, "a table of jars begins here, but it holds no doses with readings yet").do(b, "fill it in and save it")
			return
		}
		b.say(note.Error, "no-jars", note.Place{File: name}, "no table of jars was found: a heading for the dose (such as \"Alum (mg/L)\") and one for a reading (such as \"Turbidity (NTU)\") are needed").
			do(b, `name the columns with --column "heading=dose mg/L" and --column "heading=turbidity", or point at the table with --sheet and --range`)
	}
}
