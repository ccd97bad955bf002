package serve

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"jarwright/templates/desk"
)

// fileIn is the ID of the n-th file of an address.
func fileIn(t *testing.T, address string, n int) (id, query string) {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil || len(u.Query()["file"]) <= n {
		t.Fatalf("%q has no file %d (%v)", address, n, err)
	}
	return u.Query()["file"][n], u.RawQuery
}

// TestAwayForgets: a file that is put away is forgotten with all answers that rest on it, and neither a reload nor Back brings it back;
// the same file of another window, and what else lies on the desk, stay.
func TestAwayForgets(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	one := a.upload("", [2]string{"a.csv", "jars"}).Header.Get("Location")
	id, query := fileIn(t, one, 0)
	site := a.upload(query, [2]string{"site.xlsx", "3"}).Header.Get("Location")
	_, query = fileIn(t, site, 1)
	two := a.upload("", [2]string{"a.csv", "jars"}).Header.Get("Location")
	other, second := fileIn(t, two, 0)
	if id == other {
		t.Fatal("the same file in two windows is one")
	}
	for _, address := range []string{one, two, "/dose?" + query} {
		text(t, a.get(address))
	}
	page := text(t, a.get("/bench?"+query))
	for _, want := range []string{`form="away" name="put" value="` + id + `"`, `<input type="hidden" name="at" value="/bench">`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	left := a.post("/away", url.Values{"desk": {query}, "put": {id}, "at": {"/bench"}})
	to := left.Header.Get("Location")
	if left.StatusCode != http.StatusSeeOther || strings.Contains(to, id) || !strings.HasPrefix(to, "/?file=") {
		t.Fatalf("putting away leads to %d %s", left.StatusCode, to)
	}
	for range 2 { // and a reload
		if page := text(t, a.get(to)); strings.Contains(page, "a.csv") || !strings.Contains(page, "<b>site.xlsx</b>") {
			t.Error("the desk afterwards is not the other file alone")
		}
	}
	for _, back := range []string{one, "/dose?" + query, "/bench?" + query} {
		if r := a.get(back); r.StatusCode != http.StatusNotFound || strings.Contains(text(t, r), "fit a.csv") {
			t.Errorf("%s still answers, %d", back, r.StatusCode)
		}
	}
	if r := a.get("/held/" + id); r.StatusCode != http.StatusNotFound {
		t.Errorf("it can still be had: %d", r.StatusCode)
	}
	if r := a.get(two); r.StatusCode != http.StatusOK || !strings.Contains(text(t, r), "read a.csv") {
		t.Errorf("the other window is answered with %d", r.StatusCode)
	}
	if r := a.post("/away", url.Values{"desk": {query}, "put": {other}, "at": {"/bench"}}); r.StatusCode != http.StatusSeeOther {
		t.Errorf("a file of another desk is answered with %d", r.StatusCode)
	}
	if f, ok := a.s.shelf.get(other); !ok || string(f.Data) != "jars" {
		t.Error("a file was put away from a desk on which it does not lie")
	}
	sum := File{Name: "a.csv", Data: []byte("jars")}.content()
	rests := func() (n int) {
		a.s.works.mu.Lock()
		defer a.s.works.mu.Unlock()
		for _, e := range a.s.works.jobs {
			if slices.Contains(e.Value.(*job).of, sum) {
				n++
			}
		}
		return n
	}
	if rests() == 0 {
		t.Error("the other window's answers are gone")
	}
	a.post("/away", url.Values{"desk": {second}, "put": {other}, "at": {"/dose"}})
	if n := rests(); n > 0 {
		t.Errorf("%d answers rest on what nobody holds", n)
	}
	if got := len(a.s.shelf.held); got != 1 || a.s.shelf.size != 1 {
		t.Errorf("%d files of %d bytes are held", got, a.s.shelf.size)
	}
	a.alive()
}

// TestAwayAsks: what was made on the page and is not saved is asked about before it is put away.
func TestAwayAsks(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	st := state{}.with(a.s.shelf.put(File{Name: "site.xlsx", Kind: desk.Site, Made: true, Data: []byte("s")})).
		with(a.s.shelf.put(File{Name: answersFile, Kind: desk.Answers, Made: true, Data: []byte("place=x")}))
	id := st.Files[0].ID
	asks := a.post("/away", url.Values{"desk": {st.query()}, "put": {id}, "at": {"/day"}}).Header.Get("Location")
	page := text(t, a.get(asks))
	for _, want := range []string{"Put it away?", `href="/held/` + id + `"`, `name="put" value="` + id + `"`, `name="at" value="/day"`, `action="/away"`, "Keep it"} {
		if !strings.Contains(page, want) {
			t.Errorf("the question lacks %s: %s", want, page)
		}
	}
	if _, ok := a.s.shelf.get(id); !ok {
		t.Fatal("it went before the answer")
	}
	to := a.post("/away", url.Values{"desk": {st.query()}, "put": {id}, "at": {"/day"}, "sure": {"yes"}}).Header.Get("Location")
	if len(a.s.shelf.held) != 0 || to != "/" || len(a.s.shelf.loose()) != 0 {
		t.Errorf("%d files are held at %s", len(a.s.shelf.held), to)
	}
	if r := a.get("/away?put=" + id); r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("the question about nothing is answered with %d", r.StatusCode)
	}
	st = state{}.with(a.s.shelf.put(File{Name: "jars.xlsx", Kind: desk.Bench, Made: true, Data: []byte("j")}))
	a.s.shelf.keep(st.Files[0].ID)
	a.post("/away", url.Values{"desk": {st.query()}, "put": {st.Files[0].ID}, "at": {"/bench"}})
	if len(a.s.shelf.held) != 0 {
		t.Error("what was saved is asked about")
	}
}

// TestAwayParts: of a folder a single file is forgotten wherever it is held, and the folder with its last.
func TestAwayParts(t *testing.T) {
	t.Parallel()
	s := newShelf(1000)
	first := s.put(File{Name: "past", Kind: desk.Past, Parts: []File{{Name: "past/a", Data: []byte("1")}, {Name: "past/b", Data: []byte("22")}}})
	more := s.put(File{Name: "past", Kind: desk.Past, Parts: append(slices.Clone(first.Parts), File{Name: "past/c", Data: []byte("333")})})
	gone := s.forget(first.Parts[0].ID)
	was, _ := s.get(first.ID)
	is, _ := s.get(more.ID)
	if len(was.Parts) != 1 || len(is.Parts) != 2 || is.Parts[1].Name != "past/c" || s.size != 2+5 {
		t.Errorf("%v and %v are held, %d bytes", was.Parts, is.Parts, s.size)
	}
	if len(gone) != 2 || was.content() == first.content() {
		t.Errorf("%v hold nothing any more", gone)
	}
	s.forget(first.Parts[1].ID)
	if _, ok := s.get(first.ID); ok || len(s.held) != 1 {
		t.Error("a folder without files is held")
	}
	st := state{Files: []File{is}}
	if left, ids := st.putting(is.ID); len(left.Files) != 0 || len(ids) != 3 {
		t.Errorf("with the folder %v go, %v stay", ids, left.Files)
	}
}

// TestSameNameGivesWay: a sheet dropped again under a name that differs by capitals alone is the same sheet, corrected.
func TestSameNameGivesWay(t *testing.T) {
	st := state{}.with(File{ID: "1", Name: "bench.xlsx", Kind: desk.Bench}).with(File{ID: "2", Name: "Bench.XLSX", Kind: desk.Bench})
	if len(st.Files) != 1 || st.Files[0].ID != "2" {
		t.Errorf("the desk has %v", st.Files)
	}
}
