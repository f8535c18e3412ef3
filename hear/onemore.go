package hear

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// gainLeast is the trouble in a bar from which another take is worth it: half a
// wrong note (estimate).
const gainLeast = 0.5

// oneMore lists the passages of the best take that would gain most from another
// one: where another take has them better, then where it is clear that there is
// something to gain.
func oneMore(takes []*Standing) []OneMore {
	best := barTrouble(takes[0].take)
	type gain struct {
		bar   int
		by    float64
		other *Standing
	}
	var gains []gain
	for b, mine := range best {
		g := gain{bar: b, by: mine / 2} // alone nothing shows that it can be had
		for _, s := range takes[1:] {
			if theirs := barTrouble(s.take); b < len(theirs) && mine-theirs[b] > g.by {
				g.by, g.other = mine-theirs[b], s
			}
		}
		if mine >= gainLeast && g.by >= gainLeast/2 {
			gains = append(gains, g)
		}
	}
	slices.SortStableFunc(gains, func(a, b gain) int { return cmp.Compare(b.by, a.by) })
	const most = 3 // passages: more is no plan for one take
	var out []OneMore
	for _, g := range gains[:min(most, len(gains))] {
		bar := takes[0].take.Bars[g.bar].Bar
		says := fmt.Sprintf("Bar %s: %s.", bar, barSays(takes[0].take, g.bar))
		if g.other != nil {
			says += fmt.Sprintf(" %s has it better, so it is there to be had.", g.other.File)
		}
		out = append(out, OneMore{Bars: []string{bar, bar}, Says: printed(says)})
	}
	return out
}

// barTrouble is how much goes wrong in each turn of a bar: 1 for a note wrong,
// missing or split, less for one off the pitch or the beat.
func barTrouble(t *Take) []float64 {
	out := make([]float64, len(t.Bars))
	for b := range t.Bars {
		for _, n := range t.in(b) {
			out[b] += noteTrouble(n)
		}
	}
	return out
}

// in are the notes of a turn of a bar.
func (t *Take) in(b int) []*Note {
	var out []*Note
	for i := range t.Notes {
		if t.Notes[i].Bar == t.Bars[b].Bar && t.Notes[i].Pass == t.Bars[b].Pass {
			out = append(out, &t.Notes[i])
		}
	}
	return out
}

func noteTrouble(n *Note) float64 {
	if n.State != Played || n.Split {
		return 1
	}
	sum := 0.0
	if over := math.Abs(n.CentsOwn) - inTune - coverage*n.Unsure.Cents; over > 0 && n.Offset-n.Onset >= shortToTune {
		sum += min(over/outOfTune, 0.5)
	}
	if over := math.Abs(n.Late) - lateLimit - coverage*n.Unsure.Late; over > 0 {
		sum += min(over/(2*lateLimit), 0.5)
	}
	return sum
}

// barSays says what goes wrong in a turn of a bar, the worst note first.
func barSays(t *Take, b int) string {
	notes := t.in(b)
	slices.SortStableFunc(notes, func(a, b *Note) int { return cmp.Compare(noteTrouble(b), noteTrouble(a)) })
	n := notes[0]
	switch {
	case n.State == Missed:
		return fmt.Sprintf("the %s is missing", n.Pitch)
	case n.State == Other:
		return fmt.Sprintf("%s sounds for %s", n.Heard, n.Pitch)
	case n.Split:
		return fmt.Sprintf("the %s splits", n.Pitch)
	case math.Abs(n.CentsOwn) > inTune && math.Abs(n.Late) <= lateLimit:
		return fmt.Sprintf("the %s is %+.0f cents off", n.Pitch, n.CentsOwn)
	}
	return fmt.Sprintf("the %s comes %+.0f ms off the beat", n.Pitch, n.Late)
}
