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

// tries slows down whoever guesses keys: one try a second, of all clients together.
type tries struct {
	sync.Mutex
	last time.Time
}

// soon counts a try and reports one that came too soon after the last.
func (t *tries) soon(now time.Time) bool {
	t.Lock()
	defer t.Unlock()
	soon := now.Sub(t.last) < time.Second
	t.last = now
	return soon
}

// askKey asks for the key that the program printed when it was started.
func (s *Server) askKey(w http.ResponseWriter, _ *http.Request, status int) {
	p := desk.Page{Title: "Key", Token: s.token}
	body, err := p.Key()
	s.write(w, p, body, err, status)
}

// takeKey lets a browser in that has the key.
func (s *Server) takeKey(w http.ResponseWriter, r *http.Request) {
	fields, _, err := s.form(w, r)
	soon := s.tries.soon(time.Now())
	switch {
	case err != nil || soon || s.key == "" || !same(fields.Get("key"), s.key):
		s.askKey(w, r, http.StatusUnauthorized)
	default:
		http.SetCookie(w, &http.Cookie{Name: keyCookie, Value: s.key, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
	}
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
