package score

import "sort"

// Shares of a note's written value that sound, by its marks. Staccato is the
// half that handbooks give (a measured piano value is 0.40: Bresin and Battel,
// JNMR 29, 2000); the others are handbook defaults from memory.
const (
	staccatissimoShare = 0.25
	staccatoShare      = 0.5
	portatoShare       = 0.75
	plainShare         = 0.85
	fullShare          = 1.0
)

// SoundedShare is the share of its written value for which a note is expected
// to sound, 0 to 1.
func (n *Note) SoundedShare() float64 {
	switch {
	case n.SlurTo || n.GlissTo || n.Grace:
		return fullShare
	case n.Marks.Has(Staccatissimo):
		return staccatissimoShare
	case n.Marks.Has(Staccato | Tenuto):
		return portatoShare
	case n.Marks.Has(Staccato):
		return staccatoShare
	case n.Marks.Any(Tenuto | Fermata):
		return fullShare
	}
	return plainShare
}

// levels are the printed dynamics in steps: one step apart each, 0 between
// mezzo-piano and mezzo-forte.
var levels = map[string]float64{
	"pppppp": -6.5, "ppppp": -5.5, "pppp": -4.5, "ppp": -3.5, "pp": -2.5, "p": -1.5, "mp": -0.5,
	"mf": 0.5, "f": 1.5, "ff": 2.5, "fff": 3.5, "ffff": 4.5, "fffff": 5.5, "ffffff": 6.5,
}

// LevelStep is a printed dynamic in steps, mezzo-forte being 0.5 and each
// marking one step from the next; ok is false for an accent such as "sfz".
func LevelStep(mark string) (step float64, ok bool) {
	step, ok = levels[mark]
	return step, ok
}

// defaultLevel holds until the first dynamic mark: mezzo-forte (common
// practice).
const defaultLevel = 0.5

// wedgeStep is how far a hairpin goes when no dynamic stands at its end:
// one marking (estimate).
const wedgeStep = 1.0

// Level is the dynamic in force at a moment of the written part, in the steps
// of LevelStep, hairpins followed on the way.
func (p *Part) Level(at Time) float64 {
	level, since := p.levelMark(at)
	for _, w := range p.Wedges {
		if at.Less(w.From) {
			break
		}
		if w.To.Less(since) || w.To == since && w.From.Less(since) {
			continue
		}
		goal := p.wedgeGoal(w, level)
		if !at.Less(w.To) {
			level = goal
			continue
		}
		if length := w.To.Sub(w.From).Float(); length > 0 {
			level += (goal - level) * at.Sub(w.From).Float() / length
		}
	}
	return level
}

// levelMark is the last dynamic mark at or before a moment.
func (p *Part) levelMark(at Time) (level float64, since Time) {
	i := sort.Search(len(p.Dynamics), func(i int) bool { return at.Less(p.Dynamics[i].At) })
	for i--; i >= 0; i-- {
		if step, ok := levels[p.Dynamics[i].Mark]; ok {
			return step, p.Dynamics[i].At
		}
	}
	return defaultLevel, Frac(-1, 1)
}

// wedgeGoal is the level a hairpin leads to: the mark printed at its end, or
// one step on.
func (p *Part) wedgeGoal(w Wedge, from float64) float64 {
	slack := Frac(1, 4) // a mark up to a quarter note after the hairpin's tip is its goal (estimate)
	for _, d := range p.Dynamics {
		if d.At.Less(w.To) {
			continue
		}
		if w.To.Add(slack).Less(d.At) {
			break
		}
		if step, ok := levels[d.Mark]; ok && (step > from) == w.Grow {
			return step
		}
	}
	if w.Grow {
		return from + wedgeStep
	}
	return from - wedgeStep
}
