package breath

import "math"

// The Local Boundary Detection Model: E. Cambouropoulos, "The Local Boundary
// Detection Model (LBDM) and its application in the study of expressive timing",
// Proc. ICMC 2001. Where the steps of a melody change, and at the larger of two
// unlike steps, a listener hears a boundary. The weights of the three kinds of
// step are those of the paper.
const (
	pitchWeight = 0.25
	onsetWeight = 0.50
	restWeight  = 0.25
)

// Steps of a melody are capped so that one great leap or one very long note does
// not drown all the others: an octave and a whole note (after the same paper, from
// memory).
const (
	maxPitchStep = 12.0 // semitones
	maxTimeStep  = 1.0  // whole notes
)

// melodySteps are the three kinds of step from each note to the next: semitones up
// or down, time from onset to onset, silence from end to onset, in whole notes.
type melodySteps struct{ pitch, onset, rest []float64 }

func (s *melodySteps) add(pitch, onset, rest float64) {
	s.pitch = append(s.pitch, min(math.Abs(pitch), maxPitchStep))
	s.onset = append(s.onset, min(onset, maxTimeStep))
	s.rest = append(s.rest, min(max(rest, 0), maxTimeStep))
}

// strengths is the model's profile, 0 to 1, kept only where it peaks: a step that is
// weaker than the one before or after it is no boundary.
func (s melodySteps) strengths() []float64 {
	pitch, onset, rest := changes(s.pitch), changes(s.onset), changes(s.rest)
	all := make([]float64, len(pitch))
	for i := range all {
		all[i] = pitchWeight*pitch[i] + onsetWeight*onset[i] + restWeight*rest[i]
	}
	out := make([]float64, len(all))
	for i, v := range all {
		if (i == 0 || v >= all[i-1]) && (i+1 == len(all) || v >= all[i+1]) {
			out[i] = v
		}
	}
	return out
}

// changes is x(i) * (r(i-1,i) + r(i,i+1)) for each step of one kind, scaled so that
// the largest is 1, with r = |a-b| / (a+b).
func changes(x []float64) []float64 {
	out := make([]float64, len(x))
	most := 0.0
	for i := range x {
		change := 0.0
		if i > 0 {
			change += degree(x[i-1], x[i])
		}
		if i+1 < len(x) {
			change += degree(x[i], x[i+1])
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

func degree(a, b float64) float64 {
	if a+b == 0 {
		return 0
	}
	return math.Abs(a-b) / (a + b)
}
