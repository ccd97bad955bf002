package sheet

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// factUse names what a fact is.
var factUse = map[factKind]string{
	factStock: "stock strength", factVolume: "jar volume", factDensity: "density", factPerMl: "dose of each mL of stock", factFixed: "dose of every jar",
	factChemical: "chemical", factRaw: Raw, factLimit: "detection limit", factOverLimit: "end of the meter's range", factN: "number of readings",
	factTarget: "target", factRecycle: "recycle", factNeat: "product as delivered", factDash: "what a dash means", factPH: "pH of all jars",
	factBasis: "basis", factName: "name of the test", factDate: "date", factDilution: "dilution",
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
	if b.taken == nil {
		b.taken = map[taking][]*table{}
	}
	if !slices.Contains(b.taken[k], t) {
		b.taken[k] = append(b.taken[k], t)
	}
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
			case x.Kind == numeric && !x.Date() && !x.Clock(), x.Kind == textual && dataText(x.Text, a.b.decimals[g]):
				if next := v.at(r, c+1); next.Kind == textual && !isUnit(next) && !dataText(next.Text, a.b.decimals[g]) && !a.b.inTable(g, r, c+1) {
					a.mark(at, SetAside, "item number", "")
				}
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
	case strings.ContainsAny(x.Text, "×÷") && len(words.Amounts(x.Text)) == 0:
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
			if x.What == "" || x.What == "item number" {
				x.State, x.What = NotUnderstood, ""
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
