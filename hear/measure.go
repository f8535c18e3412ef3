package hear

import (
	"math"
	"slices"

	"waterkey/hear/align"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// take measures every note.
func (l *listener) take() *Take {
	l.place()
	l.bpm = openingBPM(l.pf)
	t := &Take{Notes: make([]Note, len(l.pf.Notes)), Extra: []Extra{}, Breaths: []Breath{}}
	spectrum := newSpectrum()
	for i := range t.Notes {
		t.Notes[i] = l.note(i, spectrum)
	}
	tuning := l.tuning(t.Notes)
	t.TuningHz = l.a4 * math.Exp2(tuning/1200)
	for i := range t.Notes {
		if m := t.Notes[i].Measures; m != nil {
			m.CentsOwn = m.Cents - tuning
		}
	}
	l.name(t.Notes, tuning)
	l.brightness(t.Notes)
	t.TempoBPM = l.tempo(t.Notes)
	t.Extra = l.extras(t.Notes, tuning)
	t.Breaths = l.breaths(t.Notes)
	t.OverNoise = l.overNoise(t.Notes)
	t.CutStart, t.CutEnd = l.cuts(t.Notes)
	t.Bars, t.Passages, t.Hairpins, t.Went = l.barMeasures(t.Notes), l.passages(t), l.playedHairpins(t), l.went()
	return t
}

// note measures the i-th played note.
func (l *listener) note(i int, s *spectrum) Note {
	played, w := l.pf.Notes[i], l.pf.Written(i)
	n := Note{ID: w.ID, Bar: l.pf.Part.Bars[w.Bar].Number, Pitch: w.Pitch.String(), State: Missed, index: i}
	if played.Pass > 1 {
		n.Pass = played.Pass
	}
	match := l.al.Matches[i]
	if !match.Played() {
		return n
	}
	n.State = Other
	if match.Right {
		n.State = Played
	}
	n.Measures = l.measures(i, match, s)
	return n
}

// measures are the numbers of the i-th played note, which sounds.
func (l *listener) measures(i int, match align.Match, s *spectrum) *Measures {
	m := &Measures{Onset: l.starts[i], Offset: l.end(i, match), Split: l.split[i]}
	due, value := l.due(i)
	m.Late = 1000 * (m.Onset - due)
	m.LateSteady = m.Late
	if !l.pf.Written(i).Grace {
		m.LateSteady = 1000 * (m.Onset - l.steadyAt(float64(l.pf.Notes[i].Start)))
	}
	m.LengthRatio = (m.Offset - m.Onset) / max(value, 1e-3)
	m.Tempo = l.bpm / l.clock.Stretch(float64(l.pf.Notes[i].Start))
	if match.First == 0 || l.sounds[match.First].Gap > 0 || l.sounds[match.First].Dip >= restartRise {
		m.Attack, m.Unsure.Attack = l.attack(m, hertz(l.center(i, match)))
	}
	sounding := l.intonate(i, match, m)
	if w := l.pf.Written(i).Pitch; w.Step != 0 {
		m.Cents = sounding - pitch.Cents(w.Hz(l.a4)) - l.octaves()
	}
	m.LevelDB, m.Unsure.LevelDB = l.level(m)
	var share float64
	m.Centroid, share = l.tone(s, m, hertz(sounding))
	m.Unsure.Brighter = 100 * share
	m.Unsure.Onset = 1000 * l.doubts[i]
	m.Unsure.Late = math.Hypot(m.Unsure.Onset, 1000*l.beatDoubt)
	m.Unsure.LengthRatio = math.Hypot(l.doubts[i], endDoubt) / max(value, 1e-3)
	return m
}

// hertz is a pitch of so many cents above MIDI note 0; NaN stays NaN.
func hertz(cents float64) float64 { return standardA4 * math.Exp2((cents-centsOfA4)/1200) }

// centsOfA4 is A4 in cents above MIDI note 0.
const centsOfA4 = 6900.0

// endDoubt is the standard uncertainty of where a note ends, in seconds
// (estimate: half of what a dry room adds to a release).
const endDoubt = 0.015

// due is when the i-th note should begin by the take's own beat, and how long
// its written value lasts, in seconds. Grace notes are as quick in a slow
// tempo: their time counts from the main note and does not stretch.
func (l *listener) due(i int) (at, value float64) {
	played := l.pf.Notes[i]
	main := i
	for main+1 < len(l.pf.Notes) && l.pf.Written(main).Grace {
		main++
	}
	page := float64(l.pf.Notes[main].Start)
	at, stretch := l.clock.At(page), l.clock.Stretch(page)
	value = float64(played.End - played.Start)
	if l.pf.Written(i).Grace {
		return at - (page - float64(played.Start)), value
	}
	return at, value * stretch
}

// end is where a note ends: its last sound's end, or the next note's start.
func (l *listener) end(i int, m align.Match) float64 {
	end := l.sounds[m.Last].End
	for k := i + 1; k < len(l.starts); k++ {
		if l.al.Matches[k].Played() {
			end = min(end, l.starts[k])
			break
		}
	}
	return max(end, l.starts[i]+pitch.Hop)
}

// Edges left out of the steady part of a note: its attack and release, in
// seconds, and as shares of a short note (estimates).
const (
	attackEdge, attackShare   = 0.060, 0.30
	releaseEdge, releaseShare = 0.040, 0.25
)

// steadyFrames is the range of frames without attack and release.
func (l *listener) steadyFrames(m *Measures) (from, to int) {
	long := m.Offset - m.Onset
	from = int(math.Ceil((m.Onset + min(attackEdge, attackShare*long)) / pitch.Hop))
	to = int((m.Offset-min(releaseEdge, releaseShare*long))/pitch.Hop) + 1
	to = min(max(to, from+1), len(l.frames))
	return min(from, to-1), to
}

// intonate sets the contour of a note and returns its pitch in cents above MIDI
// note 0, NaN-free: the center of its steady part. A glissando is measured at
// its own start, a trill on its main note.
func (l *listener) intonate(i int, match align.Match, m *Measures) float64 {
	w := l.pf.Written(i)
	from, to := l.steadyFrames(m)
	m.Unsure.Cents = glideDoubt
	if w.GlissTo {
		// The glide began with the rise, before a fifth of the amplitude was reached.
		began := m.Onset - m.Attack/1000*attackFrom/(attackTo-attackFrom)
		if c := l.startOfGlide(from, from+(to-from)/2, began); !math.IsNaN(c) {
			return c
		}
	}
	center := l.center(i, match)
	if w.Marks.Any(score.Trill | score.OtherOrnament) {
		if w.Marks.Has(score.Trill) {
			center = pitch.Cents(w.Pitch.Hz(l.a4)) + l.al.Tuning + l.octaves()
		}
		return l.medianNear(center, from, to)
	}
	whole := l.frames[min(int(math.Ceil(m.Onset/pitch.Hop)), from):max(min(int(m.Offset/pitch.Hop), len(l.frames)), to)]
	in := pitch.Describe(whole)
	if math.IsNaN(in.Cents) || math.Abs(in.Cents-center) > near {
		return l.medianNear(center, from, to)
	}
	m.Contour = Contour{in.Scoop, in.ScoopTime, in.Fall, in.FallTime, in.Drift * (in.To - in.From), in.Waver, in.Vibrato.Rate, in.Vibrato.Extent}
	m.Unsure.Cents = in.Uncertainty
	return in.Cents
}

// center is about where the i-th note sounds, in cents: its sound's pitch. Of a
// right note an octave's slip of the tracker is taken out: a room's echo of low
// notes makes it take a sum of two for one.
func (l *listener) center(i int, match align.Match) float64 {
	c, w := l.sounds[match.First].Cents, l.pf.Written(i).Pitch
	if !match.Right || w.Step == 0 {
		return c
	}
	due := pitch.Cents(w.Hz(l.a4)) + l.al.Tuning + l.octaves()
	return c + 1200*math.Round((due-c)/1200)
}

const (
	// near is how far from a sound's own pitch a reading may lie, in cents: what
	// moves further belongs to a neighbor or to the upper note of a trill.
	near = 70.0
	// glideDoubt is the standard uncertainty of a pitch that moves, in cents
	// (estimate: the start of a glissando carried back to its onset).
	glideDoubt = 8.0
)

// medianNear is the median pitch of some frames near a center, in cents; the
// center where there are none.
func (l *listener) medianNear(center float64, from, to int) float64 {
	var v []float64
	for _, f := range l.frames[from:to] {
		if c := f.Cents(); math.Abs(c-center) <= near {
			v = append(v, c)
		}
	}
	if len(v) == 0 {
		return center
	}
	return middle(v)
}

// octaves is how many cents the whole take lies in another octave.
func (l *listener) octaves() float64 { return 1200 * float64(l.al.Octaves) }

// startOfGlide carries the glide in the frames back to the onset, in cents: a
// parabola, since an even speed of the arm changes the period evenly and the
// cents not quite; a straight line when there are few frames. NaN for too few.
func (l *listener) startOfGlide(from, to int, onset float64) float64 {
	const line, parabola = 4, 12 // frames at the least
	var x, y []float64
	for _, f := range l.frames[from:max(to, from)] {
		if f.Hz > 0 {
			x, y = append(x, f.Center()-onset), append(y, f.Cents())
		}
	}
	switch {
	case len(x) < line:
		return math.NaN()
	case len(x) < parabola:
		return fitAtZero(x, y, 1)
	}
	return fitAtZero(x, y, 2)
}

// fitAtZero is the value at 0 of the polynomial of a degree that fits y over x
// best in the least-squares sense, by Gram and Schmidt's orthogonal
// polynomials. The x must not all be equal.
func fitAtZero(x, y []float64, degree int) float64 {
	rest := slices.Clone(y)
	var bases [][]float64 // each with its value at 0 appended
	at0 := 0.0
	for d := range degree + 1 {
		b := make([]float64, len(x)+1)
		for i := range x {
			b[i] = math.Pow(x[i], float64(d))
		}
		b[len(x)] = math.Pow(0, float64(d))
		for _, o := range bases {
			subtract(b, o, dot(b, o, len(x))/dot(o, o, len(x)))
		}
		bases = append(bases, b)
		weight := dot(rest, b, len(x)) / dot(b, b, len(x))
		subtract(rest, b[:len(x)], weight)
		at0 += weight * b[len(x)]
	}
	return at0
}

func dot(a, b []float64, n int) float64 {
	sum := 0.0
	for i := range n {
		sum += a[i] * b[i]
	}
	return sum
}

// subtract takes factor·b from a.
func subtract(a, b []float64, factor float64) {
	for i := range b {
		a[i] -= factor * b[i]
	}
}

// level is the RMS level of the steady part in dBFS and its standard
// uncertainty: the scatter of what does not overlap.
func (l *listener) level(m *Measures) (db, unsure float64) {
	const apart = 6 // frames: levels are taken over 30 ms
	from, to := l.steadyFrames(m)
	sum, squares := 0.0, 0.0
	mean := mean(l.env[from:to])
	for _, v := range l.env[from:to] {
		sum += math.Pow(10, v/10)
		squares += (v - mean) * (v - mean)
	}
	n := float64(to - from)
	return 10 * math.Log10(sum/n), math.Sqrt(squares / n / max(n/apart, 1))
}
