package reading

import (
	"fmt"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// swallowSeconds is how long a rest is at most that gets swallowed; a longer one
// is counted for itself (estimate).
const swallowSeconds = 1.0

// shortRest names rests that are easily swallowed: at most a felt beat, between
// a note at least twice as long and the next.
func shortRest(p *Page) []finding.Finding {
	ends := map[score.Time]int{}
	for i := range p.notes() {
		ends[p.note(i).End()] = i
	}
	value := map[int]score.Time{}
	var notes []int
	for _, r := range p.Part.Rests {
		if i, ok := ends[r.Onset]; ok && p.swallowed(i, r) {
			value[i] = r.Duration
			notes = append(notes, i)
		}
	}
	if len(notes) == 0 {
		return nil
	}
	order, groups := byKind(notes, func(i int) score.Time { return value[i] })
	var parts []string
	for _, v := range order {
		parts = append(parts, fmt.Sprintf("the %s rest in %s", p.value(v), p.barList(p.runs(groups[v], 0))))
	}
	says := fmt.Sprintf("Short rests after longer notes are easily swallowed: %s.", strings.Join(parts, "; "))
	if len(order) == 1 {
		name := p.value(order[0])
		says = fmt.Sprintf("%s %s rest stands after a longer note in %s; it is easily swallowed.", article(name), name, p.barList(p.runs(notes, 0)))
	}
	shortest := p.quickest(notes, func(i int) score.Time { return value[i] })
	return p.merged("short-rest", hard(shortest, len(notes)), p.runs(notes, 0), says,
		"End the note on time, say \"rest\" in your head, and only then breathe or move.")
}

// swallowed says whether the rest after note i is short beside it, in beats and
// in seconds, and the only one before the next note.
func (p *Page) swallowed(i int, r score.Rest) bool {
	if i+1 >= p.notes() || p.note(i+1).Onset != r.Onset.Add(r.Duration) || r.Fermata {
		return false
	}
	unit, _ := p.felt(r.Bar)
	return !unit.Less(r.Duration) && !p.note(i).Duration.Less(r.Duration.Scale(2, 1)) && p.lasts(i, r.Duration) <= swallowSeconds
}
