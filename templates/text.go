package templates

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/templates/figure"
)

// Text writes an answer for people: headings, paragraphs, aligned tables, notes,
// within the width asked for. Colour is an extra sign, never the only one.
type Text struct {
	w     *bufio.Writer
	width int
	opt   Options
	begun bool
	// gap asks for an empty line before the next one.
	gap bool
	// blocks collects the pieces instead of writing lines, where it is set.
	blocks *[]Block
}

// NewText makes a writer of text to w. Call Flush at the end.
func NewText(w io.Writer, o Options) *Text {
	width := o.Width
	if width <= 0 {
		width = 80
	}
	return &Text{w: bufio.NewWriter(w), width: max(width, 40), opt: o}
}

// Flush writes what is held back and gives the first error met.
func (t *Text) Flush() error { return t.w.Flush() }

// Width is the number of columns to keep within.
func (t *Text) Width() int { return t.width }

func (t *Text) line(s string) {
	if t.gap && s != "" {
		_ = t.w.WriteByte('\n')
	}
	t.begun, t.gap = true, false
	_, _ = t.w.WriteString(strings.TrimRight(s, " ")) // a failed write shows at Flush
	_ = t.w.WriteByte('\n')
}

// paint puts text in a terminal colour, where colour is wanted.
func (t *Text) paint(code, s string) string {
	if !t.opt.Color || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// Head starts a part: a blank line, the heading, a rule under it.
func (t *Text) Head(s string) {
	if t.keep(Block{Kind: HeadBlock, Text: s}) {
		return
	}
	if t.begun {
		t.line("")
	}
	lines := Wrap(Visible(s), t.width)
	for _, l := range lines {
		t.line(t.paint("1", l))
	}
	t.line(strings.Repeat("-", columns(lines[len(lines)-1])))
}

// Blank leaves a line empty.
func (t *Text) Blank() {
	if t.blocks == nil {
		t.line("")
	}
}

// Para writes a paragraph, wrapped.
func (t *Text) Para(s string) {
	if t.keep(Block{Kind: ParaBlock, Text: s}) {
		return
	}
	t.lines(Wrap(Visible(s), t.width)...)
}

// Say writes a paragraph with figures in it; the format's verbs are all %s.
func (t *Text) Say(format string, args ...any) { t.Para(t.opt.Say(format, args...)) }

// Item writes a list item, wrapped and indented under its mark.
func (t *Text) Item(mark, s string) {
	if t.keep(Block{Kind: ItemBlock, Mark: mark, Text: s}) {
		return
	}
	t.item(mark, columns(mark), s)
}

func (t *Text) item(mark string, markWidth int, s string) {
	pad := strings.Repeat(" ", markWidth+1)
	for i, l := range Wrap(Visible(s), t.width-len(pad)) {
		t.line(either(i == 0, mark+" ", pad) + l)
	}
}

// Verbatim writes lines as they are, such as a picture.
func (t *Text) Verbatim(lines ...string) {
	if !t.keep(Block{Kind: LinesBlock, Lines: lines}) {
		t.lines(lines...)
	}
}

func (t *Text) lines(lines ...string) {
	for _, l := range lines {
		t.line(l)
	}
}

// Fact is a name with its value: words, a figure, or a phrase that begins with one.
type Fact struct {
	Label string
	Value any
}

// facts is facts being gathered.
type facts []Fact

func (l *facts) add(label string, value any) { *l = append(*l, Fact{label, value}) }

// when adds a fact where it holds.
func (l *facts) when(holds bool, label string, value any) {
	if holds {
		l.add(label, value)
	}
}

// Facts writes names and values in two columns; long values wrap in the second.
func (t *Text) Facts(list []Fact) {
	if t.keep(Block{Kind: PairsBlock, Facts: list}) {
		return
	}
	w := 0
	for _, f := range list {
		w = max(w, columns(Visible(f.Label)))
	}
	w = min(w, t.width/2)
	lay := &layout{cols: make([]Col, 2), w: []int{w, t.width - w - 2}}
	for _, f := range list {
		t.lines(lay.lines([]string{f.Label, t.opt.Show(f.Value)})...)
	}
}

// Col is a column of a table.
type Col struct {
	Head  string
	Right bool // numbers stand to the right
	// Bare columns have their unit in the heading and numbers alone below it.
	Bare bool
	// Absent columns are left out with their cells.
	Absent bool
}

// absent is the heading of a column that this table has no use for.
const absent = "\x00"

// heading is the column's heading with the unit of its figures where they stand bare.
func (o Options) heading(c Col, cells [][]any, i int) string {
	if most := o.largest(cells, i); c.Bare && most.Known() {
		return strings.TrimSpace(c.Head + " " + o.style().Unit(most))
	}
	return c.Head
}

// largest is the figure of a column in whose unit all of its kind are shown there: a heading has one unit.
func (o Options) largest(cells [][]any, i int) (most figure.Figure) {
	for _, r := range cells {
		f, ok := at(r, i).(figure.Figure)
		if !ok || !f.Known() {
			continue
		}
		if !most.Known() {
			most = f
			continue
		}
		than, unit := most.Q.Show(o.Units)
		if v, u := f.Like(most).Q.Show(o.Units); u == unit && math.Abs(v) > math.Abs(than) {
			most = f
		}
	}
	return most
}

// at is a cell of a row, which may be short.
func at(row []any, i int) any {
	if i < len(row) {
		return row[i]
	}
	return ""
}

// cell writes one cell of a column whose largest figure is most.
func (o Options) cell(c Col, v any, most figure.Figure) string {
	if f, ok := v.(figure.Figure); ok && c.Bare {
		if f = f.Like(most); o.style().Unit(f) == o.style().Unit(most) {
			return o.style().Number(f)
		}
	}
	return o.Show(v)
}

// layout is the columns of a table and how wide each is.
type layout struct {
	cols     []Col
	w, least []int
}

// fit narrows the widest left-aligned columns until the table fits the page, then headings that stand wider than their numbers.
func (t *layout) fit(width int) {
	widest := func(right bool) int {
		at := -1
		for i, w := range t.w {
			if t.cols[i].Right == right && w > t.least[i] && (at < 0 || w > t.w[at]) {
				at = i
			}
		}
		return at
	}
	total := 2 * (len(t.cols) - 1)
	for _, w := range t.w {
		total += w
	}
	for ; total > width; total-- {
		i := widest(false)
		if i < 0 {
			i = widest(true)
		}
		if i < 0 {
			return
		}
		t.w[i]--
	}
}

// longestWord is how wide the widest word of a text is, which no wrapping breaks.
func longestWord(s string) (n int) {
	for word := range strings.FieldsSeq(s) {
		n = max(n, columns(word))
	}
	return n
}

// Grid writes a header row and rows of figures and words, each column as wide as it
// needs. Where that is wider than the page, the widest left-aligned columns are wrapped.
func (t *Text) Grid(cols []Col, cells [][]any) {
	for i := len(cols) - 1; i >= 0; i-- {
		if cols[i].Absent {
			cols = slices.Delete(slices.Clone(cols), i, i+1)
			for k, r := range cells {
				cells[k] = slices.Delete(r, i, i+1)
			}
		}
	}
	if t.keep(Block{Kind: TableBlock, Cols: cols, Cells: cells}) {
		return
	}
	heads, rows := t.opt.words(cols, cells)
	lay := &layout{cols: cols, w: make([]int, len(cols)), least: make([]int, len(cols))}
	for i := range cols {
		lay.w[i], lay.least[i] = columns(heads[i]), 12
		if cols[i].Right {
			lay.least[i] = longestWord(heads[i])
		}
	}
	for _, r := range rows {
		for i, s := range r {
			lay.w[i] = max(lay.w[i], columns(Visible(s)))
			if cols[i].Right {
				lay.least[i] = max(lay.least[i], columns(Visible(s)))
			}
		}
	}
	lay.fit(t.width)
	if strings.Join(heads, "") != "" {
		for _, l := range lay.lines(heads) {
			t.line(t.paint("1", l))
		}
	}
	for _, r := range rows {
		t.lines(lay.lines(r)...)
	}
}

// each writes a table with a row for each object; a row of nothing is left out.
func (t *Text) each(cols []Col, list []*figure.Object, row func(i int, x *figure.Object) []any) {
	var rows [][]any
	for i, x := range list {
		if r := row(i, x); r != nil {
			rows = append(rows, r)
		}
	}
	t.Grid(cols, rows)
}

// cols makes columns from their headings; one that begins with > has its cells to the
// right, one with # numbers alone, with their unit in the heading.
func cols(heads ...string) []Col {
	out := make([]Col, len(heads))
	for i, h := range heads {
		out[i].Absent = h == absent
		out[i].Head, out[i].Bare = strings.CutPrefix(h, "#")
		if out[i].Right = out[i].Bare; !out[i].Bare {
			out[i].Head, out[i].Right = strings.CutPrefix(h, ">")
		}
	}
	return out
}

// words writes a table as the reader wants its numbers.
func (o Options) words(cols []Col, cells [][]any) (heads []string, rows [][]string) {
	for i, c := range cols {
		heads = append(heads, o.heading(c, cells, i))
	}
	most := make([]figure.Figure, len(cols))
	for i := range cols {
		most[i] = o.largest(cells, i)
	}
	for _, r := range cells {
		row := make([]string, min(len(r), len(cols)))
		for i := range row {
			row[i] = o.cell(cols[i], r[i], most[i])
		}
		rows = append(rows, row)
	}
	return heads, rows
}

// lines lays one row out.
func (t *layout) lines(cells []string) []string {
	wrapped, high := make([][]string, len(t.cols)), 1
	for i, s := range cells {
		wrapped[i] = Wrap(Visible(s), t.w[i])
		high = max(high, len(wrapped[i]))
	}
	out := make([]string, high)
	for k := range out {
		parts := make([]string, len(t.cols))
		for i, c := range t.cols {
			if k < len(wrapped[i]) {
				parts[i] = wrapped[i][k]
			}
			parts[i] = either(c.Right, padLeft, padRight)(parts[i], t.w[i])
		}
		out[k] = strings.TrimRight(strings.Join(parts, "  "), " ")
	}
	return out
}

// Notes writes the notes, gravest first, each with its level in words, its
// places and what to do. A note said of several places is written once.
func (t *Text) Notes(l note.List) {
	if t.keep(Block{Kind: NotesBlock, Notes: l}) {
		return
	}
	const shownPlaces = 4
	colour := map[note.Level]string{note.Info: "2", note.Caution: "33", note.Stop: "31", note.Error: "31"}
	for _, n := range grouped(t.opt.Notes(l)) {
		mark, s := levelWord(n.Level), upperFirst(n.Message)
		if len(n.places) > shownPlaces {
			s += fmt.Sprintf(" (%s and %d more)", strings.Join(n.places[:shownPlaces], ", "), len(n.places)-shownPlaces)
		} else if len(n.places) > 0 {
			s += " (" + strings.Join(n.places, ", ") + ")"
		}
		s = remedied(s, n.Remedy)
		if t.opt.Explain && n.Source != "" {
			s += " [" + n.Source + "]"
		}
		t.item(t.paint(colour[n.Level], mark), columns(mark), s)
	}
}

// noted writes notes under a heading, where there are any.
func (t *Text) noted(head string, l note.List) {
	if len(l) > 0 {
		t.Head(head)
		t.Notes(l)
	}
}

// minded writes notes at the end of a report: those to act on under a heading that says so, then the rest.
func (t *Text) minded(l note.List) {
	calm := below(l, note.Caution, nil)
	grave := slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool { return n.Level < note.Caution })
	t.noted(either(grave.Worst() > note.Caution, "Stops and cautions", "Cautions"), grave)
	t.noted("To bear in mind", calm)
}

// aside writes notes under an empty line, where there are any.
func (t *Text) aside(l note.List) {
	if len(l) > 0 {
		t.Blank()
		t.Notes(l)
	}
}

// list writes items under a heading, where there are any.
func (t *Text) list(head string, items []string) {
	if len(items) > 0 {
		t.Head(head)
	}
	for _, s := range items {
		t.Item("-", s)
	}
}

// steps writes the steps of a working, counted, under a heading.
func (t *Text) steps(head string, list []string) {
	t.Head(head)
	for i, s := range list {
		t.Item(fmt.Sprintf("%d.", i+1), upperFirst(t.opt.decimals(s))+".")
	}
}
