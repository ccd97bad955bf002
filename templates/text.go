package templates

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"jarwright/jartest/note"
)

// Text writes an answer for people: headings, paragraphs, aligned tables, notes,
// within the width asked for. Colour is an extra sign, never the only one.
type Text struct {
	w     *bufio.Writer
	width int
	opt   Options
	begun bool
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
	t.begun = true
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
	for _, l := range Wrap(Visible(s), t.width) {
		t.line(l)
	}
}

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
		if i == 0 {
			t.line(mark + " " + l)
		} else {
			t.line(pad + l)
		}
	}
}

// Verbatim writes lines as they are, such as a picture.
func (t *Text) Verbatim(lines ...string) {
	if t.keep(Block{Kind: LinesBlock, Lines: lines}) {
		return
	}
	for _, l := range lines {
		t.line(l)
	}
}

// Pairs writes name and value in two columns; long values wrap in the second.
func (t *Text) Pairs(rows [][2]string) {
	if t.keep(Block{Kind: PairsBlock, Pairs: rows}) {
		return
	}
	w := 0
	for _, r := range rows {
		w = max(w, columns(Visible(r[0])))
	}
	w = min(w, t.width/2)
	for _, r := range rows {
		name := Wrap(Visible(r[0]), w)
		value := Wrap(Visible(r[1]), t.width-w-2)
		for i := range max(len(name), len(value)) {
			var n, v string
			if i < len(name) {
				n = name[i]
			}
			if i < len(value) {
				v = value[i]
			}
			t.line(padRight(n, w) + "  " + v)
		}
	}
}

// Col is a column of a table.
type Col struct {
	Head  string
	Right bool // numbers stand to the right
}

// layout is the columns of a table and how wide each is.
type layout struct {
	cols []Col
	w    []int
}

// fit narrows the widest left-aligned columns until the table fits the page.
func (t *layout) fit(width int) {
	for {
		total, widest := 2*(len(t.cols)-1), -1
		for i, w := range t.w {
			total += w
			if !t.cols[i].Right && w > 12 && (widest < 0 || w > t.w[widest]) {
				widest = i
			}
		}
		if total <= width || widest < 0 {
			return
		}
		t.w[widest]--
	}
}

// Table writes a header row and rows, each column as wide as it needs. Where
// that is wider than the page, the widest left-aligned columns are wrapped.
func (t *Text) Table(cols []Col, rows [][]string) {
	if t.keep(Block{Kind: TableBlock, Cols: cols, Rows: rows}) {
		return
	}
	lay := &layout{cols: cols, w: make([]int, len(cols))}
	heads := make([]string, len(cols))
	for i, c := range cols {
		heads[i] = c.Head
		lay.w[i] = columns(c.Head)
	}
	for _, r := range rows {
		for i := range min(len(cols), len(r)) {
			lay.w[i] = max(lay.w[i], columns(Visible(r[i])))
		}
	}
	lay.fit(t.width)
	for _, l := range lay.lines(heads) {
		t.line(t.paint("1", l))
	}
	for _, r := range rows {
		for _, l := range lay.lines(r) {
			t.line(l)
		}
	}
}

// lines lays one row out.
func (t *layout) lines(cells []string) []string {
	wrapped := make([][]string, len(t.cols))
	high := 1
	for i := range t.cols {
		if i < len(cells) {
			wrapped[i] = []string{Visible(cells[i])}
			if columns(wrapped[i][0]) > t.w[i] {
				wrapped[i] = Wrap(wrapped[i][0], t.w[i])
			}
			high = max(high, len(wrapped[i]))
		}
	}
	out := make([]string, high)
	for k := range out {
		parts := make([]string, len(t.cols))
		for i, c := range t.cols {
			s := ""
			if k < len(wrapped[i]) {
				s = wrapped[i][k]
			}
			if c.Right {
				parts[i] = padLeft(s, t.w[i])
			} else {
				parts[i] = padRight(s, t.w[i])
			}
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
	type group struct {
		n      note.Note
		places []string
	}
	var groups []*group
	at := map[[4]string]*group{}
	for _, n := range l.Sorted() {
		key := [4]string{n.Level.String(), n.Code, n.Message, n.Remedy}
		g := at[key]
		if g == nil {
			g = &group{n: n}
			at[key] = g
			groups = append(groups, g)
		}
		if p := n.Place.String(); p != "" {
			g.places = append(g.places, p)
		}
	}
	colour := map[note.Level]string{note.Info: "2", note.Caution: "33", note.Stop: "31", note.Error: "31"}
	for _, g := range groups {
		mark := g.n.Level.String()
		if g.n.Level != note.Info {
			mark = strings.ToUpper(mark)
		}
		s := g.n.Message
		if len(g.places) > shownPlaces {
			s += fmt.Sprintf(" (%s and %d more)", strings.Join(g.places[:shownPlaces], ", "), len(g.places)-shownPlaces)
		} else if len(g.places) > 0 {
			s += " (" + strings.Join(g.places, ", ") + ")"
		}
		if g.n.Remedy != "" {
			s += ". " + upperFirst(g.n.Remedy)
		}
		if t.opt.Explain && g.n.Source != "" {
			s += " [" + g.n.Source + "]"
		}
		t.item(t.paint(colour[g.n.Level], mark), columns(mark), s)
	}
}
