package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/templates/desk"
)

// figuresPath is the form with all that a site workbook holds, draftKey what was typed into it and has to be put right, and changesFile
// the file of what was changed, as the command reads it.
const figuresPath, draftKey, changesFile = "/figures", "draft", "site-changes.txt"

// boxed is a field that a site's file has filled in.
type boxed struct {
	key, label, group string
	value, unit       string
	line              func(text string) string // as the file of changes has it
	choices           []string
}

// figuresOf are all that the file of a site holds, sheet by sheet; what a form changes is the file's own cells, and nothing else of it is
// lost.
func figuresOf(f File) (out []boxed, err error) {
	held, err := site.Written(f.Name, f.Data)
	for _, sh := range site.Sheets() {
		for i, row := range held[sh.Name] {
			named := row[site.NamedBy(sh.Name)]
			at, of := "", ""
			if sh.List {
				if at = strconv.Itoa(i + 1); named != "" {
					of = named + ": "
				} else {
					of = "row " + at + ": "
				}
			}
			for _, fd := range sh.Fields {
				text := row[fd.Name]
				if text == "" || sh.List && fd.Name == site.NamedBy(sh.Name) {
					continue
				}
				x := boxed{key: strings.Trim(notWord.ReplaceAllString(strings.ToLower(sh.Name+" "+at+" "+fd.Name), "-"), "-"), label: of + fd.Name, group: sh.Name, value: text, choices: fd.Choices}
				if number, unit, ok := strings.Cut(text, " "); ok && bareNumber.MatchString(number) && len(unit) < 16 {
					x.value, x.unit = number, unit
				}
				head := sh.Name
				if at != "" {
					head += ", " + at
				}
				x.line = func(typed string) string { return head + " | " + fd.Name + " | " + typed }
				out = append(out, x)
			}
		}
	}
	return out, err
}

// workbookOf is the site on the desk that was dropped as a file; false where there is none, or one that its own form made.
func (st state) workbookOf() (File, bool) {
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.Kind == desk.Site })
	if i < 0 || len(st.of(desk.Answers)) > 0 {
		return File{}, false
	}
	return st.Files[i], true
}

// figures shows the form, with what was typed into it before and is to be put right.
func (s *Server) figures(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	f, ok := st.workbookOf()
	if !ok || st.gone {
		s.refuse(w, st, "/site", http.StatusNotFound, "Not here", "No site workbook is open here.", "Drop it again.")
		return
	}
	list, err := figuresOf(f)
	if err != nil {
		http.Redirect(w, r, st.at("/site"), http.StatusSeeOther) // which says what is wrong with it
		return
	}
	typed := url.Values{}
	if draft, ok := s.shelf.get(r.URL.Query().Get(draftKey)); ok && draft.Kind == desk.Answers {
		typed, _ = url.ParseQuery(string(draft.Data)) // written by ourselves
	}
	var wrong map[string]note.Note
	if len(typed) > 0 {
		if _, wrong, ok = s.changedFigures(w, r, st, f, list, typed); !ok {
			return
		}
	}
	form := desk.SiteForm{Bench: f.Name}
	for _, x := range list {
		e := desk.Entry{Name: x.key, Label: x.label, Value: x.value, Unit: x.unit, Wide: len(x.value) > 24}
		if typed.Has(x.key) {
			e.Value = typed.Get(x.key)
		}
		for _, c := range x.choices {
			e.Choices = append(e.Choices, desk.Stop{Value: c, Says: c})
		}
		if e.Choices != nil && !slices.Contains(x.choices, e.Value) {
			e.Choices = append(e.Choices, desk.Stop{Value: e.Value, Says: e.Value})
		}
		if n, is := wrong[x.key]; is {
			e.Wrong, e.Remedy, e.First = onPage(n.Message), onPage(n.Remedy), len(form.Wrong) == 0
			form.Wrong = append(form.Wrong, desk.Link{Title: x.label, Address: "#" + x.key})
		}
		if n := len(form.Groups); n == 0 || form.Groups[n-1].Title != x.group {
			form.Groups = append(form.Groups, desk.Group{Title: x.group})
		}
		g := &form.Groups[len(form.Groups)-1]
		g.Entries, g.Open = append(g.Entries, e), g.Open || e.Wrong != "" || e.Value != x.value
	}
	v := s.pageOf(st, "/site")
	body, err := v.Figures(form, desk.Link{Title: "Leave it as it is", Address: st.at("/site")})
	s.write(w, v, body, err, http.StatusOK)
}

// takeFigures makes a workbook with what was changed in place of what it says, and plans the day with it; every way leads to a page that
// can be asked for again.
func (s *Server) takeFigures(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	f, ok := st.workbookOf()
	list, err := figuresOf(f)
	if !ok || err != nil {
		http.Redirect(w, r, st.at("/site"), http.StatusSeeOther)
		return
	}
	typed := url.Values{}
	for _, x := range list {
		if v := strings.TrimSpace(fields.Get(x.key)); fields.Has(x.key) && v != x.value && len(v) <= mostFlag {
			typed.Set(x.key, v)
		}
	}
	if len(typed) == 0 {
		http.Redirect(w, r, st.at("/day"), http.StatusSeeOther)
		return
	}
	made, wrong, ok := s.changedFigures(w, r, st, f, list, typed)
	if !ok {
		return
	}
	if len(wrong) > 0 {
		draft := s.shelf.put(File{Name: changesFile, Kind: desk.Answers, Data: []byte(typed.Encode())})
		http.Redirect(w, r, withQuery(st.at(figuresPath), draftKey, draft.ID), http.StatusSeeOther)
		return
	}
	if f.Made {
		s.shelf.keep(f.ID) // which this takes the place of
	}
	bench := st.Flags[benchKey] // a choice of today's sheet goes on: the chemicals are the same
	st = st.with(s.shelf.put(made))
	if len(bench) > 0 {
		st = st.clone()
		st.Flags[benchKey] = bench
	}
	http.Redirect(w, r, st.at("/day"), http.StatusSeeOther)
}

// changedFigures has the workbook made anew with what was typed; what is wrong is told by the box that it is of.
func (s *Server) changedFigures(w http.ResponseWriter, r *http.Request, st state, f File, list []boxed, typed url.Values) (made File, wrong map[string]note.Note, ok bool) {
	var text strings.Builder
	var at []string
	wrong = map[string]note.Note{}
	for _, x := range list {
		if !typed.Has(x.key) {
			continue
		}
		v := pointed(typed.Get(x.key))
		if v == "" {
			wrong[x.key] = note.Fault("field-emptied", "this box was emptied").Do("type a figure; to leave one out, empty its cell in the workbook itself")
			continue
		}
		if x.unit != "" && bareNumber.MatchString(v) {
			v += " " + x.unit
		}
		fmt.Fprintln(&text, strings.Join(strings.Fields(x.line(v)), " "))
		at = append(at, x.key)
	}
	if len(wrong) > 0 {
		return made, wrong, true
	}
	name := changedName(f.Name)
	args := []string{"new", "site", name, "--from", f.Name, "--answers", changesFile}
	j, err := s.program(st, args, client(r), File{Name: changesFile, Data: []byte(text.String())})
	if !s.waited(w, r, st, "/site", j, err) {
		return made, nil, false
	}
	i := slices.IndexFunc(j.answer.Wrote, func(x File) bool { return x.Name == name })
	if j.answer.Err != nil || i < 0 {
		for key, n := range faultsOf(j.answer.Err, at) {
			if key == placeGroup && len(at) > 0 {
				key = at[0]
			}
			wrong[key] = n
		}
		return made, wrong, true
	}
	made = j.answer.Wrote[i]
	made.Kind, made.Made = desk.Site, true
	return made, nil, true
}

// changedName is what a workbook is called that was changed here: another name than the one that it was made of, which stays.
func changedName(name string) string {
	end := path.Ext(name)
	base := strings.TrimSuffix(name, end)
	const mark = "-changed"
	if whole, n, again := strings.Cut(base, mark); again {
		no, err := strconv.Atoi(strings.TrimPrefix(n, "-"))
		if err != nil {
			no = 1
		}
		return fmt.Sprintf("%s%s-%d%s", whole, mark, no+1, end)
	}
	return base + mark + end
}
