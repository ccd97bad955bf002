package desk

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/sheet"
	"jarwright/templates"
	"jarwright/templates/page"
	"jarwright/templates/plain"
)

// BenchPage is the body of the page that shows what was understood of bench sheets.
type BenchPage struct {
	Page
	// Title says in a line what was read; a page without jars is Refused.
	Title   string
	Refused bool
	Why     string
	Ask     bool // the columns have to be named
	Sheets  []Drawn
	// Aside are the sheets that hold no jars and are not drawn.
	Aside []string
	Notes template.HTML
	// Doubts says what has to be answered first; empty where nothing has.
	Doubts string
	// Fields say how the sheets are to be read.
	Fields []Field
	// Asked are those that the sheets lack, which are asked for at once and not among Fields.
	Asked []Field
	Open  bool // one of them was set, or is wrong
	// Dose is the address of the page that goes on from here, empty where nothing can.
	Dose string
}

// Field is a field of a form: a text, or a choice among Options.
type Field struct {
	Name, Label, Value, Hint, Error string
	Unit                            string   // stands beside it, and is that of a bare number
	Units                           []string // where it may be one of several, which are chosen beside it
	Options                         []Choice
	Needed                          bool   // nothing comes of the form without it
	Help                            string // how it is answered
	Offer                           Choice // what most likely is meant, to be taken by a button
	Check, Day, Words               bool   // of a form that is a box to tick, a day, words and no number
}

// AskedKey marks a form with the fields that were asked for alone.
const AskedKey = "asked"

// Choice is one of the values that a field may have.
type Choice struct{ Value, Title string }

// Drawn is a sheet as the user knows it, in bands of rows.
type Drawn struct {
	File, Name string
	Bands      []Band
	Rest       *Band
	Facts      []sheet.FactAccount
}

// Title names the sheet.
func (d Drawn) Title() string {
	if d.Name == "" {
		return d.File
	}
	return d.File + ", sheet " + d.Name
}

// Band is a stretch of rows with the meaning of their columns above them, or, where the
// jars lie across, of their rows beside them.
type Band struct {
	Name   string
	Across bool
	Heads  []Head
	Rows   []Row
	Cut    string // what is left out of the drawing
	Meant  bool
}

// Head is a column, or a row across, with what it was taken for.
type Head struct {
	// Letter is the sheet's own name of it; Own the heading that stands there.
	Letter, Own string
	As, Unit    string
	Class       string
	State       string
	Change      string
	Values      string
	Told        bool
	key         string
}

// Row is a row of the sheet.
type Row struct {
	Line  string
	Mean  *Head
	Own   bool // a row of headings
	Cells []Filled
}

// Filled is a cell with how it is set: set aside, odd, a number.
type Filled struct{ Text, Class, Said string }

// Bounds of a drawing, which is a picture and not a list.
const (
	mostRows    = 60
	mostColumns = 30
	mostText    = 60
	mostSheets  = 12
)

// plainer are words of the account as a user says them.
var plainer = map[string]string{"label": "jar", "column": "not understood"}

// BenchOf draws what was read. Change gives the address where a column's meaning is
// changed, by the heading that names it and what it was taken for.
func BenchOf(p Page, r templates.ReadCells, o templates.Options, change func(c Head) string) (BenchPage, error) {
	b := BenchPage{Page: p, Title: plain.Line(r.InShort(o)), Refused: len(r.Series) == 0, Doubts: r.Doubts()}
	if b.Refused {
		b.Why, b.Ask = "No jar test was found in what is open here. Below stands why, and your sheet where it could be opened.", true
	}
	all := append(r.All(), r.Account.Unused...)
	var err error
	b.Notes, err = NotesOf(o.Notes(all))
	for _, s := range r.Account.Sheets {
		word := aside(s)
		if len(s.Cells) == 0 {
			continue
		}
		if word != "" && len(r.Account.Sheets) > 1 || len(b.Sheets) == mostSheets {
			b.Aside = append(b.Aside, strings.TrimSpace(cmp.Or(s.Place.Sheet, s.Place.File)+" ("+cmp.Or(word, "not drawn, since there are many")+")"))
			continue
		}
		b.Sheets = append(b.Sheets, drawn(s, change))
	}
	b.Ask = b.Ask && len(b.Sheets) > 0
	return b, err
}

// NotesOf are notes as a page has them.
func NotesOf(l note.List) (template.HTML, error) {
	var s strings.Builder
	if len(l) == 0 {
		return "", nil
	}
	err := page.WriteNotes(&s, l)
	return template.HTML(s.String()), err
}

// Write renders the body.
func (b BenchPage) Write() (template.HTML, error) { return b.body("bench.html", b) }

// aside says why a sheet that has no jars need not be drawn: all its cells were set aside
// for one reason.
func aside(s sheet.SheetAccount) string {
	if len(s.Columns) > 0 || len(s.Cells) == 0 {
		return ""
	}
	first := s.Cells[0].As()
	for _, c := range s.Cells {
		if c.State != sheet.SetAside || c.As() != first {
			return ""
		}
	}
	return first
}

// drawing is a sheet on its way to being drawn.
type drawing struct {
	s      sheet.SheetAccount
	at     map[[2]int]sheet.Cell
	rows   []int // the filled ones
	change func(Head) string
}

// drawn draws a sheet: its tables, then, folded, what stands beside them.
func drawn(s sheet.SheetAccount, change func(Head) string) Drawn {
	d := drawing{s: s, at: map[[2]int]sheet.Cell{}, change: change}
	for _, c := range s.Cells {
		if r, k, ok := grid.ParseCell(c.At); ok {
			d.at[[2]int{r, k}] = c
			if len(d.rows) == 0 || d.rows[len(d.rows)-1] != r {
				d.rows = append(d.rows, r)
			}
		}
	}
	out := Drawn{File: s.Place.File, Name: s.Place.Sheet, Facts: s.Facts()}
	slices.SortStableFunc(out.Facts, func(a, b sheet.FactAccount) int { // one block of the sheet after the other
		_, x, _ := grid.ParseCell(a.At)
		_, y, _ := grid.ParseCell(b.At)
		return cmp.Compare(x, y)
	})
	spans := d.spans()
	held := func(r int) bool {
		return slices.ContainsFunc(spans, func(b grid.Span) bool { return r >= b.R0 && r <= b.R1 })
	}
	if len(spans) == 0 {
		out.Bands = []Band{d.band("", d.rows, nil)}
		return out
	}
	var odd, rest []int
	for _, r := range d.rows {
		switch {
		case held(r):
		case d.unclear(r):
			odd = append(odd, r)
		default:
			rest = append(rest, r)
		}
	}
	for _, b := range spans {
		var rows []int
		for _, r := range d.rows {
			if r >= b.R0 && r <= b.R1 {
				rows = append(rows, r)
			}
		}
		var cols []sheet.ColumnAccount
		for _, c := range s.Columns {
			if x, ok := grid.ParseRange(c.Table); ok && x.R0 >= b.R0 && x.R1 <= b.R1 {
				cols = append(cols, c)
			}
		}
		out.Bands = append(out.Bands, d.band("", rows, cols))
	}
	if len(odd) > 0 {
		out.Bands = append(out.Bands, d.band("Beside the tables, not understood", odd, nil))
	}
	if len(rest) > 0 {
		b := d.band("", rest, nil)
		out.Rest = &b
	}
	return out
}

// spans are the rows that hold tables, those that share rows as one.
func (d drawing) spans() (out []grid.Span) {
	for _, c := range d.s.Columns {
		if x, ok := grid.ParseRange(c.Table); ok && !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	slices.SortFunc(out, func(a, b grid.Span) int { return cmp.Compare(a.R0, b.R0) })
	for i := 1; i < len(out); {
		if out[i].R0 <= out[i-1].R1 {
			out[i-1].R1 = max(out[i-1].R1, out[i].R1)
			out = slices.Delete(out, i, i+1)
			continue
		}
		i++
	}
	return out
}

func (d drawing) unclear(r int) bool {
	for k, c := range d.at {
		if k[0] == r && c.State == sheet.NotUnderstood {
			return true
		}
	}
	return false
}

// band draws rows with the columns that have meanings there.
func (d drawing) band(name string, rows []int, cols []sheet.ColumnAccount) Band {
	b := Band{Name: name, Meant: len(cols) > 0 || name == "" && len(d.s.Columns) == 0}
	across := len(cols) > 0 && !slices.ContainsFunc(cols, func(c sheet.ColumnAccount) bool { return !c.Across })
	b.Across = across
	if len(rows) > mostRows {
		b.Cut = fmt.Sprintf("Rows %d to %d are left out of this drawing; what was said of them stands below.", rows[mostRows]+1, rows[len(rows)-1]+1)
		rows = rows[:mostRows]
	}
	var letters []int
	for k := range d.at {
		if slices.Contains(rows, k[0]) && !slices.Contains(letters, k[1]) {
			letters = append(letters, k[1])
		}
	}
	slices.Sort(letters)
	if len(letters) > mostColumns {
		b.Cut = strings.TrimSpace(b.Cut + fmt.Sprintf(" Columns %s to %s are left out of it.", grid.ColumnName(letters[mostColumns]), grid.ColumnName(letters[len(letters)-1])))
		letters = letters[:mostColumns]
	}
	heads := map[int]sheet.ColumnAccount{} // by column, or by row
	first := -1
	for _, c := range cols {
		r, k, ok := grid.ParseCell(c.At)
		if !ok {
			continue
		}
		if first < 0 || r > first {
			first = r
		}
		if across {
			k = r
		}
		if _, had := heads[k]; !had {
			heads[k] = c
		}
	}
	for _, k := range letters {
		h := Head{Letter: grid.ColumnName(k), key: grid.ColumnName(k)}
		if c, ok := heads[k]; ok && !across {
			h = d.head(c, h.Letter)
		}
		var values []string
		for _, r := range rows {
			if c, ok := d.at[[2]int{r, k}]; ok && (r > first || across) {
				values = append(values, valueOf(c, h, len(d.s.Columns) > 0))
			}
		}
		h.Values = few(values)
		if !across && b.Meant {
			if h.As == "" {
				h.As, h.Class, h.State = "not read", "aside", "set aside"
			}
			h.Change = d.change(h)
		}
		b.Heads = append(b.Heads, h)
	}
	for _, r := range rows {
		row := Row{Line: strconv.Itoa(r + 1), Own: !across && r <= first}
		if c, ok := heads[r]; ok && across {
			h := d.head(c, row.Line)
			var values []string
			_, from, _ := grid.ParseCell(c.At)
			for _, k := range letters {
				if x, ok := d.at[[2]int{r, k}]; ok && k > from {
					values = append(values, valueOf(x, h, true))
				}
			}
			h.Values = few(values)
			h.Change = d.change(h)
			row.Mean = &h
		}
		for i, k := range letters {
			f := filledOf(d.at, r, k, len(d.s.Columns) > 0)
			switch h := b.Heads[i]; {
			case row.Own:
				f.Class = strings.TrimSpace(strings.ReplaceAll(f.Class, "aside", ""))
			case h.As == "jar":
				f.Class = strings.TrimSpace(strings.ReplaceAll(f.Class, "num", ""))
			case f.Text == "" && h.Class == "aside":
				f.Class = h.Class
			}
			row.Cells = append(row.Cells, f)
		}
		b.Rows = append(b.Rows, row)
	}
	return b
}

// filledOf is a cell as it is drawn. What was not understood is marked where something
// was: of a sheet without jars that would be every cell.
func filledOf(at map[[2]int]sheet.Cell, r, k int, marked bool) Filled {
	c, ok := at[[2]int{r, k}]
	if !ok {
		return Filled{}
	}
	f := Filled{Text: clip(c.Text)}
	if _, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(c.Text), ",", ".", 1), 64); err == nil {
		f.Class = "num"
	}
	switch c.State {
	case sheet.SetAside:
		f.Class = strings.TrimSpace(f.Class + " aside")
		f.Said = "set aside"
	case sheet.NotUnderstood:
		if !marked {
			break
		}
		f.Class = strings.TrimSpace(f.Class + " odd")
		f.Said = "not understood"
	}
	return f
}

// head is what is said of a column of a table.
func (d drawing) head(c sheet.ColumnAccount, letter string) Head {
	as := c.As()
	as = cmp.Or(plainer[as], as)
	h := Head{Letter: letter, As: as, State: c.State.String(), Told: c.Told, key: c.Heading}
	if r, k, ok := grid.ParseCell(c.At); ok {
		h.Own = clip(d.at[[2]int{r, k}].Text)
	}
	h.Unit = strings.Replace(c.Unit, " not stated", ", basis not stated", 1)
	if c.Repeats > 0 {
		h.Unit = strings.TrimPrefix(fmt.Sprintf("%s, reading %d of %d", h.Unit, c.Repeat, c.Repeats), ", ")
	}
	switch c.State {
	case sheet.SetAside:
		h.Class = "aside"
	case sheet.NotUnderstood:
		h.Class = "odd"
	}
	return h
}

// Key is how --column names what the heading is of.
func (h Head) Key() string { return h.key }

// Many reports more columns than a sheet of paper is wide enough for.
func (b Band) Many() bool { return len(b.Heads) > 11 }

// Items are the columns, or rows across, one below the other.
func (b Band) Items() []Head {
	if !b.Across {
		return b.Heads
	}
	var out []Head
	for _, r := range b.Rows {
		if r.Mean != nil {
			out = append(out, *r.Mean)
		}
	}
	return out
}

// valueOf is what stands in a cell of a column, and that it was not understood where the column was.
func valueOf(c sheet.Cell, of Head, marked bool) string {
	if marked && c.State == sheet.NotUnderstood && of.Class == "" {
		return clip(c.Text) + " (not understood)"
	}
	return clip(c.Text)
}

// few writes values one after the other, and says how many more there are.
func few(values []string) string {
	const most = 12
	if len(values) == 0 {
		return "empty"
	}
	if n := len(values) - most; n > 1 {
		return strings.Join(values[:most], ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(values, ", ")
}

// clip is what stands in a cell, on one short line.
func clip(s string) string {
	s = plain.Line(s)
	if r := []rune(s); len(r) > mostText {
		return string(r[:mostText-1]) + "…"
	}
	return s
}

// Change is the body of the page on which a column is said to be something else.
type Change struct {
	Page
	// Column names it as --column does; Head is what it was taken for.
	Column string
	Head   Head
	// Kinds are what it may be, in groups; Kind and Unit what is chosen.
	Kinds      []Kinds
	Kind, Unit string
	Units      []string
	Back       string
}

// Kinds is a group of choices.
type Kinds struct {
	Title   string
	Choices []Choice
}

// Write renders the body.
func (c Change) Write() (template.HTML, error) { return c.body("change.html", c) }
