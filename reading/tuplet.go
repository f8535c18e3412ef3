package reading

import (
	"fmt"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

var tupletNames = map[int]string{2: "duplets", 3: "triplets", 4: "quadruplets", 5: "quintuplets", 6: "sextuplets", 7: "septuplets"}

// severityAcross is that of tuplets whose notes do not meet the beats (estimate).
const severityAcross = 0.8

// tuplet names tuplets by their values, and the bars in which even notes stand
// right beside them.
func tuplet(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return inTuplet(p.note(i)) && !p.note(i).Grace })
	if len(notes) == 0 {
		return nil
	}
	rests := p.tupletRests()
	says := capital(strings.Join(p.figureParts(notes, func(i int) string { return p.tupletName(i, rests) }), "; ")) + "."
	rs := p.runs(notes, 0)
	if turns := p.turns(notes); len(turns) > 0 {
		where := "in " + p.barList(p.runs(turns, 0))
		if where == "in "+p.barList(rs) {
			where = "there"
		}
		says += fmt.Sprintf(" The beat turns between even notes and tuplets %s.", where)
	}
	do := "Set the even notes before and after against them with the metronome; the beat stays, only its division changes."
	across := p.acrossBeats(notes)
	if across {
		do = "Say the small triplets of each beat aloud and tie them in pairs; only then play the large ones."
	}
	shortest := p.quickest(notes, func(i int) score.Time { return p.note(i).Duration })
	bars := 0
	for _, r := range rs {
		bars += r.to - r.from + 1
	}
	severity := hard(shortest, bars)
	if across {
		severity = max(severity, severityAcross)
	}
	return p.merged("tuplet", severity, rs, says, do)
}

// tupletName is "eighth-note triplets", or "triplets" when the file does not give
// the printed value.
func (p *Page) tupletName(i int, rests map[score.Time]score.Time) string {
	name := tupletNames[p.note(i).Pieces[0].Tuplet.Actual]
	if name == "" {
		name = "tuplets"
	}
	value := p.tupletUnit(i, rests)
	switch {
	case value.Sign() == 0:
		return name
	case p.Terms == score.American:
		return p.value(value) + "-note " + name
	}
	return p.value(value) + " " + name
}

// tupletRests is the printed value of every rest in a tuplet, by where it begins
// and by where it ends.
func (p *Page) tupletRests() map[score.Time]score.Time {
	rests := map[score.Time]score.Time{}
	for _, r := range p.Part.Rests {
		if r.Tuplet.Actual > 0 && r.Value.Sign() > 0 {
			rests[r.Onset], rests[r.Onset.Add(r.Duration)] = r.Value, r.Value
		}
	}
	return rests
}

// tupletUnit is the value a tuplet counts: the shortest printed one of the note
// and its neighbors in the same beat. A quarter and an eighth under one bracket
// make eighth-note triplets.
func (p *Page) tupletUnit(i int, rests map[score.Time]score.Time) score.Time {
	n := p.note(i)
	unit, beats := p.felt(n.Bar)
	value := n.Pieces[0].Value
	if beats == 0 || value.Sign() == 0 {
		return value
	}
	beat := floor(p.placeOf(n), unit)
	shorter := func(v score.Time) {
		if v.Sign() > 0 && v.Less(value) {
			value = v
		}
	}
	for _, k := range []int{i - 1, i + 1} {
		if k < 0 || k >= p.notes() || !inTuplet(p.note(k)) || p.note(k).Bar != n.Bar || floor(p.placeOf(p.note(k)), unit) != beat {
			continue
		}
		shorter(p.note(k).Pieces[0].Value)
	}
	if !onGrid(p.placeOf(n), unit) {
		shorter(rests[n.Onset])
	}
	shorter(rests[n.End()])
	return value
}

// turns are the notes where an even division of the beat meets a tuplet without
// a rest between.
func (p *Page) turns(notes []int) []int {
	var out []int
	even := func(i int) bool {
		n := p.note(i)
		unit, _ := p.felt(n.Bar)
		return !n.Grace && !inTuplet(n) && n.Duration.Less(unit) && onGrid(unit, n.Duration)
	}
	for _, i := range notes {
		if i > 0 && p.joins(i-1) && even(i-1) || p.joins(i) && even(i+1) {
			out = append(out, i)
		}
	}
	return out
}

// acrossBeats says whether any of the notes begins between beats and holds across
// the next one.
func (p *Page) acrossBeats(notes []int) bool {
	for _, i := range notes {
		n := p.note(i)
		unit, beats := p.felt(n.Bar)
		at := p.placeOf(n)
		if beats > 0 && !onGrid(at, unit) && unit.Scale(floor(at, unit)+1, 1).Less(at.Add(n.Duration)) {
			return true
		}
	}
	return false
}
