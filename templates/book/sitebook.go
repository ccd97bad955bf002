package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// freeRows is how many empty rows a list of the site workbook offers, openRows how many of them are not folded.
const freeRows, openRows = 12, 6

// Site adds the sheets of the site workbook, filled with values; nil leaves it
// empty. Every field of the field table stands with unit, meaning, example and
// whether it is needed.
func (b *Book) Site(values site.Values) { b.SiteIn(values, quantity.Metric) }

// SiteIn adds the same sheets in the units of a reader.
func (b *Book) SiteIn(values site.Values, sys quantity.System) {
	b.siteSheets(values.In(sys), sys, func(site.Sheet, site.Field) bool { return true })
}

// ShortSite adds what the short form asks for and what is filled in, and no other
// field: nothing that is blank and unused is printed.
func (b *Book) ShortSite(values site.Values, sys quantity.System) {
	b.siteSheets(values, sys, func(sh site.Sheet, f site.Field) bool { return site.InShort(sh, f, values) })
}

func (b *Book) siteSheets(values site.Values, sys quantity.System, keep func(site.Sheet, site.Field) bool) {
	var kept []site.Sheet
	for _, sh := range site.Sheets() {
		var fields []site.Field
		for _, f := range sh.Fields {
			if keep(sh, f) {
				fields = append(fields, f.In(sys))
			}
		}
		if sh.Fields = fields; len(fields) > 0 {
			kept = append(kept, sh)
		}
	}
	b.siteGuide(kept, values)
	var tables []*siteSheet
	for _, sh := range kept {
		s := b.Sheet(sh.Name)
		s.Landscape()
		s.OnePage()
		s.Unprinted() // every sheet would begin a page: what is in them is printed together
		s.hidden = hides(sh, values)
		s.Put(1, 1, T(Title, "%s", sh.Name))
		s.Put(2, 1, T(Sub, "%s", sentenceOf(sh.Meaning)))
		w := &siteSheet{b: b, s: s, sh: sh, values: values, rows: values[sh.Name]}
		if sh.List {
			w.list()
		} else {
			w.items()
		}
		if len(s.foldedRows)+len(s.foldedCols) > 0 {
			s.Put(3, 1, T(Sub, "Blank optional fields are folded away: a click on the 2 in the corner, or on a +, opens them. To print: sheet %s.", paperName))
		}
		tables = append(tables, w)
	}
	b.onPaper(tables)
}

// hides reports a sheet that few places have and that says nothing here: nobody is to print its empty rows.
func hides(sh site.Sheet, values site.Values) bool {
	return sh.Seldom && !slices.ContainsFunc(values[sh.Name], func(row map[string]string) bool { return len(row) > 0 })
}

// siteGuide writes the first sheet.
func (b *Book) siteGuide(sheets []site.Sheet, values site.Values) {
	s := b.Sheet("Read me")
	s.open(T(Title, "Site workbook"), Cell{Kind: Wrap, Span: 2, Value: "What the day plan, the clean-up and the budget are worked out from. " +
		"Fill in what you know and leave the rest empty: what is missing is then listed as not checked. Save, then run: jarwright plan"}, 22, 84)
	s.Skip(1)
	s.Row(Cell{Kind: Section, Value: "How to read the cells", Span: 2})
	s.Row(T(Input, "12.5"), T(Wrap, "to fill in: pale fill, dark border. The unit beside it may be changed too; "+
		"other units are converted when the file is read."))
	s.Row(T(Head, "heading"), T(Wrap, "names of items and columns. Leave them as they are: the program finds values by them, in any order."))
	s.Row(T(Muted, "grey words"), T(Wrap, "meaning and example, for people; the program does not read them. "+
		"Yes under needed means that a plan cannot be made without it."))
	s.Row(T(Head, "+ or 2"), T(Wrap, "at the edge of a sheet: blank fields that few need, and spare rows, are folded there. A click opens them; they are read all the same."))
	s.Skip(1)
	s.Row(Cell{Kind: Section, Value: "Sheets", Span: 2})
	for _, sh := range sheets {
		about := sentenceOf(sh.Meaning)
		if hides(sh, values) {
			about += " Hidden until you need it: right-click a sheet's name below, Unhide."
		}
		s.pairs(Wrap, [2]string{sh.Name, about})
	}
	s.pairs(Wrap, [2]string{paperName, "All of it to print, or to fill in by pencil. It follows the other sheets and is not read."})
	if len(sheets) < len(site.Sheets()) {
		s.Skip(1)
		s.Row(Cell{Kind: Section, Value: "What an answer adds", Span: 2})
		for _, q := range site.Short(quantity.Metric, values.Passes()) {
			s.pairs(Wrap, [2]string{q.Field, sentenceOf(q.Adds)})
		}
		s.Row(T(Muted, "all else"), T(Wrap, "jarwright new site FILE writes all fields; a sheet or a column of it may be added here."))
	}
	s.Skip(1)
	s.Row(Cell{Kind: Caution, Span: 2, Value: "CAUTION: the safety data sheet of each product, local rules and the people " +
		"licensed for this work go before anything worked out from this file."})
}

func sentenceOf(s string) string {
	if s = upperFirst(s); s != "" && !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// siteSheet writes one sheet of the field table.
type siteSheet struct {
	b      *Book
	s      *Sheet
	sh     site.Sheet
	values site.Values         // of the whole site
	rows   []map[string]string // of this sheet
	last   int                 // row of a list
}

// folds reports a field that nobody filled in and few need: out of sight until its group is opened, and not printed.
// In a list that is filled in, neither are those that another field stands for.
func (w *siteSheet) folds(f site.Field) bool {
	return f.Need != site.Needed && !site.InShort(w.sh, f, w.values) && (f.Need == site.Optional || w.sh.List && len(w.rows) > 0)
}

// siteHead is the row of headings, siteFirst the first thing of a list.
const siteHead, siteFirst = 4, siteHead + 5

// value gives the cell of a value, and the unit that it came with.
func (w *siteSheet) value(f site.Field, text string) (Cell, string) {
	if v, unit, err := quantity.Split(text); f.Numeric && err == nil && text != "" {
		return In(v, "General"), unit
	}
	return In(filled(text, text != ""), ""), ""
}

func exampleOf(f site.Field) string {
	if _, unit, err := quantity.Split(f.Example); err == nil && unit == "" && f.Example != "" && f.Unit != "" {
		return f.Example + " " + f.Unit
	}
	return f.Example
}

// remark is a cell for people, off the border of the one beside it.
func remark(text string) Cell { return Cell{Kind: Muted, Value: text, Indent: true} }

// items writes one value a row.
func (w *siteSheet) items() {
	s := w.s
	var row map[string]string
	if len(w.rows) > 0 {
		row = w.rows[0]
	}
	s.Widths(26, 24, 13, 15, 52, 26, 24)
	s.next = siteHead - 1
	s.heads("item", "value", "unit", "needed?", "meaning", "example", "note")
	s.Freeze(siteHead, 1)
	s.Repeat(siteHead, siteHead)
	for _, f := range w.sh.Fields {
		c, unit := w.value(f, row[f.Name])
		r := s.Row(T(Head, "%s", f.Name), c, Cell{}, remark(string(f.Need)), remark(sentenceOf(f.Meaning)), remark(exampleOf(f)), In(nil, ""))
		w.unit(s.At(r, 3), f, filled(cmp.Or(unit, f.Unit), f.Unit != ""))
		w.rule(s.At(r, 2), f)
		w.b.Name(f.DefinedName(w.sh), s.At(r, 2))
		if w.folds(f) {
			s.FoldRow(r)
		}
	}
}

// list writes one thing a row.
func (w *siteSheet) list() {
	s, rows := w.s, w.rows
	widths := []float64{10}
	for i, l := range []string{"field", "needed?", "meaning", "example", "unit"} {
		s.Put(siteHead+i, 1, Cell{Kind: Head, Value: l})
	}
	first, last := siteFirst, siteFirst+max(freeRows, len(rows)+5)-1
	w.last = last
	for i, f := range w.sh.Fields {
		col, wide, unit := i+2, 20.0, f.Unit
		if f.Numeric {
			wide = 13
		}
		widths = append(widths, wide)
		for _, row := range slices.Backward(rows) { // the first row that names one decides
			if _, u, err := quantity.Split(row[f.Name]); err == nil && u != "" && f.Unit != "" {
				unit = u
			}
		}
		for k, c := range []Cell{{Kind: Head, Value: f.Name}, remark(string(f.Need)), remark(f.Meaning), remark(exampleOf(f))} {
			s.Put(siteHead+k, col, c)
		}
		w.unit(s.At(siteHead+4, col), f, filled(unit, unit != ""))
		for r := first; r <= last; r++ {
			text := ""
			if r-first < len(rows) {
				text = rows[r-first][f.Name]
			}
			c, u := w.value(f, text)
			if u != "" && u != unit {
				c = In(text, "") // another unit than the column's stands in the cell itself
			}
			s.Put(r, col, c)
		}
		w.rule(s.Block(first, col, last, col), f)
		if w.folds(f) {
			s.FoldCol(col)
		}
	}
	for r := first; r <= last; r++ {
		s.Put(r, 1, Cell{Kind: Muted, Value: fmt.Sprint(r - first + 1), Center: true})
		if r-first >= max(openRows, len(rows)+2) {
			s.FoldRow(r)
		}
	}
	s.Widths(widths...)
	s.Freeze(siteHead+4, 2)
	s.Repeat(siteHead, siteHead+4)
}

// unit writes the unit of a field, nil for none, and offers others.
func (w *siteSheet) unit(at Range, f site.Field, unit any) {
	if unit == nil {
		w.s.Put(at.Row, at.Col, Cell{Kind: Muted})
		return
	}
	w.s.Put(at.Row, at.Col, In(unit, ""))
	if choices := site.UnitChoices(f.Unit); len(choices) > 1 {
		w.s.Choose(at, w.b.List("units like "+f.Unit, choices), "Unit",
			"Another unit may stand here; it is looked at when the file is read.", true)
	}
}

// rule offers the choices of a field, or says what it means.
func (w *siteSheet) rule(at Range, f site.Field) {
	if len(f.Choices) > 0 {
		w.s.Choose(at, w.b.List(w.sh.Name+": "+f.Name, f.Choices), f.Name, sentenceOf(f.Meaning), false)
		return
	}
	w.s.Hint(at, f.Name, sentenceOf(f.Meaning))
}
