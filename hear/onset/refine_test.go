package onset

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"waterkey/hear/pitch"
)

// noisy is a tone of ten harmonics that begins at 0.5 s with an even rise of
// its amplitude, with white noise so many dB below its level (0 for none).
func noisy(hz, rise, noiseDB float64, seed uint64) []float64 {
	x := sweep(1.4, func(float64) float64 { return hz }, func(s float64) float64 {
		return 0.1 * max(0, min(1, (s-0.5)/rise, (1.1-s)/0.03))
	})
	if noiseDB != 0 {
		r := rand.New(rand.NewPCG(seed, 2))
		level := 0.0
		for _, v := range x[pitch.Rate*7/10 : pitch.Rate] {
			level += v * v
		}
		level = math.Sqrt(level/(0.3*pitch.Rate)) * math.Pow(10, noiseDB/20)
		for i := range x {
			x[i] += level * r.NormFloat64()
		}
	}
	return x
}

// An attack begins, by the convention of this package, with the first sample
// at a fifth of its peak. For an even rise that is a fifth of the rise, and up
// to a period later where the wave is low just then.
func TestAttacksAreFoundToTheSampleNeighborhood(t *testing.T) {
	const (
		tolerance  = 0.003 // s beyond the period that the wave may need
		mostDoubts = 3.0   // standard uncertainties that an error may have
	)
	var errs []float64
	for _, hz := range []float64{58.27, 87.3, 116.5, 174.6, 233.1, 466.2} {
		for _, rise := range []float64{0.005, 0.02, 0.04} {
			for _, noise := range []float64{0, -40, -30} {
				name := fmt.Sprintf("%.0f Hz rising in %.0f ms, noise %.0f dB", hz, 1000*rise, noise)
				got := detect(noisy(hz, rise, noise, uint64(hz)))
				if len(got) != 1 {
					t.Errorf("%s: %d sounds, want 1: %+v", name, len(got), got)
					continue
				}
				late := got[0].Start - 0.5 - rise*attackShare
				errs = append(errs, math.Abs(late))
				if late < -tolerance || late > tolerance+1/hz {
					t.Errorf("%s: %.1f ms late", name, 1000*late)
				}
				if d := got[0].Doubt; d < leastDoubt || math.Abs(late) > mostDoubts*math.Hypot(d, 1/hz/2) {
					t.Errorf("%s: %.1f ms late with a doubt of %.1f ms", name, 1000*late, 1000*d)
				}
			}
		}
	}
	slices.Sort(errs)
	const median = 0.003 // s
	if m := errs[len(errs)/2]; m > median {
		t.Errorf("median error %.1f ms, want below %.0f", 1000*m, 1000*median)
	}
	t.Logf("median error %.2f ms, worst %.2f ms", 1000*errs[len(errs)/2], 1000*errs[len(errs)-1])
}

func TestDoubtGrowsWithTheAttackAndWithNoise(t *testing.T) {
	doubt := func(rise, noise float64) float64 { return detect(noisy(174.6, rise, noise, 5))[0].Doubt }
	if quick, slow := doubt(0.005, 0), doubt(0.08, 0); slow < 2*quick {
		t.Errorf("an attack of 5 ms has a doubt of %.4f s, one of 80 ms %.4f", quick, slow)
	}
	if clean, poor := doubt(0.04, 0), doubt(0.04, -25); poor <= clean {
		t.Errorf("without noise %.4f s, with noise %.4f", clean, poor)
	}
}

// A note that speaks late after a faint beginning has one onset, where it speaks.
func TestAnAttackInTwoStagesIsOneOnset(t *testing.T) {
	x := sweep(1.6, func(float64) float64 { return 87.3 }, func(s float64) float64 {
		faint := 0.008 * max(0, min(1, (s-0.5)/0.01))
		return max(0, min(1, (1.3-s)/0.03)) * (faint + 0.092*max(0, min(1, (s-0.56)/0.02)))
	})
	got := detect(x)
	const spoke, tolerance = 0.56 + 0.2*0.02, 0.015 // s; a period of the wave is 11.5 ms
	if len(got) != 1 || math.Abs(got[0].Start-spoke) > tolerance {
		t.Errorf("%+v, want one sound from %.3f s", got, spoke)
	}
}

// reverberant adds a room: an exponentially fading tail of noise, 60 dB down
// after so many seconds, so many dB below the direct sound in all.
func reverberant(x []float64, seconds, levelDB float64) []float64 {
	r := rand.New(rand.NewPCG(9, 9))
	n := int(seconds * pitch.Rate)
	tail, power := make([]float64, n), 0.0
	for i := range tail {
		tail[i] = r.NormFloat64() * math.Exp(-6.9*float64(i)/float64(n))
		power += tail[i] * tail[i]
	}
	// A sparse tail is a room too and a hundred times as quick to compute.
	const every = 40
	gain := math.Pow(10, levelDB/20) / math.Sqrt(power/every)
	out := slices.Clone(x)
	for d := every; d < n; d += every - 3 + r.IntN(7) {
		for i := d; i < len(out); i++ {
			out[i] += gain * tail[d] * x[i-d]
		}
	}
	return out
}

// A room's tail makes no onsets of its own and hides none.
func TestARoomMakesNoOnsets(t *testing.T) {
	pieces := []piece{{0.5, 0.9, 174.6, 0.1}, {1, 1.4, 174.6, 0.1}, {1.5, 1.7, 146.8, 0.1}, {1.75, 2.2, 196, 0.1}, {2.6, 3, 116.5, 0.1}}
	for _, seconds := range []float64{0.5, 1, 1.5} {
		got := detect(reverberant(signal(5, pieces), seconds, -6))
		plainly := slices.DeleteFunc(slices.Clone(got), func(s Sound) bool { return s.Rise < plainRise && math.Abs(s.Step) < leastStep })
		if len(plainly) != len(pieces) {
			t.Errorf("room of %g s: %d plain sounds, want %d: %+v", seconds, len(plainly), len(pieces), plainly)
			continue
		}
		for i, p := range pieces {
			if late := plainly[i].Start - p.from; math.Abs(late) > 0.025 {
				t.Errorf("room of %g s: note %d is %.0f ms late", seconds, i, 1000*late)
			}
		}
	}
}

// A glissando is told with its reach; a slurred chromatic run is none.
func TestGlidesAreToldFromRuns(t *testing.T) {
	for _, cents := range []float64{-600, -300, 200, 500} {
		x := sweep(2.8, func(s float64) float64 {
			return 174.6 * math.Exp2(cents*max(0, min(1, (s-0.8)/0.5))/1200)
		}, sounding)
		reach := 0.0
		for _, v := range detect(x) {
			reach += v.Reach
		}
		if math.Abs(reach-cents) > 0.15*math.Abs(cents) {
			t.Errorf("a glide of %g cents has a reach of %.0f", cents, reach)
		}
	}
	run := sweep(2.8, func(s float64) float64 {
		return 174.6 * math.Exp2(100*math.Floor(max(0, min(6, (s-0.8)/0.1)))/1200)
	}, sounding)
	for _, v := range detect(run) {
		if v.Glide || v.Reach != 0 {
			t.Errorf("a note of a chromatic run is called a glide: %+v", v)
		}
	}
}
