package reading

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/score"
)

// levels says where the dynamics start and how far they reach.
func levels(p *Page) []finding.Finding {
	var marks []score.DynamicMark
	for _, d := range p.Part.Dynamics {
		if _, ok := score.LevelStep(d.Mark); ok {
			marks = append(marks, d)
		}
	}
	say := func(says, do string) []finding.Finding {
		return []finding.Finding{p.finding("level", 0.5, 0, len(p.Part.Bars)-1, says, do)}
	}
	if len(marks) == 0 {
		return say("No dynamic stands on the page.", "Ask for the score, or decide levels for each phrase and write them in.")
	}
	soft, loud := marks[0], marks[0]
	for _, m := range marks {
		if stepOf(m) < stepOf(soft) {
			soft = m
		}
		if stepOf(m) > stepOf(loud) {
			loud = m
		}
	}
	if soft.Mark == loud.Mark {
		return say(fmt.Sprintf("It is %s throughout.", soft.Mark), "Keep the level, and shape the phrases inside it.")
	}
	return say(fmt.Sprintf("It starts %s; softest is %s (bar %s), loudest %s (bar %s).", marks[0].Mark,
		soft.Mark, p.number(soft.Bar), loud.Mark, p.number(loud.Bar)),
		"Set the loudest and the softest place first; everything else lies between them.")
}

func stepOf(d score.DynamicMark) float64 {
	step, _ := score.LevelStep(d.Mark)
	return step
}

// markNames names a level in steps by the nearest marking.
func markName(step float64) string {
	names := []string{"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"}
	i := int(math.Round(step + 3.5))
	return names[min(max(i, 0), len(names)-1)]
}

// hairpin names crescendos and diminuendos with start and goal.
func hairpin(p *Page) []finding.Finding {
	var grow, fade []place
	for _, w := range p.Part.Wedges {
		pl := p.hairpinPlace(w)
		if w.Grow {
			grow = append(grow, pl)
		} else {
			fade = append(fade, pl)
		}
	}
	out := p.each("hairpin", 0.3, grow, "Crescendos:", "Save it: half of the growth belongs in the last third.")
	return append(out, p.each("hairpin", 0.3, fade, "Diminuendos:",
		"Keep the air fast while it gets less; the pitch wants to sag and the tone to thin.")...)
}

func (p *Page) hairpinPlace(w score.Wedge) place {
	last := w.ToBar
	if last > w.FromBar && p.Part.Bars[last].Start == w.To {
		last--
	}
	name := "Diminuendo"
	if w.Grow {
		name = "Crescendo"
	}
	from, to := p.Part.Level(w.From), p.Part.Level(w.To)
	pl := place{from: w.FromBar, to: last, short: p.barText(w.FromBar, last)}
	pl.says = fmt.Sprintf("%s in %s, from %s", name, pl.short, markName(from))
	if goal := markName(to); goal != markName(from) && (to > from) == w.Grow {
		pl.says += " to " + goal
		pl.short += fmt.Sprintf(" (%s to %s)", markName(from), goal)
	}
	pl.says += "."
	return pl
}

// sudden names steps of two markings and more that no hairpin prepares, between
// notes that follow one another.
func sudden(p *Page) []finding.Finding {
	const steps = 2.0 // f to mp, p to mf: clearly heard (estimate)
	var places []place
	last := -1
	for i, d := range p.Part.Dynamics {
		if _, ok := score.LevelStep(d.Mark); !ok {
			continue
		}
		if last >= 0 {
			before := p.Part.Dynamics[last]
			change := stepOf(d) - stepOf(before)
			if math.Abs(change) >= steps && !p.prepared(before.At, d.At, change > 0) && p.follows(d.At) {
				n := p.number(d.Bar)
				places = append(places, place{d.Bar, d.Bar, fmt.Sprintf("Sudden %s at bar %s, after %s.", d.Mark, n, before.Mark),
					fmt.Sprintf("%s at bar %s after %s", d.Mark, n, before.Mark)})
			}
		}
		last = i
	}
	return p.each("sudden", 0.3, places, "Sudden changes:", "Change on the note and not before it; breathe for the new level, not the old one.")
}

// follows says whether the first note from a moment on comes within a second of
// the end of the note before: after a longer rest no change is sudden (estimate).
func (p *Page) follows(at score.Time) bool {
	i := p.firstNote(at)
	return i > 0 && i < p.notes() && p.Through.Notes[i].Start-p.Through.Notes[i-1].End < 1
}

// prepared says whether a hairpin of the right direction runs between two marks.
func (p *Page) prepared(from, to score.Time, grow bool) bool {
	for _, w := range p.Part.Wedges {
		if w.Grow == grow && !w.From.Less(from) && w.From.Less(to) {
			return true
		}
	}
	return false
}

// Levels that make a register hard, in steps of score.LevelStep.
const (
	softStep = -1.5 // p and below
	loudStep = 1.5  // f and above
)

func softAndLow(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(func(i int) bool { return p.isLow(i) && p.Part.Level(p.note(i).Onset) <= softStep }))
	if len(rs) == 0 {
		return nil
	}
	return p.merged("soft-and-low", 0.3, rs, fmt.Sprintf("Soft and low in %s.", p.barList(rs)),
		"Start each note with air that is already moving; a soft low note that does not speak is the first thing a panel hears.")
}

func loudAndHigh(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(func(i int) bool { return p.isHigh(i) && p.Part.Level(p.note(i).Onset) >= loudStep }))
	if len(rs) == 0 {
		return nil
	}
	return p.merged("loud-and-high", 0.3, rs, fmt.Sprintf("Loud and high in %s.", p.barList(rs)),
		"Practice it an octave down and at half the level first; a few full-strength tries a day are enough.")
}
