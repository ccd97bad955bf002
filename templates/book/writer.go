package book

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
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
	styles map[styleKey]int
	charts []Chart // in the order of their parts
}

const bodyFont = "Arial" // on every system, or with a stand-in of equal widths

func (w *writer) all() error {
	f, meta := w.file, w.book.meta
	day := meta.Date
	if day.IsZero() {
		day = undated
	}
	stamp := day.UTC().Format(time.RFC3339)
	errs := []error{
		f.SetDefaultFont(bodyFont),
		f.SetDocProps(&excelize.DocProperties{Creator: "jarwright", LastModifiedBy: "jarwright", Title: plain.Line(meta.Title),
			Created: stamp, Modified: stamp, Description: strings.TrimSpace("Written by jarwright " + plain.Line(meta.Version))}),
		f.SetAppProps(&excelize.AppProperties{Application: "jarwright"}),
		f.SetSheetName("Sheet1", w.book.sheets[0].name),
	}
	for _, s := range w.book.sheets[1:] {
		_, err := f.NewSheet(s.name)
		errs = append(errs, err)
	}
	for _, n := range w.book.names {
		errs = append(errs, f.SetDefinedName(&excelize.DefinedName{Name: n.name, RefersTo: n.at.Ref()}))
	}
	first := w.book.sheets[0]
	first.heights[1] = max(first.fitHeight(1, first.fitWidths()), (markHigh+2)/pixelPoint)
	errs = append(errs, w.mark(first))
	for _, s := range w.book.sheets {
		errs = append(errs, w.sheet(s))
		if s.hidden {
			errs = append(errs, f.SetSheetVisible(s.name, false))
		}
	}
	f.SetActiveSheet(0)
	parts, kinds := f.ContentTypes.Overrides, f.ContentTypes.Defaults
	sort.Slice(parts, func(i, j int) bool { return parts[i].PartName < parts[j].PartName })
	sort.Slice(kinds, func(i, j int) bool { return kinds[i].Extension < kinds[j].Extension })
	return errors.Join(errs...)
}

func ptr[T any](v T) *T { return &v }

// sheet writes one sheet.
func (w *writer) sheet(s *Sheet) error {
	errs := []error{w.page(s), w.validations(s), w.conditions(s), w.drawings(s)}
	if s.protect {
		errs = append(errs, w.file.ProtectSheet(s.name, &excelize.SheetProtectionOptions{SelectLockedCells: true, SelectUnlockedCells: true,
			FormatColumns: true, FormatRows: true, AutoFilter: true, Sort: true}))
	}
	u := s.used()
	errs = append(errs, w.file.SetSheetDimension(s.name, "A1:"+a1(u.ToRow, u.ToCol)))
	sw, err := w.file.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	widths := s.fitWidths()
	for i, v := range slices.Backward(widths) { // the library puts each before those it has
		errs = append(errs, sw.SetColWidth(i+1, i+1, v))
		if s.foldedCols[i+1] {
			errs = append(errs, sw.SetColOutlineLevel(i+1, 1), sw.SetColVisible(i+1, i+1, false))
		}
	}
	if s.freezeRows > 0 || s.freezeCols > 0 {
		pane := "bottomRight"
		if s.freezeCols == 0 {
			pane = "bottomLeft"
		} else if s.freezeRows == 0 {
			pane = "topRight"
		}
		errs = append(errs, sw.SetPanes(&excelize.Panes{Freeze: true, XSplit: s.freezeCols, YSplit: s.freezeRows,
			TopLeftCell: a1(s.freezeRows+1, s.freezeCols+1), ActivePane: pane}))
	}
	for _, row := range s.breaks {
		errs = append(errs, sw.InsertPageBreak(a1(row, 1)))
	}
	errs = append(errs, w.rows(s, sw, widths), sw.Flush())
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("sheet %s: %w", s.name, err)
	}
	return nil
}

// rows streams the cells and joins those that span.
func (w *writer) rows(s *Sheet, sw *excelize.StreamWriter, widths []float64) error {
	s.fillSpans()
	for _, r := range s.rows() {
		cols := s.columns(r)
		line := make([]any, cols[len(cols)-1])
		for _, c := range cols {
			cell := s.cells[r][c]
			style, err := w.style(cell, widths[c-1]*digit-3*margin)
			if err != nil {
				return err
			}
			line[c-1] = excelize.Cell{StyleID: style, Formula: strings.TrimPrefix(cell.Formula, "="), Value: cell.stored()}
		}
		if err := sw.SetRow(a1(r, 1), line, excelize.RowOpts{Height: s.fitHeight(r, widths), Hidden: s.foldedRows[r], OutlineLevel: folded(s.foldedRows[r])}); err != nil {
			return err
		}
	}
	for at, cell := range s.all {
		if cell.Span > 1 {
			if err := sw.MergeCell(at.A1(), at.cell(cell.Span-1).A1()); err != nil {
				return err
			}
		}
	}
	return nil
}

// outline puts the handle of a group before what is folded: under the title, not below the last row.
func (w *writer) outline(s *Sheet) error {
	if len(s.foldedRows)+len(s.foldedCols) == 0 {
		return nil
	}
	return w.file.SetSheetProps(s.name, &excelize.SheetPropsOptions{OutlineSummaryBelow: ptr(false), OutlineSummaryRight: ptr(false)})
}

// folded is the level of a group that holds a row or a column, 0 for none.
func folded(is bool) int {
	if is {
		return 1
	}
	return 0
}

// fillSpans gives joined cells their style all over, so that borders close.
func (s *Sheet) fillSpans() {
	for at, cell := range s.all {
		for i := 1; i < cell.Span; i++ {
			if _, taken := s.cells[at.Row][at.Col+i]; !taken {
				s.cells[at.Row][at.Col+i] = Cell{Kind: cell.Kind, Format: cell.Format}
			}
		}
	}
}

// stored gives the value as the library takes it: text made visible, and never long beyond a cell.
func (c Cell) stored() any {
	const most = 32000
	switch v := c.Value.(type) {
	case time.Time:
		return excelDay(v)
	case string:
		shown := plain.Line
		if c.Kind.look().wraps {
			shown = plain.Visible
		}
		if r := []rune(shown(v)); len(r) > most {
			return string(r[:most]) + "…"
		}
		return shown(v)
	}
	return c.Value
}

// excelDay gives a day as the serial number of workbooks (1 is 1900-01-01, and
// the year 1900 counts a 29 February that it never had).
func excelDay(t time.Time) float64 {
	d := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	return d.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

// styleKey is all that decides how a cell looks.
type styleKey struct {
	kind                                     Kind
	format                                   string
	wrap, center, right, indent, text, empty bool
}

// style gives the library's number for how a cell looks in that room, making it once.
func (w *writer) style(c Cell, room float64) (int, error) {
	_, text := c.Value.(string)
	k := styleKey{c.Kind, c.format(), c.Kind.look().wraps || text && c.Span > 1 || c.wraps(room), c.Center, c.Right, c.Indent, text, c.Value == nil}
	if id, made := w.styles[k]; made {
		return id, nil
	}
	id, err := w.file.NewStyle(k.style())
	w.styles[k] = id
	return id, err
}

func (k styleKey) style() *excelize.Style {
	l := k.kind.look()
	st := &excelize.Style{
		Font:       &excelize.Font{Family: bodyFont, Size: l.size, Bold: l.bold, Color: l.color[1:]},
		Alignment:  k.alignment(),
		Protection: &excelize.Protection{Locked: k.kind != Input},
		Fill:       l.pattern(),
	}
	if k.format != "" {
		st.CustomNumFmt = &k.format
	}
	for _, side := range [...]string{"left", "top", "right", "bottom"} {
		color := l.border
		if side == "bottom" {
			color = cmp.Or(color, l.under)
		}
		if color != "" {
			st.Border = append(st.Border, excelize.Border{Type: side, Color: color[1:], Style: l.weight(side)})
		}
	}
	return st
}

// weight is the library's number of a border: thin, or thick where bars stand at both sides.
func (l look) weight(side string) int {
	const thin, thick = 1, 5
	if l.bars && (side == "left" || side == "right") {
		return thick
	}
	return thin
}

// alignment is how a cell stands between its borders.
func (k styleKey) alignment() *excelize.Alignment {
	a, inset := &excelize.Alignment{Vertical: "center", WrapText: k.wrap}, k.kind.look().inset
	if k.kind == Head {
		a.Vertical = "bottom"
	}
	switch {
	case k.center:
		a.Horizontal = "center"
	case k.right || k.kind == Large && !k.text: // the number stands over its name
		a.Horizontal = "left"
		if k.right {
			a.Horizontal, a.Indent = "right", 1
		}
	case k.text && (k.indent || k.kind == Unit || inset) || k.empty && k.kind == Unit: // off the edge
		a.Horizontal, a.Indent = "left", 1
	case !k.text && inset && (!k.empty || k.format != ""):
		a.Horizontal, a.Indent = "right", 1
	}
	return a
}

// pattern is the fill as the library takes it.
func (l look) pattern() excelize.Fill {
	if l.fill == "" {
		return excelize.Fill{}
	}
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill[1:]}}
}

// page sets view, paper, print range and footer.
func (w *writer) page(s *Sheet) error {
	f := w.file
	size, turn, tall := 9, "portrait", 0
	if w.book.letter() {
		size = 1
	}
	if s.landscape {
		turn = "landscape"
	}
	if s.onePage {
		tall = 1
	}
	area := s.area()
	if s.hidden || s.unprinted { // not every program leaves hidden sheets out of a print: there an empty cell has nothing on it
		area = s.At(s.used().ToRow+1, 1)
	}
	corners := quote(s.name) + "!" + cellName(area.Row, area.Col, true) + ":" + cellName(area.ToRow, area.ToCol, true) // of one cell too
	layout := excelize.PageLayoutOptions{Size: &size, Orientation: &turn, FitToWidth: ptr(1), FitToHeight: &tall}
	if s.scale > 0 {
		layout = excelize.PageLayoutOptions{Size: &size, Orientation: &turn, AdjustTo: ptr(uint(s.scale))}
	}
	errs := []error{
		f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: ptr(s.scale == 0)}),
		w.outline(s),
		f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: ptr(false)}),
		f.SetPageLayout(s.name, &layout),
		f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: ptr(0.6), Right: ptr(0.6), Top: ptr(0.6), Bottom: ptr(0.75),
			Header: ptr(0.3), Footer: ptr(0.35)}),
		f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddFooter: "&L&8&F&C&8&A&R&8page &P of &N"}),
		f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: corners, Scope: s.name}),
	}
	if s.repeat[0] > 0 {
		titles := fmt.Sprintf("%s!$%d:$%d", quote(s.name), s.repeat[0], s.repeat[1])
		errs = append(errs, f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: titles, Scope: s.name}))
	}
	return errors.Join(errs...)
}

// area is what of a sheet is printed.
func (s *Sheet) area() Range {
	area := s.printed
	if area.Sheet == nil {
		area = s.used()
		for _, p := range s.charts {
			row, col := s.chartEnd(p)
			area.ToRow, area.ToCol = max(area.ToRow, row), max(area.ToCol, col)
		}
	}
	return area
}

func (w *writer) validations(s *Sheet) error {
	for _, r := range s.rules {
		title := cutUTF16(plain.Line(r.title), 32)
		dv := excelize.NewDataValidation(true)
		dv.Sqref = r.at.A1()
		switch r.kind {
		case "list":
			dv.SetSqrefDropList(plain.XML(r.list.Ref()))
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
			dv.SetError(how, title, cutUTF16(plain.Line(r.refusal), 225))
		}
		if r.prompt != "" {
			dv.SetInput(title, cutUTF16(plain.Line(r.prompt), 255))
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
		id, err := w.file.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: g.kind != Good, Color: l.color[1:]}})
		if err != nil {
			return err
		}
		if err := w.file.SetConditionalFormat(s.name, g.at.A1(),
			[]excelize.ConditionalFormatOptions{{Type: "formula", Criteria: g.formula, Format: &id}}); err != nil {
			return err
		}
	}
	return nil
}

// drawings places the charts. The library makes the parts and their links; what
// is inside a chart is written by its xml when the file is packed.
func (w *writer) drawings(s *Sheet) error {
	anything := quote(s.name) + "!$A$1:$A$2"
	for _, p := range s.charts {
		if err := w.file.AddChart(s.name, a1(p.row, p.col), &excelize.Chart{
			Type:      excelize.Scatter,
			Series:    []excelize.ChartSeries{{Name: "x", Categories: anything, Values: anything}},
			Dimension: excelize.ChartDimension{Width: uint(p.width), Height: uint(p.height)},
			Format: excelize.GraphicOptions{AltText: cutUTF16(p.chart.Alt, excelize.MaxGraphicAltTextLength), PrintObject: ptr(true),
				Locked: ptr(true), Positioning: "oneCell"},
		}); err != nil {
			return err
		}
		w.charts = append(w.charts, p.chart)
	}
	return nil
}
