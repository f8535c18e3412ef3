package reading

import "math"

// The Local Boundary Detection Model: E. Cambouropoulos, "The Local Boundary
// Detection Model (LBDM) and its application in the study of expressive timing",
// Proc. ICMC 2001. Where the steps of a melody change, and at the larger of two
// unlike steps, a listener hears a boundary.
//
// Weights of the three kinds of step (published, same paper).
const (
	pitchWeight = 0.25
	onsetWeight = 0.50
	restWeight  = 0.25
)

// steps are the three kinds of step from each note of a melody to the next, all
// of one length, none negative: semitones up or down; time from onset to onset;
// silence from end to onset. The unit of time does not matter.
type steps struct{ pitch, onset, rest []float64 }

// boundaryStrengths is the profile of the model, one value from 0 to 1 for each
// step. The paper is silent on the steps at either end; here they have no change
// on the side where there is no neighbor.
func boundaryStrengths(s steps) []float64 {
	pitch, onset, rest := changeStrengths(s.pitch), changeStrengths(s.onset), changeStrengths(s.rest)
	out := make([]float64, len(pitch))
	for i := range out {
		out[i] = pitchWeight*pitch[i] + onsetWeight*onset[i] + restWeight*rest[i]
	}
	return out
}

// changeStrengths is s(i) = x(i) * (r(i-1,i) + r(i,i+1)) for each step of one
// kind, scaled so that the largest is 1. All are 0 when nothing changes.
func changeStrengths(x []float64) []float64 {
	out := make([]float64, len(x))
	most := 0.0
	for i := range x {
		change := 0.0
		if i > 0 {
			change += degreeOfChange(x[i-1], x[i])
		}
		if i+1 < len(x) {
			change += degreeOfChange(x[i], x[i+1])
		}
		out[i] = x[i] * change
		most = max(most, out[i])
	}
	if most > 0 {
		for i := range out {
			out[i] /= most
		}
	}
	return out
}

// degreeOfChange is r = |a-b| / (a+b), from 0 for equal steps to 1.
func degreeOfChange(a, b float64) float64 {
	if a+b == 0 {
		return 0
	}
	return math.Abs(a-b) / (a + b)
}
