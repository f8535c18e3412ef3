package sound

import (
	"bytes"
	"io"
	"testing"

	"waterkey/audio"

	"pgregory.net/rapid"
)

// Wherever a file is read, it gives what package audio writes there of the rendered
// clip.
func TestFileFromAnyPlace(t *testing.T) {
	tones := []Tone{{End: 0.05, Hz: 220}, {Start: 0.06, End: 0.1, Hz: 330}}
	o := Options{Rate: 8000, Timbre: &TenorTrombone}
	var whole bytes.Buffer
	if err := audio.WriteWAV(&whole, Render(tones, o)); err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		f := NewFile(tones, o)
		if f.Size() != int64(whole.Len()) {
			t.Fatalf("%d bytes, want %d", f.Size(), whole.Len())
		}
		for range rapid.IntRange(1, 4).Draw(t, "reads") {
			at := rapid.IntRange(0, whole.Len()).Draw(t, "at")
			b := make([]byte, rapid.IntRange(0, whole.Len()-at).Draw(t, "bytes"))
			if _, err := f.Seek(int64(at), io.SeekStart); err != nil {
				t.Fatal(err)
			}
			if _, err := io.ReadFull(f, b); err != nil || !bytes.Equal(b, whole.Bytes()[at:at+len(b)]) {
				t.Fatalf("%d bytes from %d: %v, or not alike", len(b), at, err)
			}
		}
		if at, err := f.Seek(0, io.SeekEnd); at != f.Size() || err != nil {
			t.Fatalf("the end is at %d, %v", at, err)
		}
		if n, err := f.Read(make([]byte, 1)); n != 0 || err != io.EOF {
			t.Fatalf("%d bytes and %v behind the end", n, err)
		}
		if _, err := f.Seek(-1, io.SeekStart); err == nil {
			t.Fatal("a place before the start")
		}
	})
}
