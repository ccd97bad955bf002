package book

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"sort"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/plain"
)

// writer turns a described workbook into a file. The order of its steps is what
// the library needs: everything of a sheet but its rows comes first, the rows
// are streamed, and after that the sheet is not touched again.
type writer struct {
	book   *Book
	file   *excelize.File
	styles map[string]int
	charts []*placed // in the order of their parts
}

const bodyFont = "Arial" // on every system, or with a stand-in of equal widths

func (w *writer) all() error {
	f := w.file
	if err := f.SetDefaultFont(bodyFont); err != nil {
		return err
	}
	day := w.book.meta.Date
	if day.IsZero() {
		day = undated
	}
	stamp := day.UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "jarwright", LastModifiedBy: "jarwright", Title: plain.Line(w.book.meta.Title),
		Created: stamp, Modified: stamp, Description: strings.TrimSpace("Written by jarwright " + plain.Line(w.book.meta.Version))}); err != nil {
		return err
	}
	if err := f.SetAppProps(&excelize.AppProperties{Application: "jarwright"}); err != nil {
		return err
	}
	for i, s := range w.book.sheets {
		if i == 0 {
			if err := f.SetSheetName("Sheet1", s.name); err != nil {
				return err
			}
		} else if _, err := f.NewSheet(s.name); err != nil {
			return err
		}
	}
	for _, n := range w.book.names {
		if err := f.SetDefinedName(&excelize.DefinedName{Name: n.name, RefersTo: n.at.Ref()}); err != nil {
			return fmt.Errorf("name %s: %w", n.name, err)
		}
	}
	for _, s := range w.book.sheets {
		if err := w.sheet(s); err != nil {
			return fmt.Errorf("sheet %s: %w", s.name, err)
		}
	}
	f.SetActiveSheet(0)
	sort.Slice(f.ContentTypes.Overrides, func(i, j int) bool {
		return f.ContentTypes.Overrides[i].PartName < f.ContentTypes.Overrides[j].PartName
	})
	sort.Slice(f.ContentTypes.Defaults, func(i, j int) bool {
		return f.ContentTypes.Defaults[i].Extension < f.ContentTypes.Defaults[j].Extension
	})
	return nil
}

func ptr[T any](v T) *T { return &v }

// sheet writes one sheet.
func (w *writer) sheet(s *Sheet) error {
	f := w.file
	for _, step := range [...]func(*Sheet) error{w.page, w.validations, w.conditions, w.drawings} {
		if err := step(s); err != nil {
			return err
		}
	}
	if s.protect {
		if err := f.ProtectSheet(s.name, &excelize.SheetProtectionOptions{SelectLockedCells: true, SelectUnlockedCells: true,
			FormatColumns: true, FormatRows: true, AutoFilter: true, Sort: true}); err != nil {
			return err
		}
	}
	u := s.used()
	if err := f.SetSheetDimension(s.name, "A1:"+a1(u.ToRow, u.ToCol)); err != nil {
		return err
	}
	sw, err := f.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	widths := s.fitWidths()
	for i, v := range widths {
		if err := sw.SetColWidth(i+1, i+1, v); err != nil {
			return err
		}
		if s.hiddenColumns[i+1] {
			if err := sw.SetColVisible(i+1, i+1, false); err != nil {
				return err
			}
		}
	}
	if s.freezeRows > 0 || s.freezeCols > 0 {
		pane := "bottomRight"
		if s.freezeCols == 0 {
			pane = "bottomLeft"
		} else if s.freezeRows == 0 {
			pane = "topRight"
		}
		if err := sw.SetPanes(&excelize.Panes{Freeze: true, XSplit: s.freezeCols, YSplit: s.freezeRows, TopLeftCell: a1(s.freezeRows+1, s.freezeCols+1), ActivePane: pane}); err != nil {
			return err
		}
	}
	for _, r := range s.breaks {
		if err := sw.InsertPageBreak(a1(r, 1)); err != nil {
			return err
		}
	}
	if err := w.rows(s, sw, widths); err != nil {
		return err
	}
	return sw.Flush()
}

// rows streams the cells and joins those that span.
func (w *writer) rows(s *Sheet, sw *excelize.StreamWriter, widths []float64) error {
	s.fillSpans()
	for _, r := range s.rows() {
		cols := s.columns(r)
		line := make([]any, cols[len(cols)-1])
		for _, c := range cols {
			cell := s.cells[r][c]
			style, err := w.style(s, cell, widths, c)
			if err != nil {
				return err
			}
			line[c-1] = excelize.Cell{StyleID: style, Formula: strings.TrimPrefix(cell.Formula, "="), Value: cell.stored()}
		}
		if err := sw.SetRow(a1(r, 1), line, excelize.RowOpts{Height: s.fitHeight(r, widths)}); err != nil {
			return err
		}
	}
	for _, r := range s.rows() {
		for _, c := range s.columns(r) {
			cell := s.cells[r][c]
			if cell.Span > 1 || cell.Down > 1 {
				if err := sw.MergeCell(a1(r, c), a1(r+max(cell.Down, 1)-1, c+max(cell.Span, 1)-1)); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// fillSpans gives joined cells their style all over, so that borders close.
func (s *Sheet) fillSpans() {
	for _, r := range s.rows() {
		for _, c := range s.columns(r) {
			cell := s.cells[r][c]
			for dr := range max(cell.Down, 1) {
				for dc := range max(cell.Span, 1) {
					if dr+dc == 0 {
						continue
					}
					if _, taken := s.cells[r+dr][c+dc]; !taken {
						if s.cells[r+dr] == nil {
							s.cells[r+dr] = map[int]Cell{}
						}
						s.cells[r+dr][c+dc] = Cell{Kind: cell.Kind, Format: cell.Format}
					}
				}
			}
		}
	}
}

// stored gives the value as the library takes it: text made visible, and never long beyond a cell.
func (c Cell) stored() any {
	const most = 32000
	v, ok := c.Value.(string)
	if !ok {
		if t, isTime := c.Value.(time.Time); isTime {
			return excelDay(t)
		}
		return c.Value
	}
	if c.Kind.wraps() {
		v = plain.Visible(v)
	} else {
		v = plain.Line(v)
	}
	if r := []rune(v); len(r) > most {
		v = string(r[:most]) + "…"
	}
	return v
}

// excelDay gives a day as the serial number of workbooks (1 is 1900-01-01, and
// the year 1900 counts a 29 February that it never had).
func excelDay(t time.Time) float64 {
	d := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	return d.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

// style gives the library's number for how a cell looks, making it once.
func (w *writer) style(s *Sheet, c Cell, widths []float64, col int) (int, error) {
	l := c.Kind.look()
	format := c.Format
	if format == "" {
		switch v := c.Value.(type) {
		case time.Time:
			format = "yyyy-mm-dd"
		case float64:
			format = Digits(v, 4)
		}
	}
	_, isText := c.Value.(string)
	wrap := c.Kind.wraps()
	if isText && !wrap && c.wrapsAnyway() && c.Span <= 1 && col <= len(widths) {
		wrap = textPixels(c.text(), l) > widths[col-1]*digit-margin
	}
	if isText && c.Span > 1 {
		wrap = true
	}
	key := fmt.Sprintf("%d|%s|%t|%t|%t|%t|%t", c.Kind, format, wrap, c.Center, isText, c.Value == nil, c.Indent)
	if id, ok := w.styles[key]; ok {
		return id, nil
	}
	st := &excelize.Style{
		Font:       &excelize.Font{Family: bodyFont, Size: l.size, Bold: l.bold, Italic: l.italic, Color: l.color[1:]},
		Alignment:  &excelize.Alignment{Vertical: "center", WrapText: wrap},
		Protection: &excelize.Protection{Locked: c.Kind != Input},
	}
	switch {
	case c.Center:
		st.Alignment.Horizontal = "center"
	case isText && (c.Indent || c.Kind == Unit || l.border != "") || c.Value == nil && c.Kind == Unit: // off the border
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	case !isText && l.border != "" && (c.Value != nil || c.Format != ""):
		st.Alignment.Horizontal, st.Alignment.Indent = "right", 1
	}
	if format != "" {
		st.CustomNumFmt = &format
	}
	if l.fill != "" {
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill[1:]}}
	}
	if l.border != "" {
		for _, side := range [...]string{"left", "top", "right", "bottom"} {
			st.Border = append(st.Border, excelize.Border{Type: side, Color: l.border[1:], Style: 1})
		}
	}
	if l.under != "" {
		st.Border = append(st.Border, excelize.Border{Type: "bottom", Color: l.under[1:], Style: 1})
	}
	id, err := w.file.NewStyle(st)
	w.styles[key] = id
	return id, err
}

// page sets view, paper, print range and footer.
func (w *writer) page(s *Sheet) error {
	f := w.file
	props := &excelize.SheetPropsOptions{FitToPage: ptr(true)}
	if s.tab != "" {
		props.TabColorRGB = &s.tab
	}
	if err := f.SetSheetProps(s.name, props); err != nil {
		return err
	}
	if err := f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: ptr(false)}); err != nil {
		return err
	}
	size, turn, tall := 9, "portrait", 0
	if strings.EqualFold(w.book.meta.Paper, "letter") {
		size = 1
	}
	if s.landscape {
		turn = "landscape"
	}
	if s.onePage {
		tall = 1
	}
	if err := f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: &size, Orientation: &turn, FitToWidth: ptr(max(s.across, 1)), FitToHeight: &tall}); err != nil {
		return err
	}
	if err := f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: ptr(0.6), Right: ptr(0.6), Top: ptr(0.6), Bottom: ptr(0.75), Header: ptr(0.3), Footer: ptr(0.35)}); err != nil {
		return err
	}
	if err := f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddFooter: "&L&8&F&C&8&A&R&8page &P of &N"}); err != nil {
		return err
	}
	area := s.printed
	if area.Sheet == nil {
		area = s.used()
		for _, p := range s.charts {
			row, col := s.chartEnd(p)
			area.ToRow, area.ToCol = max(area.ToRow, row), max(area.ToCol, col)
		}
	}
	if err := f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: quote(s.name) + "!" + fixed(area.Row, area.Col) + ":" + fixed(area.ToRow, area.ToCol), Scope: s.name}); err != nil {
		return err
	}
	if s.repeat[0] > 0 {
		titles := fmt.Sprintf("%s!$%d:$%d", quote(s.name), s.repeat[0], s.repeat[1])
		if s.across > 1 {
			titles = quote(s.name) + "!$A:$B," + titles
		}
		return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: titles, Scope: s.name})
	}
	return nil
}

func (w *writer) validations(s *Sheet) error {
	for _, r := range s.rules {
		dv := excelize.NewDataValidation(true)
		dv.Sqref = r.at.A1()
		switch r.kind {
		case "list":
			dv.SetSqrefDropList(escapeXML(r.list.Ref()))
		case "decimal":
			if err := dv.SetRange(r.low, r.hi, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween); err != nil {
				return err
			}
		}
		if r.refusal != "" {
			how := excelize.DataValidationErrorStyleStop
			if !r.strictly {
				how = excelize.DataValidationErrorStyleWarning
			}
			dv.SetError(how, cutUTF16(plain.Line(r.title), 32), cutUTF16(plain.Line(r.refusal), 225))
		}
		if r.prompt != "" {
			dv.SetInput(cutUTF16(plain.Line(r.title), 32), cutUTF16(plain.Line(r.prompt), 255))
		}
		if err := w.file.AddDataValidation(s.name, dv); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) conditions(s *Sheet) error {
	for _, g := range s.flags {
		l := g.kind.look()
		st := &excelize.Style{Font: &excelize.Font{Bold: l.bold, Color: l.color[1:]}}
		if l.fill != "" {
			st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill[1:]}}
		}
		id, err := w.file.NewConditionalStyle(st)
		if err != nil {
			return err
		}
		if err := w.file.SetConditionalFormat(s.name, g.at.A1(), []excelize.ConditionalFormatOptions{{Type: "formula", Criteria: g.formula, Format: &id}}); err != nil {
			return err
		}
	}
	return nil
}

// drawings places the charts. The library makes the parts and their links; what
// is inside a chart is written by chartXML when the file is packed.
func (w *writer) drawings(s *Sheet) error {
	for i := range s.charts {
		p := &s.charts[i]
		err := w.file.AddChart(s.name, a1(p.row, p.col), &excelize.Chart{
			Type:      excelize.Scatter,
			Series:    []excelize.ChartSeries{{Name: "x", Categories: quote(s.name) + "!$A$1:$A$2", Values: quote(s.name) + "!$A$1:$A$2"}},
			Dimension: excelize.ChartDimension{Width: uint(p.width), Height: uint(p.height)},
			Format:    excelize.GraphicOptions{PrintObject: ptr(true), Locked: ptr(true), Positioning: "oneCell"},
		})
		if err != nil {
			return err
		}
		w.charts = append(w.charts, p)
	}
	return nil
}

func escapeXML(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes everything
	return b.String()
}
