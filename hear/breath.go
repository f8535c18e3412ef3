package hear

import (
	"math"
	"slices"

	"waterkey/hear/pitch"
	"waterkey/score"
)

const (
	// breathLeast is the shortest silence counted as a breath, in seconds
	// (estimate: a catch breath takes 0.3 to 0.4 s; no figure for brass is
	// published).
	breathLeast = 0.25

	// Air going in is heard as noise: so many dB above the quietest moments of
	// the take, for so long, with no pitch (estimates).
	airAbove, airLeast = 6.0, 0.080
)

// breaths lists the silences between notes in which a breath can be taken.
func (l *listener) breaths(notes []Note) []Breath {
	out := []Breath{}
	quiet := l.quiet()
	var before *Note
	for i := range notes {
		n := &notes[i]
		if n.Measures == nil {
			before = nil // what happened there is not known
			continue
		}
		if before != nil && l.al.RunOf(before.index) == l.al.RunOf(n.index) {
			if gap := n.Onset - before.Offset; gap >= breathLeast {
				out = append(out, Breath{After: before.ID, Bar: before.Bar, At: before.Offset, Long: gap,
					Audible: l.air(before.Offset, n.Onset, quiet), Rest: l.restAfter(before.index).Sign() > 0})
			}
		}
		before = n
	}
	return out
}

// restAfter is the silence that the page has after the i-th played note, 0 at
// the end.
func (l *listener) restAfter(i int) score.Time {
	if i+1 >= len(l.pf.Notes) {
		return score.Time{}
	}
	return l.pf.Notes[i+1].At.Sub(l.pf.Notes[i].At.Add(l.pf.Notes[i].Duration))
}

// quiet is the level of the quietest moments, in dBFS: what a twentieth of the
// take stays below.
func (l *listener) quiet() float64 {
	v := slices.Clone(l.env)
	slices.Sort(v)
	return v[len(v)/20]
}

// air says whether noise without a pitch sounds between two moments, the
// release of the note before left out.
func (l *listener) air(from, to, quiet float64) bool {
	const release = 0.10 // s (estimate: the room's answer to the note)
	noisy := 0
	for k := int((from + release) / pitch.Hop); k < min(int(to/pitch.Hop)-1, len(l.env)); k++ {
		if l.frames[k].Hz == 0 && l.env[k] >= quiet+airAbove && !math.IsInf(l.env[k], 0) {
			noisy++
		}
	}
	return float64(noisy)*pitch.Hop >= airLeast
}
