package midi

import (
	"fmt"
	"math"

	"waterkey/score"

	gomidi "gitlab.com/gomidi/midi/v2"
)

// The order of events at one tick: a note ends before the bend changes before
// the next begins; under a slur the next begins before it ends.
const (
	first = iota
	ends
	bends
	begins
	slurredEnds
)

const (
	lastKey   = 127 // G9
	bendRange = 12  // semitones on each side: the widest slide glissando is 6
	bendUnits = 8192
	// bendStep is how often a glissando sets the bend, in seconds (estimate:
	// steps too fine to hear apart).
	bendStep = 0.01
)

// notes lists note-on, note-off and bend.
func (g grid) notes() ([]event, error) {
	var out []event
	for i := range g.pf.Notes {
		n := g.pf.Written(i)
		if n.Pitch.Step == 0 {
			continue
		}
		key := n.Pitch.MIDI()
		if key < 0 || key > lastKey {
			return nil, fmt.Errorf("%s in bar %s is note %d, outside the 0 to %d (C-1 to G9) of MIDI; check its octave",
				n.Pitch, g.pf.Part.Bars[n.Bar].Number, key, lastKey)
		}
		from, to := g.span(i)
		end := ends
		if g.joined(i) {
			end = slurredEnds
		}
		out = append(out,
			event{from, begins, gomidi.NoteOn(channel, uint8(key), velocity(g.pf.Part, n))},
			event{to, end, gomidi.NoteOff(channel, uint8(key))})
		out = append(out, g.legato(i, from, to)...)
		out = append(out, g.expression(i, from, to)...)
		out = append(out, g.bend(i, from, to)...)
	}
	return out, nil
}

// span is the sounded stretch of a note, at least one tick.
func (g grid) span(i int) (from, to int64) {
	n := g.pf.Notes[i]
	share := score.Seconds(g.pf.Written(i).SoundedShare())
	if g.shares != nil {
		share = score.Seconds(g.shares[i])
	}
	from = g.tick(n.Start)
	return from, max(g.tick(n.Start+share*(n.End-n.Start)), from+1)
}

// Velocities: mezzo-forte is 80 and a marking 16, which makes ppp 16 and fff
// 127 (common practice, from memory). Accents are estimates, in markings.
const (
	mezzoForte   = 80
	markVelocity = 16
	accent       = 0.75
	marcato      = 1.0
	sforzando    = 2.0
)

// velocity is that of the level in force where a note starts, and its accent.
func velocity(p *score.Part, n *score.Note) uint8 {
	mf, _ := score.LevelStep("mf")
	step := p.Level(n.Onset) - mf
	switch {
	case n.Attack == "fp" || n.Attack == "ffp":
		f, _ := score.LevelStep(n.Attack[:len(n.Attack)-1])
		step = f - mf
	case n.Attack != "":
		step += sforzando
	case n.Marks.Has(score.Marcato):
		step += marcato
	case n.Marks.Has(score.Accent):
		step += accent
	}
	return uint8(min(max(math.Round(mezzoForte+markVelocity*step), 1), 127))
}

// bend lists the bends of a note: a microtone, a glissando, and back to none.
func (g grid) bend(i int, from, to int64) []event {
	start := g.pf.Written(i).Pitch.Cents / 100
	goal := start
	if interval, ok := g.glissando(i); ok {
		goal = interval
	}
	if start == 0 && goal == 0 {
		return nil
	}
	out := []event{bendTo(from, bends, start)}
	if goal != start {
		a, b := g.seconds(from), g.seconds(to)
		for s := a + bendStep; s < b; s += bendStep {
			out = append(out, bendTo(g.tick(score.Seconds(s)), bends, slide(start, goal, (s-a)/(b-a))))
		}
	}
	return append(out, bendTo(to, ends, 0))
}

func bendTo(tick int64, rank int, semitones float64) event {
	units := math.Round(semitones / bendRange * bendUnits)
	return event{tick, rank, gomidi.Pitchbend(channel, int16(min(max(units, -bendUnits), bendUnits-1)))}
}

// glissando is the interval to the next note in semitones, when the i-th note
// slides there and the bend reaches so far.
func (g grid) glissando(i int) (interval float64, ok bool) {
	if !g.pf.Written(i).GlissTo || !g.leadsOn(i) {
		return 0, false
	}
	if g.slides != nil {
		interval, ok = g.slides[i]
		return interval, ok && math.Abs(interval) <= bendRange
	}
	a, b := g.pf.Written(i).Pitch, g.pf.Written(i+1).Pitch
	interval = float64(b.MIDI()-a.MIDI()) + b.Cents/100
	return interval, math.Abs(interval) <= bendRange
}

// slide is the interval a share u along an evenly moved slide: the sounding
// length, and with it the period, changes evenly.
func slide(from, to, u float64) float64 {
	a, b := math.Exp2(-from/12), math.Exp2(-to/12)
	return -12 * math.Log2(a+(b-a)*u)
}
