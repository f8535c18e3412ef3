package reading

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// maxFigures is how many different figures of a kind a sentence names, the most
// frequent first (estimate: what a listener keeps).
const maxFigures = 3

// dotForm is the shape of a dotted figure.
type dotForm int

const (
	noDots       dotForm = iota
	dottedOne            // dotted note and its third: long, short
	dottedTwo            // dotted note and two sixths: long, short, short
	doubleDotted         // double-dotted note and its seventh
	reversed             // the short note first, on the beat
)

// dotFigure is a dotted figure with its values.
type dotFigure struct {
	form        dotForm
	long, short score.Time
}

// dotted names dotted figures.
func dotted(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.dotFigure(i).form != noDots })
	if len(notes) == 0 {
		return nil
	}
	parts := p.figureParts(notes, func(i int) string { return p.dotText(p.dotFigure(i)) })
	rs := p.runs(notes, 1)
	says := fmt.Sprintf("Dotted figures: %s.", strings.Join(parts, "; "))
	shortest := p.quickest(notes, func(i int) score.Time { return p.dotFigure(i).short })
	do := "Divide the long note into its short ones; the last must not grow into a triplet."
	if f := p.dotFigure(notes[0]); f.form == reversed && len(parts) == 1 {
		do = "The short note stands on the beat: place it there, and do not let it become a grace note."
	}
	return p.merged("dotted", hard(shortest, len(notes)), rs, says, do)
}

// dotFigure is the figure that note i begins.
func (p *Page) dotFigure(i int) dotFigure {
	if !p.joins(i) || inTuplet(p.note(i)) || inTuplet(p.note(i+1)) || p.note(i).Grace || p.note(i+1).Grace {
		return dotFigure{}
	}
	a, b := p.note(i), p.note(i+1)
	unit := p.beatOf(a)
	f := dotFigure{form: noDots, long: a.Duration, short: b.Duration}
	switch dots := singleDots(a); {
	case dots == 1 && b.Duration == a.Duration.Scale(1, 3):
		f.form = dottedOne
	case dots == 1 && b.Duration == a.Duration.Scale(1, 6) && p.joins(i+1) && p.note(i+2).Duration == b.Duration:
		f.form = dottedTwo
	case dots == 2 && b.Duration == a.Duration.Scale(1, 7):
		f.form = doubleDotted
	case singleDots(b) == 1 && a.Duration == b.Duration.Scale(1, 3) && onGrid(p.placeOf(a), a.Duration.Scale(4, 1)):
		f = dotFigure{reversed, b.Duration, a.Duration}
	}
	slow := unit.Less(f.short.Scale(2, 1)) || f.form == reversed && unit.Less(f.long)
	if slow || f.long == unit { // the dotted beat of compound time is no figure
		return dotFigure{}
	}
	return f
}

// singleDots is the dots of a note written as one piece, 0 for a tied one.
func singleDots(n *score.Note) int {
	if len(n.Pieces) > 1 {
		return 0
	}
	return n.Pieces[0].Dots
}

func (p *Page) dotText(f dotFigure) string {
	long, short := p.value(f.long), p.value(f.short)
	switch f.form {
	case dottedTwo:
		return fmt.Sprintf("%s and two %ss", long, short)
	case reversed:
		return fmt.Sprintf("%s before %s", short, long)
	}
	return fmt.Sprintf("%s and %s", long, short)
}

// figureParts says the figures of some notes with their bars, the most frequent
// first.
func (p *Page) figureParts(notes []int, name func(i int) string) []string {
	order, groups := byKind(notes, name)
	slices.SortStableFunc(order, func(a, b string) int { return cmp.Compare(len(groups[b]), len(groups[a])) })
	var parts []string
	for k, name := range order {
		if k == maxFigures {
			parts = append(parts, "and others")
			break
		}
		parts = append(parts, fmt.Sprintf("%s in %s", name, p.barList(p.runs(groups[name], 1))))
	}
	return parts
}
