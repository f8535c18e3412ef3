package reading

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
)

// mostLeaning is how many notes of a part are named to lean on (estimate: more
// would be no choice).
const mostLeaning = 3

// leaning is a note to lean on, in phrase of the list.
type leaning struct {
	note, phrase int // of the line; of the list
	weight       float64
	why          string
}

// weight names the two or three notes of the part to lean on: those that lean on
// the next, and the goals of phrases that are high, long or the end of a crescendo. Of
// a part whose phrases are few the goals have been named already; in one that rests
// rule, goals are mostly tops of chords.
func weight(ph *phrasing) []finding.Finding {
	var all []leaning
	for k := range ph.list {
		if n, ok := ph.heaviest(k); ok {
			all = append(all, n)
		}
	}
	slices.SortStableFunc(all, func(a, b leaning) int { return cmp.Compare(b.weight, a.weight) })
	all = all[:min(len(all), mostLeaning)]
	if len(all) == 0 {
		return nil
	}
	slices.SortFunc(all, func(a, b leaning) int { return cmp.Compare(a.note, b.note) })
	var names []string
	var notes []int
	for _, n := range all {
		w := ph.note(n.note)
		names = append(names, fmt.Sprintf("the %s in bar %s, %s", nameOf(w), ph.p.number(w.Bar), n.why))
		notes = append(notes, ph.notes[n.note])
	}
	says := "Lean on " + strings.Join(names, "; ") + "."
	return ph.p.merged("weight", 0.3, ph.p.runs(notes, -1), says,
		"Weight is air and length, not a harder tongue; keep the notes around lighter.")
}

// heaviest is the note of phrase k to lean on, if any stands out.
func (ph *phrasing) heaviest(k int) (leaning, bool) {
	s := ph.spans[k]
	best := leaning{weight: -1}
	if !ph.goes(k) {
		return best, false
	}
	mid := ph.middleLength(s)
	for i := s.from; i <= s.to; i++ {
		goal := ph.notes[i] == ph.list[k].Goal && ph.between == nil && len(ph.list) > mostLeaning
		why := ph.why(i, k, mid, goal)
		if w := ph.weight(i, s, mid); why != "" && w > best.weight {
			best = leaning{i, k, w, why}
		}
	}
	return best, best.why != ""
}

// why is what makes a note heavy, as the text says it; "" when nothing does.
func (ph *phrasing) why(i, k int, mid float64, goal bool) string {
	switch {
	case ph.leans(i, ph.spans[k]):
		return "which resolves to the " + nameOf(ph.note(i+1)) + " after it"
	case !goal:
		return ""
	case ph.arrivals[i]:
		return "where the crescendo arrives"
	case ph.notes[i] == ph.list[k].Peak && ph.topsAll(i, ph.spans[k]):
		one := ph.list[k]
		return "the high point of " + ph.p.barText(ph.p.note(one.First).Bar, ph.p.note(one.Last).Bar)
	case doublings(ph.length(i), mid) >= 1:
		return "the long note of its phrase"
	}
	return ""
}

// topsAll says whether no other note of a phrase is as high as note i.
func (ph *phrasing) topsAll(i int, s lineSpan) bool {
	for j := s.from; j <= s.to; j++ {
		if j != i && ph.note(j).Pitch.MIDI() >= ph.note(i).Pitch.MIDI() {
			return false
		}
	}
	return true
}
