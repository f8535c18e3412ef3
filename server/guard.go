package server

import (
	"crypto/subtle"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"time"
)

// cookieName holds the token once the first page was opened.
const cookieName = "waterkey"

// policy lets the pages load from this server alone. The engraver is WebAssembly
// in a worker and writes styles into its drawings; sound is played from memory, and
// paper is looked at from there.
const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; " +
	"font-src 'self' data:; img-src 'self' data: blob:; media-src 'self' blob:; worker-src 'self' blob:; connect-src 'self'; " +
	"frame-src blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard keeps out other machines' names (a foreign site whose name was pointed
// here), other pages (a foreign Origin) and other users of the machine (no token).
func guard(token string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		switch {
		case !isLoopback(r.Host):
			http.Error(w, "this server answers to the address it printed only", http.StatusMisdirectedRequest)
		case !sameOrigin(r):
			http.Error(w, "a page from elsewhere asked for this", http.StatusForbidden)
		case r.URL.Query().Has("token"):
			enter(w, r, token)
		case !knows(r, token):
			http.Error(w, "open the address that the program printed when it started; it carries a token", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// isLoopback says whether a Host names this machine to itself.
func isLoopback(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	if name == "localhost" {
		return true
	}
	ip := net.ParseIP(trimBrackets(name))
	return ip != nil && ip.IsLoopback()
}

func trimBrackets(s string) string {
	if len(s) > 1 && s[0] == '[' && s[len(s)-1] == ']' {
		return s[1 : len(s)-1]
	}
	return s
}

// sameOrigin lets a request through that names no origin, as a typed address
// does, or this server's own.
func sameOrigin(r *http.Request) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		// A link from elsewhere may open the front page and nothing more.
		if r.Method != http.MethodGet || r.URL.Path != "/" {
			return false
		}
	}
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Host == r.Host
}

// enter trades the token of the first address for a cookie, and takes it out of
// the address.
func enter(w http.ResponseWriter, r *http.Request, token string) {
	if !equal(r.URL.Query().Get("token"), token) {
		http.Error(w, "the token in this address is an old one; open the address that the program printed last", http.StatusForbidden)
		return
	}
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	q := r.URL.Query()
	q.Del("token")
	to := url.URL{Path: r.URL.Path, RawQuery: q.Encode()}
	http.Redirect(w, r, to.String(), http.StatusSeeOther)
}

func knows(r *http.Request, token string) bool {
	c, err := r.Cookie(cookieName)
	return err == nil && equal(c.Value, token)
}

func equal(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// logged writes a line for each request.
func logged(log *slog.Logger, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		s := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		next.ServeHTTP(s, r)
		level := slog.LevelInfo
		if s.status >= http.StatusInternalServerError {
			level = slog.LevelError
		}
		log.Log(r.Context(), level, "request", "method", r.Method, "path", r.URL.Path, "status", s.status, "took", time.Since(start))
	})
}

// statusWriter remembers the status.
type statusWriter struct {
	http.ResponseWriter
	status int
}

func (s *statusWriter) WriteHeader(status int) {
	s.status = status
	s.ResponseWriter.WriteHeader(status)
}

// Unwrap gives http.ResponseController the writer beneath.
func (s *statusWriter) Unwrap() http.ResponseWriter { return s.ResponseWriter }
