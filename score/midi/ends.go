package midi

import (
	"math"
	"slices"

	"waterkey/score"
)

// Where a note ends on the page follows from where it stops in the file, from
// the next onset, and from how the rest of the part is played:
//
//   - Where nine ends in ten are exact the file states full values: an exact
//     end is the end, and no marks are made.
//   - Otherwise a gap before the next note of at most an eighth and at most
//     half of the time between the onsets is articulation: the value lasts up
//     to the next note. Up to an eighth between the onsets every gap is
//     articulation. The note is Staccato when it sounds for at most
//     staccatoMost of its value, and Staccatissimo in an eighth or less from
//     staccatissimoMost down.
//   - A longer gap is a rest. The value before it is an exact one, or else the
//     likeliest for the share that the part's plain notes sound. Where those
//     are seen to sound less than their value, an exact eighth or shorter is no
//     plain note: it is read as twice as long and Staccato.
//
// The rule and its bounds are our own. It cannot tell a staccato quarter from
// an eighth and an eighth rest where a file gives both the same ticks, nor a
// wedge on a quarter from a dot on an eighth.
const (
	staccatoMost      = 0.6  // half (see score.Note.SoundedShare), and room for a player
	staccatissimoMost = 0.35 // a quarter, and room
	usualShare        = 0.9  // of plain notes, where the part has none to show it (estimate)
)

var eighth = score.Frac(1, 8)

// end gives every note its duration.
func (r *reader) end(notes []placed) {
	main := mainNotes(notes)
	literal := mostlyTrue(strucks(notes), func(n struck) bool { _, ok := r.exactEnd(n); return ok })
	share, shown := r.plainShare(notes, main)
	for k, i := range main {
		n := &notes[i]
		room := r.out.Bars[len(r.out.Bars)-1].End().Sub(n.onset)
		if k+1 < len(main) {
			room = notes[main[k+1]].onset.Sub(n.onset)
			r.sayCut(n, notes[main[k+1]])
		}
		n.duration = room
		if stop, ok := r.exactEnd(n.struck); literal && ok {
			if d := stop.Sub(n.onset); d.Sign() > 0 && d.Less(room) {
				n.duration = d
			}
		} else {
			r.articulate(n, room, share, shown)
		}
		r.fitBeat(n, room)
	}
}

// fitBeat moves an end to where a value can end in its beat: on the grid of the
// tuplets that start there, or on one of halves or thirds. No value lies
// between two tuplets, and a bar that is cut short anywhere shifts all grids.
func (r *reader) fitBeat(n *placed, room score.Time) {
	const finest, finestTuplet = 64, 16 // parts of a whole note, and of a single tuplet note
	end := n.onset.Add(n.duration)
	beat := r.beatOf(end)
	within := end.Sub(beat)
	odd, starts := r.odds[beat]
	if own := oddFactor(within.Den()); odd <= 1 && (own == 3 || !starts && own == n.odd) {
		odd = own
	}
	den := int64(finest)
	if odd > 1 {
		den = finestTuplet * odd
	}
	if within.Scale(den, 1).Den() == 1 {
		return
	}
	parts := max(int64(math.Round(within.Float()*float64(den))), 1)
	n.duration = beat.Add(score.Frac(parts, den)).Sub(n.onset)
	if n.duration.Sign() <= 0 || room.Less(n.duration) {
		n.duration = room
	}
}

// mainNotes are the indexes of all that are no grace notes.
func mainNotes(notes []placed) []int {
	var out []int
	for i, n := range notes {
		if !n.grace {
			out = append(out, i)
		}
	}
	return out
}

func strucks(notes []placed) []struck {
	out := make([]struck, len(notes))
	for i, n := range notes {
		out[i] = n.struck
	}
	return out
}

// sayCut says when a note goes on far into the next.
func (r *reader) sayCut(n *placed, next placed) {
	const overlap = 16 // part of a whole note: more than a legato touches (estimate)
	if n.off-next.on > r.doc.perWhole/overlap {
		r.log.add(n.onset, "a note that sounds on into the next was cut short")
	}
}

// sounded is how long a note sounds, in whole notes, from its place on the
// page.
func (r *reader) sounded(n *placed) float64 {
	length := float64(n.off-n.on) / float64(r.doc.perWhole)
	return max(length, 0)
}

// plainShare is the middle of the shares that notes sound of the time to the
// next one, of those neither staccato nor bound; shown is false where there
// are none.
func (r *reader) plainShare(notes []placed, main []int) (share float64, shown bool) {
	const bound = 0.995
	var shares []float64
	for k := 0; k+1 < len(main); k++ {
		n := &notes[main[k]]
		share := r.sounded(n) / notes[main[k+1]].onset.Sub(n.onset).Float()
		if share > staccatoMost && share < bound {
			shares = append(shares, share)
		}
	}
	if len(shares) == 0 {
		return usualShare, false
	}
	slices.Sort(shares)
	return shares[len(shares)/2], true
}

// articulate decides between a short note and a note with a rest behind it.
func (r *reader) articulate(n *placed, room score.Time, share float64, shown bool) {
	length, whole := r.sounded(n), room.Float()
	gap := whole - length
	tick := 1 / float64(r.doc.perWhole)
	half := tick / 2
	switch {
	case gap <= half:
	case !eighth.Less(room) && length <= staccatissimoMost*whole:
		n.marks |= score.Staccatissimo
	case !eighth.Less(room), gap <= eighth.Float()+half && gap <= whole/2+tick:
		if length <= staccatoMost*whole {
			n.marks |= score.Staccato
		}
	default:
		n.duration = r.likeliest(n, room, share)
		twice := n.duration.Scale(2, 1)
		exact := math.Abs(n.duration.Float()-length) <= half
		if shown && exact && !eighth.Less(n.duration) && !room.Less(twice) {
			n.duration = twice
			n.marks |= score.Staccato
		}
	}
}

// likeliest is the value of a note before a rest: one that the note fills
// exactly, else the one for which it sounds most nearly its usual share,
// single and undotted values being preferred.
func (r *reader) likeliest(n *placed, room score.Time, share float64) score.Time {
	length := r.sounded(n)
	half := 0.5 / float64(r.doc.perWhole)
	best, least := room, math.Inf(1)
	for _, v := range candidates(length, n.odd) {
		if room.Less(v) {
			continue
		}
		if math.Abs(v.Float()-length) <= half {
			return v
		}
		cost := math.Abs(math.Log(v.Float()*share/length)) + clumsiness(v)
		if cost < least {
			best, least = v, cost
		}
	}
	return best
}

// candidates are values from a little below a sounded length, in whole notes,
// to twice that.
func candidates(length float64, odd int64) []score.Time {
	// The grid of a value is the finer the shorter it is.
	den := int64(32)
	for reach := 0.25; den > 1 && length > reach; reach *= 4 {
		den /= 2
	}
	dens := []int64{den}
	if odd > 1 {
		dens = append(dens, 8*odd)
	}
	const below, above = 0.9, 2.0
	var out []score.Time
	for _, den := range dens {
		for k := max(int64(below*length*float64(den)), 1); float64(k) <= above*length*float64(den)+1 && len(out) < 200; k++ {
			out = append(out, score.Frac(k, den))
		}
	}
	return out
}

// clumsiness is the price of a value that is no plain note, as a logarithm of
// a ratio of lengths (estimate).
func clumsiness(v score.Time) float64 {
	const dotted, tied = 0.02, 0.08
	switch _, dots, ratio, ok := single(v); {
	case !ok:
		return tied
	case dots > 0 || ratio.Actual > 0:
		return dotted
	}
	return 0
}
