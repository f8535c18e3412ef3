package trial

import (
	"errors"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"waterkey/audio"
)

// tone is a sum of six partials whose frequency in Hz at second t is f(t).
func tone(seconds float64, f func(t float64) float64) []float64 {
	out := make([]float64, int(seconds*rate))
	phase := 0.0
	for i := range out {
		for k := 1.0; k <= 6; k++ {
			out[i] += 0.1 / k * math.Sin(k*phase)
		}
		phase += 2 * math.Pi * f(float64(i)/rate) / rate
	}
	return out
}

// Closed form: the course of a tone is what it was made with.
func TestCourseOfKnownTones(t *testing.T) {
	for _, c := range []struct {
		name    string
		hz      float64
		f       func(t float64) float64
		hop     float64
		periods float64
		within  float64 // cents
	}{
		{"steady 58 Hz", 58, func(float64) float64 { return 58.27 }, steadyHop, steadyPeriods, 0.05},
		{"steady 466 Hz", 466, func(float64) float64 { return 464.1 }, steadyHop, steadyPeriods, 0.05},
		{"steady, short window", 116, func(float64) float64 { return 117.3 }, attackHop, attackPeriods, 0.1},
		{"rises 100 cents in a second", 233, func(t float64) float64 { return 233 * ratio(100*t) }, steadyHop, steadyPeriods, 0.1},
	} {
		got := course(tone(1.5, c.f), rate, c.hz, 0.3, 1.2, c.hop, c.periods)
		for i := courseReach; i < len(got)-courseReach; i++ {
			at := 0.3 + float64(i)*c.hop
			if off := cents(got[i], c.f(at)); math.Abs(off) > c.within {
				t.Errorf("%s: %.3f cents off at %.2f s, at most %g", c.name, off, at, c.within)
				break
			}
		}
	}
}

// A note with a scoop and a slow waver becomes even, and starts where it
// started.
func TestVoiceIsMadeEven(t *testing.T) {
	const onset = 0.25
	x := tone(2.6, func(t float64) float64 {
		return 174.6 * ratio(-60*math.Exp(-(t-onset)/0.06)+8*math.Sin(2*math.Pi*0.8*t))
	})
	for i := range x {
		x[i] *= max(0, min((float64(i)/rate-onset)/0.02, 1)) // reaches a fifth of its peak 4 ms later, or with the next peak of the wave
	}
	v, err := newVoice(x, rate, 53)
	if err != nil {
		t.Fatal(err)
	}
	if v.waver > 0.3 || v.scoop > 3 {
		t.Errorf("wavers by %.2f cents, in the attack %.2f; want 0.3 and 3 at most", v.waver, v.scoop)
	}
	at := firstAbove(doubles(v.x), 0, loudEnough*peak(doubles(v.x[:int(attackLong*rate)])))
	if off := (float64(at) - v.onset) / rate; math.Abs(off) > 0.004 {
		t.Errorf("starts %.1f ms from where it says", 1000*off)
	}
	if long := float64(len(v.x)) / rate; long < voiceLong {
		t.Errorf("goes on for %.1f s, want %g", long, voiceLong)
	}
	late := course(doubles(v.x), rate, v.hz, 6, 8, steadyHop, steadyPeriods)
	if got := spread(late, v.hz); got > 0.5 {
		t.Errorf("wavers by %.2f cents in its loop, want 0.5 at most", got)
	}
}

func doubles(x []float32) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = float64(v)
	}
	return out
}

func TestVoiceRefusesWhatIsNoPlainNote(t *testing.T) {
	short := tone(0.3, func(float64) float64 { return 174.6 })
	grows := tone(2.5, func(float64) float64 { return 174.6 })
	for i := range grows {
		grows[i] *= math.Pow(10, -1.5+1.5*min(float64(i)/rate, 1))
	}
	wild := tone(2.5, func(t float64) float64 { return 174.6 * ratio(150*math.Sin(40*t)) })
	for name, x := range map[string][]float64{"short": short, "growing": grows, "wild": wild} {
		if _, err := newVoice(x, rate, 53); err == nil {
			t.Errorf("a %s note was taken", name)
		} else {
			t.Log(err)
		}
	}
}

func TestConvolutionIsTheSumItStandsFor(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	x, h := make([]float64, 300), make([]float64, 77)
	for i := range x {
		x[i] = r.NormFloat64()
	}
	for i := range h {
		h[i] = r.NormFloat64()
	}
	got := convolve(x, h)
	for n := range x {
		want := 0.0
		for k := range h {
			if n >= k {
				want += h[k] * x[n-k]
			}
		}
		if math.Abs(got[n]-want) > 1e-9 {
			t.Fatalf("sample %d: %g, want %g", n, got[n], want)
		}
	}
}

// By definition of the reverberation time (ISO 3382-1): the energy that is
// still to come falls by 60 dB in it; read from -5 to -35 dB and doubled.
func TestRoomDiesAwayInItsTime(t *testing.T) {
	for _, seconds := range []float64{0.5, 1, 1.5} {
		h := roomResponse(seconds, rand.New(rand.NewPCG(5, 6)))
		left := make([]float64, len(h)+1)
		for i := len(h) - 1; i > 0; i-- { // the direct sound left out
			left[i] = left[i+1] + h[i]*h[i]
		}
		when := func(db float64) float64 {
			for i := 1; i < len(left); i++ {
				if 10*math.Log10(left[i]/left[1]) < db {
					return float64(i) / rate
				}
			}
			return math.NaN()
		}
		if got := 2 * (when(-35) - when(-5)); math.Abs(got/seconds-1) > 0.1 {
			t.Errorf("room of %g s takes %.2f s", seconds, got)
		}
		if under := -10 * math.Log10(left[1]); math.Abs(under-3) > 0.01 {
			t.Errorf("the tail lies %.2f dB under the sound itself, want 3", under)
		}
	}
}

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

// sharedBank is every other of the shared notes.
func sharedBank(t testing.TB) *Bank {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(sharedSamples, "*.flac"))
	if len(files) == 0 {
		t.Skip("shared data not here: ", sharedSamples)
	}
	var half []string
	for i := 4; i < len(files); i += 3 {
		half = append(half, files[i])
	}
	b, err := newBank(nil, half)
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
	var events []event
	for k, hz := range []float64{110, 123.47, 146.83, 176, 207.65, 235, 277.18, 330, 392, 440} {
		start := 0.5 + 1.5*float64(k)
		events = append(events, event{note: -1, start: start, end: start + 1.2, hz: hz, hzEnd: hz})
	}
	x := b.sing(events, 0, 16)
	if err := writeWAV(path, &audio.Clip{Rate: rate, Channels: [][]float64{x}}); err != nil {
		t.Fatal(err)
	}
	rows, _, err := columns("aubiopitch", "-p", "yinfast", "-i", path)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range events {
		var v []float64
		for _, r := range rows {
			if len(r) > 1 && r[0] > e.start+0.2 && r[0] < e.end-0.1 && r[1] > 0 {
				v = append(v, cents(r[1], e.hz))
			}
		}
		if off := median(v); !(math.Abs(off) < 1) {
			t.Errorf("%.2f Hz: aubiopitch reads %+.2f cents off, at most 1", e.hz, off)
		}
	}
}

// A slur steps half way at its moment, and its pitch is that of its notes
// before and after; a glissando arrives.
func TestSlursAndGlissandiMoveWhenTheySay(t *testing.T) {
	slur := []event{{start: 0.5, end: 1, hz: 200, hzEnd: 200}, {start: 1, end: 1.5, hz: 250, hzEnd: 250, joined: true}}
	if got, want := slur[1].frequency(1, &slur[0], nil), math.Sqrt(200*250); math.Abs(got-want) > 1e-9 {
		t.Errorf("at the slur %.2f Hz, half way is %.2f", got, want)
	}
	if a, b := slur[0].frequency(0.98, nil, &slur[1]), slur[1].frequency(1.02, &slur[0], nil); a != 200 || b != 250 {
		t.Errorf("around the slur %.2f and %.2f Hz, want 200 and 250", a, b)
	}
	gliss := event{start: 0, end: 2, hz: 130.81, hzEnd: 174.61}
	if got, want := gliss.own(1), 2/(1/130.81+1/174.61); math.Abs(got-want) > 1e-9 {
		t.Errorf("half way through a glissando %.2f Hz, an even slide gives %.2f", got, want)
	}
}
