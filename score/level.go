package score

import (
	"math"
	"sort"
)

// levels are the printed dynamics in steps: one step apart each, 0 between
// mezzo-piano and mezzo-forte.
var levels = map[string]float64{
	"pppppp": -6.5, "ppppp": -5.5, "pppp": -4.5, "ppp": -3.5, "pp": -2.5, "p": -1.5, "mp": -0.5,
	"mf": 0.5, "f": 1.5, "ff": 2.5, "fff": 3.5, "ffff": 4.5, "fffff": 5.5, "ffffff": 6.5,
}

// LevelStep is a printed dynamic in steps, mezzo-forte being 0.5 and each
// marking one step from the next; ok is false for an accent such as "sfz".
func LevelStep(mark string) (step float64, ok bool) {
	step, ok = levels[mark]
	return step, ok
}

// defaultLevel holds until the first dynamic mark: mezzo-forte (common
// practice).
const defaultLevel = 0.5

// wedgeStep is how far a hairpin goes when no dynamic stands at its end:
// one marking (estimate).
const wedgeStep = 1.0

// goalSlack is how far after a hairpin's tip its goal may be printed: a quarter
// note (estimate).
var goalSlack = Frac(1, 4)

// LevelLine is the dynamics of a part as a line over written time. Make it once
// for many questions: it takes time in proportion to the marks, each question
// only their logarithm.
type LevelLine struct{ runs []levelRun }

// levelRun goes evenly from one level to another and stays there until the
// next run starts.
type levelRun struct {
	from, to       Time
	first, settled float64
}

func (r levelRun) at(t Time) float64 {
	if !t.Less(r.to) {
		return r.settled
	}
	return r.first + (r.settled-r.first)*t.Sub(r.from).Over(r.to.Sub(r.from))
}

// LevelLine draws the line: a mark sets the level, a hairpin leads to the next
// mark in its direction that stands under it or up to a quarter note after its
// tip, or one step on when there is none. A hairpin ends where the next starts.
func (p *Part) LevelLine() LevelLine { return drawLevels(p.Dynamics, p.Wedges, farFuture) }

// farFuture is after every moment of a part.
var farFuture = Frac(math.MaxInt64, 1)

// Level is the dynamic in force at one moment: as LevelLine has it, drawn from
// the last mark only. A part with very many hairpins and no marks between is
// better asked by its line.
func (p *Part) Level(at Time) float64 {
	marks, wedges := p.Dynamics, p.Wedges
	i := sort.Search(len(marks), func(i int) bool { return at.Less(marks[i].At) })
	for i--; i >= 0; i-- {
		if _, ok := levels[marks[i].Mark]; ok {
			from := marks[i].At
			// The hairpin begun before the mark may go on under it.
			j := sort.Search(len(wedges), func(j int) bool { return !wedges[j].From.Less(from) })
			marks, wedges = marks[i:], wedges[max(j-1, 0):]
			break
		}
	}
	return drawLevels(marks, wedges, at).At(at)
}

// drawLevels draws the line from the first mark given to a moment.
func drawLevels(marks []DynamicMark, wedges []Wedge, until Time) LevelLine {
	var l LevelLine
	var open Wedge // the hairpin last begun
	for i, d := range marks {
		step, ok := levels[d.Mark]
		if !ok {
			continue
		}
		for len(wedges) > 0 && wedges[0].From.Less(d.At) && !until.Less(wedges[0].From) {
			open, wedges = wedges[0], wedges[1:]
			l.follow(open, open.From, marks[i:])
		}
		if until.Less(d.At) {
			return l
		}
		l.runs = append(l.runs, levelRun{d.At, d.At, step, step})
		if d.At.Less(open.To) {
			l.follow(open, d.At, marks[i+1:])
		}
	}
	for _, w := range wedges {
		if until.Less(w.From) {
			break
		}
		l.follow(w, w.From, nil)
	}
	return l
}

// follow adds the rest of a hairpin from a moment on; next are the marks after
// that moment.
func (l *LevelLine) follow(w Wedge, from Time, next []DynamicMark) {
	level := l.At(from)
	r := levelRun{from, w.To, level, level - wedgeStep}
	if w.Grow {
		r.settled = level + wedgeStep
	}
	for _, d := range next {
		if w.To.Add(goalSlack).Less(d.At) {
			break
		}
		if step, ok := levels[d.Mark]; ok && step != level && (step > level) == w.Grow {
			r.settled = step
			if d.At.Less(w.To) {
				r.to = d.At
			}
			break
		}
	}
	l.runs = append(l.runs, r)
}

// At is the dynamic in force at a moment of the written part, in the steps of
// LevelStep, hairpins followed on the way.
func (l LevelLine) At(at Time) float64 {
	i := sort.Search(len(l.runs), func(i int) bool { return at.Less(l.runs[i].from) }) - 1
	if i < 0 {
		return defaultLevel
	}
	return l.runs[i].at(at)
}
