package reading

import (
	"fmt"
	"math"

	"waterkey/breath"
	"waterkey/finding"
)

// breathing says where the page leaves room, and where room and phrases
// disagree.
func breathing(ph *phrasing) []finding.Finding {
	out := ph.room()
	if ph.between != nil {
		return out
	}
	return append(append(out, ph.roomInside()...), ph.endsWithoutRoom()...)
}

// room says where the page leaves room to breathe; of many places, or between
// entrances, only how far apart they are at most.
func (ph *phrasing) room() []finding.Finding {
	p := ph.p
	if len(p.Breaths) == 0 {
		return nil
	}
	var all, catch []int
	for _, b := range p.Breaths {
		all = append(all, b.After)
		if b.Kind == breath.Catch {
			catch = append(catch, b.After)
		}
	}
	rs := p.runs(all, -1)
	if len(rs) > maxPlaces || ph.between != nil {
		return ph.farthest()
	}
	says := "The page leaves room to breathe in " + p.barList(rs)
	switch {
	case len(catch) == len(all):
		says += ", for catch breaths only"
	case len(catch) > 0:
		says += "; in " + p.barList(p.runs(catch, -1)) + " for a catch breath only"
	}
	return p.merged("breath", 0, rs, says+".",
		"Write the breaths in now, and practice with them from the first day.")
}

// farthest names the longest playing between breaths when it is worth a thought and
// noRoom does not name it.
func (ph *phrasing) farthest() []finding.Finding {
	most := breathSpan{}
	for _, s := range ph.breathSpans() {
		if s.tooLong() {
			return nil
		}
		if s.seconds > most.seconds {
			most = s
		}
	}
	if most.seconds < shortStretch {
		return nil
	}
	from, to := ph.p.note(most.first).Bar, ph.p.note(most.last).Bar
	return []finding.Finding{ph.p.finding("breath", 0, from, to,
		fmt.Sprintf("The longest playing without room to breathe is %.0f seconds, %s; everywhere else rests come sooner.", most.seconds, ph.p.barText(from, to)),
		"Take the deepest breath before that one; elsewhere breathe in tempo, and no deeper than what comes.")}
}

// roomInside names rests that would do for a catch breath but stand inside a phrase.
func (ph *phrasing) roomInside() []finding.Finding {
	var notes []int
	k := 0
	for _, b := range ph.p.Breaths {
		for ph.list[k].Last < b.After {
			k++
		}
		if b.After != ph.list[k].Last && b.Kind == breath.Catch && !b.Printed && ph.goes(k) {
			notes = append(notes, b.After)
		}
	}
	rs := ph.p.runs(notes, -1)
	if len(rs) == 0 || len(rs) > maxPlaces { // many: the style of the piece, not places
		return nil
	}
	return ph.p.merged("breath", 0.3, rs, fmt.Sprintf("There is room to breathe in the middle of a phrase in %s.", ph.p.barList(rs)),
		"Breathe there only if you must, and small, so that the line goes on across the rest.")
}

// endsWithoutRoom names phrase ends without room in stretches that a full breath
// carries, but only just; those it does not carry are for noRoom.
func (ph *phrasing) endsWithoutRoom() []finding.Finding {
	const tight = 0.7 // share of a full breath from which players look for a place (estimate)
	var notes []int
	for _, s := range ph.breathSpans() {
		if !s.tooLong() && s.liters > tight*breathLiters {
			notes = append(notes, ph.endsInside(s)...)
		}
	}
	if len(notes) == 0 {
		return nil
	}
	rs := ph.p.runs(notes, -1)
	return ph.p.merged("breath", 0.3, rs, fmt.Sprintf("There is no room to breathe at the end of the phrase in %s.", ph.p.barList(rs)),
		"If you need air there, take the time from the last note of the phrase, never from the first of the next.")
}

// endsInside are the last notes of the phrases that end inside a stretch.
func (ph *phrasing) endsInside(s breathSpan) []int {
	var out []int
	for _, one := range ph.list {
		if one.Last >= s.first && one.Last < s.last {
			out = append(out, one.Last)
		}
	}
	return out
}

// noRoom names stretches that a full breath does not carry at their level and
// pitch.
func noRoom(ph *phrasing) []finding.Finding {
	var long []breathSpan
	var places []place
	worst := 0.0
	for _, s := range ph.breathSpans() {
		if !s.tooLong() {
			continue
		}
		from, to := ph.p.note(s.first).Bar, ph.p.note(s.last).Bar
		where := ph.p.barText(from, to)
		says := fmt.Sprintf("In %s the page leaves no room to breathe for %.0f seconds; at this level and pitch a full breath lasts about %.0f (estimate).", where, s.seconds, s.lasts())
		places = append(places, place{from, to, says, fmt.Sprintf("%s (%.0f s)", where, s.seconds)})
		long = append(long, s)
		worst = max(worst, s.liters/breathLiters-1) // twice a breath is as bad as it gets
	}
	do := ""
	switch len(long) {
	case 0:
		return nil
	case 1:
		do = ph.placeToBreathe(long[0])
	default:
		do = ph.placesToBreathe(long)
	}
	return ph.p.each("no-room-to-breathe", worst, places, "A full breath does not carry (estimate)", do)
}

// placesToBreathe advises on several long stretches together.
func (ph *phrasing) placesToBreathe(long []breathSpan) string {
	var all []int
	for _, s := range long {
		ends, _ := ph.endsNeeded(s)
		all = append(all, ends...)
	}
	const rule = "after a long note, never inside a slur; shorten the note before, not the one after."
	if len(all) == 0 {
		return "In each, choose a place now: " + rule
	}
	return "Breathe " + ph.atEnds(all) + ", otherwise " + rule
}

// atEnds is "at the end of the phrase in bar 4" or "at the ends of the phrases in
// bars 4 and 8".
func (ph *phrasing) atEnds(ends []int) string {
	rs := ph.p.runs(ends, -1)
	if len(rs) > 1 {
		return "at the ends of the phrases in " + ph.p.barList(rs)
	}
	return "at the end of the phrase in " + ph.p.barList(rs)
}

// placeToBreathe advises on a long stretch: at phrase ends, else after a long note.
func (ph *phrasing) placeToBreathe(s breathSpan) string {
	if ends, enough := ph.endsNeeded(s); len(ends) > 0 {
		do := "Breathe " + ph.atEnds(ends) + ", out of the last note, never out of the first of the next"
		if !enough {
			do += "; and once more on the way, after a long note"
		}
		return do + "."
	}
	best := ph.longNote(s)
	if best < 0 {
		return "It is all one slur: agree with the panel or the section where to break it, or practice it softer until one breath carries."
	}
	n := ph.p.note(best)
	return fmt.Sprintf("Choose a place, best after the %s in bar %s: shorten that note, not the one after.", nameOf(n), ph.p.number(n.Bar))
}

// longNote is the longest note inside a stretch that no slur leads on from; of equals
// the one nearest to half the air; -1 when there is none.
func (ph *phrasing) longNote(s breathSpan) int {
	best, off, used := -1, 0.0, 0.0
	for i := s.first; i < s.last; i++ {
		n := ph.p.note(i)
		used += ph.air(i)
		away := math.Abs(used - s.liters/2)
		if n.SlurTo || n.GlissTo {
			continue
		}
		if best < 0 || ph.p.note(best).Duration.Less(n.Duration) || n.Duration == ph.p.note(best).Duration && away < off {
			best, off = i, away
		}
	}
	return best
}

// endsNeeded picks as few phrase ends inside a long stretch as its air asks for,
// those nearest to an even division. It says whether a full breath carries what lies
// between them.
func (ph *phrasing) endsNeeded(s breathSpan) (ends []int, enough bool) {
	all := ph.endsInside(s)
	used := ph.airUpTo(s, all)
	breaths := math.Ceil(s.liters / breathLiters)
	k, before, most := 0, 0.0, 0.0
	for part := 1.0; part < breaths && len(all) > 0; part++ {
		goal := s.liters * part / breaths
		for k+1 < len(all) && math.Abs(used[k+1]-goal) <= math.Abs(used[k]-goal) {
			k++
		}
		if len(ends) == 0 || ends[len(ends)-1] != all[k] {
			ends = append(ends, all[k])
			most = max(most, used[k]-before)
			before = used[k]
		}
	}
	return ends, max(most, s.liters-before) <= clearly*breathLiters
}

// airUpTo is the liters that a stretch takes up to each of some notes in it.
func (ph *phrasing) airUpTo(s breathSpan, notes []int) []float64 {
	out := make([]float64, len(notes))
	i, sum := s.first, 0.0
	for k, n := range notes {
		for ; i <= n; i++ {
			sum += ph.air(i)
		}
		out[k] = sum
	}
	return out
}
