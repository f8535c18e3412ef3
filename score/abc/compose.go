package abc

import (
	"waterkey/score"
)

// finish ends the walk.
func (r *reader) finish() {
	r.closeGroups()
	r.closeBar()
	r.finishEndings()
	r.finishWedges()
	r.signsAtBarLine()
	if r.bars.signs != (jump{}) {
		r.pass("a segno or coda after the last note was left out")
	}
	r.numberBars()
}

// compose makes the part of what was written.
func (r *reader) compose() {
	var notes []*written
	for _, w := range r.written {
		switch {
		case !w.rest:
			notes = append(notes, w)
		case !w.hidden:
			r.addRest(w)
		}
	}
	r.slur(notes)
	r.addNotes(notes)
	r.placeAttacks()
	r.finishJumps()
	r.out.PlaceMarks()
	r.out.Skipped = r.skip.Sentences(r.out.Bars)
}

// slur marks every note under each slur. Slurs nest (4.11).
func (r *reader) slur(notes []*written) {
	var open []int
	under := make([]int, len(notes)+1) // slurs that start less those that end, by note
	for i, w := range notes {
		for range w.slurs {
			open = append(open, i)
		}
		for range w.ends {
			if len(open) == 0 {
				r.skip.Add(w.bar, w.at.line, "the end of a slur without a start was left out")
				continue
			}
			under[open[len(open)-1]]++
			under[i]--
			open = open[:len(open)-1]
		}
	}
	depth := 0
	for i := range notes {
		if depth += under[i]; depth > 0 {
			notes[i].slurTo, notes[i+1].slurFrom = true, true
		}
	}
	for _, i := range open {
		r.skip.Add(notes[i].bar, notes[i].at.line, "a slur that never ends was left out")
	}
}

// addNotes strings tied notes together.
func (r *reader) addNotes(notes []*written) {
	r.out.Notes = make([]score.Note, 0, len(notes))
	taken := make([]bool, len(notes))
	main := make([]int, len(notes)) // the next note that is no grace note
	for i, next := len(notes)-1, len(notes); i >= 0; i-- {
		main[i] = next
		if !notes[i].grace {
			next = i
		}
	}
	for i, w := range notes {
		if taken[i] {
			continue
		}
		n := newScoreNote(w)
		last := w
		for j := i; last.tieTo; {
			j = main[j]
			if j == len(notes) || taken[j] || !continues(notes[j], last) {
				r.skip.Add(last.bar, last.at.line, "a tie leads to no note of the same pitch and was left out")
				break
			}
			taken[j], last = true, notes[j]
			addPiece(&n, last)
		}
		n.SlurTo = last.slurTo
		r.out.Notes = append(r.out.Notes, n)
	}
}

// continues says whether a tie leads from one note to another: to the same
// pitch on the page, starting where the first ends.
func continues(w, from *written) bool {
	return w.onset == from.onset.Add(from.duration) && w.page == from.page
}

func newScoreNote(w *written) score.Note {
	return score.Note{
		ID: w.id, Bar: w.bar, Line: w.at.line, Onset: w.onset, Duration: w.duration,
		Pitch: w.pitch, Written: w.page, Pieces: []score.Piece{pieceOf(w)}, Marks: w.marks,
		Accidental: w.accidental, Courtesy: w.courtesy && w.accidental != "", Grace: w.grace, Slashed: w.slashed,
		SlurFrom: w.slurFrom, GlissTo: w.gliss,
	}
}

func pieceOf(w *written) score.Piece {
	return score.Piece{ID: w.id, Bar: w.bar, Onset: w.onset, Duration: w.duration, Value: w.value, Dots: w.dots, Tuplet: w.ratio}
}

// addPiece lengthens a note by a tied one. A grace note tied to its main note
// becomes part of it.
func addPiece(n *score.Note, w *written) {
	n.Pieces = append(n.Pieces, pieceOf(w))
	n.Duration = n.Duration.Add(w.duration)
	n.Marks |= w.marks
	n.GlissTo = n.GlissTo || w.gliss
	n.Grace, n.Slashed = n.Grace && w.grace, n.Slashed && w.grace
}

func (r *reader) addRest(w *written) {
	b := r.out.Bars[w.bar]
	fills := w.dots == 0 && (w.value.Sign() == 0 || w.value == score.Frac(1, 1)) &&
		w.duration == b.Length && b.Length == b.Meter.Length()
	r.out.Rests = append(r.out.Rests, score.Rest{
		ID: w.id, Bar: w.bar, Onset: w.onset, Duration: w.duration, WholeBar: w.wholeBar || fills,
		Fermata: w.marks.Has(score.Fermata), Tuplet: w.ratio, Value: w.value, Dots: w.dots,
	})
}
