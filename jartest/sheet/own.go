package sheet

import (
	"jarwright/jartest/layout"
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
func ownLayout(t *layout.Table) bool {
	return ownColumn(t, ownPlanned) >= 0 && ownColumn(t, ownAdded) >= 0 && ownColumn(t, ownDose) >= 0
}

func ownColumn(t *layout.Table, head string) int {
	for _, c := range t.Cols {
		if len(c.Parts) == 1 && c.Parts[0] == head {
			return c.C
		}
	}
	return -1
}

// ownDoseValue gives the dose of a row of our own sheet: stock added if a volume
// is written, else the planned dose. ok is false for other tables and empty rows.
func (m *maker) ownDoseValue(d dataRow, f field) (layout.Value, bool) {
	if len(f.Parts) != 1 || f.Parts[0] != ownDose || !ownLayout(m.t) {
		return layout.Value{}, false
	}
	read := func(head string) layout.Value {
		return layout.ParseValue(m.t.View.At(d.r, ownColumn(m.t, head)), m.b.dec(m.t))
	}
	want := read(ownPlanned)
	if added := read(ownAdded); added.OK() {
		stock, okS := m.b.look(m.t, factStock, "")
		jar, okV := m.b.look(m.t, factVolume, "")
		if m.b.opt.Stock > 0 {
			stock.value, okS = float64(m.b.opt.Stock), true
		}
		if m.b.opt.JarVolume > 0 {
			jar.value, okV = float64(m.b.opt.JarVolume), true
		}
		if !okS || !okV {
			return layout.Value{}, false
		}
		want = layout.Value{State: layout.Number, Num: added.Num * 1e-3 * stock.value / jar.value}
	}
	if !want.OK() {
		return layout.Value{}, false
	}
	stored := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
	if diff := stored.Num - want.Num; stored.OK() && (diff > 0.005*want.Num+1e-9 || diff < -0.005*want.Num-1e-9) {
		at := m.t.View.PlaceAt(d.r, f.C)
		m.b.say(note.Caution, "old-formula-value", at, "the stored dose %s mg/L is not what the formula gives; %s mg/L is taken", trimFloat(stored.Num), trimFloat(want.Num)).
			do(m.b, "open the file in a spreadsheet program and save it, or check the planned dose and the stock added")
	}
	return want, true
}

// ownUnfilled reports a row of our own sheet in which neither a dose was planned nor a
// volume added: its formula gives nothing, whether that is stored or not.
func (m *maker) ownUnfilled(d dataRow, f field) bool {
	if len(f.Parts) != 1 || f.Parts[0] != ownDose || !ownLayout(m.t) {
		return false
	}
	return m.t.View.At(d.r, ownColumn(m.t, ownPlanned)).Blank() && m.t.View.At(d.r, ownColumn(m.t, ownAdded)).Blank()
}
