package pitch

import (
	"math"
	"testing"
)

func at(hz, weight float64) candidate { return candidate{hz: hz, weight: weight} }

func TestPathPassesOverSlips(t *testing.T) {
	steady := []candidate{at(220, 0.9), at(110, 0.05)}
	cases := []struct {
		name string
		slip []candidate
		want float64 // Hz in the frame of the slip
	}{
		{"octave", []candidate{at(220, 0.3), at(110, 0.6)}, 220},
		{"weak frame", []candidate{at(220, 0.02)}, 220},
		{"no candidate", nil, 0},
	}
	for _, c := range cases {
		got := follow(21, func(i int) []candidate {
			if i == 10 {
				return c.slip
			}
			return steady
		})
		if got[10].Hz != c.want || got[9].Hz != 220 || got[11].Hz != 220 {
			t.Errorf("%s: %v, want %g in the middle of 220", c.name, got[9:12], c.want)
		}
	}
}

func TestPathStaysSilentThroughAChanceDip(t *testing.T) {
	// A frame of noise with a chance candidate of less weight than a change to
	// voiced and back costs.
	got := follow(21, func(i int) []candidate {
		if i == 10 {
			return []candidate{at(300, 0.05)}
		}
		return nil
	})
	for i, f := range got {
		if f.Hz != 0 {
			t.Errorf("frame %d has %g Hz", i, f.Hz)
		}
	}
}

// A slur leaps with no silence between, whatever the interval.
func TestPathLeapsWithoutSilence(t *testing.T) {
	for _, hz := range []float64{440, 261.6, 1000, 55} {
		got := follow(40, func(i int) []candidate {
			if i < 20 {
				return []candidate{at(233.1, 0.95)}
			}
			return []candidate{at(hz, 0.95)}
		})
		if got[19].Hz != 233.1 || got[20].Hz != hz {
			t.Errorf("233.1 to %g Hz: %g, then %g", hz, got[19].Hz, got[20].Hz)
		}
	}
}

// follow runs n frames of candidates through the path.
func follow(n int, cands func(i int) []candidate) []Frame {
	var p path
	for i := range n {
		p.add(cands(i))
	}
	frames := make([]Frame, n)
	p.write(frames)
	return frames
}

// Reference: the cumulative distribution of Beta(2, 18) by numerical
// integration of its density x(1-x)^17 · 342.
func TestThresholdsAreBetaDistributed(t *testing.T) {
	sum, factor := 0.0, 18.0*19
	const steps = 100_000
	for i := range steps {
		x := (float64(i) + 0.5) / steps
		sum += factor * x * math.Pow(1-x, 17) / steps
		if i%9973 == 0 {
			if got := thresholdBelow(float64(i+1) / steps); math.Abs(got-sum) > 1e-6 {
				t.Errorf("below %g: %.7f, integrated %.7f", x, got, sum)
			}
		}
	}
}
