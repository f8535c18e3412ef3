package midi

import (
	"math/bits"

	"waterkey/score"
)

// Note values that are written: from a 128th to a double whole note.
const (
	shortest = 128
	longest  = 2
)

// tuplets are those written, with the notes in whose time they stand.
var tuplets = []score.Ratio{{Actual: 3, Normal: 2}, {Actual: 5, Normal: 4}, {Actual: 7, Normal: 4}, {Actual: 9, Normal: 8}}

// single writes a length as one note: its value without dots and tuplet.
func single(length score.Time) (value score.Time, dots int, ratio score.Ratio, ok bool) {
	if value, dots, ok = plain(length); ok {
		return value, dots, score.Ratio{}, true
	}
	for _, ratio := range tuplets {
		written := length.Scale(int64(ratio.Actual), int64(ratio.Normal))
		if value, dots, ok = plain(written); ok && dots < 2 {
			return value, dots, ratio, true
		}
	}
	return score.Time{}, 0, score.Ratio{}, false
}

// plain writes a length as one note without a tuplet, with up to two dots.
func plain(length score.Time) (value score.Time, dots int, ok bool) {
	num, den := length.Num(), length.Den()
	if num <= 0 || bits.OnesCount64(uint64(den)) != 1 {
		return score.Time{}, 0, false
	}
	for dots, parts := range []int64{1, 3, 7} {
		if num%parts != 0 || bits.OnesCount64(uint64(num/parts)) != 1 {
			continue
		}
		value = length.Scale(1<<dots, parts)
		if value.Den() > shortest || value.Num() > longest {
			return score.Time{}, 0, false
		}
		return value, dots, true
	}
	return score.Time{}, 0, false
}

// stretch is what one note or rest takes of a bar. Times count from where a
// full bar would start.
type stretch struct{ from, to score.Time }

// split divides a stretch into single values; beat is the meter's. What cannot
// be written, which no grid gives, stays whole.
func (s stretch) split(beat score.Time, fits func(s stretch, beat score.Time) bool) []stretch {
	if !fits(s, beat) {
		if at, ok := s.strongest(beat); ok {
			return append(stretch{s.from, at}.split(beat, fits), stretch{at, s.to}.split(beat, fits)...)
		}
	}
	return []stretch{s}
}

// fitsNote says whether a stretch is written as one note.
func fitsNote(s stretch, beat score.Time) bool { return s.writable() && !s.hidesBeat(beat) }

// fitsRest says whether a stretch is written as one rest: without dots, except
// those of compound meters, and starting on a multiple of its length (common
// practice).
func fitsRest(s stretch, beat score.Time) bool {
	length := s.to.Sub(s.from)
	_, dots, ratio, _ := single(length)
	if !fitsNote(s, beat) || ratio.Actual > 0 {
		return fitsNote(s, beat)
	}
	return (dots == 0 || beat.Num() == 3 && dots == 1) && isMultiple(s.from, length)
}

// writable says whether a stretch is a single value where it stands: a tuplet
// must lie inside its group, which lasts twice the written value, and start on
// half a value of it.
func (s stretch) writable() bool {
	from, to := s.from, s.to
	value, _, ratio, ok := single(to.Sub(from))
	if !ok {
		return false
	}
	if ratio.Actual == 0 {
		return from.Den()&(from.Den()-1) == 0 // a plain value inside a tuplet starts nowhere
	}
	group := value.Scale(2, 1)
	if group.Less(score.Frac(1, 4)) {
		group = score.Frac(1, 4)
	}
	index := int64(from.Over(group))
	if group.Scale(index+1, 1).Less(to) {
		return false
	}
	step := value.Scale(int64(ratio.Normal), 2*int64(ratio.Actual))
	return from.Sub(group.Scale(index, 1)).Scale(step.Den(), step.Num()).Den() == 1
}

// hidesBeat says whether a stretch goes over a beat of a compound meter and does
// not fill beats from one on.
func (s stretch) hidesBeat(beat score.Time) bool {
	if beat.Num() != 3 || beat.Less(s.to.Sub(s.from)) && isMultiple(s.from, beat) {
		return false
	}
	next := beat.Scale(int64(s.from.Over(beat))+1, 1)
	return next.Less(s.to)
}

func isMultiple(t, of score.Time) bool { return t.Scale(of.Den(), of.Num()).Den() == 1 }

// strongest is the metrically strongest moment inside a stretch: a beat of a
// compound meter, else a multiple of the largest binary value, or inside a
// quarter of tuplets the largest value of theirs.
func (s stretch) strongest(beat score.Time) (score.Time, bool) {
	steps := []score.Time{}
	if beat.Num() == 3 {
		steps = append(steps, beat.Scale(2, 1), beat)
	}
	odd := max(oddFactor(s.from.Den()), oddFactor(s.to.Den()))
	for den := int64(1); den <= shortest; den *= 2 {
		if step := score.Frac(1, den); odd == 1 || den <= 4 {
			steps = append(steps, step)
		}
	}
	for den := odd; odd > 1 && den <= shortest*odd; den *= 2 {
		steps = append(steps, score.Frac(1, den))
	}
	for _, step := range steps {
		at := step.Scale(int64(s.from.Over(step))+1, 1)
		if !s.from.Less(at) {
			at = at.Add(step)
		}
		if at.Less(s.to) {
			return at, true
		}
	}
	return score.Time{}, false
}

// oddFactor is what is left of n without its factors of two.
func oddFactor(n int64) int64 { return n >> bits.TrailingZeros64(uint64(n)) }
