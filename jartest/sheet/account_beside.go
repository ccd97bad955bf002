package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// factUse names what a fact is.
var factUse = map[factKind]string{
	factStock: "stock strength", factVolume: "jar volume", factDensity: "density", factPerMl: "dose of each mL of stock", factFixed: "dose of every jar",
	factChemical: "chemical", factRaw: Raw, factLimit: "detection limit", factOverLimit: "end of the meter's range", factN: "number of readings",
	factTarget: "target", factRecycle: "recycle", factNeat: "product as delivered", factDash: "what a dash means", factPH: "pH of all jars",
	factBasis: "basis", factName: "name of the test", factDate: "date", factDilution: "dilution", factHolds: "strength of the product",
	factDoseUnit: "unit of the doses", factProtocol: "stirring and sampling", factWhite: "reading of the white water",
	factMeasure: "volume of what is counted", factDrop: "volume of a drop",
	factCorrected: "readings corrected for white water", factMaybeRecycle: "white water, not plainly told",
}

// asides are the words by which a text outside the tables is set aside.
var asides = []struct {
	holds func(layout.Heading) bool
	what  string
}{
	{func(h layout.Heading) bool { return h.Next || h.Chosen }, "advice"},
	{func(h layout.Heading) bool { return h.Speed }, "mixing"},
	{func(h layout.Heading) bool { return h.Operator }, "operator"},
	{func(h layout.Heading) bool { return h.Date }, "date"},
	{func(h layout.Heading) bool { return h.Clock }, "time"},
	{func(h layout.Heading) bool { return h.Note }, "remark"},
	{func(h layout.Heading) bool { return h.Summary || h.Stat != "" }, "summary"},
}

// taking is a fact that a table asked for.
type taking struct {
	kind factKind
	at   note.Place
}

// took remembers that a table was told a fact.
func (b *bench) took(t *layout.Table, x fact) {
	k := taking{x.kind, x.at}
	if b.taken == nil {
		b.taken = map[taking][]*layout.Table{}
	}
	if !slices.Contains(b.taken[k], t) {
		b.taken[k] = append(b.taken[k], t)
	}
}

// outside accounts for the cells of a sheet that stand in no table: facts with their
// values and units, titles, remarks.
func (a *accountant) outside(g *layout.Area) {
	if state, what := a.sheetAs(g); what != "" {
		a.whole(g, state, what)
		return
	}
	facts := map[string][]fact{}
	for _, x := range a.b.facts {
		if x.g == g {
			facts[x.at.Cell] = append(facts[x.at.Cell], x)
		}
	}
	v := layout.View{Area: g}
	for r, row := range g.Rows {
		for c := range row {
			at := g.Place(r, c)
			cell := a.at(at)
			told := facts[at.Cell]
			switch {
			case cell == nil || cell.What != "" || a.b.inTable(g, r, c):
			case a.b.only != nil && !a.b.only.Has(r, c):
				a.mark(at, SetAside, "outside the range", "")
			case a.title(at):
			case len(told) > 0:
				a.facts(at, told)
				if under := slices.ContainsFunc(told, func(f fact) bool { return f.under && f.keyed }); under {
					a.later = append(a.later, func() { a.share(v, cell, r+1, c) })
				} else {
					a.value(v, r, c, slices.ContainsFunc(told, func(f fact) bool { return f.keyed || f.kind == factDilution }))
				}
			default:
				a.loose(v, r, c)
			}
		}
	}
}

// sheetAs says what all cells of a sheet are; nothing where they are looked at one by one.
func (a *accountant) sheetAs(g *layout.Area) (State, string) {
	asked := slices.Contains(a.b.grids, g)
	switch {
	case strings.EqualFold(strings.TrimSpace(g.Name), settingsSheet):
		return Used, "setting"
	case !asked && g.Hidden:
		return SetAside, "hidden sheet"
	case !asked:
		return SetAside, "sheet not asked for"
	case calculatorPage(g):
		return SetAside, "calculation"
	}
	return SetAside, ""
}

// loose accounts for a cell beside the tables that told no fact.
func (a *accountant) loose(v layout.View, r, c int) {
	x, at, next := v.At(r, c), v.Place(r, c), v.At(r, c+1)
	text := func(x grid.Cell) bool { return x.Kind == grid.Textual && !layout.IsData(x.Text, a.b.decimals[v.Area]) }
	switch dated := x.Date() || x.Clock(); {
	case text(x):
		a.text(at, x)
		a.value(v, r, c, true)
	case dated && x.Kind != grid.Textual:
		a.mark(at, SetAside, "date", "")
	case x.Kind != grid.Numeric && x.Kind != grid.Textual:
	case text(next) && !isUnit(next) && !a.b.inTable(v.Area, r, c+1):
		a.mark(at, SetAside, "item number", "")
	}
}

// whole marks all cells of a sheet.
func (a *accountant) whole(g *layout.Area, state State, what string) {
	for r, row := range g.Rows {
		for c := range row {
			a.mark(g.Place(r, c), state, what, "")
		}
	}
}

// title marks the line above a table.
func (a *accountant) title(at note.Place) bool {
	for _, t := range a.b.tables {
		if t.Title == "" || t.TitleAt != at || slices.ContainsFunc(a.b.facts, func(x fact) bool { return x.at == at }) {
			continue
		}
		a.mark(at, SetAside, "title", "")
		if names := a.seriesOf(t); slices.ContainsFunc(names, func(s string) bool { return strings.Contains(s, t.Title) }) {
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
var caption = words.NewPattern(`^(\p{L}+\.? ?\d{1,2}) ?[:.)–-] ?\D+$`)

// text marks a text that told no fact.
func (a *accountant) text(at note.Place, x grid.Cell) {
	h, f := layout.ReadHeading(x.Text), words.Fold(x.Text)
	if h.Speed || strings.Count(f, " ") < 8 { // in a long sentence one word settles little
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
	case layout.IsDate(f):
		what = "date"
	case m != nil && !layout.ReadHeading(m[1]).Bears():
		what = "title"
	case strings.ContainsAny(x.Text, "×÷") && len(words.Amounts(x.Text)) == 0:
		what = "working"
	case h.Strong() && (!digits || h.Reading != "" && h.Index != ""):
		what = emptyHeading
	case !digits || !h.Bears():
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

// value lets the value of a name, and the unit right of it, share what the name is.
func (a *accountant) value(v layout.View, r, c int, keyed bool) {
	inside := func(r, c int) bool { return a.b.inTable(v.Area, r, c) }
	k, ok := layout.Beside(v, r, c)
	down := r
	switch {
	case !keyed || colonValue(v.At(r, c)):
		return
	case ok && !v.At(r, k).Blank() && !inside(r, k):
	case v.At(r+1, c).Kind == grid.Numeric && !inside(r+1, c):
		down, k = r+1, c
	default:
		return
	}
	if name := a.at(v.Place(r, c)); name != nil {
		a.later = append(a.later, func() { a.share(v, name, down, k) })
	}
}

// yields are what a cell may have been taken for and still be the value of a name.
var yields = map[string]bool{"": true, mereText: true, "date": true, "remark": true}

// share marks a value, and the unit right of it, as what its name is.
func (a *accountant) share(v layout.View, name *Cell, r, c int) {
	at, unit := v.Place(r, c), v.Place(r, c+1)
	x := a.at(at)
	switch {
	case x == nil || x.number:
		return
	case name.What == mereText || name.What == emptyHeading:
		if x.What == "" || x.What == "item number" {
			x.State, x.What = NotUnderstood, ""
			name.State = NotUnderstood // a number under words that say nothing
		}
		return
	case !yields[x.What] && (x.Of != unasked || name.State != Used):
		return
	}
	what := "value:"
	if name.What == "" {
		what = ""
	}
	a.mark(at, name.State, what, name.As(), name.Series...)
	if !a.b.inTable(v.Area, r, c+1) && isUnit(v.At(r, c+1)) {
		a.mark(unit, name.State, "unit", "", name.Series...)
	}
}

// colonValue reports a name with its value in one cell, "Stock: 10 g/L".
func colonValue(x grid.Cell) bool {
	_, value, _ := layout.Keyed(x.Text)
	return value != ""
}
