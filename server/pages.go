package server

import (
	"io/fs"
	"net/http"
	"path"
	"strings"
)

// pages serves the front end. Files under assets/ carry a hash in their name and
// are kept for good; everything else is asked for anew. A path that is no file is
// a screen of the one page. Where a file stands gzipped beside itself and the
// browser takes it so, that one is sent.
func pages(files fs.FS) http.Handler {
	server := http.FileServerFS(files)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if info, err := fs.Stat(files, name); name == "" || err != nil || info.IsDir() {
			name = "index.html"
			if strings.HasPrefix(r.URL.Path, "/assets/") || strings.HasPrefix(r.URL.Path, "/api/") {
				http.NotFound(w, r)
				return
			}
			r = r.Clone(r.Context())
			r.URL.Path = "/"
		}
		w.Header().Set("Cache-Control", "no-cache")
		if strings.HasPrefix(name, "assets/") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		}
		if sendGzipped(w, r, files, name) {
			return
		}
		server.ServeHTTP(w, r)
	})
}

// types of the files that stand gzipped.
var types = map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".html": "text/html; charset=utf-8",
	".wasm": "application/wasm", ".svg": "image/svg+xml"}

// sendGzipped answers with the file's gzipped form, if there is one to be had.
func sendGzipped(w http.ResponseWriter, r *http.Request, files fs.FS, name string) bool {
	kind, known := types[path.Ext(name)]
	if !known || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		return false
	}
	data, err := fs.ReadFile(files, name+".gz")
	if err != nil {
		return false
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Encoding", "gzip")
	w.Header().Set("Vary", "Accept-Encoding")
	_, _ = w.Write(data)
	return true
}
