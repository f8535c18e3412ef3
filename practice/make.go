package practice

// The items of a day, each with its tempos. What is said of them comes when the
// day stands: see speak.

// warmUpMinutes is an eighth of the day, more on the day of the recording
// (estimates).
func warmUpMinutes(f Phase, limit int) int {
	const shortest, longest = 3, 10
	share := 8
	if f == Recording {
		share = 6
	}
	return min(max(limit/share, shortest), longest)
}

// warmUpPlay is how much of a minute of warm-up is played, in seconds: about half
// (estimate).
const warmUpPlay = 30

// warmUp is shorter on a day that may hardly be played, as after a week of little.
func (p *planner) warmUp(k, playLimit int) Item {
	minutes := warmUpMinutes(p.days[k].phase, p.days[k].minutes)
	play := minutes * warmUpPlay
	if playLimit > 0 && play > playLimit {
		minutes, play = divideUp(playLimit, warmUpPlay), playLimit
	}
	return Item{Kind: WarmUp, Bars: []string{}, Tempos: []float64{}, Minutes: minutes, PlayS: play, Evidence: []string{"warm-up"}, segment: -1}
}

// readAway is the first look at the page.
func (p *planner) readAway(limit int) Item {
	const share, shortest, longest = 7, 3, 10 // minutes (estimates)
	it := p.m.item(Away, p.m.whole(), "order", "model")
	it.Minutes, it.Tempos = min(max(limit/share, shortest), longest), []float64{}
	return it
}

// visit is a few turns of a segment. The first visit ever is slow, unless a take
// was right there; then slow and
// goal tempo alternate; in the last days the goal leads.
func (p *planner) visit(k, i, round int) Item {
	seg := &p.segments[i]
	met := p.seen[i].met
	it := p.m.item(Visit, seg.span, "segments", "interleaving", "right")
	it.segment, it.round, it.Hard = i, round, p.isHard(seg.span)
	slow := p.slow(k, i)
	phase := p.days[k].phase
	lead, other := slow, seg.GoalBPM
	switch {
	case phase == DayBefore:
		other = slow
	case phase == Late || phase == Recording:
		lead, other = seg.GoalBPM, slow
	case met == 0 && seg.Right == 0 && (round == 0 || seg.strong): // no high entrances missed at tempo on the first day
		other = slow
	}
	if lead != other {
		it.Evidence = append(it.Evidence, "tempos")
	}
	if met > 0 {
		it.Evidence = append(it.Evidence, "spacing")
	} else {
		it.Evidence = append(it.Evidence, "order")
	}
	most := mostTurns
	if phase == Late || phase == DayBefore || phase == Recording {
		most = fewestTurns
	}
	for n := most; n >= fewestTurns; n -= 2 {
		p.m.setTurns(&it, seg.GoalBPM, alternate(lead, other, n), listenRest)
		if it.PlayS+it.Reps*it.RestS <= visitSeconds {
			break
		}
	}
	if seg.strong && (phase == Middle || phase == Late) && round == 0 { // the last turn alone
		it.StrongS = p.m.strongSeconds(seg.span)
		it.Evidence = append(it.Evidence, "strength")
	}
	return it
}

// isHard says whether a stretch asks for as much rest as playing: anything loud
// or high, and all of it for those with little endurance yet.
func (p *planner) isHard(s Span) bool {
	const enduring = 3 // level from which easy work needs less rest (estimate)
	return p.m.strongSeconds(s) > 0 || int(p.m.level()) < enduring
}

// alternate is a, b, a, b, ... of n.
func alternate(a, b float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = a
		if i%2 == 1 {
			out[i] = b
		}
	}
	return out
}

// phrase joins segments to a line.
func (p *planner) phrase(k, i int) Item {
	it := p.m.item(Phrase, p.lines[i], "phrases")
	it.Hard = p.isHard(it.span)
	goal := p.m.Bars[it.span.From].BPM
	slow := onScale(min(p.share(k, it.span), nearGoal) * goal)
	tempos := []float64{slow, slow}
	switch p.days[k].phase {
	case Middle:
		tempos = []float64{slow, goal, slow}
		it.Evidence = append(it.Evidence, "tempos")
	case Late:
		tempos = []float64{goal, goal}
	}
	p.m.setTurns(&it, goal, tempos, listenRest)
	return it
}

// listenRun is the recorded run at the end of a week.
func (p *planner) listenRun(k int) Item {
	return p.m.run(Run, min(p.share(k, p.m.whole()), nearGoal), p.m.takeRest(), "listening", "rest")
}

// workRun is the whole part on the way to its tempo.
func (p *planner) workRun(k int) Item {
	return p.m.run(Run, min(p.share(k, p.m.whole()), nearGoal), listenRest, "runs", "rest")
}

// lightRun is the run of the day before, soft.
func (p *planner) lightRun() Item {
	return p.m.run(Run, 1, listenRest, "day-before", "rest")
}

// mockTake is a take of a late day.
func (p *planner) mockTake() Item {
	it := p.m.take()
	it.Evidence = append(it.Evidence, "listening")
	return it
}
