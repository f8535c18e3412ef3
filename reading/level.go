package reading

import (
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
)

// forced names accents by dynamics: sfz and its kin, and loud fronts that drop.
func forced(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.note(i).Attack != "" })
	drops := func(i int) bool { return strings.HasSuffix(p.note(i).Attack, "p") }
	keeps := slices.DeleteFunc(slices.Clone(notes), drops)
	falls := slices.DeleteFunc(notes, func(i int) bool { return !drops(i) })
	return append(
		p.forcedText(keeps, "One note only: more front and more air than its neighbors, measured by the level around it, and back at once."),
		p.forcedText(falls, "A clear front, then let go at once with the air still moving; the pitch must not drop with the level.")...)
}

func (p *Page) forcedText(notes []int, do string) []finding.Finding {
	if len(notes) == 0 {
		return nil
	}
	var names []string
	for _, i := range notes {
		if a := p.note(i).Attack; !slices.Contains(names, a) {
			names = append(names, a)
		}
	}
	rs := p.runs(notes, 0)
	return p.merged("sudden", 0, rs, fmt.Sprintf("%s in %s.", joinAnd(names), p.barList(rs)), do)
}

// quiet and strong are the notes at p and below, and at f and above.
func (p *Page) quiet(is func(i int) bool) []int {
	line := p.Part.LevelLine()
	return p.where(func(i int) bool { return line.At(p.note(i).Onset) <= softStep && is(i) })
}

func (p *Page) strong(is func(i int) bool) []int {
	line := p.Part.LevelLine()
	return p.where(func(i int) bool { return line.At(p.note(i).Onset) >= loudStep && is(i) })
}

// farthest is the level in steps, among these notes, that lies farthest from the
// middle.
func (p *Page) farthest(notes []int) float64 {
	line := p.Part.LevelLine()
	far := 0.0
	for _, i := range notes {
		if level := line.At(p.note(i).Onset); level*level > far*far {
			far = level
		}
	}
	return far
}

func softAndLow(p *Page) []finding.Finding {
	rs := p.longRuns(p.quiet(p.isLow))
	if len(rs) == 0 {
		return nil
	}
	far := p.farthest(allNotes(rs))
	return p.merged("soft-and-low", (softStep-far)/2, rs, fmt.Sprintf("Soft and low, %s, in %s.", reach(far, softStep), p.barList(rs)),
		"Start each note with air that is already moving; a soft low note that does not speak is the first thing a panel hears.")
}

func loudAndHigh(p *Page) []finding.Finding {
	rs := p.longRuns(p.strong(p.isHigh))
	if len(rs) == 0 {
		return nil
	}
	far := p.farthest(allNotes(rs))
	return p.merged("loud-and-high", (far-loudStep)/2, rs, fmt.Sprintf("Loud and high, %s, in %s.", reach(far, loudStep), p.barList(rs)),
		"Practice it an octave down and at half the level first; a few full-strength tries a day are enough.")
}

// reach says how far a level goes from where soft or loud begins: "at p", "down to
// pp", "up to ff".
func reach(far, edge float64) string {
	name := markName(far)
	switch {
	case name == markName(edge):
		return "at " + name
	case far < edge:
		return "down to " + name
	}
	return "up to " + name
}

// longNote is how many seconds a soft note must last to be a test of air and pitch:
// half of what is called long between two breaths (estimate).
const longNote = 4.5

// longSoft names long soft notes above the low register, which is spoken of by
// itself.
func longSoft(p *Page) []finding.Finding {
	notes := p.quiet(func(i int) bool { return !p.isLow(i) && p.seconds(i) >= longNote })
	if len(notes) == 0 {
		return nil
	}
	longest := notes[0]
	for _, i := range notes {
		if p.seconds(i) > p.seconds(longest) {
			longest = i
		}
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("Long soft note in %s: %s, %.0f s.", p.barList(rs), p.name(longest), p.seconds(longest))
	if len(notes) > 1 {
		says = fmt.Sprintf("Long soft notes in %s; the longest is %s in bar %s, %.0f s.", p.barList(rs),
			p.name(longest), p.number(p.note(longest).Bar), p.seconds(longest))
	}
	return p.merged("level", 0, rs, says,
		"Spend the air evenly and keep some for the end; hold the pitch by ear against a drone, for it moves as the air runs out.")
}
