package reading

import (
	"fmt"
	"regexp"
	"sort"

	"waterkey/finding"
	"waterkey/score"
)

// meter says how the opening is felt, and at what tempo.
func meter(p *Page) []finding.Finding {
	bpm, _, _ := p.Part.OpeningTempo()
	f := p.feelAt(0, bpm)
	says := capital(p.feelText(f)) + p.openingTempoText(f.bpm/bpm, f.unit) + "."
	do := p.feelAdvice(f)
	if p.slowCompound(f) {
		do += fmt.Sprintf(" Ask whether the tempo word counts the %s: slow %s is often taken in %s.",
			p.value(f.unit.Scale(1, 3)), f.meter, number(3*f.beats))
	}
	return []finding.Finding{p.finding("meter", f.severity(), 0, len(p.Part.Bars)-1, says, do)}
}

// openingTempoText says the tempo as the page gives it: a number, a word with
// its range, or nothing. The page's beats are scaled to those of unit.
func (p *Page) openingTempoText(scale float64, unit score.Time) string {
	bpm, _, _ := p.Part.OpeningTempo()
	bpm *= scale
	t := p.openingMark()
	low, high, word := score.TempoRange(t.Text)
	switch {
	case t.BPM > 0 && t.Unit.Sign() > 0:
		return fmt.Sprintf(", %.0f a minute", bpm)
	case t.BPM > 0:
		return fmt.Sprintf("; no number is printed, %.0f a minute is taken here", bpm)
	case word:
		return fmt.Sprintf("; %q without a number stands for %.0f to %.0f a minute, %.0f is taken here", t.Text, scale*low, scale*high, bpm)
	}
	return fmt.Sprintf("; no tempo stands, %.0f a minute is taken here", bpm)
}

// openingMark is the tempo mark at the start or just after a pickup; the zero
// mark for none.
func (p *Page) openingMark() score.TempoMark {
	if len(p.Part.Tempos) == 0 {
		return score.TempoMark{}
	}
	first := p.Part.Tempos[0]
	if first.At.Sign() == 0 || p.pickup() && !p.Part.Bars[0].End().Less(first.At) {
		return first
	}
	return score.TempoMark{}
}

// pickup says whether the first bar is shorter than its meter.
func (p *Page) pickup() bool {
	b := p.Part.Bars[0]
	return b.Length.Less(b.Meter.Length())
}

// slowCompound says whether a slow tempo word without a number leaves open
// which beat of a compound meter it counts.
func (p *Page) slowCompound(f feel) bool {
	t := p.openingMark()
	_, high, ok := score.TempoRange(t.Text)
	const adagio = 76 // the upper end of Adagio (published, as in score.TempoRange)
	return ok && high <= adagio && t.BPM == 0 && f.way == plain && f.unit.Num() == 3
}

// sameBeat matches words that keep the beat, not the note value, across a
// change of meter.
var sameBeat = regexp.MustCompile(`(?i)l'istesso|lo stesso|medesimo|gleichen (tempo|zeitma)|même mouvement`)

// meterChange says how each later meter is felt, and what stays the same.
func meterChange(p *Page) []finding.Finding {
	bars := p.Part.Bars
	speed := p.pageSpeed()
	worst := 0.0
	var places []place
	for _, m := range p.Part.Meters {
		if m.Bar == 0 || bars[m.Bar-1].Meter.String() == m.Meter.String() {
			continue
		}
		unit, _ := p.felt(m.Bar)
		f := p.feelAt(m.Bar, speed(m.Bar, unit))
		worst = max(worst, f.severity())
		n := p.number(m.Bar)
		places = append(places, place{m.Bar, m.Bar,
			fmt.Sprintf("The meter changes at bar %s to %s%s.", n, p.feelText(f), p.staysText(m, f)),
			fmt.Sprintf("bar %s (%s)", n, p.feelShort(f))})
	}
	return p.each("meter-change", worst, places, "The meter changes:",
		"Say the last bar of the old meter and the first of the new one aloud, over and over, before you play them.")
}

// staysText says what carries over a change: nothing when a new tempo stands
// there.
func (p *Page) staysText(m score.MeterMark, f feel) string {
	from := sort.Search(len(p.Part.Tempos), func(i int) bool { return !p.Part.Tempos[i].At.Less(m.At) })
	if from < len(p.Part.Tempos) && p.Part.Tempos[from].At == m.At {
		if sameBeat.MatchString(p.Part.Tempos[from].Text) {
			return "; the beat goes on as before"
		}
		return ""
	}
	from = sort.Search(len(p.Part.Words), func(i int) bool { return !p.Part.Words[i].At.Less(m.At) })
	for _, w := range p.Part.Words[from:] {
		if w.At != m.At {
			break
		}
		if sameBeat.MatchString(w.Text) {
			return "; the beat goes on as before"
		}
	}
	if f.way == free || p.Part.Bars[m.Bar-1].Meter.Unit == 0 {
		return ""
	}
	common := score.Frac(1, int64(max(m.Meter.Unit, p.Part.Bars[m.Bar-1].Meter.Unit)))
	return fmt.Sprintf("; the %s stays as it was", p.noteName(common))
}

// feelShort is the feel in a list: "6/8, in two".
func (p *Page) feelShort(f feel) string {
	switch {
	case f.way == free:
		return "free time"
	case f.way == uneven && f.groups != nil:
		return fmt.Sprintf("%s, grouped %s", f.meter, groupText(f.groups))
	}
	return fmt.Sprintf("%s, in %s", f.meter, number(f.beats))
}

// speedOf tells how many units go to a minute at the start of a bar.
type speedOf func(bar int, unit score.Time) float64

// pageSpeed is the page's tempo, fermatas apart.
func (p *Page) pageSpeed() speedOf {
	bare := *p.Part
	bare.Notes, bare.Rests = nil, nil
	pf, err := bare.ReadThrough(score.Tempo{})
	return func(bar int, unit score.Time) float64 {
		if err != nil {
			return score.DefaultBPM
		}
		const part = 64 // of the unit is looked at, as the tempo may change within the bar
		at := pf.Bars[bar].At
		return 60 / (part * float64(pf.Seconds(at.Add(unit.Scale(1, part)))-pf.Seconds(at)))
	}
}
