package audio

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/jfreymuth/vorbis"
)

// seeds adds the beginnings of files of testdata.
func seeds(f *testing.F, patterns ...string) {
	f.Helper()
	n := 0
	for _, p := range patterns {
		files, err := filepath.Glob(filepath.Join("testdata", p))
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			b, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(b[:min(len(b), 6000)])
			f.Add(b[:len(b)/3])
			n++
		}
	}
	if n == 0 {
		f.Fatal("no seeds")
	}
}

// mostFrames bounds how many frames a byte of any format can stand for: FLAC
// packs 65535 equal samples into some 12 bytes, Opus 5760 into 2.
const mostFrames = 8192

// decodeAny holds a decoder to what every one must do with any bytes: an error
// and nothing else, or blocks of equal length with samples that are sound, no
// more of them than the bytes can hold; and the same again the second time.
func decodeAny(t *testing.T, b []byte) {
	r, err := NewReader("x", bytes.NewReader(b))
	if err != nil {
		if r != nil {
			t.Fatal("an error and a reader")
		}
		return
	}
	defer r.Close()
	if checkShape(r.Rate(), r.Channels()) != nil {
		t.Fatalf("%d Hz, %d channels without an error", r.Rate(), r.Channels())
	}
	frames := 0
	for {
		block, err := r.Next()
		if err != nil {
			break
		}
		if len(block) != r.Channels() || len(block[0]) == 0 {
			t.Fatalf("a block of %d channels with %d frames", len(block), len(block[0]))
		}
		for _, x := range block {
			if len(x) != len(block[0]) {
				t.Fatal("channels of unequal length")
			}
			for _, v := range x {
				if !(v >= -maxFloat && v <= maxFloat) {
					t.Fatalf("sample %g", v)
				}
			}
		}
		if frames += len(block[0]); frames > mostFrames*len(b) {
			t.Fatalf("%d frames out of %d bytes", frames, len(b))
		}
	}
}

// noForeign keeps fuzzing inside this program.
func noForeign(f *testing.F) {
	old := findFFmpeg
	findFFmpeg = func() (string, error) { return "", os.ErrNotExist }
	f.Cleanup(func() { findFFmpeg = old })
}

func fuzz(f *testing.F, patterns ...string) {
	noForeign(f)
	seeds(f, patterns...)
	f.Fuzz(decodeAny)
}

func FuzzWAV(f *testing.F) {
	f.Add(wav(1, 1, 8000, 16, make([]byte, 64)))
	f.Add(wav(3, 2, 48000, 32, make([]byte, 64)))
	f.Add(wav(1, 16, 384000, 24, make([]byte, 480)))
	f.Add(wav(1, 1, 8000, 8, []byte{1, 2, 3}))
	fuzz(f, "*.wav")
}

func FuzzAIFF(f *testing.F)   { fuzz(f, "*.aif*") }
func FuzzFLAC(f *testing.F)   { fuzz(f, "*.flac") }
func FuzzMP3(f *testing.F)    { fuzz(f, "*.mp3") }
func FuzzVorbis(f *testing.F) { fuzz(f, "glide.ogg") }
func FuzzOpus(f *testing.F)   { fuzz(f, "*.opus") }
func FuzzWebM(f *testing.F)   { fuzz(f, "*.webm") }

// FuzzVorbisSetup fuzzes the third header by itself: the check sums of Ogg
// keep most changes away from it.
func FuzzVorbisSetup(f *testing.F) {
	head, setup := vorbisHeaders(f)
	f.Add(head, setup)
	f.Fuzz(func(t *testing.T, head, setup []byte) {
		if checkVorbis(head, setup) != nil {
			return
		}
		tryVorbis(head, setup)
	})
}

// FuzzPackets fuzzes the packets of sound by themselves, for the same
// reason.
func FuzzPackets(f *testing.F) {
	f.Add([]byte{0xfc, 1, 2, 3}, byte(1))
	f.Add([]byte{0x08, 1, 2, 3, 4, 5}, byte(2))
	f.Fuzz(func(t *testing.T, packet []byte, channels byte) {
		head := []byte("OpusHead\x01\x02\x38\x01\x80\xbb\x00\x00\x00\x00\x00")
		head[9] = channels
		s, err := newOpus(head)
		if err != nil {
			return
		}
		r := &Reader{src: &source{rate: opusRate, channels: s.channels, next: func() ([][]float64, error) {
			x, err := s.decode(packet)
			return newPlanar(s.channels).of(x, 1), err
		}}}
		for range 3 {
			if block, err := r.guarded(); err == nil && len(block[0]) > opusLong {
				t.Fatalf("%d frames", len(block[0]))
			}
		}
	})
}

// vorbisHeaders are the first and the third header of a file.
func vorbisHeaders(tb testing.TB) (head, setup []byte) {
	tb.Helper()
	b, err := os.ReadFile("testdata/glide.ogg")
	if err != nil {
		tb.Fatal(err)
	}
	h, err := (&oggReader{r: bytes.NewReader(b)}).headers(3)
	if err != nil {
		tb.Fatal(err)
	}
	return h[0], h[2]
}

func tryVorbis(head, setup []byte) error {
	dec := new(vorbis.Decoder)
	for _, h := range [][]byte{head, []byte(noComments), setup} {
		if err := readVorbisHeader(dec, h); err != nil {
			return err
		}
	}
	return nil
}
