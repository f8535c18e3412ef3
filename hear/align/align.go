// Package align says which sound of a take is which note of the page.
//
// Method: dynamic programming over notes and sounds, the recurrence of S. B.
// Needleman and C. D. Wunsch ("A general method applicable to the search for
// similarities in the amino acid sequence of two proteins", J. Mol. Biol. 48,
// 1970), with the task of S. Dixon and G. Widmer ("MATCH: a music alignment tool
// chest", ISMIR 2005): the order of the page holds, notes may be missing, wrong
// or cut in two, and sounds may belong to no note. Differences from MATCH: the
// units are notes and sounds instead of frames, so memory is one byte for each
// pair; and time enters as the distance from the moment at which a note is due.
//
// It runs twice. First each path carries its own tempo along, from several
// tempos and tunings to start with; this is a heuristic, since a cell keeps one
// path only. Then a smooth clock is fitted through the notes found, and the
// second run, whose costs depend on that clock alone, is an exact optimum.
package align

import (
	"errors"
	"fmt"
	"math"

	"waterkey/hear/onset"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// Match is what became of one played note.
type Match struct {
	First, Last int  // its sounds, as indexes; -1 when the note is missed
	Right       bool // the pitch is that of the page
}

// Played says whether a sound stands for the note.
func (m Match) Played() bool { return m.First >= 0 }

// Alignment joins a take to a performance.
type Alignment struct {
	Matches []Match // one for each played note of the performance
	Extra   []int   // sounds between the first and last matched one that belong to no note
	Tuning  float64 // cents by which the take lies above the reference A, -65 to +65
	Clock   *Clock  // from the page's seconds to the take's
}

// ErrUnlike says that the recording is not one of this part.
var ErrUnlike = errors.New("this does not sound like that part")

// maxPairs bounds notes times sounds: 64 MB of moves, far above an hour of
// fast notes (estimate).
const maxPairs = 64_000_000

// Align matches sounds to the notes of pf. a4 is the reference A in Hz. The
// error is ErrUnlike, wrapped with the reason, or says that there is nothing
// to align or too much.
func Align(pf *score.Performance, sounds []onset.Sound, a4 float64) (*Alignment, error) {
	notes := notesOf(pf, a4)
	switch {
	case len(notes) == 0:
		return nil, errors.New("the part has no notes to listen for")
	case len(sounds) == 0:
		return nil, fmt.Errorf("%w: no note can be heard in the recording", ErrUnlike)
	case len(notes)*len(sounds) > maxPairs:
		return nil, fmt.Errorf("%d notes and %d sounds are too many to compare; cut the recording to the excerpt", len(notes), len(sounds))
	}
	g := &grid{notes: notes, sounds: sounds}
	best := g.search()
	if !resembles(best) {
		return nil, g.unlike(best)
	}
	for range 2 { // the second clock has the notes that the first run missed
		best.clock = fitClock(notes, sounds, best.matches)
		best = g.run(carried{}, best.tuning, best.clock)
	}
	if !resembles(best) {
		return nil, g.unlike(best)
	}
	return &Alignment{
		Matches: best.matches,
		Extra:   extras(best, len(sounds)),
		Tuning:  best.tuning,
		Clock:   fitClock(notes, sounds, best.matches),
	}, nil
}

// note is a played note as the alignment sees it.
type note struct {
	start, end float64 // s, at the page's tempo
	cents      float64 // due, at the reference A
	low, high  float64 // cents that count as right, less the tolerance: wider for glissando and trill
	grace      bool
	moving     bool // glissando or trill
}

func notesOf(pf *score.Performance, a4 float64) []note {
	notes := make([]note, len(pf.Notes))
	for i, p := range pf.Notes {
		w := pf.Written(i)
		n := note{start: float64(p.Start), end: float64(p.End), grace: w.Grace, cents: math.NaN()}
		if w.Pitch.Step != 0 {
			n.cents = pitch.Cents(w.Pitch.Hz(a4))
		}
		n.low, n.high = n.cents, n.cents
		if w.Marks.Has(score.Trill) {
			n.high, n.moving = n.cents+trillReach, true
		}
		if w.GlissTo && i+1 < len(pf.Notes) && pf.Written(i+1).Pitch.Step != 0 {
			to := pitch.Cents(pf.Written(i + 1).Pitch.Hz(a4))
			n.low, n.high, n.moving = min(n.low, to), max(n.high, to), true
		}
		notes[i] = n
	}
	return notes
}

// trillReach is how far above its note a trill goes: a whole tone.
const trillReach = 200.0

// off is how far a sound lies from what the note may sound like, in cents,
// tuning taken out; 0 inside.
func (n *note) off(cents, tuning float64) float64 {
	c := cents - tuning
	return max(0, n.low-c, c-n.high)
}

// extras lists the sounds inside the take that no note has.
func extras(r result, sounds int) []int {
	var out []int
	first, last := sounds, -1
	owned := make([]bool, sounds)
	for _, m := range r.matches {
		if !m.Played() {
			continue
		}
		first, last = min(first, m.First), max(last, m.Last)
		for j := m.First; j <= m.Last; j++ {
			owned[j] = true
		}
	}
	for _, j := range r.extra {
		owned[j] = false
	}
	for j := first; j <= last; j++ {
		if !owned[j] {
			out = append(out, j)
		}
	}
	return out
}

// Resemblance (estimates): at least half of the stretch that was played, and a
// tenth of the part, must be there with the right pitches.
const (
	leastRight = 0.5
	leastPart  = 0.1
)

// resembles says whether enough of the part is there.
func resembles(r result) bool {
	right, span := count(r)
	return right > 0 && float64(right) >= leastRight*float64(span) && float64(right) >= leastPart*float64(len(r.matches))
}

// count is how many notes are right, and how many lie from the first to the
// last one played.
func count(r result) (right, span int) {
	first, last := len(r.matches), -1
	for i, m := range r.matches {
		if !m.Played() {
			continue
		}
		first, last = min(first, i), max(last, i)
		if m.Right {
			right++
		}
	}
	return right, max(last-first+1, 0)
}

// unlike is the error for a take that does not resemble the part, naming the
// likely cause.
func (g *grid) unlike(r result) error {
	if semitones := g.transposition(); semitones != 0 {
		return fmt.Errorf("%w: it fits with every note %+d semitones from the page; another clef, transposition or part?", ErrUnlike, semitones)
	}
	right, _ := count(r)
	return fmt.Errorf("%w: %d of its %d notes can be heard in order; check that part and take belong together",
		ErrUnlike, right, len(g.notes))
}

// transposition looks for a shift of up to an octave, in semitones, at which
// the take resembles the part; 0 for none. It tries the tempo that makes both
// equally long.
func (g *grid) transposition() int {
	page := g.notes[len(g.notes)-1].start - g.notes[0].start
	take := g.sounds[len(g.sounds)-1].Start - g.sounds[0].Start
	if page <= 0 || take <= 0 {
		return 0
	}
	stretch := max(fastest, min(take/page, slowest))
	for size := 1; size <= 12; size++ {
		for _, semitones := range []int{size, -size} {
			for _, tuning := range tunings(g.notes, g.sounds) {
				if resembles(g.run(carried{stretch: stretch}, tuning+100*float64(semitones), nil)) {
					return semitones
				}
			}
		}
	}
	return 0
}
