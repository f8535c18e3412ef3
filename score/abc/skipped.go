package abc

import (
	"cmp"
	"fmt"
	"slices"

	"waterkey/score"
)

// skip is a place where something was passed over. The bar is -1 in a header.
type skip struct {
	bar, line int
}

// skipLog gathers what was passed over, by sentence.
type skipLog struct {
	order  []string
	places map[string][]skip
	once   map[string]bool // said at its first place only
	more   int             // sentences beyond maxSentences
}

func newSkipLog() *skipLog {
	return &skipLog{places: map[string][]skip{}, once: map[string]bool{}}
}

// add notes that the sentence is true of a bar.
func (l *skipLog) add(bar, line int, sentence string) {
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

// addOnce is add for what is said once in a part.
func (l *skipLog) addOnce(bar, line int, sentence string) {
	l.add(bar, line, sentence)
	l.once[sentence] = true
}

// said is a sentence with its place.
type said struct {
	skip
	text string
}

// sentences joins neighboring bars: one sentence for each run of bars, in the
// order of the part.
func (l *skipLog) sentences(bars []score.Bar) []string {
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
func place(bars []score.Bar, from, to, line int) string {
	switch {
	case from < 0:
		return fmt.Sprintf("line %d", line)
	case from == to:
		return fmt.Sprintf("bar %s (line %d)", barName(bars, from), line)
	}
	return fmt.Sprintf("bars %s to %s (line %d)", barName(bars, from), barName(bars, to), line)
}

// barName is the bar's number, or its place in the part where it has none.
func barName(bars []score.Bar, i int) string {
	if i < len(bars) && bars[i].Number != "" {
		return bars[i].Number
	}
	return fmt.Sprintf("at place %d", i+1)
}
