package practice

import "slices"

const (
	// mostTakes bounds the takes on the day of the recording: after some five the
	// lip no longer gets better (estimate).
	mostTakes = 5
	// spotChecks are the segments met on the day before and on the day of the
	// recording (estimate).
	spotChecks = 2
	// secondRun is the length of the stretch of middle days between whole runs, in days
	// (estimate).
	secondRun = 2
	// spotMinutes is how many minutes of a late day there are for each spot check
	// (estimate).
	spotMinutes = 6
	// lineMinutes is what a phrase takes, about; minutesEach the minutes of the day
	// for each segment in it, so that a day stays with a few (estimates).
	lineMinutes, minutesEach = 2, 7
)

// fillDay fills one day.
func (p *planner) fillDay(k int) Day {
	f := p.days[k]
	s := &session{limit: f.minutes, play: p.playLimit(k), strong: max(strongLimit, p.m.strongSeconds(p.m.whole()))}
	s.add(&s.open, p.warmUp(k, s.play))
	today := p.choose(k)
	switch f.phase {
	case Early, Middle:
		p.fillDetails(k, s, today)
	case Late:
		p.fillLate(k, s, today)
	case DayBefore:
		p.fillLight(k, s, today)
	case Recording:
		p.fillRecording(k, s)
	}
	d := s.day(f)
	p.speak(k, &d)
	p.note(k, s)
	return d
}

// fillDetails is a day of the early and the middle phase: visits in two rounds,
// phrases between, now and then the whole.
func (p *planner) fillDetails(k int, s *session, today []int) {
	var known []int // segments met today
	if k == p.first && len(p.m.Takes)+len(p.m.Past) == 0 {
		s.add(&s.open, p.readAway(s.limit))
	}
	if p.days[k].lastWeek {
		s.add(&s.closing, p.listenRun(k))
	} else if p.days[k].phase == Middle && k%secondRun == 0 {
		s.add(&s.closing, p.workRun(k))
	}
	lines := 1
	if p.days[k].phase == Middle {
		lines = 2
	}
	visits := max(0, s.left()-lines*lineMinutes) / (visitSeconds / 60)
	p.addVisits(k, s, today, min(max(divideUp(visits, 2), 1), max(s.limit/minutesEach, spotChecks)))
	for _, it := range s.rounds[0] {
		known = append(known, it.segment)
	}
	p.addLines(k, s, known, lines)
	p.addRound(k, s)
	p.addLines(k, s, known, lines)
}

// addVisits adds single visits of up to want segments.
func (p *planner) addVisits(k int, s *session, today []int, want int) {
	for _, i := range today {
		if want > 0 && s.add(&s.rounds[0], p.visit(k, i, 0)) {
			want--
		}
	}
}

// addRound adds a second visit of each segment met today, as far as the day goes.
func (p *planner) addRound(k int, s *session) {
	for _, it := range apart(s.rounds[0]) { // the order in which they are met
		if !s.add(&s.rounds[1], p.visit(k, it.segment, 1)) {
			return
		}
	}
}

// addLines adds up to want phrases.
func (p *planner) addLines(k int, s *session, today []int, want int) {
	for range want {
		i, ok := p.nextLine(k, today, s.between)
		if !ok || !s.add(&s.between, p.phrase(k, i)) {
			return
		}
	}
}

// fillLate is a day of mock takes, after a few spot checks, phrases and whole
// sections. There are more takes from day to day.
func (p *planner) fillLate(k int, s *session, today []int) {
	late := 0
	for _, d := range p.days[:k] {
		if d.phase == Late {
			late++
		}
	}
	s.add(&s.closing, p.mockTake())
	p.addVisits(k, s, today, max(spotChecks, min(p.dueOn(k), s.left()/spotMinutes)))
	for range min(late, 2) {
		s.add(&s.closing, p.mockTake())
	}
	p.addLines(k, s, today, max(2, s.left()/minutesEach))
	for _, section := range p.sections() {
		s.add(&s.between, p.section(section))
	}
}

// fillLight is the day before: little, soft, and one run to trust it.
func (p *planner) fillLight(k int, s *session, today []int) {
	p.addVisits(k, s, today, max(spotChecks, s.left()/(2*visitSeconds/60)))
	s.add(&s.closing, p.lightRun())
}

// fillRecording is the day itself: a warm-up, the two places that weigh most, and
// takes as long as the lip gets better.
func (p *planner) fillRecording(k int, s *session) {
	s.add(&s.closing, p.m.take())
	heaviest := []int{}
	for i, seg := range p.segments {
		if seg.State == Work {
			heaviest = append(heaviest, i)
		}
	}
	slices.SortStableFunc(heaviest, func(a, b int) int {
		switch wa, wb := p.segments[a].Weight, p.segments[b].Weight; {
		case wa > wb:
			return -1
		case wa < wb:
			return 1
		}
		return 0
	})
	p.addVisits(k, s, heaviest, spotChecks)
	for range mostTakes - 1 {
		s.add(&s.closing, p.m.take())
	}
}
