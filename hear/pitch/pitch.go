// Package pitch tracks the pitch of one player through a recording, and says
// how a note's pitch goes from its start to its end.
//
// The method is pYIN: M. Mauch and S. Dixon, "pYIN: a fundamental frequency
// estimator using probabilistic threshold distributions", ICASSP 2014, on the
// difference function of A. de Cheveigné and H. Kawahara, "YIN, a fundamental
// frequency estimator for speech and music", JASA 111, 2002. A frame's dips of
// that function become candidates, weighed by how many thresholds of a
// Beta(2, 18) distribution would pick each, the lowest dip also by one in a
// hundred of the thresholds that pick none. A hidden Markov model with voiced
// and unvoiced states joins them over time by Viterbi's search in the log
// domain. Differences, and what each does:
//
//   - The thresholds are integrated in closed form instead of in a hundred
//     steps: the limit of the paper's sum.
//   - Candidates come from the sound at half Rate below 3 kHz, which holds the
//     two lowest harmonics of the highest note. The products behind the
//     difference function are summed once for each block of a Hop and shared by
//     all windows over that block.
//   - High notes are read from a window of 20 ms, those with a period above
//     11 ms from one of 40 ms, which is left out when a dip of the short one
//     leaves no doubt.
//   - A dip is placed by band-limited interpolation of the difference function
//     instead of a parabola, which is off by some cents on tones rich in
//     harmonics, and over as many periods as fit in 10 ms.
//   - The path runs over the frames' candidates instead of a grid of pitches.
//     The grid's voiced states without a candidate are never observed, so its
//     best path goes through the same candidates, but for the rounding. A leap
//     costs a bounded amount, since a slur has no unvoiced frame.
//   - Unvoiced is one state that weighs a hundredth: the paper spreads that
//     weight over as many states as its grid has pitches.
package pitch

import "math"

const (
	// Rate is the sample rate that Track works at, in Hz.
	Rate = 16_000

	// Hop is the time between frames in seconds.
	Hop = 0.005

	// Lowest and Highest bound the range in Hz: below the pedal B flat 0 of a
	// bass trombone, above F6.
	Lowest, Highest = 28.0, 1500.0
)

// Frame is the pitch at one moment.
type Frame struct {
	At          float64 // s
	Hz          float64 // 0 when unvoiced
	Voiced      float64 // probability of a pitch, 0 to 1, before smoothing
	LevelDB     float64 // RMS of the 30 ms around At in dBFS, not below -120
	Uncertainty float64 // standard uncertainty of the pitch in cents, as far as the sound is not periodic; 0 when unvoiced
}

// Cents is the frame's pitch in cents above MIDI note 0 at A4 = 440 Hz, so that
// A4 is 6900; NaN when unvoiced.
func (f Frame) Cents() float64 { return Cents(f.Hz) }

// Center is the middle of the sound that the frame's pitch tells about, in
// seconds. It is At: the pitch is carried to there from the middle of the
// stretch it was read from.
func (f Frame) Center() float64 { return f.At }

// Cents converts a frequency in Hz to cents above MIDI note 0 at A4 = 440 Hz;
// NaN for no frequency.
func Cents(hz float64) float64 {
	if hz <= 0 {
		return math.NaN()
	}
	return 6900 + 1200*math.Log2(hz/440)
}

// Track follows the pitch of x, mono at Rate. Frame i lies at i·Hop seconds.
// progress may be nil; it is told the share done, 0 to 1.
func Track(x []float64, progress func(share float64)) []Frame {
	const chunk = 4 * Rate
	t := NewTracker()
	for at := 0; at < len(x); at += chunk {
		if progress != nil {
			progress(float64(at) / float64(len(x)))
		}
		t.Add(x[at:min(at+chunk, len(x))])
	}
	return t.Frames()
}
