package demo

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFiles(t *testing.T) {
	want := []string{"harbor-parade.musicxml", "iron-quay.musicxml", "lantern-song.musicxml"}
	if d := cmp.Diff(want, Files()); d != "" {
		t.Fatal(d)
	}
	for _, name := range Files() {
		data, err := Open(name)
		if err != nil || !strings.Contains(string(data), "<rights>Apache-2.0</rights>") {
			t.Errorf("%s: error %v, or its rights are not said", name, err)
		}
	}
}

func TestOpenUnknown(t *testing.T) {
	for _, name := range []string{"", "no-such-part.musicxml", "../demo.go"} {
		data, err := Open(name)
		if err == nil || data != nil || !strings.Contains(err.Error(), "iron-quay.musicxml") {
			t.Errorf("Open(%q) = %d bytes, %v; want no data and an error that lists the parts", name, len(data), err)
		}
	}
}
