package serve

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// policy lets the page use its own style, script and pictures and nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guard lets through what comes from this machine's own page: the host by which it
// was opened, no other site's form, a token with every change, and, where the page
// can be reached from other machines, the key that was printed.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // without a referrer browsers hide the origin of our own forms too
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !s.ownHost(r.Host):
			http.Error(w, "This address is not the page's own.", http.StatusForbidden)
		case !ownOrigin(r):
			http.Error(w, "Another site asked for this.", http.StatusForbidden)
		case !s.hasKey(r) && r.URL.Path != "/key" && !asset(r.URL.Path):
			s.askKey(w, r, http.StatusUnauthorized)
		case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost:
			h.Set("Allow", "GET, HEAD, POST")
			http.Error(w, "Not a way to ask.", http.StatusMethodNotAllowed)
		default:
			if s.Asked != nil {
				s.Asked()
			}
			next.ServeHTTP(w, r)
		}
	})
}

// ownHost reports a host by which the page may be asked for. A name that is not
// this machine's may have been pointed here by somebody else, so it is refused.
func (s *Server) ownHost(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil || port != s.port {
		return false
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && (ip.IsLoopback() || s.key != "")
}

// ownOrigin reports a request that no other site sent. Following a link here is allowed.
func ownOrigin(r *http.Request) bool {
	change := r.Method == http.MethodPost
	if from := r.Header.Get("Origin"); from != "" {
		u, err := url.Parse(from)
		if err != nil || u.Scheme != "http" || !strings.EqualFold(u.Host, r.Host) {
			return false
		}
	} else if change {
		return false // browsers tell the origin of every form
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	return !change && r.Header.Get("Sec-Fetch-Mode") == "navigate"
}

// asset reports what is the same for everybody.
func asset(path string) bool {
	return path == "/style.css" || path == "/desk.js" || path == "/mark.svg"
}

// keyCookie holds the key in a browser of another machine.
const keyCookie = "jarwright-key"

// hasKey reports a request that may come in: on this machine alone any, else one with the key.
func (s *Server) hasKey(r *http.Request) bool {
	if s.key == "" {
		return true
	}
	c, err := r.Cookie(keyCookie)
	return err == nil && same(c.Value, s.key)
}

// same compares secrets in a time that tells nothing of them.
func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }
