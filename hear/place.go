package hear

import (
	"math"
	"slices"

	"waterkey/hear/align"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// place sets the onset of each note and the clock through them.
func (l *listener) place() {
	n := len(l.pf.Notes)
	l.starts, l.doubts, l.split = make([]float64, n), make([]float64, n), make([]bool, n)
	var points []align.Point
	run := -1
	l.turnCracks()
	for i, m := range l.al.Matches {
		if !m.Played() {
			continue
		}
		l.starts[i], l.doubts[i] = l.sounds[m.First].Start, l.sounds[m.First].Doubt
		l.split[i] = l.restarts(m)
		if start, split, ok := l.lead(m); ok {
			l.starts[i], l.split[i] = start, l.split[i] || split
		}
		if m.Right && !l.pf.Written(i).Grace {
			before := run
			run = l.al.RunOf(i)
			points = append(points, align.Point{Page: float64(l.pf.Notes[i].Start), Take: l.starts[i],
				AfterRest: l.afterRest(i), Anew: len(points) > 0 && run != before})
		}
	}
	l.clock = align.NewClock(points)
	l.steady = steadyBeats(points, l.clock.Breaks())
	l.beatDoubt = l.scatter(points) / math.Sqrt(beatNotes)
}

// beatNotes is how many notes the local beat at a moment rests on (estimate:
// half of those that the clock looks at, as their weights fall with distance).
const beatNotes = 8

// restLeast is the shortest rest whose length is judged: shorter ones are part
// of the articulation (estimate).
var restLeast = score.Frac(1, 8)

// afterRest says whether a rest of some length, or a fermata, lies before the
// i-th note.
func (l *listener) afterRest(i int) bool {
	if i == 0 {
		return false
	}
	before := l.pf.Notes[i-1]
	rest := l.pf.Notes[i].At.Sub(before.At.Add(before.Duration))
	return !rest.Less(restLeast) || l.pf.Written(i-1).Marks.Has(score.Fermata)
}

const (
	// crackShortest and crackLongest bound how long a brass note that splits
	// stays on its wrong partial, in seconds (estimate).
	crackShortest, crackLongest = 0.03, 0.15
	// subharmonic is how many cents below its note a start lies that is no
	// wrong partial but a pitch not yet clear: about an octave or more.
	subharmonic = 1100.0
	// nearestPartial is the least distance in cents of a wrong partial: between the
	// tenth and the eleventh of the harmonic series lie 165. What begins nearer bends
	// into its note, or is the room's tail of the one before mixed with it.
	nearestPartial = 150.0
	// samePitch is how near in cents two sounds are on one note.
	samePitch = 50.0
	// touching is a gap in seconds that is no silence.
	touching = 0.03
	// restartRise is a rise in dB inside a note that is a new attack: tremor
	// and vibrato stay below (estimate).
	restartRise = 8.0
)

// lead finds the short extra sound that leads into a note without a gap: the
// start of a note that splits, or of one whose pitch only takes a moment to be
// clear. It returns its moment, and whether the note splits.
func (l *listener) lead(m align.Match) (start float64, split, ok bool) {
	j := m.First - 1
	if j < 0 || !slices.Contains(l.al.Extra, j) {
		return 0, false, false
	}
	s, main := l.sounds[j], l.sounds[m.First]
	long := s.End - s.Start
	if long > crackLongest || main.Gap > touching || min(main.Rise, main.Dip) > restartRise {
		return 0, false, false
	}
	l.al.Extra = slices.DeleteFunc(l.al.Extra, func(k int) bool { return k == j })
	if j > 0 && s.Rise < restartRise && math.Abs(s.Cents-l.sounds[j-1].Cents) < samePitch {
		return main.Start, false, true // the echo of the note before, or a late slide
	}
	below := main.Cents - s.Cents
	return s.Start, long >= crackShortest && below < subharmonic && math.Abs(below) >= nearestPartial, true
}

// turnCracks gives a note that was taken for a wrong one its own sound, where
// the wrong pitch is a short start that leads without a gap into the right one.
func (l *listener) turnCracks() {
	for i, m := range l.al.Matches {
		j := m.First + 1
		own := j <= m.Last
		if !m.Played() || m.Right || !own && !slices.Contains(l.al.Extra, j) {
			continue
		}
		crack, main := l.sounds[m.First], l.sounds[j]
		due := pitch.Cents(l.pf.Written(i).Pitch.Hz(l.a4)) + l.al.Tuning + l.octaves()
		if crack.End-crack.Start > crackLongest || main.Gap > touching || !(math.Abs(main.Cents-due) < samePitch) {
			continue
		}
		l.al.Matches[i] = align.Match{First: j, Last: max(j, m.Last), Right: true}
		l.al.Extra = slices.DeleteFunc(l.al.Extra, func(k int) bool { return k == j })
		l.al.Extra = append(l.al.Extra, m.First)
		slices.Sort(l.al.Extra)
	}
}

// restarts says whether a plain new attack falls inside a note.
func (l *listener) restarts(m align.Match) bool {
	for j := m.First + 1; j <= m.Last; j++ {
		if min(l.sounds[j].Rise, l.sounds[j].Dip) >= restartRise {
			return true
		}
	}
	return false
}
