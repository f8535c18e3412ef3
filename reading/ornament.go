package reading

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/score"
)

// ornament names grace notes, trills and the rest as what they are.
func ornament(p *Page) []finding.Finding {
	out := append(trills(p), graces(p)...)
	for _, o := range []struct {
		mark score.Mark
		name string
		do   string
	}{
		{score.OtherOrnament, "Turn or mordent", "Write its notes out small, learn the line without it, then add it without moving the beat."},
		{score.Tremolo, "Tremolo strokes", "Count the strokes: repeated notes if they are measured, flutter tongue if the part or the conductor says so."},
		{score.Falloff, "Scoop or fall", p.words().bend},
	} {
		notes := p.where(func(i int) bool { return p.note(i).Marks.Any(o.mark) })
		if len(notes) == 0 {
			continue
		}
		rs := p.runs(notes, 0)
		out = append(out, p.merged("ornament", 0.3, rs, fmt.Sprintf("%s on %s in %s.", o.name, p.sayNames(notes), p.barList(rs)), o.do)...)
	}
	return out
}

// graces names grace notes, with a stroke and without.
func graces(p *Page) []finding.Finding {
	var quick, leaning []spot
	for i := range p.notes() {
		if !p.note(i).Grace || i > 0 && p.note(i-1).Grace {
			continue
		}
		s := p.graceSpot(i)
		if p.note(i).Slashed {
			quick = append(quick, s)
		} else {
			leaning = append(leaning, s)
		}
	}
	out := p.together("ornament", 0.2, quick, "Grace notes with a stroke:", "Quick and light, just before the beat: the main note keeps its place and its weight.")
	return append(out, p.together("ornament", 0.3, leaning, "Grace notes:",
		"Decide with the style whether they take their time before the beat or from the main note, and play them all alike; learn the line without them first.")...)
}

// graceSpot is the group of grace notes that starts at note i.
func (p *Page) graceSpot(i int) spot {
	to := i
	for to+1 < p.notes() && p.note(to).Grace {
		to++
	}
	n := p.note(i)
	what := nameOf(n)
	if p.note(to).Grace {
		what += " at the end" // nothing follows to lean on
	} else if to-i == 1 {
		what += " before " + p.name(to)
	} else {
		what = fmt.Sprintf("%s before %s", plural(to-i, "note"), p.name(to))
	}
	bar := p.number(n.Bar)
	return spot{place: place{n.Bar, n.Bar, fmt.Sprintf("Grace note in bar %s: %s.", bar, what), fmt.Sprintf("%s (bar %s)", what, bar)}}
}

// trillCM is how far apart two notes may lie on the slide to be trilled without
// moving it (estimate: a lean that the lip makes good).
const trillCM = 1.5

// trills says for every trill how the horn can play it: as a lip trill between
// neighboring partials in one position, with the valve, or not at all but by
// the slide (encyclopedia article "Trombone", from memory: trills belong high up,
// where the partials lie close).
func trills(p *Page) []finding.Finding {
	var easy, hard []spot
	for i := range p.notes() {
		n := p.note(i)
		if !n.Marks.Has(score.Trill) || !p.reached(i) {
			continue
		}
		goal := p.trillGoal(n)
		how, ok := p.trillWay(n.Pitch, goal)
		what := fmt.Sprintf("%s to %s", nameOf(n), p.named(goal, i))
		bar := p.number(n.Bar)
		s := spot{place{n.Bar, n.Bar, fmt.Sprintf("Trill %s in bar %s: %s.", what, bar, how), fmt.Sprintf("%s (bar %s, %s)", what, bar, how)}, p.seconds(i)}
		if ok {
			easy = append(easy, s)
		} else {
			hard = append(hard, s)
		}
	}
	out := p.together("ornament", 0.5, easy, "Trills:", "Start it slowly and evenly from the main note with the air going up a little, and let it quicken; end it with the beat.")
	return append(out, p.together("ornament", 1, hard, p.words().hardTrills, p.words().hardTrillsDo)...)
}

// trillGoal is the next note above in the key (common practice, where the page
// prints no accidental over the sign).
func (p *Page) trillGoal(n *score.Note) score.Pitch {
	page := n.Written.Transpose(1, 0)
	page.Alter = p.Part.Bars[n.Bar].Key.Alteration(page.Step)
	up := page.MIDI() - n.Written.MIDI()
	return n.Pitch.Transpose(1, min(max(up, 1), 2)) // an altered note would give more or less than a second
}

// trillWay says how to trill between two pitches, and whether it goes without
// moving the slide.
func (p *Page) trillWay(low, high score.Pitch) (how string, ok bool) {
	if !p.slide() {
		return p.valveTrill(low, high)
	}
	valve, shortest := "", math.Inf(1)
	for _, a := range p.ways(low) {
		for _, b := range p.ways(high) {
			far := math.Abs(a.ExtensionCM - b.ExtensionCM)
			switch {
			case a.Valve == b.Valve && b.Partial == a.Partial+1 && far <= trillCM:
				return fmt.Sprintf("a lip trill in %s", a.Label), true
			case a.Valve != b.Valve && (a.Valve == "" || b.Valve == "") && far <= trillCM && valve == "":
				valve = fmt.Sprintf("with the valve, %s and %s", a.Label, b.Label)
			}
			shortest = min(shortest, far)
		}
	}
	switch {
	case valve != "":
		return valve, true
	case math.IsInf(shortest, 1):
		return "out of reach", false
	}
	return fmt.Sprintf("by the slide only, %.0f cm each way", shortest), false
}
