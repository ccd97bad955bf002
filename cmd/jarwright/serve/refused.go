package serve

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"jarwright/jartest/note"
	"jarwright/templates/desk"
)

// refused is why something that was sent was not taken. It is kept for a while, so that the page which says so has an address, by
// which Back and a reload lead to it again and nothing is sent twice.
type refused struct {
	status        int
	word, why, do string
	past          bool
}

// refusals are the last of them.
type refusals struct {
	sync.Mutex
	of    map[string]refused
	order []string
}

// mostRefusals bounds those that are kept; each is a few words.
const mostRefusals = 200

// keep gives a refusal a number.
func (l *refusals) keep(x refused) (no string) {
	l.Lock()
	defer l.Unlock()
	if l.of == nil {
		l.of = map[string]refused{}
	}
	no = Secret(8)
	l.of[no], l.order = x, append(l.order, no)
	if len(l.order) > mostRefusals {
		delete(l.of, l.order[0])
		l.order = l.order[1:]
	}
	return no
}

func (l *refusals) find(no string) (refused, bool) {
	l.Lock()
	defer l.Unlock()
	x, ok := l.of[no]
	return x, ok
}

// deskIn is the desk that a form stands on.
func deskIn(fields url.Values) url.Values {
	q, _ := url.ParseQuery(fields.Get(deskKey)) // what cannot be read of it is not on the desk
	return q
}

// ofOtherType are the faults of files of a type that is not read.
var ofOtherType = []string{"pdf", "html", "rtf", "ods", "old-xls", "xml-sheet", "other-format", "not-a-workbook", "not-a-sheet", "not-yaml", "results-file"}

// statusOf is the status for a fault of a file.
func statusOf(code string) int {
	switch {
	case code == "too-large":
		return http.StatusRequestEntityTooLarge
	case slices.Contains(ofOtherType, code):
		return http.StatusUnsupportedMediaType
	}
	return http.StatusUnprocessableEntity // of a known type, and it cannot be read
}

// refuseFiles says of files none of which can be opened why.
func (s *Server) refuseFiles(w http.ResponseWriter, st state, past bool, files []File, why note.List) {
	x := refused{word: "Not read", past: past, do: sentence(upper(cmp.Or(why[0].Remedy, "choose another file")), "")}
	if len(files) > 1 {
		x.do = "Choose the sheets once more, each as .xlsx or .csv."
	}
	var said []string
	const most = 10
	for i, n := range why {
		x.status = statusOf(n.Code)
		if i < most {
			said = append(said, files[i].Name+": "+sentence(n.Message, ""))
		}
	}
	if len(files) > most {
		said = append(said, fmt.Sprintf("And %d more.", len(files)-most))
	}
	x.why = strings.Join(said, " ")
	s.refuseUpload(w, x, st)
}

// refuseUpload answers what was sent with why it is not taken.
func (s *Server) refuseUpload(w http.ResponseWriter, x refused, st state) {
	here := withQuery(st.at("/refused"), "no", s.refusals.keep(x))
	w.Header().Set("Content-Location", here)
	s.showRefused(w, x, st, here)
}

func (s *Server) showRefused(w http.ResponseWriter, x refused, st state, here string) {
	at := "/"
	if x.past {
		at = "/past"
	}
	p := s.pageOf(st, at)
	p.Title = x.word
	body, err := p.RefusedFile(desk.Refused{Word: x.word, Why: x.why, Do: x.do, Here: here})
	s.write(w, p, body, err, x.status)
}

// refusedAgain shows a refusal once more, by Back or a reload.
func (s *Server) refusedAgain(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	x, ok := s.refusals.find(r.URL.Query().Get("no"))
	if !ok {
		http.Redirect(w, r, st.at("/"), http.StatusSeeOther)
		return
	}
	s.showRefused(w, x, st, "")
}
