package pitch

import (
	"math"
	"testing"
)

func TestPathPassesOverSlips(t *testing.T) {
	steady := []candidate{{220, 0.9}, {110, 0.05}}
	cases := []struct {
		name string
		slip []candidate
		want float64 // Hz in the frame of the slip
	}{
		{"octave", []candidate{{220, 0.3}, {110, 0.6}}, 220},
		{"weak frame", []candidate{{220, 0.02}}, 220},
		{"no candidate", nil, 0},
	}
	for _, c := range cases {
		p := newPath(21)
		for i := range 21 {
			if i == 10 {
				p.add(c.slip)
			} else {
				p.add(steady)
			}
		}
		got := p.best()
		if got[10] != c.want || got[9] != 220 || got[11] != 220 {
			t.Errorf("%s: %v, want %g in the middle of 220", c.name, got[9:12], c.want)
		}
	}
}

func TestPathStaysSilentThroughAChanceDip(t *testing.T) {
	// A frame of noise with a chance candidate of less weight than a change to
	// voiced and back costs.
	p := newPath(21)
	for i := range 21 {
		if i == 10 {
			p.add([]candidate{{300, 0.05}})
		} else {
			p.add(nil)
		}
	}
	for i, hz := range p.best() {
		if hz != 0 {
			t.Errorf("frame %d has %g Hz", i, hz)
		}
	}
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
