package hear

import (
	"math"
	"strings"
	"testing"

	"waterkey/hear/pitch"
	"waterkey/score"
	"waterkey/score/scoretest"
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

// TestPaceAgainstTheCountIn: a take at the slow tempo that it was counted in at is not
// told that the page goes faster; one that leaves that tempo is told.
func TestPaceAgainstTheCountIn(t *testing.T) {
	part := scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, 96, "F3/1 G3/1")
	for _, c := range []struct {
		counted, played float64
		says            string
	}{
		{96, 96, ""}, {96, 60, "the page asks for 96"}, {60, 60, ""}, {60, 96, "it was counted in at 60"},
	} {
		pf, err := part.Perform(score.Tempo{BPM: c.counted})
		if err != nil {
			t.Fatal(err)
		}
		l := &listener{pf: pf, bpm: openingBPM(pf)}
		got := l.pace(&Take{TempoBPM: c.played})
		if (len(got) == 0) != (c.says == "") || len(got) > 0 && !strings.Contains(got[0].Says, c.says) {
			t.Errorf("counted in at %g, played at %g: %+v, want %q", c.counted, c.played, got, c.says)
		}
	}
}
