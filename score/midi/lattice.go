package midi

import (
	"fmt"
	"math"
	"slices"

	"waterkey/score"
)

// Grid is how fine a performance is rounded, as parts of a whole note.
//
// Each beat (a quarter note, three units of a compound meter in eighths or
// shorter) gets one grid for the notes that start in it: the halves of the
// beat down to 1/Binary, or its thirds down to 1/Triplet. Of these the one is
// taken with the least sum of distances in time, each grid having paid for
// every note in advance what it is finer than the beat, and a price for every
// pair of notes that it makes one. A beat all of whose notes lie on a grid to
// within half a tick is exact and not rounded, also on finer grids and those
// of five, seven and nine, as long as nine notes in ten of the part are exact:
// a mechanical file comes back as it was written.
//
// The method is our own and a simple one. It shares with Cemgil, Desain and
// Kappen ("Rhythm Quantization for Transcription", Computer Music Journal 24,
// 2000) that the notes of a beat are rounded together and that simpler grids
// are preferred, and differs in that the preference is a price and no
// probability, that the tempo is that of the file, and that beats do not look
// at one another.
type Grid struct {
	Binary  int // 4, 8, 16, 32 or 64
	Triplet int // 12, 24 or 48; 0 is none
}

// DefaultGrid rounds to thirty-seconds and sixteenth triplets.
var DefaultGrid = Grid{Binary: 32, Triplet: 24}

func (g Grid) check() error {
	if !slices.Contains([]int{4, 8, 16, 32, 64}, g.Binary) {
		return fmt.Errorf("a grid of 1/%d is no binary note value from 1/4 to 1/64; 1/%d works", g.Binary, DefaultGrid.Binary)
	}
	if !slices.Contains([]int{0, 12, 24, 48}, g.Triplet) {
		return fmt.Errorf("a grid of 1/%d is no triplet value from 1/12 to 1/48; 1/%d works", g.Triplet, DefaultGrid.Triplet)
	}
	return nil
}

// lattice divides the beats of one meter evenly.
type lattice struct {
	beat score.Time
	// Divisions of the beat, the simpler first: those that onsets are rounded
	// to, those that ends may lie on, and those that onsets may lie on.
	rounded, ends, exact []division
}

// division is a beat in so many equal parts.
type division struct {
	parts int64
	price float64 // in whole notes, for each note
}

// finer is the price of halving a beat and, twice, of each further halving;
// third that of taking thirds. Both are in whole notes: 0.006 are 12 ms where a
// quarter note lasts half a second. They were chosen on real trombone parts
// whose onsets were shifted at random, and do best with shifts of 10 to 20 ms.
const (
	finer = 0.006
	third = 3 * finer
)

// latticeOf makes the lattice of a meter. The beat divides into halves of
// halves, or into thirds first where it is dotted.
func (g Grid) latticeOf(m score.Meter) lattice {
	l := lattice{beat: score.Frac(1, 4)}
	threes := m.Compound() && m.Unit >= 8
	if threes {
		l.beat = score.Frac(3, int64(m.Unit))
	}
	perWhole := l.beat.Den() // of the beat's unit
	units := l.beat.Num()
	add := func(parts int64, price float64) { l.rounded = append(l.rounded, division{parts, price}) }
	add(1, 0)
	if units == 1 {
		perWhole, units = 2*perWhole, 2
	}
	price := finer
	for den, parts := perWhole, units; den <= int64(g.Binary); den, parts = 2*den, 2*parts {
		add(parts, price)
		if parts > 2 {
			price += 2 * finer
		} else {
			price += finer
		}
	}
	price = third
	for den, parts := 3*l.beat.Den(), 3*l.beat.Num(); den <= int64(g.Triplet); den, parts = 2*den, 2*parts {
		add(parts, price)
		price += third
	}
	l.ends = l.withParts(l.rounded, 1, 2, 3, 4, 6, 8, 12, 16, 24)
	l.exact = l.withParts(l.ends, 9, 18, 5, 10, 7, 14)
	return l
}

// withParts adds divisions that are not there yet, as far as half of their parts
// can be written as notes too: a beat of sixty-fourths takes no septuplets.
func (l lattice) withParts(list []division, parts ...int64) []division {
	out := slices.Clone(list)
	for _, n := range parts {
		if _, _, _, ok := single(l.beat.Scale(1, 2*n)); !ok {
			continue
		}
		if !slices.ContainsFunc(out, func(d division) bool { return d.parts == n }) {
			out = append(out, division{parts: n})
		}
	}
	return out
}

// odd is the odd factor of a division's note value: 1, or 3, 5, 7 or 9 for a
// tuplet.
func (l lattice) odd(d division) int64 {
	return oddFactor(l.beat.Scale(1, d.parts).Den())
}

// coarsest is the least number of ticks to a part of a beat for a tick to tell
// anything on grids that are not rounded to (estimate).
const coarsest = 4

// on is the part of the beat nearest to a moment u of it, and the distance;
// both moments are in whole notes.
func (l lattice) on(parts int64, u float64) (part int64, off float64) {
	step := l.beat.Float() / float64(parts)
	part = int64(math.Round(u / step))
	return part, math.Abs(u - float64(part)*step)
}

// exactly finds the first of some divisions on which all moments lie to within
// half a tick.
func (l lattice) exactly(among []division, us []float64, perWhole int64) (division, bool) {
	const slack = 1e-6 // of a tick, for the arithmetic
	for _, d := range among {
		if !slices.Contains(l.rounded, d) && float64(perWhole)*l.beat.Float()/float64(d.parts) < coarsest {
			continue
		}
		if !slices.ContainsFunc(us, func(u float64) bool {
			_, off := l.on(d.parts, u)
			return off*float64(perWhole) > 0.5+slack
		}) {
			return d, true
		}
	}
	return division{}, false
}

// nearest is the division to round the moments to, which are in order.
func (l lattice) nearest(us []float64) division {
	const merged = 1.0 / 32 // of a whole note: the price of two notes made one (estimate)
	best, least := l.rounded[0], math.Inf(1)
	for _, d := range l.rounded {
		cost := float64(len(us)) * d.price
		before := int64(-1)
		for _, u := range us {
			part, off := l.on(d.parts, u)
			cost += off
			if part == before {
				cost += merged
			}
			before = part
		}
		if cost < least {
			best, least = d, cost
		}
	}
	return best
}
