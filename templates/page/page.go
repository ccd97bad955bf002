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
	"slices"
	"strings"
	"sync"

	"jarwright/jartest/note"
	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Page is a report. Parts come in the order given; folded ones and cards come last.
type Page struct {
	Title string
	// Place and When stand at the right of the head.
	Place, When string
	// Answer heads the page, where there is one, and Lead says it in a sentence or two.
	Answer *Answer
	Lead   []string
	// Valid is how long the first sheet holds, and Ask whom to ask; a report that is no card has neither.
	Valid, Ask string
	Paper      string // "a4" (also when empty) or "letter"
	Version    string
	Command    string // that gives the same answer; it may be empty
	Parts      []any  // *Answer, Section, Folded, Sheet, Para, List, Steps, Jobs, Pairs, Table, Limits, Picture, Notes, Lines, Card
	Sources    []string
}

// Source adds a source to the list, once.
func (p *Page) Source(s string) {
	if s != "" && !slices.Contains(p.Sources, s) {
		p.Sources = append(p.Sources, s)
	}
}

// Answer is what the reader came for: the number large, what it is for, how sure
// it is, and what to do.
type Answer struct {
	Title, Place, When, Sure, Order, Detail string
	Numbers                                 []Number
	Chances                                 []Chance
	Stops                                   Notes
	// Set shows each number as what is set, with its ruler, though there is only one.
	Set bool
}

// Number is one large figure, or Words in its place.
type Number struct {
	For, Value, Unit, Words, Under string
	Beside                         Pairs
	// Ruler tells the number for other figures; it may be absent.
	Ruler *Ruler
}

// Figures are the number and its unit, a pair each where it has several: "20 h 14 min".
func (n Number) Figures() (out [][2]string) {
	words := strings.Fields(n.Value)
	if n.Unit != "" || len(words)%2 != 0 {
		return [][2]string{{n.Value, n.Unit}}
	}
	for i := 0; i < len(words); i += 2 {
		out = append(out, [2]string{words[i], words[i+1]})
	}
	return out
}

// Chance is how often, of one time, a dose meets the target.
type Chance struct {
	Dose string
	Of   float64
}

// Section heads the parts after it; Folded the same of parts that are shown on demand, Carded of those
// that paper has on a card, where there is one, Half of those that stand side by side on paper.
type (
	Section string
	Folded  string
	Carded  string
	Half    string
)

// Sheet begins another sheet of paper with a head of its own.
type Sheet string

// Para is a paragraph.
type Para string

// List is a list of items, Steps one whose order counts.
type (
	List  []string
	Steps []string
)

// Jobs are lines with a box to tick and when they are due.
type Jobs []Job

// Job is what to do; When may be a time, a reading, or empty. No is its number on the picture's board, 0 for none.
type Job struct {
	When, Do string
	No       int
}

// Pairs are names with values.
type Pairs [][2]string

// Many reports pairs that are many and short enough for two to a line.
func (p Pairs) Many() bool {
	return len(p) > 4 && !slices.ContainsFunc(p, func(x [2]string) bool { return len(x[1]) > 34 || len(x[0]) > 24 })
}

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
	// Numbers are those of the rows on the picture's board, 0 for a row without; nil where there are none.
	Numbers []int
	// Pick counts from 1 the row that holds now; 0 picks none.
	Pick int
}

// short reports that a row reads well as pairs, two to a line of a phone.
func (t Table) short() bool {
	if len(t.Cols) < 3 {
		return false
	}
	for _, r := range t.Rows {
		for i, c := range r {
			if i > 0 && i < len(t.Cols) && len([]rune(c))+len([]rune(t.Cols[i].Head)) > 22 && t.Cols[i].Right {
				return false
			}
		}
	}
	return true
}

// Picture is a drawing.
type Picture struct{ draw.Drawing }

// Notes are cautions and remarks, gravest first.
type Notes note.List

// Lines is text with its own line breaks, such as working.
type Lines []string

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// Write writes the page.
func (p Page) Write(w io.Writer) error { return p.write(w, "page") }

// WriteMatter writes what stands on the page, without head, style and foot, for a page around it that has [Style].
func (p Page) WriteMatter(w io.Writer) error { return p.write(w, "matter") }

// WriteHalves writes of [Page.WriteMatter] what stands above all else, down to the answer, and below it the rest without the cards,
// for a page that has something between the two. Its column is never as wide as a page by itself, so the widest pictures are left out.
func (p Page) WriteHalves(above, below io.Writer) error {
	v, err := p.view(draw.Print, draw.Phone)
	if err != nil {
		return err
	}
	v.Above = true
	if err := v.write(above, "above"); err != nil {
		return err
	}
	v.Above, v.Below = false, true
	return v.write(below, "matter")
}

// WriteCards writes the page's cards alone, as [Page.WriteMatter] does the whole.
func (p Page) WriteCards(w io.Writer) error { return p.write(w, "cards") }

// Style is the style of a page on that paper.
func Style(paper string) string { return Page{Paper: paper}.style() }

// parsed is the template of pages.
var parsed = sync.OnceValues(func() (*template.Template, error) {
	return template.New("page").Funcs(template.FuncMap{
		"clean":    set,
		"numbers":  numberViews,
		"aside":    aside,
		"odds":     odds,
		"jars":     func(c Chance) template.HTML { return jars(inJars(c.Of)) },
		"mark":     func() template.HTML { return mark },
		"ruler":    func(r *Ruler, name string) template.HTML { return r.svg(name) },
		"bar":      func(l Limit) template.HTML { return l.svg() },
		"blanks":   func(n int) []struct{} { return make([]struct{}, n) },
		"numbered": func(l Jobs) bool { return slices.ContainsFunc(l, func(j Job) bool { return j.No > 0 }) },
		"inc":      func(i int) int { return i + 1 },
		"side": func(right bool) string {
			if right {
				return "n"
			}
			return "t"
		},
	}).Parse(pageHTML)
})

func (p Page) write(w io.Writer, name string) error {
	v, err := p.view(draw.Wide, draw.Print, draw.Phone)
	if err != nil {
		return err
	}
	return v.write(w, name)
}

func (v pageView) write(w io.Writer, name string) error {
	t, err := parsed()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, name, v); err != nil {
		return err
	}
	_, err = w.Write(tidy(b.Bytes()))
	return err
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

// set makes a line fit to print: nothing that could steer a terminal or turn the writing, and the signs of paper.
func set(s string) string { return plain.Paper(s) }

// pictures are the forms of a drawing, one for each width, each with the class that shows it.
func pictures(d draw.Drawing, n int, widths []float64) template.HTML {
	var b strings.Builder
	for i, width := range widths {
		b.Write(d.InlineSVG(fmt.Sprintf("picture-%d-%d", n, i+1), width)) // the drawing escapes its own words; a test feeds it hostile ones
	}
	return template.HTML(b.String())
}

// WriteNotes writes notes as a page has them, those that say the same of several places once.
func WriteNotes(w io.Writer, l note.List) error {
	t, err := parsed()
	if err != nil {
		return err
	}
	return t.ExecuteTemplate(w, "notes", noteViews(l))
}
