package desk

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/audio"
)

// toneFile writes tones of so many seconds each, 0 Hz for silence.
func toneFile(t *testing.T, tones ...[2]float64) string {
	t.Helper()
	const rate = 48000
	var x []float64
	for _, tone := range tones {
		n := int(tone[1] * rate)
		for i := range n {
			s := 0.0
			for k := 1.0; k <= 6 && tone[0] > 0; k++ {
				s += math.Sin(2*math.Pi*k*tone[0]*float64(i)/rate) / k
			}
			fade := min(1, float64(i)/480, float64(n-i)/480)
			x = append(x, 0.2*fade*s)
		}
	}
	path := filepath.Join(t.TempDir(), "tone.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := audio.WriteWAV(f, &audio.Clip{Rate: rate, Channels: [][]float64{x}}); err != nil {
		t.Fatal(err)
	}
	return path
}

// Closed-form tones: the longest counts, in its length, with a lost moment in it.
func TestTimeLongTone(t *testing.T) {
	const bb3, f3 = 233.08, 174.61 // Hz, A4 = 440
	for _, c := range []struct {
		name    string
		tones   [][2]float64
		pitch   string
		seconds float64
	}{
		{"one tone", [][2]float64{{0, 1}, {bb3, 12}, {0, 1}}, "Bb3", 12},
		{"the longer of two", [][2]float64{{bb3, 3}, {0, 0.5}, {f3, 7}}, "F3", 7},
		{"a lost moment", [][2]float64{{bb3, 4}, {0, 0.08}, {bb3, 4}}, "Bb3", 8.08},
		{"a breath between", [][2]float64{{bb3, 4}, {0, 0.4}, {bb3, 5}}, "Bb3", 5},
		{"a slur ends it", [][2]float64{{bb3, 5}, {f3, 3}}, "Bb3", 5},
	} {
		got, err := TimeLongTone(toneFile(t, c.tones...), "mf")
		if err != nil || got.Pitch != c.pitch || math.Abs(got.Seconds-c.seconds) > 0.1 {
			t.Errorf("%s: %+v, %v; want %s for %g s", c.name, got, err, c.pitch, c.seconds)
		}
	}
	if _, err := TimeLongTone(toneFile(t, [2]float64{bb3, 0.5}), "mf"); err == nil || !strings.Contains(err.Error(), "holds no long tone") {
		t.Errorf("a short tone: %v", err)
	}
}
