package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/score"
)

// manners are the articulations as a reader sees them, the more telling ones
// first.
var manners = []struct {
	name string
	is   func(*score.Note) bool
}{
	{"slurred", func(n *score.Note) bool { return n.SlurFrom || n.SlurTo }},
	{"marcato", func(n *score.Note) bool { return n.Marks.Has(score.Marcato) }},
	{"accented", func(n *score.Note) bool { return n.Marks.Has(score.Accent) }},
	{"portato", func(n *score.Note) bool { return n.Marks.Has(score.Staccato | score.Tenuto) }},
	{"staccato", func(n *score.Note) bool { return n.Marks.Any(score.Staccato | score.Staccatissimo) }},
	{"tenuto", func(n *score.Note) bool { return n.Marks.Has(score.Tenuto) }},
	{"unmarked", func(*score.Note) bool { return true }},
}

func manner(n *score.Note) string {
	for _, m := range manners {
		if m.is(n) {
			return m.name
		}
	}
	return ""
}

// advice by the prevailing manner.
var mannerAdvice = map[string]string{
	"slurred":  "Keep the air moving through every slide; use the softest tongue only where the slide would be heard.",
	"marcato":  "Front and full weight on each note, then room; do not let the weight slow the beat.",
	"accented": "Accents come from the air, not a harder tongue; leave room so that each one can be heard.",
	"portato":  "Lift each note a little without cutting it.",
	"staccato": "Short with tone: each note starts cleanly, rings, and ends on the air, not on the tongue.",
	"tenuto":   "Full length, touching the next note.",
	"unmarked": "Plain detached playing: full tone, a clean front, all ends alike.",
}

// prevailing says how most notes are to be played.
func prevailing(p *Page) []finding.Finding {
	count := map[string]int{}
	for i := range p.notes() {
		count[manner(p.note(i))]++
	}
	if p.notes() == 0 {
		return nil
	}
	names := make([]string, 0, len(count))
	for _, m := range manners {
		if count[m.name] > 0 {
			names = append(names, m.name)
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(count[b], count[a]) })
	says := fmt.Sprintf("%s notes prevail: %d of %d.", capital(names[0]), count[names[0]], p.notes())
	if len(names) > 1 {
		says = fmt.Sprintf("%s notes prevail: %d of %d; next come %s ones, %d.", capital(names[0]), count[names[0]], p.notes(), names[1], count[names[1]])
	}
	return []finding.Finding{p.finding("prevailing", 0.5, 0, len(p.Part.Bars)-1, says, mannerAdvice[names[0]])}
}

// standsOut finds the one note with another mark amid notes that are all alike.
func standsOut(p *Page) []finding.Finding {
	// So many neighbors on each side must agree (estimate).
	const around = 3
	var out []finding.Finding
	for i := around; i+around < p.notes(); i++ {
		own, other := manner(p.note(i)), manner(p.note(i-1))
		if own == other || own == "unmarked" || own == "slurred" || other == "unmarked" {
			continue
		}
		alike := true
		for k := i - around; k <= i+around; k++ {
			alike = alike && (k == i || manner(p.note(k)) == other)
		}
		if !alike {
			continue
		}
		n := p.note(i)
		out = append(out, p.finding("stands-out", 0.5, n.Bar, n.Bar,
			fmt.Sprintf("Everything around it is %s, but %s on beat %s of bar %s is %s.", other, say(n.Pitch), p.beat(n), p.number(n.Bar), own),
			"Make it unmistakable: the panel hears whether you saw this one mark."))
	}
	return out
}

// beat is the place of a note in its bar in the meter's own unit, counted from 1:
// "3", or "2 1/2" between beats.
func (p *Page) beat(n *score.Note) string {
	b := p.Part.Bars[n.Bar]
	if b.Meter.Unit == 0 {
		return "1"
	}
	at := n.Onset.Sub(b.Start).Scale(int64(b.Meter.Unit), 1)
	whole := at.Num() / at.Den()
	if part := at.Sub(score.Frac(whole, 1)); part.Sign() != 0 {
		return fmt.Sprintf("%d %s", whole+1, part)
	}
	return fmt.Sprint(whole + 1)
}

// glissando judges every glissando: on one partial and one state of the valves
// it can be played, otherwise the nearest that can is offered.
func glissando(p *Page) []finding.Finding {
	var out []finding.Finding
	for i := range p.notes() - 1 {
		if !p.note(i).GlissTo {
			continue
		}
		a, b := p.note(i), p.note(i+1)
		what := fmt.Sprintf("Glissando %s to %s in bar %s: ", say(a.Pitch), say(b.Pitch), p.number(a.Bar))
		from, to := p.Path.Steps[i].Way, p.Path.Steps[i+1].Way
		if !positions.Joined(from, to) {
			out = append(out, p.finding("glissando-impossible", 0, a.Bar, b.Bar, what+"no partial within reach holds both.",
				p.nearestGlissando(a.Pitch, b.Pitch)))
			continue
		}
		what += fmt.Sprintf("on partial %d, %s to %s, %.0f cm of slide.", from.Partial, from.Label, to.Label, math.Abs(to.ExtensionCM-from.ExtensionCM))
		out = append(out, p.finding("glissando", 0.3, a.Bar, b.Bar, what,
			"Keep the air steady and let the slide draw the line; start it where the rhythm says, not at once."))
	}
	return out
}

// nearestGlissando offers the longest glissando from a toward b on one partial.
func (p *Page) nearestGlissando(a, b score.Pitch) string {
	in := p.Path.Instrument
	step := 1
	if b.MIDI() < a.MIDI() {
		step = -1
	}
	for target := b.MIDI() - step; target != a.MIDI(); target -= step {
		goal := score.PitchFromMIDI(target)
		for _, w := range in.Ways(a) {
			for _, v := range in.Ways(goal) {
				if brass.SameReach(w, v) {
					return fmt.Sprintf("The longest that can be played goes from %s (%s) to %s (%s); agree on that and step to %s.",
						say(a), w.Label, say(goal), v.Label, say(b))
				}
			}
		}
	}
	return fmt.Sprintf("Play %s and %s without the slide between, or ask what the composer wanted.", say(a), say(b))
}

// ornament names trills, turns and grace notes.
func ornament(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool {
		return p.note(i).Grace || p.note(i).Marks.Any(score.Trill|score.OtherOrnament)
	})
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	return p.merged("ornament", 0.3, rs, fmt.Sprintf("Ornaments in %s.", p.barList(rs)),
		"Learn the line without them first; then add them without moving the beat.")
}
