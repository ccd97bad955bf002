package serve

import (
	"crypto/sha256"
	"encoding/hex"
	"net"
	"net/http"
	"sync"
	"time"

	"jarwright/templates/desk"
)

// guesses slow down a machine that guesses keys: it waits a second after a try, twice
// as long after every further one, up to a minute; others do not wait for it.
type guesses struct {
	sync.Mutex
	of map[string]guess
}

type guess struct {
	last time.Time
	wait time.Duration
}

// mostGuessers bounds the machines that are remembered; beyond it all begin anew.
const mostGuessers = 1000

// mustWait counts a try and reports one that came too soon after the last.
func (g *guesses) mustWait(client string, now time.Time) bool {
	g.Lock()
	defer g.Unlock()
	if g.of == nil || len(g.of) >= mostGuessers {
		g.of = map[string]guess{}
	}
	last, tried := g.of[client]
	if tried && now.Sub(last.last) < last.wait {
		return true
	}
	if g.of[client] = (guess{now, min(max(2*last.wait, time.Second), time.Minute)}); now.Sub(last.last) > time.Hour {
		g.of[client] = guess{now, time.Second}
	}
	return false
}

// askKey asks for the key that the program printed when it was started.
func (s *Server) askKey(w http.ResponseWriter, r *http.Request, status int) {
	p := desk.Page{Title: "Key", Token: s.token}
	body, err := p.Key(r.URL.Path == "/key")
	s.write(w, p, body, err, status)
}

// takeKey lets a browser in that has the key.
func (s *Server) takeKey(w http.ResponseWriter, r *http.Request) {
	fields, _, err := s.form(w, r)
	soon := s.guesses.mustWait(client(r), time.Now())
	switch {
	case err != nil || soon || s.key == "" || !same(fields.Get("key"), s.key):
		http.Redirect(w, r, "/key", http.StatusSeeOther)
	default:
		http.SetCookie(w, &http.Cookie{Name: keyCookie, Value: s.key, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
	}
}

// wrongKey asks once more, and says that the last key was not taken.
func (s *Server) wrongKey(w http.ResponseWriter, r *http.Request) {
	if s.hasKey(r) {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	s.askKey(w, r, http.StatusUnauthorized)
}

// client is who asks, by the address.
func client(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// hash is a short name of a text.
func hash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return hex.EncodeToString(sum[:16])
}
