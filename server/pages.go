package server

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"
)

// pages serves the front end. Files under assets/ carry a hash in their name and
// are kept for good; everything else is asked for anew, and answered by its tag
// alone when the browser has it. A path that is no file is a screen of the one
// page. engraver, if not nil, stands in place of the folder verovio/.
func pages(files, engraver fs.FS) http.Handler {
	own := &shelf{files: files}
	mux := http.NewServeMux()
	mux.Handle("/", own)
	if engraver != nil {
		mux.Handle("/verovio/", http.StripPrefix("/verovio", &shelf{files: engraver, strict: true}))
	}
	return mux
}

// shelf sends files, most of which stand gzipped only.
type shelf struct {
	files  fs.FS
	strict bool // a path that is no file is not found, anywhere
	tags   sync.Map
}

// found is a file as it is kept.
type found struct {
	name   string // without .gz
	data   []byte
	packed bool
}

func (s *shelf) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, err := s.find(strings.TrimPrefix(path.Clean("/"+r.URL.Path), "/"))
	if errors.Is(err, fs.ErrNotExist) && !s.wantsFile(r.URL.Path) {
		f, err = s.find("index.html")
	}
	if err != nil {
		http.NotFound(w, r)
		return
	}
	s.head(w, f)
	if f.packed && takesGzip(r) {
		w.Header().Set("Content-Encoding", "gzip")
	} else if f.packed {
		if f.data, err = unpack(f.data); err != nil {
			http.Error(w, "the program's own file "+f.name+" is damaged: "+err.Error(), http.StatusInternalServerError)
			return
		}
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(f.data))
}

// wantsFile says whether a path names a file, in contrast to a screen.
func (s *shelf) wantsFile(p string) bool {
	for _, folder := range []string{"/assets/", "/api/", "/verovio/", "/licenses/"} {
		if strings.HasPrefix(p, folder) {
			return true
		}
	}
	return s.strict
}

// find reads a file, or its gzipped form.
func (s *shelf) find(name string) (*found, error) {
	if !fs.ValidPath(name) || name == "." {
		return nil, fs.ErrNotExist
	}
	if data, err := fs.ReadFile(s.files, name+".gz"); err == nil {
		return &found{name, data, true}, nil
	}
	info, err := fs.Stat(s.files, name)
	if err != nil || info.IsDir() {
		return nil, fs.ErrNotExist
	}
	data, err := fs.ReadFile(s.files, name)
	return &found{name, data, false}, err
}

// types of files whose names the system may not know.
var types = map[string]string{
	".js": "text/javascript; charset=utf-8", ".mjs": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".html": "text/html; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".svg": "image/svg+xml",
	".wasm": "application/wasm", ".woff2": "font/woff2",
}

// head writes what stands before a file.
func (s *shelf) head(w http.ResponseWriter, f *found) {
	h := w.Header()
	ext := path.Ext(f.name)
	kind, ok := types[ext]
	if !ok {
		kind = mime.TypeByExtension(ext)
	}
	if kind == "" {
		kind = "application/octet-stream"
	}
	h.Set("Content-Type", kind)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	if strings.HasPrefix(f.name, "assets/") {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	h.Set("ETag", s.tag(f))
}

// tag is a weak tag of a file's content, the same packed and unpacked. Embedded
// files never change; those of a folder are told apart by their length as well.
func (s *shelf) tag(f *found) string {
	type key struct {
		name   string
		length int
	}
	k := key{f.name, len(f.data)}
	if t, ok := s.tags.Load(k); ok {
		return t.(string)
	}
	sum := sha256.Sum256(f.data)
	t := `W/"` + base64.RawURLEncoding.EncodeToString(sum[:12]) + `"`
	s.tags.Store(k, t)
	return t
}

func takesGzip(r *http.Request) bool {
	for _, v := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(v), ";")
		if name == "gzip" && strings.ReplaceAll(weight, " ", "") != "q=0" {
			return true
		}
	}
	return false
}

func unpack(data []byte) ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}
