// Package onset cuts a recording of one player into sounds: stretches that
// begin with a rise of energy or a step of pitch. It does not know the page, so
// it cuts rather too often and says how plain each cut is; the alignment
// decides which cuts are notes.
//
// Method: local maxima of the rise of a smoothed envelope, and steps of the
// pitch track where the air goes on (slurs), as surveyed by J. P. Bello et al.,
// "A tutorial on onset detection in music signals", IEEE Trans. Speech and
// Audio Processing 13, 2005. A glide longer than a slur's step is cut where it
// begins and where it arrives.
//
// A plain rise is then refined on the waveform: the onset is the first sample
// that reaches a fifth of the attack's peak (see refine.go). A slurred note
// begins where the pitch passes the middle of its step. Each onset comes with
// its uncertainty.
//
// Conventions: times in seconds from the start of the recording, pitch in
// cents above MIDI note 0 at A4 = 440 Hz (see [pitch.Cents]), levels in dBFS
// RMS.
package onset

import (
	"math"
	"slices"

	"waterkey/hear/pitch"
)

// Sound is one stretch between two cuts, without the silence after it.
type Sound struct {
	Start, End float64 // s
	Cents      float64 // median over its steady part; NaN when nothing in it has a pitch
	Rise       float64 // dB by which the level rises at its start; 0 for a cut by pitch alone
	Dip        float64 // dB by which the level falls just before that rise; a second stage of an attack has none
	Step       float64 // cents by which the pitch changes at its start; 0 when silence comes before
	Gap        float64 // s of silence before it
	LevelDB    float64 // median level
	Glide      bool    // pitch moves on through the sound, without a rest on the way
	Reach      float64 // cents that such a glide covers, negative downward; 0 for none
	Doubt      float64 // s: standard uncertainty of Start, from the steepness of the attack or of the step and from what sounds before
}

// cut is where a sound begins.
type cut struct {
	at    float64 // in frames
	rise  float64
	dip   float64
	low   float64 // in frames: where the rise starts from
	step  float64
	glide bool    // a glide begins here
	reach float64 // cents that it covers
	doubt float64 // s
}

// Detect cuts x, mono at pitch.Rate, whose pitch frames are given.
func Detect(x []float64, frames []pitch.Frame) []Sound {
	env := Envelope(x)
	n := min(len(env), len(frames))
	if n == 0 {
		return nil
	}
	s := &scene{env: env[:n], cents: smooth(frames[:n])}
	s.setGate()
	cuts := merge(append(s.refined(x, s.rises()), s.moves()...))
	return s.sounds(cuts)
}

// scene is a recording as the detector sees it, one value a frame.
type scene struct {
	env   []float64 // dBFS, not below floor
	cents []float64 // NaN where unvoiced
	gate  float64   // dBFS that counts as sound
}

const (
	// envelopeWindow is the length of the Hann window over the power, in
	// samples: 34 ms, two periods of B flat 1, so that the waveform itself
	// makes no ripple.
	envelopeWindow = 544

	silence = -120.0 // dBFS
)

// Envelope is the level of x, mono at pitch.Rate, in dBFS every pitch.Hop
// seconds, centered.
func Envelope(x []float64) []float64 {
	hop := int(math.Round(pitch.Hop * pitch.Rate))
	w, sum := make([]float64, envelopeWindow), 0.0
	for i := range w {
		w[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/envelopeWindow)
		sum += w[i]
	}
	env := make([]float64, (len(x)+hop-1)/hop)
	for i := range env {
		from := i*hop - envelopeWindow/2
		lo, hi := max(from, 0), min(from+envelopeWindow, len(x))
		p := 0.0
		for j, v := range x[lo:hi] {
			p += v * v * w[lo-from+j]
		}
		env[i] = max(silence, 10*math.Log10(p/sum))
	}
	return env
}

// smooth is the pitch track under a running median, NaN where unvoiced.
func smooth(frames []pitch.Frame) []float64 {
	const reach = 2 // frames on either side: removes slips of up to 10 ms
	raw := make([]float64, len(frames))
	for i, f := range frames {
		raw[i] = f.Cents()
	}
	out := make([]float64, len(raw))
	for i := range out {
		out[i] = math.NaN()
		if !math.IsNaN(raw[i]) {
			out[i] = median(raw[max(i-reach, 0):min(i+reach+1, len(raw))])
		}
	}
	bridge(out)
	return out
}

// bridge fills short holes of the pitch track, half from either side: while
// two pitches share a frame it has none, and the change lies in the middle.
func bridge(cents []float64) {
	const longest = 14 // frames: the stretch behind a frame of a low note, and a little more
	last := -1
	for i, c := range cents {
		if math.IsNaN(c) {
			continue
		}
		if hole := i - last - 1; last >= 0 && hole > 0 && hole <= longest {
			for k := last + 1; k < i; k++ {
				if k-last <= hole/2 {
					cents[k] = cents[last]
				} else {
					cents[k] = c
				}
			}
		}
		last = i
	}
}

// median of the numbers in v, those that are none left out; NaN for none.
func median(v []float64) float64 {
	var room [64]float64
	s := room[:0]
	for _, x := range v {
		if !math.IsNaN(x) {
			s = append(s, x)
		}
	}
	if len(s) == 0 {
		return math.NaN()
	}
	slices.Sort(s)
	if len(s)%2 == 1 {
		return s[len(s)/2]
	}
	return (s[len(s)/2-1] + s[len(s)/2]) / 2
}

// Where sound ends and the room begins, in dB (estimates, checked on
// synthesised takes with noise).
const (
	quietShare, loudShare = 0.05, 0.90 // quantiles of the envelope taken as room and as playing
	aboveRoom             = 6.0
	belowPlaying          = 35.0
)

// setGate finds the level that counts as sound, and lifts what lies below to
// just under it, so that the wobble of the room's noise makes no rises.
func (s *scene) setGate() {
	sorted := slices.Clone(s.env)
	slices.Sort(sorted)
	at := func(share float64) float64 { return sorted[int(share*float64(len(sorted)-1))] }
	s.gate = max(min(at(quietShare)+aboveRoom, at(loudShare)-belowPlaying), silence+aboveRoom)
	for i := range s.env {
		s.env[i] = max(s.env[i], s.gate-aboveRoom)
	}
}
