package reading

import (
	"fmt"

	"waterkey/finding"
)

// noRoom names what no good breath carries: stretches for which no air is enough, and
// breaths that part what belongs together. It says where the time for one could come from.
func noRoom(ph *phrasing) []finding.Finding {
	if ph.p.Breathing == nil {
		return nil
	}
	return append(lacking(ph.p), parted(ph.p)...)
}

// lacking names stretches that no choice of breaths carries.
func lacking(p *Page) []finding.Finding {
	var places []place
	var drops []int
	worst, do := 0.0, ""
	for _, l := range p.Breathing.Lacking() {
		from, to := p.note(l.First).Bar, p.Breathing.EndBar(l.Last)
		places = append(places, place{from, to, p.Breathing.Says(l), fmt.Sprintf("%s (%.1f L short)", p.barText(from, to), l.Liters)})
		if l.Drop >= 0 {
			drops = append(drops, l.Drop)
		}
		do = p.Breathing.Do(l)
		worst = max(worst, l.Liters/p.Breathing.Lungs.Usable())
	}
	if len(places) > apart {
		do = "End the longest note of each early and breathe there; in a section, breathe at different places."
		if len(drops) > 0 {
			do = "Breathe in the time of " + p.noteList(drops) + ", and take no more of it than you need; in a section, breathe at different places."
		}
		do = p.Breathing.Doubt() + do
	}
	const least = 0.3 // severity of air that is hardly short (estimate)
	return p.each("no-room-to-breathe", least+worst, places, "No breath makes the air last"+p.estimated()+" in", do)
}

// parted names breaths inside a slur and the like: nothing else lasts.
func parted(p *Page) []finding.Finding {
	var places []place
	var spared []int
	torn := map[string]bool{}
	for k, b := range p.Breathing.Breaths {
		what := p.Breathing.Parts(k)
		if what == "" || b.Entry || b.Printed || b.Pinned {
			continue
		}
		if i := p.Breathing.Spare(k); i >= 0 {
			spared = append(spared, i)
		}
		bar := p.Breathing.EndBar(b.After)
		if n := len(places); n > 0 && places[n-1].to == bar {
			continue
		}
		torn[what] = true
		says := fmt.Sprintf("There is no good place to breathe around bar %s: the air lasts only with a breath after the %s, which parts %s%s.",
			p.number(bar), p.Breathing.Ending(b.After), what, p.estimated())
		places = append(places, place{bar, bar, says, fmt.Sprintf("bar %s (it parts %s)", p.number(bar), what)})
	}
	do := "Breathe there as quickly as you can and let the line go on"
	if len(spared) > 0 {
		do += ", or in the time of " + p.noteList(spared)
	}
	do += "."
	many := "The air lasts" + p.estimated() + " only with a breath where there is no good place for one:"
	if len(torn) == 1 { // said once for all places
		for i, l := range places {
			places[i].short = p.barText(l.from, l.to)
		}
		for what := range torn {
			many = "The air lasts" + p.estimated() + " only with a breath that parts " + what + ", in"
		}
	}
	return p.each("no-room-to-breathe", 0, places, many, do)
}

// noteList is "the G3 in bar 6 and the A3 in bar 9"; of many, the first few.
func (p *Page) noteList(notes []int) string {
	var names []string
	for _, i := range notes {
		names = append(names, "the "+p.Breathing.Beginning(i))
	}
	if n := len(names) - maxPlaces; n > 1 {
		names = append(names[:maxPlaces], fmt.Sprintf("%d more notes", n))
	}
	return joinAnd(names)
}
