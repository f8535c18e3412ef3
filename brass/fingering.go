package brass

import (
	"cmp"
	"math"
	"slices"

	"waterkey/score"
)

const (
	// lipDownCents is how far a player of valve brass lips a sharp note down: 1+2+3
	// of an instrument without movable slides is 38 to 39 cents sharp (published:
	// the3rdhalf.com, "Tuning tendencies of brass instruments"), 1+2+3+4 of one that
	// compensates is 54 (calculated), and charts give both for notes that have no
	// other fingering. Lipping up is limited by lipCents.
	lipDownCents = 55.0
	// nearCents is how far a fingering may lie from a note that it stands for, before
	// any slide is drawn: 1+2+3 with each valve tuned by itself (calculated: 54).
	// Below partial 2 combinations that do not compensate stand for the note a
	// semitone higher (published: the table named at commonPractice), and farCents
	// holds.
	nearCents = 60.0
	farCents  = 100.0
	// kickFromCents is the least deviation for which a valve slide is drawn; below
	// it the lip does (estimate: half of the 10 cents that a musician just hears).
	kickFromCents = 5.0
	// longDrop is the most semitones by which fingerings above partial 2 lower the
	// horn: no table goes further, since the next partial down lies nearer; below
	// partial 2 the fourth valve's combinations fill the octave (published: the table
	// named at commonPractice).
	longDrop = 6
)

// fingered is a way with its place among the others.
type fingered struct {
	Way
	standing float64
}

// fingerings lists every way to finger a pitch, the usual one first. Fingerings far
// out of tune are offered only when they are the usual one.
func (in *Instrument) fingerings(p score.Pitch) []Way {
	var found []fingered
	for _, s := range in.Sides {
		for n := in.practice.lowest; n <= HighestPartial; n++ {
			drop := in.Fundamental.MIDI() + partialSemitones(n) - p.MIDI()
			if w, ok := in.fingered(s, n, p); ok {
				found = append(found, fingered{w, in.standing(w, s, p.MIDI(), drop)})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b fingered) int { return cmp.Compare(a.standing, b.standing) })
	var ways []Way
	for i, f := range found {
		if i == 0 || f.OffCents <= lipCents {
			ways = append(ways, f.Way)
		}
	}
	return ways
}

// partialSemitones is how far partial n lies above the fundamental, rounded.
func partialSemitones(n int) int { return int(math.Round(12 * math.Log2(float64(n)))) }

// fingered sounds p as partial n with the valves of side s.
func (in *Instrument) fingered(s Side, n int, p score.Pitch) (Way, bool) {
	if s.Semitones > longDrop && n != 2 {
		return Way{}, false
	}
	// A flat partial stays flat, since slides only lengthen.
	if in.Deviation(n) < -lipCents || math.Abs(in.Deviation(n)) > shiftCents {
		return Way{}, false
	}
	above := float64(in.Fundamental.MIDI()+partialSemitones(n)-p.MIDI()) - 12*math.Log2(s.Factor)
	near := nearCents
	if s.Semitones > longDrop {
		near = farCents
	}
	dev := 100*above + in.Deviation(n) - p.Cents
	if math.Abs(dev) > near {
		return Way{}, false
	}
	w := Way{Valve: s.Valve, Partial: n, LeanCents: dev, OffCents: dev, Label: s.Prefix}
	if dev >= kickFromCents {
		horn := in.TubeCM * s.Factor
		w.LeanCM = min(horn*(math.Exp2(dev/1200)-1)/2, in.kick(s))
		w.OffCents = dev - 1200*math.Log2(1+2*w.LeanCM/horn)
	}
	return w, w.OffCents >= -lipCents && w.OffCents <= lipDownCents
}
