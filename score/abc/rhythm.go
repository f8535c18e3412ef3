package abc

import (
	"math/bits"

	"waterkey/score"
)

// element is what takes time: a note, a chord or a rest.
type element struct {
	notes []*written
	one   *written   // the note that was taken
	base  score.Time // as written, before tuplet
	plain score.Time // without broken rhythm
	ratio score.Ratio
	start score.Time // in its bar
	index int        // in the list of what was written
}

// rhythmReader holds what changes the length of notes besides their numbers.
type rhythmReader struct {
	last  *element // in the bar
	wait  int      // broken rhythm for the next element, as in brokenBy
	ratio score.Ratio
	left  int // notes that the tuplet goes on for
}

// barEnds drops what does not lead over a bar line.
func (m *rhythmReader) barEnds(r *reader) {
	m.last = nil
	if m.wait != 0 {
		r.pass("broken rhythm over a bar line was read across it")
	}
}

// put takes an element of so long at the cursor and moves the cursor past it.
func (r *reader) put(notes []*written, length score.Time) {
	m := &r.rhythm
	e := &element{notes: notes, base: length, plain: length, start: r.bars.at, index: len(r.written)}
	if m.left > 0 {
		e.ratio = m.ratio
		m.left--
	}
	if m.wait != 0 {
		if m.last != nil && m.last.plain != length {
			r.pass("broken rhythm between notes of different lengths has no defined meaning (4.4)")
		}
		e.base = brokenBy(length, m.wait)
		m.wait = 0
	}
	r.ties = nil
	e.one = r.take(notes)
	m.last = e
	r.measure(e)
	for _, w := range notes {
		if w.tieTo {
			r.ties = notes
		}
	}
}

// measure sets the printed value and the duration of an element, and the cursor
// behind it.
func (r *reader) measure(e *element) {
	w := e.one
	w.value, w.dots = printedValue(e.base)
	w.ratio = e.ratio
	w.duration = e.base
	if e.ratio.Actual > 0 {
		w.duration = e.base.Scale(int64(e.ratio.Normal), int64(e.ratio.Actual))
	}
	r.bars.at = e.start.Add(w.duration)
}

// broken takes signs of broken rhythm: n > 0 for >, n < 0 for < (4.4). Grace
// notes may stand between a note and the sign.
func (r *reader) broken(n int) {
	e := r.rhythm.last
	switch {
	case r.chord != nil || r.grace != nil:
		return // the lengths of graces are not read
	case n > maxBroken || n < -maxBroken:
		r.fail("%d signs of broken rhythm in a row; up to %d are read", max(n, -n), maxBroken)
	case e == nil || r.rhythm.wait != 0:
		r.pass("a sign of broken rhythm without a note before it was left out")
		return
	}
	before := r.now()
	e.base = brokenBy(e.base, -n)
	r.measure(e)
	for _, w := range r.written[e.index+1:] {
		w.onset = r.now()
	}
	r.moveMarks(before, r.now())
	r.rhythm.wait = n
}

// brokenBy is a length under broken rhythm: n > 0 takes it by halves, n < 0
// adds so many dots.
func brokenBy(length score.Time, n int) score.Time {
	if n > 0 {
		return length.Scale(1, 1<<n)
	}
	return length.Scale(2<<-n-1, 1<<-n)
}

// tuplet takes (p:q:r (4.13).
func (r *reader) tuplet(k token) {
	m := &r.rhythm
	if m.left > 0 {
		r.pass("a tuplet inside of another took its place")
	}
	p, q, run := k.p, k.q, k.r
	if q == 0 {
		q = r.defaultNormal(p)
	}
	if run == 0 {
		run = p
	}
	if p < 1 || p > maxTuplet || q > maxTuplet || run > maxTupletRun {
		r.fail("the tuplet %s is not one such as (3 or (5:4:5, with numbers up to %d", cut(k.text), maxTuplet)
	}
	m.ratio, m.left = score.Ratio{Actual: p, Normal: q}, run
	if p == q {
		m.ratio = score.Ratio{}
	}
}

// defaultNormal is the time that p notes take when the page does not say
// (4.13). The table ends at 9; above it the rule for odd numbers was taken.
func (r *reader) defaultNormal(p int) int {
	switch p {
	case 2, 4, 8:
		return 3
	case 1, 3, 6:
		return min(p, 2)
	}
	if r.meter.Compound() {
		return 3
	}
	return 2
}

// The longest and shortest printed note values: a maxima is eight whole notes.
const (
	maxValue = 8
	minValue = 1024 // parts of a whole note
	maxDots  = 4
)

// printedValue splits a length into note value and dots; a length that is no
// single note has the value 0.
func printedValue(t score.Time) (value score.Time, dots int) {
	n, d := uint64(t.Num()), uint64(t.Den())
	if t.Sign() <= 0 || bits.OnesCount64(d) != 1 {
		return score.Time{}, 0
	}
	odd := n >> bits.TrailingZeros64(n)
	if odd&(odd+1) != 0 { // not 1, 3, 7, 15: no value with dots
		return score.Time{}, 0
	}
	dots = bits.Len64(odd) - 1
	value = score.Frac(1<<(bits.Len64(n)-1), int64(d))
	if dots > maxDots || score.Frac(maxValue, 1).Less(value) || value.Less(score.Frac(1, minValue)) {
		return score.Time{}, 0
	}
	return value, dots
}
