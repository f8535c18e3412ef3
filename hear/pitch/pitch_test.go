package pitch

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// offs are the errors in cents of the frames against a pitch known in closed
// form, without 0.1 s at either end, and how many had no pitch.
func offs(frames []Frame, hz func(s float64) float64) (cents []float64, unvoiced int) {
	const edge = 20 // frames
	for _, f := range frames[edge : len(frames)-edge] {
		if f.Hz == 0 {
			unvoiced++
			continue
		}
		cents = append(cents, f.Cents()-Cents(hz(f.At)))
	}
	return cents, unvoiced
}

// meanAndWorst are the mean of v and the largest magnitude.
func meanAndWorst(v []float64) (mean, worst float64) {
	for _, x := range v {
		mean += x / float64(len(v))
		worst = max(worst, math.Abs(x))
	}
	return mean, worst
}

func TestTonesOfEverySemitoneReadWithinHalfACent(t *testing.T) {
	const tolerance = 0.5            // cents: well below what a listener hears
	const lowest, highest = 22., 89. // B flat 0 (29 Hz) to F6 (1397 Hz)
	for name, amp := range timbres {
		worst, where := 0.0, 0.0
		for midi := lowest; midi <= highest; midi++ {
			hz := midiHz(midi)
			if name == "fundamental missing" && 3*hz > 2400 {
				break // only one harmonic is left in the band that is read
			}
			errs, unvoiced := offs(Track(tone(0.4, constant(hz), amp), nil), constant(hz))
			_, w := meanAndWorst(errs)
			if !(w < tolerance) || unvoiced > 0 {
				t.Errorf("%s, %.2f Hz: %.2f cents off, %d frames without a pitch", name, hz, w, unvoiced)
			}
			if w > worst {
				worst, where = w, hz
			}
		}
		t.Logf("%s: %.3f cents at the most, at %.1f Hz", name, worst, where)
	}
}

func TestMovingTonesAreFollowed(t *testing.T) {
	vibrato := func(hz, extent float64) func(float64) float64 {
		return func(s float64) float64 { return hz * math.Exp2(extent*math.Sin(2*math.Pi*5.5*s)/1200) }
	}
	glide := func(hz, speed float64) func(float64) float64 {
		return func(s float64) float64 { return hz * math.Exp2(speed*s/1200) }
	}
	cases := []struct {
		name      string
		hz        func(s float64) float64
		tolerance float64 // cents; the windows take a share of a vibrato
	}{
		{"vibrato of 30 cents at B flat 3", vibrato(233.1, 30), 1.5},
		{"vibrato of 30 cents at B flat 4", vibrato(466.2, 30), 1.5},
		{"vibrato of 30 cents at F2", vibrato(87.3, 30), 4.5},
		{"fifth up in a second from D3", glide(147, 700), 2},
		{"fifth down in a second from B flat 4", glide(466, -700), 1},
		{"tritone up in a second from the pedal B flat 1", glide(58.3, 600), 3},
	}
	for _, c := range cases {
		for shape, x := range map[string][]float64{"spread": tone(1, c.hz, timbres["harmonics of 1/k"]), "pulses": pulses(1, c.hz)} {
			errs, unvoiced := offs(Track(x, nil), c.hz)
			mean, worst := meanAndWorst(errs)
			t.Logf("%s, %s: mean %+.2f, worst %.2f cents", c.name, shape, mean, worst)
			if !(worst < c.tolerance && math.Abs(mean) < 0.3) || unvoiced > 0 {
				t.Errorf("%s, %s: %.2f cents off, mean %+.2f, %d frames without a pitch", c.name, shape, worst, mean, unvoiced)
			}
		}
	}
}

// Even harmonics alone are a tone an octave higher.
func TestWeakOddHarmonicsMakeNoOctaveJumps(t *testing.T) {
	weak := func(k, _ float64) float64 {
		a := 0.2 / k
		if int(k)%2 == 1 {
			a *= 0.14 // -17 dB
		}
		return a
	}
	for midi := 34.0; midi <= 72; midi++ {
		hz := midiHz(midi)
		errs, unvoiced := offs(Track(noisy(tone(0.4, constant(hz), weak), 40), nil), constant(hz))
		if _, worst := meanAndWorst(errs); !(worst < 50) || unvoiced > 0 {
			t.Errorf("%.1f Hz: %.0f cents off, %d frames without a pitch", hz, worst, unvoiced)
		}
	}
}

// The uncertainty stands against the scatter of frames of a tone in noise.
func TestUncertaintyIsHonest(t *testing.T) {
	for _, hz := range []float64{41.2, 58.3, 116.5, 233.1, 466.2, 932.3} {
		x := noisy(tone(1.5, constant(hz), timbres["harmonics of 1/k"]), 30)
		frames := Track(x, nil)
		errs, unvoiced := offs(frames, constant(hz))
		seen, told := 0.0, 0.0
		for i, e := range errs {
			seen += e * e / float64(len(errs))
			told += math.Pow(frames[20+i].Uncertainty, 2) / float64(len(errs))
		}
		seen, told = math.Sqrt(seen), math.Sqrt(told)
		t.Logf("%.1f Hz, noise at -30 dB: scatter %.3f cents, told %.3f", hz, seen, told)
		if !(seen < 1.2*told && seen > told/3) || unvoiced > 0 {
			t.Errorf("%.1f Hz: frames scatter by %.3f cents and tell %.3f; %d have no pitch", hz, seen, told, unvoiced)
		}
	}
}

func TestSilenceAndNoiseHaveNoPitch(t *testing.T) {
	const seconds = 5
	r := rand.New(rand.NewPCG(1, 2))
	white, soft, low := make([]float64, seconds*Rate), make([]float64, seconds*Rate), make([]float64, seconds*Rate)
	a, b := 0.0, 0.0
	for i := range white {
		white[i] = 0.1 * r.NormFloat64()
		a += 0.3 * (white[i] - a) // -3 dB at about 900 Hz
		b += 0.05 * (white[i] - b)
		soft[i], low[i] = a, b
	}
	for name, x := range map[string][]float64{"silence": make([]float64, Rate), "white": white, "soft": soft, "rumble": low} {
		voiced := 0
		frames := Track(x, nil)
		for _, f := range frames {
			if f.Hz > 0 {
				voiced++
			}
			if math.IsInf(f.LevelDB, 0) || math.IsNaN(f.LevelDB) {
				t.Fatalf("%s: level %g is no finite number", name, f.LevelDB)
			}
		}
		if voiced > len(frames)/200 {
			t.Errorf("%s: %d of %d frames have a pitch", name, voiced, len(frames))
		}
	}
}

// The frames of a tone below the noise of any microphone are silence.
func TestFaintTonesAreSilence(t *testing.T) {
	x := tone(0.3, constant(233.1), timbres["sine"])
	for i := range x {
		x[i] *= 3e-5 // to -107 dBFS
	}
	for _, f := range Track(x, nil) {
		if f.Hz > 0 {
			t.Fatalf("%.3f s: %.1f Hz at %.0f dBFS", f.At, f.Hz, f.LevelDB)
		}
	}
}

// Between the two windows, in noise, a period lies now in one, now in the other.
func TestPeriodsBetweenTheWindowsAreNotMissed(t *testing.T) {
	for hz := 91.6; hz < 94; hz += 0.2 {
		errs, unvoiced := offs(Track(noisy(tone(0.5, constant(hz), timbres["harmonics of 1/k"]), 20), nil), constant(hz))
		if _, worst := meanAndWorst(errs); worst > 10 || unvoiced > 0 {
			t.Errorf("%.1f Hz: %.1f cents off, %d frames without a pitch", hz, worst, unvoiced)
		}
	}
}

func TestToneEndsWhereItEnds(t *testing.T) {
	const from, to = 0.3, 0.7 // s
	x := tone(1, constant(233.1), timbres["harmonics of 1/k"])
	clear(x[:int(from*Rate)])
	clear(x[int(to*Rate):])
	for _, f := range Track(x, nil) {
		inside := f.At > from+0.012 && f.At < to-0.012
		outside := f.At < from-0.012 || f.At > to+0.012
		if inside && f.Hz == 0 || outside && f.Hz > 0 {
			t.Errorf("%.3f s: %.1f Hz for a tone from %g to %g s", f.At, f.Hz, from, to)
		}
	}
}

func TestTonesAboveTheRangeHaveNoPitch(t *testing.T) {
	for _, hz := range []float64{1700, 2100} {
		for _, f := range Track(tone(0.3, constant(hz), timbres["sine"]), nil) {
			if f.Hz > 0 && f.At > 0.05 && f.At < 0.25 {
				t.Fatalf("%g Hz reads %.1f Hz", hz, f.Hz)
			}
		}
	}
}

func TestAStreamReadsLikeTheWhole(t *testing.T) {
	x := noisy(tone(3, func(s float64) float64 { return 60 + 100*s }, timbres["harmonics of 1/k"]), 30)
	r, tracker := rand.New(rand.NewPCG(1, 2)), NewTracker()
	for at := 0; at < len(x); {
		n := min(1+r.IntN(5000), len(x)-at)
		tracker.Add(x[at : at+n])
		at += n
	}
	if diff := cmp.Diff(Track(x, nil), tracker.Frames()); diff != "" {
		t.Errorf("pieces of any length give other frames: %s", diff)
	}
}

func TestBrokenSamplesSpoilOnlyTheirSurroundings(t *testing.T) {
	x := tone(1, constant(233.1), timbres["harmonics of 1/k"])
	x[8000], x[8001], x[8002], x[8003] = math.NaN(), math.Inf(1), math.Inf(-1), 1e300
	for _, f := range Track(x, nil) {
		if far := math.Abs(f.At-0.5) > 0.1 && f.At > 0.1 && f.At < 0.9; far && math.Abs(f.Cents()-Cents(233.1)) > 1 {
			t.Errorf("%.3f s: %g Hz", f.At, f.Hz)
		}
		if math.IsNaN(f.LevelDB) || math.IsInf(f.LevelDB, 0) || math.IsNaN(f.Hz) || math.IsNaN(f.Voiced) {
			t.Errorf("%.3f s: %+v", f.At, f)
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

// A sine of amplitude 0.2 has 0.2²/2 of power: -16.99 dBFS.
func TestLevelIsRMS(t *testing.T) {
	want := 10 * math.Log10(0.2*0.2/2)
	for _, f := range Track(tone(0.5, constant(400), timbres["sine"]), nil)[10:90] {
		if math.Abs(f.LevelDB-want) > 0.05 {
			t.Errorf("%.3f s: %.2f dBFS, want %.2f", f.At, f.LevelDB, want)
		}
	}
}

// A slur steps from one pitch to another while the tone goes on.
func TestSlursAreCrossedInTime(t *testing.T) {
	const step = 0.5
	cases := []struct{ from, to, late float64 }{ // Hz, Hz, s
		{233.1, 261.6, 0.006}, {261.6, 233.1, 0.006}, {233.1, 349.2, 0.006}, {349.2, 233.1, 0.006},
		{466.2, 587.3, 0.006}, {116.5, 174.6, 0.010}, {174.6, 116.5, 0.010}, {58.3, 87.3, 0.020}, {87.3, 58.3, 0.020},
	}
	for _, c := range cases {
		hz := func(s float64) float64 {
			if s < step {
				return c.from
			}
			return c.to
		}
		last, first := 0.0, 1.0 // s: the last frame near the one pitch, the first near the other
		for _, f := range Track(tone(1, hz, timbres["harmonics of 1/k"]), nil) {
			if math.Abs(f.Cents()-Cents(c.from)) < 20 {
				last = max(last, f.At)
			}
			if math.Abs(f.Cents()-Cents(c.to)) < 20 {
				first = min(first, f.At)
			}
		}
		late := (last+first)/2 - step
		t.Logf("%.1f to %.1f Hz: crossed %+.1f ms late, %.0f ms between", c.from, c.to, 1000*late, 1000*(first-last))
		if math.Abs(late) > c.late || first-last > 5*c.late || first < last {
			t.Errorf("%.1f to %.1f Hz: crossed %+.1f ms late, %.0f ms between", c.from, c.to, 1000*late, 1000*(first-last))
		}
	}
}
