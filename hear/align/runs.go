package align

import "slices"

// Kind is how a player came from one run of notes to the next.
type Kind uint8

// The kinds of jump.
const (
	steps          Kind = iota // no jump: the next note, or one a few notes on
	begins                     // the beginning, or a stop and a new beginning; told apart later
	Restart                    // stopped, and began again at or before the last note played
	GoesOn                     // stopped, and went on with the next note
	Ahead                      // stopped, and began again further on
	LeftOut                    // left bars out without losing the beat
	Silent                     // was silent for bars and came in again in time
	RepeatNotTaken             // went on past a repeat sign, or into the last ending
	NotBegun                   // of a gap: the take begins later in the part
	NotReached                 // of a gap: the take ends before the part does
)

// Run is what was played in one go: notes of the page in order.
type Run struct {
	First, Last           int // notes, as indexes of the performance
	FirstSound, LastSound int
	// From and To are the notes that the take is judged by, a part of First to
	// Last; From is greater than To when a later run replaces all of it.
	From, To int

	steps []step
}

// Judged says whether the take is judged by the run.
func (r Run) Judged() bool { return r.From <= r.To }

// Jump is a place where a player did not go on to the next note.
type Jump struct {
	Kind     Kind
	From, To int     // the last note before it and the first after, as indexes of the performance
	At       float64 // s: the moment of the first note after it
}

// Gap is a stretch of the page that the take does not have.
type Gap struct {
	Kind     Kind // LeftOut, Silent, RepeatNotTaken, Ahead, NotBegun or NotReached
	From, To int  // its first and last note
}

// runsOf splits a path at its jumps.
func (s *search) runsOf(path []step) (runs []Run, jumps []Jump) {
	usual := s.usualStretch(path)
	for k, v := range path {
		if k > 0 && v.kind == steps && s.stopped(path[k-1], v, usual) {
			v.kind = begins
		}
		if k > 0 && v.kind == steps {
			r := &runs[len(runs)-1]
			r.Last, r.LastSound, r.steps = v.note, v.last, append(r.steps, v)
			continue
		}
		if k > 0 {
			before := path[k-1].note
			jumps = append(jumps, Jump{v.kind.toldApart(before, v.note), before, v.note, s.sounds[v.sound].Start})
		}
		runs = append(runs, Run{First: v.note, Last: v.note, FirstSound: v.sound, LastSound: v.last, From: 0, To: -1, steps: []step{v}})
	}
	return runs, jumps
}

// usualStretch is the median tempo of a path from note to note, in seconds of
// the take for one of the page; 1 for a single note.
func (s *search) usualStretch(path []step) float64 {
	var v []float64
	for k := 1; k < len(path); k++ {
		page := s.page.notes[path[k].note].start - s.page.notes[path[k-1].note].start
		if page > 0 && path[k].kind == steps {
			v = append(v, (s.sounds[path[k].sound].Start-s.sounds[path[k-1].sound].Start)/page)
		}
	}
	if len(v) == 0 {
		return 1
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// stopped says whether the player stopped between two notes that no rest
// divides on the page: a silence, and far more time than the page has.
func (s *search) stopped(a, b step, stretch float64) bool {
	const (
		silent = 0.5 // s (estimate)
		longer = 1.5 // times as long as the page says, and
		over   = 1.0 // s more (estimates: a breath or a broad phrase end takes less)
	)
	from, to := &s.page.notes[a.note], &s.page.notes[b.note]
	passed := s.sounds[b.sound].Start - s.sounds[a.sound].Start
	rest := to.start - s.page.notes[b.note-1].end
	return s.sounds[b.sound].Gap >= silent && rest < restLeast && passed > longer*stretch*(to.start-from.start)+over
}

// toldApart names a jump by where it leads.
func (k Kind) toldApart(from, to int) Kind {
	switch {
	case k != begins:
		return k
	case to <= from:
		return Restart
	case to == from+1:
		return GoesOn
	}
	return Ahead
}

// judge marks the runs that the take is judged by: the latest of those that
// reach furthest, and before each chosen run the one that comes closest to
// where it begins, the latest of equals.
func judge(runs []Run) {
	limit := int(^uint(0) >> 1) // notes from here on are had already
	for end := len(runs); ; {
		best, reach := -1, -1
		for k := end - 1; k >= 0; k-- {
			if runs[k].First < limit && min(runs[k].Last, limit-1) > reach {
				best, reach = k, min(runs[k].Last, limit-1)
			}
		}
		if best < 0 {
			return
		}
		r := &runs[best]
		r.From, r.To = r.First, reach
		end, limit = best, r.First
	}
}

// alignment is what a path says about the take.
func (s *search) alignment(found result) *Alignment {
	runs, jumps := s.runsOf(found.steps)
	judge(runs)
	a := &Alignment{Matches: make([]Match, len(s.page.notes)), Tuning: found.tuning, Octaves: found.octaves, Runs: runs, Jumps: jumps}
	for i := range a.Matches {
		a.Matches[i] = Match{First: -1, Last: -1}
	}
	for _, r := range runs {
		for _, v := range r.steps {
			if r.From <= v.note && v.note <= r.To {
				a.Matches[v.note] = Match{v.sound, v.last, v.right, v.cents}
			}
		}
	}
	s.sortSounds(a)
	a.Gaps = gapsOf(a)
	a.Clock = s.clockOf(runs)
	return a
}

// sortSounds lists the sounds that belong to no note.
func (s *search) sortSounds(a *Alignment) {
	owner := make([]*[]int, len(s.sounds))
	for k := range owner {
		switch {
		case k < a.Runs[0].FirstSound:
			owner[k] = &a.Ahead
		case k > a.Runs[len(a.Runs)-1].LastSound:
			owner[k] = &a.After
		default:
			owner[k] = &a.Aside
		}
	}
	for _, r := range a.Runs {
		for k, v := range r.steps {
			to := &a.Again
			if r.From <= v.note && v.note <= r.To {
				to = nil
			}
			for j := v.sound; j <= v.last; j++ {
				owner[j] = to
			}
			if to == nil {
				to = &a.Extra
			}
			for j := v.last + 1; k+1 < len(r.steps) && j < r.steps[k+1].sound; j++ {
				owner[j] = to
			}
		}
	}
	for k, list := range owner {
		if list != nil {
			*list = append(*list, k)
		}
	}
}

// RunOf is the run by which note i is judged, as an index of Runs; -1 when it
// lies in none.
func (a *Alignment) RunOf(i int) int {
	return slices.IndexFunc(a.Runs, func(r Run) bool { return r.From <= i && i <= r.To })
}

// gapsOf lists what lies between the judged runs, before and after them.
func gapsOf(a *Alignment) (out []Gap) {
	next, last := 0, -1 // the first note not had yet, and the run before
	for k, r := range a.Runs {
		if !r.Judged() {
			continue
		}
		if r.From > next {
			g := Gap{NotBegun, next, r.From - 1}
			if last >= 0 {
				g.Kind = a.Jumps[k-1].Kind
				if last < k-1 || g.Kind == Restart {
					g.Kind = Ahead
				}
			}
			out = append(out, g)
		}
		next, last = r.To+1, k
	}
	if next < len(a.Matches) {
		out = append(out, Gap{NotReached, next, len(a.Matches) - 1})
	}
	return out
}

// clockOf is the clock through the right notes that the take is judged by.
func (s *search) clockOf(runs []Run) *Clock {
	return NewClock(s.points(runs, func(r Run, v step) bool { return r.From <= v.note && v.note <= r.To }))
}

// points are the right notes of runs that a clock goes through.
func (s *search) points(runs []Run, wanted func(Run, step) bool) []Point {
	var out []Point
	for _, r := range runs {
		fresh := true
		for _, v := range r.steps {
			n := &s.page.notes[v.note]
			if !v.right || n.grace || !wanted(r, v) {
				continue
			}
			rest := v.note > 0 && n.start-s.page.notes[v.note-1].end >= restLeast
			out = append(out, Point{Page: n.start, Take: s.sounds[v.sound].Start, AfterRest: rest, Anew: fresh && len(out) > 0})
			fresh = false
		}
	}
	return out
}
