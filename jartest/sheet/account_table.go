package sheet

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

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
	asUnit:      {Used, "unit"},
	asQualifier: {Used, "qualifier"},
	asTarget:    {Used, "target"},
	asVolume:    {Used, "jar volume"},
	asStrength:  {Used, "stock strength"},
	asDilution:  {Used, "dilution"},
	asStart:     {Used, "start of the burette"},
	asIgnored:   {NotUnderstood, "column"},
}

// figured are the roles whose cells have to be numbers.
var figured = map[role]bool{asStock: true, asSetting: true, asBefore: true, asSD: true, asN: true, asVolume: true, asStrength: true, asStart: true}

// leftOut is what notes say of columns, rows and tables that are no part of a series.
var leftOut = map[string]string{
	"hidden-column": "hidden", "hidden-jar": "hidden", "summary-row": "summary", "jar-voided": "jar left out by its remark", "no-dose": "jar without a dose",
	"dash-dose": "jar without a dose", "dose-twice": "same dose again", "mean-left-out": "mean", "column-left-out": "left out by its heading",
	"settling-times": "earlier settling time", "adjuster": "acid or alkali of unknown strength", "example-left-out": "example",
	"record-table": "record, no jar test", "summary-table": "summary of tests", "repeated-series": "same jars again", "remark": "remark",
	"struck-out": "struck out", "statistic-left-out": "statistic of repeats",
}

// unused speaks of the columns and lines in or beside a table that were not
// understood and that no note speaks of, each once.
func (a *accountant) unused(t *layout.Table) note.List {
	var out note.List
	if t.View.Origin != nil { // a table rewritten is as wide as what was understood of it
		return nil
	}
	g, box := t.Area(), t.Box()
	box.R1 = min(box.R1, a.ends[g]-1)
	for r := max(0, box.R0-1); r <= box.R1+1; r++ {
		if c, texts := a.unusedLine(g, r, box); c >= 0 {
			out.Add(note.New(note.Info, "not-used", "the line %q was not understood and not used", clip(strings.Join(texts, " "))).At(g.Place(r, c)))
		}
	}
	for c := max(0, box.C0-1); c < max(g.Width(), box.C1+2); c++ {
		if r := a.unusedColumn(g, c, box); r >= 0 {
			out.Add(note.New(note.Info, "not-used", "the column at %q was not understood and not used", clip(g.At(r, c).Text)).At(g.Place(r, c)))
		}
	}
	return out
}

// silent gives a cell, and whether it was not understood and no note speaks of it.
func (a *accountant) silent(at note.Place) (*Cell, bool) {
	x := a.at(at)
	return x, x != nil && x.State == NotUnderstood && len(a.notes[keyAt(at)]) == 0
}

// unusedLine gives the first column and the texts of a row of which nothing was understood
// or is spoken of; -1 for others.
func (a *accountant) unusedLine(g *layout.Area, r int, box grid.Span) (first int, texts []string) {
	first = -1
	for c := box.C0; c <= box.C1; c++ {
		switch x, silent := a.silent(g.Place(r, c)); {
		case silent:
			texts = append(texts, x.Text)
			if first < 0 {
				first = c
			}
		case x != nil:
			return -1, nil
		}
	}
	return first, texts
}

// unusedColumn gives the first row of such a column, which may have a heading; -1 for others.
func (a *accountant) unusedColumn(g *layout.Area, c int, box grid.Span) int {
	first, n := -1, 0
	for r := box.R0; r <= box.R1; r++ {
		at := g.Place(r, c)
		x, silent := a.silent(at)
		head := x != nil && (x.What == emptyHeading || x.What == mereText) && len(a.notes[keyAt(at)]) == 0
		switch {
		case x == nil:
			continue
		case silent:
			n++
		case !head:
			return -1
		}
		if first < 0 {
			first = r
		}
	}
	if n == 0 {
		return -1
	}
	return first
}

// beside speaks of a table that gave nothing and stands on the rows of one that did.
func (a *accountant) beside(t *layout.Table, what string) note.List {
	var out note.List
	for _, o := range a.b.tables {
		x, y := t.Box(), o.Box()
		_, left := a.tableLeftOut(o, a.b.byTable[o])
		if o.Area() == t.Area() && !left && x.R0 <= y.R1 && y.R0 <= x.R1 {
			out.Add(note.New(note.Info, "not-used", "the numbers beside the table %s were set aside: %s", o.RangeName(), what).At(t.Area().Place(x.R0, x.C0)))
			break
		}
	}
	return out
}

// seriesOf names the series that a table gave.
func (a *accountant) seriesOf(t *layout.Table) []string {
	var out []string
	for _, s := range a.series {
		if s.Place.Sheet == t.View.Name && s.Place.Cell == t.RangeName() {
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

// rewritten accounts for the rectangle in which a table stood before it was rewritten
// with a line for each jar; the cells that went into the new table follow with it.
func (a *accountant) rewritten(t *layout.Table) {
	g, box := t.View.Origin, t.View.Area.Box
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
			case x.Kind == grid.Textual:
				a.mark(at, Used, "heading", "")
			default:
				a.mark(at, NotUnderstood, "", "")
			}
		}
	}
	if lines := t.View.Area.Lines; lines != nil {
		lines.Each(lines.First, lines.Last, func(r, c int, _ grid.Cell, at note.Place) {
			switch h := lines.Cols[c-lines.C0].Head; {
			case lines.View.RowHidden(r):
				a.mark(at, SetAside, "hidden", "")
			case h.Parameter:
				a.mark(at, Used, "parameter", "")
			case h.UnitColumn:
				a.mark(at, Used, "unit", "")
			case h.Qualifier:
				a.mark(at, Used, "qualifier", "")
			case h.Value:
				a.mark(at, NotUnderstood, Reading, "")
			case h.Date || h.Clock:
				a.mark(at, SetAside, "date or time", "")
			case h.Note || h.Replicate:
				a.mark(at, SetAside, "remark", "")
			default:
				a.mark(at, SetAside, "said again", "")
			}
		})
	}
}

// table accounts for the cells of one table by the roles of its columns and what
// became of its rows.
func (a *accountant) table(t *layout.Table) {
	fs := a.b.byTable[t]
	names := a.seriesOf(t)
	what, left := a.tableLeftOut(t, fs)
	a.rows = map[int]fate{}
	for _, r := range t.Rows {
		if r <= a.lastOf(t) && a.listed(t, r) {
			a.rows[r] = a.fateOf(t, fs, r)
		}
	}
	a.once = nil
	t.Each(t.HeadTop, a.lastOf(t), func(r, c int, x grid.Cell, at note.Place) {
		cell := a.at(at)
		if cell == nil {
			return // beyond the most that are accounted for
		}
		cell.table = true
		f := fs[c-t.C0]
		row, jar := a.rows[r]
		switch {
		case left:
			a.mark(at, SetAside, what, "")
		case a.given[keyAt(at)] != nil: // its series says what it is
		case jar:
			a.body(t, row, f, x, at)
		case r < t.First && !t.SectionRow[r]:
			a.heading(t, fs, r, f, x, at, names)
		default:
			a.line(t, r, x, at, names)
		}
	})
}

// tableLeftOut gives the reason why no number of a table is in a series.
func (a *accountant) tableLeftOut(t *layout.Table, fs []field) (string, bool) {
	given, what := len(a.seriesOf(t)) > 0, ""
	t.Each(t.HeadTop, a.lastOf(t), func(r, c int, _ grid.Cell, at note.Place) {
		given = given || a.given[keyAt(at)] != nil
		for _, n := range a.notes[keyAt(at)] {
			switch n.Code {
			case "example-left-out", "record-table", "summary-table":
				what = leftOut[n.Code]
			}
		}
	})
	if w, ok := a.said(note.Place{File: t.View.File, Sheet: t.View.Name, Cell: t.RangeName()}); ok {
		what = w
	}
	switch {
	case given:
		return "", false
	case what != "":
		return what, true
	case !slices.ContainsFunc(fs, func(f field) bool { return f.role == asDose || f.role == asStock }):
		return withoutDoses, true
	case !slices.ContainsFunc(fs, func(f field) bool { return f.role == asReading }):
		return withoutReadings, true
	}
	return "", false
}

// heading accounts for a cell of the header rows.
func (a *accountant) heading(t *layout.Table, fs []field, r int, f field, x grid.Cell, at note.Place, names []string) {
	if had := a.at(at); t.View.Origin != nil && had.What == "heading:" && !strings.Contains(x.Text, had.Text) {
		return // of a grid, what the corner says is kept
	}
	if _, ok := words.OnlyUnit(x.Text); ok && r > t.HeadTop {
		a.mark(at, Used, "unit", "")
		return
	}
	if r < t.Head {
		h := layout.ReadHeading(x.Text)
		part := slices.ContainsFunc(fs, func(f field) bool { return layout.SameText(f.part, x.Text) || layout.SameText(f.chem, x.Text) })
		state := NotUnderstood
		if h.Strong() || h.Stage != "" || h.Timed || h.Raw || part {
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
func (a *accountant) column(t *layout.Table, f field) (State, string, string) {
	u, h := roleUse[f.role], f.Head
	switch {
	case a.b.columnOfBases(t, f):
		if slices.ContainsFunc(a.notes[keyAt(f.Place)], func(n note.Note) bool { return n.Code == "basis-column" }) {
			return NotUnderstood, "basis", ""
		}
		return Used, "basis", ""
	case f.role == asReading && (f.key == "" || f.numbers == 0):
		return SetAside, "no numbers", ""
	case f.role == asNote && (h.Date || h.Clock):
		return SetAside, "date or time", ""
	case f.role == asNote && h.Operator:
		return SetAside, "operator", ""
	case f.role == asSetting:
		return u.state, u.what, strings.ReplaceAll(string(f.key), "_", " ")
	case f.role == asBefore:
		return u.state, u.what, h.Reading.Info().Label
	case f.role == asIgnored:
		state, what := a.ignored(t, f)
		return state, what, ""
	case a.lacksStock(f):
		return SetAside, u.what, ""
	}
	return u.state, u.what, ""
}

// StockLacks are the codes of the errors of columns whose doses are understood but for the stock or the jar, which are told once for the
// whole column and are to be stated.
var StockLacks = []string{"stock-data-missing", "jar-volume-missing"}

// lacksStock reports a column of doses that only waits for its stock or its jar.
func (a *accountant) lacksStock(f field) bool {
	return slices.ContainsFunc(a.notes[keyAt(f.Place)], func(n note.Note) bool { return slices.Contains(StockLacks, n.Code) })
}

// ignored says what the cells of a column without a role are.
func (a *accountant) ignored(t *layout.Table, f field) (State, string) {
	h := f.Head
	switch {
	case f.told:
		return SetAside, "left out, as you said"
	case f.numbers+f.texts == 0:
		return SetAside, "nothing below"
	case ownLayout(t) && len(f.Parts) == 1 && (f.Parts[0] == ownPlanned || f.Parts[0] == ownAdded):
		return Used, map[string]string{ownPlanned: "planned dose", ownAdded: "stock added"}[f.Parts[0]]
	case h.Stat != "":
		return SetAside, "worked out of the readings"
	case h.Clock || h.Unit.Kind == words.Minutes:
		return Used, "settling time"
	}
	if w, ok := a.said(f.Place); ok {
		return SetAside, w
	}
	return roleUse[asIgnored].state, roleUse[asIgnored].what
}

// line accounts for a cell of a row between the jars that is none: the name of the
// jars under it, a heading once more, a remark.
func (a *accountant) line(t *layout.Table, r int, x grid.Cell, at note.Place, names []string) {
	_, remark := a.said(at)
	section := t.SectionRow[r] || t.Sections[r+1] == strings.TrimSpace(x.Text)
	switch {
	case r == t.UnitRow && t.UnitRow > 0:
		a.mark(at, Used, "unit", "")
	case remark:
		a.mark(at, SetAside, "remark", "")
	case section:
		a.mark(at, Used, "name of the jars below", "", names...)
	case slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return t.View.At(t.Head, c.C).Text == x.Text }):
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
func (a *accountant) body(t *layout.Table, row fate, f field, x grid.Cell, at note.Place) {
	state, what, of := a.column(t, f)
	ofJar := of + ", " + row.jar
	open := state == NotUnderstood
	plain := what == "basis" || f.role == asIgnored || f.role == asNote || f.role == asMean || state == SetAside
	switch {
	case row.out:
		a.bodyOut(row, f, at, state, what, of)
	case figured[f.role] && !a.figure(t, x), f.role == asUnit && !isUnit(x):
		a.mark(at, NotUnderstood, what, ofJar)
	case f.role == asJar:
		a.mark(at, state, what, "", row.series...)
	case plain:
		a.mark(at, state, what, of)
	case open && a.again(t, row, f, x):
		a.mark(at, SetAside, "said again", "")
	case open && a.nothing(t, x):
		a.mark(at, SetAside, "no "+what, ofJar)
	case t.View.Origin != nil && (strings.HasPrefix(row.jar, "line ") || a.at(at).What == what && a.at(at).Of != ofJar): // along the side of a grid
		a.mark(at, state, what, of+", several jars", row.series...)
	default:
		a.mark(at, state, what, ofJar, row.series...)
	}
}

// bodyOut accounts for a cell in a row that gave no jar.
func (a *accountant) bodyOut(row fate, f field, at note.Place, state State, what, of string) {
	switch {
	case row.why != "":
		a.mark(at, SetAside, row.why, "")
	case (f.role == asDose || f.role == asStock) && state == SetAside:
		a.mark(at, state, what, of+", "+row.jar)
	case f.role == asDose || f.role == asStock:
		a.mark(at, NotUnderstood, what, of+", "+row.jar)
	case f.role == asIgnored && state == NotUnderstood:
		a.mark(at, state, what, of)
	default:
		a.mark(at, SetAside, what, "of a jar left out")
	}
}

// again reports a number that the same column gives in another row of the same jar.
func (a *accountant) again(t *layout.Table, row fate, f field, x grid.Cell) bool {
	if a.once == nil {
		a.once = map[[3]string]bool{}
		t.Each(t.First, a.lastOf(t), func(r, c int, x grid.Cell, at note.Place) {
			if a.given[keyAt(at)] != nil {
				a.once[[3]string{grid.ColumnName(c), a.rows[r].jar, x.Text}] = true
			}
		})
	}
	return a.once[[3]string{grid.ColumnName(f.C), row.jar, x.Text}]
}

// lastOf is the last row of a table that can have cells that are accounted for.
func (a *accountant) lastOf(t *layout.Table) int {
	if t.View.Turned || t.View.Origin != nil {
		return t.Last
	}
	return min(t.Last, a.ends[t.View.Area]-1)
}

// listed reports a row with cells that are accounted for.
func (a *accountant) listed(t *layout.Table, r int) bool {
	return slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return a.at(t.View.PlaceAt(r, c.C)) != nil })
}

func isUnit(x grid.Cell) bool {
	_, ok := words.OnlyUnit(x.Text)
	return ok
}

// figure reports a cell that holds a number, or says that there is none.
func (a *accountant) figure(t *layout.Table, x grid.Cell) bool {
	return layout.ParseValue(x, a.b.dec(t)).OK() || a.nothing(t, x)
}

// nothing reports a cell that says that there is no number.
func (a *accountant) nothing(t *layout.Table, x grid.Cell) bool {
	v := layout.ParseValue(x, a.b.dec(t))
	return v.State == layout.Missing || v.State == layout.Zero || v.Dash
}

// fateOf says whether a row gave a jar, and why not where that is known: what a note
// says of it, or that it lacks what makes a jar.
func (a *accountant) fateOf(t *layout.Table, fs []field, r int) fate {
	out := fate{jar: "line " + strings.TrimLeft(t.View.PlaceAt(r, t.C0).Cell, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), out: true}
	name := a.b.label(t, r, t.C0)
	doses, readings := 0, 0
	for _, f := range fs {
		at := t.View.PlaceAt(r, f.C)
		if f.role == asJar {
			name = a.b.label(t, r, f.C)
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
		if x := t.View.At(r, f.C); x.Blank() || a.nothing(t, x) {
			continue
		}
		switch f.role {
		case asDose, asStock:
			doses++
		case asReading, asBefore, asMean:
			readings++
		}
	}
	if !out.out || out.why != "" {
		return out
	}
	switch h := layout.ReadHeading(name); {
	case h.Summary || h.Stat != "":
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
func (a *accountant) timed(t *layout.Table, fs []field) bool {
	return slices.ContainsFunc(fs, func(f field) bool {
		w, ok := a.said(f.Place)
		return ok && f.role == asIgnored && w == leftOut["settling-times"]
	})
}
