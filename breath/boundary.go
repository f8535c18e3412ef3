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

// Melody is the three kinds of step from each note of a melody to the next: semitones
// up or down, time from onset to onset, silence from end to onset. The unit of time
// makes no difference to the profile; Add takes whole notes.
type Melody struct{ Pitch, Onset, Rest []float64 }

// Add appends one step: semitones, and whole notes from onset to onset and of silence.
// What is less than no silence counts as none.
func (m *Melody) Add(semitones, onset, rest float64) {
	m.Pitch = append(m.Pitch, min(math.Abs(semitones), maxPitchStep))
	m.Onset = append(m.Onset, min(onset, maxTimeStep))
	m.Rest = append(m.Rest, min(max(rest, 0), maxTimeStep))
}

// Profile is the model's strength of a boundary at each step, 0 to 1. The paper is
// silent on the steps at either end; here they have no change on the side where there
// is no neighbor.
func (m Melody) Profile() []float64 {
	pitch, onset, rest := changes(m.Pitch), changes(m.Onset), changes(m.Rest)
	out := make([]float64, len(pitch))
	for i := range out {
		out[i] = pitchWeight*pitch[i] + onsetWeight*onset[i] + restWeight*rest[i]
	}
	return out
}

// Boundaries is the profile kept only where it peaks: a step that is weaker than the one
// before or after it is no boundary.
func (m Melody) Boundaries() []float64 {
	all := m.Profile()
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

// degree is r = |a-b| / (a+b), from 0 for equal steps to 1.
func degree(a, b float64) float64 {
	if a+b == 0 {
		return 0
	}
	return math.Abs(a-b) / (a + b)
}
