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
// D.C. or D.S.; those of a coda are (common practice). An unclosed or contradictory repeat is played
// straight on. The error says when the part would grow beyond all measure.
func (p *Part) Order() ([]int, error) {
	u := unfolding{bars: p.Bars, endings: endingGroups(p.Bars), round: map[int]int{}}
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
	bars     []Bar
	endings  []*endingGroup // by bar
	order    []int
	start    int         // where the repeated passage in force begins
	pass     int         // how often it has been played through already
	jumped   bool        // after a D.C. or D.S.
	farthest int         // the bar jumped from: those up to it are not repeated again
	round    map[int]int // by bar with a backward repeat: jumps taken from it
}

// play takes bar i, unless an ending of another pass stands over it, and
// returns the bar to go on with.
func (u *unfolding) play(i int) int {
	b := u.bars[i]
	opens := b.RepeatStart && i == u.start // a repeat from under an ending is due
	if len(b.Endings) > 0 && !opens && !u.endingDue(i) {
		return i + 1
	}
	if b.RepeatStart && i != u.start {
		u.start, u.pass = i, 0
	}
	if i > 0 && len(b.Endings) == 0 && len(u.bars[i-1].Endings) > 0 && u.start < u.endings[i-1].from {
		// Out of the last ending: what follows is a new passage.
		u.start, u.pass = i, 0
	}
	u.order = append(u.order, i)
	switch {
	case u.jumped && b.Fine:
		return len(u.bars)
	case u.jumped && b.ToCoda:
		if c := u.find(func(b Bar) bool { return b.Coda }); c > i {
			u.start, u.pass = c, 0
			return c
		}
	}
	if !u.over(i) && b.RepeatEnd > 0 && u.again(i) {
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
		u.jumped, u.farthest, u.start, u.pass = true, i, 0, 0
		if b.DalSegno {
			return max(u.find(func(b Bar) bool { return b.Segno }), 0)
		}
		return 0
	}
	return i + 1
}

// over says whether bar i comes round again by a D.C. or D.S.
func (u *unfolding) over(i int) bool { return u.jumped && i <= u.farthest }

// again says whether the backward repeat at bar i, just played, is taken:
// under endings as long as one of them is for a later pass, a lone ending and
// a plain repeat as often as they say.
func (u *unfolding) again(i int) bool {
	b := u.bars[i]
	switch g := u.endings[i]; {
	case g == nil:
		return u.round[i] < b.RepeatEnd-1
	case g.lastFrom == g.from:
		return u.round[i] < len(b.Endings)
	default:
		return u.pass+1 < g.highest
	}
}

// endingDue says whether the ending over bar i is the one for the pass being
// played. After a jump only the last ending is played.
func (u *unfolding) endingDue(i int) bool {
	g, numbers, pass := u.endings[i], u.bars[i].Endings, u.pass+1
	switch {
	case slices.Contains(numbers, pass) && !u.over(i):
		return true
	case g.lastFrom == g.from:
		// A first ending alone: the next pass goes on after it.
		return slices.Min(numbers) > pass
	}
	// Endings that skip a number: play the last one rather than none.
	return i >= g.lastFrom && (u.over(i) || !g.passes[pass])
}

// endingGroup is a row of endings side by side.
type endingGroup struct {
	from, lastFrom int          // the first bar of the row and of its last ending; equal for a lone ending
	passes         map[int]bool // that have an ending
	highest        int          // of the passes
}

// endingGroups finds, by bar, the row of endings it belongs to; nil for none.
func endingGroups(bars []Bar) []*endingGroup {
	groups := make([]*endingGroup, len(bars))
	for i, b := range bars {
		if len(b.Endings) == 0 {
			continue
		}
		g := &endingGroup{from: i, lastFrom: i, passes: map[int]bool{}}
		if i > 0 && groups[i-1] != nil {
			g = groups[i-1]
			if !slices.Equal(b.Endings, bars[i-1].Endings) {
				g.lastFrom = i
			}
		}
		groups[i] = g
		for _, n := range b.Endings {
			g.passes[n], g.highest = true, max(g.highest, n)
		}
	}
	return groups
}

func (u *unfolding) find(is func(Bar) bool) int { return slices.IndexFunc(u.bars, is) }
