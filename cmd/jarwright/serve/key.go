package serve

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"net"
	"net/http"
	"strings"
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
	last  time.Time
	wait  time.Duration
	early bool // a further try came before the wait was over, and was not looked at
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
		last.early = true
		g.of[client] = last
		return true
	}
	if g.of[client] = (guess{last: now, wait: min(max(2*last.wait, time.Second), time.Minute)}); now.Sub(last.last) > time.Hour {
		g.of[client] = guess{last: now, wait: time.Second}
	}
	return false
}

// left is how the last try of a machine went: the whole seconds that the next one has to wait, 0 when it may come now, and
// whether the last came too early to be looked at.
func (g *guesses) left(client string, now time.Time) (seconds int, early bool) {
	g.Lock()
	defer g.Unlock()
	last := g.of[client]
	over := last.last.Add(last.wait).Sub(now)
	return max(0, int(math.Ceil(over.Seconds()))), last.early
}

// printedKey is a key as it was printed, of one that was typed or pasted: blanks and capitals can be meant no other way.
func printedKey(typed string) string { return strings.ToLower(strings.Join(strings.Fields(typed), "")) }

// askKey asks for the key that the program printed when it was started.
func (s *Server) askKey(w http.ResponseWriter, r *http.Request, status int) {
	p := desk.Page{Title: "Key", Token: s.token}
	tried := desk.Tried{Before: r.URL.Path == "/key"}
	tried.Wait, tried.Early = s.guesses.left(client(r), time.Now())
	body, err := p.Key(tried)
	s.write(w, p, body, err, status)
}

// takeKey lets a browser in that has the key.
func (s *Server) takeKey(w http.ResponseWriter, r *http.Request) {
	fields, _, err := s.form(w, r)
	soon := s.guesses.mustWait(client(r), time.Now())
	switch {
	case err != nil || soon || s.key == "" || !same(printedKey(fields.Get("key")), s.key):
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
