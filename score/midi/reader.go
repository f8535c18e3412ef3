package midi

import (
	"cmp"
	"errors"
	"slices"

	"waterkey/score"
)

// reader makes a part of one strand.
type reader struct {
	doc  *Document
	src  *strand
	grid Grid
	line score.Line
	out  *score.Part
	log  *skipLog

	clock    tempoClock
	span     span         // the last meter, for bars added at the end
	felt     []score.Time // by bar: the beat a player feels
	lattices map[[2]int]lattice
	odds     map[score.Time]int64 // of the divisions of the beats in which notes start
	count    []int                // by bar: notes and rests written
}

func newReader(d *Document, s *strand, g Grid, line score.Line) *reader {
	return &reader{
		doc: d, src: s, grid: g, line: line, log: newSkipLog(), clock: newClock(d),
		out:      &score.Part{Title: d.title, Name: s.name, ID: s.id},
		lattices: map[[2]int]lattice{}, odds: map[score.Time]int64{},
	}
}

// at is the moment of a tick.
func (r *reader) at(tick int64) score.Time { return score.Frac(tick, r.doc.perWhole) }

// read makes the part. score.Time throws ErrTooFine where it cannot add
// exactly.
func (r *reader) read() (p *score.Part, err error) {
	defer func() {
		v := recover()
		if v == nil {
			return
		}
		cause, ok := v.(error)
		if !ok || !errors.Is(cause, score.ErrTooFine) {
			panic(v)
		}
		p, err = nil, r.failed(cause)
	}()
	if err := r.compose(); err != nil {
		return nil, r.failed(err)
	}
	return r.out, nil
}

func (r *reader) failed(err error) error {
	e := &score.ReadError{File: r.doc.file, Part: r.src.name, Err: err}
	if n := len(r.out.Bars); n > 0 {
		e.Bar = r.out.Bars[n-1].Number
	}
	return e
}

func (r *reader) compose() error {
	if err := r.layBars(); err != nil {
		return err
	}
	line := r.oneLine(r.src.notes)
	// A note may be rounded up to the end of the last bar.
	if err := r.reach(r.at(line[len(line)-1].on)); err != nil {
		return err
	}
	notes := r.quantize(line)
	if err := r.reach(notes[len(notes)-1].onset); err != nil {
		return err
	}
	r.layKeys()
	r.end(notes)
	r.page(notes)
	r.spell(notes)
	r.printAccidentals()
	r.layTempos()
	r.layMarkers()
	r.say()
	return nil
}

// chordSpread is how far apart the notes of a chord may start, as a part of a
// whole note: a sixty-fourth, 30 ms at a quarter note of 120 (estimate).
const chordSpread = 64

// oneLine keeps the top or bottom note of each chord: notes that start within
// chordSpread and sound together for at least half of the shorter one.
func (r *reader) oneLine(notes []struck) []struck {
	notes = slices.Clone(notes)
	slices.SortStableFunc(notes, func(a, b struck) int {
		return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(a.key, b.key))
	})
	says := "the lower notes of chords were left out"
	if r.line == score.Bottom {
		says = "the upper notes of chords were left out"
	}
	var out []struck
	var first struck // of the chord
	for _, n := range notes {
		k := len(out) - 1
		if k < 0 || !r.together(first, n) {
			out = append(out, n)
			first = n
			continue
		}
		r.log.add(r.at(n.on), says)
		if (n.key > out[k].key) == (r.line == score.Top) {
			out[k] = n
		}
	}
	return out
}

func (r *reader) together(a, b struck) bool {
	shared := min(a.off, b.off) - b.on
	return b.on-a.on < max(r.doc.perWhole/chordSpread, 1) && 2*shared >= min(a.off-a.on, b.off-b.on)
}

// layMarkers keeps the file's markers as words.
func (r *reader) layMarkers() {
	for _, m := range r.doc.markers {
		at := r.at(m.tick)
		if at.Less(r.barsEnd()) {
			r.out.Words = append(r.out.Words, score.Words{At: at, Bar: barOf(r.out.Bars, at), Text: m.text})
		}
	}
}

// say lists what was passed over.
func (r *reader) say() {
	r.log.addWhole("a MIDI file gives no dynamics, slurs or clefs: velocities are no marks and were left out")
	for _, m := range slices.Concat(r.doc.remarks, r.src.remarks) {
		if m.tick == nowhere {
			r.log.addWhole(m.text)
			continue
		}
		r.log.add(r.at(m.tick), m.text)
	}
	r.out.Skipped = r.log.sentences(r.out.Bars)
}
