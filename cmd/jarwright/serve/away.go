package serve

import (
	"net/http"
	"net/url"
	"slices"

	"jarwright/templates/desk"
)

// putKey holds the ID of what is put away, atKey the page that it is put away on, and surelyKey that it was asked about.
const putKey, atKey, surelyKey = "put", "at", "sure"

// away puts a file away, or a single one of a folder. It is forgotten, with all answers that nothing else on any desk has; what was
// made here and not saved yet is asked about first.
func (s *Server) away(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	id, at := fields.Get(putKey), fields.Get(atKey)
	left, ids := st.putting(id)
	if len(ids) > 0 && fields.Get(surelyKey) == "" && s.shelf.alone(id) {
		http.Redirect(w, r, st.at("/away")+"&"+url.Values{putKey: {id}, atKey: {at}}.Encode(), http.StatusSeeOther)
		return
	}
	s.forget(ids...)
	if p, ok := stepAt(at); !ok || p.command != nil && p.folders == "" && !p.ready(left) {
		at = "/"
	}
	http.Redirect(w, r, left.at(at), http.StatusSeeOther)
}

// putting is the state without what bears an ID, and the IDs of all that goes with that: of a folder its files, of a site the answers
// that it was made of. Of what is not on the desk nothing goes.
func (st state) putting(id string) (left state, ids []string) {
	for _, f := range st.Files {
		switch {
		case f.ID == id:
			left = st.without(id)
			for _, x := range st.Files {
				if !slices.ContainsFunc(left.Files, func(y File) bool { return y.ID == x.ID }) {
					ids = append(ids, x.ID)
				}
			}
			for _, p := range f.Parts {
				ids = append(ids, p.ID)
			}
			return left, ids
		case slices.ContainsFunc(f.Parts, func(p File) bool { return p.ID == id }):
			if len(f.Parts) == 1 {
				return st.putting(f.ID)
			}
			return st, []string{id}
		}
	}
	return st, nil
}

// forget lets go of what bears these IDs, and of all that was made of it alone.
func (s *Server) forget(ids ...string) {
	if len(ids) > 0 {
		gone := s.shelf.forget(ids...)
		s.works.let(gone)
		s.reads.let(gone)
	}
}

// askAway asks before what is nowhere else is put away.
func (s *Server) askAway(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	st := s.stateOf(q)
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.ID == q.Get(putKey) })
	if i < 0 {
		onlyForms(s)(w, r)
		return
	}
	f, at := st.Files[i], "/"
	if p, ok := stepAt(q.Get(atKey)); ok {
		at = p.path
	}
	s.sure(w, st, at, desk.Sure{Title: "Put it away?", Why: "It was made here and is not saved. Put away it is forgotten:",
		Lost: []desk.Link{{Title: f.Name, Address: f.savedAt()}}, Send: "/away", With: map[string]string{putKey: f.ID, atKey: at},
		Yes: desk.Link{Title: "Put it away"}, No: desk.Link{Title: "Keep it", Address: st.at(at)}})
}
