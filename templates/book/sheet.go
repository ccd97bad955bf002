package book

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Sheet is one sheet being described. Rows and columns count from 1.
type Sheet struct {
	book       *Book
	name       string
	cells      map[int]map[int]Cell
	widths     []float64
	heights    map[int]float64
	next       int // the row that Row fills, less one
	freezeRows int
	freezeCols int
	repeat     [2]int
	landscape  bool
	onePage    bool
	protect    bool
	hidden     bool
	unprinted  bool
	printed    Range
	// folded rows and columns are out of sight until their group is opened.
	foldedRows, foldedCols map[int]bool
	// fixed columns are as wide as they were asked for; scale is that of the print in per cent, 0 where it fits the
	// width of the paper; a page begins at each row of breaks.
	fixed  bool
	scale  float64
	breaks []int
	rules  []rule
	flags  []flag
	charts []placed
}

// Range is a block of cells.
type Range struct {
	Sheet                  *Sheet
	Row, Col, ToRow, ToCol int
}

// Name is the sheet's name as written.
func (s *Sheet) Name() string { return s.name }

// Put sets a cell.
func (s *Sheet) Put(row, col int, c Cell) {
	if row < 1 || col < 1 || row > 1048576 || col > 16384 {
		s.book.fail("%s: there is no cell at row %d, column %d", s.name, row, col)
		return
	}
	if s.cells[row] == nil {
		s.cells[row] = map[int]Cell{}
	}
	s.cells[row][col] = c
	s.next = max(s.next, row)
}

// Row puts cells side by side into the row under the last one used, from the
// first column on, and gives its number.
func (s *Sheet) Row(cells ...Cell) int {
	row := s.next + 1
	for i, c := range cells {
		s.Put(row, i+1, c)
	}
	s.next = row
	return row
}

// Skip leaves rows empty and gives the number of the next row that Row fills.
func (s *Sheet) Skip(rows int) int {
	s.next += rows
	return s.next + 1
}

// At gives a cell as a range.
func (s *Sheet) At(row, col int) Range { return Range{s, row, col, row, col} }

// Block gives a range of cells.
func (s *Sheet) Block(row, col, toRow, toCol int) Range { return Range{s, row, col, toRow, toCol} }

// A1 gives a range without its sheet, as "B4" or "B4:C9".
func (r Range) A1() string { return r.name(false) }

// fixed gives a range without its sheet that does not move with a formula, as "$B$4".
func (r Range) fixed() string { return r.name(true) }

// Ref gives a range with its sheet and fixed, as "'Feed'!$B$4", for formulas on
// other sheets.
func (r Range) Ref() string { return quote(r.Sheet.name) + "!" + r.fixed() }

func (r Range) name(fixed bool) string {
	a := cellName(r.Row, r.Col, fixed)
	if r.Row == r.ToRow && r.Col == r.ToCol {
		return a
	}
	return a + ":" + cellName(r.ToRow, r.ToCol, fixed)
}

// cell gives the i-th cell to the right of the first.
func (r Range) cell(i int) Range { return Range{r.Sheet, r.Row, r.Col + i, r.Row, r.Col + i} }

// down gives the i-th cell below the first.
func (r Range) down(i int) Range { return Range{r.Sheet, r.Row + i, r.Col, r.Row + i, r.Col} }

// first gives the first k cells of a column.
func (r Range) first(k int) Range { return Range{r.Sheet, r.Row, r.Col, r.Row + k - 1, r.Col} }

func quote(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }

func a1(row, col int) string { return cellName(row, col, false) }

func cellName(row, col int, fixed bool) string {
	s, err := excelize.CoordinatesToCellName(col, row, fixed)
	if err != nil {
		return "A1" // rows and columns were looked at when the cell was put
	}
	return s
}

// Widths sets the least widths of the columns from the first on, in characters.
// Columns become wider where a number or a label needs it.
func (s *Sheet) Widths(w ...float64) { s.widths = w }

// Height fixes the height of a row, in points.
func (s *Sheet) Height(row int, points float64) { s.heights[row] = points }

// Freeze keeps rows and columns in view.
func (s *Sheet) Freeze(rows, cols int) { s.freezeRows, s.freezeCols = rows, cols }

// Repeat prints rows on top of every page.
func (s *Sheet) Repeat(first, last int) { s.repeat = [2]int{first, last} }

// Landscape turns the page.
func (s *Sheet) Landscape() { s.landscape = true }

// OnePage prints the sheet on one page.
func (s *Sheet) OnePage() { s.onePage = true }

// Scaled prints the sheet at a scale in per cent, its columns as wide as they were asked for, and begins a new page
// before a part that would run over its end. Parts are the rows at which they begin, in order.
func (s *Sheet) Scaled(percent float64, parts []int) {
	_, high := s.paper()
	s.fixed, s.scale = true, percent
	widths, used := s.fitWidths(), 0.0
	parts = append([]int{1}, append(parts, s.used().ToRow+1)...)
	for i, from := range parts[:len(parts)-1] {
		part := 0.0
		for r := from; r < parts[i+1]; r++ {
			part += s.pixelsHigh(r, widths) * percent / 100
		}
		if used+part > high && used > 0 {
			s.breaks = append(s.breaks, from)
			used = 0
		}
		used += part
	}
}

// Paged prints the sheet on one page where it stays legible there, and on as many as it needs where it does not.
func (s *Sheet) Paged() { s.onePage = s.onePage || s.Fits() }

// Fits tells whether the sheet is legible on one page: at two thirds of its size or a little less.
func (s *Sheet) Fits() bool {
	const least = 0.65
	wide, high := s.paper()
	area, widths := s.area(), s.fitWidths()
	for c := area.Col; c <= area.ToCol; c++ {
		wide -= least * pixels(widths, c)
	}
	for r := area.Row; r <= area.ToRow; r++ {
		high -= least * s.pixelsHigh(r, widths)
	}
	return wide >= 0 && high >= 0
}

// paper is what a page has room for, in pixels; a little is left for programs with wider letters.
func (s *Sheet) paper() (wide, high float64) {
	wide, high = 7.0*96, 10.2*96
	if s.book.letter() {
		wide, high = 7.2*96, 9.5*96
	}
	if s.landscape {
		wide, high = high, wide
	}
	return wide, high
}

// FoldRow and FoldCol put a row or a column into a group that is closed: a click opens it,
// and formulas and readers see it all the same.
func (s *Sheet) FoldRow(row int) { s.foldedRows[row] = true }
func (s *Sheet) FoldCol(col int) { s.foldedCols[col] = true }

// Unprinted keeps the sheet off paper, because another has what is in it.
func (s *Sheet) Unprinted() { s.unprinted = true }

// Hide keeps the sheet out of sight and off paper; formulas and charts read it all the same.
func (s *Sheet) Hide() { s.hidden = true }

// Protect locks all cells but inputs, without a password.
func (s *Sheet) Protect() { s.protect = true }

// Print limits printing to a range; without it everything used is printed.
func (s *Sheet) Print(r Range) { s.printed = r }

// rule is a validation.
type rule struct {
	at       Range
	kind     string // list, decimal, any
	list     Range
	low, hi  string
	title    string
	prompt   string
	refusal  string
	strictly bool
}

// Choose lets cells take an item of a list. Where free is true, other text is
// taken too, after a question.
func (s *Sheet) Choose(at, list Range, title, prompt string, free bool) {
	s.rules = append(s.rules, rule{at: at, kind: "list", list: list, title: title, prompt: prompt, strictly: !free,
		refusal: "Pick one from the list."})
}

// Number lets cells take numbers from low to high only.
func (s *Sheet) Number(at Range, low, high float64, title, prompt string) {
	s.rules = append(s.rules, rule{at: at, kind: "decimal", low: plainNumber(low), hi: plainNumber(high), title: title, prompt: prompt,
		strictly: true,
		refusal:  fmt.Sprintf("A number from %s to %s belongs here, without its unit.", plainNumber(low), plainNumber(high))})
}

// Hint shows words when a cell is chosen and refuses nothing.
func (s *Sheet) Hint(at Range, title, prompt string) {
	s.rules = append(s.rules, rule{at: at, kind: "any", title: title, prompt: prompt})
}

func plainNumber(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.6f", v), "0"), ".")
}

// flag is a format that depends on a condition.
type flag struct {
	at      Range
	formula string
	kind    Kind
}

// Flag gives cells the letters of a kind while the formula, written for the first
// cell of the range, is true. It only repeats what words say.
func (s *Sheet) Flag(at Range, formula string, kind Kind) {
	s.flags = append(s.flags, flag{at, strings.TrimPrefix(formula, "="), kind})
}

// check looks for mistakes in the cells.
func (s *Sheet) check() {
	for at, c := range s.all {
		if f := c.fault(); f != "" {
			s.book.fail("%s!%s %s", s.name, at.A1(), f)
		}
	}
}

func (s *Sheet) rows() []int { return slices.Sorted(maps.Keys(s.cells)) }

func (s *Sheet) columns(row int) []int { return slices.Sorted(maps.Keys(s.cells[row])) }

// all goes through the cells, row by row.
func (s *Sheet) all(yield func(Range, Cell) bool) {
	for _, r := range s.rows() {
		for _, c := range s.columns(r) {
			if !yield(s.At(r, c), s.cells[r][c]) {
				return
			}
		}
	}
}

// used gives the block that cells and charts take.
func (s *Sheet) used() Range {
	r := Range{s, 1, 1, 1, 1}
	for row, cells := range s.cells {
		for col, c := range cells {
			r.ToRow = max(r.ToRow, row)
			r.ToCol = max(r.ToCol, col+max(c.Span, 1)-1)
		}
	}
	return r
}

// The width of a column is counted in digits of the standard letter, which is Arial of 11 points whatever stands in
// the cells: 8 pixels, margins within.
const (
	digit       = 8.0
	margin      = 5.0
	pixelPoint  = 96.0 / 72
	widestFit   = 46.0
	lineSpacing = 1.32
)

func textPixels(text string, l look) float64 {
	// The measuring letters run some 4 % narrower than the workbook's; a little is added for safety.
	return draw.CellWidth(text, l.size, l.bold) * pixelPoint * 1.07
}

// fitWidths widens columns to what stands in them.
func (s *Sheet) fitWidths() []float64 {
	u := s.used()
	w := make([]float64, u.ToCol)
	for i := range w {
		w[i] = 11
		if i < len(s.widths) && s.widths[i] > 0 {
			w[i] = s.widths[i]
		}
	}
	for at, cell := range s.all {
		l := cell.Kind.look()
		if cell.Span > 1 || l.runsOver || s.fixed {
			continue
		}
		pieces := []string{cell.text()}
		if l.wraps { // broken at blanks, so the longest word counts
			pieces = strings.Fields(pieces[0])
		}
		need := 0.0
		for _, p := range pieces {
			need = math.Max(need, textPixels(p, l))
		}
		if need > 0 {
			w[at.Col-1] = math.Max(w[at.Col-1], math.Min((need+3*margin)/digit, widestFit))
		}
	}
	return w
}

// fitHeight gives the height of a row in points for its wrapped text.
func (s *Sheet) fitHeight(row int, widths []float64) float64 {
	if h, ok := s.heights[row]; ok {
		return h
	}
	high := 15.0
	for c, cell := range s.cells[row] {
		l := cell.Kind.look()
		lines := 1
		room := -3 * margin
		for k := range max(cell.Span, 1) {
			room += pixels(widths, c+k)
		}
		if cell.wraps(room) {
			lines = 0
			for _, para := range strings.Split(cell.text(), "\n") {
				lines += countLines(para, l, room)
			}
		}
		high = math.Max(high, float64(lines)*l.size*lineSpacing+3)
	}
	return math.Min(high, 409)
}

// pixelsHigh is how high a row is on the screen.
func (s *Sheet) pixelsHigh(row int, widths []float64) float64 {
	if len(s.cells[row]) == 0 {
		return 15 * pixelPoint
	}
	return s.fitHeight(row, widths) * pixelPoint
}

// pixels is how wide a column is on the screen.
func pixels(widths []float64, col int) float64 {
	if col > len(widths) {
		return 9 * digit
	}
	return widths[col-1] * digit
}

// wraps tells whether text is broken into lines: always, or where it finds less
// room than it needs and may not run over its neighbours.
func (c Cell) wraps(room float64) bool {
	_, isText := c.Value.(string)
	l := c.Kind.look()
	return isText && (l.wraps || (!l.runsOver || c.Span > 1) && textPixels(c.text(), l) > room)
}

func countLines(text string, l look, room float64) int {
	lines, line := 1, 0.0
	blank := textPixels(" ", l)
	for _, w := range strings.Fields(plain.Visible(text)) {
		n := textPixels(w, l)
		switch {
		case line == 0:
			line = n
		case line+blank+n <= room:
			line += blank + n
		default:
			lines++
			line = n
		}
		for line > room && room > 0 {
			lines++
			line -= room
		}
	}
	return lines
}
