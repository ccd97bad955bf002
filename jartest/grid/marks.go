package grid

import (
	"errors"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// Mark is what a workbook says of a cell besides its value.
type Mark struct {
	// Struck reports that all that the cell shows is struck out.
	Struck bool
	// Erased is the part of a text that is struck out; the cell holds the rest.
	Erased string
	// Comment is the text of the comments on the cell, without the names of their writers.
	Comment string
}

// strikeOut marks the cell at hand where its style or a part of its text strikes it out.
func (r *sheetReader) strikeOut(c Cell, style string) {
	n, _ := strconv.Atoi(style) // none is style 0
	m := Mark{Struck: n >= 0 && n < len(r.struck) && r.struck[n] || r.erased != "" && r.erased == c.Text}
	if !m.Struck {
		m.Erased = r.erased
	}
	if m != (Mark{}) {
		r.sheet.Marks[[2]int{r.row, r.col}] = m
	}
}

// on reports an element that switches on what it is named for, as <strike/> does.
func on(x *scanner) bool { return x.attr("val") == "" || truth(x.attr("val")) }

// richText is the text of an <si>, an <is> or a comment's <text>: its <t> and those of
// its runs, not those that give the sound of a word. Runs that are struck out do not
// count; erased is their text. Where nothing else is left, both are all of it.
func richText(x *scanner) (text, erased string, err error) {
	depth := len(x.open)
	var room [4]string
	pieces, out, struck := room[:0], []string(nil), false
	for {
		k, err := x.next()
		switch {
		case err != nil:
			return "", "", err
		case k == atEnd:
			return "", "", errors.New("it breaks off")
		case k == closes && len(x.open) < depth:
			text, erased = unmark(strings.Join(pieces, "")), unmark(strings.Join(out, ""))
			if strings.TrimSpace(text) == "" && strings.TrimSpace(erased) != "" {
				text = erased
			}
			return text, erased, nil
		case k == opens && x.name == "r":
			struck = false
		case k == opens && x.name == "strike":
			struck = on(x)
		case k == says && ofRun(x.open[depth:]):
			t, err := x.said()
			if err != nil {
				return "", "", err
			}
			if struck {
				out = append(out, t)
			} else {
				pieces = append(pieces, t)
			}
		}
	}
}

// ofRun reports the way to a <t> of a text or of one of its runs.
func ofRun(path []string) bool {
	for i, p := range path {
		p = p[strings.IndexByte(p, ':')+1:]
		if i < len(path)-1 && p != "r" || i == len(path)-1 && p != "t" {
			return false
		}
	}
	return len(path) > 0
}

// comments reads the comments on a worksheet's cells. A thread of them stands in a part
// of its own, and once more, behind an explanation, among the plain ones.
func (w *workbook) comments(s *Sheet, sheet string) error {
	rels, err := w.relations(sheet)
	if errors.Is(err, errMissing) {
		return nil
	}
	if err != nil {
		return err
	}
	said, threads := map[[2]int]string{}, map[[2]int]string{}
	for _, r := range rels {
		switch r.kind {
		case "comments":
			err = w.walk(r.part, commentReader(s, said, "comment"))
		case "threadedComment":
			err = w.walk(r.part, commentReader(s, threads, "threadedComment"))
		}
		if err != nil && !errors.Is(err, errMissing) {
			return err
		}
	}
	for at, text := range threads {
		said[at] = text
	}
	for at, text := range said {
		m := s.Marks[at]
		m.Comment = text
		s.Marks[at] = m
	}
	return nil
}

// commentReader notes the texts of a part's comments by their cells.
func commentReader(s *Sheet, into map[[2]int]string, element string) func(*scanner) error {
	var at [2]int
	var writers []string
	n, known := 0, false
	return func(x *scanner) error {
		switch x.name {
		case "author":
			name, err := x.content()
			writers = append(writers, strings.TrimSpace(name))
			return err
		case element:
			at[0], at[1], known = ParseCell(x.attr("ref"))
			if n++; n > commentCount.Most() {
				return commentCount.Fault(note.Place{File: s.File, Sheet: s.Name})
			}
		case "text":
			text, err := commentText(x, element)
			if err != nil {
				return err
			}
			for _, name := range writers {
				if after, ok := strings.CutPrefix(text, name+":"); ok && name != "" {
					text = after
				}
			}
			if text = strings.TrimSpace(text); known && text != "" {
				text = strings.TrimSpace(into[at] + "\n" + text)
				into[at] = text
			}
			if len(text) > textLength.Most() {
				return textLength.Fault(note.Place{File: s.File, Sheet: s.Name, Cell: s.Address(at[0], at[1])})
			}
		}
		return nil
	}
}

// commentText is the text of a comment; that of a thread is plain.
func commentText(x *scanner, element string) (string, error) {
	if element != "comment" {
		return x.content()
	}
	text, erased, err := richText(x)
	if text == erased {
		text = ""
	}
	return text, err
}
