package templates

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// LiveReport is a report that adds sheets with live formulas to its workbook:
// inputs that the user may change, and what follows from them.
type LiveReport interface {
	Live(b *book.Book, o Options) error
}

// WriteBook writes any report as a workbook: a summary first, the report's own
// live sheets, then its figures as a table, what was assumed, the cautions and
// the working.
func WriteBook(w io.Writer, r Report, o Options) error {
	o.Explain = true
	blocks := Blocks(r, o)
	title := "jarwright"
	if i := slices.IndexFunc(blocks, Block.heads); i >= 0 {
		title = blocks[i].title()
	}
	bk := book.New(book.Meta{Title: title, Paper: o.Paper, Date: o.Date, Version: o.Version})
	main, working := splitWorking(blocks)
	var picture draw.Drawing
	if d, ok := r.(DrawReport); ok {
		picture = d.Drawing(o)
	}
	first := firstPage(main, picture, o)
	summary := &bookWriter{o: o, summary: bk.Sheet("Summary"), picture: picture, high: first.high}
	var rest []*bookWriter
	for _, name := range []string{whatToDo, details} {
		if slices.ContainsFunc(first.rest, func(part []Block) bool { return sheetOf(part) == name }) {
			rest = append(rest, &bookWriter{o: o, summary: bk.Sheet(name), drawn: true})
		}
	}
	if l, ok := r.(LiveReport); ok {
		if err := l.Live(bk, o); err != nil {
			return err
		}
	}
	if len(picture.Panels) > 0 || slices.ContainsFunc(main, func(b Block) bool { return b.Beside }) {
		summary.charted(bk)
	}
	summary.write(slices.Concat(first.shown...))
	summary.summary.Paged()
	for _, x := range rest {
		x.data = summary.data
		x.rest(first.rest)
	}
	tableSheet(bk, r.Table(), o)
	notes := o.Notes(allNotes(blocks))
	noteSheet(bk, "Assumed", "What was assumed and inferred", notes.Only(note.Info))
	noteSheet(bk, "Cautions", "Cautions", slices.DeleteFunc(notes.Sorted(), func(n note.Note) bool { return n.Level == note.Info }))
	if len(working) > 0 {
		x := &bookWriter{o: o, summary: bk.Sheet("Working")}
		x.write(append([]Block{{Kind: HeadBlock, Text: "Working"}}, working...))
	}
	return bk.Write(w)
}

// bookParts are the parts of a report: those that its summary shows, and the rest.
type bookParts struct {
	shown, rest [][]Block
	// high is how high a chart of the report's picture may be for the answer to stay on one page, in pixels.
	high int
}

// highest and lowest are the bounds of a chart's height, for a picture of one panel and of several.
var highest, lowest = map[bool]int{false: 400, true: 210}, map[bool]int{false: 240, true: 90}

// firstPage parts a report so that its summary stays legible on one page: the answer first, then what else of it is not
// behind something, in its order, for as long as there is room.
func firstPage(blocks []Block, picture draw.Drawing, o Options) (p bookParts) {
	fits, several := true, len(picture.Panels) > 1
	p.high = highest[several]
	for i, part := range partsAt(blocks) {
		if i > 0 && (part[0].Behind || !fits) {
			p.rest = append(p.rest, part)
			continue
		}
		both := append(slices.Clone(p.shown), part)
		for fits = p.fit(both, picture, o); i == 0 && !fits && p.high > lowest[several]; fits = p.fit(both, picture, o) {
			p.high -= 20
		}
		if fits || i == 0 {
			p.shown = append(p.shown, part)
		} else {
			p.rest = append(p.rest, part)
		}
	}
	return p
}

// fit tells whether a summary of these parts is legible on one page.
func (p bookParts) fit(parts [][]Block, picture draw.Drawing, o Options) bool {
	bk := book.New(book.Meta{Paper: o.Paper})
	x := &bookWriter{o: o, summary: bk.Sheet("Summary"), picture: picture, high: p.high}
	x.charted(bk)
	x.write(slices.Concat(parts...))
	return x.summary.Fits()
}

// partsAt cuts blocks at their headings.
func partsAt(blocks []Block) (parts [][]Block) {
	for _, b := range blocks {
		if len(parts) == 0 || b.heads() {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], b)
	}
	return parts
}

// sheetOf is the sheet of a part for which the summary has no room.
func sheetOf(part []Block) string {
	if strings.HasPrefix(part[0].title(), whatToDo) {
		return whatToDo
	}
	return details
}

// details is the sheet of what a summary has in short, or no room for.
const details = "Details"

// rest writes the parts that belong on this sheet.
func (x *bookWriter) rest(parts [][]Block) {
	var own []Block
	for _, p := range parts {
		if sheetOf(p) == x.summary.Name() {
			own = append(own, p...)
		}
	}
	if x.summary.Name() == details {
		own = slices.Insert(own, 0, Block{Kind: HeadBlock, Text: details})
	}
	x.write(own)
	x.summary.Paged()
}

// charted makes the sheet that charts take their numbers from.
func (x *bookWriter) charted(bk *book.Book) {
	x.data = bk.Sheet("Chart data")
	x.data.Put(1, 1, book.T(book.Title, "What the charts show"))
	x.data.Freeze(3, 0)
	x.data.Hide()
}

// isWorking reports the heading of how figures came about.
func isWorking(head string) bool {
	return strings.HasPrefix(head, "Working") || strings.HasSuffix(head, ": working")
}

// splitWorking takes the parts that are working out.
func splitWorking(blocks []Block) (main, working []Block) {
	in := false
	for _, b := range blocks {
		if b.OnPage {
			continue
		}
		if b.heads() {
			in = strings.HasPrefix(b.title(), "Working")
		}
		if in {
			working = append(working, b)
		} else {
			main = append(main, b)
		}
	}
	return main, working
}

func allNotes(blocks []Block) note.List {
	var l note.List
	for _, b := range blocks {
		l.Add(b.Notes...)
	}
	return l
}

// bookWriter lays blocks out on a sheet.
type bookWriter struct {
	o       Options
	summary *book.Sheet
	data    *book.Sheet
	picture draw.Drawing
	high    int // of a chart of the picture, in pixels
	row     int
	drawn   bool
}

// across is how many columns running text takes.
const across = 6

// chartWide is the width of a chart in pixels: that of running text.
const chartWide = 740

func (x *bookWriter) write(blocks []Block) {
	s := x.summary
	s.Widths(26, 18, 14, 14, 14, 14, 14, 14)
	x.row = 1
	heads := 0
	for _, b := range blocks {
		if b.heads() {
			if heads++; heads == 2 {
				x.charts()
			}
		}
		x.block(b, heads)
	}
	x.charts()
	s.Put(x.row+1, 1, book.Cell{Kind: book.Muted, Span: across, Value: "The safety data sheet of each product, local rules and the people licensed for this work go before anything worked out here."})
}

// charts places the report's picture as charts, once.
func (x *bookWriter) charts() {
	if x.drawn || x.data == nil {
		return
	}
	x.drawn = true
	x.row = x.summary.Plot(x.row+1, 1, chartWide, x.high, x.data, x.picture) + 1
}

func (x *bookWriter) block(b Block, heads int) {
	s := x.summary
	switch b.Kind {
	case HeadBlock:
		if heads > 1 {
			x.row++
			x.words(book.Section, b.Text)
			break
		}
		x.title(b.Text)
	case AnswerBlock:
		x.answer(b.Answer, heads)
	case ParaBlock:
		x.words(book.Wrap, b.Text)
	case ItemBlock:
		x.words(book.Wrap, "– "+upperFirst(itemText(Block{Mark: b.Mark, Text: b.sourced()})))
	case PairsBlock:
		for _, f := range b.Facts {
			x.fact(f)
		}
	case PictureBlock:
		if b.Beside {
			x.row = s.Plot(x.row+1, 1, chartWide, 260, x.data, b.Picture) + 1
		}
	case TableBlock:
		x.table(b)
	case NotesBlock:
		for _, n := range grouped(x.o.Notes(b.Notes)) {
			x.words(kindOf(n.Level), upperFirst(levelWord(n.Level))+": "+upperFirst(remedied(n.Message, n.Remedy)))
		}
	case LinesBlock:
		for _, l := range b.Lines {
			s.Put(x.row, 1, book.T(book.Text, "%s", l))
			x.row++
		}
	}
}

// answer writes an answer: its numbers large, each a cell of its own with the unit beside.
func (x *bookWriter) answer(a Answer, heads int) {
	s := x.summary
	if heads > 1 {
		x.row++
	}
	x.title(a.heading())
	if a.When != "" {
		x.words(book.Muted, a.When)
	}
	for _, n := range a.Numbers {
		x.words(book.Wrap, n.For)
		if n.Words != "" || !n.Value.Known() {
			s.Put(x.row, 1, book.T(book.Large, "%s", n.said(x.o)))
		} else {
			v, unit := n.Value.Q.Show(x.o.Units)
			s.Put(x.row, 1, book.Cell{Kind: book.Large, Value: v, Format: format(n.Value.For(x.o.Units), v)})
			s.Put(x.row, 2, book.T(book.Unit, "%s", unit))
		}
		x.row++
		if n.Under != "" {
			x.words(book.Wrap, n.Under)
		}
		for _, f := range n.Beside {
			x.fact(f)
		}
	}
	if a.Sure != "" {
		x.words(book.Wrap, a.Sure)
	}
	if order := strings.TrimSpace(a.Order + " " + a.Detail); order != "" {
		x.words(book.Plate, order)
	}
	if len(a.Stops) > 0 {
		x.block(Block{Kind: NotesBlock, Notes: a.Stops}, heads)
	}
}

// title writes the name of the sheet or of a part with an answer of its own; the mark has the room beside it.
func (x *bookWriter) title(text string) {
	x.summary.Put(x.row, 1, book.Cell{Kind: book.Title, Value: text, Span: across})
	x.row++
}

// words writes running text.
func (x *bookWriter) words(k book.Kind, text string) {
	x.summary.Put(x.row, 1, book.Cell{Kind: k, Value: text, Span: across})
	x.row++
}

// fact writes a name, its number with the unit beside it, and the words that follow.
func (x *bookWriter) fact(f Fact) {
	s := x.summary
	s.Put(x.row, 1, book.T(book.Label, "%s", f.Label))
	n, rest, ok := figure.Lead(f.Value)
	if !ok {
		s.Put(x.row, 2, book.Cell{Kind: book.Wrap, Value: x.o.Show(f.Value), Span: across - 1})
		x.row++
		return
	}
	v, unit := n.Q.Show(x.o.Units)
	s.Put(x.row, 2, book.Cell{Kind: book.Value, Value: v, Format: format(n.For(x.o.Units), v)})
	s.Put(x.row, 3, book.T(book.Unit, "%s", unit))
	words := x.o.Show(rest)
	if b := n.Basis; b != quantity.NotStated { // the unit's cell has no room for it
		between := ", "
		if strings.HasPrefix(words, "(") {
			between = " "
		}
		words = strings.TrimRight(b.String()+between+words, ", ")
	}
	if words != "" {
		s.Put(x.row, 4, book.Cell{Kind: book.Wrap, Value: words, Span: across - 3})
	}
	x.row++
}

// format is the number format that shows a figure as text would.
func format(f figure.Figure, v float64) string {
	if fixed, ok := formats[f.Form]; ok {
		return fixed
	}
	digits := cmp.Or(f.Digits, 3)
	if f.Form == figure.Sign {
		d := book.Digits(v, f.Digits)
		return "+" + d + ";-" + d + ";0"
	}
	if f.Form == figure.Brief { // as many decimals as text would show
		_, decimals, _ := strings.Cut(quantity.Brief(v, digits), ".")
		if len(decimals) > 0 {
			return "0." + strings.Repeat("0", len(decimals))
		}
		digits = 1
	}
	return book.Digits(v, digits)
}

// formats are those of the forms that ask for the same digits whatever the number.
var formats = map[figure.Form]string{figure.Signed: "+0.0;-0.0;0", figure.Tenth: "0.0", figure.Cents: "#,##0.00", figure.Whole: "#,##0",
	figure.SignCents: "+0.00;-0.00;0.00", figure.Fine: "0.0000"}

// apart gives the ends of intervals columns of their own, so that they are numbers.
func apart(b Block) Block {
	for i := len(b.Cols) - 1; i >= 0; i-- {
		whole := true
		for _, r := range b.Cells {
			_, is := at(r, i).(figure.Interval)
			whole = whole && !is
		}
		if whole {
			continue
		}
		b.Cols = slices.Insert(slices.Clone(b.Cols), i+1, Col{Head: "from", Right: true}, Col{Head: "to", Right: true})
		rows := make([][]any, len(b.Cells))
		for k, r := range b.Cells {
			value, from, to := at(r, i), any(""), any("")
			if v, is := value.(figure.Interval); is {
				low, high := v.Ends()
				value, from, to = v.Figure, or(low, "no lower end"), or(high, "beyond the range")
			}
			rows[k] = slices.Insert(slices.Clone(r), min(i+1, len(r)), from, to)
			rows[k][i] = value
		}
		b.Cells = rows
	}
	return b
}

// or gives words for a figure that is not known.
func or(f figure.Figure, words string) any {
	if f.Known() {
		return f
	}
	return words
}

func (x *bookWriter) table(b Block) {
	s := x.summary
	b = apart(b)
	last, span := len(b.Cols)-1, 1
	if last >= 0 && !b.Cols[last].Right { // words in the last column take the rest of the page
		span = max(1, across-last)
	}
	for i, c := range b.Cols {
		h := book.Cell{Kind: book.Head, Value: x.headed(b, c, i), Right: c.Right}
		if i == last {
			h.Span = span
		}
		s.Put(x.row, i+1, h)
	}
	x.row++
	for _, r := range b.Cells {
		for i := range min(len(b.Cols), len(r)) {
			c := x.cellOf(b, r[i], i)
			c.Indent = true
			if i == last {
				c.Span = span
			}
			s.Put(x.row, i+1, c)
		}
		x.row++
	}
	x.row++
}

// headed is a heading with the unit that the numbers of its column stand in.
func (x *bookWriter) headed(b Block, c Col, i int) string {
	if unit := x.unit(b, i); unit != "" {
		return strings.TrimSpace(c.Head + " (" + unit + ")")
	}
	return c.Head
}

// unit is the one in which all figures of a column are shown.
func (x *bookWriter) unit(b Block, i int) string { return x.o.style().Unit(x.o.largest(b.Cells, i)) }

// cellOf is a cell of a table: a number for a figure, words for words.
func (x *bookWriter) cellOf(b Block, v any, i int) book.Cell {
	switch f := v.(type) {
	case figure.Figure:
		if !f.Known() {
			return book.Cell{Kind: book.Value, Value: figure.Unknown, Center: true}
		}
		n, u := f.Like(x.o.largest(b.Cells, i)).Q.Show(x.o.Units)
		return book.Num(n, format(f.For(x.o.Units), n)+either(u == x.unit(b, i), "", ` "`+u+`"`))
	case figure.Clock:
		return book.Num(float64(quantity.Wrapped(quantity.Time(f), 24))/24, "hh:mm")
	case int:
		return book.Num(float64(f), "#,##0")
	}
	return x.cell(x.o.Show(v), b.Cols[i].Right)
}

// cell turns the text of a table into a number where it is one.
func (x *bookWriter) cell(text string, right bool) book.Cell {
	t := strings.TrimSpace(text)
	if x.o.DecimalComma {
		t = strings.Replace(t, ",", ".", 1)
	}
	if v, err := strconv.ParseFloat(t, 64); err == nil && right {
		_, decimals, _ := strings.Cut(t, ".")
		return book.Num(v, "0"+either(decimals != "" && !strings.ContainsAny(t, "eE"), "."+strings.Repeat("0", len(decimals)), ""))
	}
	return book.Cell{Kind: either(right, book.Value, book.Wrap), Value: text}
}

// tableSheet writes the table for programs, numbers as numbers.
func tableSheet(b *book.Book, t figure.Table, o Options) {
	s := b.Sheet("Data")
	s.Landscape()
	s.Unprinted() // it is for programs
	s.Freeze(1, 1)
	s.Repeat(1, 1)
	for i, c := range t.Cols {
		s.Put(1, i+1, book.Cell{Kind: book.Head, Value: c.Heading()})
		for r := range t.Rows {
			cell := t.Cell(r, i)
			if words, ok := o.worded(t, r, i); ok {
				cell = words
			}
			switch v := cell.(type) {
			case float64:
				s.Put(r+2, i+1, book.Num(v, "General"))
			case bool, string:
				s.Put(r+2, i+1, book.Cell{Kind: book.Value, Value: v})
			}
		}
	}
}

// noteSheet writes notes as a table, where there are any.
func noteSheet(b *book.Book, name, title string, l note.List) {
	if len(l) == 0 {
		return
	}
	s := b.Sheet(name)
	s.Widths(12, 70, 46, 30, 30)
	s.Landscape()
	s.Put(1, 1, book.T(book.Title, "%s", title))
	for c, h := range []string{"Level", "What", "What to do", "Where", "Source"} {
		s.Put(3, c+1, book.T(book.Head, "%s", h))
	}
	s.Repeat(3, 3)
	for i, n := range grouped(l) {
		s.Put(4+i, 1, book.T(kindOf(n.Level), "%s", upperFirst(levelWord(n.Level))))
		for c, text := range []string{upperFirst(n.Message), upperFirst(n.Remedy), strings.Join(n.places, ", "), n.Source} {
			s.Put(4+i, c+2, book.T(book.Wrap, "%s", text))
		}
	}
}

func kindOf(l note.Level) book.Kind {
	return map[note.Level]book.Kind{note.Info: book.Wrap, note.Caution: book.Caution, note.Stop: book.Stop, note.Error: book.Stop}[l]
}

// oneNote is a note with all its places.
type oneNote struct {
	note.Note
	places []string
}

// grouped joins notes that say the same of several places, gravest first.
func grouped(l note.List) []*oneNote {
	var out []*oneNote
	at := map[[4]string]*oneNote{}
	for _, n := range l.Sorted() {
		key := [4]string{n.Level.String(), n.Code, n.Message, n.Remedy}
		g := at[key]
		if g == nil {
			g = &oneNote{Note: n}
			at[key] = g
			out = append(out, g)
		}
		if p := n.Place.String(); p != "" {
			g.places = append(g.places, p)
		}
	}
	return out
}

// levelWord is a level as a note begins with it.
func levelWord(l note.Level) string {
	if l == note.Info {
		return l.String()
	}
	return strings.ToUpper(l.String())
}

// remedied is a message with what to do; one that asks keeps its mark.
func remedied(message, remedy string) string {
	if remedy == "" {
		return message
	}
	return message + either(strings.HasSuffix(message, "?"), " ", ". ") + upperFirst(remedy)
}
