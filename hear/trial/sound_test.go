package trial

import (
	"errors"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"testing/fstest"

	"waterkey/audio"
	"waterkey/demo/trombone"
)

func TestMP3AddsNoDelay(t *testing.T) {
	x := make([]float64, rate)
	r := rand.New(rand.NewPCG(7, 8))
	for i := range x {
		x[i] = 0.1 * r.NormFloat64() * math.Exp(-float64(i%12000)/2000)
	}
	back, err := throughMP3(&audio.Clip{Rate: rate, Channels: [][]float64{x}})
	if errors.Is(err, ErrNoFFmpeg) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	best, lag := 0.0, 0
	for d := -1500; d <= 1500; d++ {
		sum := 0.0
		for i := 2000; i < rate-2000; i++ {
			sum += x[i] * back.Channels[0][i+d]
		}
		if sum > best {
			best, lag = sum, d
		}
	}
	if lag < -48 || lag > 48 {
		t.Errorf("%d samples late, want none (1 ms at most)", lag)
	}
}

// sharedBank is every third of the shared notes.
func sharedBank(t testing.TB) *Bank {
	t.Helper()
	all := os.DirFS(sharedSamples)
	files, _ := fs.Glob(all, "*.flac")
	if len(files) == 0 {
		t.Skip("shared data not here: ", sharedSamples)
	}
	few := fstest.MapFS{}
	for i := 4; i < len(files); i += 3 {
		data, err := fs.ReadFile(all, files[i])
		if err != nil {
			t.Fatal(err)
		}
		few[files[i]] = &fstest.MapFile{Data: data}
	}
	b, err := newBank(trombone.Source{Name: "shared", Files: few, Match: "*.flac", MIDI: midiName})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

const (
	sharedSamples = "../../../shared/data/samples/tenor-trombone"
	sharedScores  = "../../../shared/data/scores"
)

// Reference: aubiopitch, another program, reads the pitch that the note was
// given, shifted or not.
func TestAnotherProgramReadsThePitch(t *testing.T) {
	if _, err := exec.LookPath("aubiopitch"); err != nil {
		t.Skip("aubiopitch is not here (Debian: aubio-tools)")
	}
	b := sharedBank(t)
	path := filepath.Join(t.TempDir(), "notes.wav")
	var tones []trombone.Tone
	for k, hz := range []float64{110, 123.47, 146.83, 176, 207.65, 235, 277.18, 330, 392, 440} {
		start := 0.5 + 1.5*float64(k)
		tones = append(tones, trombone.Tone{Start: start, End: start + 1.2, Hz: hz, HzEnd: hz})
	}
	x := b.Sing(tones, 0, 16)
	if err := writeWAV(path, &audio.Clip{Rate: rate, Channels: [][]float64{x}}); err != nil {
		t.Fatal(err)
	}
	rows, _, err := columns("aubiopitch", "-p", "yinfast", "-i", path)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range tones {
		var v []float64
		for _, r := range rows {
			if len(r) > 1 && r[0] > e.Start+0.2 && r[0] < e.End-0.1 && r[1] > 0 {
				v = append(v, cents(r[1], e.Hz))
			}
		}
		if off := median(v); !(math.Abs(off) < 1) {
			t.Errorf("%.2f Hz: aubiopitch reads %+.2f cents off, at most 1", e.Hz, off)
		}
	}
}
