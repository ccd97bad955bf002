package sheet

import (
	"bytes"
	"errors"
	"regexp"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

// Limits against files that are small on disk and huge when unpacked, and
// against sheets that no bench fills by hand.
const (
	maxFile     = 64 << 20
	maxUnzipped = 256 << 20
	maxXML      = 64 << 20
	maxCells    = 2_000_000
	maxRows     = 200_000
	maxColumns  = 2_000
	// detailCells is how many cells are looked at one by one for their type,
	// formula and number format.
	detailCells = 60_000
)

// readWorkbook turns every worksheet of an .xlsx or .xlsm into a grid, in order.
// Values come from the row stream; only a sheet that may hold jars is looked at
// cell by cell.
func readWorkbook(name string, data []byte) ([]*grid, note.List) {
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: maxXML})
	if err != nil {
		return nil, note.List{workbookFault(name, err)}
	}
	defer f.Close()
	var out []*grid
	var notes note.List
	epoch1904 := false
	if p, err := f.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		epoch1904 = *p.Date1904
	}
	for _, s := range f.GetSheetList() {
		g := &grid{file: name, sheet: s, hiddenRow: map[int]bool{}, hiddenCol: map[int]bool{}}
		if visible, err := f.GetSheetVisible(s); err == nil {
			g.hidden = !visible
		}
		if err := streamRows(f, g); err != nil {
			var kind excelize.ErrSheetNotExist
			if errors.As(err, &kind) || strings.Contains(err.Error(), "not a worksheet") {
				continue // a chart sheet has no cells
			}
			notes.Add(note.Fault("sheet-unreadable", "sheet %q is damaged or too large to read", s).At(note.Place{File: name, Sheet: s}).Do("open the file in a spreadsheet program and save it again"))
			continue
		}
		if promising(g) {
			addDetail(f, g)
		}
		if epoch1904 {
			shiftDates(g)
		}
		out = append(out, g)
	}
	if len(out) == 0 && len(notes) == 0 {
		notes.Add(note.Fault("no-sheets", "there is no worksheet in the file, only charts").At(note.Place{File: name}))
	}
	return out, notes
}

// days1904 is how many days the dates of a workbook that counts from 1904 lie
// behind those of one that counts from 1900 (ECMA-376 part 1, 18.17.4.1, from memory).
const days1904 = 1462

// shiftDates turns the dates of a workbook that counts from 1904 into the usual count.
func shiftDates(g *grid) {
	for r := range g.rows {
		for c := range g.rows[r] {
			if x := &g.rows[r][c]; x.date && x.kind == numeric {
				x.num += days1904
				x.text = trimFloat(x.num)
			}
		}
	}
}

func workbookFault(name string, err error) note.Note {
	n := note.Fault("damaged-file", "the workbook is damaged or incomplete and cannot be opened").Do("get the file again, or open it in a spreadsheet program and save it as .xlsx")
	if strings.Contains(err.Error(), "unzip size") || strings.Contains(err.Error(), "exceeds") {
		n = note.Fault("too-large", "the workbook unpacks to more than %d MB", maxUnzipped>>20).Do("save only the bench sheet in a file of its own")
	}
	return n.At(note.Place{File: name})
}

func streamRows(f *excelize.File, g *grid) error {
	rows, err := f.Rows(g.sheet)
	if err != nil {
		return err
	}
	defer rows.Close()
	cells := 0
	for r := 0; rows.Next(); r++ {
		if r >= maxRows || cells > maxCells {
			g.bare = true
			break
		}
		cols, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return err
		}
		if rows.GetRowOpts().Hidden {
			g.hiddenRow[r] = true
		}
		if len(cols) > maxColumns {
			cols = cols[:maxColumns]
		}
		row := make([]cell, len(cols))
		for c, s := range cols {
			row[c] = rawCell(s)
		}
		cells += len(row)
		g.rows = append(g.rows, row)
	}
	for len(g.rows) > 0 && len(g.rows[len(g.rows)-1]) == 0 {
		g.rows = g.rows[:len(g.rows)-1]
	}
	return nil
}

// rawCell makes a cell of a stored value whose type is not known.
func rawCell(s string) cell {
	if strings.TrimSpace(s) == "" {
		return cell{}
	}
	if plainNumber(s) {
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			return cell{kind: numeric, text: s, num: v}
		}
	}
	if isErrorValue(s) {
		return cell{kind: faulty, text: s}
	}
	return cell{kind: textual, text: s}
}

// plainNumber reports a number as a file stores it: digits, point, sign, exponent.
func plainNumber(s string) bool {
	digits := false
	for i := 0; i < len(s); i++ {
		switch b := s[i]; {
		case b >= '0' && b <= '9':
			digits = true
		case b == '.', b == '-', b == '+':
		case (b == 'e' || b == 'E') && digits:
		default:
			return false
		}
	}
	return digits
}

func isErrorValue(s string) bool {
	switch s {
	case "#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#SPILL!", "#CALC!", "#GETTING_DATA":
		return true
	}
	return false
}

// promising reports that a sheet may hold doses, so that it is worth a closer look.
func promising(g *grid) bool {
	seen := map[string]bool{}
	for _, row := range g.rows {
		for _, c := range row {
			if c.kind != textual || len(c.text) > 200 || seen[c.text] {
				continue
			}
			if len(seen) > 2000 {
				return true
			}
			seen[c.text] = true
			h := readHeading(c.text)
			if h.dose || h.stock || h.chem != "" || h.chemical || h.unit.dim == "conc" || h.unit.dim == "volume" || h.unit.dim == "molar" {
				return true
			}
		}
	}
	return false
}

// addDetail looks at types, formulas, number formats, merged and hidden parts.
func addDetail(f *excelize.File, g *grid) {
	width := g.width()
	for c := 0; c < width; c++ {
		if visible, err := f.GetColVisible(g.sheet, columnName(c)); err == nil && !visible {
			g.hiddenCol[c] = true
		}
	}
	if merges, err := f.GetMergeCells(g.sheet); err == nil {
		for _, m := range merges {
			if s, ok := parseRange(m.GetStartAxis() + ":" + m.GetEndAxis()); ok {
				g.merges = append(g.merges, s)
			}
		}
	}
	if len(g.rows)*width > detailCells {
		g.bare = true
		return
	}
	formats := map[int]numberFormat{}
	for r := range g.rows {
		for len(g.rows[r]) < width {
			g.rows[r] = append(g.rows[r], cell{})
		}
		for c := range g.rows[r] {
			g.rows[r][c] = detailed(f, g, g.rows[r][c], r, c, formats)
		}
	}
}

func detailed(f *excelize.File, g *grid, x cell, r, c int, formats map[int]numberFormat) cell {
	axis := columnName(c) + strconv.Itoa(r+1)
	for _, m := range g.merges {
		if m.has(r, c) && (r != m.r0 || c != m.c0) {
			return cell{}
		}
	}
	if formula, err := f.GetCellFormula(g.sheet, axis); err == nil && formula != "" {
		x.formula, x.hollow = true, x.kind == empty
	}
	if x.kind == empty {
		return x
	}
	t, err := f.GetCellType(g.sheet, axis)
	if err != nil {
		return x
	}
	switch t {
	case excelize.CellTypeInlineString, excelize.CellTypeSharedString:
		raw, err := f.GetCellValue(g.sheet, axis, excelize.Options{RawCellValue: true})
		if err == nil && raw != "" {
			x.text = raw
		}
		x.kind = textual
		return x
	case excelize.CellTypeFormula: // a formula whose result is text
		x.kind = textual
		return x
	case excelize.CellTypeBool:
		x.kind, x.text = boolean, map[bool]string{true: "TRUE", false: "FALSE"}[x.text == "1"]
		return x
	case excelize.CellTypeError:
		x.kind = faulty
		return x
	}
	if x.kind == numeric {
		id, err := f.GetCellStyle(g.sheet, axis)
		if err != nil {
			return x
		}
		n, ok := formats[id]
		if !ok {
			if st, err := f.GetStyle(id); err == nil && st != nil {
				n = readFormat(st.NumFmt, st.CustomNumFmt)
			}
			formats[id] = n
		}
		x.date, x.clock, x.percent, x.format = n.date, n.clock, n.percent, n.text
	}
	return x
}

// numberFormat is what a number format tells of the value under it.
type numberFormat struct {
	date, clock, percent bool
	text                 string
}

var (
	quotedText  = regexp.MustCompile(`"([^"]*)"`)
	bracketPart = regexp.MustCompile(`\[[^\]]*\]`)
	elapsed     = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
)

// readFormat reads a number format. The built-in numbers are those of ECMA-376
// part 1, 18.8.30 (from memory): 9 and 10 percent, 14 to 17 and 22 dates, 18 to
// 21 and 45 to 47 times.
func readFormat(id int, custom *string) numberFormat {
	if custom == nil || *custom == "" {
		switch {
		case id == 9 || id == 10:
			return numberFormat{percent: true}
		case id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 36 || id >= 50 && id <= 58:
			return numberFormat{date: true}
		case id >= 18 && id <= 21 || id >= 45 && id <= 47:
			return numberFormat{clock: true}
		}
		return numberFormat{}
	}
	code, _, _ := strings.Cut(*custom, ";")
	var n numberFormat
	if strings.EqualFold(code, "general") {
		return n
	}
	for _, m := range quotedText.FindAllStringSubmatch(code, -1) {
		n.text = strings.TrimSpace(n.text + " " + strings.TrimSpace(m[1]))
	}
	n.clock = elapsed.MatchString(code)
	bare := strings.ToLower(bracketPart.ReplaceAllString(quotedText.ReplaceAllString(code, ""), ""))
	bare = regexp.MustCompile(`\\.|_.|\*.`).ReplaceAllString(bare, "")
	n.percent = strings.Contains(bare, "%")
	if !strings.ContainsAny(bare, "0#?") || strings.Contains(bare, ":") {
		switch {
		case strings.ContainsAny(bare, "yd"):
			n.date = true
		case strings.ContainsAny(bare, "hs") || strings.Contains(bare, "mm"):
			n.clock = true
		}
	}
	return n
}
