package planner

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"io"
	"mime"
	"net/http"
	"strings"
)

// secret is 128 random bits.
func secret() string {
	b := make([]byte, 16)
	_, _ = rand.Read(b) // it cannot fail
	return hex.EncodeToString(b)
}

func equal(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// keyHeader carries the key of every call of /api.
const keyHeader = "Rundown-Key"

// mostBody is the largest body of a request, in bytes.
const mostBody = 2 << 20

const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard sets what every answer carries.
func guard(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "no-store")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
}

// refusal is why a request is not answered.
type refusal struct {
	status int
	text   string
}

// ServeHTTP lets a request in, or says why not: first the address that it was sent to, then
// where it comes from and its secrets, then what it asks for.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	guard(w.Header())
	if no := s.outsider(r); no != nil {
		s.refuse(w, r, no)
		return
	}
	if r.URL.Path == "/" && r.URL.Query().Has("token") {
		s.enter(w, r)
		return
	}
	if no := s.secrets(r); no != nil {
		s.refuse(w, r, no)
		return
	}
	route, no := s.routed(r)
	if no != nil {
		s.refuse(w, r, no)
		return
	}
	if r.Method == http.MethodPost {
		defer drain(r.Body)
		if no := content(r); no != nil {
			s.refuse(w, r, no)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	}
	route(w, r)
}

// outsider refuses who is another user of the machine, what was sent to another address,
// and what comes from another page.
func (s *Server) outsider(r *http.Request) *refusal {
	if why := peerOf(r); why != "" {
		return &refusal{http.StatusForbidden, why}
	}
	if r.Host != s.host {
		return &refusal{http.StatusForbidden, "This page answers at " + s.host + " alone, to the letter. Behind a tunnel, give both ends the same port."}
	}
	origin, sent := r.Header["Origin"]
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	if sent && (len(origin) != 1 || origin[0] != "http://"+s.host) || !sent && !reads {
		return &refusal{http.StatusForbidden, "The request comes from another page, or does not say from which."}
	}
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && strings.HasPrefix(r.URL.Path, "/api/") {
		return &refusal{http.StatusForbidden, "The request comes from another page."}
	}
	return nil
}

// secrets asks for the cookie, and for the key where something is done.
func (s *Server) secrets(r *http.Request) *refusal {
	c, err := r.Cookie(s.cookieName)
	if err != nil || !equal(c.Value, s.cookie) {
		return &refusal{http.StatusForbidden, "This page opens by the link that rundown open printed. It is good once: start rundown open again for another."}
	}
	if strings.HasPrefix(r.URL.Path, "/api/") && !equal(r.Header.Get(keyHeader), s.key) {
		return &refusal{http.StatusForbidden, "The request does not hold the key of this start of rundown open."}
	}
	return nil
}

// content refuses a body that is no JSON, or says that it is too large.
func content(r *http.Request) *refusal {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/json" {
		return &refusal{http.StatusUnsupportedMediaType, "Only application/json is taken."}
	}
	if r.ContentLength > mostBody {
		return &refusal{http.StatusRequestEntityTooLarge, "The request is larger than 2 MiB."}
	}
	return nil
}

// drain reads what is left of a body that is too large, up to some more of it: an answer to who still
// sends may be lost with the connection.
func drain(body io.Reader) { io.CopyN(io.Discard, body, 4*mostBody) }

// refuse answers in words. Who has no business here is not kept waiting for.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, no *refusal) {
	if no.status == http.StatusForbidden {
		w.Header().Set("Connection", "close")
	}
	s.page(w, r, no.status, "refused.html", map[string]any{"Text": no.text})
}

// enter takes the token of the link, once, and hands out the secrets.
func (s *Server) enter(w http.ResponseWriter, r *http.Request) {
	purpose := r.Header.Get("Sec-Purpose") + r.Header.Get("Purpose")
	switch {
	case r.Method == http.MethodHead || strings.Contains(purpose, "prefetch"):
		w.Header().Set("Connection", "close")
		w.WriteHeader(http.StatusNoContent) // nothing is given away, and the link stays good
		return
	case r.Method != http.MethodGet:
		s.refuse(w, r, &refusal{http.StatusMethodNotAllowed, "Only GET is answered here."})
		return
	}
	token := r.URL.Query().Get("token")
	s.mu.Lock()
	fits := equal(token, s.token)
	good := fits && !s.used
	s.used = s.used || good
	s.mu.Unlock()
	switch {
	case good:
		http.SetCookie(w, &http.Cookie{Name: s.cookieName, Value: s.cookie, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		s.page(w, r, http.StatusOK, "enter.html", map[string]any{"Key": s.key})
	case fits:
		s.say("the link was opened a second time; it is good once. If that was not you, end this and start rundown open again")
		s.refuse(w, r, &refusal{http.StatusForbidden, "This link was used already; it is good once. " +
			"Where the page was open before, go to http://" + s.host + "/ instead, or start rundown open again."})
	default:
		s.refuse(w, r, &refusal{http.StatusForbidden, "This link is not of this start of rundown open. Take the link that it printed last."})
	}
}
