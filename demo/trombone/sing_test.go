package trombone

import (
	"math"
	"testing"
)

// twoNotes is a bank of two notes that were made here: harmonic tones with many
// partials, at C3 and F3.
func twoNotes(t *testing.T) *Bank {
	t.Helper()
	s := set{name: "made here"}
	for _, midi := range []int{48, 53} {
		hz := 440 * math.Exp2(float64(midi-69)/12)
		x := make([]float64, 2.6*Rate)
		for i := range x {
			at := float64(i)/Rate - 0.25
			for k := 1.0; k <= 20 && at > 0; k++ {
				x[i] += 0.03 * k * math.Pow(0.8, k) * math.Sin(2*math.Pi*k*hz*at+k*k) * min(at/0.02, 1)
			}
		}
		v, err := newVoice(x, Rate, midi, true)
		if err != nil {
			t.Fatal(err)
		}
		s.voices = append(s.voices, v)
	}
	return &Bank{sets: []set{s}}
}

func powerDB(x []float64, from, to float64) float64 {
	sum := 0.0
	for _, v := range x[int(from*Rate):int(to*Rate)] {
		sum += v * v
	}
	return 10 * math.Log10(sum/((to-from)*Rate))
}

// A tone sounds at its level whatever its brightness and length: mezzo-forte is
// SteadyLevel by definition.
func TestTonesSoundAtTheirLevel(t *testing.T) {
	b := twoNotes(t)
	reference := 20 * math.Log10(SteadyLevel)
	for _, hz := range []float64{120, 140, 174.6, 190} {
		for _, level := range []float64{-12, -4, 0, 6} {
			for _, long := range []float64{0.15, 1} {
				x := b.Sing([]Tone{{Start: 0.5, End: 0.5 + long, Hz: hz, HzEnd: hz, Level: level, Bright: 0.5}}, 0, 2)
				const within = 1.5 // dB: a short tone is half attack
				if got := powerDB(x, 0.5, 0.5+long) - reference; math.Abs(got-level) > within {
					t.Errorf("%g Hz for %g s at %g dB sounds at %.1f", hz, long, level, got)
				}
			}
		}
	}
}

// Louder is brighter: the upper partials grow by more than the whole.
func TestLouderIsBrighter(t *testing.T) {
	b := twoNotes(t)
	over := func(level float64) float64 {
		x := b.Sing([]Tone{{Start: 0.2, End: 1.2, Hz: 174.6, HzEnd: 174.6, Level: level, Bright: 0.5}}, 0, 1.5)
		y := make([]float64, len(x)) // a difference lifts the upper partials by 6 dB an octave, twice 12
		for i := 2; i < len(x); i++ {
			y[i] = x[i] - 2*x[i-1] + x[i-2]
		}
		return powerDB(y, 0.4, 1.1) - powerDB(x, 0.4, 1.1)
	}
	if soft, loud := over(-8), over(4); loud < soft+1 {
		t.Errorf("the upper partials stand at %.1f dB soft and %.1f loud; want 1 dB more at least", soft, loud)
	}
}

// A matched join has neither a click nor a hole nor a bump: between the two notes the
// level stays between theirs, and no two samples lie further apart than they do in
// the notes.
func TestMatchedJoinsAreSmooth(t *testing.T) {
	b := twoNotes(t)
	for _, c := range []struct{ from, to float64 }{{130.8, 174.6}, {174.6, 130.8}, {146.8, 155.6}, {196, 123.5}} {
		x := b.Sing([]Tone{
			{Start: 0.3, End: 1, Hz: c.from, HzEnd: c.from, Bright: 0.5},
			{Start: 1, End: 1.7, Hz: c.to, HzEnd: c.to, Joined: true, Matched: true, Bright: 0.5},
		}, 0, 2)
		jump := func(from, to float64) float64 {
			most := 0.0
			for i := int(from * Rate); i < int(to*Rate); i++ {
				most = max(most, math.Abs(x[i]-x[i-1]))
			}
			return most
		}
		at, notes := jump(0.98, 1.02), max(jump(0.6, 0.95), jump(1.05, 1.4))
		if at > 1.1*notes {
			t.Errorf("%g to %g Hz: samples at the join lie up to %.4f apart, in the notes %.4f", c.from, c.to, at, notes)
		}
		const within = 1.5 // dB
		for s := 0.96; s < 1.04; s += 0.01 {
			if off := powerDB(x, s-0.01, s+0.01) - powerDB(x, 0.5, 0.9); math.Abs(off) > within {
				t.Errorf("%g to %g Hz: at %.2f s the level is %+.1f dB off", c.from, c.to, s, off)
			}
		}
	}
}

// A bend is followed: along reads between its points.
func TestBendsAndSwellsAreReadAlong(t *testing.T) {
	e := Tone{Start: 1, End: 3, Hz: 200, HzEnd: 200, Bend: []float64{0, 100, 0}}
	for _, c := range []struct{ at, want float64 }{{0, 0}, {1, 0}, {1.5, 50}, {2, 100}, {2.75, 25}, {4, 0}} {
		if got := cents(e.own(c.at), 200); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("at %g s bent by %.3f cents, want %g", c.at, got, c.want)
		}
	}
}
