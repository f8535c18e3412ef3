package practice

import (
	"fmt"
	"slices"

	"waterkey/finding"
)

// mostListed is how many places a remark lists (estimate: more are not read).
const mostListed = 8

// remarks are what the player or the coach should know about the plan itself.
func (p *planner) remarks() []string {
	out := []string{}
	if n := p.before(); n < heavyDays {
		out = append(out, fmt.Sprintf("Only %s before the recording: the hardest places cannot return over %d nights, so the plan keeps to what can still be mended.", counted(n, "day of practice", "days of practice"), heavyDays-1))
	}
	if p.t.DaysPerWeek == daysInWeek {
		out = append(out, fmt.Sprintf("Seven days a week leave no day off; %d would.", DefaultDays))
	}
	for _, by := range p.takesOf(func(s Segment) string { return s.RetiredBy }) {
		out = append(out, fmt.Sprintf("Retired since %s, right %d times in a row at tempo: %s. Met in phrases and runs alone, until something slips there.", by.take, retireAfter, barList(by.bars)))
	}
	for _, by := range p.takesOf(func(s Segment) string { return s.SlippedIn }) {
		out = append(out, fmt.Sprintf("Back since %s: %s.", by.take, barList(by.bars)))
	}
	var runs [][2]string
	for _, s := range p.segments {
		if s.State == InRuns {
			runs = append(runs, s.Core)
		}
	}
	switch n := len(runs); {
	case n > mostListed:
		out = append(out, fmt.Sprintf("%d lighter places between bars %s and %s are not worked on singly for now, as the days and one head hold only so much; they are met in phrases and runs.", n, runs[0][0], runs[n-1][1]))
	case n > 0:
		out = append(out, upper(barList(runs))+": not worked on singly for now, as the days and one head hold only so much; met in phrases and runs.")
	}
	for _, r := range []string{p.restsRemark(), p.takeRemark(), p.behindRemark()} {
		if r != "" {
			out = append(out, r)
		}
	}
	if p.shorter() {
		out = append(out, "The last days before the recording are shorter on purpose: sections and takes with a fresh lip. What time is left over belongs to other music, or to rest.")
	}
	return append(out, p.takeRemarks()...)
}

// takeRemark says that the days are too short for a whole take; "" where they are not.
func (p *planner) takeRemark() string {
	need := p.t.needed(p.m)
	if need <= p.t.Minutes {
		return ""
	}
	return fmt.Sprintf("A warm-up and one whole take with its rest need %d minutes: the day of the recording has them; the days before it, of %d at most, have sections in their place.", need, p.t.Minutes)
}

// shorter says whether the late days leave a third or more of the minutes of the
// middle ones (estimate: from there a player would wonder).
func (p *planner) shorter() bool {
	minutes, days := map[Phase]int{}, map[Phase]int{}
	for _, d := range p.out[p.first:] {
		minutes[d.Phase], days[d.Phase] = minutes[d.Phase]+d.Minutes, days[d.Phase]+1
	}
	if days[Middle] == 0 || days[Late] == 0 {
		return false
	}
	return 3*minutes[Late]*days[Middle] <= 2*minutes[Middle]*days[Late]
}

// byTake are bars that one take says something about.
type byTake struct {
	take string
	bars [][2]string
}

// takesOf gathers the segments that name a take, in the order of the takes.
func (p *planner) takesOf(name func(Segment) string) []byTake {
	var out []byTake
	for _, t := range p.m.Takes {
		by := byTake{take: t.Name}
		for _, s := range p.segments {
			if name(s) == t.Name {
				by.bars = append(by.bars, s.Core)
			}
		}
		if len(by.bars) > 0 && !slices.ContainsFunc(out, func(o byTake) bool { return o.take == t.Name }) {
			out = append(out, by)
		}
	}
	return out
}

// takeRemarks are what the last take says about the whole part.
func (p *planner) takeRemarks() []string {
	if len(p.m.Takes) == 0 {
		return nil
	}
	t := p.m.Takes[len(p.m.Takes)-1]
	at := index(p.m.Bars)
	var out []string
	found := slices.Clone(t.Findings)
	finding.Sort(found)
	for _, f := range found {
		if f.Kind != "recording" && slips(p.m, f, at) == nil {
			out = append(out, fmt.Sprintf("%s, the whole of it: %s %s", upper(t.Name), f.Says, f.Do))
		}
	}
	return out
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// cautions are shown with every plan.
func (p *planner) cautions() []string {
	most := 0
	for _, d := range p.out {
		most = max(most, d.PlayS)
	}
	return []string{
		"Stop on pain, and ask a teacher or a physician when it stays. Sit down and breathe normally if you feel light-headed.",
		hearingNote(most),
		"A coach's ear outranks every number here.",
	}
}
