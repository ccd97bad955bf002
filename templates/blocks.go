package templates

import (
	"io"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/templates/draw"
	"jarwright/templates/page"
)

// BlockKind is the sort of a block.
type BlockKind int

const (
	HeadBlock BlockKind = iota
	AnswerBlock
	ParaBlock
	ItemBlock
	PairsBlock
	TableBlock
	NotesBlock
	LinesBlock
	PictureBlock
	LimitsBlock
)

// Block is one piece of an answer as its Text method put it, before it is laid
// out: pages and workbooks are built from the same pieces as the text, so that
// all say the same in the same units.
type Block struct {
	Kind    BlockKind
	Answer  Answer
	Text    string // of a heading, paragraph or item
	Mark    string // of an item
	From    string // source of an item
	Facts   []Fact
	Cols    []Col
	Cells   [][]any
	Numbers []int // of the rows of a table on the board of the report's picture, 0 for a row without
	Notes   note.List
	Lines   []string
	Picture draw.Drawing
	Limits  page.Limits
	// Beside marks a picture that stands beside the report's own.
	Beside bool
	// Behind marks a heading whose part a page shows on demand, OnPage one that pages alone have,
	// Carded one whose part stands on the report's card too, and Half one of several that paper has side by side.
	Behind, OnPage, Carded, Half bool
}

// heads reports a block that begins a part of the report.
func (b Block) heads() bool { return b.Kind == HeadBlock || b.Kind == AnswerBlock }

// title is what a block that begins a part is called.
func (b Block) title() string {
	if b.Kind == AnswerBlock {
		return b.Answer.heading()
	}
	return b.Text
}

// Blocks gives the pieces of a report. The picture of a report that has one and
// does not place it itself comes before the second heading.
func Blocks(r Report, o Options) []Block {
	o.Color = false
	t := NewText(io.Discard, o)
	t.blocks = &[]Block{}
	r.Text(t, o)
	out := *t.blocks
	d, ok := r.(DrawReport)
	if !ok {
		return out
	}
	at, heads := len(out), 0
	for i, b := range out {
		if b.Kind == PictureBlock && !b.Beside {
			return out
		}
		if b.heads() && !b.OnPage {
			if heads++; heads == 2 {
				at = i
			}
		}
	}
	if p := d.Drawing(o); len(p.Panels) > 0 {
		out = slices.Insert(out, at, Block{Kind: PictureBlock, Picture: p})
	}
	return out
}

// keep stores a block where blocks are wanted instead of lines.
func (t *Text) keep(b Block) bool {
	if t.blocks == nil {
		return false
	}
	*t.blocks = append(*t.blocks, b)
	return true
}

// paper reports that pages and workbooks are made, which have more room than a terminal, and less for the same thing twice.
func (t *Text) paper() bool { return t.blocks != nil }

// Numbered gives the rows of the table before it their numbers on the board of the report's picture.
func (t *Text) Numbered(numbers []int) {
	if t.blocks != nil && len(*t.blocks) > 0 {
		(*t.blocks)[len(*t.blocks)-1].Numbers = numbers
	}
}

// Behind starts a part that pages fold away: another has it in short, or it says how figures came about.
func (t *Text) Behind(s string) {
	if !t.keep(Block{Kind: HeadBlock, Text: s, Behind: true}) {
		t.Head(s)
	}
}

// Carded starts a part that paper has on the report's card, where there is one.
func (t *Text) Carded(s string) {
	if !t.keep(Block{Kind: HeadBlock, Text: s, Carded: true}) {
		t.Head(s)
	}
}

// Half starts one of several narrow parts that stand side by side on paper.
func (t *Text) Half(s string) {
	if !t.keep(Block{Kind: HeadBlock, Text: s, Half: true}) {
		t.Head(s)
	}
}

// Part heads what follows on pages, where text and workbooks go on.
func (t *Text) Part(s string) { t.keep(Block{Kind: HeadBlock, Text: s, OnPage: true}) }

// PartBehind heads what follows on pages and folds it away there, where text and workbooks go on: a picture has it in short.
func (t *Text) PartBehind(s string) {
	t.keep(Block{Kind: HeadBlock, Text: s, OnPage: true, Behind: true})
}

// Sourced writes a list item that has a source, which is told where working is asked for.
func (t *Text) Sourced(mark, s, from string) {
	if !t.keep(Block{Kind: ItemBlock, Mark: mark, Text: s, From: from}) {
		t.Item(mark, Block{Text: s, From: either(t.opt.Explain, from, "")}.sourced())
	}
}

// sourced is an item with its source, as a sentence.
func (b Block) sourced() string {
	if b.From == "" {
		return b.Text
	}
	return strings.TrimSuffix(b.Text, ".") + " [" + b.From + "]."
}

// Plate shows, in pages and workbooks, one more picture beside the report's own.
func (t *Text) Plate(d draw.Drawing) {
	if len(d.Panels) > 0 {
		t.keep(Block{Kind: PictureBlock, Picture: d, Beside: true})
	}
}

// Drawn shows, in pages and workbooks, the report's own picture here.
func (t *Text) Drawn(d draw.Drawing) {
	if len(d.Panels) > 0 {
		t.keep(Block{Kind: PictureBlock, Picture: d})
	}
}

// Picture shows a drawing: in text as characters, so many lines of at most so many
// columns; in pages as a picture.
func (t *Text) Picture(d draw.Drawing, most, rows int) {
	if t.keep(Block{Kind: PictureBlock, Picture: d}) {
		return
	}
	t.Verbatim(d.Text(min(t.width, most), rows, either(t.opt.Blocks, draw.Blocks, draw.ASCII))...)
}
