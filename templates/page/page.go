// Package page writes reports as one self-contained HTML file: style and
// pictures inside, no scripts, nothing fetched. It reads on a phone and prints
// on A4 or Letter.
package page

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"time"

	"jarwright/jartest/note"
	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Page is a report. Parts come in the order given.
type Page struct {
	Title string
	// Answer heads the page in place of the title, where there is one.
	Answer *Answer
	// Lead is the answer in a sentence or two, under the title.
	Lead    []string
	Paper   string    // "a4" (also when empty) or "letter"
	Date    time.Time // zero for none
	Version string
	Parts   []any // *Answer, Section, Para, List, Steps, Pairs, Table, Picture, Notes, Lines, Card
	Sources []string
}

// Answer is what the reader came for: the number large, what it is for, how sure
// it is, and what to do.
type Answer struct {
	Title, Place, When, Sure, Order, Detail string
	Numbers                                 []Number
	Chances                                 []Chance
	Stops                                   Notes
}

// Number is one large figure, or Words in its place.
type Number struct {
	For, Value, Unit, Words, Under string
	Beside                         Pairs
}

// Chance is how often, of one time, a dose meets the target.
type Chance struct {
	Dose string
	Of   float64
}

// Section heads the parts after it.
type Section string

// Para is a paragraph.
type Para string

// List is a list of items, Steps one whose order counts.
type (
	List  []string
	Steps []string
)

// Pairs are names with values.
type Pairs [][2]string

// Col is a column of a table; Right is for numbers.
type Col struct {
	Head  string
	Right bool
}

// Table is a table with a caption for those who hear the page read.
type Table struct {
	Caption string
	// Quiet hides the caption from the eye, where a heading says the same.
	Quiet bool
	Cols  []Col
	Rows  [][]string
}

// Picture is a drawing.
type Picture struct{ draw.Drawing }

// Notes are cautions and remarks, gravest first.
type Notes note.List

// Lines is text with its own line breaks, such as working.
type Lines []string

// Card is a page of its own for the wall or the pocket: what an operator needs
// at the pump or at the stock tank.
type Card struct {
	Title  string
	Lead   string
	Facts  Pairs
	Tables []Table
	// Checks are lines with a box to tick.
	Checks   []string
	Cautions []string
}

//go:embed page.html
var pageHTML string

// view is what the template sees of a part.
type view struct {
	Kind     string
	Text     string
	ID       string
	List     []string
	Pairs    [][2]string
	Table    Table
	SVG      template.HTML
	Notes    []noteView
	Answer   answerView
	Card     Card
	Headless bool
}

// answerView is an answer with the name of its heading and its stops as they are shown.
type answerView struct {
	*Answer
	ID    string
	Stops []noteView
}

type noteView struct {
	Level, Word, Text, Remedy, Place, Source string
}

// Write writes the page.
func (p Page) Write(w io.Writer) error {
	t, err := template.New("page").Funcs(template.FuncMap{
		"clean": plain.Line,
		"color": func(name string) template.CSS { return template.CSS(colours()[name]) },
		"side": func(right bool) string {
			if right {
				return "n"
			}
			return "t"
		},
	}).Parse(pageHTML)
	if err != nil {
		return err
	}
	data := struct {
		Page
		Views     []view
		Head      answerView
		Day       string
		PaperSize template.CSS
		HasCards  bool
	}{Page: p, PaperSize: "A4"}
	if strings.EqualFold(p.Paper, "letter") {
		data.PaperSize = "letter"
	}
	if !p.Date.IsZero() {
		data.Day = p.Date.Format("2006-01-02")
	}
	if p.Answer != nil {
		data.Head = answerView{p.Answer, "answer", noteViews(note.List(p.Answer.Stops))}
	}
	pictures := 0
	for i, part := range p.Parts {
		if _, ok := part.(Picture); ok {
			pictures++
		}
		v := viewOf(part, pictures)
		if v.Kind == "" {
			return fmt.Errorf("a page cannot show a %T", part)
		}
		v.ID = fmt.Sprintf("part-%d", i+1)
		v.Answer.ID = v.ID
		data.HasCards = data.HasCards || v.Kind == "card"
		data.Views = append(data.Views, v)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = w.Write(tidy(b.Bytes()))
	return err
}

// viewOf is what the template shows of a part, without a kind where it can show nothing of it.
func viewOf(part any, pictures int) view {
	switch part := part.(type) {
	case *Answer:
		return view{Kind: "answer", Answer: answerView{Answer: part, Stops: noteViews(note.List(part.Stops))}}
	case Section:
		return view{Kind: "section", Text: plain.Line(string(part))}
	case Para:
		return view{Kind: "para", Text: plain.Line(string(part))}
	case List:
		return view{Kind: "list", List: part}
	case Steps:
		return view{Kind: "steps", List: part}
	case Pairs:
		return view{Kind: "pairs", Pairs: part}
	case Table:
		return view{Kind: "table", Table: part}
	case Picture: // the drawing escapes its own words; a test feeds it hostile ones
		return view{Kind: "picture", SVG: template.HTML(part.InlineSVG(fmt.Sprintf("picture-%d", pictures), draw.Wide))}
	case Notes:
		return view{Kind: "notes", Notes: noteViews(note.List(part))}
	case Lines:
		return view{Kind: "lines", Text: plain.Visible(strings.Join(part, "\n"))}
	case Card:
		return view{Kind: "card", Card: part}
	}
	return view{}
}

// tidy drops blanks at line ends and empty lines, which the template leaves.
func tidy(b []byte) []byte {
	var out bytes.Buffer
	pre := false
	for _, l := range strings.SplitAfter(string(b), "\n") {
		if strings.Contains(l, "<pre") {
			pre = true
		}
		if pre {
			out.WriteString(l)
			pre = !strings.Contains(l, "</pre>")
			continue
		}
		if l = strings.TrimRight(l, " \t\r\n"); l != "" {
			out.WriteString(l)
			out.WriteByte('\n')
		}
	}
	return out.Bytes()
}

// noteViews groups notes that say the same of several places.
func noteViews(l note.List) []noteView {
	var out []noteView
	at := map[string]int{}
	for _, n := range l.Sorted() {
		key := n.Level.String() + "\x00" + n.Message + "\x00" + n.Remedy
		where := plain.Line(n.Place.String())
		if i, ok := at[key]; ok {
			if where != "" && !strings.Contains(out[i].Place, where) {
				out[i].Place += ", " + where
			}
			continue
		}
		at[key] = len(out)
		word := n.Level.String()
		if n.Level != note.Info {
			word = strings.ToUpper(word)
		}
		out = append(out, noteView{Level: n.Level.String(), Word: word, Text: sentence(n.Message), Remedy: sentence(n.Remedy), Place: where, Source: plain.Line(n.Source)})
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

func colours() map[string]string {
	return map[string]string{"ink": draw.Ink, "muted": draw.Muted, "rule": draw.Rule, "paper": draw.Paper, "head": draw.FillHead, "soft": draw.FillFormula,
		"caution": draw.FillCaution, "stop": draw.FillStop, "accent": draw.Plain.Hex(), "rust": draw.Limit.Hex()}
}
