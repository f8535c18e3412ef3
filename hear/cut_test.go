package hear

import (
	"math"
	"testing"

	"waterkey/hear/pitch"
)

// pulses is a pulse-like wave as a brass tube gives it, at a phase, for so many seconds.
func pulses(hz, phase, seconds float64) []float64 {
	x := make([]float64, int(seconds*pitch.Rate))
	for i := range x {
		for k := 1; k <= 20; k++ {
			x[i] += math.Cos(2*math.Pi*float64(k)*(hz*float64(i)/pitch.Rate+phase)) / 20
		}
	}
	return x
}

// TestCutEndWhateverThePhase: a recording that stops in full tone is cut, wherever in
// its period; one in which the note dies away over 80 ms is not.
func TestCutEndWhateverThePhase(t *testing.T) {
	const f2, bb4 = 87.31, 466.16 // Hz, equal temperament at A = 440
	for name, hz := range map[string]float64{"F2": f2, "Bb4": bb4} {
		for k := range 40 {
			x := pulses(hz, float64(k)/40, 1)
			note := Note{Pitch: name, State: Played, Measures: &Measures{Onset: 0.3, Offset: 1}}
			if _, end := (&listener{x: x}).cuts([]Note{note}); !end {
				t.Errorf("%s cut at %d fortieths of its period is not seen", name, k)
			}
			dying := int(0.08 * pitch.Rate)
			for i := range dying {
				x[len(x)-dying+i] *= 1 - float64(i)/float64(dying)
			}
			note.Measures = &Measures{Onset: 0.3, Offset: 0.96}
			if _, end := (&listener{x: x}).cuts([]Note{note}); end {
				t.Errorf("%s that dies away is called cut", name)
			}
		}
	}
}
