package pitch

import (
	"fmt"
	"math"
	"testing"
)

// tone is a steady tone with ten harmonics of amplitude 1/k, Rate samples a
// second.
func tone(hz, seconds float64) []float64 {
	x := make([]float64, int(seconds*Rate))
	for i := range x {
		for k := 1.0; k <= 10 && k*hz < Rate/2; k++ {
			x[i] += 0.2 / k * math.Sin(2*math.Pi*k*hz*float64(i)/Rate+k)
		}
	}
	return x
}

func TestSteadyTonesReadWithinHalfACent(t *testing.T) {
	const tolerance = 0.5 // cents: well below what a listener hears (facts: 5 to 10)
	worst := 0.0
	for midi := 28; midi <= 82; midi++ { // E1 to Bb5
		hz := 440*math.Exp2(float64(midi-69)/12) + 0.37 // off the grid
		for _, f := range Track(tone(hz, 0.5), nil)[20:80] {
			off := math.Abs(f.Cents() - Cents(hz))
			if !(off < tolerance) {
				t.Fatalf("%.3f Hz at %.3f s reads %.3f Hz, %.2f cents off", hz, f.At, f.Hz, off)
			}
			worst = max(worst, off)
		}
	}
	t.Logf("worst frame: %.3f cents", worst)
}

func TestVibratoAndGlideAreFollowed(t *testing.T) {
	// Instantaneous frequency known in closed form.
	cases := []struct {
		name      string
		at        func(s float64) float64 // Hz
		tolerance float64                 // cents
	}{
		{"vibrato 5 Hz, 30 cents", func(s float64) float64 { return 220 * math.Exp2(30*math.Sin(2*math.Pi*5*s)/1200) }, 6},
		{"glide of a fifth in a second", func(s float64) float64 { return 150 * math.Exp2(700*s/1200) }, 6},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			x, phase := make([]float64, Rate), 0.0
			for i := range x {
				for k := 1.0; k <= 10; k++ {
					x[i] += 0.2 / k * math.Sin(k*phase)
				}
				phase += 2 * math.Pi * c.at(float64(i)/Rate) / Rate
			}
			frames, worst := Track(x, nil), 0.0
			for _, f := range frames[20:180] {
				worst = max(worst, math.Abs(f.Cents()-Cents(c.at(f.At))))
			}
			t.Logf("worst frame: %.2f cents", worst)
			if !(worst < c.tolerance) {
				t.Errorf("worst frame is %.2f cents off, want below %g", worst, c.tolerance)
			}
		})
	}
}

func TestSilenceAndNoiseHaveNoPitch(t *testing.T) {
	seed, x := uint32(1), make([]float64, Rate)
	for i := range x {
		seed = seed*1664525 + 1013904223
		x[i] = 0.1 * (float64(seed)/(1<<31) - 1)
	}
	for name, x := range map[string][]float64{"silence": make([]float64, Rate), "noise": x} {
		voiced := 0
		for _, f := range Track(x, nil) {
			if f.Hz > 0 {
				voiced++
			}
			if math.IsInf(f.LevelDB, 0) || math.IsNaN(f.LevelDB) {
				t.Fatalf("%s: level %g is no finite number", name, f.LevelDB)
			}
		}
		if voiced > 10 {
			t.Errorf("%s: %d of 200 frames have a pitch", name, voiced)
		}
	}
}

func TestShortAndEmptyClips(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 1, 80: 1, 81: 2} {
		if got := len(Track(make([]float64, n), nil)); got != want {
			t.Errorf("%d samples give %d frames, want %d", n, got, want)
		}
	}
}

func BenchmarkTrack(b *testing.B) {
	for _, hz := range []float64{58.27, 233.1} {
		b.Run(fmt.Sprintf("%.0fHz", hz), func(b *testing.B) {
			const seconds = 10
			x := tone(hz, seconds)
			for range b.N {
				Track(x, nil)
			}
			b.ReportMetric(seconds*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
		})
	}
}
