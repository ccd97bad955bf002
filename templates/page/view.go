package page

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/templates/plain"
)

// pageView is what the template sees of a page.
type pageView struct {
	Page
	Style  template.CSS
	Sheets []*sheetView
	Folds  []*rowView
	Cards  []cardView
	// ByHand is set where the date is left to be written on the paper that hangs on the wall.
	ByHand bool
	// Above and Below are set where that half of the page is written alone.
	Above, Below bool
}

// sheetView is a sheet of paper: rows under a head of its own.
type sheetView struct {
	Title string
	First bool
	Rows  []*rowView
}

// rowView is a part: its heading at the left, its matter at the right. A full row is as wide as the page; On says where paper has it,
// as the style sheet names it.
type rowView struct {
	Head, ID, On string
	Full         bool
	Parts        []partView
}

// goesOn reports a row without a heading that takes what follows too: things to tick, with what is said of them.
func (r *rowView) goesOn() bool {
	return r.Head == "" && (r.Parts[0].Kind == "jobs" || r.Parts[0].Kind == "notes")
}

// partView is what the template sees of a part.
type partView struct {
	Kind   string
	Text   string
	List   []string
	Jobs   []Job
	Pairs  Pairs
	Table  Table
	Limits Limits
	SVG    template.HTML
	Notes  []noteView
	Answer answerView
}

// answerView is an answer with its stops as they are shown; First heads the page.
type answerView struct {
	*Answer
	ID    string
	First bool
	Stops []noteView
}

// cardView is a card with a name for its heading.
type cardView struct {
	Card
	ID string
	// Place is that of the page where the card has none, and so is Ask.
	Place, Ask string
}

// ByHand reports that the date is left to be written on the paper that hangs on the wall.
func (c cardView) ByHand() bool { return c.When == "" }

// numberView is a number with the two parts of what it is for.
type numberView struct {
	Number
	Name, Rest string
}

type noteView struct {
	Level, Word, Text, Remedy, Place, Source string
}

// view parts a page into sheets, rows, folded rows and cards.
func (p Page) view(widths ...float64) (pageView, error) {
	v := pageView{Page: p, Style: template.CSS(p.style())}
	if a := p.Answer; a != nil {
		v.Page.Title, v.Page.Place, v.Page.When = a.Title, first(a.Place, p.Place), first(a.When, p.When)
	}
	v.ByHand = p.When == "" && slices.ContainsFunc(p.Parts, func(x any) bool { _, is := x.(Card); return is })
	now := &sheetView{First: true}
	v.Sheets = append(v.Sheets, now)
	var row *rowView
	drawn := 0
	begin := func(r *rowView, folded bool) {
		if row = r; folded {
			v.Folds = append(v.Folds, r)
		} else {
			now.Rows = append(now.Rows, r)
		}
		r.ID = fmt.Sprintf("part-%d", len(now.Rows)+100*(len(v.Sheets)-1)+1000*len(v.Folds))
	}
	folded := false
	for _, part := range p.Parts {
		switch part := part.(type) {
		case Section:
			folded = false
			begin(&rowView{Head: set(string(part))}, folded)
			continue
		case Carded:
			folded = false
			begin(&rowView{Head: set(string(part)), On: "carded"}, folded)
			continue
		case Half:
			folded = false
			begin(&rowView{Head: set(string(part)), On: "half"}, folded)
			continue
		case Folded:
			folded = true
			begin(&rowView{Head: set(string(part))}, folded)
			continue
		case Sheet:
			now, row, folded = &sheetView{Title: set(string(part))}, nil, false
			v.Sheets = append(v.Sheets, now)
			continue
		case Card:
			v.Cards = append(v.Cards, cardView{Card: part, ID: fmt.Sprintf("card-%d", len(v.Cards)+1), Place: first(part.Place, v.Page.Place), Ask: first(part.Ask, p.Ask)})
			continue
		case *Answer:
			folded = false
			begin(&rowView{Full: true}, folded)
			row.Parts = append(row.Parts, partView{Kind: "answer", Answer: answerView{Answer: part, ID: row.ID, Stops: noteViews(note.List(part.Stops))}})
			continue
		case Picture:
			drawn++
			part.Foot = "" // the head of the page has the date
			switch {
			case folded:
			case row != nil && len(row.Parts) == 0 && !row.Full:
				row.Full = true
			default:
				begin(&rowView{Full: true}, folded)
			}
			row.Parts = append(row.Parts, partView{Kind: "picture", SVG: pictures(part.Drawing, drawn, widths)})
			continue
		}
		of := partOf(part)
		if of.Kind == "" {
			return v, fmt.Errorf("a page cannot show a %T", part)
		}
		if row == nil || row.Full && !row.goesOn() {
			begin(&rowView{Full: of.Kind == "jobs" || of.Kind == "notes"}, folded)
		}
		row.Parts = append(row.Parts, of)
	}
	return v, nil
}

// style is the style sheet for the page's paper.
func (p Page) style() string {
	style, lower, _ := strings.Cut(pageCSS, "/* Letter")
	if strings.EqualFold(p.Paper, "letter") {
		style = strings.Replace(style, "size:A4", "size:letter", 1) + "/* Letter" + lower
	}
	return style
}

// Head is the page's answer as the template wants it.
func (v pageView) Head() answerView {
	return answerView{Answer: v.Answer, First: true, Stops: noteViews(note.List(v.Answer.Stops))}
}

// partOf is what the template shows of a part, without a kind where it can show nothing of it.
func partOf(part any) partView {
	switch part := part.(type) {
	case Para:
		return partView{Kind: "para", Text: string(part)}
	case List:
		return partView{Kind: "list", List: part}
	case Steps:
		return partView{Kind: "steps", List: part}
	case Jobs:
		return partView{Kind: "jobs", Jobs: part}
	case Pairs:
		return partView{Kind: "pairs", Pairs: part}
	case Table:
		return partView{Kind: "table", Table: part}
	case Limits:
		return partView{Kind: "limits", Limits: part}
	case Notes:
		return partView{Kind: "notes", Notes: noteViews(note.List(part))}
	case Lines:
		return partView{Kind: "lines", Text: plain.Visible(strings.Join(part, "\n"))}
	}
	return partView{}
}

// Class is how a table is set.
func (t Table) Class() string {
	if t.short() {
		return "pairs"
	}
	return ""
}

// No is the number of a row on the picture's board, 0 for none.
func (t Table) No(i int) int {
	if i < len(t.Numbers) {
		return t.Numbers[i]
	}
	return 0
}

// Picked reports the row that holds now.
func (t Table) Picked(i int) bool { return i+1 == t.Pick }

// numberViews parts "Pump 1, alum" into its name and the rest.
func numberViews(list []Number) (out []numberView) {
	for _, n := range list {
		name, rest, _ := strings.Cut(n.For, ", ")
		out = append(out, numberView{n, name, rest})
	}
	return out
}

// aside parts what stands in brackets at the end of a fact from the fact.
func aside(s string) (out [2]string) {
	at := strings.Index(s, " (")
	if at < 0 || !strings.HasSuffix(s, ")") {
		return [2]string{s}
	}
	return [2]string{s[:at], s[at+1:]}
}

// placeWords says where something stands as people do: "site.xlsx: Flow, cell B5". Paper names the file without its folder.
func placeWords(p note.Place) string {
	cell := p.Cell
	switch from, to, several := strings.Cut(cell, ":"); {
	case !cellName.MatchString(cell):
	case several:
		cell = "cells " + from + " to " + to
	default:
		cell = "cell " + cell
	}
	p.File = p.File[strings.LastIndexAny(p.File, `/\`)+1:]
	if p.Sheet != "" && cell != "" {
		p.Sheet, cell = p.Sheet+", "+cell, ""
	}
	p.Cell = cell
	return p.String()
}

// cellName is a cell, or the two at the ends of a range.
var cellName = regexp.MustCompile(`^[A-Z]+[0-9]+(:[A-Z]+[0-9]+)?$`)

// noteViews groups notes that say the same of several places.
func noteViews(l note.List) []noteView {
	var out []noteView
	at := map[string]int{}
	for _, n := range l.Sorted() {
		key := n.Level.String() + "\x00" + n.Message + "\x00" + n.Remedy
		where := plain.Line(placeWords(n.Place))
		if i, ok := at[key]; ok {
			if where != "" && !strings.Contains(out[i].Place, where) {
				out[i].Place += ", " + where
			}
			continue
		}
		at[key] = len(out)
		word := n.Level.String()
		out = append(out, noteView{Level: n.Level.String(), Word: strings.ToUpper(word[:1]) + word[1:], Text: sentence(n.Message), Remedy: sentence(n.Remedy),
			Place: where, Source: plain.Line(n.Source)})
	}
	return out
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	s = plain.Line(s)
	if s == "" {
		return ""
	}
	r := []rune(s)
	if len(r) > 1 && r[1] >= 'a' && r[1] <= 'z' || len(r) > 1 && r[1] == ' ' { // "pH" and "UV" stay as they are
		r[0] = []rune(strings.ToUpper(string(r[0])))[0]
	}
	s = string(r)
	if !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}

// first is the first of two that says something.
func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
