package reading

import (
	"math"

	"waterkey/score"
)

// groupingBars is how many bars of an uneven meter are looked at for its groups
// (estimate: by then they have shown or will not).
const groupingBars = 32

// groupsFrom finds how an uneven meter groups from the notes of its bars: where
// long notes, slurs and accents begin, and where nothing is held across. It is
// nil when two groupings do equally well.
func (p *Page) groupsFrom(bar int) []int {
	m := p.Part.Bars[bar].Meter
	var best []int
	most, tie := math.MinInt, true
	for _, groups := range groupings(m.Beats) {
		points := 0
		for b := bar; b < min(bar+groupingBars, len(p.Part.Bars)) && p.Part.Bars[b].Meter.String() == m.String(); b++ {
			points += p.groupPoints(b, groups)
		}
		switch {
		case points > most:
			best, most, tie = groups, points, false
		case points == most:
			tie = true
		}
	}
	if tie {
		return nil
	}
	return best
}

// groupings lists the ways to fill n with as few twos and threes as can be, as
// uneven meters are beamed (common practice).
func groupings(n int) [][]int {
	if n == 0 {
		return [][]int{nil}
	}
	var out [][]int
	fewest := n
	for _, g := range []int{3, 2} {
		if g > n {
			continue
		}
		for _, rest := range groupings(n - g) {
			groups := append([]int{g}, rest...)
			if len(groups) < fewest {
				out, fewest = nil, len(groups)
			}
			if len(groups) == fewest {
				out = append(out, groups)
			}
		}
	}
	return out
}

// groupPoints counts what speaks for and against a grouping in one bar: a
// longer note, a slur or an accent that begins on the first of a group for it, a
// note held across that first against it (estimates).
func (p *Page) groupPoints(bar int, groups []int) int {
	b := p.Part.Bars[bar]
	unit := score.Frac(1, int64(b.Meter.Unit))
	starts := map[score.Time]bool{}
	var at score.Time
	for _, g := range groups {
		starts[at] = true
		at = at.Add(unit.Scale(int64(g), 1))
	}
	points := 0
	for i := p.noteFrom(b.Start); i < p.notes() && p.note(i).Onset.Less(b.End()); i++ {
		n := p.note(i)
		from := n.Onset.Sub(b.Start)
		for s := range starts {
			if from.Less(s) && s.Less(from.Add(n.Duration)) {
				points -= 2
			}
		}
		if !starts[from] || n.Grace || from.Sign() == 0 {
			continue
		}
		if unit.Less(n.Duration) {
			points++
		}
		if n.SlurTo && !n.SlurFrom {
			points++
		}
		if n.Marks.Any(score.Accent|score.Marcato) || n.Attack != "" {
			points += 2
		}
	}
	return points
}
