package book

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Sheet is one sheet being described. Rows and columns count from 1.
type Sheet struct {
	book          *Book
	name          string
	cells         map[int]map[int]Cell
	widths        []float64
	heights       map[int]float64
	next          int // the row that Row fills, less one
	freezeRows    int
	freezeCols    int
	repeat        [2]int
	landscape     bool
	onePage       bool
	across        int
	protect       bool
	printed       Range
	breaks        []int
	rules         []rule
	flags         []flag
	charts        []placed
	tab           string
	hiddenColumns map[int]bool
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
func (r Range) A1() string {
	a := a1(r.Row, r.Col)
	if r.Row == r.ToRow && r.Col == r.ToCol {
		return a
	}
	return a + ":" + a1(r.ToRow, r.ToCol)
}

// Ref gives a range with its sheet and fixed, as "'Feed'!$B$4", for formulas on
// other sheets.
func (r Range) Ref() string {
	a := fixed(r.Row, r.Col)
	if r.Row != r.ToRow || r.Col != r.ToCol {
		a += ":" + fixed(r.ToRow, r.ToCol)
	}
	return quote(r.Sheet.name) + "!" + a
}

func quote(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }

func a1(row, col int) string {
	s, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		return "A1" // rows and columns were looked at when the cell was put
	}
	return s
}

func fixed(row, col int) string {
	s, err := excelize.CoordinatesToCellName(col, row, true)
	if err != nil {
		return "$A$1"
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

// Across prints the sheet over that many pages side by side, the first two
// columns on each.
func (s *Sheet) Across(pages int) { s.across = pages }

// Protect locks all cells but inputs, without a password.
func (s *Sheet) Protect() { s.protect = true }

// Print limits printing to a range; without it everything used is printed.
func (s *Sheet) Print(r Range) { s.printed = r }

// Break starts a new page above the row.
func (s *Sheet) Break(row int) { s.breaks = append(s.breaks, row) }

// Tab colours the sheet's tab.
func (s *Sheet) Tab(t draw.Tone) { s.tab = t.Hex()[1:] }

// HideColumn hides a column.
func (s *Sheet) HideColumn(col int) {
	if s.hiddenColumns == nil {
		s.hiddenColumns = map[int]bool{}
	}
	s.hiddenColumns[col] = true
}

// rule is a validation.
type rule struct {
	at       Range
	kind     string // list, decimal, whole, date, text
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
		refusal: "Pick one from the list, which stands on the sheet " + list.Sheet.name + "."})
}

// Number lets cells take numbers from low to high only.
func (s *Sheet) Number(at Range, low, high float64, title, prompt string) {
	s.rules = append(s.rules, rule{at: at, kind: "decimal", low: plainNumber(low), hi: plainNumber(high), title: title, prompt: prompt, strictly: true,
		refusal: fmt.Sprintf("A number from %s to %s belongs here, without its unit.", plainNumber(low), plainNumber(high))})
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

// Flag gives cells the fill of a kind while the formula, written for the first
// cell of the range, is true. It only repeats what words say.
func (s *Sheet) Flag(at Range, formula string, kind Kind) {
	s.flags = append(s.flags, flag{at, strings.TrimPrefix(formula, "="), kind})
}

// check looks for mistakes in the cells.
func (s *Sheet) check() {
	for _, r := range s.rows() {
		for _, c := range s.columns(r) {
			if f := s.cells[r][c].fault(); f != "" {
				s.book.fail("%s!%s %s", s.name, a1(r, c), f)
			}
		}
	}
}

func (s *Sheet) rows() []int {
	out := make([]int, 0, len(s.cells))
	for r := range s.cells {
		out = append(out, r)
	}
	sort.Ints(out)
	return out
}

func (s *Sheet) columns(row int) []int {
	out := make([]int, 0, len(s.cells[row]))
	for c := range s.cells[row] {
		out = append(out, c)
	}
	sort.Ints(out)
	return out
}

// used gives the block that cells and charts take.
func (s *Sheet) used() Range {
	r := Range{s, 1, 1, 1, 1}
	for row, cells := range s.cells {
		for col, c := range cells {
			r.ToRow = max(r.ToRow, row+max(c.Down, 1)-1)
			r.ToCol = max(r.ToCol, col+max(c.Span, 1)-1)
		}
	}
	return r
}

// The width of a column is counted in digits of the standard letter, 7 pixels
// wide at 10 points, plus 5 pixels of margin.
const (
	digit       = 7.0
	margin      = 5.0
	pixelPoint  = 96.0 / 72
	widestFit   = 46.0
	lineSpacing = 1.32
)

func textPixels(text string, l look) float64 {
	// The measuring letters run some 4 % narrower than the workbook's; a little is added for safety.
	return draw.TextWidth(text, l.size, l.bold) * pixelPoint * 1.07
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
	for _, r := range s.rows() {
		for _, c := range s.columns(r) {
			cell := s.cells[r][c]
			if cell.Span > 1 {
				continue
			}
			need := 0.0
			switch cell.Kind {
			case Title, Sub, Section: // may run over their neighbours
			case Wrap, Muted, Head, Good, Caution, Stop: // broken at blanks, so the longest word counts
				for _, word := range strings.Fields(cell.text()) {
					need = math.Max(need, textPixels(word, cell.Kind.look()))
				}
			default:
				need = textPixels(cell.text(), cell.Kind.look())
			}
			if need > 0 {
				w[c-1] = math.Max(w[c-1], math.Min((need+3*margin)/digit, widestFit))
			}
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
	for _, c := range s.columns(row) {
		cell := s.cells[row][c]
		l := cell.Kind.look()
		lines := 1
		room := -3 * margin
		for k := range max(cell.Span, 1) {
			if c-1+k < len(widths) {
				room += widths[c-1+k]*digit + margin
			} else {
				room += 9*digit + margin
			}
		}
		if _, isText := cell.Value.(string); isText && (cell.Kind.wraps() || textPixels(cell.text(), l) > room && cell.wrapsAnyway()) {
			lines = 0
			for _, para := range strings.Split(cell.text(), "\n") {
				lines += countLines(para, l, room)
			}
		}
		if cell.Down > 1 {
			continue
		}
		high = math.Max(high, float64(lines)*l.size*lineSpacing+3)
	}
	return math.Min(high, 409)
}

// wrapsAnyway tells kinds that stay on one line while they fit their column.
func (c Cell) wrapsAnyway() bool {
	switch c.Kind {
	case Title, Sub, Section:
		return c.Span > 1
	}
	return true
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
