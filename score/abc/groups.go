package abc

import (
	"slices"

	"waterkey/score"
)

// chord gathers the notes between brackets (4.17).
type chord struct {
	notes []*written
	first fraction // length of its first note
	at    spot
}

// graces holds back what waits for the main note while grace notes are read.
type graces struct {
	slashed bool
	waiting nextNote
}

func (r *reader) openChord() {
	r.chord = &chord{first: fraction{1, 1}, at: r.here}
}

// closeChord reads a chord as one of its notes, as long as its first note times
// the length behind the chord.
func (r *reader) closeChord(length fraction) {
	c := r.chord
	if c == nil {
		return
	}
	r.chord = nil
	if len(c.notes) == 0 {
		return
	}
	if r.grace != nil {
		r.putGrace(c.notes)
		return
	}
	if length.num == 0 {
		r.here = c.at
		r.badLength(length)
	}
	r.put(c.notes, r.lengthOf(c.first, length))
}

// oneOf is the top or bottom note of a chord.
func (r *reader) oneOf(notes []*written) *written {
	one := notes[0]
	for _, w := range notes[1:] {
		if w.pitch.MIDI() > one.pitch.MIDI() == (r.line == score.Top) {
			one = w
		}
	}
	if len(notes) > 1 && r.line == score.Top {
		r.pass("the lower notes of chords were left out")
	} else if len(notes) > 1 {
		r.pass("the upper notes of chords were left out")
	}
	return one
}

// openGrace starts grace notes (4.12). The marks in front of them are for the
// main note.
func (r *reader) openGrace(slashed bool) {
	r.closeGrace()
	r.grace = &graces{slashed: slashed, waiting: r.next}
	r.next = nextNote{slurs: r.next.slurs}
	r.grace.waiting.slurs = 0
}

func (r *reader) closeGrace() {
	if r.grace == nil {
		return
	}
	r.closeChord(fraction{1, 1})
	left := r.next.slurs
	r.next = r.grace.waiting
	r.next.slurs += left
	r.grace = nil
}

func (r *reader) putGrace(notes []*written) {
	w := r.take(notes)
	w.grace, w.slashed = true, r.grace.slashed
}

// tie ties the note or chord before to what follows (4.11).
func (r *reader) tie() {
	if r.chord != nil {
		if n := len(r.chord.notes); n > 0 {
			r.chord.notes[n-1].tieTo = true
		}
		return
	}
	n := len(r.written)
	if n == 0 || r.written[n-1].rest {
		r.pass("a tie without a note before it was left out")
		return
	}
	last := r.written[n-1]
	last.tieTo = true
	if e := r.rhythm.last; e != nil && slices.Contains(e.notes, last) {
		r.ties = e.notes
	}
}

// closeSlur ends a slur at the note before.
func (r *reader) closeSlur() {
	if r.chord != nil && len(r.chord.notes) > 0 {
		r.chord.notes[len(r.chord.notes)-1].ends++
		return
	}
	if r.lastNote == nil {
		r.pass("the end of a slur before any note was left out")
		return
	}
	r.lastNote.ends++
}
