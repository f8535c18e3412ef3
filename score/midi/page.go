package midi

import (
	"fmt"

	"waterkey/score"
)

// page writes the notes and the rests between them, bar by bar.
func (r *reader) page(notes []placed) {
	r.count = make([]int, len(r.out.Bars))
	var at score.Time
	for _, n := range notes {
		if at.Less(n.onset) {
			r.addRests(at, n.onset)
		}
		r.addNote(n)
		at = n.onset.Add(n.duration)
	}
	r.addRests(at, r.barsEnd())
}

// id names a note or rest by its bar and its place in it, both from 1.
func (r *reader) id(bar int) string {
	r.count[bar]++
	return fmt.Sprintf("b%dn%d", bar+1, r.count[bar])
}

// lead is what a pickup lacks of a full bar.
func (r *reader) lead(bar int) score.Time {
	b := r.out.Bars[bar]
	if full := b.Meter.Length(); b.Implicit && b.Length.Less(full) {
		return full.Sub(b.Length)
	}
	return score.Time{}
}

// eachValue goes through a stretch of the part in single values, cut at the
// bar lines.
func (r *reader) eachValue(from, to score.Time, fits func(stretch, score.Time) bool, do func(bar int, from, length score.Time)) {
	for i := barOf(r.out.Bars, from); i < len(r.out.Bars) && from.Less(to); i++ {
		bar := r.out.Bars[i]
		stop := to
		if bar.End().Less(stop) {
			stop = bar.End()
		}
		zero := bar.Start.Sub(r.lead(i))
		for _, c := range (stretch{from.Sub(zero), stop.Sub(zero)}).split(bar.Meter.Felt(), fits) {
			do(i, zero.Add(c.from), c.to.Sub(c.from))
		}
		from = stop
	}
}

// addNote writes one note, tied where it is not a single value.
func (r *reader) addNote(n placed) {
	bar := barOf(r.out.Bars, n.onset)
	note := score.Note{Bar: bar, Onset: n.onset, Duration: n.duration, Marks: n.marks, Grace: n.grace}
	if n.grace {
		id := r.id(bar)
		note.ID = id
		note.Pieces = []score.Piece{{ID: id, Bar: bar, Onset: n.onset, Value: eighth}}
	}
	r.eachValue(n.onset, n.onset.Add(n.duration), fitsNote, func(bar int, from, length score.Time) {
		value, dots, ratio, _ := single(length)
		note.Pieces = append(note.Pieces, score.Piece{
			ID: r.id(bar), Bar: bar, Onset: from, Duration: length, Value: value, Dots: dots, Tuplet: ratio,
		})
	})
	note.ID = note.Pieces[0].ID
	r.out.Notes = append(r.out.Notes, note)
}

// addRests fills a stretch with rests, whole bars with one each.
func (r *reader) addRests(from, to score.Time) {
	whole := score.Frac(1, 1)
	for i := barOf(r.out.Bars, from); i < len(r.out.Bars) && from.Less(to); i++ {
		bar := r.out.Bars[i]
		stop := to
		if bar.End().Less(stop) {
			stop = bar.End()
		}
		if from == bar.Start && stop == bar.End() && !bar.Implicit {
			r.out.Rests = append(r.out.Rests, score.Rest{
				ID: r.id(i), Bar: i, Onset: from, Duration: bar.Length, WholeBar: true, Value: whole,
			})
		} else {
			r.eachValue(from, stop, fitsRest, func(bar int, from, length score.Time) {
				value, dots, ratio, _ := single(length)
				r.out.Rests = append(r.out.Rests, score.Rest{
					ID: r.id(bar), Bar: bar, Onset: from, Duration: length, Value: value, Dots: dots, Tuplet: ratio,
				})
			})
		}
		from = stop
	}
}
