package site

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/quantity"
)

// blankRows is how many empty rows a list sheet offers.
const blankRows = 20

// WriteYAML writes values as site.yaml, every field of the table in its place:
// those without a value stand as comments with unit and meaning.
func WriteYAML(w io.Writer, values Values) error {
	var b strings.Builder
	b.WriteString("# The site, for jarwright. Every value carries its unit. Lines with # are fields\n# that were left out; take the # away to use them.\n")
	for _, s := range Sheets() {
		fmt.Fprintf(&b, "\n# %s\n%s:\n", s.Meaning, s.Key())
		rows := values[s.Name]
		if !s.List {
			var row map[string]string
			if len(rows) > 0 {
				row = rows[0]
			}
			for _, f := range s.Fields {
				yamlLine(&b, "  ", f, row[f.Name])
			}
			continue
		}
		for _, row := range rows {
			lead := "  - "
			for _, f := range s.Fields {
				if row[f.Name] == "" && lead == "  - " {
					continue
				}
				if row[f.Name] != "" {
					yamlLine(&b, lead, f, row[f.Name])
					lead = "    "
				}
			}
		}
		b.WriteString("  # fields:\n")
		for _, f := range s.Fields {
			fmt.Fprintf(&b, "  #   %s: %s\n", f.Key(), strings.TrimSpace(f.Meaning+unitIn(f)))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func unitIn(f Field) string {
	if f.Unit == "" {
		return ""
	}
	return " [" + f.Unit + "]"
}

func yamlLine(b *strings.Builder, lead string, f Field, value string) {
	if value == "" {
		fmt.Fprintf(b, "%s# %s: %s\n", lead, f.Key(), strings.TrimSpace(f.Meaning+unitIn(f)))
		return
	}
	fmt.Fprintf(b, "%s%s: %s\n", lead, f.Key(), strconv.Quote(value))
}

// Write writes a site workbook with these values as its entries; nil writes an
// empty one. Every field stands with its unit, what it means, an example and
// whether it is needed.
func Write(w io.Writer, values Values) error {
	f := excelize.NewFile()
	defer f.Close()
	b := &writer{f: f}
	b.styles()
	b.readMe()
	for _, s := range Sheets() {
		b.sheet(s, values[s.Name])
	}
	b.lists()
	b.do(f.SetDocProps(&excelize.DocProperties{Title: "Site workbook", Creator: "jarwright", Created: "2026-01-01T00:00:00Z", Modified: "2026-01-01T00:00:00Z"}))
	f.SetActiveSheet(0)
	if b.err != nil {
		return b.err
	}
	return f.Write(w)
}

type writer struct {
	f                                              *excelize.File
	err                                            error
	title, text, head, input, number, faint, label int
	choices                                        [][]string // columns of the Lists sheet
}

func (b *writer) do(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *writer) style(s *excelize.Style) int {
	id, err := b.f.NewStyle(s)
	b.do(err)
	return id
}

func (b *writer) styles() {
	line := []excelize.Border{{Type: "left", Color: "8A8F94", Style: 1}, {Type: "right", Color: "8A8F94", Style: 1}, {Type: "top", Color: "8A8F94", Style: 1}, {Type: "bottom", Color: "8A8F94", Style: 1}}
	wrap := &excelize.Alignment{WrapText: true, Vertical: "top"}
	b.title = b.style(&excelize.Style{Font: &excelize.Font{Bold: true, Size: 14}})
	b.text = b.style(&excelize.Style{Alignment: wrap})
	b.head = b.style(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: line, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E3E6E8"}}, Alignment: wrap})
	b.input = b.style(&excelize.Style{Border: line, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF6D6"}}, Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}})
	b.number = b.style(&excelize.Style{Border: line, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF6D6"}}, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right"}})
	b.faint = b.style(&excelize.Style{Font: &excelize.Font{Italic: true, Color: "50565B"}, Alignment: wrap})
	b.label = b.style(&excelize.Style{Border: line, Alignment: wrap})
}

func cell(col, row int) string {
	c, _ := excelize.CoordinatesToCellName(col, row)
	return c
}

func (b *writer) set(tab string, col, row int, v any, style int) {
	b.do(b.f.SetCellValue(tab, cell(col, row), v))
	b.do(b.f.SetCellStyle(tab, cell(col, row), cell(col, row), style))
}

func (b *writer) readMe() {
	const tab = "Read me"
	b.do(b.f.SetSheetName("Sheet1", tab))
	b.do(b.f.SetColWidth(tab, "A", "A", 22))
	b.do(b.f.SetColWidth(tab, "B", "B", 80))
	b.set(tab, 1, 1, "Site workbook", b.title)
	b.set(tab, 1, 2, "What the day plan is worked out from. Fill in the cells with a pale fill and a border; leave empty what you do not know: it is then listed as not checked.", b.text)
	b.do(b.f.MergeCell(tab, "A2", "B2"))
	b.do(b.f.SetRowHeight(tab, 2, 32))
	rows := [][2]string{
		{"Legend", ""},
		{"pale fill, border", "a cell to fill in (the unit beside it may be changed too)"},
		{"grey heading", "names of items and columns: leave them as they are"},
		{"slanted", "explanation; not read by the program"},
		{"", ""},
		{"Sheets", ""},
	}
	r := 4
	for _, x := range rows {
		st := b.label
		if x[1] == "" {
			st = b.head
		}
		if x[0] != "" {
			b.set(tab, 1, r, x[0], st)
			b.set(tab, 2, r, x[1], st)
		}
		r++
	}
	b.do(b.f.SetCellStyle(tab, "A5", "A5", b.input))
	b.do(b.f.SetCellStyle(tab, "A7", "B7", b.faint))
	for _, s := range Sheets() {
		b.set(tab, 1, r, s.Name, b.label)
		b.set(tab, 2, r, s.Meaning, b.label)
		r++
	}
	b.set(tab, 1, r+1, "The safety data sheet of each product, local rules and the people licensed for this work go before anything worked out from this file.", b.text)
	b.do(b.f.MergeCell(tab, cell(1, r+1), cell(2, r+1)))
	b.do(b.f.SetRowHeight(tab, r+1, 32))
	b.page(tab, fmt.Sprintf("$A$1:$B$%d", r+1), "portrait")
}

// page sets print area, paper and fit to one page in width.
func (b *writer) page(tab, area, orientation string) {
	one, many, paper, fit := 1, 0, 9, true
	b.do(b.f.SetSheetProps(tab, &excelize.SheetPropsOptions{FitToPage: &fit}))
	b.do(b.f.SetPageLayout(tab, &excelize.PageLayoutOptions{Size: &paper, Orientation: &orientation, FitToWidth: &one, FitToHeight: &many}))
	b.do(b.f.SetHeaderFooter(tab, &excelize.HeaderFooterOptions{OddFooter: "&L&F&C&A&R&P / &N"}))
	b.do(b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: "'" + tab + "'!" + area, Scope: tab}))
}

func (b *writer) sheet(s Sheet, rows []map[string]string) {
	_, err := b.f.NewSheet(s.Name)
	b.do(err)
	b.set(s.Name, 1, 1, s.Name, b.title)
	b.do(b.f.SetCellValue(s.Name, "A2", s.Meaning))
	if s.List {
		b.list(s, rows)
		return
	}
	var row map[string]string
	if len(rows) > 0 {
		row = rows[0]
	}
	b.items(s, row)
}

// put writes one value, a number as a number, and reports the unit it came with.
func (b *writer) put(tab string, col, row int, f Field, value string) string {
	v, unit, err := quantity.Split(value)
	if f.Numeric && value != "" && err == nil {
		b.set(tab, col, row, v, b.number)
		return unit
	}
	st := b.input
	if f.Numeric {
		st = b.number
	}
	if value == "" {
		b.do(b.f.SetCellStyle(tab, cell(col, row), cell(col, row), st))
		return ""
	}
	b.set(tab, col, row, value, st)
	return ""
}

const itemHead = 4

func (b *writer) items(s Sheet, row map[string]string) {
	for i, w := range []float64{26, 24, 13, 22, 58, 26, 22} {
		c, _ := excelize.ColumnNumberToName(i + 1)
		b.do(b.f.SetColWidth(s.Name, c, c, w))
	}
	for i, h := range []string{"item", "value", "unit", "note", "meaning", "example", "needed?"} {
		b.set(s.Name, i+1, itemHead, h, b.head)
	}
	for i, f := range s.Fields {
		r := itemHead + 1 + i
		b.set(s.Name, 1, r, f.Name, b.label)
		unit := b.put(s.Name, 2, r, f, row[f.Name])
		if unit == "" {
			unit = f.Unit
		}
		b.set(s.Name, 3, r, unit, b.input)
		b.do(b.f.SetCellStyle(s.Name, cell(4, r), cell(4, r), b.input))
		b.set(s.Name, 5, r, f.Meaning, b.faint)
		b.set(s.Name, 6, r, example(f), b.faint)
		b.set(s.Name, 7, r, string(f.Need), b.faint)
		b.validate(s.Name, cell(2, r), f)
		b.offer(s.Name, cell(3, r), UnitChoices(f.Unit), false)
		b.do(b.f.SetDefinedName(&excelize.DefinedName{Name: f.DefinedName(s), RefersTo: fmt.Sprintf("'%s'!$B$%d", s.Name, r)}))
	}
	b.do(b.f.SetPanes(s.Name, &excelize.Panes{Freeze: true, YSplit: itemHead, TopLeftCell: cell(1, itemHead+1), ActivePane: "bottomLeft"}))
	b.page(s.Name, fmt.Sprintf("$A$1:$G$%d", itemHead+len(s.Fields)), "landscape")
}

const listHead = 4

func (b *writer) list(s Sheet, rows []map[string]string) {
	tab := s.Name
	b.do(b.f.SetColWidth(tab, "A", "A", 10))
	for i, label := range []string{"field", "meaning", "needed?", "example", "unit"} {
		b.set(tab, 1, listHead+i, label, b.head)
	}
	first := listHead + 5
	last := first + max(blankRows, len(rows)+5) - 1
	tall := 1
	for i, f := range s.Fields {
		col := i + 2
		name, _ := excelize.ColumnNumberToName(col)
		width := 13.0
		if !f.Numeric {
			width = 20
		}
		b.do(b.f.SetColWidth(tab, name, name, width))
		tall = max(tall, utf8.RuneCountInString(f.Meaning)/int(width-3)+1)
		unit := f.Unit
		for _, row := range rows {
			if _, u, err := quantity.Split(row[f.Name]); err == nil && u != "" && f.Unit != "" {
				unit = u
				break
			}
		}
		b.set(tab, col, listHead, f.Name, b.head)
		b.set(tab, col, listHead+1, f.Meaning, b.faint)
		b.set(tab, col, listHead+2, string(f.Need), b.faint)
		b.set(tab, col, listHead+3, example(f), b.faint)
		if unit != "" {
			b.set(tab, col, listHead+4, unit, b.input)
			b.offer(tab, cell(col, listHead+4), UnitChoices(f.Unit), false)
		}
		for r := first; r <= last; r++ {
			value := ""
			if r-first < len(rows) {
				value = rows[r-first][f.Name]
			}
			if u := b.put(tab, col, r, f, value); u != "" && u != unit {
				b.set(tab, col, r, value, b.input) // another unit than the column's stands in the cell itself
			}
			if i == 0 {
				b.set(tab, 1, r, r-first+1, b.faint)
			}
		}
		b.validate(tab, cell(col, first)+":"+cell(col, last), f)
	}
	b.do(b.f.SetRowHeight(tab, listHead+1, float64(15*tall)))
	b.do(b.f.SetPanes(tab, &excelize.Panes{Freeze: true, XSplit: 2, YSplit: listHead + 4, TopLeftCell: cell(3, first), ActivePane: "bottomRight"}))
	end, _ := excelize.ColumnNumberToName(len(s.Fields) + 1)
	b.page(tab, fmt.Sprintf("$A$1:$%s$%d", end, last), "landscape")
}

// validate offers the choices of a field.
func (b *writer) validate(tab, area string, f Field) {
	if len(f.Choices) > 0 {
		b.offer(tab, area, f.Choices, true)
	}
}

// offer puts a drop-down of options on an area; strict refuses anything else.
// The options stand on the Lists sheet, because a typed list is limited to 255
// characters and cannot hold a comma.
func (b *writer) offer(tab, area string, options []string, strict bool) {
	if len(options) == 0 {
		return
	}
	col := -1
	for i, c := range b.choices {
		if strings.Join(c, "\x00") == strings.Join(options, "\x00") {
			col = i
		}
	}
	if col < 0 {
		col = len(b.choices)
		b.choices = append(b.choices, options)
	}
	name, _ := excelize.ColumnNumberToName(col + 1)
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(area)
	dv.SetSqrefDropList(fmt.Sprintf("Lists!$%s$1:$%s$%d", name, name, len(options)))
	if strict {
		dv.SetError(excelize.DataValidationErrorStyleStop, "Not in the list", "Choose one of the entries of the list.")
	} else {
		dv.SetError(excelize.DataValidationErrorStyleInformation, "Another unit", "Units that are not in the list are checked when the file is read.")
	}
	b.do(b.f.AddDataValidation(tab, dv))
}

func (b *writer) lists() {
	const tab = "Lists"
	_, err := b.f.NewSheet(tab)
	b.do(err)
	for c, list := range b.choices {
		for r, v := range list {
			b.do(b.f.SetCellValue(tab, cell(c+1, r+1), v))
		}
	}
	b.do(b.f.SetSheetVisible(tab, false))
}
