package templates

import (
	"fmt"
	"io"
	"slices"

	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// CardReport is a report with cards for the operator: pages of their own for the
// wall beside the pump and the stock tank.
type CardReport interface {
	Cards(o Options) []page.Card
}

// WritePage writes any report as a page: the same pieces as its text, with the
// working, the picture, the cards, and the sources that its notes name.
func WritePage(w io.Writer, r Report, o Options) error {
	o.Explain = true // a page is kept and passed on, so it shows how its figures came about
	p := page.Page{Title: "jarwright", Paper: o.Paper, Date: o.Date, Version: o.Version}
	blocks := Blocks(r, o)
	if len(blocks) > 0 && blocks[0].heads() {
		p.Title = blocks[0].title()
		if blocks[0].Kind == AnswerBlock {
			p.Answer = pageAnswer(o, blocks[0].Answer)
		}
		blocks = blocks[1:]
	}
	lead, blocks := leading(ParaBlock, blocks) // the answer under the title
	for _, b := range lead {
		p.Lead = append(p.Lead, b.Text)
	}
	section := p.Title
	for len(blocks) > 0 {
		b := blocks[0]
		items, rest := leading(ItemBlock, blocks)
		if blocks = rest; len(items) > 0 {
			p.Parts = append(p.Parts, itemList(items))
			continue
		}
		blocks = blocks[1:]
		if b.heads() {
			section = b.title()
		}
		p.Parts = append(p.Parts, pageParts[b.Kind](o, b, section))
		for _, n := range b.Notes.Sorted() {
			if n.Source != "" && !slices.Contains(p.Sources, n.Source) {
				p.Sources = append(p.Sources, n.Source)
			}
		}
	}
	if c, ok := r.(CardReport); ok {
		for _, card := range c.Cards(o) {
			p.Parts = append(p.Parts, card)
		}
	}
	return p.Write(w)
}

// pageParts makes what a page shows of a block; a table says again which section it is of.
var pageParts = map[BlockKind]func(o Options, b Block, section string) any{
	HeadBlock:    func(_ Options, b Block, _ string) any { return page.Section(b.Text) },
	AnswerBlock:  func(o Options, b Block, _ string) any { return pageAnswer(o, b.Answer) },
	ParaBlock:    func(_ Options, b Block, _ string) any { return page.Para(b.Text) },
	LinesBlock:   func(_ Options, b Block, _ string) any { return page.Lines(b.Lines) },
	PictureBlock: func(_ Options, b Block, _ string) any { return page.Picture{Drawing: b.Picture} },
	NotesBlock:   func(o Options, b Block, _ string) any { return page.Notes(o.Notes(b.Notes)) },
	PairsBlock:   func(o Options, b Block, _ string) any { return pagePairs(o, b.Facts) },
	TableBlock: func(o Options, b Block, section string) any {
		heads, rows := o.words(b.Cols, b.Cells)
		t := page.Table{Caption: section, Quiet: true, Rows: rows}
		for i, c := range b.Cols {
			t.Cols = append(t.Cols, page.Col{Head: heads[i], Right: c.Right})
		}
		return t
	},
}

func pagePairs(o Options, list []Fact) (pairs page.Pairs) {
	for _, f := range list {
		pairs = append(pairs, [2]string{f.Label, o.Show(f.Value)})
	}
	return pairs
}

// pageAnswer is an answer with its figures as the reader wants them.
func pageAnswer(o Options, a Answer) *page.Answer {
	p := &page.Answer{Title: a.Title, Place: a.Place, When: a.When, Sure: a.Sure, Order: a.Order, Detail: a.Detail, Stops: page.Notes(o.Notes(a.Stops))}
	for _, n := range a.Numbers {
		x := page.Number{For: n.For, Words: n.Words, Under: n.Under, Beside: pagePairs(o, n.Beside)}
		if n.Words == "" {
			x.Value, x.Unit = o.style().Number(n.Value), o.style().Unit(n.Value)
		}
		p.Numbers = append(p.Numbers, x)
	}
	for _, c := range a.Chances {
		share, _ := figure.In(c.Of.Q, "%")
		p.Chances = append(p.Chances, page.Chance{Dose: o.Show(c.Dose), Of: share / 100})
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

// itemList is a list of items: steps where they are numbered from 1.
func itemList(items []Block) any {
	var list page.List
	var steps page.Steps
	for i, b := range items {
		list = append(list, itemText(b))
		if b.Mark == fmt.Sprintf("%d.", i+1) {
			steps = append(steps, b.Text)
		}
	}
	return either[any](len(steps) == len(list), steps, list)
}

// itemText is a list item on a page: marks that say something stay.
func itemText(b Block) string {
	switch b.Mark {
	case "", " ", "-", "*", "·", "•":
		return b.Text
	}
	return b.Mark + " " + b.Text
}
