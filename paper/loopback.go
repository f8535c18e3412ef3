package paper

import (
	"crypto/rand"
	"io/fs"
	"mime"
	"net"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"
)

// loopback serves the front end and the jobs to the browser, on the loopback
// address and a free port. A job stands under a name that nobody guesses.
type loopback struct {
	pages fs.FS
	base  string
	http  *http.Server

	mu   sync.Mutex
	jobs map[string][]byte
}

// policy lets the page load from here alone.
const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; font-src 'self' data:; connect-src 'self' data:; frame-ancestors 'none'"

func newLoopback(pages fs.FS) (*loopback, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	s := &loopback{pages: pages, base: "http://" + l.Addr().String(), jobs: map[string][]byte{}}
	const headerTimeout = 10 * time.Second // estimate: the browser is on this machine
	s.http = &http.Server{Handler: s, ReadHeaderTimeout: headerTimeout}
	go func() { _ = s.http.Serve(l) }()
	return s, nil
}

// put takes a job in; its path, and how to take it away again.
func (s *loopback) put(job []byte) (url string, remove func()) {
	url = "/job/" + rand.Text()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.jobs[url] = job
	return url, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.jobs, url)
	}
}

// ServeHTTP answers with a job or a file of the front end.
func (s *loopback) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Security-Policy", policy)
	s.mu.Lock()
	job, ok := s.jobs[r.URL.Path]
	s.mu.Unlock()
	if ok {
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(job)
		return
	}
	s.file(w, strings.TrimPrefix(path.Clean(r.URL.Path), "/"))
}

// file sends a file, which may stand gzipped only; every Chromium takes that.
func (s *loopback) file(w http.ResponseWriter, name string) {
	data, err := fs.ReadFile(s.pages, name+".gz")
	if err == nil {
		w.Header().Set("Content-Encoding", "gzip")
	} else if data, err = fs.ReadFile(s.pages, name); err != nil {
		http.Error(w, "no such file", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", contentType(path.Ext(name)))
	_, _ = w.Write(data)
}

// contentType does not ask the system for what a page cannot do without.
func contentType(ext string) string {
	switch ext {
	case ".js", ".mjs":
		return "text/javascript; charset=utf-8"
	case ".html":
		return "text/html; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".woff2":
		return "font/woff2"
	}
	return mime.TypeByExtension(ext)
}
