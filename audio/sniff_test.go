package audio

import (
	"bytes"
	"strings"
	"testing"
)

// TestReadableIsTrue: the error for what is no recording names the formats that can be
// read: those decoded here, and of those that go through another program no other
// than the table has.
func TestReadableIsTrue(t *testing.T) {
	_, err := NewReader("notes.txt", bytes.NewReader([]byte("This is no recording.")))
	if err == nil {
		t.Fatal("text was read as a recording")
	}
	here, through, _ := strings.Cut(err.Error(), "can be read, and ")
	for _, name := range []string{"WAV", "AIFF", "FLAC", "MP3", "Ogg Vorbis", "Opus", "WebM"} {
		if !strings.Contains(here, name) {
			t.Errorf("%q does not name %s", err, name)
		}
	}
	through, _, _ = strings.Cut(through, " with the program ffmpeg")
	names := strings.Split(strings.ReplaceAll(through, " and ", ", "), ", ")
	if len(names) < 2 {
		t.Fatalf("%q names no formats of ffmpeg's", err)
	}
	for _, name := range names {
		known := false
		for _, f := range otherFormats {
			known = known || f.demuxer != "" && strings.Contains(f.what, name)
		}
		if !known {
			t.Errorf("%s is named, and no such file is known", name)
		}
	}
}
