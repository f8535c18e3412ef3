package score

import (
	"cmp"
	"fmt"
	"slices"
)

// PassedOver gathers what a reader passes over, by sentence, for Part.Skipped. The
// zero PassedOver is empty.
type PassedOver struct {
	order  []string
	places map[string][]skip
	once   map[string]bool // said at its first place only
	more   int             // sentences beyond maxSentences
}

// skip is a place where something was passed over. The bar is -1 outside any.
type skip struct {
	bar, line int
}

// maxSentences bounds what is listed of a strange file: more than anybody reads
// (estimate).
const maxSentences = 200

// Add notes that the sentence is true of a bar, by index, -1 for none, and line.
func (l *PassedOver) Add(bar, line int, sentence string) {
	if l.places == nil {
		l.places, l.once = map[string][]skip{}, map[string]bool{}
	}
	at := l.places[sentence]
	if at == nil {
		if len(l.order) == maxSentences {
			l.more++
			return
		}
		l.order = append(l.order, sentence)
	}
	if n := len(at); n > 0 && at[n-1].bar == bar {
		return
	}
	l.places[sentence] = append(at, skip{bar, line})
}

// AddOnce is Add for what is said once in a part.
func (l *PassedOver) AddOnce(bar, line int, sentence string) {
	l.Add(bar, line, sentence)
	l.once[sentence] = true
}

// said is a sentence with its place.
type said struct {
	skip
	text string
}

// Sentences joins neighboring bars: one sentence for each run of bars, in the
// order of the part.
func (l *PassedOver) Sentences(bars []Bar) []string {
	var out []said
	for _, sentence := range l.order {
		at := l.places[sentence]
		slices.SortStableFunc(at, func(a, b skip) int { return cmp.Compare(a.bar, b.bar) })
		if l.once[sentence] {
			text := place(bars, at[0].bar, at[0].bar, at[0].line) + ": " + sentence
			if len(at) > 1 {
				text += fmt.Sprintf(", in %d bars in all", len(at))
			}
			out = append(out, said{at[0], text})
			continue
		}
		for i := 0; i < len(at); {
			j := i
			for j+1 < len(at) && at[j+1].bar <= at[j].bar+1 {
				j++
			}
			out = append(out, said{at[i], place(bars, at[i].bar, at[j].bar, at[i].line) + ": " + sentence})
			i = j + 1
		}
	}
	slices.SortStableFunc(out, func(a, b said) int { return cmp.Compare(a.bar, b.bar) })
	var texts []string
	for _, s := range out {
		texts = append(texts, s.text)
	}
	if l.more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more were left out that are not listed here", l.more))
	}
	return texts
}

// place is "line 3" in a header, "bar 12 (line 340)" or "bars 12 to 15 (line
// 340)".
func place(bars []Bar, from, to, line int) string {
	switch {
	case from < 0:
		return fmt.Sprintf("line %d", line)
	case from == to:
		return fmt.Sprintf("bar %s (line %d)", barName(bars, from), line)
	}
	return fmt.Sprintf("bars %s to %s (line %d)", barName(bars, from), barName(bars, to), line)
}

// barName is the bar's number, or its place in the part where it has none.
func barName(bars []Bar, i int) string {
	if i < len(bars) && bars[i].Number != "" {
		return bars[i].Number
	}
	return fmt.Sprintf("at place %d", i+1)
}

// BarName is the printed number of a bar by index, or its place in the part where
// none is printed.
func (p *Part) BarName(i int) string { return barName(p.Bars, i) }
