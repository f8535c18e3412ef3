package audio

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// glideSeconds is the length of the tone in the files of testdata.
const glideSeconds = 0.6

// glide is the tone in the files of testdata at t seconds: a rising tone with
// soft ends, so that a shift in time shows at once.
func glide(t float64) float64 {
	if t < 0 || t > glideSeconds {
		return 0
	}
	swell := math.Sin(math.Pi * t / glideSeconds)
	return 0.5 * math.Sin(2*math.Pi*(200*t+800*t*t)) * swell * swell
}

// lag is the shift in samples at which x fits the tone best, and the error
// that is left there in dB below the tone.
func lag(x []float64, rate int) (best int, errorDB float64) {
	fit := func(shift int) float64 {
		sum := 0.0
		for i, v := range x {
			d := v - glide(float64(i-shift)/float64(rate))
			sum += d * d
		}
		return sum
	}
	least := math.Inf(1)
	for s := -64; s <= 64; s++ {
		if e := fit(s); e < least {
			best, least = s, e
		}
	}
	power := 0.0
	for i := range x {
		v := glide(float64(i) / float64(rate))
		power += v * v
	}
	return best, 10 * math.Log10(least/power)
}

// glides are the files of testdata. Reference: the tone's closed form; the
// files were encoded by other programs.
var glides = []struct {
	file           string
	format         string
	rate, channels int
	early          int     // samples
	errorDB        float64 // coding noise, at most
}{
	{"glide.mp3", "MP3", 44100, 2, 0, -25},
	{"glide-24000.mp3", "MP3", 24000, 1, 0, -25},
	{"glide.ogg", "Ogg Vorbis", 48000, 2, 0, -35},
	{"glide.opus", "Ogg Opus", 48000, 2, 0, -35},
	// At low rates Opus codes the voice band by another method; the reference
	// decoder (libopus 1.3) has this tone 3 samples early, too.
	{"glide.webm", "WebM Opus", 48000, 1, 3, -25},
	{"glide-pcm.webm", "WebM", 22050, 1, 0, -80},
	{"glide.aiff", "AIFF", 22050, 1, 0, -80},
	{"glide-sowt.aifc", "AIFF", 22050, 1, 0, -80},
	{"glide.flac", "FLAC", 22050, 1, 0, -80},
}

func TestEveryFormatHasItsToneInPlace(t *testing.T) {
	for _, c := range glides {
		t.Run(c.file, func(t *testing.T) {
			clip := checkGlide(t, filepath.Join("testdata", c.file), c.format, c.early, c.errorDB)
			if clip.Rate != c.rate || len(clip.Channels) != c.channels {
				t.Errorf("%d Hz and %d channels, want %d and %d", clip.Rate, len(clip.Channels), c.rate, c.channels)
			}
		})
	}
}

// checkGlide reads a file and holds it to the tone: no shift, the length to a
// sample, and no more than the coding noise.
func checkGlide(t *testing.T, path, format string, early int, noiseDB float64) *Clip {
	t.Helper()
	r, err := OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	clip, err := r.clip()
	if err != nil {
		t.Fatal(err)
	}
	if r.Format() != format || len(clip.Notices) > 0 {
		t.Errorf("format %q with notices %q, want %q without any", r.Format(), clip.Notices, format)
	}
	if want := int(glideSeconds * float64(clip.Rate)); clip.Len() != want {
		t.Errorf("%d samples, want %d", clip.Len(), want)
	}
	shift, errorDB := lag(clip.Channels[0], clip.Rate)
	t.Logf("%d samples late, error %.1f dB", shift, errorDB)
	if shift != -early || errorDB > noiseDB {
		t.Errorf("%d samples late with %.1f dB of error, want %d and at most %g", shift, errorDB, -early, noiseDB)
	}
	return clip
}

// Without the encoder's notes only the decoder's own delay is known. This
// encoder's is 576 samples (from memory: the usual one).
func TestMP3WithoutNotesKeepsTheEncodersDelay(t *testing.T) {
	clip, err := Open("testdata/glide-untold.mp3")
	if err != nil {
		t.Fatal(err)
	}
	const encoder = 576
	if shift, errorDB := lag(clip.Channels[0][encoder:], clip.Rate); shift != 0 || errorDB > -25 {
		t.Errorf("%d samples late beyond the encoder's own, error %.1f dB", shift, errorDB)
	}
}

func needFFmpeg(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("no ffmpeg on this machine: ", err)
	}
}

func withoutFFmpeg(t *testing.T) {
	old := findFFmpeg
	findFFmpeg = func() (string, error) { return "", exec.ErrNotFound }
	t.Cleanup(func() { findFFmpeg = old })
}

var foreignFiles = []string{"glide.m4a", "glide-adpcm.wav", "glide-flac.ogg", "glide-22050.mp3"}

func TestForeignFormatsGoThroughFFmpeg(t *testing.T) {
	needFFmpeg(t)
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range foreignFiles {
		t.Run(file, func(t *testing.T) {
			b, err := os.ReadFile(filepath.Join(here, "testdata", file))
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(t.TempDir())
			const odd = "concat:-i take %d.wav"
			if err := os.WriteFile(odd, b, 0o400); err != nil {
				t.Fatal(err)
			}
			fromFile, err := Open(odd)
			if err != nil {
				t.Fatal(err)
			}
			if shift, errorDB := lag(fromFile.Channels[0], fromFile.Rate); shift != 0 || errorDB > -20 {
				t.Errorf("%d samples late, error %.1f dB", shift, errorDB)
			}
			fromStream, err := Decode("x", bytes.NewReader(b))
			if err != nil || fromStream.Len() != fromFile.Len() {
				t.Errorf("as a stream: %v", err)
			}
			if after, _ := os.ReadFile(odd); !bytes.Equal(after, b) {
				t.Error("the original was changed")
			}
		})
	}
}

func TestForeignFormatsWithoutFFmpegSayWhatToDo(t *testing.T) {
	withoutFFmpeg(t)
	for _, file := range foreignFiles {
		_, err := Open(filepath.Join("testdata", file))
		if err == nil || !strings.Contains(err.Error(), "install it") || !strings.Contains(err.Error(), "WAV") {
			t.Errorf("%s: %v, want what to install and what works", file, err)
		}
	}
}

func TestForeignStreamThatCannotGoBack(t *testing.T) {
	needFFmpeg(t)
	b, err := os.ReadFile("testdata/glide.m4a")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Decode("x", io.MultiReader(bytes.NewReader(b))); err != nil {
		t.Errorf("known by its first bytes: %v", err)
	}
	if b, err = os.ReadFile("testdata/glide-adpcm.wav"); err != nil {
		t.Fatal(err)
	}
	if _, err = Decode("x", io.MultiReader(bytes.NewReader(b))); err == nil || !strings.Contains(err.Error(), "as a file") {
		t.Errorf("known only after reading on: %v, want the way out", err)
	}
}

func TestDamagedForeignFileIsAnError(t *testing.T) {
	needFFmpeg(t)
	b, err := os.ReadFile("testdata/glide.m4a")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{12, 100, 1000} {
		if c, err := Decode("x", bytes.NewReader(b[:n])); err == nil {
			t.Errorf("%d of %d bytes were read as %d samples", n, len(b), c.Len())
		}
	}
}

func TestAProgramThatFailsHalfwayIsSaid(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell on this machine: ", err)
	}
	dir := t.TempDir()
	sound := filepath.Join(dir, "sound.wav")
	head := wav(1, 1, 8000, 16, nil)
	copy(head[40:], "\xff\xff\xff\xff") // of unknown length
	if err := os.WriteFile(sound, append(head, make([]byte, 8000)...), 0o600); err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "program")
	if err := os.WriteFile(program, []byte("#!"+shell+"\ncat '"+sound+"'\necho out of sorts >&2\nexit 3\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	old := findFFmpeg
	findFFmpeg = func() (string, error) { return program, nil }
	t.Cleanup(func() { findFFmpeg = old })
	c, err := Open("testdata/glide.m4a")
	if err != nil {
		t.Fatal(err)
	}
	if c.Len() != 4000 || len(c.Notices) != 1 || !strings.Contains(c.Notices[0], "up to 0.500 s") {
		t.Errorf("%d samples with %q, want what came and a notice", c.Len(), c.Notices)
	}
}

// Cut anywhere, each file gives what is there and says so, or an error; never
// a whole recording without a word.
func TestCutFilesAreSaid(t *testing.T) {
	withoutFFmpeg(t)
	for _, c := range glides {
		b, err := os.ReadFile(filepath.Join("testdata", c.file))
		if err != nil {
			t.Fatal(err)
		}
		heard := 0
		for _, share := range []float64{0.3, 0.5, 0.7, 0.9, 0.99} {
			clip, err := Decode("x", bytes.NewReader(b[:int(share*float64(len(b)))]))
			if err != nil {
				continue
			}
			heard++
			if len(clip.Notices) != 1 || !strings.Contains(clip.Notices[0], "cut off") {
				t.Errorf("%s cut at %g: notices %q, want one that says so", c.file, share, clip.Notices)
			}
		}
		if heard == 0 {
			t.Errorf("%s: nothing is heard of any cut file", c.file)
		}
	}
}

func TestAMislabelledFileIsReadByItsContent(t *testing.T) {
	b, err := os.ReadFile("testdata/glide.flac")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "take.mp3")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	checkGlide(t, path, "FLAC", 0, -80)
}

func TestAReaderEndsAsItSays(t *testing.T) {
	r, err := OpenReader("testdata/glide.ogg")
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = r.Next()
	}
	if _, again := r.Next(); !errors.Is(err, io.EOF) || !errors.Is(again, io.EOF) {
		t.Errorf("ended with %v, then %v; want io.EOF twice", err, again)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	if err := r.Close(); err != nil {
		t.Error("closed twice: ", err)
	}
}
