package site

import (
	"bytes"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

// Limits on what is unpacked, so that a small file cannot fill the machine.
const (
	mostBytes    = 64 << 20
	mostUnpacked = 256 << 20
	mostXML      = 64 << 20
)

// Read reads a site from a workbook (.xlsx) or from YAML, by the ending of the
// name. Everything that is wrong with it is reported at once, each with its cell.
func Read(name string, r io.Reader) (Site, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return Site{}, note.Fault("unreadable", "cannot be read (%v)", err).At(note.Place{File: name}).Do("check the file")
	}
	if len(data) > mostBytes {
		return Site{}, note.Fault("too-large", "is larger than 64 MB").At(note.Place{File: name}).Do("name the site workbook")
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".yaml", ".yml":
		return readYAML(name, data)
	case ".xlsx", ".xlsm":
		return readWorkbook(name, data)
	}
	return Site{}, note.Fault("site-format", "is neither .xlsx nor .yaml").At(note.Place{File: name}).
		Do(`make a site workbook with "jarwright new site site.xlsx"`)
}

func readWorkbook(name string, data []byte) (Site, error) {
	here := note.Place{File: name}
	if why := notWorkbook(data); why != "" {
		return Site{}, note.Fault("not-a-workbook", "%s", why).At(here).Do("open it in a spreadsheet program and save it as .xlsx")
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostXML})
	if err != nil {
		return Site{}, note.Fault("unreadable", "cannot be read as a workbook (%v)", err).At(here).Do("open it in a spreadsheet program and save it again as .xlsx")
	}
	defer f.Close()
	w := &grid{f: f, file: name}
	if p, err := f.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		w.date1904 = *p.Date1904
	}
	var blocks []block
	var faults, notes note.List
	known := false
	for _, tab := range f.GetSheetList() {
		sh, ok := findSheet(tab)
		if !ok {
			if n := note.Near(tab, sheetNames()); n != "" {
				faults.Add(note.Fault("sheet-unknown", "sheet %q is not one of the site's; did you mean %q?", tab, n).At(note.Place{File: name, Sheet: tab}).Do("rename the sheet, or delete it"))
			}
			continue
		}
		known = true
		var b block
		if sh.List {
			b = w.list(tab, sh, &faults)
		} else {
			b = w.items(tab, sh, &faults)
		}
		blocks = append(blocks, b)
	}
	if !known && len(faults) == 0 {
		return Site{}, note.Fault("not-a-site", "holds none of the sheets of a site workbook").At(here).
			Do(`make one with "jarwright new site FILE"; its sheets are %s`, strings.Join(sheetNames(), ", "))
	}
	s, err := decode(name, blocks, faults)
	s.Notes = append(notes, s.Notes...)
	return s, err
}

// notWorkbook says what a file is that is no .xlsx, or "".
func notWorkbook(data []byte) string {
	switch {
	case len(data) == 0:
		return "is empty"
	case bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0}):
		return "is an old .xls workbook, or one locked with a password"
	case bytes.HasPrefix(data, []byte("PK")) && bytes.Contains(data[:min(len(data), 200)], []byte("opendocument")):
		return "is an OpenDocument sheet (.ods)"
	case bytes.HasPrefix(bytes.TrimSpace(data[:min(len(data), 200)]), []byte("<")):
		return "is a web page or XML, not a workbook"
	case !bytes.HasPrefix(data, []byte("PK")):
		return "is not a workbook (plain text under another name?)"
	}
	return ""
}

type grid struct {
	f        *excelize.File
	file     string
	date1904 bool
}

func (g *grid) place(tab string, col, row int) note.Place {
	cell, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		cell = ""
	}
	return note.Place{File: g.file, Sheet: tab, Cell: cell}
}

// read gives one cell as an entry, with numbers plain, percentages with their
// sign, dates in ISO form and times of day as hh:mm.
func (g *grid) read(tab string, col, row int) entry {
	e := entry{at: g.place(tab, col, row)}
	shown, err := g.f.GetCellValue(tab, e.at.Cell)
	if err != nil {
		return e.fail(note.Fault("unreadable", "the cell cannot be read (%v)", err).Do("save the workbook again"))
	}
	raw, _ := g.f.GetCellValue(tab, e.at.Cell, excelize.Options{RawCellValue: true})
	if formula, _ := g.f.GetCellFormula(tab, e.at.Cell); formula != "" && raw == "" {
		return e.fail(note.Fault("formula-without-value", "the formula has no stored result").Do("open the file in a spreadsheet program, save it, and run again"))
	}
	kind, _ := g.f.GetCellType(tab, e.at.Cell)
	if kind == excelize.CellTypeError || isErrorText(shown) {
		return e.fail(note.Fault("error-cell", "the cell shows %s", shown).Do("repair its formula or type the value"))
	}
	if kind == excelize.CellTypeBool {
		e.text = map[bool]string{true: "yes", false: "no"}[raw == "1" || strings.EqualFold(raw, "true")]
		return e
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil || kind == excelize.CellTypeSharedString || kind == excelize.CellTypeInlineString {
		e.text = strings.TrimSpace(raw)
		return e
	}
	switch {
	case strings.HasSuffix(strings.TrimSpace(shown), "%"):
		e.text = strconv.FormatFloat(v*100, 'g', 15, 64) + " %"
	case g.isTime(tab, e.at.Cell) && v < 1:
		minutes := int(math.Round(v * 24 * 60))
		e.text = pad(minutes/60) + ":" + pad(minutes%60)
	case g.isTime(tab, e.at.Cell):
		t, err := excelize.ExcelDateToTime(v, g.date1904)
		if err != nil {
			return e.fail(note.Fault("bad-date", "the date %q cannot be read", shown).Do("write it as year-month-day"))
		}
		e.text = t.Format("2006-01-02")
	default:
		e.text = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return e
}

func isErrorText(s string) bool {
	switch s {
	case "#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!":
		return true
	}
	return false
}

func (e entry) fail(n note.Note) entry { e.bad = &n; return e }

// isTime reports that the cell's number format shows a date or a time of day.
func (g *grid) isTime(tab, cell string) bool {
	id, err := g.f.GetCellStyle(tab, cell)
	if err != nil || id == 0 {
		return false
	}
	st, err := g.f.GetStyle(id)
	if err != nil {
		return false
	}
	if st.CustomNumFmt != nil {
		s := strings.ToLower(stripQuoted(*st.CustomNumFmt))
		return strings.ContainsAny(s, "ymdhs") && !strings.Contains(s, "general")
	}
	n := st.NumFmt
	return n >= 14 && n <= 22 || n >= 27 && n <= 36 || n >= 45 && n <= 47 || n >= 50 && n <= 58
}

// stripQuoted drops literal text and colours from a number format.
func stripQuoted(s string) string {
	var b strings.Builder
	quoted, bracket := false, false
	for _, r := range s {
		switch {
		case r == '"':
			quoted = !quoted
		case r == '[':
			bracket = true
		case r == ']':
			bracket = false
		case !quoted && !bracket:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// size gives the rows and columns of a tab that hold anything.
func (g *grid) size(tab string) (rows [][]string) {
	rows, err := g.f.GetRows(tab)
	if err != nil {
		return nil
	}
	return rows
}

// items reads a sheet of one value an item: the row with the headings "item" and
// "value", and the items below it.
func (g *grid) items(tab string, sh Sheet, faults *note.List) block {
	b := block{sheet: sh, at: note.Place{File: g.file, Sheet: tab}}
	rows := g.size(tab)
	head, item, value, unit := -1, -1, -1, -1
	for r, cells := range rows {
		item, value, unit = -1, -1, -1
		for c, text := range cells {
			switch fold(text) {
			case "item":
				item = c
			case "value":
				value = c
			case "unit":
				unit = c
			}
		}
		if item >= 0 && value >= 0 {
			head = r
			break
		}
	}
	if head < 0 {
		faults.Add(note.Fault("no-heading", `the sheet has no row with the headings "item" and "value"`).At(b.at).
			Do(`take the sheet from "jarwright new site FILE"`))
		return b
	}
	out := row{entries: map[string]entry{}, at: b.at}
	for r := head + 1; r < len(rows); r++ {
		name := at(rows[r], item)
		if strings.TrimSpace(name) == "" {
			if at(rows[r], value) != "" {
				faults.Add(note.Fault("value-without-item", "a value stands beside no item").At(g.place(tab, value+1, r+1)).Do("name the item, or delete the value"))
			}
			continue
		}
		e := g.read(tab, value+1, r+1)
		if unit >= 0 {
			e.unit = strings.TrimSpace(at(rows[r], unit))
		}
		f, ok := sh.Field(name)
		switch {
		case !ok && e.text != "":
			faults.Add(sh.unknown(name, sh.names()).At(g.place(tab, item+1, r+1)))
		case ok && out.entries[f.Name].text != "" && e.text != "":
			faults.Add(note.Fault("field-twice", "%q stands twice", f.Name).At(e.at).Do("keep one of them"))
		case ok && (e.text != "" || e.bad != nil || out.entries[f.Name].text == ""):
			out.entries[f.Name] = e
		}
	}
	b.rows = []row{out}
	return b
}

func at(cells []string, c int) string {
	if c < 0 || c >= len(cells) {
		return ""
	}
	return cells[c]
}

// rowLabels are the words in the first column of a list sheet that mark rows
// about the columns rather than a thing of the list.
var rowLabels = map[string]bool{"unit": true, "units": true, "meaning": true, "needed": true, "needed?": true, "example": true}

// list reads a sheet with one row a thing: the row of headings, a row of units
// if there is one, and the things below.
func (g *grid) list(tab string, sh Sheet, faults *note.List) block {
	b := block{sheet: sh, at: note.Place{File: g.file, Sheet: tab}}
	rows := g.size(tab)
	head, columns := -1, map[int]Field{}
	for r, cells := range rows {
		found := map[int]Field{}
		first := false
		for c, text := range cells {
			if f, ok := sh.Field(text); ok && strings.TrimSpace(text) != "" {
				found[c] = f
				first = first || f.Name == sh.Fields[0].Name
			}
		}
		if first && len(found) >= min(2, len(sh.Fields)) {
			head, columns = r, found
			break
		}
	}
	if head < 0 {
		faults.Add(note.Fault("no-heading", "the sheet has no row of headings with %q", sh.Fields[0].Name).At(b.at).
			Do(`take the sheet from "jarwright new site FILE"`))
		return b
	}
	used := map[string]int{}
	for c, text := range rows[head] {
		f, ok := columns[c]
		if !ok {
			if strings.TrimSpace(text) != "" && !rowLabels[fold(text)] && fold(text) != "field" && fold(text) != "note" && g.filled(rows, head, c) {
				faults.Add(sh.unknown(text, sh.names()).At(g.place(tab, c+1, head+1)))
			}
			continue
		}
		if first, twice := used[f.Name]; twice {
			faults.Add(note.Fault("field-twice", "the column %q stands twice (first in %s)", f.Name, g.place(tab, first+1, head+1).Cell).At(g.place(tab, c+1, head+1)).Do("keep one of them"))
			delete(columns, c)
			continue
		}
		used[f.Name] = c
	}
	units := map[int]string{}
	for r := head + 1; r < len(rows); r++ {
		label := fold(at(rows[r], 0))
		_, isField := columns[0]
		if !isField && rowLabels[label] {
			if label == "unit" || label == "units" {
				for c := range columns {
					units[c] = strings.TrimSpace(at(rows[r], c))
				}
			}
			continue
		}
		out := row{entries: map[string]entry{}, at: g.place(tab, 1, r+1)}
		any := false
		for c, f := range columns {
			e := g.read(tab, c+1, r+1)
			e.unit = units[c]
			any = any || e.text != "" || e.bad != nil
			out.entries[f.Name] = e
		}
		if any {
			b.rows = append(b.rows, out)
		}
	}
	return b
}

// filled reports that a column has anything below its heading.
func (g *grid) filled(rows [][]string, head, c int) bool {
	for r := head + 1; r < len(rows); r++ {
		if strings.TrimSpace(at(rows[r], c)) != "" {
			return true
		}
	}
	return false
}

// Rows gives the rows of a sheet of a workbook as they are stored (dates as day
// numbers), for meter logs; without a name it is the first sheet. It also tells
// the sheet's own name and whether days count from 1904.
func Rows(name string, data []byte, sheet string) (rows [][]string, tab string, date1904 bool, err error) {
	here := note.Place{File: name, Sheet: sheet}
	if why := notWorkbook(data); why != "" {
		return nil, "", false, note.Fault("not-a-workbook", "%s", why).At(here).Do("open it in a spreadsheet program and save it as .xlsx or .csv")
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostXML, RawCellValue: true})
	if err != nil {
		return nil, "", false, note.Fault("unreadable", "cannot be read as a workbook (%v)", err).At(here).Do("open it in a spreadsheet program and save it again as .xlsx, or as .csv")
	}
	defer f.Close()
	if p, err := f.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		date1904 = *p.Date1904
	}
	tabs := f.GetSheetList()
	if sheet == "" {
		sheet = tabs[0]
	}
	for _, t := range tabs {
		if fold(t) == fold(sheet) {
			rows, err := f.GetRows(t)
			if err != nil {
				return nil, t, false, note.Fault("unreadable", "the sheet cannot be read (%v)", err).At(here).Do("save the workbook again")
			}
			return rows, t, date1904, nil
		}
	}
	return nil, "", false, note.Fault("sheet-unknown", "there is no sheet %q%s", sheet, note.DidYouMean(sheet, tabs)).At(note.Place{File: name}).Do("name one of %s", orList(tabs))
}
