package layout

import (
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
)

// A block of numbers under numbers is a cross-tab only where it is evidenced: nothing but the name of its
// top side stands over it, nothing stands left of it, and both sides are named. Columns that have headings
// of their own, or numbers above, are those of an ordinary table in which a label or a dose is missing.

// crossRole is what a block of numbers with numbers along two sides is.
type crossRole uint8

const (
	crossTable crossRole = iota // part of an ordinary table
	crossGrid
)

// crossEvidence is what is known of such a block.
type crossEvidence struct {
	f *Finder
	x *Crosstab
}

var crossTests = map[string]func(crossEvidence) bool{
	"corner-names-both": func(e crossEvidence) bool { return e.f.cornerNamesBoth(*e.x) },
	"headed":            crossEvidence.headed,
	"numbers-above":     crossEvidence.numbersAbove,
	"numbers-left":      crossEvidence.numbersLeft,
}

var crossRules = []Rule[crossRole, crossEvidence]{
	{crossTable, 90, "headed", "corner-names-both", "its columns have headings of their own", nil},
	{crossTable, 90, "numbers-above", "corner-names-both", "the columns go on above it", nil},
	{crossTable, 90, "numbers-left", "corner-names-both", "the rows go on left of it", nil},
	{crossTable, 82, "headed", "", "its columns have headings of their own", nil},
	{crossGrid, 80, "corner-names-both", "", "its corner names both sides", nil},
	{crossGrid, 50, "", "", "nothing says otherwise", nil},
}

var crossRuled = NewRules(crossTests, crossRules)

// headed reports headings of their own over several of its columns: in the nearest line that holds
// anything, past one that is empty.
func (e crossEvidence) headed() bool {
	for r := e.x.r - 1; r >= 0 && r >= e.x.r-2; r-- {
		if e.f.blankRow(r) {
			continue
		}
		line := func(c int) grid.Cell { return e.f.v.At(r, c) }
		return e.f.headsAbove(r, e.x.c0+1, e.x.c1) > 1 && !e.f.pairs(e.f.v.breadth(), line)
	}
	return false
}

// numbersAbove reports a line of numbers right above the top side.
func (e crossEvidence) numbersAbove() bool {
	_, number := e.f.filled(e.x.r-1, e.x.c0+1, e.x.c1)
	return number && !e.f.pairs(e.f.v.breadth(), func(c int) grid.Cell { return e.f.v.At(e.x.r-1, c) })
}

// numbersLeft reports numbers left of most of its lines.
func (e crossEvidence) numbersLeft() bool {
	n := 0
	for r := e.x.first; r <= e.x.last; r++ {
		if e.f.DataLike(e.f.v.At(r, e.x.c0-1)) {
			n++
		}
	}
	return n*2 > e.x.last-e.x.first+1
}

// cornerNamesBoth reports a corner that names what stands along each side.
func (f *Finder) cornerNamesBoth(x Crosstab) bool {
	corner := x.corner
	x.rowName, x.colName, x.reading = "", "", ""
	f.fromCorner(&x, corner)
	return x.rowName != "" && x.colName != ""
}

// apart is a line of a cross-tab that was left out, since what stands on its side is no number.
type apart struct {
	at   note.Place
	text string
	row  bool
	last bool // no number of the side stands behind it
}

// longSide is the longest text along a side; a longer one is a sentence.
const longSide = 40

// canSkip reports a cell along a side that is no number and no heading either, so that its line is one of
// the cross-tab that cannot be used: a mean, an empty cell, "30 new".
func (f *Finder) canSkip(x grid.Cell) bool {
	if x.Hollow || x.Kind != grid.Empty && x.Kind != grid.Textual {
		return x.Hollow
	}
	h := f.heading(x.Text)
	return x.Blank() || !(h.Core() && h.Stat == "" && !h.Replicate) && len(x.Text) <= longSide
}

// beside leaves out the lines of numbers right of a cross-tab, or below it, that no side goes on to.
func (f *Finder) beside(x *Crosstab) {
	for c := x.c1 + 1; c < f.v.breadth() && f.crossed(x, c, false) && f.canSkip(f.v.At(x.r, c)); c++ {
		x.leave(f, x.r, c, false)
	}
	for r := x.last + 1; r < f.v.height() && f.crossed(x, r, true); r++ {
		if !f.rawRow(*x, r) && f.canSkip(f.v.At(r, x.c0)) {
			x.leave(f, r, x.c0, true)
		}
	}
}

// crossed reports a line of numbers in the body: of a row most of its cells, of a column two of the first rows.
func (f *Finder) crossed(x *Crosstab, at int, row bool) bool {
	n, all := 0, 0
	if row {
		for c := x.c0 + 1; c <= x.c1; c++ {
			all++
			if f.DataLike(f.v.At(at, c)) {
				n++
			}
		}
		return n*2 > all
	}
	for r := x.r + 1; r <= x.r+4; r++ {
		if f.DataLike(f.v.At(r, at)) {
			n++
		}
	}
	return n > 1
}

// leave leaves a line out, and keeps what stood on its side.
func (x *Crosstab) leave(f *Finder, r, c int, row bool) {
	at := c
	if row {
		at = r
	}
	x.left = append(x.left, apart{f.v.PlaceAt(r, c), Text(f.v.At(r, c)), row, row && at > x.last || !row && at > x.c1})
	if row {
		x.noRow = append(x.noRow, at)
	} else {
		x.noCol = append(x.noCol, at)
	}
}

// leftOut says what was left out of a cross-tab.
func (f *Finder) leftOut(x Crosstab) (notes note.List) {
	for _, a := range x.left {
		line := map[bool]string{true: "row", false: "column"}[a.row]
		level, h := note.Caution, f.heading(a.text)
		n := note.New(level, "cross-tab-line", "a %s of the cross-tab has no number on its side and was left out", line)
		if a.text != "" {
			n = note.New(level, "cross-tab-line", "%q stands where a %s of the cross-tab has its number; the %s was left out", a.text, line, line)
		}
		if (h.Stat != "" || h.Summary) && a.last {
			n = note.New(note.Info, "cross-tab-line", "the %s %q of the cross-tab is no jar and was left out", line, a.text)
		}
		n.Remedy = "write the number alone into that cell, or take the " + line + " out"
		notes.Add(n.At(a.at))
	}
	return notes
}
