package desk

import (
	"waterkey/score"
	"waterkey/sound"
)

// passageOf finds the bars that q asks for as they are played the first time: a
// passage across a repeat has the turn in it.
func (p *Prepared) passageOf(q Playing) (sound.Bars, error) {
	if q.From == "" && q.To == "" || len(p.Played.Bars) == 0 {
		return sound.Bars{}, nil
	}
	first, last := 0, len(p.Part.Bars)-1
	for _, end := range []struct {
		number string
		index  *int
	}{{q.From, &first}, {q.To, &last}} {
		if end.number == "" {
			continue
		}
		if *end.index = barNumbered(p.Part, end.number); *end.index < 0 {
			return sound.Bars{}, unplayable("bars", "%s-%s: there is no bar %s; the part has bars %s to %s", q.From, q.To, end.number, p.barNumber(0), p.barNumber(len(p.Part.Bars)-1))
		}
	}
	if last < first {
		return sound.Bars{}, unplayable("bars", "%s-%s run backward; write %s-%s", q.From, q.To, q.To, q.From)
	}
	from := turnOf(p.Played, first, 0)
	to := turnOf(p.Played, last, max(from, 0))
	if from < 0 || to < 0 {
		return sound.Bars{}, unplayable("bars", "%s-%s are not played one after the other: the page jumps past them; try the whole part", q.From, q.To)
	}
	return sound.Bars{From: from, To: to + 1}, nil
}

// turnOf is the first turn of a bar from a turn on, -1 for none.
func turnOf(pf *score.Performance, bar, from int) int {
	for i := from; i < len(pf.Bars); i++ {
		if pf.Bars[i].Bar == bar {
			return i
		}
	}
	return -1
}
