package serve

import (
	"bytes"
	"cmp"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// beside makes what stands beside the answers of the steps that have something there.
var beside = map[string]func(s *Server, r *http.Request, st state, j *job) desk.Side{}

func init() { // a table of methods that themselves look into the table of steps
	beside["/dose"] = (*Server).besideDose
	beside["/next"] = (*Server).besideNext
	beside["/day"] = (*Server).besideDay
	beside["/tank"] = (*Server).besideTank
	beside["/month"] = (*Server).besideMonth
	beside["/compare"] = (*Server).besideCompare
	beside["/past"] = (*Server).besidePast
	beside["/trials"] = (*Server).besideTrial
}

// deskKey holds the desk that a form stands on, as a query.
const deskKey = "desk"

// answered is the state with the answers to the questions of a form in it; false where no form was sent.
func (s *Server) answered(r *http.Request) (state, bool) {
	q := r.URL.Query()
	if !q.Has(deskKey) {
		return state{}, false
	}
	all, _ := url.ParseQuery(q.Get(deskKey)) // what cannot be read of it is not on the desk
	for key, values := range q {
		if known(key) {
			all[key] = values
		}
	}
	st := s.stateOf(all)
	if goal := strings.TrimSpace(q.Get(goalKey)); goal != "" && len(goal) <= mostFlag {
		st = st.slid(goalKey, asTarget(goal, s.goalReading(r, st)))
	}
	takePrices(st, q)
	takeWater(st)
	return st, true
}

func keys(q url.Values) (out []string) {
	for k := range q {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func cloned(q url.Values) url.Values {
	out := url.Values{}
	for k, v := range q {
		out[k] = slices.Clone(v)
	}
	return out
}

// kept is the desk that a form stands on, without the flags that it asks for.
func (st state) kept(asked ...string) string {
	st.Flags = cloned(st.Flags)
	for _, name := range asked {
		delete(st.Flags, name)
	}
	return st.query()
}

// set is the state with a flag of one value, or without it.
func (st state) set(flag, value string) state {
	st.Flags = cloned(st.Flags)
	delete(st.Flags, flag)
	if value != "" {
		st.Flags.Set(flag, value)
	}
	return st
}

// lacksTarget reports an answer that there is none of without a target.
func lacksTarget(a Answer) bool {
	return a.Report == nil && a.Err != nil && slices.ContainsFunc(note.Of(a.Err, ""), func(n note.Note) bool { return n.Code == "no-target" })
}

// withSide is the body of a step's page with what stands beside its answer.
func (s *Server) withSide(r *http.Request, p step, st state, v *desk.Page, j *job, above, below template.HTML) (template.HTML, error) {
	make, ok := beside[p.path]
	if !ok {
		return above + below, nil
	}
	if lacksTarget(j.answer) {
		of := cmp.Or(s.goalReading(r, st), jartest.Turbidity)
		return v.Wanted("Which water is wanted?", "No target is known yet: the sheet states none. Say what the water must reach, and the dose for it is read off the jars.",
			desk.Side{Action: p.path, Kept: st.kept(), Send: "Show the answer", Asks: []desk.Ask{{Name: goalKey, Label: upper(of.Info().Label) + ", at most", Unit: of.Info().Unit, Hint: goalHint(of)}}, More: []desk.Link{st.toFill()}})
	}
	v.SavesBeside = true
	return v.Beside(above, below, make(s, r, st, j))
}

// printed are the links to the parts of a report that are printed by themselves.
func printed(st state, p string, j *job) (out []desk.Link) {
	if j.answer.Report == nil {
		return nil
	}
	for _, x := range templates.Parts(j.answer.Report, j.answer.Options) {
		out = append(out, desk.Link{Title: x.Title, Address: st.at("/print/" + x.Key + p)})
	}
	return out
}

// sheet shows a part of an answer that is printed by itself.
func (s *Server) sheet(w http.ResponseWriter, r *http.Request) {
	p, ok := stepAt("/" + r.PathValue("step"))
	if asked, is := s.answered(r); is && ok {
		http.Redirect(w, r, asked.at("/print/"+r.PathValue("part")+p.path), http.StatusSeeOther)
		return
	}
	st := s.stateOf(r.URL.Query())
	none := func() {
		s.refuse(w, st, "/", http.StatusNotFound, "Not here", "There is no such sheet to print.", "Go back to the day, and choose one that it lists.")
	}
	if !ok || p.command == nil || st.gone || !p.ready(st) {
		none()
		return
	}
	j, err := s.run(st, p.args(st), client(r))
	if !s.waited(w, r, st, p.path, j, err) {
		return
	}
	var b bytes.Buffer
	found := false
	if j.answer.Report != nil {
		found, err = templates.WritePart(&b, j.answer.Report, j.answer.Options, r.PathValue("part"))
	}
	if !found {
		none()
		return
	}
	v := s.pageOf(st, p.path)
	body := template.HTML(b.Bytes())
	if err == nil {
		ask := desk.Side{Action: "/print/" + r.PathValue("part") + p.path, Kept: st.kept("date"), Send: "Put it on"}
		if day := st.askDay(j); day.Hint != "" {
			ask.Asks = append(ask.Asks, day)
		}
		body, err = v.Sheet(matterOnPage(body, st), desk.Link{Title: "Back to “" + p.title + "”", Address: st.at(p.path)}, ask)
	}
	s.write(w, v, body, err, http.StatusOK)
}

// moved reports a request of the script while a slider moves: it waits for nothing but the answer itself.
func moved(r *http.Request) bool { return r.Header.Get("Jarwright-Moves") != "" }

// short is the answer of a step in short, as far as it is there in time; where others wait for a turn it is not begun, and the page's
// script asks again.
func (s *Server) short(r *http.Request, st state, path string) *desk.Short {
	p, _ := stepAt(path)
	out := &desk.Short{Title: p.title, Full: desk.Link{Title: p.title + ", in full", Address: st.at(path)}}
	if moved(r) || s.works.crowded(runKey(st, p.args(st))) {
		out.Later = true
		return out
	}
	j, err := s.run(st, p.args(st), client(r))
	if err != nil {
		return out
	}
	select {
	case <-j.done:
	case <-r.Context().Done():
		return out
	case <-time.After(patience):
		out.Later = true
		return out
	}
	if rep := j.answer.Report; rep != nil {
		x := once(j, "short", func() templates.Short {
			in := templates.InShort(rep, j.answer.Options)
			j.grew(int(weigh(in)))
			return in
		})
		out.Says, out.Order, out.Picture = x.Says, x.Order, template.HTML(x.Picture)
	}
	return out
}
