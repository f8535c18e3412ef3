package practice

import "math"

const (
	// longestSection is the longest stretch of a late day that is not yet a take, in
	// seconds at the goal tempo (estimate: about the length of one excerpt).
	longestSection = 90
	// sectionTurns is how often it is played: once to hear what breaks, once to mend it
	// without stopping (estimate).
	sectionTurns = 2
)

// sections cut the part, at beginnings of phrases, into halves, or into as many
// equal parts as keep each below longestSection. A part that is one phrase has none.
func (p *planner) sections() []Span {
	total := p.m.seconds(p.m.whole())
	n := max(2, int(total/longestSection)+1)
	var out []Span
	from := 0
	for i := 1; i < n && from < len(p.m.Bars); i++ {
		to, ok := p.boundary(from, total*float64(i)/float64(n))
		if !ok {
			continue
		}
		out, from = append(out, Span{from, to - 1}), to
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, Span{from, len(p.m.Bars) - 1})
}

// boundary is the first bar of the phrase after bar from that begins nearest to a
// second of the part.
func (p *planner) boundary(from int, at float64) (bar int, ok bool) {
	best := 0.0
	for _, line := range p.lines {
		if line.From <= from {
			continue
		}
		off := math.Abs(p.m.seconds(Span{0, line.From - 1}) - at)
		if !ok || off < best {
			bar, best, ok = line.From, off, true
		}
	}
	return bar, ok
}

// section is a section in one go at the goal tempo.
func (p *planner) section(s Span) Item {
	it := p.m.item(Phrase, s, "phrases", "runs")
	it.Hard = p.isHard(s)
	goal := p.m.Bars[s.From].BPM
	p.m.setTurns(&it, goal, alternate(goal, goal, sectionTurns), listenRest)
	return it
}

// isSection says whether a stretch holds several phrases.
func (p *planner) isSection(s Span) bool {
	n := 0
	for _, line := range p.lines {
		if s.holds(line) {
			n++
		}
	}
	return n > 1
}
