package hear

import (
	"fmt"
	"math"
	"strings"

	"waterkey/finding"
)

// intonation speaks for each pitch of the page, in each way it is marked, that
// lies off the take's own tuning, by the median of its notes.
func (l *listener) intonation(t *Take) []finding.Finding {
	tuned := func(n *Note) bool {
		return n.State == Played && n.Offset-n.Onset >= shortToTune && !l.written(n).Grace
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, tuned, func(n *Note) string { return n.Pitch + l.way(n).How }) {
		off := medianOf(g, centsOwn)
		unsure := l.centsDoubt(g, off)
		if !outOfBand(off, unsure) {
			out = append(out, l.lone(g, off)...)
			continue
		}
		out = append(out, l.tuneFinding(g, off, unsure))
	}
	return out
}

func centsOwn(n *Note) float64 { return n.CentsOwn }

// way is how a note is marked, zero when not known.
func (l *listener) way(n *Note) Way {
	if l.Ways == nil {
		return Way{}
	}
	return l.Ways[n.index]
}

// centsDoubt is the standard uncertainty of the median of some notes in cents:
// their scatter, and what each reading may be off.
func (l *listener) centsDoubt(g []*Note, median float64) float64 {
	own := medianOf(g, func(n *Note) float64 { return n.Unsure.Cents })
	return math.Hypot(doubtOf(g, median, centsOwn), own/math.Sqrt(float64(len(g))))
}

// outOfBand says whether a deviation is out of tune beyond doubt.
func outOfBand(off, unsure float64) bool {
	return math.Abs(off) > inTune+max(measured, coverage*unsure)
}

// lone speaks for single notes of a pitch that is in tune otherwise.
func (l *listener) lone(g []*Note, median float64) []finding.Finding {
	var out []finding.Finding
	for _, n := range g {
		if math.Abs(n.CentsOwn-median) > 2*inTune && outOfBand(n.CentsOwn, n.Unsure.Cents) {
			out = append(out, l.tuneFinding([]*Note{n}, n.CentsOwn, n.Unsure.Cents))
		}
	}
	return out
}

func (l *listener) tuneFinding(g []*Note, off, unsure float64) finding.Finding {
	side := "sharp"
	if off < 0 {
		side = "flat"
	}
	name := strings.TrimSpace(g[0].Pitch + " " + l.way(g[0]).How)
	if l.always(g, off) {
		name = "every " + name
	}
	says := fmt.Sprintf("%s: %s is %.0f ± %.0f cents %s of your own tuning", l.at(g), name, math.Abs(off), max(coverage*unsure, 1), side)
	if len(g) > 1 {
		says += fmt.Sprintf(" (middle of %d notes)", len(g))
	}
	if math.Abs(off) > outOfTune {
		says += ", which is out of tune"
	}
	return finding.Finding{
		Stage: finding.Notes, Kind: "intonation", Bars: l.bars(g), Places: l.places(g),
		Weight: weigh(0.3, 0.8, math.Abs(off), inTune+measured),
		Says:   says + ".",
		Do:     l.mendPitch(g[0], off),
	}
}

// always says whether several notes all lie on one side: a habit, no accident.
func (l *listener) always(g []*Note, off float64) bool {
	const least = 3 // notes
	for _, n := range g {
		if n.CentsOwn*off <= 0 || math.Abs(n.CentsOwn) < inTune {
			return false
		}
	}
	return len(g) >= least
}

// mendPitch says where the slide has to go, and what other way there is.
func (l *listener) mendPitch(n *Note, off float64) string {
	w := l.way(n)
	if l.Valves {
		return "Hold it against a drone until the beats stop: " + otherwise(fmt.Sprintf("%s with the lips%s", lowerOrRaise(off), valveSlide(off)), w) + "."
	}
	if w.CentsPerCM == 0 {
		arm := "further out"
		if off < 0 {
			arm = "further in"
		}
		return fmt.Sprintf("Hold it against a drone, let the arm go %s until the beats stop, and keep that place.", arm)
	}
	cm := math.Abs(off) / w.CentsPerCM
	place := strings.TrimPrefix(w.How, "in ")
	switch {
	case off > 0:
		return fmt.Sprintf("Hold it against a drone: %s.", otherwise(fmt.Sprintf("lower %s by about %.1f cm", place, cm), w))
	case w.CM >= cm:
		return fmt.Sprintf("Hold it against a drone: %s.", otherwise(fmt.Sprintf("raise %s by about %.1f cm", place, cm), w))
	}
	return fmt.Sprintf("There is no room further in: %s.", otherwise("tune the whole instrument higher and play everything else further out", w))
}

func lowerOrRaise(off float64) string {
	if off > 0 {
		return "lower it"
	}
	return "raise it"
}

// valveSlide is what a valve slide can do: it only lowers.
func valveSlide(off float64) string {
	if off > 0 {
		return " or draw the slide of its valve"
	}
	return ", and see that no valve slide stands out"
}

// otherwise adds the likeliest other way to what to do.
func otherwise(do string, w Way) string {
	if len(w.Others) == 0 {
		return do
	}
	return do + ", or try it " + w.Others[0]
}
