package reading

import (
	"fmt"
	"math"

	"waterkey/breath"
	"waterkey/finding"
	"waterkey/score"
)

// breathing speaks from the plan of breaths: where they are, which of them fall inside a
// phrase, where the air comes low, and what is hard on the player.
func breathing(ph *phrasing) []finding.Finding {
	if ph.p.Breathing == nil {
		return nil
	}
	var out []finding.Finding
	for _, kind := range []func(*phrasing) []finding.Finding{plan, insidePhrases, comesLow, hardOnThePlayer} {
		out = append(out, kind(ph)...)
	}
	return out
}

// told are the breaths that a player has to be told of: those outside long rests.
func (p *Page) told() []breath.Breath {
	var out []breath.Breath
	for _, b := range p.Breathing.Breaths {
		if !b.Entry {
			out = append(out, b)
		}
	}
	return out
}

// plan says where to breathe: after which notes, or, where there are many breaths, in
// which bars.
func plan(ph *phrasing) []finding.Finding {
	p := ph.p
	told := p.told()
	if len(told) == 0 {
		return ph.longest()
	}
	var full, catch, all []int
	taken := false
	for _, b := range told {
		all = append(all, b.After)
		taken = taken || b.Shortened >= audible
		if b.Kind == breath.Full {
			full = append(full, b.After)
		} else {
			catch = append(catch, b.After)
		}
	}
	says := p.breathsAfter(told)
	if len(told) > maxPlaces {
		says = p.breathsIn(full, catch)
	}
	if len(told) < len(p.Breathing.Breaths) {
		says = "Between the long rests " + says
	}
	do := "Write them in now, and practice with them from the first day; a long tone timed from a full breath makes the plan your own."
	switch {
	case taken:
		do = "Write them in now, and practice with them from the first day; where no rest stands, the time comes from the note before, never from the one after."
	case len(p.Breathing.Lungs.Flow) > 0:
		do = "Write them in now, and practice with them from the first day."
	}
	return p.merged("breath", 0, p.endRuns(all), capital(says)+".", do)
}

// audible is the shortening of a note that is worth a word, in seconds (estimate: less
// lies within what players do anyway).
const audible = score.Seconds(0.05)

// breathsAfter is "take a full breath after the F3 in bar 4 and the C4 in bar 8", or with
// both kinds "breathe after the F3 in bar 4 and the C4 in bar 8 (a catch breath)".
func (p *Page) breathsAfter(told []breath.Breath) string {
	kinds := map[breath.Kind]bool{}
	for _, b := range told {
		kinds[b.Kind] = true
	}
	var names []string
	for _, b := range told {
		name := "the " + p.Breathing.Ending(b.After)
		if len(kinds) > 1 && b.Kind == breath.Catch {
			name += " (a catch breath)"
		}
		names = append(names, name)
	}
	switch {
	case len(kinds) > 1:
		return "breathe after " + joinAnd(names)
	case kinds[breath.Catch]:
		return "take a catch breath after " + joinAnd(names)
	}
	return "take a full breath after " + joinAnd(names)
}

// countable is how many breaths are still named by their bars; of more, their number
// says enough, and the bars stand with the finding (estimate).
const countable = 16

// breathsIn is "breathe 13 times: full breaths in bars 4 and 8, catch breaths in bars 2
// and 7"; of very many, "breathe 30 times, 4 of them catch breaths".
func (p *Page) breathsIn(full, catch []int) string {
	all := len(full) + len(catch)
	says := "breathe " + plural(all, "time") + ": "
	switch {
	case all > countable && len(catch) == 0:
		return fmt.Sprintf("breathe %d times, always in full", all)
	case all > countable:
		return fmt.Sprintf("breathe %d times, %d of them catch breaths", all, len(catch))
	case len(catch) == 0:
		return says + "full breaths in " + p.barList(p.endRuns(full))
	case len(full) == 0:
		return says + "catch breaths in " + p.barList(p.endRuns(catch))
	}
	return says + "full breaths in " + p.barList(p.endRuns(full)) + "; catch breaths in " + p.barList(p.endRuns(catch))
}

// endRuns are the bars in which notes end, each once.
func (p *Page) endRuns(notes []int) []run {
	var out []run
	for _, i := range notes {
		bar := p.Breathing.EndBar(i)
		if k := len(out) - 1; k >= 0 && out[k].to == bar {
			out[k].notes = append(out[k].notes, i)
			continue
		}
		out = append(out, run{bar, bar, []int{i}})
	}
	return out
}

// shortStretch is playing that is no matter for a word when the rests alone are breath
// enough (seconds, estimate).
const shortStretch = 6.0

// longest names the longest playing on one breath of a part whose rests are breath
// enough.
func (ph *phrasing) longest() []finding.Finding {
	p := ph.p
	most := breath.Stretch{}
	for _, s := range p.Breathing.Stretches() {
		if s.Seconds > most.Seconds {
			most = s
		}
	}
	if most.Seconds < shortStretch || most.End < p.Breathing.Lungs.ReserveLiters() {
		return nil
	}
	from, to := p.note(most.First).Bar, p.Breathing.EndBar(most.Last)
	if len(p.Breathing.Breaths) == 0 {
		return []finding.Finding{p.finding("breath", 0, from, to,
			fmt.Sprintf("One full breath carries all of it, %.0f seconds%s.", most.Seconds, p.estimated()),
			"Take it in the tempo of the piece, and do not hold it before you start.")}
	}
	return []finding.Finding{p.finding("breath", 0, from, to,
		fmt.Sprintf("The long rests are breath enough; the longest playing on one breath is %.0f seconds, %s.", most.Seconds, p.barText(from, to)),
		"Take the deepest breath before that one; elsewhere breathe in tempo, and no deeper than what comes.")}
}

// insidePhrases names the breaths that no phrase end offers: the air asks for them.
func insidePhrases(ph *phrasing) []finding.Finding {
	p := ph.p
	var notes []int
	k := 0
	for i, b := range p.Breathing.Breaths {
		for ph.list[k].Last < b.After {
			k++
		}
		free := !b.Entry && !b.Printed && !b.Pinned && p.Breathing.Parts(i) == ""
		if free && b.After != ph.list[k].Last && ph.goes(k) {
			notes = append(notes, b.After)
		}
	}
	rs := p.endRuns(notes)
	if len(rs) == 0 || len(rs) > maxPlaces { // many: the style of the piece, not places
		return nil
	}
	return p.merged("breath", 0.3, rs, fmt.Sprintf("A breath falls inside the phrase in %s.", p.barList(rs)),
		"Keep the line going across it: breathe small and quickly, and let the next note continue what you left.")
}

// tellingLow is the share of the way from comfortable air to the reserve from which low
// air is worth a word (estimate: the flow is not known better).
const tellingLow = 0.5

// comesLow names where the air comes low before the next breath.
func comesLow(ph *phrasing) []finding.Finding {
	p, l := ph.p, ph.p.Breathing.Lungs
	way := l.ComfortableLiters() - l.ReserveLiters()
	var notes []int
	worst, least := 0.0, math.Inf(1)
	for _, low := range p.Breathing.Low() {
		share := low.Liters / way
		if share < tellingLow || share > 1 { // beyond 1 it is lacking: see noRoom
			continue
		}
		notes = append(notes, low.Last)
		worst, least = max(worst, share), min(least, l.ComfortableLiters()-low.Liters)
	}
	if len(notes) == 0 {
		return nil
	}
	rs := p.endRuns(notes)
	return p.merged("breath", 0.3*worst, rs, fmt.Sprintf("The air comes low in %s, down to %.1f L%s.", p.barList(rs), least, p.estimated()),
		"Make the breath before as deep as its time allows, and save on the way: no more tone than the level asks for on long and low notes.")
}

// estimated marks figures of air that rest on the flow model alone.
func (p *Page) estimated() string {
	if len(p.Breathing.Lungs.Flow) == 0 {
		return " (estimate)"
	}
	return ""
}

// hardOnThePlayer passes on the plan's warnings.
func hardOnThePlayer(ph *phrasing) []finding.Finding {
	p := ph.p
	var out []finding.Finding
	for _, kind := range []struct {
		is   breath.WarningKind
		many string
	}{
		{breath.Dizzy, "Much air goes through in a short time (loud, low and with little rest), and you may get light-headed, in"},
		{breath.Stale, "The air gets stale before it is used up in"},
	} {
		var places []place
		do := ""
		for _, w := range p.Breathing.Warnings() {
			if w.Kind == kind.is {
				from, to := p.note(w.First).Bar, p.Breathing.EndBar(w.Last)
				places = append(places, place{from, to, w.Says, p.barText(from, to)})
				do = w.Do
			}
		}
		out = append(out, p.each("breath", 0.3, places, kind.many, do)...)
	}
	return out
}
