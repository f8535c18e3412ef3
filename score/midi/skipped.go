package midi

import (
	"cmp"
	"fmt"
	"slices"

	"waterkey/score"
)

// skipLog gathers what was passed over, by sentence.
type skipLog struct {
	order  []string
	places map[string]*said
}

// said is where a sentence is true: its first moment and how often in all.
type said struct {
	at       score.Time
	anywhere bool // no moment of its own
	times    int
}

func newSkipLog() *skipLog { return &skipLog{places: map[string]*said{}} }

// add notes that the sentence is true of a moment.
func (l *skipLog) add(at score.Time, sentence string) {
	p := l.places[sentence]
	if p == nil {
		p = &said{at: at}
		l.places[sentence] = p
		l.order = append(l.order, sentence)
	}
	if at.Less(p.at) {
		p.at = at
	}
	p.times++
}

// addWhole notes what concerns the part or the file as a whole.
func (l *skipLog) addWhole(sentence string) {
	l.add(score.Time{}, sentence)
	l.places[sentence].anywhere = true
}

// sentences says each thing once, with the bar where it first comes and how
// often it is, in the order of the part; what has no place comes first.
func (l *skipLog) sentences(bars []score.Bar) []string {
	order := slices.Clone(l.order)
	slices.SortStableFunc(order, func(a, b string) int {
		p, q := l.places[a], l.places[b]
		return cmp.Or(-boolCompare(p.anywhere, q.anywhere), p.at.Cmp(q.at))
	})
	var out []string
	for _, sentence := range order {
		p := l.places[sentence]
		text := sentence
		if !p.anywhere {
			text = fmt.Sprintf("bar %s: %s", bars[barOf(bars, p.at)].Number, sentence)
		}
		if p.times > 1 {
			text += fmt.Sprintf(", %d times in all", p.times)
		}
		out = append(out, text)
	}
	return out
}

// boolCompare puts false before true.
func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
