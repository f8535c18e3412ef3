package audio

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
)

// Reference: the coefficients that ITU-R BS.1770-4 prints for 48 kHz, tables 1
// and 2.
func TestKWeightingIsTheStandardsAt48kHz(t *testing.T) {
	shelf, high := kWeighting(48000)
	got := []float64{shelf.b0, shelf.b1, shelf.b2, shelf.a1, shelf.a2, high.b0, high.b1, high.b2, high.a1, high.a2}
	want := []float64{
		1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585,
		1, -2, 1, -1.99004745483398, 0.99007225036621,
	}
	const tolerance = 1e-9 // far below anything audible: 1e-8 dB
	for i := range want {
		if math.Abs(got[i]-want[i]) > tolerance {
			t.Errorf("coefficient %d is %.14f, the standard prints %.14f", i, got[i], want[i])
		}
	}
}

func TestSilenceIsFiniteAndBecomesJSON(t *testing.T) {
	for name, c := range map[string]*Clip{
		"silence": {Rate: 48000, Channels: [][]float64{make([]float64, 48000)}},
		"instant": {Rate: 48000, Channels: [][]float64{{0.1}}},
		"nothing": {Rate: 48000, Channels: [][]float64{{}}},
	} {
		f := Measure(c)
		if _, err := json.Marshal(f); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if name == "silence" && (f.PeakDBFS != SilenceDB || f.LoudnessLUFS != SilenceDB || f.NoiseFloorDBFS != SilenceDB) {
			t.Errorf("silence reads %+v, want %g everywhere", f, SilenceDB)
		}
	}
}

func TestPeakNoiseAndClipping(t *testing.T) {
	// 8 s of tone at -6.02 dBFS peak with 2 s of a -60 dBFS hum between.
	c := sine(48000, 1, 440, 0.5, 10)
	x := c.Channels[0]
	for i := 4 * 48000; i < 6*48000; i++ {
		x[i] = 0.001 * math.Sqrt2 * math.Sin(float64(i)*0.01)
	}
	f := Measure(c)
	if math.Abs(f.PeakDBFS+6.02) > 0.01 || math.Abs(f.NoiseFloorDBFS+60) > 0.5 || f.Clipped != 0 {
		t.Errorf("%+v, want peak -6.02, noise -60 ± 0.5, nothing clipped", f)
	}
	copy(x[1000:], []float64{1, 1, 1, 1, 0, 1, 0.5, -1, -1, -1})
	if f := Measure(c); f.Clipped != 7 {
		t.Errorf("%d clipped samples, want the runs of 4 and 3 and not the lone peak", f.Clipped)
	}
}

func TestResampledSinesKeepTheirPlaceAndLevel(t *testing.T) {
	// Closed form: the same sine sampled at the new rate.
	cases := []struct {
		from, to int
		hz       float64
	}{
		{48000, 16000, 440}, {48000, 16000, 6000}, {44100, 16000, 1000}, {22050, 48000, 5000},
		{16000, 48000, 3000}, {96000, 16000, 100}, {44101, 16000, 997}, {192000, 16000, 58},
	}
	for _, c := range cases {
		t.Run(fmt.Sprintf("%d to %d, %g Hz", c.from, c.to, c.hz), func(t *testing.T) {
			in := sine(c.from, 1, c.hz, 0.9, 0.5).Channels[0]
			out := Resample(in, c.from, c.to)
			if want := int(math.Ceil(float64(len(in)) * float64(c.to) / float64(c.from))); len(out) != want {
				t.Fatalf("%d samples, want %d", len(out), want)
			}
			worst := 0.0
			for n := len(out) / 10; n < len(out)*9/10; n++ {
				worst = max(worst, math.Abs(out[n]-0.9*math.Sin(2*math.Pi*c.hz*float64(n)/float64(c.to))))
			}
			t.Logf("worst error %.1f dB", 20*math.Log10(worst/0.9))
			if worst > 0.9e-5 { // -100 dB
				t.Errorf("worst error %.2g, want below -100 dB", worst)
			}
		})
	}
}

func TestResampleStopsWhatLiesAboveTheNewBand(t *testing.T) {
	out := Resample(sine(48000, 1, 9000, 1, 0.5).Channels[0], 48000, 16000)
	for _, v := range out[1000:7000] {
		if math.Abs(v) > 1e-4 {
			t.Fatalf("9 kHz comes through at %.1f dB, want below -80", 20*math.Log10(math.Abs(v)))
		}
	}
}

func TestMonoIsTheMean(t *testing.T) {
	c := &Clip{Rate: 8000, Channels: [][]float64{{1, 0}, {0, -0.5}}}
	if m := c.Mono(); m[0] != 0.5 || m[1] != -0.25 {
		t.Errorf("mono %v, want [0.5 -0.25]", m)
	}
}
