// Package pitch tracks the pitch of one player through a recording.
//
// The method is YIN's difference function (A. de Cheveigné and H. Kawahara,
// "YIN, a fundamental frequency estimator for speech and music", JASA 111,
// 2002) with the probabilistic thresholds and the smoothing over time of pYIN
// (M. Mauch and S. Dixon, "pYIN: a fundamental frequency estimator using
// probabilistic threshold distributions", ICASSP 2014). Differences:
//
//   - The threshold's Beta(2, 18) distribution is integrated in closed form
//     instead of in a hundred steps: the same limit, less work.
//   - A dip is placed by band-limited interpolation of the difference function
//     instead of a parabola: the bias of some cents on tones rich in harmonics
//     goes away.
//   - The path runs over each frame's candidates instead of a grid of pitches:
//     no rounding, and a leap between two notes costs a bounded amount.
//   - An unvoiced frame weighs a hundredth of what pYIN gives it, since
//     between a player's notes there is silence rather than consonants.
//
// Frames lie on an even grid. The stretch of sound behind one frame is centered
// on its time for tones near 160 Hz and up to 6 ms off at either end of a
// trombone's range.
package pitch

import "math"

const (
	// Rate is the sample rate that Track works at, in Hz: it keeps 13
	// harmonics of the highest and all that matters of the lowest notes.
	Rate = 16_000

	// Hop is the time between frames in seconds.
	Hop = 0.005

	// Lowest and Highest bound the range in Hz: B0 of a tuba, C sharp 6 (an
	// octave above a tenor trombone's usual top).
	Lowest, Highest = 30.0, 1100.0
)

// Frame is the pitch at one moment.
type Frame struct {
	At      float64 // s
	Hz      float64 // 0 when unvoiced
	Voiced  float64 // probability of a pitch, 0 to 1, before smoothing
	LevelDB float64 // RMS of the frame's 30 ms in dBFS, not below -120
}

// Cents is the frame's pitch in cents above MIDI note 0 at A4 = 440 Hz, so that
// A4 is 6900; NaN when unvoiced.
func (f Frame) Cents() float64 { return Cents(f.Hz) }

// Center is the middle of the sound that the frame's pitch comes from, in
// seconds: later than At for a low tone. It is At when unvoiced.
func (f Frame) Center() float64 {
	if f.Hz <= 0 {
		return f.At
	}
	return f.At + (1/f.Hz-1/centeredHz)/2
}

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
	hop := int(math.Round(Hop * Rate))
	n := (len(x) + hop - 1) / hop
	frames := make([]Frame, n)
	a, path := newAnalyzer(), newPath(n)
	for i := range frames {
		cands, level := a.frame(x, i*hop)
		frames[i] = Frame{At: float64(i) * Hop, LevelDB: level, Voiced: total(cands)}
		path.add(cands)
		if progress != nil && i%1000 == 0 {
			progress(float64(i) / float64(n))
		}
	}
	for i, hz := range path.best() {
		frames[i].Hz = hz
	}
	return frames
}

func total(cands []candidate) float64 {
	sum := 0.0
	for _, c := range cands {
		sum += c.weight
	}
	return sum
}
