package templates

import (
	"fmt"
	"io"

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
	titled, section := false, ""
	sources := map[string]bool{}
	blocks := Blocks(r, o)
	for i := 0; i < len(blocks); i++ {
		b := blocks[i]
		switch b.Kind {
		case HeadBlock:
			if !titled {
				p.Title, section, titled = b.Text, b.Text, true
				for i+1 < len(blocks) && blocks[i+1].Kind == ParaBlock { // the answer under the title
					i++
					p.Lead = append(p.Lead, blocks[i].Text)
				}
				continue
			}
			section = b.Text
			p.Parts = append(p.Parts, page.Section(b.Text))
		case ParaBlock:
			p.Parts = append(p.Parts, page.Para(b.Text))
		case ItemBlock:
			var list page.List
			var steps page.Steps
			for ; i < len(blocks) && blocks[i].Kind == ItemBlock; i++ {
				list = append(list, itemText(blocks[i]))
				if blocks[i].Mark == fmt.Sprintf("%d.", len(list)) {
					steps = append(steps, blocks[i].Text)
				}
			}
			p.Parts = append(p.Parts, either[any](len(steps) == len(list), steps, list))
			i--
		case PairsBlock:
			var pairs page.Pairs
			for _, f := range b.Facts {
				pairs = append(pairs, [2]string{f.Label, o.Show(f.Value)})
			}
			p.Parts = append(p.Parts, pairs)
		case TableBlock:
			t := page.Table{Caption: section, Quiet: true}
			var heads []string
			heads, t.Rows = o.words(b.Cols, b.Cells)
			for i, c := range b.Cols {
				t.Cols = append(t.Cols, page.Col{Head: heads[i], Right: c.Right})
			}
			p.Parts = append(p.Parts, t)
		case NotesBlock:
			p.Parts = append(p.Parts, page.Notes(o.Notes(b.Notes)))
			for _, n := range b.Notes.Sorted() {
				if n.Source != "" && !sources[n.Source] {
					sources[n.Source] = true
					p.Sources = append(p.Sources, n.Source)
				}
			}
		case LinesBlock:
			p.Parts = append(p.Parts, page.Lines(b.Lines))
		case PictureBlock:
			p.Parts = append(p.Parts, page.Picture{Drawing: b.Picture})
		}
	}
	if c, ok := r.(CardReport); ok {
		for _, card := range c.Cards(o) {
			p.Parts = append(p.Parts, card)
		}
	}
	return p.Write(w)
}

// itemText is a list item on a page: marks that say something stay.
func itemText(b Block) string {
	switch b.Mark {
	case "", " ", "-", "*", "·", "•":
		return b.Text
	}
	return b.Mark + " " + b.Text
}
