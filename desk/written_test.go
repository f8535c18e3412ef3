package desk

import (
	"os"
	"path/filepath"
	"testing"

	"waterkey/brass"
)

// TestWrittenNames: documents give sounding pitches beside the names on the page. The
// part of the MusicXML test suite (Reinhold Kainhofer, LilyPond project, 72a) is a C
// major scale in sound, written in D major for a trumpet in B flat.
func TestWrittenNames(t *testing.T) {
	path := "../../shared/data/suite/72a-TransposingInstruments.xml"
	if _, err := os.Stat(path); err != nil {
		t.Skipf("shared data not here: %v", err)
	}
	in, err := brass.Named("trumpet-bb")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(Request{Path: filepath.Clean(path), Horn: in, Part: "1"})
	if err != nil {
		t.Fatal(err)
	}
	d, m := p.Read(), p.Mark()
	w := d.Written
	if d.Lowest != "C4" || d.Highest != "C5" || w.Lowest != "D4" || w.Highest != "D5" || w.Low != "D4" || w.High != "D5" || d.Tessitura.High != "C5" {
		t.Errorf("from %s to %s, written %+v", d.Lowest, d.Highest, w)
	}
	if n := m.Notes[1]; n.Pitch != "D4" || n.Written != "E4" || n.Choice.Label != "12" {
		t.Errorf("second note %+v", n)
	}
	if want := "Notes are named as written, a major second above their sound."; w.Says != want || m.Written != want {
		t.Errorf("%q and %q, want %q", w.Says, m.Written, want)
	}
	one, err := prepared(t, "harbor-parade.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	if w := one.Read().Written; w.Says != "" || w.Lowest != one.Read().Lowest {
		t.Errorf("a part in concert pitch: %+v", w)
	}
}
