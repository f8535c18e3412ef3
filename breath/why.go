package breath

import (
	"fmt"
	"strings"

	"waterkey/score"
)

// Why says in plain sentences where breath k is, what it takes, why there, and what
// it is for.
func (b *Breathing) Why(k int) string {
	if k < 0 || k >= len(b.Breaths) {
		return ""
	}
	br := b.Breaths[k]
	parts := []string{b.where(br), b.Reason(k)}
	if need := b.need(k); need != "" {
		parts = append(parts, need)
	}
	return strings.Join(parts, " ")
}

// where names the place and the room.
func (b *Breathing) where(br Breath) string {
	what := "take a full breath"
	if br.Kind == Catch {
		what = "take a catch breath"
	}
	s := fmt.Sprintf("After the %s, %s: there are %s", b.Ending(br.After), what, seconds(float64(br.Room)))
	if br.Shortened >= audible {
		s += fmt.Sprintf(", %.2f of them taken from the %s", float64(br.Shortened), b.note(br.After))
	}
	return s + "."
}

// audible is the shortening of a note that is worth a word, in seconds (estimate:
// less lies within what players do anyway).
const audible = score.Seconds(0.05)

// Reason says in one sentence what speaks for the place of breath k.
func (b *Breathing) Reason(k int) string {
	br := b.Breaths[k]
	p := &b.ground.places[br.After]
	bans := p.banned()
	switch {
	case br.Pinned:
		return "You asked for it."
	case p.forced:
		return "The page has a breath mark."
	case bans != "":
		return "It parts " + bans + ": nothing else lasts."
	case p.entry:
		return "A long rest: breathe out and in as you like."
	case p.rest && float64(br.Room) >= b.Lungs.FullSeconds:
		return "Breathe in the rest."
	case p.rest:
		return "A quick breath in the short rest."
	case p.evidence >= clearEnd:
		return "A phrase ends here" + b.signs(br.After) + "."
	case p.evidence > weakEnd:
		return "A lift, no more" + b.signs(br.After) + "."
	}
	return "No phrase ends here: make it small, and keep the line going over it."
}

// From this much evidence on a phrase clearly ends, or can be parted (estimates).
const clearEnd, weakEnd = 0.6, 0.25

// Parts says what breath k parts that is best kept together: "a slur", "a leading tone
// from its resolution", "an up-beat from its downbeat", "a tuplet"; "" for nothing. A
// breath that nobody asked for does so only where nothing else lasts.
func (b *Breathing) Parts(k int) string { return b.ground.places[b.Breaths[k].After].banned() }

func (p *place) banned() string {
	switch {
	case p.ban[slurTerm] > 0:
		return "a slur"
	case p.ban[leadingTerm] > 0:
		return "a leading tone from its resolution"
	case p.ban[upbeatTerm] > 0:
		return "an up-beat from its downbeat"
	case p.ban[tupletTerm] > 0:
		return "a tuplet"
	}
	return ""
}

// signs names what speaks for a phrase end after a note.
func (b *Breathing) signs(i int) string {
	w, next := b.Performance.Written(i), b.Performance.Written(i+1)
	e := entry{ground: b.ground, first: b.entryStart(i)}
	var out []string
	if w.Marks.Has(score.Fermata) {
		out = append(out, "under the fermata")
	}
	if w.SlurFrom && !w.SlurTo {
		out = append(out, "where the slur ends")
	}
	if w.Duration.Cmp(next.Duration.Scale(2, 1)) >= 0 {
		out = append(out, "on a long note")
	}
	if n := next.Bar - b.Performance.Written(e.first).Bar; e.meter(i) > placeEvidence {
		out = append(out, fmt.Sprintf("after %d bars", n))
	}
	if len(out) == 0 {
		return ""
	}
	return ", " + strings.Join(out, ", ")
}

// entryStart is the first note after the last long rest before note i.
func (b *Breathing) entryStart(i int) int {
	for ; i > 0 && !b.ground.places[i-1].entry; i-- {
	}
	return i
}

// need says what the air is for.
func (b *Breathing) need(k int) string {
	br, next := b.Breaths[k], b.spans[k+1]
	if br.Entry {
		return ""
	}
	until := "up to the " + b.Ending(next.last)
	use := next.start - next.end
	without := b.spans[k]
	without.last, without.shortened = next.last, next.shortened
	without.end = b.spans[k].end - br.give(b) - use
	s := fmt.Sprintf("You have %.1f L left and leave with %.1f; %s takes %.1f.", br.AirBefore, br.AirAfter, until, use)
	if br.AirBefore < b.Lungs.ReserveLiters()-rounding {
		s = fmt.Sprintf("The air is gone before it; you leave with %.1f L, and %s takes %.1f.", br.AirAfter, until, use)
	}
	switch {
	case without.end < b.Lungs.ReserveLiters()-rounding:
		dry := b.below(without, b.Lungs.ReserveLiters())
		s += fmt.Sprintf(" Without it the air would be gone on the %s.", b.Beginning(dry.First))
	case without.end < b.Lungs.ComfortableLiters():
		s += " Without it you would run short of air."
	default:
		s += " The air would last without it."
	}
	return s
}

// give is the air that shortening the note before spares, in liters.
func (br Breath) give(b *Breathing) float64 {
	return float64(br.Shortened) * b.ground.airs[br.After].flow
}
