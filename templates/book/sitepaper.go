package book

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/site"
)

// paperName is the sheet of the site workbook that is printed.
const paperName = "On paper"

// paperWide is how many things of a list stand side by side on paper.
const paperWide = 6

// paper writes what the sheets of a site hold, one below the other, as cells that follow theirs.
type paper struct {
	*Sheet
	row int
	// parts are the rows at which tables begin.
	parts []int
	// absent are tables of which nothing stands here, beyond the ranges of all sheets that do not.
	absent []string
	beyond []Range
}

// onPaper adds the sheet that is printed: each field in use, or that something needs, on a line of its own; a list has its things side by
// side. What somebody fills in later beyond it is counted at its end.
func (b *Book) onPaper(tables []*siteSheet) {
	p := &paper{Sheet: b.Sheet(paperName), row: 3}
	p.Protect()
	p.Widths(21, 12, 12, 12, 12, 12, 12, 12)
	p.Put(1, 1, T(Title, "The site on paper"))
	p.Put(2, 1, T(Sub, "Fill in the other sheets, and this one follows; or print it, and fill in by pencil."))
	for _, w := range tables {
		p.table(w)
	}
	p.row++
	n := p.row
	p.Put(n, 1, Cell{Kind: Label, Value: "Not on this paper"})
	p.Put(n, 3, Calc(counted(p.beyond), 0.0, "0"))
	p.Put(n, 4, Cell{Kind: Wrap, Span: 5, Value: "fields filled in later in rows or columns that were blank when this sheet was made. They count all the same."})
	if len(p.absent) > 0 {
		p.Put(n+1, 4, Cell{Kind: Muted, Span: 5, Value: "Nothing filled in: " + strings.Join(p.absent, ", ") + "."})
	}
	p.Scaled(78, append(p.parts, n))
}

// counted is the formula for how many cells of all these ranges hold something.
func counted(all []Range) string {
	var parts []string
	for part := range slices.Chunk(all, 100) { // no program takes more than 255 of them
		refs := make([]string, len(part))
		for i, r := range part {
			refs[i] = r.Ref()
		}
		parts = append(parts, "COUNTA("+strings.Join(refs, ",")+")")
	}
	return strings.Join(append(parts, "0"), "+")
}

// table writes a sheet of the site, or notes that it has nothing to show.
func (p *paper) table(w *siteSheet) {
	if empty := !slices.ContainsFunc(w.rows, func(row map[string]string) bool { return len(row) > 0 }); empty && (w.sh.Seldom || len(w.values) > 0) {
		p.absent = append(p.absent, w.sh.Name)
		p.beyond = append(p.beyond, w.inputs(func(site.Field) bool { return true }, 0)...)
		return
	}
	p.row++
	p.parts = append(p.parts, p.row)
	p.Put(p.row, 1, Cell{Kind: Section, Value: w.sh.Name, Span: 2 + paperWide})
	p.row++
	p.beyond = append(p.beyond, w.inputs(w.folds, 0)...)
	if !w.sh.List {
		p.items(w)
		return
	}
	shown := max(1, (len(w.rows)+paperWide-1)/paperWide) * paperWide
	for from := 0; from < shown; from += paperWide {
		p.things(w, from)
	}
	p.beyond = append(p.beyond, w.inputs(func(f site.Field) bool { return !w.folds(f) }, shown)...)
}

// inputs gives the cells of fields that are filled in, those of a list from a row on, neighbours as one range.
func (w *siteSheet) inputs(which func(site.Field) bool, from int) (out []Range) {
	for i, f := range w.sh.Fields {
		if !which(f) {
			continue
		}
		r := w.s.At(siteHead+1+i, 2)
		if w.sh.List {
			r = w.s.Block(siteFirst+from, i+2, w.last, i+2)
		}
		last := len(out) - 1
		switch {
		case r.Row > r.ToRow:
		case last >= 0 && w.sh.List && out[last].ToCol == r.Col-1:
			out[last].ToCol = r.Col
		case last >= 0 && !w.sh.List && out[last].ToRow == r.Row-1:
			out[last].ToRow = r.Row
		default:
			out = append(out, r)
		}
	}
	return out
}

// unfilled stands on paper where nothing is filled in. A formula that gives an empty text is stored by the library as one
// without a value, which readers refuse.
const unfilled = "·"

// same is a cell that shows another.
func same(at Range, k Kind, span int) Cell {
	c := at.Sheet.cells[at.Row][at.Col]
	v := c.Value
	if v == nil || v == "" {
		v = unfilled
	}
	return Cell{Kind: k, Value: v, Format: c.Format, Formula: fmt.Sprintf(`IF(ISBLANK(%[1]s),"%[2]s",%[1]s)`, at.Ref(), unfilled), Span: span}
}

// items writes a line for each field: its value, and what it means.
func (p *paper) items(w *siteSheet) {
	for i, f := range w.sh.Fields {
		if w.folds(f) {
			continue
		}
		r := siteHead + 1 + i
		p.Put(p.row, 1, Cell{Kind: Label, Value: f.Name})
		p.Put(p.row, 2, same(w.s.At(r, 3), Unit, 1))
		p.Put(p.row, 3, same(w.s.At(r, 2), Worked, 2))
		p.Put(p.row, 5, Cell{Kind: Muted, Value: sentenceOf(f.Meaning), Span: 4, Indent: true})
		p.row++
	}
}

// things writes a line for each field of a list, with as many of its things as stand side by side.
func (p *paper) things(w *siteSheet, from int) {
	for i, f := range w.sh.Fields {
		if w.folds(f) {
			continue
		}
		p.Put(p.row, 1, Cell{Kind: Label, Value: f.Name})
		p.Put(p.row, 2, same(w.s.At(siteHead+4, i+2), Unit, 1))
		for k := range paperWide {
			kind := Worked
			if i == 0 {
				kind = Result
			}
			p.Put(p.row, 3+k, same(w.s.At(siteFirst+from+k, i+2), kind, 1))
		}
		p.row++
	}
}
