package trombone

import (
	"math"
	"testing"
)

// tone is a sum of six partials whose frequency in Hz at second t is f(t).
func tone(seconds float64, f func(t float64) float64) []float64 {
	out := make([]float64, int(seconds*Rate))
	phase := 0.0
	for i := range out {
		for k := 1.0; k <= 6; k++ {
			out[i] += 0.1 / k * math.Sin(k*phase)
		}
		phase += 2 * math.Pi * f(float64(i)/Rate) / Rate
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
		got := course(tone(1.5, c.f), Rate, c.hz, 0.3, 1.2, c.hop, c.periods)
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
		x[i] *= max(0, min((float64(i)/Rate-onset)/0.02, 1)) // reaches a fifth of its peak 4 ms later, or with the next peak of the wave
	}
	v, err := newVoice(x, Rate, 53, false)
	if err != nil {
		t.Fatal(err)
	}
	if v.waver > 0.3 || v.scoop > 3 {
		t.Errorf("wavers by %.2f cents, in the attack %.2f; want 0.3 and 3 at most", v.waver, v.scoop)
	}
	at := firstAbove(doubles(v.x), 0, loudEnough*peak(doubles(v.x[:int(attackLong*Rate)])))
	if off := (float64(at) - v.onset) / Rate; math.Abs(off) > 0.004 {
		t.Errorf("starts %.1f ms from where it says", 1000*off)
	}
	if long := float64(len(v.x)) / Rate; long < voiceLong {
		t.Errorf("goes on for %.1f s, want %g", long, voiceLong)
	}
	late := course(doubles(v.x), Rate, v.hz, 6, 8, steadyHop, steadyPeriods)
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
		grows[i] *= math.Pow(10, -1.5+1.5*min(float64(i)/Rate, 1))
	}
	wild := tone(2.5, func(t float64) float64 { return 174.6 * ratio(150*math.Sin(40*t)) })
	for name, x := range map[string][]float64{"short": short, "growing": grows, "wild": wild} {
		if _, err := newVoice(x, Rate, 53, false); err == nil {
			t.Errorf("a %s note was taken", name)
		} else {
			t.Log(err)
		}
	}
}

// A slur steps half way at its moment, and its pitch is that of its notes
// before and after; a glissando arrives.
func TestSlursAndGlissandiMoveWhenTheySay(t *testing.T) {
	slur := []Tone{{Start: 0.5, End: 1, Hz: 200, HzEnd: 200}, {Start: 1, End: 1.5, Hz: 250, HzEnd: 250, Joined: true}}
	if got, want := slur[1].frequency(1, &slur[0], nil), math.Sqrt(200*250); math.Abs(got-want) > 1e-9 {
		t.Errorf("at the slur %.2f Hz, half way is %.2f", got, want)
	}
	if a, b := slur[0].frequency(0.98, nil, &slur[1]), slur[1].frequency(1.02, &slur[0], nil); a != 200 || b != 250 {
		t.Errorf("around the slur %.2f and %.2f Hz, want 200 and 250", a, b)
	}
	gliss := Tone{Start: 0, End: 2, Hz: 130.81, HzEnd: 174.61}
	if got, want := gliss.own(1), 2/(1/130.81+1/174.61); math.Abs(got-want) > 1e-9 {
		t.Errorf("half way through a glissando %.2f Hz, an even slide gives %.2f", got, want)
	}
}
