// Package desk is how the local page looks: the walk from bench to day around the
// program's own reports, the places to drop files on, and the forms. It knows
// nothing of the network; what it shows is given to it.
package desk

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"jarwright/templates/page"
	"jarwright/templates/plain"
)

// Kind is what a file is to the program.
type Kind string

// Kinds of files; the empty kind is of one that is nothing the program knows.
const (
	Bench Kind = "bench sheet"
	Site  Kind = "site workbook"
	Trial Kind = "trial log"
	Log   Kind = "meter log"
	// Plant is a plant's own log of its days.
	Plant Kind = "operating log"
	// Past are past bench sheets, held together as those of one folder.
	Past Kind = "past tests"
	// Stray is a file that cannot be opened, beside sheets that can.
	Stray Kind = "not read"
	// Answers are those that a site was made of on the page.
	Answers Kind = "answers"
)

// Link leads to another page; one without an address cannot be followed yet, and Why says so.
type Link struct {
	Title, Address, Why string
	Here                bool
}

// Held is a file on the desk, which is put away by its ID; Save is where it can be saved, where it was made here.
type Held struct {
	ID, Name, Save string
	Kind           Kind
	// Stray says why the file may be no sheet.
	Stray string
	// Parts are a folder's files, each of which can be put away by itself.
	Parts []Part
	// Goes leads to the page that takes the file, where this one does not.
	Goes Link
}

// Part is one file of a folder on the desk.
type Part struct{ ID, Name string }

// Page is one page of the walk; At is its step.
type Page struct {
	Title, At string
	// Walk are the steps of the job, Also what else can be asked.
	Walk, Also []Link
	Held       []Held
	// Desk is what the page stands on, as the query of its address, and Token what every change must carry.
	Desk, Token string
	// Command gives the same answer at a terminal; it may be empty.
	Command string
	// Beforehand is what the command needs that the page did not; it may be empty.
	Beforehand string
	// Folder are the names of files that can be opened from the folder given, nil where none is.
	Folder []string
	// Past is true where what is dropped on the page is taken for past tests, and Whole the folder whose sheets can all be so taken.
	Past  bool
	Whole string
	Save  []Save
	Body  template.HTML
	// End is true where the page may end the program, and Afar where it may be shown on another machine than that of the program.
	End, Afar bool
	// Ended is true of the page that says that the program has ended, which the other windows hear of.
	Ended bool
	// Refresh asks for the page again after so many seconds, 0 never.
	Refresh int
	// Holds is what was said of one sheet and holds for all on the desk, and Free the page without it.
	Holds []string
	Free  string
	// Says is what has to be known before the answer is read.
	Says []string
	// Rests says what a site's answer rests on.
	Rests Rests
	// SavesBeside is true where the body itself shows in what form the answer can be kept.
	SavesBeside bool
}

// Rests is which test a site's dose comes from, with each other one that it can be taken from; Other is true where one of those
// was opened and is not used.
type Rests struct {
	Says   string
	Offers []Link
	Other  bool
}

// Save is a form in which the answer can be kept.
type Save struct{ Title, Address string }

// Bounds on what is sent, in bytes: of a file, and of all that is sent at a time. The page's script holds files against them before
// they are sent.
const MostFile, MostSent = 20 << 20, 32 << 20

//go:embed *.html
var sheets embed.FS

//go:embed desk.css
var style string

//go:embed desk.js
var script []byte

// Jars is the address at which jars are typed, on the same desk.
func (p Page) Jars() string {
	if p.Desk == "" {
		return "/jars"
	}
	return "/jars?" + p.Desk
}

// Style is the style sheet of the page: that of the reports, and its own.
func Style(paper string) []byte { return []byte(page.Style(paper) + style) }

// Version changes with the style sheet, the script and the mark, so that a browser may keep them for good.
var Version = sync.OnceValue(func() string {
	h := sha256.New()
	for _, b := range [][]byte{Style(""), Script(), Icon()} {
		h.Write(b)
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
})

// Script is the page's script.
func Script() []byte { return script }

var shell = template.Must(template.New("").Funcs(template.FuncMap{
	"clean":  plain.Paper,
	"typed":  plain.Visible, // what is to be typed stays as it is
	"mark":   page.Mark,
	"fixed":  func(path string) string { return path + "?v=" + Version() },
	"jar":    jar,
	"json":   inJSON,
	"bounds": func() string { return fmt.Sprint(MostFile, " ", MostSent) },
	"begun": func(s string) string { // as a sentence begins
		r, n := utf8.DecodeRuneInString(s)
		return plain.Paper(string(unicode.ToUpper(r)) + s[n:])
	},
}).ParseFS(sheets, "*.html"))

// inJSON is a list of words for the script.
func inJSON(words []string) (string, error) {
	b, err := json.Marshal(words)
	return string(b), err
}

// Write writes the page.
func (p Page) Write(w io.Writer) error { return shell.ExecuteTemplate(w, "shell.html", p) }

// Start is the body of the first page: the jar to drop a sheet into.
func (p Page) Start() (template.HTML, error) { return p.body("start.html", p) }

// PastTests is the body of the page that waits for past tests.
func (p Page) PastTests() (template.HTML, error) { return p.body("past.html", p) }

// Working is what a page shows while its answer is worked out.
type Working struct {
	Page
	Told string
	Key  string
}

// Body is a page that waits.
func (v Working) Write() (template.HTML, error) { return v.body("working.html", v) }

// body renders one of the page's bodies.
func (p Page) body(name string, v any) (template.HTML, error) {
	var b strings.Builder
	err := shell.ExecuteTemplate(&b, name, v)
	return template.HTML(b.String()), err
}

// jar draws the i-th of the jars that lead through the walk, each clearer than the one before.
func jar(i int) template.HTML {
	mud := [...]struct {
		tone string
		top  float64
		fill string
	}{{"#86612F", 8.8, ""}, {"#BFA883", 8.8, ""}, {"#E3DCCB", 8.8, "M5 31v-.5q0 3.5 3.5 3.5h15q3.5 0 3.5-3.5V31z"}, {"#F4F7F5", 8.8, "M5 29v1.5q0 3.5 3.5 3.5h15q3.5 0 3.5-3.5V29z"}}[i%4]
	var b strings.Builder
	b.WriteString(`<svg viewBox="0 0 32 36" width="30" height="34" aria-hidden="true">`)
	fmt.Fprintf(&b, `<path d="M5 %gV30.5q0 3.5 3.5 3.5h15q3.5 0 3.5-3.5V%gz" fill="%s"/>`, mud.top, mud.top, mud.tone)
	if mud.fill != "" {
		fmt.Fprintf(&b, `<path d="%s" fill="#86612F"/>`, mud.fill)
	}
	b.WriteString(`<path d="M5 8.8h22" stroke="#16211F" stroke-width="1.1" fill="none"/><path d="M2.8 4L5 6.9v23.6q0 3.5 3.5 3.5h15q3.5 0 3.5-3.5V6.9L29.2 4" fill="none" stroke="#16211F" stroke-width="1.6" stroke-linejoin="round" stroke-linecap="round"/></svg>`)
	return template.HTML(b.String())
}

// Icon is the mark as a picture of its own.
func Icon() []byte { return page.MarkSVG() }

// refusal is why there is no answer, set as one.
type refusal struct{ Word, Why, Do string }

// Refusal is the body of a page that has no answer: the word large, why, and what to do.
func (p Page) Refusal(word, why, do string) (template.HTML, error) {
	return p.body("refusal.html", refusal{word, why, do})
}

// Refused is why something that was sent was not taken; Here is the address at which the page that says so can be asked for again.
type Refused struct{ Word, Why, Do, Here string }

// RefusedFile is the body of a page that takes no file, with the way to choose another.
func (p Page) RefusedFile(x Refused) (template.HTML, error) {
	return p.body("refused.html", struct {
		Page
		Of Refused
	}{p, x})
}

// Tried is how the last try of a key went: whether there was one Before, whether it came too Early to be looked at, and the
// seconds to Wait until the next.
type Tried struct {
	Before, Early bool
	Wait          int
}

// Key is the body of the page that asks for the key, and says how the last try went.
func (p Page) Key(tried Tried) (template.HTML, error) {
	return p.body("key.html", struct {
		Page
		Tried
	}{p, tried})
}

// Sure is a question before something is lost.
type Sure struct {
	Title, Why string
	// Lost is what would be, with where it can be saved.
	Lost []Link
	// Send is the address that a yes is sent to, With what goes with it; without one Yes is followed. Forget names what was typed
	// and may go.
	Send, Forget string
	With         map[string]string
	Yes, No      Link
}

// Sure is the body of a page that asks before something is lost.
func (p Page) Sure(q Sure) (template.HTML, error) {
	return p.body("sure.html", struct {
		Page
		Ask Sure
	}{p, q})
}

// Fetch is a button that takes a file which an answer needs: from the folder, where it lies there, else by choosing it.
func (p Page) Fetch(name string) (template.HTML, error) {
	return p.body("fetch", struct {
		Page
		Name  string
		There bool
	}{p, name, slices.Contains(p.Folder, name)})
}

// NotSaved is the body of a page that says why an answer cannot be kept in some form.
func (p Page) NotSaved(name string, why template.HTML, back Link) (template.HTML, error) {
	return p.body("notsaved.html", struct {
		Page
		Name string
		Why  template.HTML
		Back Link
	}{p, name, why, back})
}
