package breath

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near is how close the profiles must agree. The reference adds 1e-6 to the
// denominator of the degree of change.
const near = 1e-5

// TestProfileAgainstMIDIToolbox holds the profile to values of another
// program. Reference: boundary.m of the MIDI Toolbox (Eerola and Toiviainen, University
// of Jyväskylä, 2004) run in MATLAB on the first ten notes of J. S. Bach's Sarabande BWV
// 1013, as kept in tests/matlab_results_sarabande.json of music-computing/amads; its
// first value, 1 before the first note, is left out. That program gives nothing to the
// very first step; here it has the change on its other side.
func TestProfileAgainstMIDIToolbox(t *testing.T) {
	// A4 B4 C5 E5 G#4 A4 F4 E4 F#4 G#4, eighths but for the half note F4.
	s := Melody{
		Pitch: []float64{2, 1, 4, 8, 1, 4, 1, 2, 2},
		Onset: []float64{0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 2, 0.5, 0.5},
		Rest:  make([]float64, 9),
	}
	reference := []float64{math.NaN(), 0.02624999619791771, 0.10499999416666791, 0.25, 0.038749998177083675,
		0.19749998687500261, 0.5262499961979177, 0.08124999567708477, 0}
	got := s.Profile()
	for i, want := range reference {
		if i == 0 { // by hand: 2 * |2-1|/(2+1) over the largest, 8 * (4/12 + 7/9), at weight 0.25
			want = 0.25 * (2.0 / 3) / (80.0 / 9)
		}
		if math.Abs(got[i]-want) > near {
			t.Errorf("step %d: %.6f, want %.6f", i+1, got[i], want)
		}
	}
}

// TestProfileByHand works the formula of the paper out for four steps, with
// a rest: the values stand beside each.
func TestProfileByHand(t *testing.T) {
	s := Melody{
		Pitch: []float64{1, 3, 1, 1}, // r 1/2 1/2 0; s 1/2 3 1/2 0
		Onset: []float64{1, 1, 3, 1}, // r 0 1/2 1/2; s 0 1/2 3 1/2
		Rest:  []float64{0, 0, 2, 0}, // r 0 1 1; s 0 0 4 0
	}
	want := []float64{0.25 / 6, 0.25 + 0.5/6, 0.25/6 + 0.5 + 0.25, 0.5 / 6}
	for i, got := range s.Profile() {
		if math.Abs(got-want[i]) > 1e-12 {
			t.Errorf("step %d: %g, want %g", i+1, got, want[i])
		}
	}
}

// TestProfileProperties: values from 0 to 1, nothing where nothing changes,
// and the unit of time makes no difference.
func TestProfileProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "steps")
		draw := func(name string) []float64 {
			return rapid.SliceOfN(rapid.Float64Range(0, 16), n, n).Draw(t, name)
		}
		s := Melody{draw("pitch"), draw("onset"), draw("rest")}
		got := s.Profile()
		scaled := Melody{s.Pitch, times(s.Onset, 8), times(s.Rest, 8)}
		for i, v := range scaled.Profile() {
			if got[i] < 0 || got[i] > 1+1e-12 || math.Abs(v-got[i]) > 1e-9 {
				t.Fatalf("step %d: %g, with times eightfold %g", i, got[i], v)
			}
		}
		flat := rapid.Float64Range(0, 16).Draw(t, "flat")
		for i := range n {
			s.Pitch[i], s.Onset[i], s.Rest[i] = flat, flat, flat
		}
		for _, v := range s.Profile() {
			if v != 0 {
				t.Fatalf("equal steps give %g", v)
			}
		}
	})
}

func times(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = by * x[i]
	}
	return out
}

// TestBoundariesArePeaks: steps 2, 2, 4 in pitch, even onsets, no rests. By the paper's
// formulas the degrees of change are 0 and 1/3, so the strengths are 0, 2/3 and 4/3,
// scaled to 0, 1/2, 1, a quarter of which counts; the middle one is no peak.
func TestBoundariesArePeaks(t *testing.T) {
	var m Melody
	for _, pitch := range []float64{2, -2, 4} {
		m.Add(pitch, 0.25, 0)
	}
	want := []float64{0, 0, 0.25}
	for i, v := range m.Boundaries() {
		if math.Abs(v-want[i]) > 1e-12 {
			t.Errorf("step %d: %g, want %g", i, v, want[i])
		}
	}
}
