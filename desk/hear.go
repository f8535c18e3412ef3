package desk

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waterkey/audio"
	"waterkey/brass"
	"waterkey/hear"
	"waterkey/positions"
)

// Hear measures a take of a prepared part, read block by block. Errors say what
// is wrong with the recording, or that it is not this part. The words are those
// of the instrument and the terms that the part was prepared with, and advice
// about pitch starts from the positions it was marked with.
func (p *Prepared) Hear(take string, o hear.Options) (*hear.Take, error) {
	r, err := audio.OpenReader(take)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return hear.ListenTo(p.Played, r, p.listening(o))
}

// standardA is the usual reference in Hz (published: ISO 16:1975).
const standardA = 440.0

// ReferenceA is the A4 in Hz that the player tunes to.
func (p *Prepared) ReferenceA() float64 { return orFloat(p.a4, standardA) }

// listening fills in what the part, the horn and the player say about how to listen.
func (p *Prepared) listening(o hear.Options) hear.Options {
	o.A4 = orFloat(o.A4, p.ReferenceA())
	o.Terms, o.Valves, o.Ways = p.terms, !p.Path.Instrument.Slide(), p.ways()
	return o
}

// ways is how each played note is marked.
func (p *Prepared) ways() []hear.Way {
	out := make([]hear.Way, len(p.Played.Notes))
	breath := map[int]bool{}
	for _, b := range p.Breathing.Breaths {
		breath[b.After] = true
	}
	step := p.stepOf()
	for i, n := range p.Played.Notes {
		at := step[n.Note]
		out[i] = p.way(p.Path.Steps[at])
		out[i].BreathAfter, out[i].Stepped = breath[at], p.stepped(at)
	}
	return out
}

// stepped says whether a glissando starts at a note of the read-through that the
// chosen ways cannot connect.
func (p *Prepared) stepped(i int) bool {
	if !p.Through.Written(i).GlissTo || i+1 >= len(p.Path.Steps) {
		return false
	}
	a, b := p.Path.Steps[i].Way, p.Path.Steps[i+1].Way
	return a == nil || b == nil || !positions.Joined(a, b)
}

// way is one choice as listening speaks of it.
func (p *Prepared) way(s positions.Step) hear.Way {
	if s.Way == nil {
		return hear.Way{}
	}
	w := hear.Way{How: how(*s.Way)}
	if horn := p.Path.Instrument; horn.Slide() {
		// Twice the way of the slide is added to the tube.
		tube := horn.TubeCM
		for _, side := range horn.Sides {
			if side.Valve == s.Way.Valve {
				tube *= side.Factor
			}
		}
		w.CM, w.CentsPerCM = s.Way.ExtensionCM, 1200/math.Ln2*2/(tube+2*s.Way.ExtensionCM)
	}
	for _, other := range s.Others {
		if h := how(other.Way); other.ExtraCost <= triesCost && h != w.How && !slices.Contains(w.Others, h) {
			w.Others = append(w.Others, h)
		}
	}
	return w
}

// triesCost is how much dearer another way may be and still be worth a try, in
// units of effort (estimate: an alternate costs about 1, a stretch far more).
const triesCost = 4.0

// how names a way behind a note: "in 4th" for plain positions of the slide, else
// as positions says it.
func how(w brass.Way) string {
	ordinals := [...]string{"1st", "2nd", "3rd", "4th", "5th", "6th", "7th"}
	if w.Valve == "" && w.Position >= 1 && w.Position <= len(ordinals) && w.Label == fmt.Sprint(w.Position) {
		return "in " + ordinals[w.Position-1]
	}
	return strings.TrimSpace(positions.How(w))
}
