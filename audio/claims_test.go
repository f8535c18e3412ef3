package audio

import (
	"bytes"
	"os"
	"runtime"
	"slices"
	"testing"
)

// patched is a file of testdata with bytes replaced behind a mark in it.
func patched(t *testing.T, file, mark string, after int, with string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(b, []byte(mark))
	if at < 0 {
		t.Fatalf("%s: no %q", file, mark)
	}
	copy(b[at+after:], with)
	return b
}

// Memory must grow with the bytes that are there: each of these files claims
// gigabytes.
func TestClaimsCostNoMemory(t *testing.T) {
	withoutFFmpeg(t)
	long := wav(1, 16, 384000, 32, make([]byte, 6400))
	copy(long[40:], "\xf0\xff\xff\xff")
	for name, b := range map[string][]byte{
		"WAV of 4 GB":            long,
		"AIFF of 4 G frames":     patched(t, "glide.aiff", "COMM", 10, "\xff\xff\xff\xff"),
		"FLAC of 64 G samples":   patched(t, "glide.flac", "fLaC", 21, "\x5f\xff\xff\xff\xff"),
		"WebM block of 60 MB":    patched(t, "glide.webm", "\xa3", 1, "\x13\xa0\x00\x00"),
		"MP3 with a tag of 256M": patched(t, "glide.mp3", "ID3", 6, "\x7f\x7f\x7f\x7f"),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		r, err := NewReader("x", bytes.NewReader(b))
		if err == nil {
			_, _, err = r.Listen(16000)
		}
		runtime.ReadMemStats(&after)
		const enough = 200 << 20 // the ten minutes at 16 kHz that are believed, and working memory
		if used := after.TotalAlloc - before.TotalAlloc; used > enough {
			t.Errorf("%s: %d MB taken for %d bytes (%v)", name, used>>20, len(b), err)
		}
	}
}

func TestVorbisClaimsAreCheckedFirst(t *testing.T) {
	head, setup := vorbisHeaders(t)
	if err := checkVorbis(head, setup); err != nil {
		t.Fatal("a sound file is refused: ", err)
	}
	book := len(setupHeader) + 1 + 3 // after the number of books and the first one's mark
	entries := slices.Clone(setup)
	copy(entries[book+2:], "\xff\xff\xff")
	none := slices.Clone(setup)
	copy(none[book+2:], "\x00\x00\x00")
	blocks := slices.Clone(head)
	blocks[28] = 0xFF
	for name, c := range map[string][2][]byte{
		"entries": {head, entries}, "no entries": {head, none}, "blocks": {blocks, setup},
		"setup cut": {head, setup[:40]}, "head cut": {head[:20], setup}, "no setup": {head, nil},
	} {
		if checkVorbis(c[0], c[1]) == nil {
			t.Errorf("%s: passed", name)
		}
	}
}
