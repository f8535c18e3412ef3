package reading

import (
	"fmt"

	"waterkey/breath"
	"waterkey/finding"
)

// breathing says where the page leaves room.
func breathing(p *Page) []finding.Finding {
	if len(p.Breaths) == 0 {
		return nil
	}
	var notes []int
	catch := 0
	for _, b := range p.Breaths {
		notes = append(notes, b.After)
		if b.Kind == breath.Catch {
			catch++
		}
	}
	rs := p.runs(notes, -1)
	says := fmt.Sprintf("The page leaves room to breathe in %s", p.barList(rs))
	switch {
	case catch == len(p.Breaths):
		says += ", for catch breaths only"
	case catch > 0:
		says += fmt.Sprintf("; %d of the %d are catch breaths only", catch, len(p.Breaths))
	}
	return p.merged("breath", 0, rs, says+".",
		"Write the breaths in now, and practice with them from the first day.")
}

// noRoom names stretches too long for most players without a place to breathe.
func noRoom(p *Page) []finding.Finding {
	var places []place
	for _, s := range breath.LongStretches(p.Through, p.Breaths) {
		from, to := p.note(s.First).Bar, p.note(s.Last).Bar
		places = append(places, place{from, to,
			fmt.Sprintf("From bar %s to bar %s the page leaves no room to breathe for %.0f seconds.", p.number(from), p.number(to), s.Length),
			fmt.Sprintf("%s (%.0f s)", p.barText(from, to), s.Length)})
	}
	return p.each("no-room-to-breathe", 0.3, places, "The page leaves no room to breathe in",
		"Choose a place: after a long note, at the end of a slur, never inside one; shorten the note before, not the one after.")
}
