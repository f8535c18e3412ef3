package reading

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
)

// tieOverBar names ties across a bar line where something must be counted:
// after the line the note goes on by itself for a beat or less, or lets go
// between two beats. Notes that begin between the beats are syncopations,
// and those of a hemiola are named with it.
func tieOverBar(p *Page) []finding.Finding {
	held := p.hemiolaNotes()
	notes := p.where(func(i int) bool { return !held[i] && p.countedTie(i) })
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	shortest := p.quickest(notes, func(i int) score.Time { return p.overhang(i) })
	return p.merged("tie-over-bar", hard(shortest, len(notes)), rs, fmt.Sprintf("Ties across the bar line from %s.", p.barList(rs)),
		"Feel the first beat of the new bar inside the held note; what follows is often late.")
}

// overhang is how much of note i lies after the last bar line that it crosses.
func (p *Page) overhang(i int) score.Time {
	last := p.note(i).Pieces[len(p.note(i).Pieces)-1]
	return p.note(i).End().Sub(p.Part.Bars[last.Bar].Start)
}

func (p *Page) countedTie(i int) bool {
	n := p.note(i)
	last := n.Pieces[len(n.Pieces)-1]
	if last.Bar == n.Bar || inTuplet(n) || p.offBeat(n) {
		return false
	}
	unit, beats := p.felt(last.Bar)
	over := p.overhang(i)
	if beats == 0 || over == p.Part.Bars[last.Bar].Length {
		return false
	}
	return !onGrid(over, unit) || over == unit && p.joins(i)
}

// beatOf is the beat that a note is placed by: that of the meter, or a shorter
// one that a metronome mark counts.
func (p *Page) beatOf(n *score.Note) score.Time {
	unit, _ := p.felt(n.Bar)
	if own := p.Part.Bars[n.Bar].Meter.Felt(); own.Less(unit) {
		return own
	}
	return unit
}

// offBeat says whether a note begins between two beats.
func (p *Page) offBeat(n *score.Note) bool {
	return p.Part.Bars[n.Bar].Meter.Unit > 0 && !onGrid(p.placeOf(n), p.beatOf(n))
}

// placeOf is where in its bar a note begins, as counted: a pickup is counted
// back from the bar line.
func (p *Page) placeOf(n *score.Note) score.Time {
	b := p.Part.Bars[n.Bar]
	at := n.Onset.Sub(b.Start)
	if n.Bar == 0 && p.pickup() {
		at = at.Add(b.Meter.Length().Sub(b.Length))
	}
	return at
}
