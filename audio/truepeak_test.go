package audio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Reference: EBU Tech 3341 (2023), table 1, cases 15 to 19: expected true peak
// within +0.2 and -0.4 dB. Frequency, level and phase of the sines are from
// memory.
func TestTruePeakOfTech3341Sines(t *testing.T) {
	for i, c := range []struct{ part, amplitude, degrees, want float64 }{
		{4, 0.5, 0, -6}, {4, 0.5, 45, -6}, {6, 0.5, 60, -6}, {8, 0.5, 67.5, -6}, {4, 1.41, 45, 3},
	} {
		for _, rate := range []int{44100, 48000, 96000} {
			x := make([]float64, rate/2)
			for n := range x {
				fade := min(1, float64(n)/2000, float64(len(x)-1-n)/2000)
				x[n] = fade * c.amplitude * math.Sin(2*math.Pi*float64(n)/c.part+c.degrees*math.Pi/180)
			}
			checkTruePeak(t, fmt.Sprintf("case %d at %d Hz", 15+i, rate), x, rate, c.want)
		}
	}
}

// Reference: cases 20 to 23 ask for 0.0 dBTP of a tone that peaks between the
// samples, made at four times the rate and taken down with four offsets. Like
// them: a soft burst of 8 kHz that reaches full scale once.
func TestTruePeakOfBurstsBetweenSamples(t *testing.T) {
	const rate, times = 48000, 4
	for offset := range times {
		x := make([]float64, 8000)
		for n := range x {
			at := float64(n-4000) / (rate * times)
			swell := math.Exp(-at * at / (2 * 0.002 * 0.002))
			x[n] = (0.5 + 0.5*swell) * math.Cos(2*math.Pi*8000*at)
		}
		checkTruePeak(t, fmt.Sprintf("case %d", 20+offset), Resample(x[offset:], rate*times, rate)[100:1800], rate, 0)
	}
}

func checkTruePeak(t *testing.T, what string, x []float64, rate int, want float64) {
	t.Helper()
	f := Measure(&Clip{Rate: rate, Channels: [][]float64{x}})
	t.Logf("%s: %.3f dBTP, samples %.3f dBFS", what, f.TruePeakDBTP, f.PeakDBFS)
	if d := f.TruePeakDBTP - want; d > 0.2 || d < -0.4 {
		t.Errorf("%s: %.3f dBTP, the test set asks for %g +0.2 -0.4", what, f.TruePeakDBTP, want)
	}
}

// What is passed over must never hold the maximum: against every sample
// filtered.
func TestPassedOverStretchesHoldNoPeak(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for i := range 60 {
		x := make([]float64, 500+rng.IntN(4000))
		switch i % 4 {
		case 0: // noise
			for n := range x {
				x[n] = rng.Float64() - 0.5
			}
		case 1: // a steady tone of any frequency
			w, p := rng.Float64()*math.Pi, rng.Float64()
			for n := range x {
				x[n] = math.Sin(w*float64(n) + p)
			}
		case 2: // steps and clicks
			for n := range x {
				x[n] = math.Round(3 * math.Sin(float64(n)*0.01))
				if rng.IntN(100) == 0 {
					x[n] = rng.Float64()*4 - 2
				}
			}
		case 3: // a swelling low tone
			for n := range x {
				x[n] = float64(n) * math.Sin(0.05*float64(n))
			}
		}
		f := newPeakFilter([]int{44100, 48000, 96000, 192000}[rng.IntN(4)])
		p := newPeakMeter(f)
		for rest := x; len(rest) > 0; {
			n := 1 + rng.IntN(len(rest))
			p.add(rest[:n])
			rest = rest[n:]
		}
		if got, want := p.peak(), everyPeak(f, x); math.Abs(got-want) > 1e-9*want {
			t.Errorf("signal %d of %d samples: %.9g, want %.9g", i, len(x), got, want)
		}
	}
}

// everyPeak filters at every sample.
func everyPeak(f *peakFilter, x []float64) float64 {
	padded := append(append(make([]float64, peakTaps), x...), make([]float64, 2*peakTaps)...)
	top := maxAbs(x)
	for i := range len(padded) - 2*peakTaps + 1 {
		for _, row := range f.rows {
			top = max(top, math.Abs(plainDot(padded[i:i+2*peakTaps], row)))
		}
	}
	return top
}
