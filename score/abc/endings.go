package abc

import (
	"strconv"
	"strings"
)

// endingReader carries an ending over its bars (4.9, 4.10).
type endingReader struct {
	numbers []int
	from    int // the bar it starts in
	at      spot
}

func (e *endingReader) close() { *e = endingReader{} }

// startEnding starts the ending of a list such as 1,3-4. In the middle of a bar
// it divides the bar.
func (r *reader) startEnding(list string) {
	r.closeGroups()
	if r.overlay > 0 {
		return
	}
	if r.bars.open {
		r.closeBar()
	}
	r.bars.divided = true
	var numbers []int
	for _, s := range strings.Split(list, ",") {
		from, to, ranged := strings.Cut(s, "-")
		a, err := strconv.Atoi(from)
		b := a
		if ranged && err == nil {
			b, err = strconv.Atoi(to)
		}
		if err != nil || a < 1 || b < a || b > maxEnding || len(numbers) > maxEnding {
			r.fail("the ending %q is not a list of numbers from 1 to %d such as 1,3 or 1-3", cut(list), maxEnding)
		}
		for ; a <= b; a++ {
			numbers = append(numbers, a)
		}
	}
	r.endings = endingReader{numbers: numbers, from: len(r.out.Bars), at: r.here}
}

// finishEndings says when an ending is open at the end: it was read as going on
// to there.
func (r *reader) finishEndings() {
	if e := r.endings; e.numbers != nil && len(r.out.Bars)-e.from > 1 {
		r.skip.Add(e.from, e.at.line, "an ending that is never closed was read to the end of the tune")
	}
}
