package align

import (
	"fmt"
	"math"
)

// Resemblance (estimates, checked on takes of other parts).
const (
	leastRight = 0.5 // of the notes in the runs that the take is judged by have the right pitch
	leastPart  = 0.1 // of the part is there
	leastNotes = 12  // notes at the least, half of a part with fewer than twice as many
	leastShare = 0.3 // of the sounding time is notes of the part, unless half of the part is there
	// leastFit is the share of right notes in the judged runs times the score for
	// each right note. A path pieced together by jumps pays for them: takes of
	// other tunes in the same key reach 0.44, true ones with a fault in every tenth
	// note 0.7.
	leastFit = 0.55
)

// resembles says whether enough of the part is there.
func (s *search) resembles(r result) bool {
	right, span := s.count(r)
	notes, found := float64(len(s.page.notes)), float64(right)
	switch all, share := s.explained(r); {
	case right == 0, found < leastRight*float64(span):
		return false
	case found < leastPart*notes, found < min(leastNotes, notes/2):
		return false
	case found/float64(span)*r.score/float64(all) < leastFit:
		return false
	default:
		return share >= leastShare || found >= notes/2
	}
}

// explained is how many right notes a path has, and the share of the sounding
// time that is theirs.
func (s *search) explained(r result) (right int, share float64) {
	total, theirs := 0.0, 0.0
	for _, v := range s.sounds {
		if !math.IsNaN(v.Cents) {
			total += v.End - v.Start
		}
	}
	for _, st := range r.steps {
		if !st.right {
			continue
		}
		right++
		for k := st.sound; k <= st.last; k++ {
			theirs += s.sounds[k].End - s.sounds[k].Start
		}
	}
	return right, theirs / max(total, 1e-9)
}

// count is how many judged notes are right, and how many lie in judged runs.
func (s *search) count(r result) (right, span int) {
	runs, _ := s.runsOf(r.steps)
	judge(runs)
	for _, run := range runs {
		span += max(run.To-run.From+1, 0)
		for _, v := range run.steps {
			if v.right && run.From <= v.note && v.note <= run.To {
				right++
			}
		}
	}
	return right, span
}

// unlike is the error for a take that does not resemble the part, naming the
// likely cause.
func (s *search) unlike(r result) error {
	if semitones := s.semitones(); semitones != 0 {
		return fmt.Errorf("%w: it fits with every note %+d semitones from the page; another clef, transposition or part?", ErrUnlike, semitones)
	}
	right, _ := s.count(r)
	return fmt.Errorf("%w: %d of its %d notes can be heard in order; check that pitch, part and take belong together",
		ErrUnlike, right, len(s.page.notes))
}

// semitones looks for a shift of less than an octave at which the take
// resembles the part; 0 for none. It tries those whose pitches fit best.
func (s *search) semitones() int {
	const tries = 3
	var all []transposition
	for n := -11; n < 12; n++ {
		for _, tuning := range s.tunings() {
			if n != 0 {
				all = append(all, transposition{tuning: tuning, steps: n})
			}
		}
	}
	s.sortByFit(all)
	for _, t := range all[:min(tries, len(all))] {
		if s.resembles(s.run(t, nil)) {
			return t.steps
		}
	}
	return 0
}
