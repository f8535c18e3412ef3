package positions

import (
	"fmt"
	"slices"

	"waterkey/brass"
)

// HeardCents is the deviation from which a note is called out of tune, in cents: a
// musician just hears 10 (estimate).
const HeardCents = 10.0

// Off says a deviation in cents, "27 cents sharp"; "" for one that nobody hears.
func Off(cents float64) string {
	switch {
	case cents >= HeardCents:
		return fmt.Sprintf("%.0f cents sharp", cents)
	case cents <= -HeardCents:
		return fmt.Sprintf("%.0f cents flat", -cents)
	}
	return ""
}

// How is how a way is said behind a note: "in 6" of a slide, "with 13" or "open"
// of valves. Digits stand for valves as in the parts and charts of players.
func How(w brass.Way) string {
	switch {
	case w.Position > 0:
		return "in " + w.Label
	case w.Valve == "":
		return "open"
	}
	return "with " + w.Label
}

// name is a note as its player reads it on the page.
func (p *Path) name(i int) string { return p.Performance.Written(i).Written.Text() }

// say is a note with its way: "F3 in 6", "D4 with 13".
func (p *Path) say(i int) string { return p.name(i) + " " + How(*p.Steps[i].Way) }

// drawn names the notes of a bar for which valve slides are drawn by a way that
// tells: "D4 with 13, 1.5 cm".
func (w why) drawn() []string {
	var parts []string
	for _, i := range w.played() {
		way := w.chosen.Steps[i].Way
		if s := fmt.Sprintf("%s, %.1f cm", w.chosen.say(i), way.LeanCM); way.LeanCM > 0 && Off(way.LeanCents) != "" && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	return parts
}

// outOfTune names the notes of a bar that no fingering in it brings into tune, with
// what is left for the lip: "C♯4 with 123, 27 cents sharp".
func (w why) outOfTune() []string {
	var parts []string
	for _, i := range w.played() {
		way := w.chosen.Steps[i].Way
		if s := w.chosen.say(i) + ", " + Off(way.OffCents); Off(way.OffCents) != "" && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	return parts
}
