package serve

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// TestKey lets nobody of the network see anything before the key that was printed is typed.
func TestKey(t *testing.T) {
	t.Parallel()
	a := ask(t, func(o *Options) { o.Key = "abcde12345" })
	network := func(r *http.Request) { r.Host = "192.168.1.5:8000"; r.RemoteAddr = "192.168.1.9:5000" }
	from := func(r *http.Request) { network(r); r.Header.Set("Origin", "http://192.168.1.5:8000") }
	for _, path := range []string{"/", "/bench", "/dose?target=x", "/save/html/dose", "/nothing"} {
		r := a.get(path, network)
		if page := text(t, r); r.StatusCode != http.StatusUnauthorized || !strings.Contains(page, "Type the key") || strings.Contains(page, "abcde12345") {
			t.Errorf("%s without a key is answered with %d: %s", path, r.StatusCode, page)
		}
	}
	if r := a.post("/demo", nil, from); r.StatusCode != http.StatusUnauthorized {
		t.Errorf("a change without a key is answered with %d", r.StatusCode)
	}
	for _, path := range []string{"/style.css", "/desk.js", "/mark.svg"} {
		if r := a.get(path, network); r.StatusCode != http.StatusOK {
			t.Errorf("%s, which the page with the question needs, is answered with %d", path, r.StatusCode)
		}
	}
	if r := a.get("/", func(r *http.Request) { r.Host = "evil.example:8000" }); r.StatusCode != http.StatusForbidden {
		t.Errorf("a name pointed here is answered with %d", r.StatusCode)
	}
	if r := a.post("/key", url.Values{"key": {"abcde12344"}}, from); r.Header.Get("Location") != "/key" || len(r.Cookies()) > 0 {
		t.Errorf("a wrong key is answered with %d, %v", r.StatusCode, r.Cookies())
	}
	if r := a.get("/key", network); r.StatusCode != http.StatusUnauthorized || !strings.Contains(text(t, r), "That key was not taken") {
		t.Errorf("after a wrong key the page answers %d and does not say so", r.StatusCode)
	}
	if r := a.post("/key", url.Values{"key": {"abcde12345"}}, from); r.Header.Get("Location") != "/key" || len(r.Cookies()) > 0 {
		t.Errorf("a key right after a wrong one is answered with %d: it is to wait", r.StatusCode)
	}
	if page := text(t, a.get("/key", network)); !strings.Contains(page, "too soon after the last one, and the key was not looked at") || strings.Contains(page, "was not taken") {
		t.Errorf("of a key that was not looked at the page says:\n%s", page)
	}
	other := func(r *http.Request) { from(r); r.RemoteAddr = "192.168.1.77:5000" }
	r := a.post("/key", url.Values{"key": {" ABCDE 12345 "}}, other) // as people copy it
	if r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
		t.Fatalf("the key from a machine that did not guess is answered with %d, %v", r.StatusCode, r.Cookies())
	}
	c := r.Cookies()[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode {
		t.Errorf("the cookie is %v", c)
	}
	if strings.Contains(r.Header.Get("Location"), "abcde12345") {
		t.Error("the key stands in an address")
	}
	if r := a.get("/", network, func(r *http.Request) { r.AddCookie(c) }); r.StatusCode != http.StatusOK || strings.Contains(text(t, r), "Type the key") {
		t.Errorf("with the key the page answers %d", r.StatusCode)
	}
}

// TestTries makes a machine that guesses wait longer and longer, and no other one.
func TestTries(t *testing.T) {
	t.Parallel()
	var g guesses
	now := time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)
	for i, c := range []struct {
		client string
		after  time.Duration
		wait   bool
	}{
		{"a", 0, false}, {"a", 500 * time.Millisecond, true}, {"b", 0, false}, {"a", 2 * time.Second, false}, {"a", 1500 * time.Millisecond, true},
		{"a", 5 * time.Second, false}, {"b", time.Second, false}, {"a", time.Hour, false},
	} {
		now = now.Add(c.after)
		if got := g.mustWait(c.client, now); got != c.wait {
			t.Errorf("try %d of %s: must wait is %v", i+1, c.client, got)
		}
	}
	now = now.Add(500 * time.Millisecond) // a's last try was an hour after the one before: it waits 1 s, of which a half is over
	if wait, early := g.left("a", now); wait != 1 || early {
		t.Errorf("a is told to wait %d s, early %v", wait, early)
	}
	if g.mustWait("a", now); !g.of["a"].early {
		t.Error("a try that came too early is not told from a wrong one")
	}
	if wait, _ := g.left("a", now.Add(time.Second)); wait != 0 {
		t.Errorf("when its wait is over a is told to wait %d s", wait)
	}
	for i := range 10_000 {
		g.mustWait(time.Duration(i).String(), now)
	}
	if len(g.of) > mostGuessers {
		t.Errorf("%d machines that guessed are remembered", len(g.of))
	}
}
