package score

import (
	"fmt"
	"slices"
)

// maxPlayedBars bounds an unfolded part: far above any real one (the longest
// symphonic movements have some 1,500 bars), low enough that a file with
// thousands of nested repeats cannot exhaust memory (estimate).
const maxPlayedBars = 100_000

// Order unfolds repeats, endings, D.C., D.S., Fine and coda into the sequence
// of bars played, as indexes into p.Bars. Repeats are not taken again after a
// D.C. or D.S. (common practice). An unclosed or contradictory repeat is played
// straight on. The error says when the part would grow beyond all measure.
func (p *Part) Order() ([]int, error) {
	u := unfolding{bars: p.Bars, round: map[int]int{}}
	for i := 0; i < len(p.Bars); {
		if len(u.order) >= maxPlayedBars {
			return nil, fmt.Errorf("with its repeats the part is longer than %d bars; check the repeat marks near bar %s",
				maxPlayedBars, p.Bars[i].Number)
		}
		i = u.play(i)
	}
	return u.order, nil
}

type unfolding struct {
	bars   []Bar
	order  []int
	start  int         // where the repeated passage in force begins
	pass   int         // how often it has been played through already
	jumped bool        // after a D.C. or D.S.
	round  map[int]int // by bar with a backward repeat: jumps taken from it
}

// play takes bar i, unless an ending of another pass stands over it, and
// returns the bar to go on with.
func (u *unfolding) play(i int) int {
	b := u.bars[i]
	if b.RepeatStart && i != u.start {
		u.start, u.pass = i, 0
	}
	if len(b.Endings) > 0 && !u.endingDue(i) {
		return i + 1
	}
	if n := len(u.order); len(b.Endings) == 0 && n > 0 && u.order[n-1] == i-1 && len(u.bars[i-1].Endings) > 0 {
		// Out of the last ending: what follows is a new passage.
		u.start, u.pass = i, 0
	}
	u.order = append(u.order, i)
	switch {
	case u.jumped && b.Fine:
		return len(u.bars)
	case u.jumped && b.ToCoda:
		if c := u.find(func(b Bar) bool { return b.Coda }); c > i {
			return c
		}
	}
	if !u.jumped && b.RepeatEnd > 0 && u.round[i] < u.turns(b)-1 {
		u.round[i]++
		u.pass++
		return u.start
	}
	if b.RepeatEnd > 0 && len(b.Endings) == 0 {
		// Past the last repeat of a passage: a further one without a start
		// sign of its own begins here.
		u.start, u.pass = i+1, 0
	}
	if !u.jumped && (b.DaCapo || b.DalSegno) {
		u.jumped, u.start, u.pass = true, 0, 0
		if b.DalSegno {
			return max(u.find(func(b Bar) bool { return b.Segno }), 0)
		}
		return 0
	}
	return i + 1
}

// turns is how often the passage that ends at b is left through b: the number
// of its endings where it has several, else the repeat's own count.
func (u *unfolding) turns(b Bar) int {
	if len(b.Endings) > 0 {
		return len(b.Endings) + 1 // each of its passes turns back; a later ending goes on
	}
	return b.RepeatEnd
}

// endingDue says whether the ending over bar i is the one for the pass being
// played. After a jump only the last ending is played.
func (u *unfolding) endingDue(i int) bool {
	b := u.bars[i]
	if u.jumped {
		return !u.laterEnding(i)
	}
	if slices.Contains(b.Endings, u.pass+1) {
		return true
	}
	// Endings that skip a number: play the last one rather than none.
	return !u.laterEnding(i) && u.pass+1 > slices.Max(b.Endings)
}

// laterEnding says whether another ending follows the one at bar i without a
// plain bar between.
func (u *unfolding) laterEnding(i int) bool {
	for _, b := range u.bars[i:] {
		if len(b.Endings) == 0 {
			return false
		}
		if !slices.Equal(b.Endings, u.bars[i].Endings) {
			return true
		}
	}
	return false
}

func (u *unfolding) find(is func(Bar) bool) int { return slices.IndexFunc(u.bars, is) }
