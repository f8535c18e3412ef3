// Package realparts reads, for tests, the real parts that stand beside a checkout of
// the project when they are there: openly licensed brass parts of the orchestra.
package realparts

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/musicxml"
)

// folder is where they stand, from the root of the project.
const folder = "../shared/data/scores"

// Trombones matches the files of trombone parts, All those of every part.
const Trombones, All = "*trombone*.musicxml", "*.musicxml"

// Files are the files that match a pattern, in order. A test that asks for them skips
// where there are none.
func Files(t testing.TB, pattern string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root(t), folder, pattern))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Skipf("shared data not here: no %s in %s", pattern, folder)
	}
	return files
}

// Name is a file's name without its ending.
func Name(file string) string { return strings.TrimSuffix(filepath.Base(file), ".musicxml") }

// Read reads the first part of a file.
func Read(t testing.TB, file string) *score.Part {
	t.Helper()
	doc, err := musicxml.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	return part
}

// root is the nearest folder upward with a go.mod.
func root(t testing.TB) string {
	t.Helper()
	dir := "."
	for range 8 { // deeper than any package of the project
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		dir = filepath.Join(dir, "..")
	}
	t.Fatal("no go.mod above the test's folder")
	return ""
}
