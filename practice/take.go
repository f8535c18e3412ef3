package practice

import (
	"slices"

	"waterkey/finding"
)

// Take is what listening to a take gave, as far as a plan needs it.
type Take struct {
	Name string // as a sentence calls it: "the take monday.wav"
	// Share is the tempo of each bar against the goal, 1 for the goal; 0 for a bar
	// that was not heard.
	Share    []float64
	Findings []finding.Finding
}

const (
	// retireAfter is how many takes in a row must be right (common practice: three
	// times right, and leave it).
	retireAfter = 3
	// atGoal is the share of the goal tempo from which a take counts as one at
	// tempo: 5 %, about what a listener tells by ear (Drake and Botte 1993: 4 to
	// 6 % for one or two intervals).
	atGoal = 0.95
	// slipBack is what is still comfortable of the tempo at which a take slipped
	// (estimate).
	slipBack = 0.85
	// calmer is what is left of a weight for every take that was right (estimate).
	calmer = 0.7
)

// lastSlips are the findings of the last take that speak of single places, up to
// where it ended.
func lastSlips(m Material, at map[string]int) []finding.Finding {
	if len(m.Takes) == 0 {
		return nil
	}
	var out []finding.Finding
	last := m.Takes[len(m.Takes)-1]
	end := last.lastHeard()
	for _, f := range last.Findings {
		if slices.ContainsFunc(slips(m, f, at), func(s Span) bool { return s.From <= end }) {
			out = append(out, f)
		}
	}
	return out
}

// slips are the places of a finding of a take that are no whole page.
func slips(m Material, f finding.Finding, at map[string]int) []Span {
	if aside[f.Kind] {
		return nil
	}
	return slices.DeleteFunc(places(f, at), m.broad)
}

// heard gives every segment what the takes say about it, and the tempo that is
// comfortable now.
func (m Material) heard(segments []Segment, at map[string]int) []Segment {
	for i := range segments {
		s := &segments[i]
		shown := 0.0 // share of the goal tempo
		name := ""
		for k, t := range m.Takes {
			share, right, ok := t.verdict(m, s.core, at)
			switch {
			case !ok:
				continue
			case !right:
				s.Right, shown = 0, share*slipBack
			case share >= atGoal:
				s.Right, shown = s.Right+1, share
			default:
				shown = share
			}
			name = t.Name
			s.turn(t, right, k == len(m.Takes)-1)
		}
		for range s.Right {
			s.Weight = round2(s.Weight * calmer)
		}
		if s.Right >= retireAfter {
			s.State = Retired
		}
		m.setTempo(s, shown, name)
	}
	return segments
}

// turn enters which take retired a segment, and whether it slipped in the last one.
func (s *Segment) turn(t Take, right, last bool) {
	switch {
	case !right:
		s.RetiredBy = ""
		if last {
			s.SlippedIn = t.Name
		}
	case s.Right == retireAfter && s.RetiredBy == "":
		s.RetiredBy = t.Name
	}
}

// verdict is the slowest share of the goal tempo in a stretch and whether all was
// right; not ok when some of it was not heard. What was left out on the way was not
// right; what comes after the end of a take that broke off was not heard.
func (t Take) verdict(m Material, core Span, at map[string]int) (share float64, right, ok bool) {
	slipped := slices.ContainsFunc(t.Findings, func(f finding.Finding) bool {
		return slices.ContainsFunc(slips(m, f, at), core.meets)
	})
	if slipped && core.From <= t.lastHeard() {
		return t.slowest(m, core), false, true
	}
	for i := core.From; i <= core.To; i++ {
		if m.Bars[i].Silent {
			continue
		}
		if i >= len(t.Share) || t.Share[i] <= 0 {
			return 0, false, false
		}
	}
	share = t.slowest(m, core)
	return share, true, share > 0
}

// lastHeard is the last bar of which anything was heard, -1 for none.
func (t Take) lastHeard() int {
	for i := len(t.Share) - 1; i >= 0; i-- {
		if t.Share[i] > 0 {
			return i
		}
	}
	return -1
}

// slowest is the least share of the goal tempo in a stretch, of what was heard; 0
// when nothing was.
func (t Take) slowest(m Material, core Span) float64 {
	share := 0.0
	for i := core.From; i <= core.To && i < len(t.Share); i++ {
		if s := t.Share[i]; s > 0 && !m.Bars[i].Silent && (share == 0 || s < share) {
			share = s
		}
	}
	return share
}
