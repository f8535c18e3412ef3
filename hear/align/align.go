// Package align says which sound of a take is which note of the page.
//
// Method: the hidden Markov model of T. Nakamura, E. Nakamura and S. Sagayama,
// "Real-time audio-to-score alignment of music performances containing errors
// and arbitrary repeats and skips", IEEE/ACM Trans. Audio, Speech, and Language
// Processing 24, 2016. A note of the page is a state; from it a player goes on
// to the next, leaves notes out, plays something else, repeats the note, or
// stops, rests in a break state and begins anew anywhere. Their step that makes
// this fast holds here too: the cost of a jump is the sum of what it costs to
// stop and what it costs to begin, so the best jump into all notes is found once
// for each sound and not once for each pair of notes. Differences:
//
//   - The observations are sounds, cut before (package onset), instead of
//     frames: a take has hundreds of them instead of ten thousands of frames.
//   - The whole take is known, so the best path is traced back from the end.
//   - Time enters: the distance between two onsets is held against the page's at
//     the tempo of the moment. A sound that belongs to no note, or goes on with
//     the one before, is passed over on the way; the model is a semi-Markov one.
//   - Beginning is cheaper where players begin: at the start, after a repeat
//     sign, at a barline, after a rest or a breath mark. In the paper all places
//     are equal.
//   - Leaps that keep the beat have costs of their own: a bar left out, a repeat
//     not taken.
//   - Costs are bounded penalties in units of one right note instead of logarithms
//     of probabilities, since no labeled takes of brass players are to be had.
//
// It runs several times. At first each path carries its own tempo along; this
// is a heuristic, since a cell keeps one path only. Then the tempo is read off
// the notes found, and the last run, whose costs depend on that tempo alone, is
// an exact optimum over all paths whose cost stays within a beam of the best.
//
// A player who stops and begins again some bars back has played some notes
// twice. The take that a coach judges is the chain of runs that leads to the
// furthest note reached: its last run as a whole, and before each run the one
// that comes closest to where it begins, the latest of equals. What the others
// hold is listed as [Alignment.Again] and is measured nowhere.
package align

import (
	"errors"
	"fmt"
	"slices"

	"waterkey/hear/onset"
	"waterkey/score"
)

// Match is what became of one played note.
type Match struct {
	First, Last int     // its sounds, as indexes; -1 when the note is missed
	Right       bool    // the pitch is that of the page
	Cents       float64 // the pitch of its first sound as it counts, in cents above MIDI note 0
}

// Played says whether a sound stands for the note.
func (m Match) Played() bool { return m.First >= 0 }

// Alignment joins a take to a performance. Sounds are given by their indexes,
// in rising order.
type Alignment struct {
	Matches []Match // one for each played note of the performance; their sounds rise
	Extra   []int   // sounds inside the take that belong to no note
	Tuning  float64 // cents by which the take lies above the reference A, octaves taken out, -65 to +65
	Octaves int     // by which the whole take sounds above the page: -1, 0 or 1
	Clock   *Clock  // from the page's seconds to the take's

	Runs  []Run  // what was played in one go, in the order of the take
	Jumps []Jump // one between each run and the next
	Gaps  []Gap  // stretches of the page that no run of the take has

	Ahead []int // sounds before the first note: tuning, talk, a count-in
	Aside []int // sounds between a stop and the new beginning
	After []int // sounds after the last note
	Again []int // sounds of playings that a later one replaces
}

// ErrUnlike says that the recording is not one of this part.
var ErrUnlike = errors.New("this does not sound like that part")

// Bounds of what is compared, so that memory stays below some 100 MB (estimates:
// an hour of sixteenths at 120 has 29,000 sounds, a long symphony part 5,000
// notes; repeats included).
const (
	maxSounds = 60_000
	maxNotes  = 100_000
)

// Align matches sounds to the notes of pf. a4 is the reference A in Hz. The
// error is ErrUnlike, wrapped with the reason, or says that there is nothing
// to align or too much.
func Align(pf *score.Performance, sounds []onset.Sound, a4 float64) (*Alignment, error) {
	p := newPage(pf, a4)
	switch {
	case len(p.notes) == 0:
		return nil, errors.New("the part has no notes to listen for")
	case len(sounds) == 0:
		return nil, fmt.Errorf("%w: no note can be heard in the recording", ErrUnlike)
	case len(sounds) > maxSounds:
		return nil, fmt.Errorf("%d sounds are more than the %d that can be compared; cut the recording to the excerpt", len(sounds), maxSounds)
	case len(p.notes) > maxNotes:
		return nil, fmt.Errorf("%d notes are more than the %d that can be compared; cut the part to the excerpt", len(p.notes), maxNotes)
	}
	s := &search{page: p, sounds: sounds}
	found, ok := s.best()
	if !ok {
		return nil, s.unlike(found)
	}
	return s.alignment(found), nil
}

// rounds is how often at most the tempo is read off the notes found and the
// path searched anew; it ends as soon as a path is its own answer.
const rounds = 3

// best tries the tunings and octaves that the pitches allow, the likeliest
// first, until one makes the take resemble the part.
func (s *search) best() (found result, ok bool) {
	for k, t := range s.transpositions() {
		r := s.settle(s.run(t, nil))
		if k == 0 || r.score > found.score {
			found = r
		}
		if s.resembles(r) {
			return r, true
		}
	}
	return found, false
}

// settle refines a path by its own tempo and tuning.
func (s *search) settle(r result) result {
	for range rounds {
		if len(r.steps) == 0 {
			return r
		}
		before := r
		r.transposition.tuning = s.tuningOf(r)
		r = s.run(r.transposition, s.tempoOf(r))
		if slices.Equal(before.steps, r.steps) {
			break
		}
	}
	return r
}
