package sheet

import (
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
	if key, value := t.labelled(); value != "" {
		h := layout.ReadHeading(key)
		if (h.Dose || h.UnitColumn || unitsWord.MatchString(words.Fold(key))) && !ofOther(h) && len(words.Amounts(key)) == 0 {
			t.bookUnit(value, h.Dose, true)
		}
		return false
	}
	for _, part := range sentences(t.text, sentenceEnd) {
		f := words.Fold(part)
		h := layout.ReadHeading(part)
		us := words.Units(part)
		begins := len(us) > 0 && us[0].From == 0 && t.v.At(t.r, t.c-1).Blank() && len(words.Amounts(part[:us[0].To])) == 0 && us[0].To < len(strings.TrimSpace(part))
		if says := h.Dose || spoken()["dose"].in(f); (says || begins && h.Chem != "") && !(ofOther(h) && !begins) {
			t.bookUnit(part, says || begins, begins)
		}
	}
	return false
}

// unitsWord begins a label for units.
var unitsWord = words.NewPattern(`^(?:units?|uom)\b`)

// labelled gives the label and the text that stands beside it, in one cell or in two.
func (t *textCell) labelled() (key, value string) {
	if key, value, ok := layout.Keyed(t.text); ok && !layout.IsClock(t.fold) {
		return key, value
	}
	if k, ok := layout.Beside(t.v, t.r, t.c); ok && !t.in(t.r, k) && t.v.At(t.r, k).Kind == grid.Textual {
		return t.text, strings.TrimSpace(t.v.At(t.r, k).Text)
	}
	return "", ""
}

// bookUnit books the unit that a text gives the doses; one with a number of its own is an
// amount, and several are asked about elsewhere.
func (t *textCell) bookUnit(text string, ofDoses, first bool) {
	var units []words.UnitAt
	for _, u := range words.Units(text) {
		if _, counted := words.NumberBefore(text, u.From); doseKinds[u.Kind] && (!counted || first && u.From == 0) && (ofDoses || u.Kind != words.Volume) {
			units = append(units, u)
		}
	}
	if len(units) == 0 || first && units[0].From > 0 || !first && (len(units) > 1 || len(words.Amounts(text)) > 0) {
		return
	}
	d := t.base
	d.kind, d.unit, d.text = factDoseUnit, units[0].Unit, t.text
	if text != t.text && !strings.Contains(t.text, text) {
		d.text += " | " + text
	}
	t.b.facts = append(t.b.facts, d)
}

// statedUnit gives the doses of a column without a unit the one that the sheet states, and
// speaks where the heading has another. The heading stands above the sheet.
func (m *maker) statedUnit(i int) {
	f := &m.fs[i]
	m.otherUnits(*f)
	x, ok := m.b.look(m.t, factDoseUnit, "")
	if !ok {
		return
	}
	u := f.Head.Unit
	bare := u.Kind == "" || u.Kind == words.NoUnit
	switch {
	case f.role == asStock && (u.Kind != x.unit.Kind || same(u.Factor, x.unit.Factor)), m.b.asked(x.at), f.role != asStock && bare && m.cellsHaveUnits(*f):
	case bare:
		if f.Head.Unit = x.unit; x.unit.Kind == words.Volume {
			f.role, f.of = asStock, -1
		}
		m.b.say(note.Info, "dose-unit-stated", x.at, "the doses of column %q are in %s, from %q", f.Head.Text, x.unit.Name, clip(x.text))
	case u.Kind != x.unit.Kind || !same(u.Factor, x.unit.Factor) || u.As != x.unit.As && u.As != "" && x.unit.As != "":
		m.b.say(note.Caution, "dose-unit-twice", x.at, "%q gives the doses another unit than the heading %q; the heading is taken", clip(x.text), f.Head.Text).
			do(m.b, `state the right one, such as --column "%s=dose mg/L"`, f.Head.Text)
	}
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
