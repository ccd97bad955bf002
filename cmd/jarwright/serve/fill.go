package serve

import (
	"net/http"
	"slices"

	"jarwright/jartest/note"
	"jarwright/templates/desk"
)

// Bench sheets to fill in: an empty one, and one after the last test, with the doses that are worth testing next.
const (
	emptySheet, emptyName = "/fill/nothing", "bench-new.xlsx"
	nextSheet, nextName   = "/fill/last", "bench-next.xlsx"
)

// sheetFlags are what is said of a test that a new bench sheet takes over.
var sheetFlags = append([]string{"chemical", "basis", "stock", "jar-volume", "target", "jars"}, shared[1:]...)

// toFill leads to an empty bench sheet for who has none that answers.
func (st state) toFill() desk.Link {
	return desk.Link{Title: "Save an empty bench sheet, to print or fill in", Address: st.at(emptySheet)}
}

// toFillNext leads to the bench sheet of the next test, where one test is gone on from.
func (st state) toFillNext() (desk.Link, bool) {
	return desk.Link{Title: "Save the bench sheet of this test, to print or fill in", Address: st.at(nextSheet)}, len(st.of(desk.Bench)) == 1
}

// newSheet gives a bench sheet to fill in, as the command writes it. After a test its jars are stirred like the plant of the site on
// the desk; where that does not say how they are stirred as before.
func (s *Server) newSheet(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	last := st.of(desk.Bench)
	name, tries := emptyName, [][]string{{"new", "bench", emptyName}}
	switch after := "/fill/" + r.PathValue("after"); {
	case after == nextSheet && len(last) == 1 && !st.gone:
		one := st.set("target", st.Flags.Get("target")) // a sheet has room for one
		from := slices.Concat([]string{"new", "bench", nextName, "--from", last[0]}, one.flags(sheetFlags))
		name, tries = nextName, [][]string{from}
		if sites := st.of(desk.Site); len(sites) > 0 {
			tries = slices.Insert(tries, 0, append(slices.Clone(from), "--site", sites[0]))
		}
	case after != emptySheet:
		s.refuse(w, st, "/", http.StatusNotFound, "Not here", "There is no such file.", "Drop the sheet again.")
		return
	}
	var why note.List
	for _, args := range tries {
		j, err := s.run(st, args, client(r))
		if !s.waited(w, r, st, "/next", j, err) {
			return
		}
		if i := slices.IndexFunc(j.answer.Wrote, func(f File) bool { return f.Name == name }); i >= 0 {
			s.download(w, j.answer.Wrote[i])
			return
		}
		why = notesOnPage(j.answer.Options.Notes(note.Of(j.answer.Err, "not-saved")))
	}
	v := s.pageOf(st, "/next")
	body, err := desk.NotesOf(why)
	if err == nil {
		body, err = v.NotSaved(name, body, desk.Link{Title: "Back to “What to test next”", Address: st.at("/next")})
	}
	s.write(w, v, body, err, http.StatusConflict)
}
