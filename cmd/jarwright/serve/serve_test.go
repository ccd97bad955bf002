package serve

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
	"jarwright/templates/figure"
)

// told is a report of one sentence.
type told string

func (t told) Text(w *templates.Text, _ templates.Options) { w.Para(string(t)) }
func (t told) JSON() any                                   { return figure.New().Set("said", string(t)) }
func (t told) Table() figure.Table                         { return figure.Table{} }

// echo is a program that says its own command line, or what a file of it holds.
func echo(_ context.Context, c Call) Answer {
	a := Answer{Report: told(strings.Join(c.Args, " "))}
	for i, x := range c.Args {
		if x == "-o" {
			a.Wrote = []File{{Name: c.Args[i+1], Data: []byte("saved " + strings.Join(c.Args, " "))}}
		}
	}
	for _, f := range c.Files {
		switch string(f.Data) {
		case "wrong":
			return Answer{Err: note.Fault("bad", "<b>cell</b> is wrong").Do("mend it"), Code: 1}
		case "panic":
			panic("a fault of the program")
		}
	}
	return a
}

func kindByName(name string, _ []byte) desk.Kind {
	if strings.HasPrefix(name, "site") {
		return desk.Site
	}
	return desk.Bench
}

// asker asks a page as a browser on this machine does.
type asker struct {
	t *testing.T
	s *Server
	h http.Handler
}

const here = "127.0.0.1:8000"

func ask(t *testing.T, change func(*Options)) asker {
	t.Helper()
	o := Options{Program: echo, Kind: kindByName, Port: "8000", Demo: func() ([]File, error) {
		return []File{{Name: "bench.xlsx", Data: []byte("b"), Kind: desk.Bench}, {Name: "site.xlsx", Data: []byte("s"), Kind: desk.Site}}, nil
	}}
	if change != nil {
		change(&o)
	}
	s := New(o)
	t.Cleanup(s.Close)
	return asker{t, s, s.Handler()}
}

// do sends a request and gives what came back.
func (a asker) do(r *http.Request) *http.Response {
	a.t.Helper()
	w := httptest.NewRecorder()
	a.h.ServeHTTP(w, r)
	return w.Result()
}

func (a asker) get(address string, change ...func(*http.Request)) *http.Response {
	a.t.Helper()
	r := httptest.NewRequest(http.MethodGet, "http://"+here+address, nil)
	for _, c := range change {
		c(r)
	}
	return a.do(r)
}

// post sends a form with the page's own token and origin.
func (a asker) post(address string, fields url.Values, change ...func(*http.Request)) *http.Response {
	a.t.Helper()
	if fields == nil {
		fields = url.Values{}
	}
	if !fields.Has("token") {
		fields.Set("token", a.s.token)
	}
	r := httptest.NewRequest(http.MethodPost, "http://"+here+address, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+here)
	for _, c := range change {
		c(r)
	}
	return a.do(r)
}

// upload drops files, each a name and what it holds.
func (a asker) upload(desk string, files ...[2]string) *http.Response {
	a.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	_ = m.WriteField("token", a.s.token)
	_ = m.WriteField("desk", desk)
	for _, f := range files {
		part, err := m.CreateFormFile("file", f[0])
		if err != nil {
			a.t.Fatal(err)
		}
		_, _ = io.WriteString(part, f[1])
	}
	_ = m.Close()
	r := httptest.NewRequest(http.MethodPost, "http://"+here+"/files", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Origin", "http://"+here)
	return a.do(r)
}

func text(t *testing.T, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// alive fails where the page does not answer an honest request any more.
func (a asker) alive() {
	a.t.Helper()
	if r := a.get("/"); r.StatusCode != http.StatusOK {
		a.t.Errorf("the page answers %d afterwards", r.StatusCode)
	}
}

// TestOwnRequestsOnly holds the page to requests of its own: no other host by which a
// name could be pointed here, no other site's form, no form without its token.
func TestOwnRequestsOnly(t *testing.T) {
	t.Parallel()
	host := func(h string) func(*http.Request) { return func(r *http.Request) { r.Host = h } }
	head := func(k, v string) func(*http.Request) { return func(r *http.Request) { r.Header.Set(k, v) } }
	bare := func(k string) func(*http.Request) { return func(r *http.Request) { r.Header.Del(k) } }
	for _, c := range []struct {
		name   string
		post   bool
		change []func(*http.Request)
		want   int
	}{
		{"the address itself", false, nil, 200},
		{"localhost", false, []func(*http.Request){host("localhost:8000")}, 200},
		{"localhost in capitals", false, []func(*http.Request){host("LOCALHOST:8000")}, 200},
		{"loopback of IPv6", false, []func(*http.Request){host("[::1]:8000")}, 200},
		{"a name pointed here", false, []func(*http.Request){host("evil.example:8000")}, 403},
		{"a name that begins like ours", false, []func(*http.Request){host("localhost.evil.example:8000")}, 403},
		{"a name with a dot behind", false, []func(*http.Request){host("localhost.:8000")}, 403},
		{"another port", false, []func(*http.Request){host("127.0.0.1:8001")}, 403},
		{"no port", false, []func(*http.Request){host("127.0.0.1")}, 403},
		{"no host", false, []func(*http.Request){host("")}, 403},
		{"an address of the network", false, []func(*http.Request){host("192.168.1.5:8000")}, 403},
		{"a decimal address", false, []func(*http.Request){host("2130706433:8000")}, 403},
		{"another origin reads", false, []func(*http.Request){head("Origin", "http://evil.example")}, 403},
		{"a link on another site", false, []func(*http.Request){head("Sec-Fetch-Site", "cross-site"), head("Sec-Fetch-Mode", "navigate")}, 200},
		{"a picture of another site", false, []func(*http.Request){head("Sec-Fetch-Site", "cross-site"), head("Sec-Fetch-Mode", "no-cors")}, 403},
		{"another port's page reads", false, []func(*http.Request){head("Sec-Fetch-Site", "same-site"), head("Sec-Fetch-Mode", "cors")}, 403},
		{"our own form", true, nil, 303},
		{"a form of another origin", true, []func(*http.Request){head("Origin", "http://evil.example")}, 403},
		{"a form of another port", true, []func(*http.Request){head("Origin", "http://127.0.0.1:8001")}, 403},
		{"a form over another scheme", true, []func(*http.Request){head("Origin", "https://"+here)}, 403},
		{"a form of a sandboxed frame", true, []func(*http.Request){head("Origin", "null")}, 403},
		{"a form without an origin", true, []func(*http.Request){bare("Origin")}, 403},
		{"a form that another site sends", true, []func(*http.Request){head("Sec-Fetch-Site", "cross-site"), head("Sec-Fetch-Mode", "navigate")}, 403},
		{"our own form, said so", true, []func(*http.Request){head("Sec-Fetch-Site", "same-origin")}, 303},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			a := ask(t, nil)
			var r *http.Response
			if c.post {
				r = a.post("/demo", nil, c.change...)
			} else {
				r = a.get("/", c.change...)
			}
			if r.StatusCode != c.want {
				t.Errorf("answered %d, want %d", r.StatusCode, c.want)
			}
			if got := r.Header.Get("Content-Security-Policy"); !strings.HasPrefix(got, "default-src 'none'") {
				t.Errorf("its policy is %q", got)
			}
			a.alive()
		})
	}
}

// TestToken refuses every change without the page's token, also with files that stand before it.
func TestToken(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	for _, path := range []string{"/files", "/open", "/demo", "/stop"} {
		for _, token := range []string{"", "0", strings.Repeat("0", 32), a.s.token[:31]} {
			if r := a.post(path, url.Values{"token": {token}}); r.StatusCode != http.StatusForbidden {
				t.Errorf("%s with the token %q answers %d", path, token, r.StatusCode)
			}
		}
	}
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, _ := m.CreateFormFile("file", "a.csv")
	_, _ = io.WriteString(part, "early")
	_ = m.WriteField("token", a.s.token)
	_ = m.Close()
	r := httptest.NewRequest(http.MethodPost, "http://"+here+"/files", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Origin", "http://"+here)
	if got := a.do(r); got.StatusCode != http.StatusForbidden {
		t.Errorf("a file before the token is answered with %d", got.StatusCode)
	}
	if len(a.s.shelf.held) > 0 {
		t.Error("a file was held without a token")
	}
	for _, method := range []string{http.MethodPut, http.MethodDelete, http.MethodPatch, http.MethodOptions, http.MethodTrace, "X"} {
		r := httptest.NewRequest(method, "http://"+here+"/demo", nil)
		r.Header.Set("Origin", "http://"+here)
		if got := a.do(r); got.StatusCode != http.StatusMethodNotAllowed {
			t.Errorf("%s is answered with %d", method, got.StatusCode)
		}
	}
	if r := a.get("/demo"); r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("GET /demo is answered with %d", r.StatusCode)
	}
	a.alive()
}

// TestWalk goes from a dropped sheet to the dose and saves it, each with the command that gives the same.
func TestWalk(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	r := a.upload("", [2]string{"tuesday.csv", "jars"})
	if r.StatusCode != http.StatusSeeOther {
		t.Fatalf("a dropped sheet is answered with %d: %s", r.StatusCode, text(t, r))
	}
	to, err := url.Parse(r.Header.Get("Location"))
	if err != nil || to.Path != "/bench" {
		t.Fatalf("it leads to %s (%v)", r.Header.Get("Location"), err)
	}
	q := to.Query()
	q.Set("target", "turbidity <= 5 NTU")
	q.Set("nonsense", "x")
	page := text(t, a.get("/dose?"+q.Encode()))
	want := `jarwright fit tuesday.csv --target &#34;turbidity &lt;= 5 NTU&#34;`
	if !strings.Contains(page, want) {
		t.Errorf("the page does not show the command %s:\n%s", want, page)
	}
	if !strings.Contains(page, "fit tuesday.csv the target field") { // what is said of a flag on the page speaks of its field
		t.Error("the page does not show the answer")
	}
	if strings.Contains(page, "nonsense") {
		t.Error("a flag that no command takes is carried on")
	}
	saved := a.get("/save/html/dose?" + q.Encode())
	if got := text(t, saved); got != "saved fit tuesday.csv --target turbidity <= 5 NTU -o dose.html" {
		t.Errorf("saved: %q", got)
	}
	if got := saved.Header.Get("Content-Disposition"); got != "attachment; filename=dose.html" {
		t.Errorf("saved as %q", got)
	}
	if r := a.get("/save/exe/dose?" + q.Encode()); r.StatusCode != http.StatusNotFound {
		t.Errorf("a form that there is not is answered with %d", r.StatusCode)
	}
}

// TestTwoWindows changes the desk of one window and finds the other's as it was.
func TestTwoWindows(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	first := a.upload("", [2]string{"one.csv", "1"}).Header.Get("Location")
	second := a.upload("", [2]string{"one.csv", "2"}).Header.Get("Location")
	if first == second {
		t.Fatal("two sheets of one name have one address")
	}
	for address, holds := range map[string]string{first: "1", second: "2"} {
		u, _ := url.Parse(address)
		st := a.s.stateOf(u.Query())
		if len(st.Files) != 1 || string(st.Files[0].Data) != holds {
			t.Errorf("%s holds %v", address, st.Files)
		}
	}
	u, _ := url.Parse(first)
	third := a.upload(u.RawQuery, [2]string{"site.xlsx", "3"}).Header.Get("Location")
	u, _ = url.Parse(third)
	if st := a.s.stateOf(u.Query()); len(st.Files) != 2 || len(st.of(desk.Site)) != 1 || len(st.of(desk.Bench)) != 1 {
		t.Errorf("a sheet and a site make %v", st.Files)
	}
}

// TestRefusedIsAnAnswer shows what a command refuses, its text never as markup.
func TestRefusedIsAnAnswer(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	page := text(t, a.get(a.upload("", [2]string{"<script>alert(1)</script>.csv", "wrong"}).Header.Get("Location")))
	for _, want := range []string{"&lt;b&gt;cell&lt;/b&gt; is wrong", "Mend it."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
	}
	for _, never := range []string{"<b>cell", "<script>alert"} {
		if strings.Contains(page, never) {
			t.Errorf("the page has %q", never)
		}
	}
}

// TestPanic keeps the page alive where a command has a fault, and says so.
func TestPanic(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	to := a.upload("", [2]string{"a.csv", "panic"}).Header.Get("Location")
	page := text(t, a.get(to))
	if !strings.Contains(page, "fault of the program") {
		t.Errorf("the page does not say that the program is at fault:\n%s", page)
	}
	a.alive()
}

// TestNames takes paths, signs and devices off the names that clients give.
func TestNames(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"bench.xlsx": "bench.xlsx", "../../etc/passwd": "passwd", `..\..\windows\system32\a.csv`: "a.csv", "/": "sheet", "..": "sheet", "": "sheet",
		"-o": "o", "--force": "force", ".hidden.csv": "hidden.csv", "a\x00b.csv": "a_b.csv", "a\r\nSet-Cookie: x.csv": "a__Set-Cookie_ x.csv",
		"\u202egnp.csv": "_gnp.csv", "a\xff.csv": "a_.csv", "Ünïté 3 – märz.csv": "Ünïté 3 – märz.csv", `a"b.csv`: "a_b.csv",
		strings.Repeat("x", 300) + ".csv": strings.Repeat("x", mostName-4) + ".csv",
	} {
		if got := cleanName(name); got != want {
			t.Errorf("%q became %q, want %q", name, got, want)
		}
	}
}

// TestGone says of a sheet that is held no more that it has to be dropped again.
func TestGone(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	r := a.get("/dose?file=" + strings.Repeat("0", 32))
	if page := text(t, r); r.StatusCode != http.StatusNotFound || !strings.Contains(page, "Drop it again") || !strings.Contains(page, "data-send") {
		t.Errorf("answered %d: %s", r.StatusCode, page)
	}
	s := newShelf(10)
	first := s.put(File{Name: "a", Data: make([]byte, 6)})
	second := s.put(File{Name: "b", Data: make([]byte, 6)})
	if _, ok := s.get(first.ID); ok {
		t.Error("the oldest is held beyond the room there is")
	}
	if _, ok := s.get(second.ID); !ok {
		t.Error("the newest is not held")
	}
	if s.size != 6 {
		t.Errorf("%d bytes are counted", s.size)
	}
}

// TestBounds refuses what is too much and goes on.
func TestBounds(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	large := func(size int) *http.Response {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		_ = m.WriteField("token", a.s.token)
		part, _ := m.CreateFormFile("file", "a.csv")
		_, _ = part.Write(make([]byte, size))
		_ = m.Close()
		r := httptest.NewRequest(http.MethodPost, "http://"+here+"/files", &b)
		r.Header.Set("Content-Type", m.FormDataContentType())
		r.Header.Set("Origin", "http://"+here)
		return a.do(r)
	}
	for _, c := range []struct {
		name string
		r    *http.Response
		want int
	}{
		{"a file beyond the most", large(mostFile + 1), http.StatusRequestEntityTooLarge},
		{"100 MB", large(100 << 20), http.StatusRequestEntityTooLarge},
		{"what says itself that it is 60 MB, of which no file is read", a.post("/files", nil, func(r *http.Request) {
			r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
			r.ContentLength = 60 << 20
			r.Body = io.NopCloser(io.MultiReader(strings.NewReader("--x\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n"+a.s.token+
				"\r\n--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.csv\"\r\n\r\n1,2\r\n"), brokenOff{}))
		}), http.StatusRequestEntityTooLarge},
		{"a form that is too long", a.post("/open", url.Values{"name": {strings.Repeat("x", mostForm)}}), http.StatusRequestEntityTooLarge},
		{"a form that is none", a.post("/files", nil, func(r *http.Request) {
			r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
			r.Body = io.NopCloser(strings.NewReader("--x\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n" + a.s.token))
		}), http.StatusBadRequest},
		{"a form without a boundary", a.post("/files", nil, func(r *http.Request) { r.Header.Set("Content-Type", "multipart/form-data") }), http.StatusBadRequest},
		{"a body that breaks off", a.post("/open", nil, func(r *http.Request) { r.Body = io.NopCloser(brokenOff{}) }), http.StatusBadRequest},
	} {
		if c.r.StatusCode != c.want {
			t.Errorf("%s is answered with %d, want %d: %s", c.name, c.r.StatusCode, c.want, text(t, c.r))
		}
		a.alive()
	}
	if says := text(t, large(mostFile+1)); !strings.Contains(says, "Save only the sheets or months") || !strings.Contains(says, "a.csv is larger than 20 MB.") {
		t.Errorf("of a file beyond the most it says %s", says)
	}
	if r := a.get("/nowhere"); r.StatusCode != http.StatusNotFound || !strings.Contains(text(t, r), "There is no page at this address.") {
		t.Errorf("a page that there is not is answered with %d", r.StatusCode)
	}
	var many [][2]string
	for i := range mostParts {
		many = append(many, [2]string{fmt.Sprintf("%d.csv", i), "x"})
	}
	if r := a.upload("", many...); r.StatusCode != http.StatusBadRequest {
		t.Errorf("%d files are answered with %d", len(many), r.StatusCode)
	}
	q := url.Values{}
	for range 1000 {
		q.Add("target", strings.Repeat("y", mostFlag+1))
		q.Add("column", "A=ignore")
	}
	if st := a.s.stateOf(q); len(st.Flags["target"]) != 0 || len(st.Flags["column"]) != mostFlags {
		t.Errorf("%d targets and %d columns are taken", len(st.Flags["target"]), len(st.Flags["column"]))
	}
	a.alive()
}

type brokenOff struct{}

func (brokenOff) Read([]byte) (int, error) { return 0, errors.New("connection reset") }

// TestPutAway: a bench sheet that is put away takes along what was asked of it; typing jars keeps all that lies on the desk.
func TestPutAway(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	first, _ := url.Parse(a.upload("", [2]string{"one.csv", "1"}).Header.Get("Location"))
	both, _ := url.Parse(a.upload(first.RawQuery, [2]string{"site.xlsx", "2"}).Header.Get("Location"))
	q := both.Query()
	q.Set("target", "turbidity <= 12 NTU")
	q.Set("column", "B=dose mg/L")
	q.Set("units", "us")
	st := a.s.stateOf(q)
	for _, f := range st.Files {
		left := st.without(f.ID)
		if bench := f.Kind == desk.Bench; bench == left.Flags.Has("target") || bench == left.Flags.Has("column") || !left.Flags.Has("units") || len(left.Files) != 1 {
			t.Errorf("without %s the desk has %v and %d files", f.Name, left.Flags, len(left.Files))
		}
	}
	if !st.Flags.Has("target") {
		t.Error("putting away changed the desk that it was put away from")
	}
	page := text(t, a.get("/?"+q.Encode()))
	_, link, _ := strings.Cut(page, `href="/jars?`)
	link, _, _ = strings.Cut(link, `"`)
	to, err := url.ParseQuery(html.UnescapeString(link))
	if got := a.s.stateOf(to); err != nil || len(got.Files) != 2 {
		t.Errorf("the link to typed jars, %s, has %d files (%v)", link, len(got.Files), err)
	}
}

// TestTakenFor: the form that asks what a column is begins with what it was taken for.
func TestTakenFor(t *testing.T) {
	t.Parallel()
	for as, want := range map[string]string{"dose of alum": "dose", "dose": "dose", "turbidity": "turbidity", "pH": "ph", "jar": "jar", "a date": ""} {
		if got := takenFor(as, columnKinds()); got != want {
			t.Errorf("%q is %q in the form, want %q", as, got, want)
		}
	}
}

// TestBusyPage says when to ask again where more is under way than the machine bears, and answers once that is over.
func TestBusyPage(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	to, _ := url.Parse(a.upload("", [2]string{"a.csv", "x"}).Header.Get("Location"))
	most := a.s.works.waiting
	for _, path := range []string{"/dose", "/save/json/dose", "/bench"} {
		a.s.works.waiting = 0
		r := a.get(path + "?" + to.RawQuery)
		if page := text(t, r); r.StatusCode != http.StatusServiceUnavailable || r.Header.Get("Retry-After") == "" || !strings.Contains(page, "Try again in a moment") {
			t.Errorf("%s is answered with %d, again after %q: %s", path, r.StatusCode, r.Header.Get("Retry-After"), page)
		}
		a.s.works.waiting = most
		if r := a.get(path + "?" + to.RawQuery); r.StatusCode != http.StatusOK {
			t.Errorf("%s is answered with %d afterwards", path, r.StatusCode)
		}
	}
}
