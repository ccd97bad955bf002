package templates

import (
	"fmt"
	"io"
	"slices"

	"jarwright/jartest/note"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// CardReport is a report with cards for the operator: pages of their own for the
// wall beside the pump and the stock tank.
type CardReport interface {
	Cards(o Options) []page.Card
}

// WallReport is a report whose page begins with a card for the wall.
type WallReport interface {
	// OnWall says what the first sheet is and what the next one.
	OnWall(o Options) Wall
}

// Wall is the first sheet of a report: its name, that of the sheet after it, and what stands over its answer.
type Wall struct {
	Title, Next, Valid, Ask string
}

// onWall are the parts that the first sheet of a [WallReport] has beside its answer, in their order there.
var onWall = []string{"", whatToDoWhen, lookFirst, "Accepted risks"}

// WritePage writes any report as a page: the same pieces as its text, with the
// working, the picture, the cards, and the sources that its notes name.
func WritePage(w io.Writer, r Report, o Options) error { return asPage(r, o).Write(w) }

// WriteHalves writes what stands on that page in two, for a page around it that has something between the answer and what
// stands below it; the cards are left out.
func WriteHalves(above, below io.Writer, r Report, o Options) error {
	return asPage(r, o).WriteHalves(above, below)
}

// asPage is a report as its page.
func asPage(r Report, o Options) page.Page {
	o.Explain = true // a page is kept and passed on, so it shows how its figures came about
	p := page.Page{Title: "jarwright", Paper: o.Paper, When: dated(o.Date), Version: o.Version, Command: o.Command}
	blocks := Blocks(r, o)
	if len(blocks) > 0 && blocks[0].heads() {
		p.Title = blocks[0].title()
		if blocks[0].Kind == AnswerBlock {
			p.Answer = pageAnswer(o, blocks[0].Answer)
		}
		blocks = blocks[1:]
	}
	if p.Answer != nil {
		blocks = ledger(o, p.Answer, blocks)
	}
	lead, blocks := leading(ParaBlock, blocks) // the answer under the title
	blocks = gravest(blocks)
	for _, b := range lead {
		p.Lead = append(p.Lead, b.Text)
	}
	if wall, ok := r.(WallReport); ok && p.Answer != nil {
		p.Parts = hang(o, &p, wall.OnWall(o), blocks)
	} else {
		p.Parts = partsOf(o, &p, blocks)
	}
	if c, ok := r.(CardReport); ok {
		for _, card := range c.Cards(o) {
			p.Parts = append(p.Parts, card)
		}
	}
	return p
}

// gravest puts the cautions, where they have a part of their own, before all others and the pictures.
func gravest(blocks []Block) []Block {
	at := slices.IndexFunc(blocks, func(b Block) bool { return b.heads() && slices.Contains(cautions, b.Text) })
	to := slices.IndexFunc(blocks, func(b Block) bool { return b.heads() || b.Kind == PictureBlock })
	if at < 0 {
		return blocks
	}
	n := 1 + slices.IndexFunc(append(slices.Clone(blocks[at+1:]), Block{Kind: HeadBlock}), Block.heads)
	return slices.Concat(blocks[:to], blocks[at:at+n], blocks[to:at], blocks[at+n:])
}

// cautions are what the part is called that has the cautions of a report.
var cautions = []string{lookFirst, "Cautions", "Stops and cautions"}

// hang gives the parts of a page of which the first sheet is a card: what belongs on it, then the rest on the next.
func hang(o Options, p *page.Page, w Wall, blocks []Block) (parts []any) {
	p.Answer.Title, p.Valid, p.Ask, p.Answer.Set = w.Title, w.Valid, w.Ask, len(p.Answer.Stops) == 0
	wall, rest := make([][]Block, len(onWall)), []Block(nil)
	at := 0
	for _, b := range blocks {
		if b.heads() {
			at = slices.Index(onWall, b.title())
		}
		if at < 0 || at > 0 && b.Kind == ParaBlock { // the card has what to do, the next sheet what is said of it
			rest = append(rest, b)
		} else if title := b.title(); !b.heads() || title != whatToDoWhen && title != lookFirst { // a box and a caution speak for themselves
			wall[at] = append(wall[at], b)
		}
	}
	parts = partsOf(o, p, slices.Concat(wall...))
	if len(rest) > 0 {
		if !rest[0].heads() {
			rest = slices.Insert(rest, 0, Block{Kind: HeadBlock, Text: "The day", Carded: true})
		}
		parts = append(append(parts, page.Sheet(w.Next)), partsOf(o, p, rest)...)
	}
	return parts
}

// partsOf makes the parts of a page from blocks, and gathers the sources that its notes name.
func partsOf(o Options, p *page.Page, blocks []Block) (parts []any) {
	section := p.Title
	for len(blocks) > 0 {
		b := blocks[0]
		items, rest := leading(ItemBlock, blocks)
		if blocks = rest; len(items) > 0 {
			parts = append(parts, itemParts(items)...)
			for _, b := range items {
				p.Source(b.From)
			}
			continue
		}
		blocks = blocks[1:]
		if b.heads() {
			section = b.title()
		}
		part := pageParts[b.Kind](o, b, section)
		if a, ok := part.(*page.Answer); ok {
			blocks = ledger(o, a, blocks)
		}
		parts = append(parts, part)
		for _, n := range b.Notes.Sorted() {
			p.Source(n.Source)
		}
	}
	return parts
}

// ledger puts the facts that follow an answer of one number beside it.
func ledger(o Options, a *page.Answer, blocks []Block) []Block {
	if len(blocks) == 0 || blocks[0].Kind != PairsBlock || len(a.Numbers) != 1 {
		return blocks
	}
	a.Numbers[0].Beside = append(a.Numbers[0].Beside, pagePairs(o, blocks[0].Facts)...)
	return blocks[1:]
}

// pageParts makes what a page shows of a block; a table says again which section it is of.
var pageParts = map[BlockKind]func(o Options, b Block, section string) any{
	HeadBlock: func(_ Options, b Block, _ string) any {
		switch {
		case b.Behind || isWorking(b.Text):
			return page.Folded(b.Text)
		case b.Carded:
			return page.Carded(b.Text)
		case b.Half:
			return page.Half(b.Text)
		}
		return page.Section(b.Text)
	},
	AnswerBlock:  func(o Options, b Block, _ string) any { return pageAnswer(o, b.Answer) },
	ParaBlock:    func(_ Options, b Block, _ string) any { return page.Para(b.Text) },
	LinesBlock:   func(_ Options, b Block, _ string) any { return page.Lines(b.Lines) },
	PictureBlock: func(_ Options, b Block, _ string) any { return page.Picture{Drawing: b.Picture} },
	NotesBlock:   func(o Options, b Block, _ string) any { return page.Notes(o.Notes(b.Notes)) },
	PairsBlock:   func(o Options, b Block, _ string) any { return pagePairs(o, b.Facts) },
	LimitsBlock:  func(_ Options, b Block, _ string) any { return b.Limits },
	TableBlock:   pageTable,
}

// pageTable is a table; one of times and tasks is a list to tick.
func pageTable(o Options, b Block, section string) any {
	heads, rows := o.words(b.Cols, b.Cells)
	if slices.Equal(heads, timesAndTasks) {
		var jobs page.Jobs
		for i, r := range rows {
			j := page.Job{When: r[0], Do: upperFirst(r[1])}
			if i < len(b.Numbers) {
				j.No = b.Numbers[i]
			}
			jobs = append(jobs, j)
		}
		return jobs
	}
	t := page.Table{Caption: section, Quiet: true, Rows: rows, Numbers: b.Numbers}
	for i, c := range b.Cols {
		t.Cols = append(t.Cols, page.Col{Head: heads[i], Right: c.Right})
	}
	return t
}

// timesAndTasks head a table of what to do when, which has this name.
var timesAndTasks = []string{"Time", "Task"}

const whatToDo, whatToDoWhen, lookFirst = "What to do", whatToDo + " when", "Look at this first"

func pagePairs(o Options, list []Fact) (pairs page.Pairs) {
	for _, f := range list {
		pairs = append(pairs, [2]string{upperFirst(f.Label), o.Show(f.Value)})
	}
	return pairs
}

// pageAnswer is an answer with its figures as the reader wants them.
func pageAnswer(o Options, a Answer) *page.Answer {
	p := &page.Answer{Title: a.Title, Place: a.Place, When: a.When, Sure: a.Sure, Order: a.Order, Detail: a.Detail, Stops: page.Notes(o.Notes(a.Stops))}
	for _, n := range a.Numbers {
		p.Numbers, p.Set = append(p.Numbers, pageNumber(o, n)), p.Set || n.Ruler != nil
	}
	for _, c := range a.Chances {
		share, _ := c.Of.Document()
		p.Chances = append(p.Chances, page.Chance{Dose: o.Show(c.Dose), Of: share})
	}
	return p
}

// pageNumber is a number with its unit as the reader wants it.
func pageNumber(o Options, n Number) page.Number {
	p := page.Number{For: n.For, Words: n.Words, Under: n.Under, Beside: pagePairs(o, n.Beside), Ruler: n.Ruler}
	switch {
	case n.Words != "":
	case n.Value.Form == figure.Long: // which has a unit for each part
		p.Value = o.Show(n.Value)
	default:
		p.Value, p.Unit = o.style().Number(n.Value), o.style().Unit(n.Value)
	}
	return p
}

// leading splits off the blocks of a kind that come first.
func leading(k BlockKind, blocks []Block) (of, rest []Block) {
	n := 0
	for n < len(blocks) && blocks[n].Kind == k {
		n++
	}
	return blocks[:n], blocks[n:]
}

// itemParts are a list of items: steps where they are numbered from 1, cautions of those that are marked so.
func itemParts(items []Block) (parts []any) {
	var list page.List
	var steps page.Steps
	var grave page.Notes
	for i, b := range items {
		if b.Mark == fmt.Sprintf("%d.", i+1) {
			steps = append(steps, b.Text)
		}
		if b.Mark == "!" {
			grave = append(grave, note.New(note.Caution, "", "%s", b.Text))
		} else {
			list = append(list, itemText(b))
		}
	}
	if len(grave) > 0 {
		parts = append(parts, grave)
	}
	if len(steps) == len(list) && len(steps) > 0 {
		return append(parts, steps)
	} else if len(list) > 0 {
		parts = append(parts, list)
	}
	return parts
}

// itemText is a list item on a page: marks that say something stay.
func itemText(b Block) string {
	switch b.Mark {
	case "", " ", "-", "*", "·", "•":
		return b.Text
	}
	return b.Mark + " " + b.Text
}
