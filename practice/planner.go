package practice

import (
	"cmp"
	"slices"

	"waterkey/finding"
)

const (
	// heavy is the weight from which a segment is met on heavyDays days or more
	// (estimates).
	heavy     = 0.6
	heavyDays = 3
	// strongLimit is how long a day may be played at full strength, in seconds, or
	// one whole run where that takes longer: a few full-strength tries (estimate).
	strongLimit = 300
)

// returns are the days of practice between visits to a segment, first to last:
// always a night and then longer, more slowly for a heavy one (kind: Simmons 2012;
// amounts: estimates).
var returns = map[bool][]int{false: {1, 2, 3, 4}, true: {1, 1, 2, 2, 3}}

// record is what has become of a segment so far.
type record struct {
	met   int     // days
	past  int     // of them before the first one planned
	first int     // index of the day it was met first, see showsAnew
	due   int     // index of the day from which it is to return
	slow  float64 // tempo it had come up to when it was met last
}

// planner fills the days one after another.
type planner struct {
	m        Material
	t        Terms
	segments []Segment
	lines    []Span // phrases
	days     []frame
	first    int      // the day from which on is planned; what was before is past
	out      []Day    // of past days what was done, empty for nothing
	seen     []record // by segment
	lineMet  []int    // by phrase: how often played
	said     map[string]int
	cut      float64 // s of long rests left out
}

func newPlanner(m Material, t Terms, segments []Segment) *planner {
	p := &planner{m: m, t: t, segments: segments, lines: phrases(m, index(m.Bars)), said: map[string]int{}}
	p.days, p.first = t.frames()
	last := &p.days[len(p.days)-1]
	last.minutes = max(last.minutes, t.needed(m))
	p.seen, p.lineMet = make([]record, len(segments)), make([]int, len(p.lines))
	p.remember()
	return p
}

func (p *planner) fill() {
	for k := p.first; k < len(p.days); k++ {
		p.out = append(p.out, p.fillDay(k))
	}
}

// before is how many days of practice are left before the recording.
func (p *planner) before() int { return len(p.days) - 1 - p.first }

// need is on how many days a segment has to be met at least, past ones included.
func (p *planner) need(i int) int {
	possible := p.seen[i].past + p.before()
	if p.segments[i].Weight >= heavy {
		return min(heavyDays, possible)
	}
	return min(1, possible)
}

// met says whether every segment with visits of its own was met often enough.
func (p *planner) met() bool {
	for i, s := range p.segments {
		if s.State == Work && p.seen[i].met < p.need(i) {
			return false
		}
	}
	return true
}

// choose lists segments to visit on day k, the most needed first: those that
// would otherwise not be met often enough; then, in turn, new ones in the order of
// the stages and those that are due; then the rest.
func (p *planner) choose(k int) []int {
	var urgent, fresh, due, early []int
	for i, s := range p.segments {
		left := len(p.days) - 1 - k
		switch r := p.seen[i]; {
		case s.State != Work:
		case r.met > 0 && r.met < p.need(i) && left <= p.need(i)-r.met:
			urgent = append(urgent, i)
		case r.met == 0:
			fresh = append(fresh, i)
		case r.due <= k:
			due = append(due, i)
		default:
			early = append(early, i)
		}
	}
	weight := func(i int) float64 { return p.segments[i].Weight * float64(1+max(0, k-p.seen[i].due)) }
	slices.SortStableFunc(fresh, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.segments[a].Stage, p.segments[b].Stage), cmp.Compare(p.segments[b].Weight, p.segments[a].Weight))
	})
	slices.SortStableFunc(due, func(a, b int) int { return cmp.Compare(weight(b), weight(a)) })
	slices.SortStableFunc(early, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.seen[a].due, p.seen[b].due), cmp.Compare(p.segments[b].Weight, p.segments[a].Weight))
	})
	fresh = p.oneStrong(fresh)
	fresh = fresh[:min(len(fresh), p.newToday(k))]
	return slices.Concat(urgent, inTurn(fresh, due), early)
}

// oneStrong leaves one loud or high segment among the new ones of a day, as long as
// others are there (common practice).
func (p *planner) oneStrong(fresh []int) []int {
	var first, later []int
	strong := false
	for _, i := range fresh {
		if p.segments[i].strong && strong {
			later = append(later, i)
			continue
		}
		strong = strong || p.segments[i].strong
		first = append(first, i)
	}
	return append(first, later...)
}

// dueOn is how many segments are new or due on day k; the others may wait.
func (p *planner) dueOn(k int) int {
	n := 0
	for i, s := range p.segments {
		if r := p.seen[i]; s.State == Work && (r.met < p.need(i) || r.due <= k) {
			n++
		}
	}
	return n
}

// newToday is how many segments may be new on day k, so that all of them are
// known when the early days end.
func (p *planner) newToday(k int) int {
	const fewest = 2 // new segments a day (estimate)
	early, fresh := 0, 0
	for _, d := range p.days[k:] {
		if d.phase == Early {
			early++
		}
	}
	for i, s := range p.segments {
		if s.State == Work && p.seen[i].met == 0 {
			fresh++
		}
	}
	if early == 0 {
		return fresh
	}
	return max(fewest, divideUp(fresh, early))
}

// inTurn takes from two lists alternately.
func inTurn(a, b []int) []int {
	var out []int
	for i := range max(len(a), len(b)) {
		if i < len(a) {
			out = append(out, a[i])
		}
		if i < len(b) {
			out = append(out, b[i])
		}
	}
	return out
}

// playLimit is what day k may be played, in seconds: no more than mostNum/mostDen
// of the average day of the week before. 0 is no limit.
func (p *planner) playLimit(k int) int {
	played, days := 0, 0
	for i, d := range p.days[:k] {
		if d.week == p.days[k].week-1 && p.out[i].Date != "" {
			played, days = played+p.out[i].PlayS, days+1
		}
	}
	if days == 0 || p.days[k].phase == Recording {
		return 0
	}
	return max(1, played*mostNum/(days*mostDen))
}

// note enters what a day of practice met.
func (p *planner) note(k int, s *session) {
	if p.days[k].phase == Recording {
		return
	}
	for _, it := range s.order() {
		if it.Kind == Visit && it.round == 0 {
			p.visited(k, it.segment, slices.Min(it.Tempos))
		}
		for i, line := range p.lines {
			if it.joins(line) {
				p.lineMet[i]++
			}
		}
	}
}

// visited enters that a segment was met on day k, in a slow tempo.
func (p *planner) visited(k, segment int, slow float64) {
	r := &p.seen[segment]
	if r.met == 0 || p.showsAnew(*r) {
		r.first = k
	}
	gaps := returns[p.segments[segment].Weight >= heavy]
	r.due = k + gaps[min(r.met, len(gaps)-1)]
	r.met++
	r.slow = slow
}

// nextLine is the phrase that was played least, one that holds a segment of
// today before others. In the early days no other will do: what is not yet known is
// not yet joined. A phrase that a segment of today holds as a whole would say the
// same again.
func (p *planner) nextLine(k int, today []int, taken []Item) (int, bool) {
	best, least := -1, 0
	for i, line := range p.lines {
		holds := slices.ContainsFunc(today, func(s int) bool { return line.meets(p.segments[s].core) })
		within := slices.ContainsFunc(today, func(s int) bool { return p.segments[s].span.holds(line) })
		if within || !holds && p.days[k].phase == Early || slices.ContainsFunc(taken, func(it Item) bool { return it.span == line }) {
			continue
		}
		rank := 2 * p.lineMet[i]
		if !holds {
			rank++
		}
		if best < 0 || rank < least {
			best, least = i, rank
		}
	}
	return best, best >= 0
}

// stageOf is the stage of the visit of a segment that was met so often before:
// its stages one after another, then all together.
func (s *Segment) stageOf(met int) (finding.Stage, bool) {
	var stages []finding.Stage
	for _, f := range s.found {
		if !slices.Contains(stages, f.Stage) {
			stages = append(stages, f.Stage)
		}
	}
	if met < len(stages) {
		return stages[met], true
	}
	return 0, false
}

// plan is what was filled, as a document.
func (p *planner) plan() *Plan {
	return &Plan{Title: p.m.Title, From: iso(date(p.t.Today)), By: iso(date(p.t.By)), DaysPerWeek: p.t.DaysPerWeek, Minutes: p.t.Minutes,
		Segments: p.segments, Days: p.out[p.first:], Remarks: p.remarks(), Cautions: p.cautions(), Evidence: Grounds()}
}
