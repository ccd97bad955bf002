package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// The raw water may have a little table of its own: a title that names it, a row of headings, and one
// number under each.

// rawHeaded reads a heading of such a table with the number below it.
func (t *textCell) rawHeaded() bool {
	h, x := layout.ReadHeading(t.text), t.v.At(t.r+1, t.c)
	if layout.IsFigure(strings.TrimSpace(t.text)) || x.Blank() || t.in(t.r+1, t.c) || !t.v.At(t.r+2, t.c).Blank() || !layout.RawTitle(rawTitleOver(t.v, t.r, t.c)) {
		return false
	}
	base := t.base
	base.under = true
	v := layout.ParseValue(x, t.dec)
	switch {
	case h.Date && t.b.dateFact(base, t.text, x.Text, x):
		return true
	case plainReading(v) && untold(h):
	case layout.IsDate(words.Fold(t.text)): // the value of the fact beside it
		return false
	case plainReading(v) && !h.Date && !x.Clock(), h.Reading != "" && strings.ContainsAny(x.Text, "0123456789"):
		t.b.say(note.Caution, "raw-table", t.base.at, "%q under %q stands in a table of the raw water, and no plain reading was understood; it was not taken", clip(x.Text), clip(t.text)).
			do(t.b, "write the name of the reading in full, with one number under it")
		return true
	default:
		return false
	}
	d := base
	d.kind, d.key, d.value, d.unit, d.state, d.limit, d.keyed = factRaw, h.Reading, v.Num, h.Unit, v.State, v.Limit, true
	if v.Unit.Known() {
		d.unit = v.Unit
	}
	d.text = t.text + " | " + x.Text
	t.b.facts = append(t.b.facts, d)
	return true
}

// oneOfRawWater reports a table of one line of values under the title of the raw water: they are read as facts.
func oneOfRawWater(t *layout.Table) bool {
	return len(t.Rows) == 1 && layout.RawTitle(t.Title) && !slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return c.Head.DoseLike() })
}

// rawBeside books the readings of a small table without doses whose lines are the raw water and what it is
// held against, limits or another day, "Parameter | Raw | Permit limit", and says what it leaves out.
func (b *bench) rawBeside(t *layout.Table) {
	var left []string
	raw, labels := -1, 0
	for _, r := range t.Rows {
		label := t.View.At(r, labels)
		h := layout.ReadHeading(label.Text)
		switch untreated := (h.Raw || h.Stage == "before") && !h.Target; {
		case untreated && raw < 0:
			raw = r
		case !untreated && (h.Target || h.Next || h.Old || bounded(words.Fold(label.Text))):
			left = append(left, clip(label.Text))
		default:
			return
		}
	}
	if raw < 0 || len(left) == 0 || slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return c.Head.DoseLike() }) {
		return
	}
	for _, c := range t.Cols {
		v := layout.ParseValue(t.View.At(raw, c.C), b.dec(t))
		if c.C == labels {
			continue
		}
		if c.Head.Reading == "" || !v.OK() {
			left = append(left, clip(c.Head.Text))
			continue
		}
		unit := c.Head.Unit
		if v.Unit.Known() {
			unit = v.Unit
		}
		at := t.View.PlaceAt(raw, c.C)
		b.facts = append(b.facts, fact{kind: factRaw, key: c.Head.Reading, value: v.Num, unit: unit, state: v.State, limit: v.Limit,
			keyed: true,
			r:     t.Box().R0, c: t.Box().C0, g: t.Area(), at: at, text: c.Head.Text + " | " + v.Text})
	}
	b.rawTables[t] = true
	b.say(note.Info, "raw-beside", t.View.PlaceAt(raw, labels), "of the table %s the raw water was taken; left out: %s", t.RangeName(), strings.Join(left, ", "))
}

// rawTitleOver gives the text that stands above a row of headings, in the column of one or the nearest
// filled one left of it, past one blank line.
func rawTitleOver(v layout.View, r, c int) string {
	for k := r - 1; k >= r-2 && k >= 0; k-- {
		for ; c >= 0; c-- {
			if x := v.At(k, c); x.Kind == grid.Textual {
				return x.Text
			} else if !x.Blank() {
				return ""
			}
		}
	}
	return ""
}

// rawLeftOut says which readings of the raw water no answer has a place for: of them a jar can have a column,
// and the water before has none.
func (b *bench) rawLeftOut(series []jartest.Series) {
	var at note.Place
	var names []string
	for _, x := range b.facts {
		if x.kind != factRaw || x.key.Known() || len(series) == 0 {
			continue
		}
		name, _, _ := strings.Cut(x.text, " | ")
		if name = clip(name); slices.Contains(names, name) {
			continue
		}
		if names = append(names, name); at.Cell == "" {
			at = x.at
		}
	}
	if len(names) > 0 {
		b.say(note.Info, "raw-left-out", at, "left out of what is said of the raw water: %s", strings.Join(names, ", "))
	}
}

// rawTableLost speaks of a table under the title of the raw water that has no dose and was not taken.
func (b *bench) rawTableLost(t *layout.Table) bool {
	fs := b.byTable[t]
	if !layout.RawTitle(t.Title) || !slices.ContainsFunc(fs, field.reads) || slices.ContainsFunc(fs, field.dosed) {
		return false
	}
	b.say(note.Caution, "raw-table", t.TitleAt, "the table %s under %q was not taken for the raw water: it has more than one number under a heading", t.RangeName(), clip(t.Title)).
		do(b, `write each reading in a line above the jars, "Raw turbidity | 29 NTU"`)
	return true
}
