package sheet

import (
	"jarwright/jartest/note"
)

// Our own bench sheet has a column for the planned dose, one for the stock that
// was really added, and a dose worked out of both by a formula. Where the file was
// filled by a program, the formula's stored value is old; the dose is then worked
// out here, by the rule that the sheet itself states.

// ownColumns are the headings of our own bench sheet.
const (
	ownPlanned = "Planned dose (mg/L)"
	ownAdded   = "Stock added (mL)"
	ownDose    = "Dose (mg/L)"
)

// ownLayout reports a table laid out as our own bench sheet is.
func ownLayout(t *table) bool {
	return ownColumn(t, ownPlanned) >= 0 && ownColumn(t, ownAdded) >= 0 && ownColumn(t, ownDose) >= 0
}

func ownColumn(t *table, head string) int {
	for _, c := range t.cols {
		if len(c.parts) == 1 && c.parts[0] == head {
			return c.c
		}
	}
	return -1
}

// ownDoseValue gives the dose of a row of our own sheet: stock added if a volume
// is written, else the planned dose. ok is false for other tables and empty rows.
func (m *maker) ownDoseValue(d dataRow, f field) (value, bool) {
	if len(f.parts) != 1 || f.parts[0] != ownDose || !ownLayout(m.t) {
		return value{}, false
	}
	read := func(head string) value {
		return parseValue(m.t.v.at(d.r, ownColumn(m.t, head)), m.b.dec(m.t))
	}
	want := read(ownPlanned)
	if added := read(ownAdded); added.ok() {
		stock, okS := m.b.look(m.t, factStock, "")
		jar, okV := m.b.look(m.t, factVolume, "")
		if m.b.opt.Stock > 0 {
			stock.value, okS = float64(m.b.opt.Stock), true
		}
		if m.b.opt.JarVolume > 0 {
			jar.value, okV = float64(m.b.opt.JarVolume), true
		}
		if !okS || !okV {
			return value{}, false
		}
		want = value{state: vNumber, num: added.num * 1e-3 * stock.value / jar.value}
	}
	if !want.ok() {
		return value{}, false
	}
	stored := parseValue(m.t.v.at(d.r, f.c), m.b.dec(m.t))
	if diff := stored.num - want.num; stored.ok() && (diff > 0.005*want.num+1e-9 || diff < -0.005*want.num-1e-9) {
		at := m.t.v.placeAt(d.r, f.c)
		m.b.say(note.Caution, "old-formula-value", at, "the stored dose %s mg/L is not what the formula gives; %s mg/L is taken", trimFloat(stored.num), trimFloat(want.num)).
			do(m.b, "open the file in a spreadsheet program and save it, or check the planned dose and the stock added")
	}
	return want, true
}
