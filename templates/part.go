package templates

import (
	"io"
	"regexp"
	"slices"
	"strings"

	"jarwright/templates/draw"
	"jarwright/templates/page"
)

// Part is what of a report's page is printed by itself: its first sheet, or its cards of a kind.
type Part struct {
	// Key names it in an address, Title to people: "Pump cards".
	Key, Title string
	parts      []any
}

// Parts are those of a report, in the order of its page.
func Parts(r Report, o Options) []Part { return partsToPrint(r, asPage(r, o)) }

func partsToPrint(r Report, p page.Page) (out []Part) {
	if _, ok := r.(WallReport); ok && p.Answer != nil {
		first := p.Parts
		if i := slices.IndexFunc(first, func(x any) bool { _, is := x.(page.Sheet); return is }); i >= 0 {
			first = first[:i]
		}
		first = slices.DeleteFunc(slices.Clone(first), func(x any) bool { _, is := x.(page.Card); return is })
		title, _, _ := strings.Cut(p.Answer.Title, ":") // which says of a stopped day that it is
		out = append(out, Part{Title: title, parts: first})
	}
	for _, x := range p.Parts {
		card, ok := x.(page.Card)
		if !ok {
			continue
		}
		title, _, _ := strings.Cut(card.Title, ":")
		i := slices.IndexFunc(out, func(q Part) bool { return strings.TrimSuffix(q.Title, "s") == title })
		if i < 0 {
			out = append(out, Part{Title: title, parts: []any{card}})
			continue
		}
		out[i].Title = title + "s"
		out[i].parts = append(out[i].parts, card)
	}
	for i := range out {
		words := strings.Fields(strings.ToLower(strings.ReplaceAll(out[i].Title, "’s", "")))
		out[i].Key = strings.TrimSuffix(strings.Join(words, "-"), "s")
	}
	return out
}

// year is what a day that is written out ends with.
var year = regexp.MustCompile(`\b(19|20)\d\d\b`)

// Dated reports that the head of a report's page says of which day it is.
func Dated(r Report, o Options) bool {
	p := asPage(r, o)
	return year.MatchString(p.When) || p.Answer != nil && year.MatchString(p.Answer.When)
}

// WritePart writes the part of that key as what stands inside a page; false where there is none.
func WritePart(w io.Writer, r Report, o Options, key string) (bool, error) {
	p := asPage(r, o)
	for _, x := range partsToPrint(r, p) {
		if x.Key != key {
			continue
		}
		p.Parts = x.parts
		if _, card := x.parts[0].(page.Card); card { // without the sheet that the cards follow
			return true, p.WriteCards(w)
		}
		return true, p.WriteMatter(w)
	}
	return false, nil
}

// Short is what a report says in a narrow column: its answer, what to do, and its picture as for a phone.
type Short struct {
	// Says are the numbers of the answer, each with what it counts; Order is what to do.
	Says    []string
	Order   string
	Picture []byte // SVG, empty where the report has none
}

// InShort is a report in short.
func InShort(r Report, o Options) (s Short) {
	p := asPage(r, o)
	if p.Answer == nil {
		return s
	}
	for _, n := range p.Answer.Numbers {
		s.Says = append(s.Says, joined(" ", n.Words, n.Value, n.Unit, n.Under))
	}
	s.Order = p.Answer.Order
	if d, ok := r.(DrawReport); ok && len(d.Drawing(o).Panels) > 0 {
		s.Picture = d.Drawing(o).InlineSVG("in-short", draw.Phone)
	}
	return s
}

// Facts are the first facts of a report, each with its label and of what it is told.
func Facts(r Report, o Options, most int) (out [][2]string) {
	section := ""
	for _, b := range Blocks(r, o) {
		if b.heads() {
			section = b.title()
		}
		if b.Kind == AnswerBlock {
			for _, n := range b.Answer.Numbers {
				p := pageNumber(o, n)
				out = append(out, [2]string{upperFirst(p.For), joined(" ", p.Words, p.Value, p.Unit, p.Under)})
			}
		}
		if b.Kind != PairsBlock || isWorking(section) {
			continue
		}
		for _, f := range b.Facts {
			out = append(out, [2]string{upperFirst(f.Label), o.Show(f.Value)})
		}
	}
	return out[:min(len(out), most)]
}
