package pitch

import "math"

const (
	innerRate = Rate / 2
	block     = 40 // samples at innerRate in a Hop
	hop       = 80 // samples at Rate in a Hop
	levelHops = 6  // 30 ms: two periods at 67 Hz
	floorDB   = -120.0
	room      = 1 << 14 // samples at innerRate kept at the most
)

// Tracker tracks pitch in a stream. It keeps some milliseconds of the sound and
// a few values for each frame.
type Tracker struct {
	down   *decimator
	in     []float64 // the samples being added
	y      []float64 // the sound at innerRate
	first  int       // its first sample's index; negative before the start
	given  int       // samples at Rate
	power  []float64 // sum of squares of each Hop of the sound at Rate
	voiced []float64 // of each frame analyzed
	a      *analyzer
	path   path
}

// NewTracker returns a Tracker at the start of a recording.
func NewTracker() *Tracker {
	return &Tracker{down: newDecimator(), y: make([]float64, before, room), first: -before, a: newAnalyzer()}
}

// Add takes the next samples, mono at Rate. What is no number or absurdly large
// counts as silence.
func (t *Tracker) Add(x []float64) {
	for len(x) > 0 {
		n := min(len(x), room/2)
		t.y = t.down.add(t.y, t.sane(x[:n]))
		t.analyze(len(t.power))
		x = x[n:]
	}
}

// sane copies x, and notes its power.
func (t *Tracker) sane(x []float64) []float64 {
	const absurd = 1e6 // full scale is 1
	t.in = append(t.in[:0], x...)
	for i, v := range t.in {
		if !(math.Abs(v) < absurd) {
			v, t.in[i] = 0, 0
		}
		if t.given%hop == 0 {
			t.power = append(t.power, 0)
		}
		t.given++
		t.power[len(t.power)-1] += v * v
	}
	return t.in
}

// Frames ends the recording and returns its frames; frame i lies at i·Hop
// seconds. The Tracker is of no use afterwards.
func (t *Tracker) Frames() []Frame {
	n := len(t.power)
	t.y = t.down.add(t.y, make([]float64, 2*(block+after)+len(halfBand)))
	t.analyze(n)
	frames := make([]Frame, n)
	for i := range frames {
		frames[i] = Frame{At: float64(i) * Hop, Voiced: t.voiced[i], LevelDB: t.level(i)}
	}
	t.path.write(frames)
	return frames
}

// level is the RMS level of the 30 ms around frame i in dBFS.
func (t *Tracker) level(i int) float64 {
	sum := 0.0
	for _, p := range t.power[max(i-levelHops/2, 0):min(i+levelHops/2, len(t.power))] {
		sum += p
	}
	return max(floorDB, 10*math.Log10(sum/(levelHops*hop)))
}

// analyze runs through the frames whose sound is there, at most until frame n,
// and drops the sound that no later frame needs.
func (t *Tracker) analyze(n int) {
	for i := len(t.voiced); i < n && i*block+after <= t.first+len(t.y); i++ {
		cands := t.a.frame(t.y, t.first, i)
		t.voiced = append(t.voiced, total(cands))
		t.path.add(cands)
	}
	if drop := len(t.voiced)*block - before - t.first; drop > 0 {
		t.y = t.y[:copy(t.y, t.y[drop:])]
		t.first += drop
	}
}

func total(cands []candidate) float64 {
	sum := 0.0
	for _, c := range cands {
		sum += c.weight
	}
	return sum
}
