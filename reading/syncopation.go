package reading

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
)

// syncope is one syncopated note.
type syncope struct {
	note     int
	strength int // the difference of weights, 1 or more
	overBar  bool
}

// syncopes lists the held syncopations of the page that a player has to count. A
// syncopation of strength 0, as of a half note on the second beat of 3/4, is left
// out: no player takes it for one. Those into a rest are left to afterbeats.
func (p *Page) syncopes() []syncope {
	trees := map[string]pulses{}
	var out []syncope
	for i := range p.notes() {
		n := p.note(i)
		b := p.Part.Bars[n.Bar]
		if n.Grace || inTuplet(n) || b.Meter.Unit == 0 {
			continue
		}
		key := b.Meter.String()
		if _, ok := trees[key]; !ok {
			groups := b.Meter.Groups
			if groups == nil && isUneven(b.Meter) {
				groups = p.groupsFrom(n.Bar)
			}
			trees[key] = pulsesOf(b.Meter, groups)
		}
		if s, ok := p.syncope(i, trees[key]); ok {
			out = append(out, s)
		}
	}
	return out
}

// syncope judges note i by the moments that it is held over.
func (p *Page) syncope(i int, t pulses) (syncope, bool) {
	n := p.note(i)
	at, bar := p.placeOf(n), p.Part.Bars[n.Bar].Meter.Length()
	end := at.Add(n.Duration)
	s, ok := t.syncopates(at, end, bar)
	if !ok || s == 0 {
		return syncope{}, false
	}
	isReversed := i > 0 && p.dotFigure(i-1).form == reversed // named with the dotted figures
	return syncope{i, s, bar.Less(end)}, p.offBeat(n) && !isReversed || p.shortLongShort(i)
}

// shortLongShort says whether note i begins and ends on weak beats amid others
// without a rest: quarter, half, quarter.
func (p *Page) shortLongShort(i int) bool {
	n := p.note(i)
	bar := p.Part.Bars[n.Bar]
	return i > 0 && p.joins(i-1) && p.joins(i) && n.End().Less(bar.End()) &&
		p.note(i-1).Bar == n.Bar && p.note(i-1).Duration.Less(n.Duration) && p.note(i+1).Duration.Less(n.Duration)
}

// syncopation names held syncopations, then afterbeats, then hemiolas.
func syncopation(p *Page) []finding.Finding {
	hemiola := p.hemiolaNotes()
	var held []syncope
	for _, s := range p.syncopes() {
		if !hemiola[s.note] {
			held = append(held, s)
		}
	}
	out := p.heldSyncopation(held)
	out = append(out, p.afterbeats()...)
	return append(out, p.hemiolaFinding()...)
}

// heldSyncopation names notes that begin before a stronger beat and hold across
// it.
func (p *Page) heldSyncopation(all []syncope) []finding.Finding {
	if len(all) == 0 {
		return nil
	}
	var notes, over []int
	strongest := 0
	for _, s := range all {
		notes = append(notes, s.note)
		strongest = max(strongest, s.strength)
		if s.overBar {
			over = append(over, s.note)
		}
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("Syncopation in %s: notes begin before a stronger beat and hold across it", p.barList(rs))
	if len(over) > 0 && len(over) < len(notes) {
		says += fmt.Sprintf("; from %s even across the bar line", p.barList(p.runs(over, 0)))
	} else if len(over) > 0 {
		says += ", across the bar line"
	}
	return p.merged("syncopation", p.syncopationSeverity(notes, strongest), rs, says+".",
		"Tap the beat with your foot while you say the rhythm; the beat under the held note must not move.")
}

// syncopationSeverity is half how hard the figure is, half how strong the
// strongest of them.
func (p *Page) syncopationSeverity(notes []int, strongest int) float64 {
	const full = 3.0 // strength: an eighth in 4/4 held over the bar line
	seconds := p.quickest(notes, func(i int) score.Time { return p.note(i).Duration.Scale(1, 2) })
	return 0.5*hard(seconds, len(notes)) + 0.5*min(float64(strongest)/full, 1)
}

// afterbeatRow is how many notes in a row, each after a silent beat, make
// afterbeats (estimate: one alone is only a late entrance).
const afterbeatRow = 3

// afterbeats names rows of notes between silent beats: in the measure each is a
// syncopation into the rest that follows it.
func (p *Page) afterbeats() []finding.Finding {
	after := p.where(func(i int) bool {
		n := p.note(i)
		return !n.Grace && !inTuplet(n) && p.offBeat(n) && (i == 0 || !p.joins(i-1))
	})
	var notes []int
	for from := 0; from < len(after); {
		to := from + 1
		for to < len(after) && after[to] == after[to-1]+1 && p.near(after[to-1]) {
			to++
		}
		if to-from >= afterbeatRow {
			notes = append(notes, after[from:to]...)
		}
		from = to
	}
	if len(notes) == 0 {
		return nil
	}
	const strength = 1 // of an afterbeat into the next beat
	rs := p.runs(notes, 0)
	return p.merged("syncopation", p.syncopationSeverity(notes, strength), rs,
		fmt.Sprintf("Afterbeats in %s: the beat is silent and you play after it.", p.barList(rs)),
		"Hear the missing beat and play close behind it; afterbeats that wait for the beat come late.")
}

// near says whether the note after i begins within two beats.
func (p *Page) near(i int) bool {
	if i+1 >= p.notes() {
		return false
	}
	unit, _ := p.felt(p.note(i).Bar)
	return !unit.Scale(2, 1).Less(p.note(i + 1).Onset.Sub(p.note(i).Onset))
}
