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
	for i := range t.Notes {
		t.Notes[i] = l.note(i)
	}
	tuning := l.tuning(t.Notes)
	t.TuningHz = l.a4 * math.Exp2(tuning/1200)
	for i := range t.Notes {
		if m := t.Notes[i].Measures; m != nil {
			m.CentsOwn = m.Cents - tuning
		}
	}
	l.name(t.Notes, tuning)
	t.TempoBPM = l.tempo(t.Notes)
	t.Extra = l.extras(t.Notes, tuning)
	t.Breaths = l.breaths(t.Notes)
	return t
}

// note measures the i-th played note.
func (l *listener) note(i int) Note {
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
	m := &Measures{Onset: l.starts[i], Offset: l.end(i, match), Split: l.split[i]}
	due, value := l.due(i)
	m.Late = 1000 * (m.Onset - due)
	m.LengthRatio = (m.Offset - m.Onset) / max(value, 1e-3)
	m.Tempo = l.bpm / l.clock.Stretch(float64(played.Start))
	m.Cents = l.cents(i, match, m) - pitch.Cents(w.Pitch.Hz(l.a4))
	if w.Pitch.Step == 0 {
		m.Cents = 0 // no pitch on the page
	}
	m.LevelDB = l.level(m)
	n.Measures = m
	return n
}

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

// steady is the range of frames without attack and release.
func (l *listener) steady(m *Measures) (from, to int) {
	long := m.Offset - m.Onset
	from = int(math.Ceil((m.Onset + min(attackEdge, attackShare*long)) / pitch.Hop))
	to = int((m.Offset-min(releaseEdge, releaseShare*long))/pitch.Hop) + 1
	to = min(max(to, from+1), len(l.frames))
	return min(from, to-1), to
}

// cents is the pitch of a note in cents above MIDI note 0, NaN-free: the
// median over its steady part. A glissando is measured at its own start, a
// trill on its main note.
func (l *listener) cents(i int, match align.Match, m *Measures) float64 {
	w := l.pf.Written(i)
	from, to := l.steady(m)
	if w.GlissTo {
		if c := l.startOfGlide(from, from+(to-from)/2, m.Onset); !math.IsNaN(c) {
			return c
		}
	}
	// What moves far from the sound's own pitch belongs to a neighbor or to
	// the upper note of a trill.
	const near = 70.0 // cents
	center := l.sounds[match.First].Cents
	if w.Marks.Has(score.Trill) {
		center = pitch.Cents(w.Pitch.Hz(l.a4)) + l.al.Tuning
	}
	var v []float64
	for _, f := range l.frames[from:to] {
		if c := f.Cents(); math.Abs(c-center) <= near {
			v = append(v, c)
		}
	}
	if len(v) == 0 {
		return center
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

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

// level is the RMS level of the steady part in dBFS.
func (l *listener) level(m *Measures) float64 {
	from, to := l.steady(m)
	sum := 0.0
	for _, db := range l.env[from:to] {
		sum += math.Pow(10, db/10)
	}
	return 10 * math.Log10(sum/float64(to-from))
}
