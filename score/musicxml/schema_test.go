package musicxml

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const xmllint = "/usr/bin/xmllint"

var validates = regexp.MustCompile(`(?m)^(.*) validates$`)

// valid runs the W3C schema of MusicXML 4.0 over files with xmllint and
// returns the base names of those that validate.
func valid(t *testing.T, files []string) map[string]bool {
	t.Helper()
	schema, err := filepath.Abs(sharedFile(t, "schema/musicxml.xsd"))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(xmllint, append([]string{"--noout", "--nonet", "--schema", schema}, files...)...)
	cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+filepath.Join(filepath.Dir(schema), "catalog.xml"))
	out, _ := cmd.CombinedOutput() // fails when any file is invalid
	names := map[string]bool{}
	for _, m := range validates.FindAllStringSubmatch(string(out), -1) {
		names[filepath.Base(m[1])] = true
	}
	if len(names) == 0 {
		t.Fatalf("xmllint validates nothing:\n%s", out)
	}
	return names
}

// A document that validates still does after every note was marked.
func TestMarkedDocumentsValidate(t *testing.T) {
	if _, err := os.Stat(xmllint); err != nil {
		t.Skipf("no schema validator here (Debian package libxml2-utils): %v", err)
	}
	var files []string
	for _, pattern := range []string{"scores/*.musicxml", "suite/*.xml", "suite/*.musicxml"} {
		found, err := filepath.Glob(filepath.Join(shared, pattern))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	before := valid(t, files)
	dir := t.TempDir()
	var marked []string
	for _, path := range files {
		if name := filepath.Base(path); before[name] {
			marked = append(marked, filepath.Join(dir, name))
			markEveryNote(t, path, filepath.Join(dir, name))
		}
	}
	after := valid(t, marked)
	for name := range before {
		if !after[name] {
			t.Errorf("%s validated before it was marked, not after", name)
		}
	}
	t.Logf("%d of %d files validate, all after marking too", len(before), len(files))
}

func markEveryNote(t *testing.T, from, to string) {
	t.Helper()
	d := open(t, from)
	m := Marks{Positions: map[string]string{}}
	for id := range noteElements(d) {
		m.Positions[id] = "T2"
		m.Breaths = append(m.Breaths, id)
	}
	out, _ := mark(t, d, m)
	if strings.Count(string(out), "T2") < noteCount(d)/2 {
		t.Errorf("%s: few marks were written", from)
	}
	if err := os.WriteFile(to, out, 0o644); err != nil {
		t.Fatal(err)
	}
}
