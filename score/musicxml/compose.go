package musicxml

import (
	"slices"

	"waterkey/score"
)

// compose makes the part of what was written.
func (r *reader) compose() {
	r.el = nil
	notes, rests := r.chooseLine()
	notes = r.oneNote(notes)
	r.slur(notes)
	r.addNotes(notes)
	r.addRests(rests)
	r.muteNotes()
	r.placeAttacks()
	r.finishEndings()
	r.finishNavigation()
	r.finishSpans()
	r.out.PlaceMarks()
	r.out.Skipped = r.skip.Sentences(r.out.Bars)
}

// slur marks every note under each slur. A note may end one slur and start
// another of the same number.
func (r *reader) slur(notes []*written) {
	open := map[string]int{}
	step := make([]int, len(notes)+1) // slurs that start less slurs that end
	for i, w := range notes {
		for _, s := range w.slurs {
			if s.start {
				continue
			}
			from, ok := open[s.number]
			if !ok {
				r.skip.Add(w.bar, w.line, "the end of a slur without a start in this line was left out")
				continue
			}
			delete(open, s.number)
			step[from]++
			step[i]--
		}
		for _, s := range w.slurs {
			if s.start {
				open[s.number] = i
			}
		}
	}
	for i, depth := 0, 0; i+1 < len(notes); i++ {
		if depth += step[i]; depth > 0 {
			notes[i].slurTo, notes[i+1].slurFrom = true, true
		}
	}
	for _, i := range open {
		r.skip.Add(notes[i].bar, notes[i].line, "a slur that never ends in this line was left out")
	}
}

// addNotes strings tied notes together.
func (r *reader) addNotes(notes []*written) {
	taken := make([]bool, len(notes))
	for i, w := range notes {
		if taken[i] {
			continue
		}
		n := newScoreNote(w)
		last := w
		for j := i; last.tieTo; {
			j = r.continuation(notes, taken, j, last)
			if j < 0 {
				r.skip.Add(last.bar, last.line, "a tie leads to no note and was left out")
				break
			}
			taken[j], last = true, notes[j]
			addPiece(&n, last)
		}
		n.SlurTo = last.slurTo
		r.out.Notes = append(r.out.Notes, n)
	}
}

// maxTieReach is how many notes on the other end of a tie is looked for: grace
// notes may stand between (estimate, far above any real figure).
const maxTieReach = 64

// continuation finds the note that a tie from notes[i] leads to: the same
// pitch on the page, starting where this one ends.
func (r *reader) continuation(notes []*written, taken []bool, i int, from *written) int {
	for j := i + 1; j < min(len(notes), i+maxTieReach); j++ {
		w := notes[j]
		if from.end().Less(w.onset) {
			break
		}
		if taken[j] || w.onset != from.end() || w.page != from.page || w.grace && (!w.tieFrom || j > i+1) {
			continue
		}
		if !w.tieFrom {
			r.skip.Add(from.bar, from.line, "a tie whose end is not marked was read to the next note")
		}
		return j
	}
	return -1
}

func newScoreNote(w *written) score.Note {
	return score.Note{
		ID: w.id, Bar: w.bar, Line: w.line, Onset: w.onset, Duration: w.duration,
		Pitch: w.pitch, Written: w.page, Pieces: []score.Piece{pieceOf(w)}, Marks: w.marks,
		Accidental: w.accidental, Courtesy: w.courtesy, Grace: w.grace, Slashed: w.slashed,
		SlurFrom: w.slurFrom, GlissTo: w.gliss, Ornaments: w.ornaments, TremoloStrokes: w.strokes,
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
	n.Ornaments = append(n.Ornaments[:len(n.Ornaments):len(n.Ornaments)], w.ornaments...)
	n.TremoloStrokes = max(n.TremoloStrokes, w.strokes)
	n.Grace, n.Slashed = n.Grace && w.grace, n.Slashed && w.grace
}

func (r *reader) addRests(rests []*written) {
	slices.SortStableFunc(rests, func(a, b *written) int { return a.onset.Cmp(b.onset) })
	for _, w := range rests {
		r.out.Rests = append(r.out.Rests, score.Rest{
			ID: w.id, Bar: w.bar, Onset: w.onset, Duration: w.duration, WholeBar: w.wholeBar || r.fillsBar(w),
			Fermata: w.marks.Has(score.Fermata), Tuplet: w.ratio, Value: w.value, Dots: w.dots,
		})
	}
}

// fillsBar says whether a rest is the whole rest that fills any bar.
func (r *reader) fillsBar(w *written) bool {
	b := r.out.Bars[w.bar]
	return w.dots == 0 && (w.value.Sign() == 0 || w.value == score.Frac(1, 1)) &&
		w.duration == b.Length && b.Length == b.Meter.Length()
}

// placeAttacks gives each accent to the note that starts at its moment, or
// failing that to the next one in its bar.
func (r *reader) placeAttacks() {
	starts := map[score.Time]int{} // main notes by onset
	for i, n := range r.out.Notes {
		if !n.Grace {
			starts[n.Onset] = i
		}
	}
	for _, a := range r.attacks {
		i, exact := starts[a.at]
		if !exact {
			i, _ = slices.BinarySearchFunc(r.out.Notes, a.at, func(n score.Note, at score.Time) int { return n.Onset.Cmp(at) })
		}
		if i == len(r.out.Notes) || !exact && r.out.Notes[i].Bar != a.bar {
			r.skip.Add(a.bar, a.line, a.mark+" without a note that starts there was left out")
			continue
		}
		r.out.Notes[i].Attack = a.mark
	}
}
