package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"waterkey/demo"
	"waterkey/prose"
)

// TestTextFitsTheColumns: no line of any text output is wider than a terminal of
// 80 columns.
func TestTextFitsTheColumns(t *testing.T) {
	dir := t.TempDir()
	for _, name := range demo.Files() {
		data, err := demo.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		wav := path + ".wav"
		for _, args := range [][]string{
			{"read", path}, {"read", path, "--level", "1", "--instrument", "tenor", "--terms", "uk"},
			{"mark", path}, {"mark", path, "--instrument", "bass"},
			{"play", path, "-o", wav}, {"hear", path, wav}, {"hear", path, wav, "--notes"},
		} {
			var stdout, stderr bytes.Buffer
			if code := run(args, &stdout, &stderr); code != 0 {
				t.Fatalf("%v: exit %d: %s", args, code, stderr.String())
			}
			for _, line := range strings.Split(stdout.String(), "\n") {
				if n := utf8.RuneCountInString(line); n > prose.Columns {
					t.Errorf("%v: %d columns: %s", args, n, line)
				}
			}
		}
	}
}
