package reading

import (
	"strings"

	"waterkey/brass"
	"waterkey/positions"
)

// words are the sentences that differ from one kind of instrument to another. All
// are common practice of teachers, from memory.
type words struct {
	kind    string // what players call it in passing
	ways    string // what is chosen for a note, as a plural
	slurred string // advice where slurs prevail
	low     string // advice on low notes
	high    string // advice on high ones
	bend    string // advice on scoops and falls
	settle  string // advice on a glissando from or to a note out of reach
	down    string // what brings a sharp note into tune where no slide does

	hardTrills, hardTrillsDo        string // what opens a list of hard trills, and the advice
	noGlissandi, insteadOfGlissandi string // the same of glissandi that cannot be played
}

var slideWords = words{
	kind:    "horn",
	ways:    "positions",
	slurred: "Keep the air moving through every slide; use the softest tongue only where the slide would be heard.",
	low:     "Open throat, slow warm air and a lot of it; the corners firm, the middle of the lips relaxed.",
	high:    "Hear each note before it comes and blow through to it with faster air; rest before you are tired.",
	bend:    "Give the written note its pitch and its time first; bend only the edge, lip and slide together.",
	settle:  "Settle that note first; the slide between follows from it.",

	hardTrills:         "Trills that neither lip nor valve can play:",
	hardTrillsDo:       "No slide is fast enough for a real trill: agree on a few even turns of the slide, a shake, or the plain note.",
	noGlissandi:        "Glissandi whose ends no partial within reach holds both:",
	insteadOfGlissandi: "Settle for each which part of it you slide and which you step, and write that in; ask what the composer wanted where it matters.",
}

var valveWords = words{
	kind:    "instrument",
	ways:    "fingerings",
	slurred: "One stream of air under each slur, and valves that go down quickly and together; only the first note is tongued.",
	low:     slideWords.low,
	high:    slideWords.high,
	bend:    "Give the written note its pitch and its time first; bend only the edge, with the lip and valves halfway down.",
	settle:  "Settle that note first; what goes between follows from it.",
	down:    "lip down",

	hardTrills:         "Trills on which the fingers cross:",
	hardTrillsDo:       "Drill the two fingerings slowly until both fingers strike at once, keep them on the caps, and start the trill measured; take few even turns rather than many uneven ones.",
	noGlissandi:        "Glissandi that valves cannot draw:",
	insteadOfGlissandi: "Settle for each whether it is a half-valve smear, a rip over the partials of the goal's fingering or a light chromatic run, and write that in; ask what the composer wanted where it matters.",
}

// words are those of the page's instrument.
func (p *Page) words() words {
	if p.slide() {
		return slideWords
	}
	w := valveWords
	switch p.Path.Instrument.Family {
	case brass.Trumpets:
		w.low = "Open the teeth and keep the air full and slow; relax the lips without letting the tone spread or the pitch sag."
		w.high = "Hear each note before it comes; faster air and a higher tongue, not more pressure; rest before you are tired."
	case brass.Horns:
		w.down = "bring down with hand and lip"
		w.low = "Drop the jaw, keep the corners firm, and give each note slow full air and a clear front: low notes speak late."
		w.high = "Hear each note before it comes, for the partials lie close together up there; faster air, not more pressure; rest before you are tired."
	}
	return w
}

// slide says whether the page is played on a slide horn.
func (p *Page) slide() bool { return p.Path.Instrument.Slide() }

// bare is a way where the sentence has said "in" or "with" already: "6", "13"; the
// open horn is "open".
func bare(w brass.Way) string {
	if how := positions.How(w); how == "open" {
		return how
	}
	return w.Label
}

// notThis contrasts a way with another: "in 2, not 3", "with 2, not open", "open, not
// with 12".
func notThis(is, not brass.Way) string {
	other := bare(not)
	if bare(is) == "open" {
		other = positions.How(not)
	}
	return positions.How(is) + ", not " + other
}

// thumbValve is how the valve that changes the halves of a double horn is named.
const thumbValve = "T"

// oneTube says whether partials of two ways count on one row: the same state of
// a slide horn's valve, the same half of a double horn. Other valves move the row by less than
// a partial.
func (p *Page) oneTube(a, b brass.Way) bool {
	if p.slide() {
		return a.Valve == b.Valve
	}
	return strings.HasPrefix(a.Valve, thumbValve) == strings.HasPrefix(b.Valve, thumbValve)
}

// valvesMoved counts the valves that change between two ways, and says whether some
// go down while others come up.
func valvesMoved(a, b brass.Way) (moved int, crossed bool) {
	down, up := missing(b.Valve, a.Valve), missing(a.Valve, b.Valve)
	return down + up, down > 0 && up > 0
}

// missing counts the valves of one state that another lacks.
func missing(of, in string) int {
	n := 0
	for _, v := range strings.Split(of, "+") {
		if v != "" && !strings.Contains(in, v) {
			n++
		}
	}
	return n
}
