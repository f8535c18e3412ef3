package hear

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"waterkey/audio"
)

// wavOf is a clip as a file in memory.
func wavOf(t testing.TB, clip *audio.Clip) *audio.Reader {
	t.Helper()
	var b bytes.Buffer
	if err := audio.WriteWAV(&b, clip); err != nil {
		t.Fatal(err)
	}
	r, err := audio.NewReader("take.wav", &b)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// Read block by block, in stereo, a take measures as it does from memory.
func TestAStreamIsHeardAsTheClipIs(t *testing.T) {
	pf := etudePart(t)
	clip := sing(faithful(pf, 1.1, 443, 0.5), testRate, -60)
	clip.Channels = append(clip.Channels, clip.Channels[0])
	last := 0.0
	got, err := ListenTo(pf, wavOf(t, clip), Options{Progress: func(s float64) {
		if s < last || s > 1 {
			t.Errorf("progress %g after %g", s, last)
		}
		last = s
	}})
	if err != nil || last != 1 {
		t.Fatalf("ended at %g: %v", last, err)
	}
	want := listen(t, pf, clip)
	const bits = 1e-3 // ms and cents: the file has 24 bits
	for i := range want.Notes {
		a, b := got.Notes[i], want.Notes[i]
		if a.State != b.State || math.Abs(a.LevelDB-b.LevelDB) > 0.1 || math.Abs(a.Late-b.Late) > 1 || math.Abs(a.Cents-b.Cents) > 100*bits {
			t.Errorf("note %d: %+v from the stream, %+v from memory", i, a.Measures, b.Measures)
		}
	}
	if math.Abs(got.Record.LoudnessLUFS-want.Record.LoudnessLUFS) > bits || math.Abs(got.Record.Seconds-want.Record.Seconds) > bits {
		t.Errorf("recording %+v from the stream, %+v from memory", got.Record, want.Record)
	}
}

func TestARecordingWithoutEndIsGivenUp(t *testing.T) {
	clip := &audio.Clip{Rate: 16000, Channels: [][]float64{make([]float64, 16000*8)}}
	x, _, err := gather(wavOf(t, clip), 4, func(float64) {})
	if x != nil || err == nil || !strings.Contains(err.Error(), "cut it to the take") {
		t.Errorf("%d samples, %v", len(x), err)
	}
}

func TestSamplesThatAreNoNumbersCountAsSilence(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.7)
	clip := sing(tones, testRate, -60)
	inFirst := int((tones[0].start + 0.05) * testRate)
	for i := range 5 {
		clip.Channels[0][inFirst+i] = math.NaN()
		clip.Channels[0][inFirst+500+i] = math.Inf(1)
	}
	take := listen(t, pf, clip)
	if db := take.Notes[0].LevelDB; math.IsNaN(db) || math.IsInf(db, 0) {
		t.Errorf("level %g dB", db)
	}
	agrees(t, pf, take, tones)
	if n := len(states(take, Played)); n != len(pf.Notes) {
		t.Errorf("%d of %d notes played", n, len(pf.Notes))
	}
}

// BenchmarkListenTo prints the speed of decoding and listening together.
func BenchmarkListenTo(b *testing.B) {
	pf := etudePart(b)
	clip := sing(faithful(pf, 1, 440, 0.5), testRate, -60)
	var wav bytes.Buffer
	if err := audio.WriteWAV(&wav, clip); err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		r, err := audio.NewReader("take.wav", bytes.NewReader(wav.Bytes()))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := ListenTo(pf, r, Options{}); err != nil {
			b.Fatal(err)
		}
		r.Close()
	}
	b.ReportMetric(clip.Seconds()*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
}
