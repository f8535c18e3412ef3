package reading

import (
	"fmt"
	"math"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/score"
)

// fewGlissandi is up to how many impossible glissandi get a sentence each, with the
// nearest that can be played; more are listed (estimate).
const fewGlissandi = 3

// glissando judges every glissando: on one partial and one state of the valves
// it can be played, otherwise the nearest that can is offered. More than a few are
// listed in one.
func glissando(p *Page) []finding.Finding {
	if !p.slide() {
		return valveGlissando(p)
	}
	var can []spot
	var cannot []int
	for i := range p.notes() - 1 {
		a, b := p.note(i), p.note(i+1)
		if !a.GlissTo || a.Pitch.MIDI() == b.Pitch.MIDI() {
			continue // one pitch leaves nothing to slide
		}
		from, to := p.Path.Steps[i].Way, p.Path.Steps[i+1].Way
		if !positions.Joined(from, to) {
			cannot = append(cannot, i)
			continue
		}
		what, bar, cm := nameOf(a)+" to "+nameOf(b), p.number(a.Bar), math.Abs(to.ExtensionCM-from.ExtensionCM)
		can = append(can, spot{place{a.Bar, b.Bar,
			fmt.Sprintf("Glissando %s in bar %s: on partial %d, %s to %s, %.0f cm of slide.", what, bar, from.Partial, from.Label, to.Label, cm),
			fmt.Sprintf("%s (bar %s, %s to %s)", what, bar, from.Label, to.Label)}, cm})
	}
	return append(p.impossible(cannot), p.together("glissando", 0.3, can, "Glissandi, each on one partial:",
		"Keep the air steady and let the slide draw the line; start it where the rhythm says, not at once.")...)
}

// impossible names the glissandi from some notes that cannot be played, a few with
// what can.
func (p *Page) impossible(notes []int) []finding.Finding {
	var out []finding.Finding
	var spots []spot
	for _, i := range notes {
		a, b := p.note(i), p.note(i+1)
		what := fmt.Sprintf("%s to %s", nameOf(a), nameOf(b))
		spots = append(spots, spot{place: place{from: a.Bar, to: b.Bar, short: fmt.Sprintf("%s (bar %s)", what, p.number(a.Bar))}})
		if len(notes) <= fewGlissandi {
			why, do := p.whyNoGlissando(i)
			out = append(out, p.finding("glissando-impossible", 0, a.Bar, b.Bar, fmt.Sprintf("Glissando %s in bar %s: %s", what, p.number(a.Bar), why), do))
		}
	}
	if len(notes) <= fewGlissandi {
		return out
	}
	w := p.words()
	return p.together("glissando-impossible", 0, spots, w.noGlissandi, w.insteadOfGlissandi)
}

// whyNoGlissando says why the glissando from note i cannot be played as chosen,
// and what can.
func (p *Page) whyNoGlissando(i int) (why, do string) {
	a, b := p.note(i).Pitch, p.note(i+1).Pitch
	for _, q := range []score.Pitch{a, b} {
		if len(p.ways(q)) == 0 {
			return fmt.Sprintf("%s is not on %s.", p.named(q, i), WithArticle(p.Path.Instrument.Title)), p.words().settle
		}
	}
	if !p.slide() {
		return p.insteadOfGlissando(i)
	}
	if w, v, ok := p.joint(a, b); ok {
		return fmt.Sprintf("by itself it runs from %s to %s on partial %d, but not joined to the glissando beside it.", w.Label, v.Label, w.Partial),
			fmt.Sprintf("Touch %s again in its new position between the two.", p.hinge(i))
	}
	return "no partial within reach holds both.", p.nearestGlissando(i)
}

// hinge is the note that the glissando from note i shares with its neighbor.
func (p *Page) hinge(i int) string {
	if i > 0 && p.note(i-1).GlissTo {
		return p.name(i)
	}
	return p.name(i + 1)
}

// joint finds two ways that a glissando connects, those near the closed slide
// first.
func (p *Page) joint(a, b score.Pitch) (from, to brass.Way, ok bool) {
	goals := p.ways(b)
	for _, w := range p.ways(a) {
		for _, v := range goals {
			if positions.Joined(&w, &v) {
				return w, v, true
			}
		}
	}
	return brass.Way{}, brass.Way{}, false
}

// nearestGlissando offers the longest glissando that can be played out of the one
// from note i: from its start, or, when that is longer, into its goal.
func (p *Page) nearestGlissando(i int) string {
	a, b := p.note(i).Pitch, p.note(i+1).Pitch
	from, to := p.name(i), p.name(i+1)
	step, span := 1, b.MIDI()-a.MIDI()
	if span < 0 {
		step, span = -1, -span
	}
	for short := 1; short < span; short++ {
		near := score.PitchFromMIDI(b.MIDI() - step*short)
		if w, v, ok := p.joint(a, near); ok {
			return fmt.Sprintf("The longest that can be played goes from %s (%s) to %s (%s); agree on that and step to %s.",
				from, w.Label, p.named(near, i), v.Label, to)
		}
		near = score.PitchFromMIDI(a.MIDI() + step*short)
		if w, v, ok := p.joint(near, b); ok {
			return fmt.Sprintf("The longest that can be played comes into %s (%s) from %s (%s); agree on that and step from %s.",
				to, v.Label, p.named(near, i), w.Label, from)
		}
	}
	return fmt.Sprintf("Play %s and %s without the slide between, or ask what the composer wanted.", from, to)
}
