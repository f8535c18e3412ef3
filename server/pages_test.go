package server

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
)

func packed(t *testing.T, text string) *fstest.MapFile {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return &fstest.MapFile{Data: b.Bytes()}
}

// fetch asks a handler for a path; accept is the encoding that the client takes.
func fetch(h http.Handler, path, accept, tag string) *http.Response {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set("Accept-Encoding", accept)
	if tag != "" {
		r.Header.Set("If-None-Match", tag)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

// TestPackedPages serves files of which only the gzipped form is there.
func TestPackedPages(t *testing.T) {
	files := fstest.MapFS{
		"index.html.gz": packed(t, "<title>Waterkey</title>"), "assets/a-1.js.gz": packed(t, "let a"),
		"verovio/verovio.mjs.gz": packed(t, "own engraver"), "licenses/OFL.txt.gz": packed(t, "license"), "assets/f-1.woff2": {Data: []byte("font")},
	}
	other := fstest.MapFS{"verovio.mjs": {Data: []byte("another engraver")}}
	for _, c := range []struct {
		name, path, accept string
		engraver           bool
		status             int
		kind, body         string
	}{
		{"front page", "/", "br, gzip", false, 200, "text/html", "<title>"},
		{"front page for a client that unpacks nothing", "/", "identity", false, 200, "text/html", "<title>"},
		{"gzip refused by weight", "/", "gzip; q=0", false, 200, "text/html", "<title>"},
		{"a screen", "/part/abc", "gzip", false, 200, "text/html", "<title>"},
		{"a script", "/assets/a-1.js", "gzip", false, 200, "text/javascript", "let a"},
		{"a font", "/assets/f-1.woff2", "gzip", false, 200, "font/woff2", "font"},
		{"a license", "/licenses/OFL.txt", "", false, 200, "text/plain", "license"},
		{"no such asset", "/assets/b-1.js", "gzip", false, 404, "", ""},
		{"climbing out leads back in", "/assets/../../etc/passwd", "gzip", false, 307, "", ""},
		{"own engraver", "/verovio/verovio.mjs", "gzip", false, 200, "text/javascript", "own engraver"},
		{"another engraver", "/verovio/verovio.mjs", "gzip", true, 200, "text/javascript", "another engraver"},
		{"a file that the other engraver lacks", "/verovio/verovio-module.mjs", "gzip", true, 404, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := pages(files, nil)
			if c.engraver {
				h = pages(files, other)
			}
			r := fetch(h, c.path, c.accept, "")
			if r.StatusCode != c.status {
				t.Fatalf("status %d, want %d", r.StatusCode, c.status)
			}
			if c.status != http.StatusOK {
				return
			}
			body := io.Reader(r.Body)
			if r.Header.Get("Content-Encoding") == "gzip" {
				if !strings.Contains(c.accept, "gzip") || strings.Contains(c.accept, "q=0") {
					t.Fatal("gzipped for a client that does not take it")
				}
				z, err := gzip.NewReader(r.Body)
				if err != nil {
					t.Fatal(err)
				}
				body = z
			}
			got, err := io.ReadAll(body)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(r.Header.Get("Content-Type"), c.kind) || !strings.HasPrefix(string(got), c.body) {
				t.Errorf("%s: %q, want %s: %q", r.Header.Get("Content-Type"), got, c.kind, c.body)
			}
			if again := fetch(h, c.path, c.accept, r.Header.Get("ETag")); again.StatusCode != http.StatusNotModified {
				t.Errorf("asked again with its tag: status %d, want 304", again.StatusCode)
			}
		})
	}
}
