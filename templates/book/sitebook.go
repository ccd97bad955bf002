package book

import (
	"fmt"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// freeRows is how many empty rows a list of the site workbook offers.
const freeRows = 12

// Site adds the sheets of the site workbook, filled with values; nil leaves it
// empty. Every field of the field table stands with unit, meaning, example and
// whether it is needed.
func (b *Book) Site(values site.Values) {
	b.siteGuide()
	for _, sh := range site.Sheets() {
		s := b.Sheet(sh.Name)
		s.Landscape()
		s.Put(1, 1, T(Title, "%s", sh.Name))
		s.Put(2, 1, T(Sub, "%s", sentenceOf(sh.Meaning)))
		w := siteSheet{b, s, sh}
		if sh.List {
			w.list(values[sh.Name])
			continue
		}
		var row map[string]string
		if rows := values[sh.Name]; len(rows) > 0 {
			row = rows[0]
		}
		w.items(row)
	}
}

// siteGuide writes the first sheet.
func (b *Book) siteGuide() {
	s := b.Sheet("Read me")
	s.Protect()
	s.Widths(22, 84)
	s.Put(1, 1, T(Title, "Site workbook"))
	s.Put(2, 1, Cell{Kind: Wrap, Span: 2, Value: "What the day plan, the clean-up and the budget are worked out from. Fill in what you " +
		"know and leave the rest empty: what is missing is then listed as not checked. Save, then run: jarwright plan"})
	s.Put(4, 1, Cell{Kind: Section, Value: "How to read the cells", Span: 2})
	row := 5
	for _, l := range []struct {
		c    Cell
		text string
	}{
		{Cell{Kind: Input, Value: "12.5"}, "to fill in: pale fill, dark border. The unit beside it may be changed too; other units are " +
			"converted when the file is read."},
		{Cell{Kind: Head, Value: "heading"}, "names of items and columns. Leave them as they are: the program finds values by them, in any " +
			"order."},
		{Cell{Kind: Muted, Value: "grey words"}, "meaning and example, for people; the program does not read them. Yes under needed means " +
			"that a plan cannot be made without it."},
	} {
		s.Put(row, 1, l.c)
		s.Put(row, 2, T(Wrap, "%s", l.text))
		row++
	}
	row++
	s.Put(row, 1, Cell{Kind: Section, Value: "Sheets", Span: 2})
	row++
	for _, sh := range site.Sheets() {
		s.Put(row, 1, T(Label, "%s", sh.Name))
		s.Put(row, 2, T(Wrap, "%s", sentenceOf(sh.Meaning)))
		row++
	}
	s.Put(row+1, 1, Cell{Kind: Caution, Span: 2, Value: "CAUTION: the safety data sheet of each product, local rules and the people " +
		"licensed for this work go before anything worked out from this file."})
}

func sentenceOf(s string) string {
	if s == "" {
		return ""
	}
	s = upperFirst(s)
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// siteSheet writes one sheet of the field table.
type siteSheet struct {
	b  *Book
	s  *Sheet
	sh site.Sheet
}

// siteHead is the row of headings.
const siteHead = 4

// value gives the cell of a value, and the unit that it came with.
func (w siteSheet) value(f site.Field, text string) (Cell, string) {
	c := Cell{Kind: Input}
	if text == "" {
		return c, ""
	}
	if v, unit, err := quantity.Split(text); f.Numeric && err == nil {
		c.Value, c.Format = v, "General"
		return c, unit
	}
	c.Value = text
	return c, ""
}

func exampleOf(f site.Field) string {
	if f.Example == "" || f.Unit == "" {
		return f.Example
	}
	if _, unit, err := quantity.Split(f.Example); err == nil && unit == "" {
		return f.Example + " " + f.Unit
	}
	return f.Example
}

// items writes one value a row.
func (w siteSheet) items(row map[string]string) {
	s := w.s
	s.Widths(26, 24, 13, 15, 52, 26, 24)
	for i, h := range []string{"item", "value", "unit", "needed?", "meaning", "example", "note"} {
		s.Put(siteHead, i+1, Cell{Kind: Head, Value: h})
	}
	s.Freeze(siteHead, 1)
	s.Repeat(siteHead, siteHead)
	for i, f := range w.sh.Fields {
		r := siteHead + 1 + i
		c, unit := w.value(f, row[f.Name])
		if unit == "" {
			unit = f.Unit
		}
		s.Put(r, 1, T(Head, "%s", f.Name))
		s.Put(r, 2, c)
		if f.Unit != "" {
			s.Put(r, 3, Cell{Kind: Input, Value: unit})
			w.units(s.At(r, 3), f)
		} else {
			s.Put(r, 3, Cell{Kind: Muted})
		}
		s.Put(r, 4, Cell{Kind: Muted, Value: string(f.Need), Indent: true})
		s.Put(r, 5, Cell{Kind: Muted, Value: sentenceOf(f.Meaning), Indent: true})
		s.Put(r, 6, Cell{Kind: Muted, Value: exampleOf(f), Indent: true})
		s.Put(r, 7, Cell{Kind: Input})
		w.rule(s.At(r, 2), f)
		w.b.Name(f.DefinedName(w.sh), s.At(r, 2))
	}
}

// list writes one thing a row.
func (w siteSheet) list(rows []map[string]string) {
	s := w.s
	widths := []float64{10}
	for i, l := range []string{"field", "needed?", "meaning", "example", "unit"} {
		s.Put(siteHead+i, 1, Cell{Kind: Head, Value: l})
	}
	first := siteHead + 5
	last := first + max(freeRows, len(rows)+5) - 1
	for i, f := range w.sh.Fields {
		col := i + 2
		wide := 13.0
		if !f.Numeric {
			wide = 20
		}
		widths = append(widths, wide)
		unit := f.Unit
		for _, row := range rows {
			if _, u, err := quantity.Split(row[f.Name]); err == nil && u != "" && f.Unit != "" {
				unit = u
				break
			}
		}
		s.Put(siteHead, col, Cell{Kind: Head, Value: f.Name})
		s.Put(siteHead+1, col, Cell{Kind: Muted, Value: string(f.Need), Indent: true})
		s.Put(siteHead+2, col, Cell{Kind: Muted, Value: f.Meaning, Indent: true})
		s.Put(siteHead+3, col, Cell{Kind: Muted, Value: exampleOf(f), Indent: true})
		if unit != "" {
			s.Put(siteHead+4, col, Cell{Kind: Input, Value: unit})
			w.units(s.At(siteHead+4, col), f)
		} else {
			s.Put(siteHead+4, col, Cell{Kind: Muted})
		}
		for r := first; r <= last; r++ {
			text := ""
			if r-first < len(rows) {
				text = rows[r-first][f.Name]
			}
			c, u := w.value(f, text)
			if u != "" && u != unit {
				c = Cell{Kind: Input, Value: text} // another unit than the column's stands in the cell itself
			}
			s.Put(r, col, c)
		}
		w.rule(s.Block(first, col, last, col), f)
	}
	for r := first; r <= last; r++ {
		s.Put(r, 1, Cell{Kind: Muted, Value: fmt.Sprint(r - first + 1), Center: true})
	}
	s.Widths(widths...)
	s.Freeze(siteHead+4, 2)
	s.Repeat(siteHead, siteHead+4)
	s.Across((len(w.sh.Fields) + 9) / 10)
	s.OnePage()
}

// units offers the units of a field; others are taken too.
func (w siteSheet) units(at Range, f site.Field) {
	choices := site.UnitChoices(f.Unit)
	if len(choices) < 2 {
		return
	}
	w.s.Choose(at, w.b.List("units like "+f.Unit, choices), "Unit", "Another unit may stand here; it is looked at when the file is "+
		"read.", true)
}

// rule offers the choices of a field, or says what it means.
func (w siteSheet) rule(at Range, f site.Field) {
	if len(f.Choices) > 0 {
		w.s.Choose(at, w.b.List(w.sh.Name+": "+f.Name, f.Choices), f.Name, sentenceOf(f.Meaning), false)
		return
	}
	w.s.Hint(at, f.Name, sentenceOf(f.Meaning))
}
