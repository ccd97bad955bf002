package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// doseKinds are the kinds of units that a dose can be given in, or be mistaken for.
var doseKinds = map[words.Kind]bool{words.Conc: true, words.Volper: true, words.Molar: true, words.Mass: true, words.Volume: true, words.Drops: true,
	words.Flow: true, words.Feed: true}

// ofOther stands in a text on other doses than those of the jars, or on what is no dose.
func ofOther(h layout.Heading) bool {
	return h.Next || h.Old || h.Summary || h.Chosen || h.Target || h.Stock || h.Volume || h.Strength || h.Density || h.Reading != "" || h.Removal
}

// unitFact books what a text says of the unit of the doses: "Dose unit | g/L", "All doses are
// in mg/L.", "mL of 1 % alum".
func (t *textCell) unitFact() bool {
	parts := sentences(t.text, sentenceEnd)
	key, value := t.labelled()
	if value != "" && len(parts) == 1 {
		t.labelledUnit(key, value)
		return false
	}
	for _, part := range parts {
		if key, value, ok := layout.Keyed(part); ok && !layout.IsClock(words.Fold(part)) {
			t.labelledUnit(key, value)
			continue
		}
		f := words.Fold(part)
		h := layout.ReadHeading(part)
		us := words.Units(part)
		begins := len(us) > 0 && us[0].From == 0 && t.v.At(t.r, t.c-1).Blank() && len(words.Amounts(part[:us[0].To])) == 0 && us[0].To < len(strings.TrimSpace(part))
		if h.Chem != "" && !h.Dose && !ofOther(h) && unitInBrackets(part) {
			t.bookUnit(part, layout.Heading{Chem: h.Chem, Chems: h.Chems}, true, false) // the words before it are a title's
			continue
		}
		if says := h.Dose || spoken()["dose"].in(f); (says || begins && h.Chem != "") && !(ofOther(h) && !begins) {
			t.bookUnit(part, h, says || begins, begins)
		}
	}
	return false
}

// unitInBrackets reports a text with one unit, in brackets at its end and without a number: "Trial of ferric chloride (mg Fe/L)".
func unitInBrackets(part string) bool {
	part = strings.TrimRight(part, " .:")
	open := strings.LastIndexAny(part, "([")
	if open < 0 || !strings.HasSuffix(part, ")") && !strings.HasSuffix(part, "]") {
		return false
	}
	u, ok := words.OnlyUnit(strings.Trim(part[open:], "()[] "))
	return ok && u.Kind == words.Conc && len(words.Units(part)) == 1 && len(words.Amounts(part)) == 0
}

// labelledUnit books the unit that stands under a label for the doses or for units.
func (t *textCell) labelledUnit(key, value string) {
	h := layout.ReadHeading(key)
	if (h.Dose || h.UnitColumn || unitsWord.MatchString(words.Fold(key))) && !ofOther(h) && len(words.Amounts(key)) == 0 {
		t.bookUnit(value, h, h.Dose, true)
	}
}

// unitsWord begins a label for units.
var unitsWord = words.NewPattern(`^(?:units?|uom)\b`)

// labelled gives the label and the text that stands beside it, in one cell or in two.
func (t *textCell) labelled() (key, value string) {
	key, value, ok := layout.Keyed(t.text)
	if ok && value != "" && !layout.IsClock(t.fold) {
		return key, value
	}
	if k, ok := layout.Beside(t.v, t.r, t.c); ok && !t.in(t.r, k) && t.v.At(t.r, k).Kind == grid.Textual {
		return strings.TrimRight(t.text, " :="), strings.TrimSpace(t.v.At(t.r, k).Text)
	}
	return "", ""
}

// bookUnit books the unit that a text gives the doses that h names; one with a number of its
// own is an amount, and of several in a sentence none is booked.
func (t *textCell) bookUnit(text string, h layout.Heading, ofDoses, first bool) {
	said := undenied(text)
	units := unitsOfDoses(said, ofDoses, first)
	open := leavesOpen(said, units)
	if first && ofDoses && len(units) > 0 && (open || severalUnits(units)) {
		t.b.say(note.Caution, "dose-unit-unclear", t.placeOf(text), "%q leaves the unit of the doses open; none was taken", clip(text)).
			do(t.b, "write the unit of each chemical in a line of its own, or in the heading of its doses")
		return
	}
	if len(units) == 0 || open || first && units[0].From > 0 || !first && (len(units) > 1 || len(words.Amounts(text)) > 0) {
		return
	}
	if volumeKinds[units[0].Kind] {
		t.bookStrength(said[units[0].To:])
	}
	d := t.base
	d.kind, d.unit, d.text, d.strange = factDoseUnit, units[0].Unit, t.text, strangeDoses(h)
	if text != t.text && !strings.Contains(t.text, text) {
		d.text += " | " + text
	}
	chems := h.Chems
	if len(chems) == 0 {
		chems = apartFrom(layout.ReadHeading(text).Chems)
	}
	if len(chems) == 0 {
		chems = []string{""}
	}
	for _, d.chem = range chems {
		t.b.facts = append(t.b.facts, d)
	}
}

// placeOf is the cell that a text stands in, where that is the one beside.
func (t *textCell) placeOf(text string) note.Place {
	if k, ok := layout.Beside(t.v, t.r, t.c); ok && strings.TrimSpace(t.v.At(t.r, k).Text) == text {
		return t.v.PlaceAt(t.r, k)
	}
	return t.base.at
}

// unitsOfDoses gives the units of a text that doses can have and that are of no number before them.
func unitsOfDoses(said string, ofDoses, first bool) (out []words.UnitAt) {
	for _, u := range words.Units(said) {
		_, counted := words.NumberBefore(said, u.From)
		if doseKinds[u.Kind] && (!counted || first && u.From == 0) && (ofDoses || u.Kind != words.Volume) {
			out = append(out, u)
		}
	}
	return out
}

// leavesOpen reports a text that denies or doubts its unit, or gives it to a stock: "mg/L, not ppm", "mg/L?".
func leavesOpen(said string, units []words.UnitAt) bool {
	f := words.Fold(said)
	return denies(f) || doubting.MatchString(f) ||
		slices.ContainsFunc(units, func(u words.UnitAt) bool { return u.Kind == words.Conc && words.Means(u.Of, "role:stock") })
}

// severalUnits reports units that are not all the same.
func severalUnits(units []words.UnitAt) bool {
	return slices.ContainsFunc(units[1:], func(u words.UnitAt) bool { return plain(u.Unit) != plain(units[0].Unit) })
}

// bookStrength books the strength that stands with a unit of volume for that of the stock: "mL of
// 5 % alum".
func (t *textCell) bookStrength(text string) {
	for _, a := range words.Amounts(text) {
		x := layout.Numeral(a.Number, t.dec)
		if x.Unit = a.Unit; a.Kind != words.Percent && a.Kind != words.Conc || !x.OK() {
			continue
		}
		if strength, ok := stockStrength(x); ok {
			d := t.base
			d.kind, d.value, d.unit, d.sure = factStock, strength, a.Unit, a.Kind == words.Conc
			t.b.facts = append(t.b.facts, d)
		}
	}
}

// strangeDoses gives the words by which a text tells the doses that it speaks of from others
// and that are no known chemical: "Acid dose", "doses of ZK-18".
func strangeDoses(h layout.Heading) []string {
	return slices.DeleteFunc(strings.Fields(strangeWords(h.Rest)), func(w string) bool {
		_, species := words.Species(w)
		return species || slices.ContainsFunc(besideDoses, func(kind string) bool { return spoken()[kind].has(w) })
	})
}

// besideDoses are the lists of words that tell no doses from others by a name, or by a kind that
// is asked for by itself.
var besideDoses = []string{"harmless", "dose", "verb", "counted", "aid", "coagulant"}

// doseUnitOf gives the unit that the sheet states for the doses of a column.
func (m *maker) doseUnitOf(f field, chem string) (fact, bool) {
	if unnamedChem(chem) && len(m.dose) == 1 {
		chem = ""
	}
	x, ok := m.b.look(m.t, factDoseUnit, chem)
	if ok && m.ofOtherKind(x, f, chem) {
		return x, false
	}
	head := words.Fold(f.Head.Text)
	if !ok || !slices.ContainsFunc(x.strange, func(w string) bool { return !strings.Contains(head, w) }) {
		return x, ok
	}
	if !m.headed(x.strange) && !m.b.cautioned(x.at) {
		m.b.say(note.Caution, "dose-unit-unclear", x.at, "%q in %q is not understood, so the unit was not taken for column %q", strings.Join(x.strange, " "), clip(x.text), f.Head.Text).
			do(m.b, `write the unit in the heading, or state it with --column "%s=dose mg/L"`, f.header())
	}
	return x, false
}

// kindOf tells coagulants from aids, "" for a text that names neither or both; an aid to
// coagulants is named by several words.
func kindOf(text string) string {
	f := strings.ReplaceAll(words.Fold(text), "-", " ")
	rest := f
	for _, name := range spoken()["aid"].of(text).inside {
		rest = strings.ReplaceAll(rest, name, " ")
	}
	switch aid, coagulant := spoken()["aid"].in(f), spoken()["coagulant"].in(rest); {
	case aid && !coagulant:
		return "aid"
	case coagulant && !aid:
		return "coagulant"
	}
	return ""
}

// ofOtherKind reports a unit that is said of coagulants, or of aids, and a column among several
// that is not of those; it speaks where no column is.
func (m *maker) ofOtherKind(x fact, f field, chem string) bool {
	kind := kindOf(x.text)
	if x.chem != "" || kind == "" || len(m.dose) < 2 {
		return false
	}
	of := func(f field, chem string) bool {
		return kindOf(f.Head.Text) == kind || kindOf(chem) == kind || kind == "coagulant" && kindOf(f.Head.Text) == "" && metalOf(chem) != ""
	}
	if !slices.ContainsFunc(m.dose, func(i int) bool { return of(m.fs[i], m.fs[i].chem) }) && !m.b.cautioned(x.at) {
		m.b.say(note.Caution, "dose-unit-unclear", x.at, "%q gives the unit of some doses, and no column is known to hold them; it was not taken", clip(x.text)).
			do(m.b, "write the unit in the heading of its doses")
	}
	return !of(f, chem)
}

// namedUnit gives the unit that the name of the page, or of the file, states for the doses where
// nothing else does: "dose g per L", "PACl gr per gal".
func (m *maker) namedUnit(f field) (fact, bool) {
	if f.role != asDose || f.Head.Unit.Known() && f.Head.Unit.Kind != words.NoUnit || m.cellsHaveUnits(f) {
		return fact{}, false
	}
	for _, name := range [...]string{m.t.View.Name, m.t.View.File} {
		h := layout.ReadHeading(strings.TrimSpace(nameSigns.Replace(name)))
		ofDoses := (h.Dose || h.Chem != "") && !h.Stock && !h.Strength && h.Reading == "" && !h.Amount
		if ofDoses && (h.Unit.Kind == words.Conc || h.Unit.Kind == words.Molar) {
			return fact{kind: factDoseUnit, unit: h.Unit, text: name, at: f.Place}, true
		}
	}
	return fact{}, false
}

// unitBeyond gives the unit of a column's doses from beyond its table: the sheet's, else its name's.
func (m *maker) unitBeyond(f field, chem string) (fact, bool) {
	if x, ok := m.doseUnitOf(f, chem); ok {
		return x, true
	}
	return m.namedUnit(f)
}

// nameSigns stand for blanks in names, and what ends those of files says nothing.
var nameSigns = strings.NewReplacer("_", " ", "-", " ", ".xlsx", "", ".csv", "", ".tsv", "", ".txt", "")

// headed reports a column of the table whose heading has all the words.
func (m *maker) headed(all []string) bool {
	return slices.ContainsFunc(m.fs, func(f field) bool {
		head := words.Fold(f.Head.Text)
		return !slices.ContainsFunc(all, func(w string) bool { return !strings.Contains(head, w) })
	})
}

// volumeKinds are the units of doses that are volumes of stock or product.
var volumeKinds = map[words.Kind]bool{words.Volume: true, words.Drops: true, words.Volper: true}

// statedUnit gives the doses of a column without a unit the one that the sheet states for its
// chemical, and the basis that stands with it, and speaks where the heading or the cells have
// another. They stand above the sheet.
func (m *maker) statedUnit(i int, chem string) {
	f := &m.fs[i]
	m.otherUnits(*f)
	x, ok := m.unitBeyond(*f, chem)
	u := f.Head.Unit
	bare := u.Kind == "" || u.Kind == words.NoUnit
	agrees := u.Kind == x.unit.Kind && same(u.Factor, x.unit.Factor)
	switch cell, differs := m.otherInCells(*f, x.unit); {
	case !ok, m.b.asked(x.at), f.role == asStock && ofStock(u, x.unit, bare, agrees):
	case bare && differs:
		m.b.say(note.Caution, "dose-unit-twice", x.at, "%q gives the doses another unit than cells of column %q (%s); each cell with a unit was read by its own", clip(x.text), f.Head.Text, cell).
			do(m.b, "write all doses in one unit, and that in the heading")
		if !m.cellsHaveUnits(*f) {
			m.takeUnit(i, x)
		}
	case bare:
		m.takeUnit(i, x)
	case agrees && u.As == "" && x.unit.As != "" && m.headingBasis(*f) == "":
		f = m.ownField(i)
		f.Head.Unit.As, f.counted = x.unit.As, &x
	case !agrees || u.As != x.unit.As && u.As != "" && x.unit.As != "":
		m.b.say(note.Caution, "dose-unit-twice", x.at, "%q gives the doses another unit than the heading %q; the heading is taken", clip(x.text), f.Head.Text).
			do(m.b, `state the right one, such as --column "%s=dose mg/L"`, f.header())
	}
}

// ofStock reports that a stated unit is none of a column of stock: the doses' own, or the same again.
func ofStock(heading, stated words.Unit, bare, agrees bool) bool {
	if bare {
		return !volumeKinds[stated.Kind]
	}
	return agrees || heading.Kind != stated.Kind
}

// ownField gives a column to be changed: the table's other series keep theirs.
func (m *maker) ownField(i int) *field {
	m.fs = slices.Clone(m.fs)
	return &m.fs[i]
}

// takeUnit gives a column the unit that the sheet states.
func (m *maker) takeUnit(i int, x fact) {
	f := m.ownField(i)
	if f.Head.Unit, f.ofOne = x.unit, x.chem != "" || kindOf(x.text) != ""; x.unit.As != "" {
		f.counted = &x
	}
	if volumeKinds[x.unit.Kind] {
		f.role, f.of = asStock, -1
	}
	m.b.say(note.Info, "dose-unit-stated", x.at, "the doses of column %q are in %s, from %q", f.Head.Text, x.unit.Name, clip(x.text))
}

// otherInCells gives the first cell of a column with another unit than one that is stated.
func (m *maker) otherInCells(f field, stated words.Unit) (cell string, differs bool) {
	for _, d := range m.rows {
		v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
		if !v.Unit.Known() {
			v.Unit, _ = m.unitBeside(d, f, 1)
		}
		if v.OK() && doseKinds[v.Unit.Kind] && (v.Unit.Kind != stated.Kind || !same(v.Unit.Factor, stated.Factor)) {
			return m.t.View.PlaceAt(d.r, f.C).Cell, true
		}
	}
	return "", false
}

// otherUnits speaks of the first jar to which the column of units gives another unit of
// dose than the heading has, or than all the other jars.
func (m *maker) otherUnits(f field) {
	count := map[words.Unit]int{}
	for _, d := range m.rows {
		if u, ok := m.unitBeside(d, f, 1); ok {
			count[plain(u)]++
		}
	}
	for _, d := range m.rows {
		u, ok := m.unitBeside(d, f, 1)
		headed := f.Head.Unit.Kind == words.Conc
		other := headed && (u.Kind != words.Conc || !same(u.Factor, f.Head.Unit.Factor)) || !headed && len(count) == 2 && count[plain(u)] == 1 && len(m.rows) > 3
		if ok && doseKinds[u.Kind] && other {
			m.b.say(note.Caution, "dose-unit-twice", m.t.View.PlaceAt(d.r, f.C), "the column of units gives a dose of column %q in %s, and the heading or the other jars have another unit", f.Head.Text, u.Name).
				do(m.b, "write all doses in the unit of the heading")
			return
		}
	}
}

// plain is the kind and size of a unit, without its name.
func plain(u words.Unit) words.Unit { return words.Unit{Kind: u.Kind, Factor: u.Factor} }
