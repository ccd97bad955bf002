package templates

import (
	"io"

	"jarwright/jartest/note"
	"jarwright/templates/page"
)

// WriteRefusal writes what went wrong as what stands on a page: as the answer, or, where
// one stands above, as what is wrong with it.
func WriteRefusal(w io.Writer, err error, answered bool, o Options) error {
	p := page.Page{Title: "jarwright", Paper: o.Paper}
	notes := page.Notes(o.Notes(note.Of(err, "no-answer")))
	if answered {
		p.Parts = []any{notes}
	} else {
		p.Answer = &page.Answer{Title: "No answer yet: this comes first", Stops: notes} // what to do stands with each, and nothing larger
	}
	return p.WriteMatter(w)
}
