package hear

import (
	"fmt"
	"math"

	"waterkey/hear/pitch"
	"waterkey/score"
)

// Limits of a recording that can be sent (estimates, but for clipping, where
// every run is audible distortion).
const (
	noiseLeast  = 25.0 // dB of the notes over the noise between them
	humLeast    = 40.0 // dB of the notes over the hum
	quietest    = -45.0
	clippedRuns = 2     // one run may be a bump
	cutWithin   = 0.1   // s from the edge of the file
	cutEdge     = 0.004 // s: what stands this near to the edge; at the end, see lastPeriods
	cutNear     = 0.060 // s: against what stands this near
	cutShare    = 0.5   // of its peak; a tongued note takes 10 ms and more to get there
	roomFades   = 0.4   // s after a note until its echo counts as noise
)

// overNoise is how far the notes' median level lies over the noise between
// them, in dB; nil when there is nothing between them.
func (l *listener) overNoise(notes []Note) *float64 {
	const least = 40 // frames: 0.2 s
	var v []float64
	end := 0.0
	between := func(to float64) {
		for k := max(int((end+roomFades)/pitch.Hop), 0); k < min(int(to/pitch.Hop)-2, len(l.env)); k++ {
			v = append(v, l.env[k])
		}
	}
	for i := range notes {
		if n := &notes[i]; n.Measures != nil {
			if n.Onset > end {
				between(n.Onset - roomFades/4)
			}
			end = max(end, n.Offset)
		}
	}
	between(float64(len(l.env)) * pitch.Hop)
	if len(v) < least {
		return nil
	}
	return ptr(medianLevel(notes) - middle(v))
}

// cuts says whether the recording starts in the first note, or ends in the
// last.
func (l *listener) cuts(notes []Note) (start, end bool) {
	first, last := -1, -1
	for i := range notes {
		if notes[i].Measures != nil {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return false, false
	}
	a, b := &notes[first], &notes[last]
	long := float64(len(l.x)) / pitch.Rate
	near := int(cutNear * pitch.Rate)
	if len(l.x) < 2*near {
		return false, false
	}
	n := len(l.x)
	start = a.Onset < cutWithin && peak(l.x[:int(cutEdge*pitch.Rate)]) > cutShare*peak(l.x[:near])
	edge := lastPeriods(b)
	end = b.Offset > long-cutWithin && peak(l.x[n-edge:]) > cutShare*peak(l.x[max(n-near-edge, 0):])
	return start, end
}

// lastPeriods is two periods of a note in samples, 4 to 40 ms: in less, the edge of
// the file may lie in a valley of the wave.
func lastPeriods(n *Note) int {
	const periods, most = 2, 0.04
	s := cutEdge
	if p, err := score.ParsePitch(n.Pitch); err == nil {
		s = min(max(periods/p.Hz(440), cutEdge), most)
	}
	return int(s * pitch.Rate)
}

// peak is the largest magnitude in x.
func peak(x []float64) float64 {
	most := 0.0
	for _, v := range x {
		most = max(most, math.Abs(v))
	}
	return most
}

// RecordingFaults says in sentences why a recording should not be sent,
// whatever is played on it; nil for nothing.
func (t *Take) RecordingFaults() []string {
	var out []string
	say := func(is bool, format string, v ...any) {
		if is {
			out = append(out, fmt.Sprintf(format, v...))
		}
	}
	r, level := t.Record, medianLevel(t.Notes)
	say(r.ClippedRuns >= clippedRuns, "It is overdriven: %d samples stand at full scale, in %d places.", r.Clipped, r.ClippedRuns)
	say(t.OverNoise != nil && *t.OverNoise < noiseLeast, "It is noisy: the notes stand %.0f dB over the noise between them; %g are needed.", deref(t.OverNoise), noiseLeast)
	say(t.CutStart, "It is cut at the start: the first note has no beginning.")
	say(t.CutEnd, "It is cut at the end: the last note has no end.")
	say(r.HumHz > 0 && level-r.HumDBFS < humLeast, "The mains hum in it: %.0f Hz and its multiples lie %.0f dB under the notes; %g are needed.", r.HumHz, level-r.HumDBFS, humLeast)
	say(r.LoudnessLUFS < quietest, "It is too quiet: %.0f LUFS; above %g is needed.", r.LoudnessLUFS, quietest)
	return out
}

func deref(p *float64) float64 {
	if p == nil {
		return 0
	}
	return *p
}
