// Package templates is how answers look: text for people, JSON and CSV for
// programs, and, in its subpackages, pictures, workbooks and pages. It decides
// nothing about doses; it shows what dosing and jartest worked out.
package templates

import (
	"io"
	"regexp"
	"slices"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// Options say how an answer is to be shown. The zero value is metric, decimal
// points, no working, no colour, 80 columns.
type Options struct {
	Units        quantity.System
	DecimalComma bool
	Explain      bool
	Color        bool
	Blocks       bool      // the terminal shows block and line characters
	Width        int       // columns of the terminal; 0 counts as 80
	Date         time.Time // the date that documents carry; zero for none
	Paper        string    // "a4" (also when empty) or "letter"
	Version      string    // of the program, for documents
	Command      string    // that gives the same answer, for documents; empty where none does
}

// Report is the answer of one command, in every form that it can take.
type Report interface {
	// Text writes it for people.
	Text(t *Text, o Options)
	// JSON gives the document for programs: a value that encoding/json can
	// write, with "schema" and "notes", without NaN or infinities.
	JSON() any
	// Table gives it as a table, for CSV and for a workbook's sheet Data.
	Table() figure.Table
}

// BookReport is a report that can be written as a workbook.
type BookReport interface {
	Book(w io.Writer, o Options) error
}

// DrawReport is a report that has a picture.
type DrawReport interface {
	Drawing(o Options) draw.Drawing
}

// Pictured reports that a report has a picture with something in it.
func Pictured(r Report, o Options) bool {
	d, ok := r.(DrawReport)
	return ok && len(d.Drawing(o).Panels) > 0
}

// style is how the reader wants numbers written.
func (o Options) style() figure.Style {
	return figure.Style{Units: o.Units, DecimalComma: o.DecimalComma}
}

// Notes writes notes in the reader's units, their days as people write them; a remedy keeps its own, which may be typed.
func (o Options) Notes(l note.List) note.List {
	out := slices.Clone(o.style().Notes(l))
	for i := range out {
		out[i].Message = isoDay.ReplaceAllStringFunc(out[i].Message, func(s string) string { return s[:1] + datedText(s[1:]) })
	}
	return out
}

// isoDay finds a day that stands by itself, not in a file's name or between quotes.
var isoDay = regexp.MustCompile(` \d{4}-\d\d-\d\d\b`)

// Show writes a figure, a phrase or words as the reader wants them.
func (o Options) Show(v any) string { return o.style().Show(v) }

// Say writes a sentence with figures in it; the format's verbs are all %s.
func (o Options) Say(format string, args ...any) string { return o.style().Say(format, args...) }

// decimals writes the numbers of a sentence with the reader's decimal mark.
func (o Options) decimals(s string) string {
	if o.DecimalComma {
		return decimalPoint.ReplaceAllString(s, "$1,$2")
	}
	return s
}

var decimalPoint = regexp.MustCompile(`(\d)\.(\d)`)
