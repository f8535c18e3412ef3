package reading

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// manners are the articulations as a reader sees them, the more telling ones
// first; manner numbers are indexes into this list.
var manners = []struct {
	name   string
	advice string // where it prevails
	is     func(*score.Note) bool
}{
	{"portato", "Lift each note a little without cutting it, on one stream of air.", isPortato},
	{slurred, "", // as the instrument wants it, see words
		func(n *score.Note) bool { return n.SlurFrom || n.SlurTo }},
	{"marcato", "Front and full weight on each note, then room; do not let the weight slow the beat.",
		func(n *score.Note) bool { return n.Marks.Has(score.Marcato) }},
	{"accented", "Accents come from the air, not a harder tongue; leave room so that each one can be heard.",
		func(n *score.Note) bool { return n.Marks.Has(score.Accent) }},
	{"staccatissimo", "As short as still has a pitch: a quick front and a ring, never a click.",
		func(n *score.Note) bool { return n.Marks.Has(score.Staccatissimo) }},
	{"staccato", "Short with tone: each note starts cleanly, rings, and ends on the air, not on the tongue.",
		func(n *score.Note) bool { return n.Marks.Has(score.Staccato) }},
	{"tenuto", "Full length, touching the next note.",
		func(n *score.Note) bool { return n.Marks.Has(score.Tenuto) }},
	{unmarked, "Plain detached playing: full tone, a clean front, all ends alike.",
		func(*score.Note) bool { return true }},
}

const (
	unmarked = "unmarked"
	slurred  = "slurred"
)

// mannerAdvice is what to do where a manner prevails.
func (p *Page) mannerAdvice(m int) string {
	if manners[m].name == slurred {
		return p.words().slurred
	}
	return manners[m].advice
}

// isPortato takes dots with lines, and dots under a slur (common practice).
func isPortato(n *score.Note) bool {
	return n.Marks.Has(score.Staccato) && (n.Marks.Has(score.Tenuto) || n.SlurTo)
}

// manner is the number of a note's manner.
func manner(n *score.Note) int {
	for m := range manners {
		if manners[m].is(n) {
			return m
		}
	}
	return len(manners) - 1
}

// articulated are the notes whose manner counts, in order: all but grace notes,
// with their manners.
func (p *Page) articulated() (notes, marks []int) {
	notes = p.where(func(i int) bool { return !p.note(i).Grace })
	marks = make([]int, len(notes))
	for k, i := range notes {
		marks[k] = manner(p.note(i))
	}
	return notes, marks
}

// byCount are the manners in marks, the most frequent first.
func byCount(marks []int) (order, count []int) {
	count = make([]int, len(manners))
	for _, m := range marks {
		count[m]++
	}
	for m, n := range count {
		if n > 0 {
			order = append(order, m)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(count[b], count[a]) })
	return order, count
}

// pageAlphabet numbers the manners that occur, so that those a page does not use
// take no share of the chances; it is at least two.
func pageAlphabet(marks []int) (own []int, size int) {
	order, _ := byCount(marks)
	number := make([]int, len(manners))
	for k, m := range order {
		number[m] = k
	}
	own = make([]int, len(marks))
	for k, m := range marks {
		own[k] = number[m]
	}
	return own, max(len(order), 2)
}

// prevailing says how most notes are to be played.
func prevailing(p *Page) []finding.Finding {
	notes, marks := p.articulated()
	if len(notes) == 0 {
		return nil
	}
	order, count := byCount(marks)
	first := manners[order[0]]
	says := fmt.Sprintf("%s notes prevail: %d of %d", capital(first.name), count[order[0]], len(notes))
	switch {
	case len(order) == 1:
		says = fmt.Sprintf("Every note is %s", first.name)
		if first.name == unmarked {
			says = "No articulation stands on the page"
		}
	case len(order) > 1:
		says += fmt.Sprintf("; next come %s ones, %d", manners[order[1]].name, count[order[1]])
	}
	return []finding.Finding{p.finding("prevailing", 0.5, 0, len(p.Part.Bars)-1, says+".", p.mannerAdvice(order[0]))}
}

// passage is a stretch of notes with one manner, or two when none has half.
type passage struct {
	from, to int // bars
	notes    int
	first    int // the manner of most notes
	name     string
}

// passages cuts the part where the articulation clearly changes. Neighbors that
// are named alike are one.
func (p *Page) passages() []passage {
	notes, marks := p.articulated()
	if len(notes) == 0 {
		return nil
	}
	newBar := func(k int) bool { return k == 0 || p.note(notes[k]).Bar != p.note(notes[k-1]).Bar }
	own, alphabet := pageAlphabet(marks)
	starts := newCutter(own, alphabet, newBar).passages()
	var out []passage
	for s, from := range starts {
		to := len(notes)
		if s+1 < len(starts) {
			to = starts[s+1]
		}
		next := passage{from: p.note(notes[from]).Bar, to: p.note(notes[to-1]).Bar, notes: to - from}
		next.first, next.name = named(marks[from:to])
		if k := len(out) - 1; k >= 0 && out[k].name == next.name {
			out[k].to, out[k].notes = next.to, out[k].notes+next.notes
			continue
		}
		out = append(out, next)
	}
	return out
}

// named names a passage by the manner of at least half of it, else by the two
// most frequent.
func named(marks []int) (first int, name string) {
	order, count := byCount(marks)
	first = order[0]
	name = manners[first].name
	if len(order) > 1 && 2*count[first] < len(marks) {
		second := manners[order[1]].name
		name = min(name, second) + " or " + max(name, second)
	}
	return first, name
}

// articulationChange says where to what the articulation changes; of a long part
// the main passages only.
func articulationChange(p *Page) []finding.Finding {
	all := p.passages()
	switch {
	case len(all) < 2:
		return nil
	case len(all) == 2:
		was, is := all[0], all[1]
		return []finding.Finding{p.finding("articulation-change", 0.5, is.from, is.to,
			fmt.Sprintf("From bar %s on most notes are %s, after %s ones.", p.number(is.from), is.name, was.name), p.mannerAdvice(is.first))}
	}
	kept := mainPlaces(all, func(g passage) float64 { return float64(g.notes) })
	says := "The articulation changes: "
	if len(kept) < len(all) {
		says = "The articulation changes often; the main passages: "
	}
	var parts []string
	for _, g := range kept {
		parts = append(parts, fmt.Sprintf("%s (%s)", p.barText(g.from, g.to), g.name))
	}
	f := p.finding("articulation-change", 0.5, kept[0].from, kept[0].to, says+joinAnd(parts)+".",
		"Know the new length and front before the last note of the old passage; play across each change by itself.")
	for _, g := range kept {
		f.Places = append(f.Places, p.bars(g.from, g.to))
	}
	return []finding.Finding{f}
}

// mannerWord matches words that ask for an articulation.
var mannerWord = regexp.MustCompile(`(?i)\b(marc\.|marcato|marcatissimo|legato|stacc\.|staccato|staccatissimo|tenuto|ten\.|portato|leggiero)(\s|$|[.,;)\]])`)

// mannerWords names the words that ask for an articulation.
func mannerWords(p *Page) []finding.Finding {
	var spots []spot
	for _, w := range p.Part.Words {
		if !mannerWord.MatchString(w.Text) {
			continue
		}
		text, n := strings.Join(strings.Fields(w.Text), " "), p.number(w.Bar)
		spots = append(spots, spot{place: place{w.Bar, w.Bar, fmt.Sprintf("The page says %q at bar %s.", text, n),
			fmt.Sprintf("%q (bar %s)", text, n)}})
	}
	return p.together("articulation-change", 0, spots, "The page says in words:",
		"A word holds until another mark takes its place: play the unmarked notes after it that way too.")
}
