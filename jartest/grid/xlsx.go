package grid

import (
	"errors"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// workbook is one .xlsx or .xlsm file being read (ECMA-376 part 1, 18).
type workbook struct {
	*archive
	date1904 bool
	strings  []string
	erased   map[int]string // the struck-out part of a text, by its number
	formats  []*Format      // by style number
	struck   []bool         // by style number; nil where none strikes out
	budget   int            // cells that may still come
	letters  int            // bytes of text that may still stand in cells
	creator  string         // who it says it was made by
}

// readWorkbook gives every worksheet in order. A worksheet that cannot be read
// carries its fault; the fault returned is for the file as a whole.
func readWorkbook(a *archive) ([]*Sheet, error) {
	w := &workbook{archive: a, budget: cellCount.Most(), letters: cellTexts.Most(), erased: map[int]string{}}
	here := note.Place{File: a.file}
	tabs, rels, err := w.contents()
	if err == nil {
		err = w.sharedStrings(rels)
	}
	if err == nil {
		err = w.styles(rels)
	}
	if err != nil {
		return nil, w.fault(err, here, "the workbook")
	}
	if len(tabs) > sheetCount.Most() {
		return nil, sheetCount.Fault(here)
	}
	if w.creator == maker && slices.ContainsFunc(tabs, func(t tab) bool { return t.name == resultsSheet }) {
		return nil, note.Fault("results-file", "this is a workbook of results that jarwright wrote").At(here).
			Do("give the bench sheet or the site workbook that it was made from")
	}
	var out []*Sheet
	for _, t := range tabs {
		if t.kind != "worksheet" {
			continue // a chart sheet has no cells
		}
		s := &Sheet{File: a.file, Name: t.name, Hidden: t.hidden, Date1904: w.date1904, HiddenRow: map[int]bool{},
			HiddenCol: map[int]bool{}, Marks: map[[2]int]Mark{}}
		r := &sheetReader{workbook: w, sheet: s, row: -1, col: -1}
		err := r.read(t.part)
		if err == nil {
			err = w.comments(s, t.part)
		}
		if err != nil {
			fault := w.fault(err, r.here(), fmt.Sprintf("sheet %q", t.name))
			s.Fault, s.Rows, s.Merges, s.Marks = &fault, nil, nil, nil
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return nil, note.Fault("no-sheets", "there is no worksheet in the file, only charts").
			At(here).Do("name a file with the numbers behind them")
	}
	return out, nil
}

// fault words an error of a part; one that is a note already keeps its words.
func (w *workbook) fault(err error, at note.Place, what string) note.Note {
	var n note.Note
	switch {
	case errors.As(err, &n):
	case errors.Is(err, errDepth):
		n = xmlDepth.Fault(at)
	default:
		n = note.Fault("sheet-unreadable", "%s is damaged and cannot be read (%v)", what, err).
			Do("open the file in a spreadsheet program and save it again")
	}
	if n.Place == (note.Place{}) {
		n.Place = at
	}
	return n
}

// tab is a sheet as the workbook lists it.
type tab struct {
	name, kind, part string
	hidden           bool
}

type relation struct{ kind, part string }

// relations reads which part stands for which mark, for the part of that name.
func (w *workbook) relations(of string) (map[string]relation, error) {
	dir, base := path.Split(of)
	name := dir + "_rels/" + base + ".rels"
	out := map[string]relation{}
	err := w.walk(name, func(x *scanner) error {
		if x.name != "Relationship" || x.attr("TargetMode") == "External" {
			return nil
		}
		target := strings.ReplaceAll(x.attr("Target"), "\\", "/")
		if !strings.HasPrefix(target, "/") {
			target = dir + target
		}
		out[x.attr("Id")] = relation{path.Base(x.attr("Type")), strings.TrimPrefix(path.Clean(target), "/")}
		return nil
	})
	return out, err
}

// walk calls see at every element of a part that opens. The error says in which
// part something is wrong.
func (w *workbook) walk(name string, see func(*scanner) error) error {
	err := w.scan(name, see)
	var n note.Note
	if err == nil || errors.As(err, &n) || errors.Is(err, errDepth) || errors.Is(err, errMissing) {
		return err
	}
	return fmt.Errorf("part %s: %w", name, err)
}

var errMissing = errors.New("missing")

// scan is walk without the part's name.
func (w *workbook) scan(name string, see func(*scanner) error) error {
	text, ok := w.read(name)
	if !ok {
		return fmt.Errorf("its part %s is %w", name, errMissing)
	}
	x, err := newScanner(text)
	for err == nil {
		var k tokenKind
		switch k, err = x.next(); {
		case err != nil:
		case k == atEnd:
			return nil
		case k == opens:
			err = see(x)
		}
	}
	return err
}

// contents reads the list of sheets, the date system and the parts of the workbook.
func (w *workbook) contents() ([]tab, map[string]relation, error) {
	book := "xl/workbook.xml"
	if !w.has("_rels/.rels") {
		return nil, nil, errors.New("its part _rels/.rels is missing")
	}
	top, err := w.relations("")
	if err != nil {
		return nil, nil, err
	}
	for _, r := range top {
		switch r.kind {
		case "officeDocument":
			book = r.part
		case "core-properties":
			w.creator = w.creatorIn(r.part)
		}
	}
	rels, err := w.relations(book)
	if err != nil {
		return nil, nil, err
	}
	var tabs []tab
	err = w.walk(book, func(x *scanner) error {
		switch x.name {
		case "workbookPr":
			w.date1904 = truth(x.attr("date1904"))
		case "sheet":
			r, ok := rels[x.attr(":id")]
			if !ok {
				return fmt.Errorf("sheet %q has no part", x.attr("name"))
			}
			state := x.attr("state")
			tabs = append(tabs, tab{name: x.attr("name"), kind: r.kind, part: r.part, hidden: state != "" && state != "visible"})
		}
		return nil
	})
	return tabs, rels, err
}

// What tells a workbook of results, in which tables of answers look like those of a test: who
// made it, which stays when another program saves it, and its first sheet.
const (
	maker        = "jarwright"
	resultsSheet = "Summary"
)

// creatorIn reads who a workbook was made by; empty where its properties do not say.
func (w *workbook) creatorIn(part string) (by string) {
	_ = w.scan(part, func(x *scanner) (err error) { // properties that cannot be read say nothing
		if x.name == "creator" {
			by, err = x.content()
		}
		return err
	})
	return by
}

func truth(s string) bool { return s == "1" || s == "true" || s == "on" }

// partOf gives the part of a kind, such as "styles".
func partOf(rels map[string]relation, kind string) string {
	for _, r := range rels {
		if r.kind == kind {
			return r.part
		}
	}
	return ""
}

// sharedStrings reads the texts that cells point at.
func (w *workbook) sharedStrings(rels map[string]relation) error {
	name := partOf(rels, "sharedStrings")
	if name == "" {
		return nil
	}
	return w.walk(name, func(x *scanner) error {
		if x.name != "si" {
			return nil
		}
		if len(w.strings) == stringCount.Most() {
			return stringCount.Fault(note.Place{File: w.file})
		}
		t, erased, err := richText(x)
		if len(t) > textLength.Most() {
			return textLength.Fault(note.Place{File: w.file})
		}
		if erased != "" {
			w.erased[len(w.strings)] = erased
		}
		w.strings = append(w.strings, t)
		return err
	})
}

var marked = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unmark undoes _x000D_ and its like, by which texts carry signs that XML may not.
func unmark(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return marked.ReplaceAllStringFunc(s, func(m string) string {
		n, err := strconv.ParseUint(m[2:6], 16, 16)
		if err != nil {
			return m
		}
		return string(rune(n))
	})
}

// styles reads the number format of every style, and whether its font strikes out.
func (w *workbook) styles(rels map[string]relation) error {
	name := partOf(rels, "styles")
	if name == "" {
		return nil
	}
	codes := map[int]string{}
	seen := map[int]*Format{}
	var fonts []bool // those that strike out
	strikes := false
	err := w.walk(name, func(x *scanner) error {
		switch {
		case x.name == "numFmt" && under(x, "numFmts"):
			if id, err := strconv.Atoi(x.attr("numFmtId")); err == nil {
				codes[id] = x.attr("formatCode")
			}
		case x.name == "font" && under(x, "fonts"):
			fonts = append(fonts, false)
		case x.name == "strike" && under(x, "font") && len(fonts) > 0:
			fonts[len(fonts)-1] = on(x)
		case x.name == "xf" && under(x, "cellXfs"):
			id, _ := strconv.Atoi(x.attr("numFmtId")) // none is the general format, 0
			f, ok := seen[id]
			if !ok {
				f = readFormat(id, codes[id])
				seen[id] = f
			}
			w.formats = append(w.formats, f)
			font, _ := strconv.Atoi(x.attr("fontId")) // none is the first
			w.struck = append(w.struck, font >= 0 && font < len(fonts) && fonts[font])
			strikes = strikes || w.struck[len(w.struck)-1]
		}
		return nil
	})
	if !strikes {
		w.struck = nil
	}
	return err
}

// under reports that the element just opened stands directly in one of that name.
func under(x *scanner, name string) bool {
	n := len(x.open)
	return n > 1 && (x.open[n-2] == name || strings.HasSuffix(x.open[n-2], ":"+name))
}
