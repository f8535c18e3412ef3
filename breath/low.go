package breath

import (
	"fmt"

	"waterkey/score"
)

// Low is playing below the comfortable air.
type Low struct {
	First, Last int // played notes, both included: where it starts, the last before the breath
	Liters      float64
	Seconds     score.Seconds // of sound below
}

// Low lists where the air runs low before the next breath, and by how much. What
// is lacking altogether is in it too.
func (b *Breathing) Low() []Low {
	var out []Low
	for _, s := range b.spans {
		if s.end < b.Lungs.ComfortableLiters() {
			out = append(out, b.below(s, b.Lungs.ComfortableLiters()))
		}
	}
	return out
}

// below is where a span comes under a line of air, and how far.
func (b *Breathing) below(s span, line float64) Low {
	l := Low{First: -1, Last: s.last, Liters: line - s.end}
	air := s.start
	for i := s.first; i <= s.last; i++ {
		use := b.ground.airs[i].liters
		if i == s.last {
			use -= s.shortened * b.ground.airs[i].flow
		}
		if under := min(use, line-(air-use)); under > 0 {
			if l.First < 0 {
				l.First = i
			}
			l.Seconds += score.Seconds(under / b.ground.airs[i].flow)
		}
		air -= use
	}
	return l
}

// Lack is a stretch that no choice of breaths can carry.
type Lack struct {
	First, Last int // played notes from the breath before to the next, both included
	RunsOut     int // the note on which the air is gone
	Liters      float64
	Seconds     score.Seconds // that the air is short of, at the flow of the last notes
	Drop        int           // the note to leave out so that a breath there carries the rest; -1 when none will do
}

// Lacking lists the stretches that no breath can carry, in order; nil when the air
// lasts everywhere.
func (b *Breathing) Lacking() []Lack {
	var out []Lack
	reserve := b.Lungs.ReserveLiters()
	for _, s := range b.spans {
		if s.end >= reserve-rounding {
			continue
		}
		l := b.below(s, reserve)
		out = append(out, Lack{First: s.first, Last: s.last, RunsOut: l.First, Liters: l.Liters, Seconds: l.Seconds, Drop: b.drop(s)})
	}
	return out
}

// rounding is what sums of air may be off by, in liters.
const rounding = 1e-9

// drop is the note that can best be spared in a span: neither first nor last, off
// the beat before on it, short before long, such that a breath in its place carries
// both sides. -1 when there is none.
func (b *Breathing) drop(s span) int {
	g, l := b.ground, b.Lungs
	best, bestWeight := -1, 0.0
	air := s.start
	left := 0.0 // liters from the note to the end of the span
	for i := s.first; i <= s.last; i++ {
		left += g.airs[i].liters
	}
	left -= s.shortened * g.airs[s.last].flow
	for i := s.first; i < s.last; i++ {
		use := g.airs[i].liters
		left -= use
		room := float64(g.pf.Notes[i+1].Start - g.pf.Notes[i].Start)
		filled := min(l.FullLiters(), air+l.Intake(room))
		if i > s.first && room >= l.CatchSeconds && air >= l.ReserveLiters() && filled-left >= l.ReserveLiters() {
			if w := g.importance(i); best < 0 || w < bestWeight {
				best, bestWeight = i, w
			}
		}
		air -= use
	}
	return best
}

// Spare is the note that can best be left out so that breath k is not needed: a breath
// in its place carries both sides. -1 when none will do.
func (b *Breathing) Spare(k int) int {
	joined := b.spans[k]
	joined.last, joined.shortened = b.spans[k+1].last, b.spans[k+1].shortened
	return b.drop(joined)
}

// importance orders notes for leaving out: downbeats last, then beats, then by
// length in whole notes.
func (g *ground) importance(i int) float64 {
	w := g.pf.Written(i)
	bar := g.pf.Part.Bars[w.Bar]
	weight := g.pf.Notes[i].Duration.Float()
	at := w.Onset.Sub(bar.Start)
	const beat, downbeat = 2.0, 4.0 // whole notes of length that a beat and a downbeat count for (estimate)
	switch unit, _ := g.pf.Part.Felt(w.Bar); {
	case at.Sign() == 0:
		weight += downbeat
	case at.Scale(unit.Den(), unit.Num()).Den() == 1:
		weight += beat
	}
	return weight
}

// Says is one sentence of what lacks.
func (b *Breathing) Says(l Lack) string {
	sure := " (estimate)"
	if len(b.Lungs.Flow) > 0 {
		sure = ""
	}
	return fmt.Sprintf("In %s the air does not last: it is gone on the %s, %s or %s short%s.",
		b.barsText(l.First, l.Last), b.Beginning(l.RunsOut), liters(l.Liters), seconds(float64(l.Seconds)), sure)
}

// Do is what to do about it: who plays alone cannot share it.
func (b *Breathing) Do(l Lack) string {
	do := "End the longest note early and breathe there; in a section, breathe at different places."
	switch {
	case l.Drop >= 0:
		do = fmt.Sprintf("Breathe in the time of the %s, and take no more of it than you need; in a section, breathe at different places.", b.Beginning(l.Drop))
	case l.First == l.Last:
		do = "End the note early, or breathe at a bar line and come in again softly; in a section, breathe at different moments."
	}
	return b.Doubt() + do
}

// Doubt is to be said before anything else is done about a lack of air that rests on an
// estimate; "" where the player's own long tones are known.
func (b *Breathing) Doubt() string {
	if len(b.Lungs.Flow) > 0 {
		return ""
	}
	return "Time a long tone of your own before you believe it. "
}

// note names a note as its player sees it: as written.
func (b *Breathing) note(i int) string { return b.Performance.Written(i).Written.Text() }

// bar is the printed number of the bar that a note starts in.
func (b *Breathing) bar(i int) string {
	return b.Performance.Part.BarName(b.Performance.Written(i).Bar)
}

func (b *Breathing) barsText(first, last int) string {
	from, to := b.bar(first), b.Performance.Part.BarName(b.EndBar(last))
	if from == to {
		return "bar " + from
	}
	return "bars " + from + " to " + to
}

// EndBar is the bar of the page, by index, in which the played note i ends.
func (b *Breathing) EndBar(i int) int {
	w := b.Performance.Written(i)
	return max(w.Bar, b.Performance.Part.BarBefore(w.End())) // a grace note has no length
}

// liters words an amount of air.
func liters(x float64) string {
	if x < 0.1 {
		return fmt.Sprintf("%.2f L", x)
	}
	return fmt.Sprintf("%.1f L", x)
}

// seconds words a length.
func seconds(s float64) string {
	switch {
	case s < 1:
		return fmt.Sprintf("%.2f s", s)
	case s < 10:
		return fmt.Sprintf("%.1f s", s)
	}
	return fmt.Sprintf("%.0f s", s)
}
