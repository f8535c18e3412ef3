package reading

import (
	"fmt"
	"regexp"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// meter says how the opening is felt.
func meter(p *Page) []finding.Finding {
	m := p.Part.Bars[0].Meter
	unit, beats := p.Part.Felt(0)
	bpm, _, printed := p.Part.OpeningTempo()
	says := capital(m.String())
	if beats > 0 {
		says += fmt.Sprintf(", felt in %s: the %s is the beat", number(beats), p.value(unit))
	}
	if printed {
		says += fmt.Sprintf(", %.0f a minute", bpm)
	} else {
		says += fmt.Sprintf("; no number stands, %.0f a minute is taken here", bpm)
	}
	do := "Count a full bar before you put the horn up."
	if m.Cut() {
		do = fmt.Sprintf("Conduct it in two; the %ss lie between the beats and must not turn into four.", p.value(score.Frac(1, 4)))
	} else if m.Compound() {
		do = "Conduct the big beats and think three inside each."
	}
	return []finding.Finding{p.finding("meter", 0.5, 0, len(p.Part.Bars)-1, says+".", do)}
}

func number(n int) string {
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

func meterChange(p *Page) []finding.Finding {
	var out []finding.Finding
	for _, m := range p.Part.Meters {
		if m.At.Sign() == 0 || m.Bar > 0 && p.Part.Bars[m.Bar-1].Meter.String() == m.Meter.String() {
			continue
		}
		unit, _ := p.Part.Felt(m.Bar)
		out = append(out, p.finding("meter-change", 0, m.Bar, m.Bar, fmt.Sprintf("The meter changes to %s at bar %s.", m.Meter, p.number(m.Bar)),
			fmt.Sprintf("Settle what stays the same across the change; from there the %s is the beat.", p.value(unit))))
	}
	return out
}

// barSum names bars whose contents do not add up to the meter. A pickup and a
// short last bar, or a bar divided by a repeat sign, complete each other.
func barSum(p *Page) []finding.Finding {
	bars := p.Part.Bars
	var out []finding.Finding
	for i := 0; i < len(bars); i++ {
		b := bars[i]
		full := b.Meter.Length()
		if full.Sign() == 0 || b.Length == full {
			continue
		}
		if b.Length.Less(full) {
			if i+1 < len(bars) && b.Length.Add(bars[i+1].Length) == full {
				i++ // a divided bar
				continue
			}
			if i == 0 || b.Implicit || p.completesRepeat(i) {
				continue
			}
		}
		out = append(out, p.finding("bar-sum", 0, i, i,
			fmt.Sprintf("Bar %s holds %s; its meter, %s, asks for %s.", p.number(i), p.amount(b.Length, b.Meter), b.Meter, p.amount(full, b.Meter)),
			"Compare with the score before you practice it; a misprint learned is hard to lose."))
	}
	return out
}

// completesRepeat says whether a short bar ends the part or a repeated passage,
// where its missing beats stand in the pickup.
func (p *Page) completesRepeat(i int) bool {
	bars := p.Part.Bars
	short := bars[i].Meter.Length().Sub(bars[i].Length)
	if i != len(bars)-1 && bars[i].RepeatEnd == 0 && len(bars[i].Endings) == 0 {
		return false
	}
	for k := i; k >= 0; k-- {
		if (k == 0 || bars[k].RepeatStart) && bars[k].Length == short {
			return true
		}
	}
	return false
}

// amount says a length in the meter's own unit: "3 quarters", "3 1/2 quarters".
func (p *Page) amount(t score.Time, m score.Meter) string {
	unit := score.Frac(1, int64(m.Unit))
	n := t.Scale(int64(m.Unit), 1)
	name := p.value(unit)
	whole := n.Num() / n.Den()
	part := n.Sub(score.Frac(whole, 1))
	switch {
	case part.Sign() == 0 && whole == 1:
		return "1 " + name
	case part.Sign() == 0:
		return fmt.Sprintf("%d %ss", whole, name)
	case whole == 0:
		return fmt.Sprintf("%s of a %s", part, name)
	}
	return fmt.Sprintf("%d %s %ss", whole, part, name)
}

// shortRest names rests that are easily swallowed: at most a felt beat, after a
// note at least twice as long.
func shortRest(p *Page) []finding.Finding {
	byValue := map[score.Time][]int{}
	var order []score.Time
	ends := map[score.Time]int{}
	for i := range p.notes() {
		ends[p.note(i).End()] = i
	}
	for _, r := range p.Part.Rests {
		i, ok := ends[r.Onset]
		if !ok || i+1 >= p.notes() || p.note(i+1).Onset != r.Onset.Add(r.Duration) {
			continue
		}
		unit, _ := p.Part.Felt(r.Bar)
		if unit.Less(r.Duration) || p.note(i).Duration.Less(r.Duration.Scale(2, 1)) {
			continue
		}
		if byValue[r.Duration] == nil {
			order = append(order, r.Duration)
		}
		byValue[r.Duration] = append(byValue[r.Duration], i)
	}
	var out []finding.Finding
	for _, v := range order {
		rs := p.runs(byValue[v], 0)
		name := p.value(v)
		says := fmt.Sprintf("%s %s rest stands after a longer note in %s; it is easily swallowed.", article(name), name, p.barList(rs))
		out = append(out, p.merged("short-rest", 0.3, rs, says,
			"End the note on time, say \"rest\" in your head, and only then breathe or move.")...)
	}
	return out
}

func article(word string) string {
	switch word[0] {
	case 'a', 'e', 'i', 'o', 'u':
		return "An"
	}
	return "A"
}

// dotted names dotted figures: a dotted note and the short one that completes
// it.
func dotted(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool {
		if i+1 >= p.notes() {
			return false
		}
		a, b := p.note(i), p.note(i+1)
		unit, _ := p.Part.Felt(a.Bar)
		return len(a.Pieces) == 1 && a.Pieces[0].Dots == 1 && a.Pieces[0].Tuplet == score.Ratio{} &&
			b.Onset == a.End() && b.Duration == a.Duration.Scale(1, 3) && !unit.Less(b.Duration.Scale(2, 1)) &&
			a.Duration != unit // in compound time the dotted beat itself is no figure
	})
	if len(notes) == 0 {
		return nil
	}
	first := p.note(notes[0])
	rs := p.runs(notes, 1)
	says := fmt.Sprintf("Dotted figures (%s and %s) in %s.", p.value(first.Duration), p.value(first.Duration.Scale(1, 3)), p.barList(rs))
	return p.merged("dotted", 0.3, rs, says,
		"Divide the long note into its short ones; the last must not grow into a triplet.")
}

// syncopation names notes that start off the felt beat and hold over the next
// one.
func syncopation(p *Page) []finding.Finding {
	notes := p.where(p.syncopated)
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("Syncopation in %s: notes begin between the beats and hold across them.", p.barList(rs))
	return p.merged("syncopation", 0.3, rs, says,
		"Tap the beat with your foot while you say the rhythm; the beat under the held note must not move.")
}

// syncopated says whether note i starts between beats and covers at least as
// much after the next beat as a quarter of a beat.
func (p *Page) syncopated(i int) bool {
	n := p.note(i)
	bar := p.Part.Bars[n.Bar]
	unit, beats := p.Part.Felt(n.Bar)
	if beats == 0 || n.Grace || n.Pieces[0].Tuplet != (score.Ratio{}) {
		return false
	}
	at := n.Onset.Sub(bar.Start)
	into := at.Sub(unit.Scale(floor(at, unit), 1))
	if into.Sign() == 0 {
		return false
	}
	over := n.Duration.Sub(unit.Sub(into))
	return !over.Less(unit.Scale(1, 4))
}

// floor is the whole number of units in t.
func floor(t, unit score.Time) int64 {
	r := t.Scale(unit.Den(), unit.Num())
	return r.Num() / r.Den()
}

func tuplet(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.note(i).Pieces[0].Tuplet.Actual > 0 && !p.note(i).Grace })
	if len(notes) == 0 {
		return nil
	}
	t := p.note(notes[0]).Pieces[0].Tuplet
	name := map[int]string{3: "Triplets", 2: "Duplets", 4: "Quadruplets", 5: "Quintuplets", 6: "Sextuplets", 7: "Septuplets"}[t.Actual]
	if name == "" {
		name = "Tuplets"
	}
	rs := p.runs(notes, 0)
	return p.merged("tuplet", 0.3, rs, fmt.Sprintf("%s in %s.", name, p.barList(rs)),
		"Set the even notes before and after against them with the metronome; the beat stays, only its division changes.")
}

// tieOverBar names ties across a bar line, except notes that fill whole bars.
func tieOverBar(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool {
		n := p.note(i)
		if len(n.Pieces) < 2 || n.Pieces[0].Bar == n.Pieces[len(n.Pieces)-1].Bar {
			return false
		}
		// A note held from a bar's first beat and let go at a bar line needs
		// no counting trick.
		first, last := n.Pieces[0], n.Pieces[len(n.Pieces)-1]
		return first.Onset != p.Part.Bars[first.Bar].Start || n.End() != p.Part.Bars[last.Bar].End()
	})
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	return p.merged("tie-over-bar", 0.3, rs, fmt.Sprintf("Ties across the bar line from %s.", p.barList(rs)),
		"Feel the first beat of the new bar inside the held note; what follows is often late.")
}

// gradual matches words for a gradual change of tempo, or for taking one back.
var gradual = regexp.MustCompile(`(?i)\b(rit|ritard\w*|riten\w*|rall\w*|accel\w*|stringendo|string\.|allarg\w*|a tempo|meno mosso|più mosso)(\b|$)`)

// tempoChange names later tempo marks and words for gradual change.
func tempoChange(p *Page) []finding.Finding {
	var marks, words []place
	for _, t := range p.Part.Tempos {
		if t.At.Sign() > 0 {
			marks = append(marks, p.tempoPlace(t))
		}
	}
	for _, w := range p.Part.Words {
		if gradual.MatchString(w.Text) {
			n := p.number(w.Bar)
			words = append(words, place{w.Bar, w.Bar, fmt.Sprintf("%q at bar %s.", w.Text, n), fmt.Sprintf("%q at bar %s", w.Text, n)})
		}
	}
	out := p.each("tempo-change", 0.4, marks, "The tempo changes:",
		"Decide the new tempo by a bar you can sing, and practice the two bars around the change as one piece.")
	return append(out, p.each("tempo-change", 0.4, words, "The tempo gives way:",
		"Decide where the change begins and how far it goes, and count it aloud once.")...)
}

// tempoPlace says a later tempo in the beat that is felt there.
func (p *Page) tempoPlace(t score.TempoMark) place {
	n, unit, bpm := p.number(t.Bar), t.Unit, t.BPM
	if t.BPM > 0 && unit.Sign() == 0 {
		unit, _ = p.Part.Felt(t.Bar)
		bpm *= score.Frac(1, 4).Over(unit)
	}
	what := ""
	switch {
	case t.BPM > 0 && t.Text != "":
		what = fmt.Sprintf("%s, %s = %.0f", t.Text, p.value(unit), bpm)
	case t.BPM > 0:
		what = fmt.Sprintf("%s = %.0f", p.value(unit), bpm)
	default:
		what = t.Text
	}
	return place{t.Bar, t.Bar, fmt.Sprintf("New tempo at bar %s: %s.", n, strings.TrimSuffix(what, ".")), fmt.Sprintf("bar %s (%s)", n, what)}
}
