// Package serve is the program's page on the user's own machine. It holds the files
// that are dropped on it in memory, runs the program's own commands on them, and shows
// their answers; it works nothing out itself.
package serve

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"path"
	"runtime"
	"slices"
	"strings"
	"time"

	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// Options are what a page needs of the program.
type Options struct {
	Program Program
	// Render writes an answer that is there in a form, as its command would; nil has each form worked out by a command of its own.
	Render func(w io.Writer, r templates.Report, form string, o templates.Options) error
	// Kind tells what a file is to the program.
	Kind func(name string, data []byte) desk.Kind
	// Log tells a plant's operating log, in less time than Kind takes; nil where there are none.
	Log func(name string, data []byte) bool
	// Demo are the files of the invented hatchery.
	Demo func() ([]File, error)
	// Port is the one that the page is asked for at, and Key what is asked of other
	// machines; an empty key is of a page that only this machine reaches.
	Port, Key string
	// End ends the program, from the page; nil where the page may not. Asked, where given, is
	// called at every request.
	End, Asked func()
	// Folder lists and reads the folder that files may be opened from; nil for none.
	Folder Folder
}

// Folder is the one folder that files may be opened from.
type Folder interface {
	// Title is the folder's own name, without what it lies in.
	Title() string
	Names() ([]string, error)
	Read(name string) ([]byte, error)
}

// Server is the page.
type Server struct {
	Options
	shelf     *shelf
	works     *works
	reads     *Reads
	token     string
	port, key string
	guesses   guesses
	uploads   chan struct{} // bounds the bodies that are read at a time
	refusals  refusals
	turn      time.Duration // that a body waits for its turn to be read
	stretch   time.Duration // in which it has to bring something
}

// Bounds on what is sent and held, in bytes.
const (
	mostFile  = desk.MostFile
	mostBody  = desk.MostSent
	mostHeld  = 256 << 20
	mostReads = 24 << 20 // what was read of files
	// what answers and all that was made of them may weigh together, however many they are
	mostAnswers = 48 << 20
	mostForm    = 256 << 10
	mostParts   = mostTests + 10
	mostRest    = 512 << 20 // of a body that was refused, that is read and let go
)

// New makes a page.
func New(o Options) *Server {
	return &Server{Options: o, shelf: newShelf(mostHeld), works: newWorks(runtime.GOMAXPROCS(0)), reads: newReads(mostReads), token: Secret(16),
		port: o.Port, key: o.Key, uploads: make(chan struct{}, 8), turn: 5 * time.Second, stretch: steadyStretch}
}

// Secret is so many random bytes in hexadecimal digits.
func Secret(n int) string {
	b := make([]byte, n)
	_, _ = rand.Read(b) // never fails, see its documentation
	return hex.EncodeToString(b)
}

// Close ends all work.
func (s *Server) Close() { s.works.close() }

// Handler answers the page's requests.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.start)
	mux.HandleFunc("GET /", s.nowhere)
	mux.HandleFunc("GET /style.css", fixed("text/css; charset=utf-8", desk.Style("")))
	mux.HandleFunc("GET /desk.js", fixed("text/javascript; charset=utf-8", desk.Script()))
	mux.HandleFunc("GET /mark.svg", fixed("image/svg+xml", desk.Icon()))
	mux.HandleFunc("GET /save/{form}/{step}", s.save)
	mux.HandleFunc("GET /print/{part}/{step}", s.sheet)
	mux.HandleFunc("GET /site", s.site)
	mux.HandleFunc("POST /site", s.saveSite)
	mux.HandleFunc("GET "+figuresPath, s.figures)
	mux.HandleFunc("POST "+figuresPath, s.takeFigures)
	mux.HandleFunc("GET /held/{id}", s.held)
	mux.HandleFunc("GET /fill/{after}", s.newSheet)
	mux.HandleFunc("GET /"+answersFile, s.answersAsked)
	for path, change := range map[string]http.HandlerFunc{"/files": s.take, "/open": s.open, "/demo": s.demo, "/stop": s.stop, "/reading": s.reread} {
		mux.HandleFunc("POST "+path, change)
		mux.HandleFunc("GET "+path, onlyForms(s))
	}
	mux.HandleFunc("POST /away", s.away)
	mux.HandleFunc("GET /away", s.askAway)
	mux.HandleFunc("GET /refused", s.refusedAgain)
	mux.HandleFunc("GET /change", s.askColumn)
	mux.HandleFunc("POST /change", s.takeColumn)
	mux.HandleFunc("GET /jars", s.askJars)
	mux.HandleFunc("POST /jars", s.takeJars)
	mux.HandleFunc("POST /key", s.takeKey)
	mux.HandleFunc("GET /key", s.wrongKey)
	mux.HandleFunc("GET /stopped", s.stopped)
	mux.HandleFunc("GET /end", s.askEnd)
	mux.HandleFunc("POST /end", s.end)
	for _, p := range steps {
		if p.command != nil {
			mux.HandleFunc("GET "+p.path, func(w http.ResponseWriter, r *http.Request) { s.show(w, r, p) })
		}
	}
	return s.guard(mux)
}

// onlyForms refuses what is asked for by an address that takes forms: nothing changes by an address.
func onlyForms(s *Server) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Allow", "POST")
		s.refuse(w, state{}, "/", http.StatusMethodNotAllowed, "Not so", "This address only takes forms of the page.", "Go on with the steps above.")
	}
}

// fixed answers with what never changes.
func fixed(kind string, data []byte) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Cache-Control", "max-age=31536000, immutable") // its address has its version
		_, _ = w.Write(data)                                           // a client that has gone needs no answer
	}
}

// pageOf is a page of the walk without its body.
func (s *Server) pageOf(st state, at string) desk.Page {
	p := desk.Page{Title: "Bench", At: at, Desk: st.query(), Token: s.token, End: s.End != nil, Afar: s.key != ""}
	for _, x := range steps {
		l := desk.Link{Title: x.title, Here: x.path == at}
		if x.ready(st) || x.command == nil || x.folders != "" {
			l.Address = st.at(x.path)
		} else {
			l.Why = "needs a " + string(x.of)
		}
		if x.path == "/bench" && l.Address == "" {
			l.Address, l.Why, l.Here = "/", "", at == "/" || at == "/bench"
		}
		if l.Here {
			p.Title = x.title
		}
		if x.also {
			p.Also = append(p.Also, l)
		} else {
			p.Walk = append(p.Walk, l)
		}
	}
	for _, f := range st.Files {
		if f.Kind == desk.Answers {
			continue // goes with the site that was made of them
		}
		p.Held = append(p.Held, st.heldAs(f, at))
	}
	p.Holds, p.Free = st.holding(at)
	p.Past = at == "/past"
	if s.Folder != nil {
		p.Folder, _ = s.Folder.Names() // a folder that cannot be read lists nothing
		p.Whole = s.Folder.Title()
	}
	return p
}

// nowhere says that there is no such page.
func (s *Server) nowhere(w http.ResponseWriter, r *http.Request) {
	s.refuse(w, s.stateOf(r.URL.Query()), "/", http.StatusNotFound, "Not here", "There is no page at this address.", "Go on with the steps above.")
}

// start shows the jar to drop a sheet into.
func (s *Server) start(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	p := s.pageOf(st, "/")
	body, err := p.Start()
	s.write(w, p, body, err, http.StatusOK)
}

// patience is how long a page waits for its answer before it says that it is working.
const patience = 800 * time.Millisecond

// show answers with the step's report.
func (s *Server) show(w http.ResponseWriter, r *http.Request, p step) {
	if asked, ok := s.answered(r); ok {
		http.Redirect(w, r, asked.at(p.path), http.StatusSeeOther)
		return
	}
	st := s.stateOf(r.URL.Query())
	if p.folders != "" && !st.gone && !p.ready(st) {
		s.pastPage(w, st)
		return
	}
	if st.gone || !p.ready(st) {
		s.refuse(w, st, p.path, http.StatusNotFound, "Not here", "The "+string(p.of)+" that this page needs is not open here any more. It was put away, or the program has been started anew since.", "Drop it again.")
		return
	}
	args := p.args(st)
	j, err := s.run(st, args, client(r))
	if err != nil {
		s.busy(w, st, p.path)
		return
	}
	v := s.pageOf(st, p.path)
	v.Command, v.Beforehand = CommandLine(args), p.beforehand(st)
	if p.path == "/bench" {
		v.Says = append(v.Says, st.leftOut(desk.Bench)...)
	}
	if p.of == desk.Site { // the other answers need not read the site for it
		if says := st.lookedAt(); says != "" {
			v.Says = append(v.Says, says)
		}
		v.Rests = st.rests(p.path)
	}
	select {
	case <-j.done:
	case <-r.Context().Done():
		return
	case <-time.After(patience):
		v.Refresh = 1
		body, err := desk.Working{Page: v, Told: j.progress(), Key: j.key}.Write()
		s.write(w, v, body, err, http.StatusOK)
		return
	}
	if errors.Is(j.answer.Err, context.Canceled) || errors.Is(j.answer.Err, context.DeadlineExceeded) {
		s.refuse(w, st, p.path, http.StatusServiceUnavailable, "Stopped", "The work was stopped before it was done.", "Go back, or ask for the page again.")
		return
	}
	if s.asks(w, r, p, st, j) {
		return
	}
	if j.answer.Report != nil {
		for _, form := range p.forms {
			if form == "png" && !once(j, "pictured", func() bool { return templates.Pictured(j.answer.Report, j.answer.Options) }) {
				continue
			}
			v.Save = append(v.Save, desk.Save{Title: formNames[form], Address: st.at("/save/" + form + p.path)})
		}
	}
	body, err := s.bodyOf(r, p, st, &v, j)
	s.write(w, v, body, err, http.StatusOK)
	s.ahead(p, st, j)
}

// bodyOf is the answer of a step as the body of its page, with what stands beside it.
func (s *Server) bodyOf(r *http.Request, p step, st state, v *desk.Page, j *job) (template.HTML, error) {
	if p.path == "/bench" {
		return s.benchBody(r.Context(), st, *v, j.answer, client(r))
	}
	above, below, err := j.matter(st)
	if err != nil {
		return "", err
	}
	if name := absentOf(j.answer); name != "" && j.answer.Report == nil {
		fetch, err := v.Fetch(name)
		if err != nil {
			return "", err
		}
		above += fetch
	}
	return s.withSide(r, p, st, v, j, above, below)
}

// run begins a command on the desk's files, or finds it begun or done.
func (s *Server) run(st state, args []string, client string) (*job, error) {
	if why, is := st.readOtherwise(args[0]); is { // of another key, as the command does not say how the sheet was read
		return s.works.do(runKey(st, args)+why.Message, client, func(ctx context.Context, told func(func() string)) Answer {
			if s.readsAlike(ctx, st) {
				return s.Program(ctx, Call{Args: args, Files: st.read(), Told: told, Reads: s.reads})
			}
			return Answer{Err: note.List{why}}
		}, st.contents()...)
	}
	return s.works.do(runKey(st, args), client, func(ctx context.Context, told func(func() string)) Answer {
		return s.Program(ctx, Call{Args: args, Files: st.read(), Told: told, Reads: s.reads})
	}, st.contents()...)
}

// runKey tells a run from all others.
func runKey(st state, args []string) string { return hash(strings.Join(args, "\x00") + keyOf(st)) }

// waited waits for a run to be done; where it was not begun the page has said so, and where the client has gone nothing is to be said.
func (s *Server) waited(w http.ResponseWriter, r *http.Request, st state, at string, j *job, err error) bool {
	if err != nil {
		s.busy(w, st, at)
		return false
	}
	return j.wait(r.Context())
}

// busy says that the work was not begun, and when to ask again.
func (s *Server) busy(w http.ResponseWriter, st state, at string) {
	w.Header().Set("Retry-After", "2")
	s.refuse(w, st, at, http.StatusServiceUnavailable, "Busy", "More is being worked on than this machine can do at a time.", "Try again in a moment.")
}

// matter is the answer as what stands on the page, down to the answer itself and below it; it is made once.
func (j *job) matter(st state) (above, below template.HTML, err error) {
	j.page.Do(func() {
		var top, rest bytes.Buffer
		a := j.answer
		if a.Report != nil {
			j.bodyErr = templates.WriteHalves(&top, &rest, a.Report, a.Options)
		}
		if a.Err != nil {
			j.bodyErr = cmp.Or(j.bodyErr, templates.WriteRefusal(&top, a.Err, a.Report != nil, a.Options))
		}
		j.above, j.below = matterOnPage(template.HTML(top.String()), st), matterOnPage(template.HTML(rest.String()), st)
		j.grew(len(j.above) + len(j.below))
	})
	return j.above, j.below, j.bodyErr
}

// save gives the answer as a file, byte for byte what the command line writes.
func (s *Server) save(w http.ResponseWriter, r *http.Request) {
	p, ok := stepAt("/" + r.PathValue("step"))
	st := s.stateOf(r.URL.Query())
	form := r.PathValue("form")
	if !ok || p.command == nil || !slices.Contains(p.forms, form) || st.gone || !p.ready(st) {
		s.refuse(w, st, "/", http.StatusNotFound, "Not here", "There is no such file.", "Drop the sheet again.")
		return
	}
	name := strings.TrimPrefix(p.path, "/") + "." + form
	j, err := s.rendered(r, st, p, form, name)
	if !s.waited(w, r, st, p.path, j, err) {
		return
	}
	for _, f := range j.answer.Wrote {
		if f.Name == name {
			s.download(w, f)
			return
		}
	}
	shown, err := s.run(st, p.args(st), client(r))
	if !s.waited(w, r, st, p.path, shown, err) {
		return
	}
	if shown.answer.Report == nil || j.answer.Err == nil {
		http.Redirect(w, r, st.at(p.path), http.StatusSeeOther) // which says why there is none
		return
	}
	v := s.pageOf(st, p.path) // an answer that this form cannot hold, such as several months in a workbook of one
	body, err := desk.NotesOf(notesOnPage(j.answer.Options.Notes(note.Of(j.answer.Err, "not-saved"))))
	if err == nil {
		body, err = v.NotSaved(name, body, desk.Link{Title: "Back to “" + p.title + "”", Address: st.at(p.path)})
	}
	s.write(w, v, body, err, http.StatusConflict)
}

// rendered begins to write an answer in a form. What stands on the page without a fault is not worked out again for it; where there is a
// fault the command decides whether there is a file.
func (s *Server) rendered(r *http.Request, st state, p step, form, name string) (*job, error) {
	whole := append(p.args(st), "-o", name)
	if s.Render == nil {
		return s.run(st, whole, client(r))
	}
	shown, err := s.run(st, p.args(st), client(r))
	if err != nil || !shown.wait(r.Context()) {
		return shown, err
	}
	a := shown.answer
	if a.Report == nil || a.Err != nil || a.Code != 0 {
		return s.run(st, whole, client(r))
	}
	return s.works.do(runKey(st, whole), client(r), func(context.Context, func(func() string)) (out Answer) {
		var b bytes.Buffer
		out.Options = a.Options
		if out.Err = s.Render(&b, a.Report, form, a.Options); out.Err == nil {
			out.Wrote = []File{{Name: name, Data: b.Bytes()}}
		}
		return out
	}, st.contents()...)
}

// formTypes are the types of files that not every machine knows.
var formTypes = map[string]string{".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", ".csv": "text/csv; charset=utf-8"}

// download sends a file to be kept.
func (s *Server) download(w http.ResponseWriter, f File) {
	w.Header().Set("Content-Type", cmp.Or(formTypes[path.Ext(f.Name)], mime.TypeByExtension(path.Ext(f.Name)), "application/octet-stream"))
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": f.Name}))
	_, _ = w.Write(f.Data) // a client that has gone needs no answer
}

// form reads a form's fields and its files, each within its bounds, and holds the token against ours.
func (s *Server) form(w http.ResponseWriter, r *http.Request) (fields url.Values, files []File, err error) {
	select {
	case s.uploads <- struct{}{}:
		defer func() { <-s.uploads }()
	case <-time.After(s.turn): // those who send steadily are soon done
		return fields, nil, errBusy
	case <-r.Context().Done():
		return fields, nil, errBusy
	}
	r.Body = newSteady(w, r.Body, s.stretch)
	fields = url.Values{}
	if kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); kind != "multipart/form-data" {
		r.Body = http.MaxBytesReader(w, r.Body, mostForm)
		if err := r.ParseForm(); err != nil {
			return fields, nil, err
		}
		fields = r.PostForm
	} else {
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		m, err := r.MultipartReader()
		if err != nil {
			return fields, nil, err
		}
		for n := 0; ; n++ {
			part, err := m.NextPart()
			if errors.Is(err, io.EOF) {
				break
			}
			if err == nil && n == mostParts {
				err = fmt.Errorf("more than %d parts", mostParts)
			}
			if err == nil && part.FileName() == "" && !same(cmp.Or(fields.Get("token"), s.token), s.token) {
				return fields, nil, errToken
			}
			if err == nil {
				err = s.part(part, fields, &files, r.ContentLength)
			}
			if err != nil {
				return fields, nil, err
			}
		}
	}
	if !same(fields.Get("token"), s.token) {
		return fields, nil, errToken
	}
	return fields, files, nil
}

// tooLarge is the name of a file beyond the most.
type tooLarge string

func (name tooLarge) Error() string {
	return fmt.Sprintf("%s is larger than %d MB", string(name), mostFile>>20)
}

// errToken says that a form is not one of this page's own.
var errToken = errors.New("the form is not of this page: it may be from before the program was started")

// part reads one part of a form of so many bytes. The token stands before the files, and none is read without it, nor of a form that
// says itself that it is too large.
func (s *Server) part(part *multipart.Part, fields url.Values, files *[]File, whole int64) error {
	name := part.FileName()
	if name == "" {
		text, err := io.ReadAll(io.LimitReader(part, mostForm))
		fields.Add(part.FormName(), string(text))
		return err
	}
	if !same(fields.Get("token"), s.token) {
		return errToken
	}
	if whole > mostBody {
		return &http.MaxBytesError{Limit: mostBody}
	}
	data, err := io.ReadAll(io.LimitReader(part, mostFile+1))
	if err == nil && len(data) > mostFile {
		err = tooLarge(cleanName(name))
	}
	*files = append(*files, named(name, data))
	return err
}

// changed reads a form and the desk that it stands on; where it cannot, it has answered.
func (s *Server) changed(w http.ResponseWriter, r *http.Request) (fields url.Values, files []File, st state, ok bool) {
	body := r.Body
	fields, files, err := s.form(w, r)
	if err == nil {
		return fields, files, s.stateOf(deskIn(fields)), true
	}
	if !errors.Is(err, errToken) {
		st = s.stateOf(deskIn(fields)) // what was refused leaves the desk as it is
	}
	_, _ = io.CopyN(io.Discard, body, mostRest) // a browser that is still sending would hear nothing of the answer
	large, file := (*http.MaxBytesError)(nil), tooLarge("")
	const smaller = "Save only the sheets or months that are needed in a file of their own."
	switch {
	case errors.Is(err, errToken):
		s.refuse(w, state{}, "/", http.StatusForbidden, "Not taken", "The form is not of this page; it may be from before the program was started.", "Open the page anew and try again.")
	case errors.Is(err, errBusy):
		s.refuse(w, st, "/", http.StatusServiceUnavailable, "Busy", "More is being sent than this machine can take at a time.", "Try again in a moment.")
	case errors.As(err, &large):
		s.refuseUpload(w, refused{status: http.StatusRequestEntityTooLarge, word: "Too large", why: fmt.Sprintf("All that is sent at a time may have %d MB.", mostBody>>20), do: smaller, past: forPast(fields)}, st)
	case errors.As(err, &file):
		s.refuseUpload(w, refused{status: http.StatusRequestEntityTooLarge, word: "Too large", why: file.Error() + ".", do: smaller, past: forPast(fields)}, st)
	default:
		s.refuse(w, st, "/", http.StatusBadRequest, "Not taken", "What was sent broke off, or is no form of this page.", "Go back, and choose the file again.")
	}
	return nil, nil, state{}, false
}

// take puts files on the desk and goes where they are of use.
func (s *Server) take(w http.ResponseWriter, r *http.Request) {
	fields, files, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	s.put(w, r, st, files, forPast(fields))
}

// put puts files on the desk, each as what it is, and goes to the step that it is for; where none of them can be opened it refuses
// them, and the desk stays as it is. Where they are for past tests what is nothing else is one.
func (s *Server) put(w http.ResponseWriter, r *http.Request, st state, files []File, past bool) {
	files = slices.DeleteFunc(files, func(f File) bool { return len(f.Data) == 0 && f.Name == "sheet" }) // a file field that was left empty
	var why note.List
	for i := range files {
		n, is, ok := s.tell(w, r, st, &files[i])
		if !ok {
			return
		}
		if is {
			why.Add(n)
		}
	}
	if len(files) > 0 && len(why) == len(files) {
		s.refuseFiles(w, st, past, files, why)
		return
	}
	to := "/"
	var tests []File
	for _, f := range files {
		if past && f.Kind == desk.Bench {
			tests = append(tests, f)
			continue
		}
		st = st.with(s.shelf.put(f))
		for _, p := range steps {
			if (p.of == f.Kind || p.logs != "" && p.logs == f.Kind) && (p.command != nil && to != "/bench") {
				to = p.path
				break
			}
		}
	}
	if past && (len(tests) > 0 || to == "/") {
		to = "/past"
	}
	st, err := s.filed(st, tests)
	if err != nil {
		s.tooMany(w, st, err)
		return
	}
	http.Redirect(w, r, st.at(to), http.StatusSeeOther)
}

// tell finds out what a file is, and of one of which nothing tells why it cannot be opened, if it cannot; where ok is false it has
// answered.
func (s *Server) tell(w http.ResponseWriter, r *http.Request, st state, f *File) (why note.Note, is, ok bool) {
	name, data := f.Name, f.Data
	j, err := s.works.do(hash("kind\x00"+name+"\x00"+string(data)), client(r), func(context.Context, func(func() string)) Answer {
		return Answer{Wrote: []File{{Name: name, Kind: s.Kind(name, data)}}}
	}, f.content())
	if !s.waited(w, r, st, "/", j, err) {
		return why, false, false
	}
	f.Kind, f.Guessed = desk.Bench, true // where it is nothing the program knows, the reader of bench sheets says why
	if len(j.answer.Wrote) == 1 && j.answer.Wrote[0].Kind != "" {
		f.Kind, f.Guessed = j.answer.Wrote[0].Kind, false
		return why, false, true
	}
	alone := state{Files: []File{*f}}
	if j, err = s.run(alone, stepArgs("/bench", alone), client(r)); !s.waited(w, r, st, "/", j, err) {
		return why, false, false
	}
	if why, is = shut(j.answer); is {
		f.Shut = onPage(why.Message)
	}
	return why, is, true
}

// open puts a file of the folder on the desk.
func (s *Server) open(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	name := fields.Get("name")
	if s.Folder == nil {
		s.refuse(w, st, "/", http.StatusNotFound, "Not here", "No folder was given to open files from.", "Drop the file instead.")
		return
	}
	if forPast(fields) {
		s.openAll(w, r, st)
		return
	}
	data, err := s.Folder.Read(name)
	if err != nil {
		s.refuse(w, st, "/", http.StatusNotFound, "Not here", name+" cannot be read.", "Choose one of the list.")
		return
	}
	s.put(w, r, st, []File{{Name: cleanName(name), Data: data}}, false)
}

// demo puts the invented hatchery's files on the desk.
func (s *Server) demo(w http.ResponseWriter, r *http.Request) {
	fields, _, _, ok := s.changed(w, r)
	if !ok {
		return
	}
	files, err := s.Demo()
	if err != nil {
		s.refuse(w, state{}, "/", http.StatusInternalServerError, "Not made", err.Error(), "Tell us of it.")
		return
	}
	st := state{}
	for _, f := range files {
		st = st.with(s.shelf.put(f))
	}
	to := "/bench"
	if forPast(fields) {
		to = "/past"
	}
	http.Redirect(w, r, st.at(to), http.StatusSeeOther)
}

// stop ends a long run.
func (s *Server) stop(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	s.works.stop(fields.Get("key"))
	http.Redirect(w, r, st.at("/stopped"), http.StatusSeeOther)
}

// stopped says that a long run was ended.
func (s *Server) stopped(w http.ResponseWriter, r *http.Request) {
	s.refuse(w, s.stateOf(r.URL.Query()), "/", http.StatusOK, "Stopped", "The work was stopped before it was done.", "Go on with the steps above.")
}

// end ends the program; where something would be lost with it, only once that was said.
func (s *Server) end(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	typed := fields.Get(typedKey) != ""
	switch {
	case s.End == nil:
		s.refuse(w, st, "/", http.StatusForbidden, "Not from here", "The program is ended where it was started.", "Go on with the steps above.")
	case fields.Get("sure") == "" && (typed || len(s.shelf.loose()) > 0):
		to := st.at("/end")
		if typed {
			to = withQuery(to, typedKey, "yes")
		}
		http.Redirect(w, r, to, http.StatusSeeOther)
	default:
		p := s.pageOf(state{}, "/")
		p.Title, p.Ended, p.End = "Ended", true, false
		body, err := p.Refusal("Ended", "The program has ended, and nothing of what lay here is kept.", "Close this window.")
		s.write(w, p, body, err, http.StatusOK)
		s.End()
	}
}

// askEnd says what would be lost with the program, and where it can be saved.
func (s *Server) askEnd(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	ask := desk.Sure{Title: "End the program?", Why: "Nothing is kept longer than it runs. This is not saved yet:",
		Send: "/end", Yes: desk.Link{Title: "End it all the same"}, No: desk.Link{Title: "Go on", Address: st.at("/")}}
	typed := r.URL.Query().Has(typedKey)
	loose := s.shelf.loose()
	for i, f := range loose {
		if at := f.savedAt(); at != "" {
			title, alike, no := f.Name, 0, 0
			for k, x := range loose {
				if x.Name == f.Name && x.savedAt() != "" {
					if alike++; k <= i {
						no++
					}
				}
			}
			if alike > 1 { // in the order in which they were made or last used
				title = fmt.Sprintf("%s (%d of %d, the last is the latest)", f.Name, no, alike)
			}
			if place := f.placeName(); place != "" {
				title += ", " + place
			}
			ask.Lost = append(ask.Lost, desk.Link{Title: title, Address: at})
		} else {
			typed = true
		}
	}
	if typed {
		ask.Lost = append(ask.Lost, desk.Link{Title: "what was typed into a form"})
	}
	if len(ask.Lost) == 0 {
		ask.Why = "Nothing of what lies here would be lost."
	}
	s.sure(w, st, "/", ask)
}

// sure asks before something is lost.
func (s *Server) sure(w http.ResponseWriter, st state, at string, ask desk.Sure) {
	v := s.pageOf(st, at)
	v.Title = ask.Title
	body, err := v.Sure(ask)
	s.write(w, v, body, err, http.StatusOK)
}

// refuse says as an answer why there is none.
func (s *Server) refuse(w http.ResponseWriter, st state, at string, status int, word, why, do string) {
	p := s.pageOf(st, at)
	p.Title = word
	body, err := p.Refusal(word, why, do)
	if status == http.StatusNotFound { // who has to drop something again finds where
		body, err = p.RefusedFile(desk.Refused{Word: word, Why: why, Do: do})
	}
	s.write(w, p, body, err, status)
}

// write sends a page.
func (s *Server) write(w http.ResponseWriter, p desk.Page, body template.HTML, err error, status int) {
	var b bytes.Buffer
	if p.Body = body; err == nil {
		err = p.Write(&b)
	}
	if err != nil {
		http.Error(w, "The page cannot be shown: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes()) // a client that has gone needs no answer
}
