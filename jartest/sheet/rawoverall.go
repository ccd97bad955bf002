package sheet

import (
	"math"
	"slices"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A page may state the raw water once, above the titles of all its tests.

// overTests reports a line on the raw water above all tables of its sheet that holds for a table further
// down which has none of its own: each has its title below the line, or the line says that it is of both.
func (b *bench) overTests(owner, t *layout.Table, x fact) bool {
	if !b.aboveTests(owner, t, x) {
		return false
	}
	if spoken()["together"].in(words.Fold(b.lineAt(x))) {
		return true
	}
	return b.namedBelow(owner, x.r) && b.namedBelow(t, owner.Box().R1) && !ofTestOrPlace(b.lineAt(x))
}

// aboveTests reports a line above the first table of its sheet, and a table below that one without a raw
// water of its own.
func (b *bench) aboveTests(owner, t *layout.Table, x fact) bool {
	if owner == nil || owner == t || owner.Area() != t.Area() || t.Under() || sideBySide(owner, t) || holdsRaw(t) {
		return false
	}
	top := math.MaxInt
	for _, o := range b.tables {
		if o.Area() == x.g {
			top = min(top, o.Box().R0)
		}
	}
	return x.r < top && !slices.ContainsFunc(b.facts, func(o fact) bool { return o.kind == factRaw && b.owner(o) == t })
}

// holdsRaw reports a table with a column or a line of the raw water.
func holdsRaw(t *layout.Table) bool {
	ofRaw := func(h layout.Heading) bool { return h.Raw || h.Stage == "before" }
	holds := slices.ContainsFunc(t.Cols, func(c layout.Column) bool { return ofRaw(c.Head) })
	t.Each(t.First, t.Last, func(_, _ int, x grid.Cell, _ note.Place) {
		holds = holds || x.Kind == grid.Textual && ofRaw(layout.ReadHeading(x.Text))
	})
	return holds
}

// namedBelow reports a table whose title, or the line that names its test, stands below a row.
func (b *bench) namedBelow(t *layout.Table, row int) bool {
	if r, _, ok := grid.ParseCell(t.TitleAt.Cell); ok && r > row {
		return true
	}
	return slices.ContainsFunc(b.facts, func(o fact) bool {
		return (o.kind == factName || o.kind == factChemical) && o.r > row && o.r < t.Box().R0 && b.owner(o) == t
	})
}

// ofTestOrPlace reports a line that names one test or one place.
func ofTestOrPlace(line string) bool {
	h := layout.ReadHeading(line)
	return h.Test || h.Place != ""
}

// rawOfFirst speaks of a line on the raw water above the first table of a sheet that was not taken for a
// test further down which gives none.
func (m *maker) rawOfFirst() {
	b := m.b
	if len(m.s.Raw) > 0 || m.t.View.Origin != nil {
		return
	}
	for _, x := range b.facts {
		owner := b.owner(x)
		if x.kind != factRaw || !x.key.Known() || !b.aboveTests(owner, m.t, x) || !b.isTest(owner) || ofTestOrPlace(b.lineAt(x)) {
			continue
		}
		b.say(note.Caution, "raw-of-first", x.at, "%q stands above the first test, and was not taken for the table %s", clip(b.lineAt(x)), m.t.RangeName()).
			do(b, "write the raw water of each test below its own title")
		return
	}
}
