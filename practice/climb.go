package practice

import (
	"fmt"
	"slices"
)

const (
	// lightShare is the tempo of the day before against the goal: slow, whatever is
	// comfortable by then (estimate).
	lightShare = 0.75
	// steep is by how much the slow tempo may rise from one day with a segment to the
	// next: a fifth, three to four notches of a metronome (estimate).
	steep = 1.2
)

// details is the index of the first day that is no longer about details: the late
// days, or what follows when there are none.
func (p *planner) details() int {
	for k, d := range p.days {
		if d.phase != Early && d.phase != Middle {
			return k
		}
	}
	return len(p.days)
}

// climb is how far a segment's slow tempo has come up on day k: 0 on the day it is
// met first, or met first after takes that show its tempo, and 1 when the days about
// details end.
func (p *planner) climb(k, segment int) float64 {
	r, end := p.seen[segment], p.details()
	switch {
	case k >= end:
		return 1
	case r.met == 0 || p.showsAnew(r):
		return 0
	}
	return float64(k-r.first) / float64(end-r.first)
}

// showsAnew says whether takes have shown the tempo of a segment since it was met.
func (p *planner) showsAnew(r record) bool { return len(p.m.Takes) > 0 && r.first < p.first }

// slow is the slow tempo of a segment on day k. It stands on the scale of a metronome.
func (p *planner) slow(k, segment int) float64 {
	seg, r := &p.segments[segment], p.seen[segment]
	if p.days[k].phase == DayBefore {
		return onScale(lightShare * seg.GoalBPM)
	}
	bpm := seg.slow(p.climb(k, segment))
	if r.slow == 0 || p.showsAnew(r) {
		return bpm
	}
	return min(bpm, onScale(r.slow*steep))
}

// share is the tempo of whole lines on day k against the goal: no faster than their
// hardest segment goes slowly by then.
func (p *planner) share(k int, line Span) float64 {
	const plain = 0.85 // of a stretch without trouble, on the first day (estimate)
	way := p.way(k)
	if way == 1 {
		return 1
	}
	least := plain + (1-plain)*way
	for i := range p.segments {
		s := &p.segments[i]
		switch {
		case !line.meets(s.core):
		case s.State == Work:
			least = min(least, p.slow(k, i)/s.GoalBPM)
		case s.State == InRuns: // comes up by the runs themselves
			least = min(least, s.slow(way)/s.GoalBPM)
		}
	}
	return least
}

// way is how many of the days of details are over on day k, from 0 to 1: of all of
// them, or of those since takes showed where things stand.
func (p *planner) way(k int) float64 {
	end, start := p.details(), 0
	if len(p.m.Takes) > 0 {
		start = p.first
	}
	if k >= end {
		return 1
	}
	return float64(k-start) / float64(end-start)
}

// behind are the segments whose slow tempo cannot have come up to the goal when the
// takes begin, and the lowest of their tempos then, in its unit.
func (p *planner) behind() (bars [][2]string, lowest float64, unit string) {
	last := make([]float64, len(p.segments))
	for _, d := range p.out[p.first:] {
		for _, it := range d.Items {
			if it.Kind == Visit && (d.Phase == Early || d.Phase == Middle) {
				last[it.segment] = slices.Min(it.Tempos)
			}
		}
	}
	for i := range p.segments {
		s := &p.segments[i]
		if last[i] == 0 || last[i]*steep >= s.slow(1) {
			continue
		}
		bars = append(bars, s.Core)
		if lowest == 0 || last[i] < lowest {
			lowest, unit = last[i], s.Unit
		}
	}
	return bars, lowest, unit
}

// behindRemark says that the days are few for the tempo; "" where they are enough.
func (p *planner) behindRemark() string {
	bars, lowest, unit := p.behind()
	if len(bars) == 0 {
		return ""
	}
	return fmt.Sprintf("The days are few for the tempo: when the takes begin, %s will have come up to %s = %s or a little more. Practice on more days, or decide early on a slower tempo for the recording.",
		barList(bars), unit, number(lowest))
}
