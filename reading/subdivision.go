package reading

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
)

// What makes finer notes a matter of their own (estimates): so many in a row, as
// quick as this, and a small share of the page; where most notes are quick they
// set the tempo anyhow.
const (
	fineRow     = 3
	fineSeconds = 0.2
	fineShare   = 1.0 / 3
)

// subdivision names the bars in which the beat is suddenly divided in four or
// more where the rest of the page divides it less.
func subdivision(p *Page) []finding.Finding {
	notes := p.inRows(p.where(p.isFine), fineRow)
	if len(notes) == 0 || float64(len(notes)) > fineShare*float64(p.notes()) {
		return nil
	}
	order, groups := byKind(notes, func(i int) score.Time { return p.note(i).Duration })
	value := order[0]
	for _, v := range order {
		if len(groups[v]) > len(groups[value]) {
			value = v
		}
	}
	rs := p.runs(groups[value], 0)
	seconds := p.quickest(groups[value], func(int) score.Time { return value })
	says := fmt.Sprintf("The beat is suddenly divided in %ss in %s, %.2f s each.", p.value(value), p.barList(rs), seconds)
	do := fmt.Sprintf("Think the %ss in the beat before they come, and set the tempo of the whole page by them.", p.value(value))
	if p.openingMark().BPM > 0 {
		do = fmt.Sprintf("Think the %ss in the beat before they come; the first one must not be late and the last must not hurry.", p.value(value))
	}
	return p.merged("meter", hard(seconds, len(rs)), rs, says, do)
}

// isFine says whether note i is a quarter of the felt beat or less, and quick.
func (p *Page) isFine(i int) bool {
	n := p.note(i)
	unit, beats := p.felt(n.Bar)
	return !n.Grace && !inTuplet(n) && beats > 0 && n.Duration.Sign() > 0 &&
		!unit.Less(n.Duration.Scale(4, 1)) && p.seconds(i) <= fineSeconds
}

// inRows keeps the notes that stand in rows of at least n that follow one
// another without a rest.
func (p *Page) inRows(notes []int, n int) []int {
	var out []int
	for from := 0; from < len(notes); {
		to := from + 1
		for to < len(notes) && notes[to] == notes[to-1]+1 && p.joins(notes[to-1]) {
			to++
		}
		if to-from >= n {
			out = append(out, notes[from:to]...)
		}
		from = to
	}
	return out
}
