package serve

import (
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"jarwright/templates/desk"
)

// TestPathTricks: an address is never taken for a path of a file: whatever is tried, nothing but the page's own is given, and the next
// request is fine.
func TestPathTricks(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	_, query := fileIn(t, a.upload("", [2]string{"a.csv", "jars"}).Header.Get("Location"), 0)
	for _, path := range []string{"/../../etc/passwd", "/..%2f..%2fetc%2fpasswd", "/held/..", "/held/../../etc/passwd", "/held/..%2f..%2fetc%2fpasswd", "/held/%00", "/held/",
		"/save/json/..%2fdose", "/save/..%2f..%2fetc/dose", "/save/json/%2e%2e", "/save/json/dose/", "/save//dose", "/print/..%2fx/day", "//etc/passwd", "/style.css/..", "/desk.js%00",
		"/C:%5Cwindows", `/..%5c..%5cwindows`, "/file:%2f%2f%2fetc%2fpasswd", "/.git/config", "/serve.go"} {
		r := httptest.NewRequest(http.MethodGet, "http://"+here+"/", nil)
		r.URL = &url.URL{Path: path, RawQuery: query}
		if plain, err := url.PathUnescape(path); err == nil && plain != path {
			r.URL.Path, r.URL.RawPath = plain, path
		}
		got := a.do(r)
		if body := text(t, got); got.StatusCode < 300 || strings.Contains(body, "root:") || got.Header.Get("Content-Disposition") != "" {
			t.Errorf("%s is answered with %d: %.80s", path, got.StatusCode, body)
		}
		a.alive()
	}
	for _, name := range []string{"../secret", "/etc/passwd", "..", ""} {
		if r := a.post("/open", url.Values{"name": {name}}); r.StatusCode != http.StatusNotFound {
			t.Errorf("opening %q is answered with %d", name, r.StatusCode)
		}
	}
}

// TestNoSecretsInAddresses: neither the token of changes nor the key of other machines ever stands in an address, where a browser's list
// of pages or a log would keep it: forms that carry the token are sent in the body, and no answer leads to an address with it.
func TestNoSecretsInAddresses(t *testing.T) {
	t.Parallel()
	a := ask(t, func(o *Options) { o.Key = "k3y-of-the-test" })
	in := a.post("/key", url.Values{"key": {"k3y-of-the-test"}})
	cookie := func(r *http.Request) {
		for _, c := range in.Cookies() {
			r.AddCookie(c)
		}
	}
	secret := func(where, s string) {
		if strings.Contains(s, a.s.token) || strings.Contains(s, "k3y-of-the-test") {
			t.Errorf("%s: %s", where, s)
		}
	}
	secret("the way in", in.Header.Get("Location"))
	to := a.post("/demo", nil, cookie).Header.Get("Location")
	secret("the demo", to)
	u, _ := url.Parse(to)
	address := regexp.MustCompile(`(?:href|src|action|content|data-here)="([^"]*)"`)
	form := regexp.MustCompile(`(?s)<form[^>]*>.*?</form>`)
	for _, path := range []string{"/", "/bench", "/dose", "/site", "/day", "/tank", "/month", "/compare", "/past", "/next", "/jars", "/end", "/stopped"} {
		page := text(t, a.get(path+"?"+u.RawQuery, cookie))
		for _, m := range address.FindAllStringSubmatch(page, -1) {
			secret(path, m[1])
		}
		for _, f := range form.FindAllString(page, -1) {
			if strings.Contains(f, a.s.token) && !strings.Contains(f, `method="post"`) {
				t.Errorf("%s: a form sends the token in its address: %s", path, f)
			}
		}
		if strings.Contains(page, "k3y-of-the-test") {
			t.Errorf("%s shows the key", path)
		}
		if path == "/" && (!strings.Contains(page, "It goes to the machine that this page comes from") || strings.Contains(page, "Nothing is sent")) {
			t.Error("a page of another machine says that nothing is sent")
		}
	}
	for path, fields := range map[string]url.Values{"/stop": {}, "/reading": {"desk": {u.RawQuery}}, "/change": {"desk": {u.RawQuery}, "column": {"A"}, "kind": {"jar"}}, "/jars": {"dose-1": {"1"}}} {
		secret(path, a.post(path, fields, cookie).Header.Get("Location"))
	}
}

// TestScriptIsSmall: the page's script stays below 20 kB, is sent by this program and asks for nothing of anybody else.
func TestScriptIsSmall(t *testing.T) {
	t.Parallel()
	if n := len(desk.Script()); n >= 20_000 {
		t.Errorf("the script has %d bytes", n)
	}
	a := ask(t, nil)
	if start := text(t, a.get("/")); !strings.Contains(start, "It is read here, on this machine. Nothing is sent") || strings.Contains(start, `id="command"`) {
		t.Error("the first page does not say that nothing is sent, or names a command before there is an answer")
	}
	for _, path := range []string{"/", "/desk.js", "/style.css", "/mark.svg"} {
		if elsewhere := regexp.MustCompile(`(?:src|href|url|import|fetch)[=(]["']?(?:https?:)?//[^"')]*`).FindString(text(t, a.get(path))); elsewhere != "" {
			t.Errorf("%s asks for %s", path, elsewhere)
		}
	}
}

// TestSlowForm: a form whose sender stops in the middle holds up nobody, and only so many are read at a time.
func TestSlowForm(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	a.s.turn = 50 * time.Millisecond
	for range cap(a.s.uploads) {
		a.s.uploads <- struct{}{}
	}
	if r := a.post("/demo", nil); r.StatusCode != http.StatusServiceUnavailable || !strings.Contains(text(t, r), "Try again in a moment") {
		t.Errorf("beyond the most that are read at a time it answers %d", r.StatusCode)
	}
	a.alive()
	<-a.s.uploads
	if r := a.post("/demo", nil); r.StatusCode != http.StatusSeeOther {
		t.Errorf("afterwards it answers %d", r.StatusCode)
	}
}

// TestDrippingSender: a body that comes by drops gives its turn back after a stretch, and others get theirs.
func TestDrippingSender(t *testing.T) {
	t.Parallel()
	a := ask(t, nil)
	a.s.stretch, a.s.turn = 200*time.Millisecond, 20*time.Second
	l := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Host = here
		a.h.ServeHTTP(w, r)
	}))
	t.Cleanup(l.Close)
	for range cap(a.s.uploads) {
		c, err := net.Dial("tcp", l.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = c.Close() }()
		_, _ = io.WriteString(c, "POST /files HTTP/1.1\r\nHost: "+here+"\r\nOrigin: http://"+here+"\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 100000\r\n\r\n--x\r\n")
	}
	for range 200 { // until all of them are being read
		if len(a.s.uploads) == cap(a.s.uploads) {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if r := a.post("/demo", nil); r.StatusCode != http.StatusSeeOther {
		t.Errorf("beside slow senders it answers %d", r.StatusCode)
	}
}
