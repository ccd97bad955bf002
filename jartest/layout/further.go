package layout

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Whoever writes several tests into one table writes its headings once. A line above the jars of each,
// "Test 2 - raw 55 NTU", says which water they had. Such jars are a table of their own under the
// headings of the table above, and what their line says is of them alone.

const (
	mostGap   = 3 // empty rows between the jars of one test and those of the next
	mostLines = 8 // lines of text above the jars of the next
)

// Under reports a table whose headings stand over the jars of another.
func (t *Table) Under() bool { return t.HeadTop > t.Head }

// Titles reports a cell inside the box of a table that belongs to the line above its first jar.
func (t *Table) Titles(r int) bool { return t.Lead > 0 && r == t.Lead }

// below gives the jars of t from row first on, as a table without headings of its own.
func (t *Table) below(first int) *Table {
	d := *t
	d.HeadTop, d.First, d.Last, d.Lead, d.UnitRow = first, first, first, 0, 0
	d.Rows, d.Sections, d.SectionRow = nil, map[int]string{}, map[int]bool{}
	d.Title, d.Foot, d.TitleAt = "", "", note.Place{}
	return &d
}

// Parts parts an upright table at the lines between its jars where one of them states a number of the
// jars below it, such as that of their raw water. It gives the table alone where none does.
func (f *Finder) Parts(t *Table) []*Table {
	var starts []int
	stated := false
	for _, r := range t.Rows {
		text, ok := t.Sections[r]
		if !ok || r > t.First && !f.again(t, r) {
			continue
		}
		starts = append(starts, r)
		stated = stated || f.states(text)
	}
	if t.View.Turned || t.View.Origin != nil || !stated {
		return []*Table{t}
	}
	if starts[0] > t.First {
		starts = append([]int{t.First}, starts...)
	}
	var out []*Table
	for i, first := range starts {
		part := t
		if i > 0 {
			part = t.below(first)
		}
		out = append(out, part)
	}
	rows := t.Rows
	for i, part := range out {
		part.Rows = slices.DeleteFunc(slices.Clone(rows), func(r int) bool {
			return r < starts[i] || i+1 < len(starts) && r >= starts[i+1]
		})
		part.Last = part.Rows[len(part.Rows)-1]
		if i == 0 {
			part.leads(f)
		} else {
			f.readTitle(part)
			part.Sections[part.First] = t.Sections[part.First]
		}
	}
	first := map[int]string{}
	for r, text := range t.Sections {
		if r <= out[0].Last {
			first[r] = text
		}
	}
	t.Sections = first
	return out
}

// leads makes the line between the headings and the first jar the title of a table.
func (t *Table) leads(f *Finder) {
	for r := range t.SectionRow {
		if text := t.Sections[t.First]; strings.TrimSpace(f.v.At(r, t.C0).Text) == text {
			t.Lead, t.Title, t.TitleAt = r, text, f.v.PlaceAt(r, t.C0)
		}
	}
}

// states reports a line between jars that states a number of them besides a dose or a time, or what
// their doses count.
func (f *Finder) states(text string) bool {
	h := f.heading(text)
	number := slices.ContainsFunc(words.Amounts(text), func(a words.Amount) bool {
		return a.Kind != words.Conc && a.Kind != words.Minutes || a.As != ""
	})
	counted := slices.ContainsFunc(words.Counted(text), func(at words.CountedAt) bool {
		basis, known := quantity.BasisOf(at.As)
		return known && basis.Metal() != ""
	})
	return number || counted || h.Raw && strings.ContainsAny(text, "0123456789") || h.Unit.Kind == words.Conc && h.Unit.As != ""
}

// again reports that the jars begin again at row r: with the label of the first, or with a dose below
// that of the jar above it.
func (f *Finder) again(t *Table, r int) bool {
	i := slices.Index(t.Rows, r)
	for _, col := range t.Cols {
		now := f.v.At(r, col.C)
		if h := col.Head; h.Jar && !h.Core() && !now.Blank() {
			return SameText(now.Text, f.v.At(t.Rows[0], col.C).Text)
		} else if h.DoseLike() && i > 0 {
			return f.number(now) < f.number(f.v.At(t.Rows[i-1], col.C))
		}
	}
	return false
}

// number gives the number of a cell, 0 for none.
func (f *Finder) number(x grid.Cell) float64 {
	if v := ParseValue(x, f.dec); v.OK() {
		return v.Num
	}
	return 0
}

// Further finds the jars below a table that lines of their own name and that have no headings but those
// of the table: the labels or the doses begin again in its columns. Other tables of jars are left alone.
func (f *Finder) Further(t *Table, taken []*Table) []*Table {
	if t.View.Turned || t.View.Origin != nil || !t.whole {
		return nil
	}
	var out []*Table
	for at := t; ; {
		first, title := f.nextJars(t, at.Last+1)
		if first < 0 {
			return out
		}
		next := t.below(first)
		f.readRows(next)
		box := next.Box()
		if len(next.Rows) < 2 || !f.sameJars(t, next) || slices.ContainsFunc(taken, func(o *Table) bool { return o.whole && o.Box().Overlaps(box) }) {
			return out
		}
		next.Title, next.TitleAt = title.text, title.at
		out, at = append(out, next), next
	}
}

// titleLine is a line that names a test.
type titleLine struct {
	text string
	at   note.Place
}

// nextJars gives the first row of numbers below lines of text from row r on, one of which names a test,
// and that line; -1 where none stands there.
func (f *Finder) nextJars(t *Table, r int) (first int, title titleLine) {
	empty, lines, other := 0, 0, false // other: the lines since the last empty row are of no test
	for ; r < f.v.height(); r++ {
		e := f.line(t, r, 0)
		switch {
		case e.filled == 0:
			if empty++; empty > mostGap {
				return -1, title
			}
			if other {
				title, other = titleLine{}, false
			}
		case title.text != "" && !other && f.dosedAndRead(t, r):
			return r, title
		case e.text == "" && e.filled == 1 && f.dayLine(t, r) != "":
			if empty = 0; title.text == "" {
				title = titleLine{f.dayLine(t, r), f.v.PlaceAt(r, t.C0)}
			}
		case e.text == "" || f.headerLike(t, r):
			return -1, title
		case f.concludes(e.text):
			other = true
		default:
			if lines++; lines > mostLines {
				return -1, title
			}
			if empty = 0; title.text == "" && f.namesTest(e.text) {
				title = titleLine{strings.TrimSpace(e.text), f.placeOf(r, t, e.text)}
			}
		}
	}
	return -1, title
}

// dayLine gives the day that stands alone in the first cell of a row.
func (f *Finder) dayLine(t *Table, r int) string {
	x := f.v.At(r, t.C0)
	if ParseValue(x, f.dec).State != Dated || x.Kind == grid.Numeric && !x.Date() {
		return ""
	}
	return DateText(x)
}

// placeOf gives the place of a text in a row of a table.
func (f *Finder) placeOf(r int, t *Table, text string) note.Place {
	for c := t.C0; c <= t.C1; c++ {
		if f.v.At(r, c).Text == text {
			return f.v.PlaceAt(r, c)
		}
	}
	return f.v.PlaceAt(r, t.C0)
}

// namesTest reports a line that tells a test: its number, its place or day, its water or its chemical.
func (f *Finder) namesTest(text string) bool {
	h, folded := f.heading(text), words.Fold(text)
	place := slices.ContainsFunc(words.Find(folded), func(w words.Hit) bool { return w.Concept == "place" && w.Near == "" })
	return place || h.Test || h.Raw || h.Chem != "" || h.Date || NamesDay(folded) || IsDate(folded)
}

// summing are the words over numbers that are gathered from the jars above.
var summing = words.NewPattern(`\b(?:summar(?:y|ies|i[sz]ed)|resumen|resumo|resume|zusammenfassung|samenvatting|sammanfattning|sammendrag|yhteenveto|podsumowanie|riepilogo|souhrn|ozet)\b`)

// concludes reports a line over numbers that are no test: a summary, an example, another time.
func (f *Finder) concludes(text string) bool {
	h := f.heading(text)
	other := h.Summary || h.Chosen || h.Old || h.Next || h.Control || h.Target || h.Stat != "" || h.Recycle
	return other || summing.MatchString(words.Fold(text)) || slices.ContainsFunc(words.Find(words.Fold(text)), func(w words.Hit) bool {
		return w.Near == "" && w.To-w.From > 2 && (w.Concept == "example" || w.Concept == "void" || w.Concept == "label:summary" || w.Concept == "operation" || w.Concept == "role:cost")
	})
}

// dosedAndRead reports a row with a number under a dose and under a reading of a table.
func (f *Finder) dosedAndRead(t *Table, r int) bool {
	dosed, read := false, false
	for _, col := range t.Cols {
		if !f.DataLike(f.v.At(r, col.C)) {
			continue
		}
		dosed = dosed || col.Head.DoseLike() || col.Head.Reading == "" && IsMass(col.Head.Unit)
		read = read || col.Head.Reading != "" || col.Head.Removal
	}
	return dosed && read
}

// sameJars reports rows that are jars as those of t: the first has the label of the first, or without
// labels its dose, and most of their doses are doses of t too, or go on rising as those do.
func (f *Finder) sameJars(t, next *Table) bool {
	for _, col := range t.Cols {
		a, b := f.v.At(t.Rows[0], col.C), f.v.At(next.Rows[0], col.C)
		switch h := col.Head; {
		case h.Jar && !h.Core():
			return !b.Blank() && SameText(a.Text, b.Text)
		case h.DoseLike():
			return f.DataLike(b) && f.number(b) <= f.number(a) && len(next.Rows) > 2
		}
	}
	return false
}
