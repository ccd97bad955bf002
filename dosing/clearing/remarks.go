package clearing

import (
	"strings"

	"jarwright/dosing/logbook"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
)

// remarkIn is what is written beside a row: in columns of remarks, in words where no heading stands, and as comments on its cells.
func (x *reader) remarkIn(b block, r int) (text string, at note.Place) {
	var all []string
	add := func(said string, c int) {
		if said = strings.TrimSpace(said); said == "" || said == "-" {
			return
		}
		if all = append(all, said); len(all) == 1 {
			at = x.v.PlaceAt(r, c)
		}
	}
	headed := map[int]column{}
	for _, c := range b.others {
		headed[c.at] = c
	}
	for c := b.from; c < min(b.until, x.width()); c++ {
		cell := x.v.At(r, c)
		if h, ok := headed[c]; ok && h.role == remarked || !ok && layout.Text(x.v.At(b.row, c)) == "" && cell.Kind == grid.Textual && !layout.IsData(cell.Text, x.dec) {
			add(written(cell), c)
		}
		if m := x.v.MarkAt(r, c).Comment; m != "" && !cell.Blank() {
			add(m, c)
		}
	}
	return strings.Join(all, ", "), at
}

// remarked keeps the remark on a row of a run and says what it does to its reading; true where it takes it out. The words are those that void a jar of a bench sheet.
func (x *reader) remarked(f *facts, b block, r int, t quantity.Known[quantity.Time], reads bool) (void bool) {
	text, at := x.remarkIn(b, r)
	if text == "" {
		return false
	}
	void, doubt := sheet.Remarked(text)
	f.Remarks = append(f.Remarks, Remark{At: t, Text: text, Place: at})
	if x.spoke[at] {
		return void
	}
	x.spoke[at] = true
	switch {
	case void && reads:
		x.Notes.Add(note.New(note.Caution, "reading-voided", "the reading was left out because of its remark %q", text).At(at).Do("take the remark away if it counts"))
	case logbook.Halted(text):
		x.Notes.Add(note.New(note.Caution, "stopped-meanwhile", "%q: a time in which the unit stands is counted as if it ran, unless its flow says so", text).At(at).
			Do(`write 0 under Flow for that time, or take it off all later times`))
	case logbook.Altered(text):
		x.Notes.Add(note.New(note.Caution, "changed-meanwhile", "%q: something was put in or changed while the unit ran, so the course is not one and its interval may not hold", text).At(at).
			Do("give the readings before or after it as a run of their own"))
	case doubt:
		x.Notes.Add(note.New(note.Caution, "remark", "the remark %q puts the reading in doubt; it was kept", text).At(at).Do(`write "do not use" if it does not count`))
	}
	return void
}
