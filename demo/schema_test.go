package demo

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// schemaDir has the W3C MusicXML 4.0 schema, a reference.
const schemaDir = "../../shared/data/schema"

// TestSchema checks every part against the W3C schema with xmllint. The
// catalog beside the schema stands in for the addresses that it imports.
func TestSchema(t *testing.T) {
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint not here: parts not checked against the W3C schema")
	}
	dir, err := filepath.Abs(schemaDir)
	if err != nil {
		t.Fatal(err)
	}
	schema := filepath.Join(dir, "musicxml.xsd")
	if _, err := os.Stat(schema); err != nil {
		t.Skipf("shared data not here: %v", err)
	}
	for _, name := range Files() {
		cmd := exec.Command(lint, "--noout", "--nonet", "--schema", schema, filepath.Join("season", name))
		cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+filepath.Join(dir, "catalog.xml"))
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
	}
}
