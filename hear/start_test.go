package hear

import (
	"math"
	"slices"
	"testing"
)

// What comes before a take in real life: a tuning note, and a false start.
func TestATuningNoteAndAFalseStartAreNoPartOfTheTake(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 9)
	var before []tone
	before = append(before, tone{note: -1, start: 0.5, end: 3, hz: 233.08, hzEnd: 233.08, amp: 0.05})
	for _, first := range faithful(pf, 1, 440, 5)[:7] {
		first.note = -1
		before = append(before, first)
	}
	take := listen(t, pf, sing(slices.Concat(before, tones), testRate, -60))
	agrees(t, pf, take, tones)
	if len(states(take, Played)) != len(pf.Notes) || len(take.Extra) != 0 || len(take.Findings) != 0 {
		t.Errorf("extra %+v, findings %+v", take.Extra, take.Findings)
	}
}

func TestVibratoIsNoFault(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	clip := sing(tones, testRate, -60)
	// Reading the recording at a wavering speed bends every pitch by the same
	// vibrato: 25 cents at 5.5 Hz.
	x := clip.Channels[0]
	depth, omega := math.Exp2(25.0/1200)-1, 2*math.Pi*5.5/testRate
	out := make([]float64, len(x)-testRate/10)
	for i := range out {
		at := float64(i) + depth/omega*(1-math.Cos(omega*float64(i)))
		k := int(at)
		out[i] = x[k] + (at-float64(k))*(x[k+1]-x[k])
	}
	clip.Channels[0] = out
	take := listen(t, pf, clip)
	if len(states(take, Played)) != len(pf.Notes) || len(take.Extra) != 0 {
		t.Errorf("missed %v, other %v, extra %v", states(take, Missed), states(take, Other), take.Extra)
	}
	for _, f := range take.Findings {
		// A short note catches one side of the vibrato: intonation may speak.
		if f.Kind != "intonation" {
			t.Errorf("%s: %s", f.Kind, f.Says)
		}
	}
}
