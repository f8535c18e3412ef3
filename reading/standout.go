package reading

import (
	"cmp"
	"fmt"
	"slices"

	"waterkey/finding"
	"waterkey/score"
)

const (
	// standOutBits is the surprise from which a mark stands out: one chance in
	// sixteen, a single note of another kind among eight alike (estimate).
	standOutBits = 4.0
	// mostStandOuts is how many are worth a word each; where there are more, those
	// of one kind are named together (estimate: a mark that must stand out is the
	// one of its kind).
	mostStandOuts = 3
	// entryBars is how many bars of rest make a new entry, read by itself
	// (estimate).
	entryBars = 4
)

// outstanding is one mark, on one note or two in a row, unlike what is around it.
type outstanding struct {
	note, last int
	own, other int // manners
	alike      bool
	bits       float64
}

// standsOut picks the marks that surprise most in their surroundings.
func standsOut(p *Page) []finding.Finding {
	found := p.outstanding()
	if len(found) == 0 {
		return nil
	}
	slices.SortStableFunc(found, func(a, b outstanding) int { return cmp.Compare(b.bits, a.bits) })
	if len(found) > mostStandOuts {
		return p.standOutKinds(found)
	}
	var out []finding.Finding
	for _, o := range found {
		out = append(out, p.finding("stands-out", o.bits/standOutBits-1, p.note(o.note).Bar, p.note(o.last).Bar, p.standOutText(o),
			"Make it unmistakable: the panel hears whether you saw this one mark."))
	}
	return out
}

// standOutKinds names many of them by kind, those of the rarest mark first.
func (p *Page) standOutKinds(found []outstanding) []finding.Finding {
	var out []finding.Finding
	done := map[int]bool{}
	for _, o := range found {
		if done[o.own] || len(out) == mostStandOuts {
			continue
		}
		done[o.own] = true
		var notes []int
		for _, q := range found {
			if q.own == o.own {
				notes = append(notes, q.note)
			}
		}
		if len(notes) == 1 {
			out = append(out, p.finding("stands-out", o.bits/standOutBits-1, p.note(o.note).Bar, p.note(o.last).Bar, p.standOutText(o),
				"Make it unmistakable: the panel hears whether you saw this one mark."))
			continue
		}
		slices.Sort(notes)
		rs := p.runs(notes, 0)
		out = append(out, p.merged("stands-out", 0, rs, fmt.Sprintf("%s notes stand alone in %s.", capital(manners[o.own].name), p.barList(rs)),
			"Circle each one and make it unmistakable; the notes around it stay as they are.")...)
	}
	return out
}

// outstanding finds them in the order of the page.
func (p *Page) outstanding() []outstanding {
	notes, marks := p.articulated()
	if len(notes) == 0 {
		return nil
	}
	own, alphabet := pageAlphabet(marks)
	entry := p.entries(notes)
	var out []outstanding
	for k, bits := range surprises(own, alphabet, entry) {
		if name := manners[marks[k]].name; bits < standOutBits || name == unmarked || name == "slurred" {
			continue
		}
		if n := len(out) - 1; n >= 0 && k > 0 && out[n].last == notes[k-1] && out[n].own == marks[k] {
			out[n].last = notes[k]
			continue
		}
		o := outstanding{note: notes[k], last: notes[k], own: marks[k], bits: bits}
		o.other, o.alike = around(marks, entry, k)
		out = append(out, o)
	}
	return out
}

// entries gives for every note the index of the first note of its entry: since
// the last rest of entryBars bars and more.
func (p *Page) entries(notes []int) []int {
	entry := make([]int, len(notes))
	for k := 1; k < len(notes); k++ {
		entry[k] = entry[k-1]
		before, n := p.note(notes[k-1]), p.note(notes[k])
		rest := p.Part.Bars[n.Bar].Length.Scale(entryBars, 1)
		if rest.Sign() > 0 && !n.Onset.Less(before.End().Add(rest)) {
			entry[k] = k
		}
	}
	return entry
}

// atOnce is how many notes on each side are seen together with a note: when they
// are alike, everything around it is (estimate: a beat or two).
const atOnce = 3

// around is what most other notes around note k are, and whether all those close
// to it are.
func around(marks, entry []int, k int) (manner int, alike bool) {
	var others []int
	for i := max(k-surroundings, entry[k]); i < len(marks) && i <= k+surroundings && entry[i] == entry[k]; i++ {
		if marks[i] != marks[k] {
			others = append(others, marks[i])
		}
	}
	order, _ := byCount(others)
	if len(order) == 0 {
		return marks[k], true
	}
	alike = true
	for i := max(k-atOnce, entry[k]); i < len(marks) && i <= k+atOnce && entry[i] == entry[k]; i++ {
		alike = alike && (marks[i] == order[0] || marks[i] == marks[k])
	}
	return order[0], alike
}

func (p *Page) standOutText(o outstanding) string {
	n := p.note(o.note)
	where := fmt.Sprintf("%s on beat %s of bar %s", nameOf(n), p.beat(n), p.number(n.Bar))
	verb := "is"
	if o.last > o.note {
		where = fmt.Sprintf("the two notes from beat %s of bar %s", p.beat(n), p.number(n.Bar))
		verb = "are"
	}
	most := "Everything around it is"
	if !o.alike {
		most = "Most notes around it are"
	}
	return fmt.Sprintf("%s %s, but %s %s %s.", most, manners[o.other].name, where, verb, manners[o.own].name)
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
