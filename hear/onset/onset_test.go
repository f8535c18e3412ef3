package onset

import (
	"math"
	"testing"

	"waterkey/hear/pitch"
)

// piece is one stretch of a test signal.
type piece struct {
	from, to float64 // s
	hz, amp  float64
}

// signal sums pieces of ten harmonics of amplitude 1/k, with 10 ms attack and
// release where the next piece does not follow at once.
func signal(seconds float64, pieces []piece) []float64 {
	x := make([]float64, int(seconds*pitch.Rate))
	phase := 0.0
	for k, p := range pieces {
		begins := k == 0 || pieces[k-1].to < p.from
		ends := k+1 == len(pieces) || pieces[k+1].from > p.to
		for i := int(p.from * pitch.Rate); i < min(int((p.to+0.01)*pitch.Rate), len(x)); i++ {
			s := float64(i) / pitch.Rate
			if s >= p.to && !ends {
				break
			}
			gain := p.amp
			if begins {
				gain *= min(1, (s-p.from)/0.01)
			}
			gain *= max(0, min(1, 1-(s-p.to)/0.01))
			phase += 2 * math.Pi * p.hz / pitch.Rate
			for n := 1.0; n <= 10 && n*p.hz < 7000; n++ {
				x[i] += gain / n * math.Sin(n*phase)
			}
		}
	}
	return x
}

func detect(x []float64) []Sound { return Detect(x, pitch.Track(x, nil)) }

func TestNotesAreCutWhereTheyBegin(t *testing.T) {
	cases := []struct {
		name   string
		pieces []piece
	}{
		{"tongued with silence", []piece{{0.5, 0.8, 116.5, 0.1}, {1, 1.3, 116.5, 0.1}, {1.5, 1.9, 174.6, 0.1}}},
		{"staccato 78 ms", []piece{{0.3, 0.378, 233, 0.1}, {0.456, 0.534, 233, 0.1}, {0.612, 0.69, 233, 0.1}, {0.768, 0.846, 220, 0.1}}},
		{"repeated with 25 ms of silence", []piece{{0.3, 0.475, 146.8, 0.1}, {0.5, 0.675, 146.8, 0.1}, {0.7, 0.9, 146.8, 0.1}}},
		{"slurred", []piece{{0.3, 0.6, 233.1, 0.1}, {0.6, 0.9, 261.6, 0.1}, {0.9, 1.2, 246.9, 0.1}}},
		{"slurred low", []piece{{0.3, 0.7, 58.27, 0.1}, {0.7, 1.1, 65.4, 0.1}, {1.1, 1.5, 87.3, 0.1}}},
		{"slurred leap of an octave", []piece{{0.3, 0.7, 116.5, 0.1}, {0.7, 1.1, 233.1, 0.1}, {1.1, 1.5, 116.5, 0.1}}},
		{"soft after loud", []piece{{0.3, 0.6, 196, 0.3}, {0.8, 1.1, 196, 0.01}, {1.3, 1.6, 196, 0.3}}},
	}
	const tolerance = 0.012 // s
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			last := c.pieces[len(c.pieces)-1].to
			got := detect(signal(last+0.4, c.pieces))
			if len(got) != len(c.pieces) {
				t.Fatalf("%d sounds, want %d: %+v", len(got), len(c.pieces), got)
			}
			for i, p := range c.pieces {
				s := got[i]
				if math.Abs(s.Start-p.from) > tolerance || math.Abs(s.End-p.to) > tolerance+0.005 {
					t.Errorf("sound %d from %.3f to %.3f s, truth %.3f to %.3f", i, s.Start, s.End, p.from, p.to)
				}
				if math.Abs(s.Cents-pitch.Cents(p.hz)) > 3 {
					t.Errorf("sound %d at %.1f cents, truth %.1f", i, s.Cents, pitch.Cents(p.hz))
				}
			}
		})
	}
}

// sweep is a tone whose frequency and amplitude are given over time.
func sweep(seconds float64, hz, amp func(s float64) float64) []float64 {
	x, phase := make([]float64, int(seconds*pitch.Rate)), 0.0
	for i := range x {
		s := float64(i) / pitch.Rate
		phase += 2 * math.Pi * hz(s) / pitch.Rate
		for n := 1.0; n <= 10; n++ {
			x[i] += amp(s) / n * math.Sin(n*phase)
		}
	}
	return x
}

// sounding is 0.1 from 0.3 s to 2.3 s, with 10 ms edges.
func sounding(s float64) float64 { return 0.1 * max(0, min(1, (s-0.3)/0.01, (2.3-s)/0.01)) }

func TestVibratoIsOneNote(t *testing.T) {
	for _, rate := range []float64{4, 5.5, 7} {
		wave := func(s float64) float64 { return math.Sin(2 * math.Pi * rate * s) }
		x := sweep(2.8,
			func(s float64) float64 { return 220 * math.Exp2(30*wave(s)/1200) },
			func(s float64) float64 { return sounding(s) * math.Pow(10, 1.5*wave(s)/20) })
		for i, v := range detect(x) {
			if i > 0 && (min(v.Rise, v.Dip) > 5 || math.Abs(v.Step) > leastStep) {
				t.Errorf("%.1f Hz: a plain cut inside the note: %+v", rate, v)
			}
		}
	}
}

func TestGlideIsCutWhereItArrives(t *testing.T) {
	for _, c := range []struct{ from, to, cents float64 }{{0.8, 1.3, -500}, {0.8, 1.0, 400}, {0.6, 1.8, 600}} {
		x := sweep(2.8, func(s float64) float64 {
			share := max(0, min(1, (s-c.from)/(c.to-c.from)))
			return 174.6 * math.Exp2(c.cents*share/1200)
		}, sounding)
		got := detect(x)
		near := func(at float64) bool {
			for _, v := range got {
				if math.Abs(v.Start-at) < 0.02 {
					return true
				}
			}
			return false
		}
		if !near(c.from) || !near(c.to) || len(got) != 3 {
			t.Errorf("glide of %g cents from %g to %g s: %+v", c.cents, c.from, c.to, got)
		}
	}
}

func TestSilenceNoiseAndClicksAreNoSounds(t *testing.T) {
	seed, noise := uint32(1), make([]float64, 3*pitch.Rate)
	for i := range noise {
		seed = seed*1664525 + 1013904223
		noise[i] = 0.01 * (float64(seed)/(1<<31) - 1)
	}
	clicks := make([]float64, 3*pitch.Rate)
	for k := range 4 {
		for i := range 200 {
			s := float64(i) / pitch.Rate
			clicks[8000+k*8000+i] = 0.3 * math.Exp(-s/0.003) * math.Sin(2*math.Pi*2000*s)
		}
	}
	for name, x := range map[string][]float64{"silence": make([]float64, pitch.Rate), "noise": noise, "clicks": clicks, "nothing": nil} {
		if got := detect(x); len(got) != 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestEnvelopeOfALowToneHasNoRipple(t *testing.T) {
	x := sweep(2.8, func(float64) float64 { return 58.27 }, sounding)
	env := Envelope(x)
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range env[100:440] {
		low, high = min(low, v), max(high, v)
	}
	if high-low > 0.5 {
		t.Errorf("ripple of %.2f dB on B flat 1, want below 0.5", high-low)
	}
}
