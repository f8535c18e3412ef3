package pitch

import (
	"math"
	"math/rand/v2"
	"testing"
)

// bend is a note of so many seconds whose pitch is known in closed form:
// cents from 233.08 Hz at each moment. It fades in over 20 ms and out over 40.
func bend(long float64, cents func(s float64) float64) []Frame {
	const silence = 0.2 // s before and after
	r := rand.New(rand.NewPCG(3, 4))
	x, phase := make([]float64, int((long+2*silence)*Rate)), 0.0
	for i := range x {
		x[i] = 1e-4 * r.NormFloat64()
		s := float64(i)/Rate - silence
		if s < 0 || s > long {
			continue
		}
		phase += 2 * math.Pi * 233.08 * math.Exp2(cents(s)/1200) / Rate
		gain := min(1, s/0.02, (long-s)/0.04)
		for k := 1.0; k <= 10; k++ {
			x[i] += 0.2 / k * gain * math.Sin(k*phase)
		}
	}
	return Track(x, nil)
}

func TestMovesOfANoteAreToldApart(t *testing.T) {
	const long = 1.6
	scoop := func(s float64) float64 { return -60 * math.Max(0, 1-s/0.15) }
	fall := func(s float64) float64 { return -50 * math.Max(0, 1-(long-s)/0.2) }
	vibrato := func(s float64) float64 { return 25 * math.Sin(2*math.Pi*5.5*s) }
	later := func(s float64) float64 { return min(1, math.Max(0, s-0.2)/0.1) * vibrato(s) }
	waver := func(s float64) float64 { // standard deviation about 7 cents
		return 8*math.Sin(2*math.Pi*0.9*s) + 5*math.Sin(2*math.Pi*1.7*s+1)
	}
	drift := func(s float64) float64 { return 20 * (s - long/2) }
	flat := func(float64) float64 { return 0 }
	sum := func(f ...func(float64) float64) func(float64) float64 {
		return func(s float64) float64 {
			v := 0.0
			for _, g := range f {
				v += g(s)
			}
			return v
		}
	}
	// Truth in cents, seconds and Hz.
	cases := []struct {
		name                string
		cents               func(float64) float64
		scoop, fall         float64
		rate, extent, waver float64
		drift               float64
		centsTolerance      float64
	}{
		{name: "steady", cents: flat, centsTolerance: 0.3},
		{name: "scoop", cents: scoop, scoop: -60, centsTolerance: 0.5},
		{name: "fall", cents: fall, fall: -50, centsTolerance: 0.5},
		{name: "from above, up at the end", cents: func(s float64) float64 { return -scoop(s) - fall(s) }, scoop: 60, fall: 50, centsTolerance: 0.5},
		{name: "vibrato", cents: vibrato, rate: 5.5, extent: 25, centsTolerance: 1},
		{name: "waver", cents: waver, waver: 6.7, centsTolerance: 5},
		{name: "drift", cents: drift, drift: 20, centsTolerance: 1},
		{name: "scoop, then vibrato", cents: sum(scoop, later), scoop: -60, rate: 5.5, extent: 25, centsTolerance: 1.5},
		{name: "vibrato on a waver", cents: sum(vibrato, waver), rate: 5.5, extent: 25, waver: 6.7, centsTolerance: 5},
		{name: "scoop, drift and fall", cents: sum(scoop, drift, fall), scoop: -60, fall: -50, drift: 20, centsTolerance: 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			n := Describe(bend(long, c.cents))
			t.Logf("%+.2f ± %.2f, scoop %.0f in %.3f s, fall %.0f in %.3f s, drift %.1f, waver %.1f, vibrato %.2f Hz %.1f cents",
				n.Cents-Cents(233.08), n.Uncertainty, n.Scoop, n.ScoopTime, n.Fall, n.FallTime, n.Drift, n.Waver, n.Vibrato.Rate, n.Vibrato.Extent)
			within := func(what string, got, want, tolerance float64) {
				t.Helper()
				if !(math.Abs(got-want) <= tolerance) {
					t.Errorf("%s is %.2f, truth %.2f", what, got, want)
				}
			}
			within("center", n.Cents-Cents(233.08), 0, c.centsTolerance)
			// The sound fades in and out over 20 and 40 ms, and the clear part's
			// first and last 15 ms count.
			within("scoop", n.Scoop, c.scoop, 12)
			within("fall", n.Fall, c.fall, 12)
			if c.scoop != 0 {
				within("scoop's time", n.ScoopTime, 0.15, 0.07)
			}
			if c.fall != 0 {
				within("fall's time", n.FallTime, 0.2, 0.04)
			}
			within("vibrato's rate", n.Vibrato.Rate, c.rate, 0.15)
			within("vibrato's extent", n.Vibrato.Extent, c.extent, 3)
			within("waver", n.Waver, c.waver, 2.5)
			if c.waver == 0 {
				within("drift", n.Drift, c.drift, 4)
			}
		})
	}
}

// A slow movement of any shape is no vibrato, whatever its chance cycles.
func TestWaverIsNoVibrato(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for k := range 20 {
		var amp, rate, phase [5]float64
		for i := range amp {
			amp[i], rate[i], phase[i] = 8*r.Float64(), 0.2+2.3*r.Float64(), 2*math.Pi*r.Float64()
		}
		n := Describe(bend(1+2*r.Float64(), func(s float64) float64 {
			v := 0.0
			for i := range amp {
				v += amp[i] * math.Sin(2*math.Pi*rate[i]*s+phase[i])
			}
			return v
		}))
		if n.Vibrato.Extent != 0 {
			t.Errorf("waver %d below 2.5 Hz: %+v", k, n.Vibrato)
		}
	}
}

// Movement at the rates of vibrato, but of many rates at once, is none.
func TestUnrestIsNoVibrato(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 20 {
		frames := make([]Frame, 300)
		for _, rate := range []float64{3.1, 4.2, 5.3, 6.4, 7.5} {
			phase := 2 * math.Pi * r.Float64()
			for i := range frames {
				s := float64(i) * Hop
				frames[i].Hz += 8 * math.Sin(2*math.Pi*rate*s+phase) // cents for now
			}
		}
		for i := range frames {
			frames[i] = Frame{At: float64(i) * Hop, Hz: 220 * math.Exp2(frames[i].Hz/1200), Voiced: 1, LevelDB: -20}
		}
		if n := Describe(frames); n.Vibrato.Extent != 0 {
			t.Errorf("%+v", n.Vibrato)
		}
	}
}

// A swing a little slower than any vibrato is a waver, however regular.
func TestASlowSwingIsNoVibrato(t *testing.T) {
	frames := make([]Frame, 300)
	for i := range frames {
		s := float64(i) * Hop
		frames[i] = Frame{At: s, Hz: 220 * math.Exp2(15*math.Sin(2*math.Pi*3.3*s)/1200), Voiced: 1, LevelDB: -20}
	}
	if n := Describe(frames); n.Vibrato.Extent != 0 || n.Waver < 5 {
		t.Errorf("%+v", n)
	}
}

// A note that breaks to another partial for a while is told from the rest.
func TestSlipsToAnotherPartialAreLeftOut(t *testing.T) {
	frames := make([]Frame, 100)
	for i := range frames {
		frames[i] = Frame{At: float64(i) * Hop, Hz: 220, Voiced: 1, LevelDB: -20}
		if i < 8 || i > 95 {
			frames[i].Hz = 330
		}
	}
	if n := Describe(frames); n.Cents != Cents(220) || n.Scoop != 0 || n.Fall != 0 {
		t.Errorf("%+v", n)
	}
}

// Vibratos of many rates, widths and pitches, on notes of many lengths.
func TestVibratoIsMeasured(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	worstRate, worstExtent := 0.0, 0.0
	for range 16 {
		rate, extent, base := 4+3.5*r.Float64(), 8+40*r.Float64(), -1500+3000*r.Float64()
		long, phase := 0.7+2*r.Float64(), 2*math.Pi*r.Float64()
		n := Describe(bend(long, func(s float64) float64 { return base + extent*math.Sin(2*math.Pi*rate*s+phase) }))
		offRate, offExtent := math.Abs(n.Vibrato.Rate-rate), math.Abs(n.Vibrato.Extent-extent)/extent
		if !(offRate < 0.25 && offExtent < 0.08) || math.Abs(n.Cents-Cents(233.08)-base) > max(1, extent/10) {
			t.Errorf("%.2f Hz of %.1f cents around %+.0f for %.2f s: %+v", rate, extent, base, long, n)
		}
		worstRate, worstExtent = max(worstRate, offRate), max(worstExtent, offExtent)
	}
	t.Logf("worst rate %.2f Hz off, worst extent %.1f %% off", worstRate, 100*worstExtent)
}

func TestNothingIsDescribedAsNothing(t *testing.T) {
	for name, frames := range map[string][]Frame{"no frame": nil, "no pitch": make([]Frame, 20)} {
		if n := Describe(frames); !math.IsNaN(n.Cents) || !math.IsInf(n.Uncertainty, 1) {
			t.Errorf("%s: %+v", name, n)
		}
	}
}

// Notes of any length, down to one frame, have a pitch and no invented moves.
func TestShortNotesAreDescribed(t *testing.T) {
	for n := 1; n < 60; n++ {
		frames := make([]Frame, n)
		for i := range frames {
			frames[i] = Frame{At: float64(i) * Hop, Hz: 220, Voiced: 1, LevelDB: -20, Uncertainty: 0.1}
		}
		got := Describe(frames)
		if got.Cents != Cents(220) || got.Scoop != 0 || got.Fall != 0 || got.Drift != 0 || got.Waver != 0 || got.Vibrato != (Vibrato{}) {
			t.Errorf("%d frames: %+v", n, got)
		}
	}
}
