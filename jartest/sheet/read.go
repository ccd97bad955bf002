// Package sheet reads bench sheets: spreadsheets and delimited text in whatever
// layout people made them. The way is file → grid of cells → tables → columns
// with roles → series of jars. Every number keeps its cell; what was inferred is
// a note, what is doubtful a caution, what cannot be an error, each with its cell.
package sheet

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Options are what the user says about a sheet; the zero value leaves all to the
// reader.
type Options struct {
	Sheet    string          // read only this sheet
	Range    string          // read only these cells, "A5:F11"
	Chemical string          // the chemical of a dose column that does not name one
	Basis    quantity.Basis  // of doses that the sheet says none of
	Bases    []ChemicalBasis // of a chemical by its name, whatever the sheet says
	// Counts is the same of a site, by the sheet's name of the chemical; nil without one.
	Counts    func(chemical string) SiteBasis
	Stock     quantity.Concentration // strength of the stock behind a column of volumes
	Density   quantity.Density       // of a neat product dosed by volume
	JarVolume quantity.Volume
	Columns   []Override
	Decimal   rune // '.' or ',' for numbers typed as text; 0 to find out
	Hidden    bool // take hidden rows, columns and sheets too
	Account   bool // say of every cell what it was taken for
}

// Override is what the user says a column holds.
type Override = layout.Override

// Result is what was understood of one file.
type Result struct {
	Series []jartest.Series
	Notes  note.List
	// Account is what the cells were taken for, where the options ask for it.
	Account Account
}

// bench is one reading in progress.
type bench struct {
	opt       Options
	grids     []*layout.Area
	decimals  map[*layout.Area]layout.Decimals
	finders   map[layout.View]*layout.Finder
	facts     []fact
	taken     map[taking][]*layout.Table
	disagree  map[note.Place]bool    // facts on the chemical of which none was taken
	labels    map[labelled]string    // the first of a column
	rawTables map[*layout.Table]bool // of nothing but the raw water and what it is held against
	strange   map[note.Place]string  // headings taken for a chemical that is not known
	notes     note.List
	used      map[string]bool // overrides that met a column
	said      []Override      // what finds tables: the overrides, or the headings of the columns that they name by letters
	named     bool            // --chemical named one
	byTable   map[*layout.Table][]field
	tables    []*layout.Table
	only      *grid.Span // --range
	emptied   []emptied
	asides    map[asideKey]aside
	indexOf   map[saidOnce]int // counted from 1, of the first indexed notes
	indexed   int
}

// saidOnce is what no two notes share.
type saidOnce struct {
	code, message string
	at            note.Place
}

func onceOf(n note.Note) saidOnce { return saidOnce{n.Code, n.Message, n.Place} }

// said lets a note just added be completed.
type said struct {
	b *bench
	i int
}

// say adds a note.
func (b *bench) say(l note.Level, code string, at note.Place, format string, args ...any) said {
	return b.add(note.New(l, code, format, args...).At(at))
}

// add adds a note that has not been said yet.
func (b *bench) add(n note.Note) said {
	if len(b.notes) < b.indexed || b.indexOf == nil { // some were taken back
		b.indexed, b.indexOf = 0, map[saidOnce]int{}
	}
	for ; b.indexed < len(b.notes); b.indexed++ {
		if k := onceOf(b.notes[b.indexed]); b.indexOf[k] == 0 {
			b.indexOf[k] = b.indexed + 1
		}
	}
	if i := b.indexOf[onceOf(n)]; i > 0 {
		return said{b, i - 1}
	}
	b.notes.Add(n)
	return said{b, len(b.notes) - 1}
}

// do adds the remedy.
func (s said) do(_ *bench, format string, args ...any) {
	s.b.notes[s.i].Remedy = fmt.Sprintf(format, args...)
}

func (b *bench) dec(t *layout.Table) layout.Decimals { return b.decimals[t.View.Area] }

func (b *bench) finder(t *layout.Table) *layout.Finder { return b.finders[t.View] }

// Read understands one file. The error is for a file that cannot be read at all;
// what is wrong inside it stands in the notes, at error level where a number
// could not be taken.
func Read(name string, r io.Reader, opt Options) (Result, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return Result{}, err
	}
	grids, notes, err := layout.Open(name, data)
	if err != nil {
		return Result{}, err
	}
	b := &bench{opt: opt, notes: notes, decimals: map[*layout.Area]layout.Decimals{}, finders: map[layout.View]*layout.Finder{}, used: map[string]bool{}, byTable: map[*layout.Table][]field{},
		taken: map[taking][]*layout.Table{}, disagree: map[note.Place]bool{}, asides: map[asideKey]aside{}, rawTables: map[*layout.Table]bool{}}
	all := grids
	grids = b.settings(grids)
	if err := b.selectGrids(name, grids); err != nil {
		return Result{}, err
	}
	b.findTables()
	b.findLettered()
	b.leftOver()
	b.strikeOut()
	b.measures()
	for _, t := range b.tables {
		b.rawBeside(t)
	}
	for _, g := range b.grids {
		b.readFacts(g, b.tables)
	}
	for _, t := range b.tables {
		b.groupFacts(t)
	}
	b.otherBuckets()
	b.rawInHeadings()
	b.jarsInHeadings()
	b.valuesBelow()
	series := b.waters(b.assemble())
	b.tablesLost(series)
	b.dosesApart(series)
	b.otherComments()
	b.runsOn(series)
	series = b.dropCopies(series)
	b.targetsUnknown(series)
	b.conditions(series)
	b.misnamed(series)
	b.formsNamed(series)
	b.undosed(series)
	b.oneDose(series)
	b.rawLeftOut(series)
	b.faults()
	b.hiddenSpeaks(all, series)
	b.belowSpeaks(all, series)
	b.leftBehind(all, series)
	b.finish(name, series)
	out := Result{Series: series, Notes: b.notes}
	if opt.Account {
		b.refill()
		out.Account = b.account(all, series)
	}
	return out, nil
}

// selectGrids keeps the sheets and cells that are asked for, and leaves hidden ones out.
func (b *bench) selectGrids(name string, grids []*layout.Area) error {
	b.said = b.opt.Columns
	var names []string
	for _, g := range grids {
		names = append(names, g.Name)
		if b.wanted(name, g) {
			b.grids = append(b.grids, g)
		}
	}
	if b.opt.Sheet != "" && len(b.grids) == 0 && b.notes.Err() == nil {
		return note.Fault("no-such-sheet", "there is no sheet %q%s", b.opt.Sheet, note.DidYouMean(b.opt.Sheet, names)).At(note.Place{File: name}).Do("the sheets are %s", strings.Join(names, ", "))
	}
	if b.opt.Range != "" {
		s, ok := grid.ParseRange(b.opt.Range)
		if !ok {
			return note.Fault("bad-range", "range %q is not understood", b.opt.Range).Do(`write it like "A5:F11"`)
		}
		b.grids, b.only = b.grids[:min(1, len(b.grids))], &s
	}
	b.tooMuch()
	for _, g := range b.grids {
		if b.opt.Hidden {
			g.Unhide()
		}
		b.decimals[g] = b.decimalsOf(g)
	}
	return nil
}

// wanted reports a sheet that is to be read; why another is not is said where nobody
// asked for that.
func (b *bench) wanted(file string, g *layout.Area) bool {
	asked := b.opt.Sheet != ""
	switch {
	case asked && !layout.SameText(g.Name, b.opt.Sheet):
	case !asked && g.Hidden && !b.opt.Hidden:
		if len(g.Rows) > 0 && !calculatorPage(g) {
			b.say(note.Caution, "hidden-sheet", note.Place{File: file, Sheet: g.Name}, "sheet %q is hidden and was left out", g.Name).do(b, `to read it, use --hidden, or --sheet "%s"`, g.Name)
		}
	case g.Fault != nil:
		n := *g.Fault
		if !asked {
			n.Remedy += ", or name the sheet of the jars with --sheet"
		}
		b.notes.Add(n)
	default:
		return true
	}
	return false
}

// decimalsOf says how a sheet writes fractions: as the user states, else as its numbers
// or their order show.
func (b *bench) decimalsOf(g *layout.Area) layout.Decimals {
	switch b.opt.Decimal {
	case ',':
		return layout.DecimalComma
	case '.':
		return layout.DecimalPoint
	}
	d := layout.DecimalsOf(g)
	if d == layout.DecimalsUnknown && b.opt.Decimal == 0 {
		d = b.decimalsByOrder(g)
	}
	if b.marksOpen(g, d) && d == layout.DecimalsUnknown {
		return layout.DecimalsMixed
	}
	if d == layout.DecimalsUnknown && g.Separator != ',' {
		return layout.DecimalsMixed // nothing settles what 1.250 is
	}
	return d
}

// marksOpen takes the marks for thousands that only so fit the numbers above and below
// them, and reports a column that leaves open what its marks part.
func (b *bench) marksOpen(g *layout.Area, d layout.Decimals) bool {
	parted, open := layout.MarksInColumns(g, d)
	for _, t := range parted {
		b.say(note.Caution, "thousands-by-column", g.Place(t.R, t.C), "%q is read as %s: only so does it fit the numbers above and below it", g.Rows[t.R][t.C].Text, t.Text).
			do(b, "write it without a mark, or state how fractions are written with --decimal")
		g.Part(t)
	}
	return open
}

// decimalsByOrder lets the order of a column say what its commas part.
func (b *bench) decimalsByOrder(g *layout.Area) layout.Decimals {
	d, r, c := layout.DecimalsByOrder(g)
	parts := map[layout.Decimals]string{layout.DecimalPoint: "thousands", layout.DecimalComma: "fractions"}[d]
	if parts != "" {
		b.say(note.Info, "decimals-by-order", g.Place(r, c), "the commas are taken to part %s: only so do the numbers of this column rise or fall", parts)
	}
	return d
}

// tooMuch drops the sheets with which there are more cells of text or different texts than can
// be looked at.
func (b *bench) tooMuch() {
	seen, letters, cells := map[string]bool{}, 0, 0
	b.grids = slices.DeleteFunc(b.grids, func(g *layout.Area) bool {
		fresh, own, worded := map[string]bool{}, 0, 0
		for _, row := range g.Rows {
			for _, c := range row {
				if c.Kind != grid.Textual || len(c.Text) > layout.LongText || strings.Trim(c.Text, "0123456789.,-") == "" {
					continue
				}
				if worded++; !seen[c.Text] && !fresh[c.Text] {
					fresh[c.Text] = true
					own += len(c.Text)
				}
			}
			switch at := (note.Place{File: g.File, Sheet: g.Name}); {
			case letters+own > grid.BenchTexts.Most():
				b.notes.Add(grid.BenchTexts.Fault(at))
			case cells+worded > grid.BenchCells.Most():
				b.notes.Add(grid.BenchCells.Fault(at))
			default:
				continue
			}
			return true
		}
		letters, cells = letters+own, cells+worded
		maps.Copy(seen, fresh)
		return false
	})
}

// tooLong reports a table of doses with more rows than any bench sheet has, and
// says so. A long meter log is none.
func (b *bench) tooLong(t *layout.Table) bool {
	if len(t.Rows) <= grid.BenchRows.Most() || !slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return c.Head.DoseLike() }) {
		return false
	}
	b.notes.Add(grid.BenchRows.Fault(t.View.PlaceAt(t.Head, t.C0)))
	return true
}

// findTables looks for cross-tabs, then for tables in both directions on every
// sheet; tables of one result a line are rewritten with a line for each jar.
func (b *bench) findTables() {
	for _, g := range b.grids {
		upright := b.newFinder(layout.View{Area: g, Only: b.only})
		var claimed []grid.Span
		for _, x := range upright.Crosstabs() {
			long, notes := upright.Unfold(x)
			for _, n := range notes {
				b.add(n)
			}
			claimed = append(claimed, long.Box)
			b.addRewritten(g, long)
		}
		claim := func(found []*layout.Area, notes note.List) {
			for _, n := range notes {
				b.add(n)
			}
			for _, long := range found {
				claimed = append(claimed, long.Box)
				b.addRewritten(g, long)
			}
		}
		before := len(claimed)
		claim(upright.Jotted())
		prose := g.Loose && len(claimed) > before // its other lines are torn sentences
		claim(upright.Listed(claimed))
		all := upright.Tables()
		if len(g.Rows) <= layout.MostLines {
			all = append(all, b.newFinder(layout.View{Area: g, Turned: true, Only: b.only}).Tables()...)
		}
		chosen := layout.Choose(layout.Outside(all, claimed))
		further := map[*layout.Table][]*layout.Table{}
		for _, t := range chosen {
			further[t] = b.finder(t).Further(t, chosen)
		}
		for _, t := range chosen {
			if b.tooLong(t) || oneOfRawWater(t) || overlaps(t, further) || prose && !b.holdsFigures(t) {
				continue
			}
			if long := layout.Unpivot(t); long != nil {
				b.addRewritten(g, long)
				continue
			}
			b.addParts(t, further[t])
		}
		if !slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.Area() == g && b.holdsFigures(t) }) {
			claim(upright.JottedBare())
		}
		b.unsearched(g)
	}
}

// addParts adds a table, parted where lines between its jars state what is of some of them, and the
// jars below it that have its headings.
func (b *bench) addParts(t *layout.Table, further []*layout.Table) {
	f := b.finder(t)
	b.tables = append(b.tables, f.Parts(t)...)
	for _, next := range further {
		b.tables = append(b.tables, f.Parts(next)...)
		b.say(note.Info, "headings-above", t.View.PlaceAt(next.First, next.C0), "the jars from row %d on have no headings of their own; those in row %d are taken to stand over them too", next.View.Line(next.First), next.View.Line(next.Head))
	}
}

// overlaps reports a table that shares cells with jars below others.
func overlaps(t *layout.Table, further map[*layout.Table][]*layout.Table) bool {
	for _, jars := range further {
		if slices.ContainsFunc(jars, func(o *layout.Table) bool { return o.Box().Overlaps(t.Box()) }) {
			return true
		}
	}
	return false
}

// holdsFigures reports a table with a row of two numbers.
func (b *bench) holdsFigures(t *layout.Table) bool {
	return slices.ContainsFunc(t.Rows, func(r int) bool {
		n := 0
		for c := t.C0; c <= t.C1; c++ {
			if v := layout.ParseValue(t.View.At(r, c), b.dec(t)); v.OK() {
				n++
			}
		}
		return n > 1
	})
}

// unsearched speaks of rows beyond those that are looked through for tables that lie across
// and for jars in lines, where no table holds them.
func (b *bench) unsearched(g *layout.Area) {
	if len(g.Rows) <= layout.MostLines {
		return
	}
	held := make([]bool, len(g.Rows))
	for _, t := range b.tables {
		if box := t.Box(); t.Area() == g {
			for r := box.R0; r <= min(box.R1, len(held)-1); r++ {
				held[r] = true
			}
		}
	}
	for r := layout.MostLines; r < len(g.Rows); r++ {
		for c, x := range g.Rows[r] {
			if !x.Blank() && !held[r] {
				b.say(note.Caution, "rows-not-searched", g.Place(r, c), "only the first %d rows were looked through for jars that stand across the sheet or in lines of text", layout.MostLines).
					do(b, "put the jar test on a sheet of its own")
				return
			}
		}
	}
}

func (b *bench) newFinder(v layout.View) *layout.Finder {
	f := layout.NewFinder(v, b.decimals[v.Area], b.said)
	b.finders[v] = f
	return f
}

// addRewritten finds the table in a rewritten grid.
func (b *bench) addRewritten(from, g *layout.Area) {
	b.decimals[g] = b.decimals[from]
	b.tables = append(b.tables, layout.Choose(b.newFinder(layout.View{Area: g}).Tables())...)
}

// leftOver speaks of columns of figures beside a table that are in none: with a heading
// that touches it, or with none up to three columns away.
func (b *bench) leftOver() {
	for _, t := range b.tables {
		if t.View.Turned || t.View.Origin != nil {
			continue
		}
		for _, c := range [...]int{t.C1 + 1, t.C1 + 2, t.C1 + 3, t.C0 - 1, t.C0 - 2, t.C0 - 3} {
			n, at := b.figuresBeside(t, c)
			if n < 2 || b.inTable(t.View.Area, t.Head, c) || b.inTable(t.View.Area, t.First, c) {
				continue
			}
			switch x := t.View.At(t.Head, c); {
			case x.Kind == grid.Textual && idleHeading(x.Text): // numbers of photos, of papers
			case c == t.C1+1 && x.Kind == grid.Textual && !b.finder(t).DataLike(x):
				b.say(note.Caution, "column-beside", t.View.PlaceAt(t.Head, c), "column %q stands beside the table and was not read", clip(x.Text)).do(b, "point at the whole table with --range")
			case (x.Blank() || b.finder(t).DataLike(x)) && 2*n >= len(t.Rows):
				b.say(note.Caution, "column-beside", at, "the numbers from %s down stand beside the table %s without a heading, and were not read", at.Cell, t.RangeName()).
					do(b, "write a heading over them, next to the table, or take them away")
			}
		}
	}
}

// figuresBeside counts the figures in a column on the rows of a table, and gives the place of
// the first. One with a text left of it is a fact.
func (b *bench) figuresBeside(t *layout.Table, c int) (n int, first note.Place) {
	for _, r := range t.Rows {
		if c < 0 || !b.finder(t).DataLike(t.View.At(r, c)) {
			continue
		}
		if left := t.View.At(r, max(0, c-1)); (c-1 > t.C1 || c-1 < t.C0) && left.Kind == grid.Textual && !b.finder(t).DataLike(left) {
			continue
		}
		if n == 0 {
			first = t.View.PlaceAt(r, c)
		}
		n++
	}
	return n, first
}

func (b *bench) inTable(g *layout.Area, r, c int) bool {
	for _, t := range b.tables {
		if t.Area() == g && t.Box().Has(r, c) {
			return true
		}
	}
	return false
}

// emptyTable finds the headings of a table that nobody has filled in.
func (b *bench) emptyTable() (note.Place, bool) {
	for _, g := range b.grids {
		v := layout.View{Area: g}
		for r := range min(len(g.Rows), 500) {
			dose, reading, first := 0, 0, -1
			for c := range g.Rows[r] {
				x := v.At(r, c)
				if x.Kind != grid.Textual {
					continue
				}
				h := layout.ReadHeading(x.Text)
				if !h.Strong() || h.Amount {
					continue
				}
				if first < 0 {
					first = c
				}
				if h.DoseLike() {
					dose++
				}
				if h.Reading != "" {
					reading++
				}
			}
			if dose > 0 && reading > 0 {
				return v.PlaceAt(r, first), true
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
	if b.opt.Chemical != "" && !b.named && len(series) > 0 {
		b.say(note.Caution, "chemical-unused", note.Place{File: name}, "--chemical %q changed nothing: it is for one column of doses that names no chemical", b.opt.Chemical).
			do(b, `leave it out, or say what a column holds with --column "heading=%s mg/L"`, b.opt.Chemical)
	}
	if len(series) == 0 && b.notes.Err() == nil {
		if b.readingsSetAside() {
			return
		}
		if at, ok := b.emptyTable(); ok {
			b.say(note.Error, "no-numbers", at, "a table of jars begins here, but it holds no doses with readings yet").do(b, "fill it in and save it")
			return
		}
		b.say(note.Error, "no-jars", note.Place{File: name}, "no table of jars was found: a heading for the dose (such as \"Alum (mg/L)\") and one for a reading (such as \"Turbidity (NTU)\") are needed").
			do(b, `name the columns with --column "heading=dose mg/L" and --column "heading=turbidity", or point at the table with --sheet and --range`)
	}
}
