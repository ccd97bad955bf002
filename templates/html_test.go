package templates

import (
	"bytes"
	"encoding/xml"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// everyBlock is a report that uses every piece a page can show, with the words given.
type everyBlock struct{ words string }

func (e everyBlock) Text(t *Text, _ Options) {
	w := e.words
	t.Head(w)
	t.Para(w)
	t.Head("Second " + w)
	t.Item("-", w)
	t.Item("1.", w)
	t.Facts([]Fact{{w, w}})
	t.Grid([]Col{{Head: w}, {Head: w, Right: true}}, [][]any{{w, "12.5"}, {w, w}})
	t.Notes(note.List{note.New(note.Caution, "x", "%s", w).Do("%s", w).From(w).At(note.Place{File: w, Sheet: w, Cell: "A1"}), note.New(note.Stop, "y", "%s", w)})
	t.Verbatim(w, w)
}
func (e everyBlock) JSON() any           { return nil }
func (e everyBlock) Table() figure.Table { return figure.Table{Cols: []figure.Column{{Name: e.words}}} }
func (e everyBlock) Drawing(Options) draw.Drawing {
	return draw.Drawing{Title: e.words, Description: e.words, Panels: []draw.Panel{{X: draw.Axis{Name: e.words}, Layers: []draw.Layer{draw.Points{Name: e.words, At: []draw.Point{{XY: draw.XY{X: 1, Y: 1}}}}}}}}
}
func (e everyBlock) Cards(Options) []page.Card {
	return []page.Card{{Title: e.words, Lead: e.words, Facts: page.Pairs{{e.words, e.words}}, Tables: []page.Table{{Caption: e.words, Cols: []page.Col{{Head: e.words}}, Rows: [][]string{{e.words}}}}, Checks: []string{e.words}, Cautions: []string{e.words}}}
}

// TestPageKeepsWordsWords feeds hostile words to every piece of a page and looks
// for elements and attributes that the page itself does not write.
func TestPageKeepsWordsWords(t *testing.T) {
	const evil = "\"'><script>alert(1)</script><img src=x onerror=alert(1)></style></svg>&\x1b[2J\u202e\x00{{.}}"
	var b bytes.Buffer
	if err := WritePage(&b, everyBlock{evil}, Options{}); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, bad := range []string{"<script", "<img", "onerror=alert(1)>", "\x1b", "\u202e", "\x00", "http://", "https://"} {
		for _, line := range strings.Split(page, "\n") {
			if strings.Contains(line, bad) && !strings.Contains(line, "http://www.w3.org/2000/svg") {
				t.Errorf("%q is in the page: %.200s", bad, line)
			}
		}
	}
	if n := strings.Count(strings.ReplaceAll(page, "&#43;", "+"), "&lt;U+202E&gt;"); n < 20 {
		t.Errorf("the mark that turns the writing is made visible %d times only", n)
	}
	dec := xml.NewDecoder(strings.NewReader(page))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	depth := 0
	for {
		tok, err := dec.Token()
		if err != nil {
			break
		}
		switch e := tok.(type) {
		case xml.StartElement:
			depth++
			for _, a := range e.Attr {
				toCard := a.Name.Local == "href" && strings.HasPrefix(a.Value, "#card-") // the page's own links
				if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "src" || a.Name.Local == "href" && !toCard {
					t.Errorf("<%s> has %s=%q", e.Name.Local, a.Name.Local, a.Value)
				}
			}
		case xml.EndElement:
			depth--
		}
	}
	if depth != 0 {
		t.Errorf("%d elements are left open", depth)
	}
}

// cautioned is a report that has its cautions last.
type cautioned struct{ everyBlock }

func (cautioned) Text(t *Text, _ Options) {
	t.Answer(Answer{Title: "title", Numbers: []Number{{Words: "the answer"}}, Order: "the plate"})
	t.Para("in short")
	t.Head("the first part")
	t.Para("its matter")
	t.minded(note.List{note.New(note.Caution, "x", "take care"), note.New(note.Info, "y", "keep in mind")})
}

// TestCautionsStandUnderTheAnswer: on a page they come before the picture and all parts, what is only to be borne in mind after them.
func TestCautionsStandUnderTheAnswer(t *testing.T) {
	var b bytes.Buffer
	if err := WritePage(&b, cautioned{everyBlock{"drawn"}}, Options{}); err != nil {
		t.Fatal(err)
	}
	_, page, _ := strings.Cut(b.String(), "<main>")
	at := 0
	for _, words := range []string{"the answer", "the plate", "in short", ">Cautions<", "Take care", "<figure", "the first part", "its matter", "To bear in mind", "Keep in mind"} {
		next := strings.Index(page[at:], words)
		if next < 0 {
			t.Fatalf("%q does not come next after %q", words, page[max(0, at-80):at])
		}
		at += next
	}
}

func TestPageGolden(t *testing.T) {
	var b bytes.Buffer
	if err := WritePage(&b, everyBlock{"turbidity of the beck"}, Options{Paper: "letter", Version: "test"}); err != nil {
		t.Fatal(err)
	}
	golden(t, "page.html", b.Bytes())
}

// golden compares with a file below testdata; JARWRIGHT_UPDATE=1 writes it anew.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if os.Getenv("JARWRIGHT_UPDATE") == "1" {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from what was reviewed; write it anew with JARWRIGHT_UPDATE=1 and look at it", file)
	}
}

func TestPageOfABudget(t *testing.T) {
	r := handBudget(t)
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WritePage(w, r, Options{DecimalComma: true}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two pages of the same budget differ")
	}
	if a.Len() > 300_000 {
		t.Errorf("the page weighs %d bytes", a.Len())
	}
	if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, "budget.html"), a.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
