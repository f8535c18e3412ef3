package midi

import (
	"fmt"
	"math"

	"waterkey/score"
)

// placed is a note on the page.
type placed struct {
	struck
	onset, duration score.Time
	odd             int64 // of the division of its beat
	exact           bool  // its onset was not rounded
	marks           score.Mark
	grace           bool
}

// beatRef is a beat of a bar and a moment in it.
type beatRef struct {
	bar   int
	start score.Time // of the beat, from the start of the part
	u     float64    // whole notes into the beat
}

// beatAt finds the beat a tick lies in.
func (r *reader) beatAt(tick int64) beatRef {
	at := r.at(tick)
	start := r.beatOf(at)
	return beatRef{bar: barOf(r.out.Bars, at), start: start, u: at.Sub(start).Float()}
}

// beatOf is the start of the beat that a moment lies in. Beats of a pickup
// count from where its full bar would start.
func (r *reader) beatOf(at score.Time) score.Time {
	i := barOf(r.out.Bars, at)
	bar := r.out.Bars[i]
	zero := bar.Start.Sub(r.lead(i))
	beat := r.lattice(bar.Meter).beat
	return zero.Add(beat.Scale(int64(at.Sub(zero).Over(beat)), 1))
}

func (r *reader) lattice(m score.Meter) lattice {
	key := [2]int{m.Beats, m.Unit}
	l, ok := r.lattices[key]
	if !ok {
		l = r.grid.latticeOf(m)
		r.lattices[key] = l
	}
	return l
}

// isExact says whether an onset lies on any grid.
func (r *reader) isExact(n struck) bool {
	b := r.beatAt(n.on)
	l := r.lattice(r.out.Bars[b.bar].Meter)
	_, ok := l.exactly(l.exact, []float64{b.u}, r.doc.perWhole)
	return ok
}

// exactEnd is the moment at which a note stops, when that is on a grid of
// halves and thirds: 0.85 of a quarter, say, is on one of fives by chance.
func (r *reader) exactEnd(n struck) (score.Time, bool) {
	b := r.beatAt(n.off)
	l := r.lattice(r.out.Bars[b.bar].Meter)
	d, ok := l.exactly(l.ends, []float64{b.u}, r.doc.perWhole)
	if !ok {
		return score.Time{}, false
	}
	part, _ := l.on(d.parts, b.u)
	return b.start.Add(l.beat.Scale(part, d.parts)), true
}

// mostly is the share of exact notes that makes a file mechanical (estimate).
const mostly = 0.9

// mostlyTrue says whether a line is mechanical in some respect.
func mostlyTrue(line []struck, is func(struck) bool) bool {
	n := 0
	for _, s := range line {
		if is(s) {
			n++
		}
	}
	return float64(n) >= mostly*float64(len(line))
}

// quantize puts the line on the grid, beat by beat.
func (r *reader) quantize(line []struck) []placed {
	mechanical := mostlyTrue(line, r.isExact)
	out := make([]placed, len(line))
	for i := 0; i < len(line); {
		first := r.beatAt(line[i].on)
		us := []float64{first.u}
		j := i + 1
		for ; j < len(line); j++ {
			b := r.beatAt(line[j].on)
			if b.start != first.start || b.bar != first.bar {
				break
			}
			us = append(us, b.u)
		}
		r.quantizeBeat(line[i:j], out[i:j], first, us, mechanical)
		i = j
	}
	return r.oneByOne(out)
}

// quantizeBeat places the notes of one beat.
func (r *reader) quantizeBeat(line []struck, out []placed, b beatRef, us []float64, mechanical bool) {
	l := r.lattice(r.out.Bars[b.bar].Meter)
	d, exact := division{}, false
	if mechanical {
		d, exact = l.exactly(l.exact, us, r.doc.perWhole)
	}
	if !exact {
		d = l.nearest(us)
	}
	r.odds[b.start] = l.odd(d)
	for i, n := range line {
		part, off := l.on(d.parts, us[i])
		onset := b.start.Add(l.beat.Scale(part, d.parts))
		if end := r.out.Bars[b.bar].End(); end.Less(onset) {
			onset = end // of 5/8, say, or of a bar cut short, the last beat is no whole one
		}
		out[i] = placed{struck: n, odd: l.odd(d), exact: exact || off*float64(r.doc.perWhole) <= 0.5, onset: onset}
		if mechanical && !out[i].exact {
			out[i].grace = r.isGrace(n)
		}
	}
}

// graceLongest is how long a grace note may sound, in seconds: a third longer
// than ours last (estimate).
const graceLongest = score.GraceSeconds * 4 / 3

// isGrace takes a quick note that lies on no grid, in a part whose other notes
// do, for a grace note.
func (r *reader) isGrace(n struck) bool {
	return r.clock.seconds(n.off)-r.clock.seconds(n.on) <= graceLongest
}

// oneByOne leaves one note at each moment, the longest, gives grace notes to
// the note they lead to, and says what was rounded.
func (r *reader) oneByOne(notes []placed) []placed {
	var out []placed
	notes[len(notes)-1].grace = false // it leads to no note
	for _, n := range notes {
		if k := len(out) - 1; k >= 0 && !n.grace && !out[k].grace && !out[k].onset.Less(n.onset) {
			r.log.add(n.onset, "notes too close together to be told apart were left out")
			if out[k].off-out[k].on < n.off-n.on {
				n.onset = out[k].onset
				out[k] = n
			}
			continue
		}
		out = append(out, n)
	}
	for i := len(out) - 1; i >= 0; i-- {
		if !out[i].grace {
			continue
		}
		out[i].onset = out[i+1].onset
		r.log.add(out[i].onset, "a quick note off the beat was read as a grace note")
	}
	r.sayRounded(out)
	return out
}

// sayRounded reports how far notes were moved.
func (r *reader) sayRounded(notes []placed) {
	count, worst, at := 0, 0.0, placed{}
	for _, n := range notes {
		if n.exact || n.grace {
			continue
		}
		count++
		if off := math.Abs(n.onset.Float()*float64(r.doc.perWhole) - float64(n.on)); off > worst {
			worst, at = off, n
		}
	}
	if count == 0 {
		return
	}
	tick := r.clock.seconds(at.on+1) - r.clock.seconds(at.on)
	r.log.add(at.onset, fmt.Sprintf("the start of %d of %d notes was rounded to the grid; this bar has the largest shift, %.0f ticks (%.0f ms)",
		count, len(notes), worst, 1000*worst*tick))
}
