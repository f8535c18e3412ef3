package reading

import (
	"fmt"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
)

// ripPartials is the least number of partials that a glissando over the harmonic
// series runs across, ends included (estimate: with fewer it is a broken chord).
const ripPartials = 4

// valveGlissando judges every glissando on valve brass: over the partials of one
// fingering it can be played, as horns do it (common practice: the rip); everything
// else is a half-valve smear or a run, and is said to be one.
func valveGlissando(p *Page) []finding.Finding {
	var can []spot
	var cannot []int
	for i := range p.notes() - 1 {
		a, b := p.note(i), p.note(i+1)
		if !a.GlissTo || a.Pitch.MIDI() == b.Pitch.MIDI() {
			continue
		}
		from, to, ok := p.rip(i)
		if !ok {
			cannot = append(cannot, i)
			continue
		}
		what, bar := nameOf(a)+" to "+nameOf(b), p.number(a.Bar)
		can = append(can, spot{place{a.Bar, b.Bar,
			fmt.Sprintf("Glissando %s in bar %s: %s throughout, over partials %d to %d.", what, bar, positions.How(to), from.Partial, to.Partial),
			fmt.Sprintf("%s (bar %s, %s)", what, bar, positions.How(to))}, p.span(i + 1)})
	}
	return append(p.impossible(cannot), p.together("glissando", 0.3, can, "Glissandi over the partials of one fingering:",
		"Take the fingering of the goal from the start and let lips and air run over the partials; the goal must come in time, whatever lies between.")...)
}

// rip finds one fingering that holds both ends of the glissando from note i with
// partials enough between.
func (p *Page) rip(i int) (from, to brass.Way, ok bool) {
	starts := p.ways(p.note(i).Pitch)
	for _, v := range p.ways(p.note(i + 1).Pitch) {
		for _, w := range starts {
			if w.Valve == v.Valve && abs(v.Partial-w.Partial) >= ripPartials-1 {
				return w, v, true
			}
		}
	}
	return brass.Way{}, brass.Way{}, false
}

// smallBend is the widest interval that lip and half-pressed valves bend without a
// break, in semitones (estimate).
const smallBend = 2

// insteadOfGlissando says why valves cannot play the glissando from note i, and what
// can be done.
func (p *Page) insteadOfGlissando(i int) (why, do string) {
	why = "valves step where a slide would draw a line."
	from, to := p.name(i), p.name(i+1)
	goal := p.ways(p.note(i + 1).Pitch)[0]
	rise := p.note(i+1).Pitch.MIDI() - p.note(i).Pitch.MIDI()
	switch {
	case abs(rise) <= smallBend:
		return why, fmt.Sprintf("Bend from %s with the lip while the valves move slowly, and let %s snap in on time.", from, to)
	case rise >= octave && goal.Partial > ripPartials:
		return why, fmt.Sprintf("Sound %s, change at once to the fingering of %s (%s) and rip up over its partials; or ask whether a half-valve smear is wanted.", from, to, bare(goal))
	}
	return why, fmt.Sprintf("Press the valves halfway and slide lip and air from %s to %s, or play a light chromatic run: ask which is wanted.", from, to)
}
