// Package web is the front end, built by `make web` from the TypeScript in src/
// into the program. The engraver stands in it unmodified, apart from everything
// else, so that it can be replaced.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Notes are the recorded notes that the demo season is sung from, as files of their
// npm package; nil when the program was built without the front end.
func Notes() fs.FS {
	notes, err := fs.Sub(dist, "dist/notes")
	if err != nil {
		return nil
	}
	if files, err := fs.Glob(notes, "*.mp3"); err != nil || len(files) == 0 {
		return nil
	}
	return notes
}

// Pages is the built front end, everything in it gzipped (see build.mjs); nil when the
// program was built without it.
func Pages() fs.FS {
	pages, err := fs.Sub(dist, "dist")
	if err != nil {
		return nil
	}
	if _, err := fs.Stat(pages, "index.html.gz"); err != nil {
		return nil
	}
	return pages
}
